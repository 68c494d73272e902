//! Finding the entries of a project file and their lines, without understanding them.
//!
//! The text is RON. This scanner knows only brackets, strings and comments; each entry is then read by the
//! RON library by itself, so that one faulty entry does not hide the faults of the others. It never recurses,
//! so no nesting is too deep for it.

/// A piece of the text, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// One `name: value` at the top of the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section<'t> {
    /// Its name.
    pub name: &'t str,
    /// Where the name stands.
    pub at: usize,
    /// Its value.
    pub value: Span,
}

/// A fault of the outer form: where, what was expected, what was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormFault {
    /// Byte offset.
    pub at: usize,
    /// What was expected.
    pub expected: &'static str,
    /// What was found.
    pub found: String,
}

/// Line and column, from 1, of a byte offset. Columns count characters.
pub fn line_and_column(text: &str, at: usize) -> (usize, usize) {
    let before = text.get(..at.min(text.len())).unwrap_or(text);
    let line = before.bytes().filter(|byte| *byte == b'\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    (line, column)
}

/// The sections of a file: `( name: value, name: value )`.
pub fn sections(text: &str) -> Result<Vec<Section<'_>>, FormFault> {
    let mut cursor = Cursor { text, at: 0 };
    cursor.skip_blank();
    while cursor.rest().starts_with("#![") {
        cursor.skip_past(']');
        cursor.skip_blank();
    }
    cursor.skip_name();
    cursor.skip_blank();
    cursor.expect('(', "“(” at the start of the project")?;
    let mut found = Vec::new();
    loop {
        cursor.skip_blank();
        if cursor.take(')') {
            break;
        }
        let at = cursor.at;
        let name = cursor.name().ok_or_else(|| cursor.fault("the name of a section, or “)” at the end"))?;
        cursor.skip_blank();
        cursor.expect(':', "“:” after the name of the section")?;
        cursor.skip_blank();
        let value = cursor.value()?;
        found.push(Section { name, at, value });
        cursor.skip_blank();
        if !cursor.take(',') && cursor.peek() != Some(')') {
            return Err(cursor.fault("“,” before the next section, or “)” at the end"));
        }
    }
    cursor.skip_blank();
    if cursor.peek().is_some() {
        return Err(cursor.fault("nothing after the end of the project"));
    }
    Ok(found)
}

/// The entries of a list `[ entry, entry ]` that stands at `list`.
pub fn entries(text: &str, list: Span) -> Result<Vec<Span>, FormFault> {
    let inner = text.get(..list.end).unwrap_or(text);
    let mut cursor = Cursor { text: inner, at: list.start };
    cursor.expect('[', "“[” at the start of a list")?;
    let mut found = Vec::new();
    loop {
        cursor.skip_blank();
        if cursor.take(']') {
            return Ok(found);
        }
        found.push(cursor.value()?);
        cursor.skip_blank();
        if !cursor.take(',') && cursor.peek() != Some(']') {
            return Err(cursor.fault("“,” before the next entry, or “]” at the end of the list"));
        }
    }
}

/// Where the value of a field stands within an entry: the first `name:` outside strings and comments.
pub fn find_field(text: &str, entry: Span, name: &str) -> Option<usize> {
    let inner = text.get(..entry.end)?;
    let mut cursor = Cursor { text: inner, at: entry.start };
    while cursor.at < entry.end {
        cursor.skip_blank();
        if let Some(word) = cursor.name() {
            let after = cursor.at;
            cursor.skip_blank();
            if word == name && cursor.take(':') {
                cursor.skip_blank();
                return Some(cursor.at);
            }
            cursor.at = after;
        } else if !cursor.skip_string() {
            cursor.advance()?;
        }
    }
    None
}

struct Cursor<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Cursor<'t> {
    fn rest(&self) -> &'t str {
        self.text.get(self.at..).unwrap_or("")
    }
    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }
    fn advance(&mut self) -> Option<char> {
        let next = self.peek()?;
        self.at += next.len_utf8();
        Some(next)
    }
    fn take(&mut self, wanted: char) -> bool {
        let is = self.peek() == Some(wanted);
        if is {
            self.at += wanted.len_utf8();
        }
        is
    }
    fn expect(&mut self, wanted: char, expected: &'static str) -> Result<(), FormFault> {
        if self.take(wanted) { Ok(()) } else { Err(self.fault(expected)) }
    }
    fn fault(&self, expected: &'static str) -> FormFault {
        let word: String = self.rest().chars().take_while(|c| !c.is_whitespace()).take(20).collect();
        let found = if word.is_empty() { "the end of the file".to_owned() } else { format!("“{word}”") };
        FormFault { at: self.at, expected, found }
    }
    fn skip_past(&mut self, end: char) {
        while self.advance().is_some_and(|c| c != end) {}
    }
    /// White space, `// …` and `/* … */`, which may nest.
    fn skip_blank(&mut self) {
        loop {
            let rest = self.rest();
            if rest.starts_with("//") {
                self.skip_past('\n');
            } else if rest.starts_with("/*") {
                self.skip_block_comment();
            } else if rest.starts_with(char::is_whitespace) || rest.starts_with('\u{feff}') {
                self.advance();
            } else {
                return;
            }
        }
    }
    fn skip_block_comment(&mut self) {
        let mut depth = 0_usize;
        while !self.rest().is_empty() {
            if self.rest().starts_with("/*") {
                depth += 1;
                self.at += 2;
            } else if self.rest().starts_with("*/") {
                depth -= 1;
                self.at += 2;
                if depth == 0 {
                    return;
                }
            } else {
                self.advance();
            }
        }
    }
    fn name(&mut self) -> Option<&'t str> {
        let rest = self.rest();
        let length = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
        let name = rest.get(..length).filter(|name| !name.is_empty())?;
        self.at += length;
        Some(name)
    }
    fn skip_name(&mut self) {
        let _ = self.name();
    }
    /// A string, raw string or character; `false` if none stands here.
    fn skip_string(&mut self) -> bool {
        let rest = self.rest();
        if rest.starts_with('"') {
            self.advance();
            while let Some(c) = self.advance() {
                match c {
                    '"' => break,
                    '\\' => {
                        self.advance();
                    }
                    _ => {}
                }
            }
            return true;
        }
        if let Some(raw) = rest.strip_prefix('r') {
            let hashes = raw.bytes().take_while(|byte| *byte == b'#').count();
            if raw.as_bytes().get(hashes) == Some(&b'"') {
                let end = format!("\"{}", "#".repeat(hashes));
                let body = 1 + hashes + 1;
                let close = rest.get(body..).and_then(|body| body.find(&end));
                self.at += close.map_or(rest.len(), |close| body + close + end.len());
                return true;
            }
        }
        if rest.starts_with('\'') {
            self.advance();
            if self.advance() == Some('\\') {
                self.advance();
            }
            let _ = self.take('\'');
            return true;
        }
        false
    }
    /// One value: to the comma or closing bracket that ends it.
    fn value(&mut self) -> Result<Span, FormFault> {
        let start = self.at;
        let mut open: Vec<char> = Vec::new();
        let mut end = start;
        loop {
            self.skip_blank();
            if self.skip_string() {
                end = self.at;
                continue;
            }
            match self.peek() {
                None if open.is_empty() && end > start => break,
                None => return Err(self.fault(closing_of(&open))),
                Some(',' | ')' | ']' | '}') if open.is_empty() => break,
                Some(bracket @ ('(' | '[' | '{')) => open.push(bracket),
                Some(bracket @ (')' | ']' | '}')) => {
                    if open.last().copied().map(partner) != Some(bracket) {
                        return Err(self.fault(closing_of(&open)));
                    }
                    open.pop();
                }
                Some(_) => {}
            }
            self.advance();
            end = self.at;
        }
        if end == start { Err(self.fault("a value")) } else { Ok(Span { start, end }) }
    }
}

const fn partner(open: char) -> char {
    match open {
        '(' => ')',
        '[' => ']',
        _ => '}',
    }
}

fn closing_of(open: &[char]) -> &'static str {
    match open.last() {
        Some('(') => "“)” that closes an entry",
        Some('[') => "“]” that closes a list",
        Some(_) => "“}” that closes a map",
        None => "a value",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(text: &str) -> Result<Vec<&str>, FormFault> {
        Ok(sections(text)?.iter().map(|section| section.name).collect())
    }

    #[test]
    fn sections_are_found_past_strings_and_comments() {
        let text = "// a comment, (\n(a: \"x), b: \\\" y\", /* b: 2, */ c: [(d: 1), 'x'], r: r#\" ) \"# )";
        assert_eq!(names(text), Ok(vec!["a", "c", "r"]));
    }

    #[test]
    fn entries_of_a_list_have_their_spans() {
        let text = "(list: [(a: 1), \"b, c\", X(d: [1, 2])])";
        let section = &sections(text).unwrap()[0];
        let found: Vec<&str> =
            entries(text, section.value).unwrap().iter().map(|span| &text[span.start..span.end]).collect();
        assert_eq!(found, ["(a: 1)", "\"b, c\"", "X(d: [1, 2])"]);
    }

    #[test]
    fn a_field_is_found_outside_strings() {
        let text = "(a: \"b: 1\", c: X(b: 7))";
        let at = find_field(text, Span { start: 0, end: text.len() }, "b").unwrap();
        assert_eq!(&text[at..=at], "7");
    }

    #[test]
    fn faults_have_a_place() {
        for (text, at) in [("", 0), ("(a: ", 4), ("(a: [1, 2)", 9), ("(a 1)", 3), ("(a: 1) x", 7)] {
            assert_eq!(names(text).unwrap_err().at, at, "{text}");
        }
        assert_eq!(line_and_column("ab\ncéd", 6), (2, 3));
    }

    proptest::proptest! {
        #[test]
        fn scanning_never_panics_or_hangs(text in "[\\[\\](){}\"'r#/*,:a \\\\\n]{0,200}") {
            if let Ok(found) = sections(&text) {
                for section in found {
                    let _ = entries(&text, section.value);
                    let _ = find_field(&text, section.value, "a");
                }
            }
        }
    }
}
