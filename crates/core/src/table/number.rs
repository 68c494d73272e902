//! Numbers as spreadsheets write them: decimal points or commas, thousands apart or not.

/// What marks the decimals of a file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum DecimalMark {
    #[default]
    Point,
    Comma,
}

/// Reads a number; thousands may be set apart by the other mark, by spaces or by apostrophes, three digits each.
pub(super) fn read(text: &str, mark: DecimalMark) -> Option<f64> {
    let tidy = text.trim().replace(['\u{2212}', '\u{2013}'], "-");
    let (decimal, other) = match mark {
        DecimalMark::Point => ('.', ','),
        DecimalMark::Comma => (',', '.'),
    };
    let (whole, rest) = tidy.split_once(decimal).map_or((tidy.as_str(), None), |(w, r)| (w, Some(r)));
    let apart = [other, ' ', '\u{a0}', '\u{202f}', '\''];
    let mut plain = if whole.contains(apart) { without_thousands(whole, &apart)? } else { whole.to_owned() };
    if let Some(rest) = rest {
        plain.push('.');
        plain.push_str(rest);
    }
    plain.parse().ok().filter(|number: &f64| number.is_finite())
}

/// `1,234,567` without its commas; `None` when the groups are not of three digits.
fn without_thousands(whole: &str, apart: &[char]) -> Option<String> {
    let digits = whole.trim_start_matches(['-', '+']);
    let mut groups = digits.split(apart);
    let first = groups.next()?;
    let fits = |group: &str, least: usize| {
        group.len() <= 3 && group.len() >= least && group.bytes().all(|byte| byte.is_ascii_digit())
    };
    (fits(first, 1) && groups.all(|group| fits(group, 3))).then(|| whole.replace(apart, ""))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_spreadsheets() {
        let point = |text| read(text, DecimalMark::Point);
        let comma = |text| read(text, DecimalMark::Comma);
        assert_eq!(point("12.5"), Some(12.5));
        assert_eq!(point(" −3 "), Some(-3.0));
        assert_eq!(point("1,234.5"), Some(1234.5));
        assert_eq!(point("1 234"), Some(1234.0));
        assert_eq!(point("1,23"), None, "no thousands, and no decimal point");
        assert_eq!(comma("12,5"), Some(12.5));
        assert_eq!(comma("1.234,5"), Some(1234.5));
        assert_eq!(comma("1.23"), None);
        for wrong in ["", "NaN", "inf", "1e999", "twelve", "1,,234", ",234"] {
            assert_eq!(point(wrong), None, "{wrong}");
        }
        assert_eq!(point("1e2"), Some(100.0));
    }
}
