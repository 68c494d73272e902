//! How well a name answers what somebody types while looking for it.

/// How well a text answers a search, the more the better; `None` when some word of the search is not in it. Words
/// count in any order; letters of a word may be left out, but whole words and beginnings count more.
pub fn score(search: &str, text: &str) -> Option<u32> {
    let text = text.to_lowercase();
    search.to_lowercase().split_whitespace().try_fold(0_u32, |sum, word| Some(sum + of_word(word, &text)?))
}

/// Where a search is the text itself or the beginning of it, it is most likely what is meant.
fn of_word(word: &str, text: &str) -> Option<u32> {
    /// By how much a word that begins a text counts more than letters scattered in it.
    const WHOLE: u32 = 120;
    if text == word {
        return Some(WHOLE + 40);
    }
    let mut best = None;
    for (at, _) in text.match_indices(word) {
        let before = text.get(..at).and_then(|head| head.chars().next_back());
        let begins = before.is_none_or(|c| !c.is_alphanumeric());
        let after = text.get(at + word.len()..).and_then(|rest| rest.chars().next());
        let ends = after.is_none_or(|c| !c.is_alphanumeric());
        let mut value = if begins { WHOLE - 20 } else { 60 };
        value += if begins && ends { 15 } else { 0 };
        value += if at == 0 { 5 } else { 0 };
        let is_number = begins && ends && word.chars().all(|c| c.is_ascii_digit());
        value += if is_number && rates(text.get(at + word.len()..).unwrap_or_default()) { 10 } else { 0 };
        best = best.max(Some(value));
    }
    best.or_else(|| scattered(word, text))
}

/// Whether the number before it is what a thing is rated for and told apart by: any that has a unit but volts, of which
/// many have the same.
fn rates(after: &str) -> bool {
    let unit: String = after.trim_start().chars().take_while(|c| c.is_alphabetic()).collect();
    !unit.is_empty() && unit != "v"
}

/// The letters of a word in their order, with others between; the fewer gaps the better.
fn scattered(word: &str, text: &str) -> Option<u32> {
    // Digits stand for a number, and another number is another thing.
    if word.chars().count() < 3 || word.chars().any(|c| c.is_ascii_digit()) {
        return None;
    }
    let mut rest = text.chars();
    let mut gaps = 0_u32;
    for (index, wanted) in word.chars().enumerate() {
        let skipped = rest.by_ref().take_while(|c| *c != wanted).count();
        if rest.as_str().is_empty() && !text.ends_with(wanted) {
            return None;
        }
        gaps += u32::from(index > 0 && skipped > 0);
    }
    let most = u32::try_from(word.chars().count()).unwrap_or(u32::MAX) / 2;
    (gaps <= most).then(|| 40_u32.saturating_sub(8 * gaps))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_better_answer_counts_more() {
        let better = |search: &str, one: &str, other: &str| {
            let (one, other) = (score(search, one), score(search, other));
            assert!(one > other, "{search}: {one:?} is not above {other:?}");
        };
        better("q1", "Q1", "Q12");
        better("q1", "Q12", "BQ1X");
        better("tidy", "Tidy the sheet", "Untidy");
        better("breaker 80", "DC breaker, 80 A, 125 V", "DC breaker, 180 A, 125 V");
        better("breaker 80 dc", "DC breaker, 80 A, 125 V", "DC breaker, 10 A, 80 V");
        better("zoom", "Zoom in", "Azoom");
    }

    #[test]
    fn letters_may_be_left_out_but_not_every_word_is_in_every_text() {
        assert!(score("rnumber", "Renumber tags").is_some());
        assert!(score("cntrollr", "Charge controller").is_some());
        assert_eq!(score("qz", "Charge controller"), None);
        assert_eq!(score("100", "DC breaker, 10 A, 80 V"), None);
        assert_eq!(score("tidy zebra", "Tidy the sheet"), None);
        assert_eq!(score("", "Tidy"), Some(0));
        assert!(score("sheet tidy", "Tidy the sheet").is_some());
    }

    proptest::proptest! {
        #[test]
        fn any_search_is_answered(search in ".{0,20}", text in ".{0,40}") {
            let found = score(&search, &text);
            proptest::prop_assert!(found.is_some() || !search.trim().is_empty());
        }
    }
}
