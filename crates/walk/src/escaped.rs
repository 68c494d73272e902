//! Text made harmless for HTML.

/// With the characters that mean something in HTML written as entities.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            _ => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_a_text_becomes_markup() {
        assert_eq!(escaped("<b a='1'>\"&"), "&lt;b a=&#39;1&#39;&gt;&quot;&amp;");
    }
}
