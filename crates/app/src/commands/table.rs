//! Tables of text: columns under headings, long cells broken at their words.
//!
//! What stands in the cells is the commands'.

/// On which side of its column a cell stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A column.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// What stands above it.
    pub heading: &'static str,
    /// How many characters wide it may become.
    pub widest: usize,
    /// On which side its cells stand.
    pub align: Align,
}

/// A column of words.
pub const fn words(heading: &'static str, widest: usize) -> Column {
    Column { heading, widest, align: Align::Left }
}

/// A column of numbers, never broken.
pub const fn numbers(heading: &'static str) -> Column {
    Column { heading, widest: usize::MAX, align: Align::Right }
}

/// Rows under headings.
#[derive(Debug)]
pub struct Table {
    columns: Vec<Column>,
    rows: Vec<Vec<String>>,
}

const GAP: &str = "  ";

impl Table {
    /// Without rows.
    pub fn new(columns: &[Column]) -> Self {
        Self { columns: columns.to_vec(), rows: Vec::new() }
    }
    /// Adds a row; cells in the order of the columns.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        debug_assert_eq!(N, self.columns.len(), "a cell for each column");
        self.rows.push(cells.into());
    }
    /// Whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The table as text, each line after so many spaces.
    pub fn show(&self, indent: usize) -> String {
        let broken: Vec<Vec<Vec<String>>> = self
            .rows
            .iter()
            .map(|row| row.iter().zip(&self.columns).map(|(cell, at)| broken(cell, at.widest)).collect())
            .collect();
        let widths: Vec<usize> = self
            .columns
            .iter()
            .enumerate()
            .map(|(i, column)| {
                let cells = broken.iter().filter_map(|row| row.get(i)).flatten();
                cells.map(|line| length(line)).chain([length(column.heading)]).max().unwrap_or(0)
            })
            .collect();
        let mut out = String::new();
        let headings: Vec<&str> = self.columns.iter().map(|column| column.heading).collect();
        if headings.iter().any(|heading| !heading.is_empty()) {
            self.line(&mut out, &headings, &widths, indent);
        }
        for row in &broken {
            let height = row.iter().map(Vec::len).max().unwrap_or(0);
            for i in 0..height {
                let cells: Vec<&str> =
                    row.iter().map(|cell| cell.get(i).map_or("", String::as_str)).collect();
                self.line(&mut out, &cells, &widths, indent);
            }
        }
        out
    }

    fn line(&self, out: &mut String, cells: &[&str], widths: &[usize], indent: usize) {
        let start = out.len();
        out.push_str(&" ".repeat(indent));
        for (i, ((cell, width), column)) in cells.iter().zip(widths).zip(&self.columns).enumerate() {
            if i > 0 {
                out.push_str(GAP);
            }
            let space = " ".repeat(width.saturating_sub(length(cell)));
            match column.align {
                Align::Left => out.extend([cell, space.as_str()]),
                Align::Right => out.extend([space.as_str(), cell]),
            }
        }
        let end = out.trim_end_matches(' ').len().max(start);
        out.truncate(end);
        out.push('\n');
    }
}

fn length(text: &str) -> usize {
    text.chars().count()
}

/// A text in lines of at most `widest` characters. A word that is longer than a line is cut, at a hyphen if it
/// has one.
pub fn broken(text: &str, widest: usize) -> Vec<String> {
    let widest = widest.max(1);
    let mut lines = vec![String::new()];
    let mut used = 0;
    for word in text.split_whitespace() {
        let mut rest = word;
        if used > 0 {
            if used + 1 + length(word) <= widest {
                push(&mut lines, " ");
                push(&mut lines, word);
                used += 1 + length(word);
                continue;
            }
            lines.push(String::new());
        }
        while length(rest) > widest {
            let (head, tail) = rest.split_at(cut_at(rest, widest));
            push(&mut lines, head);
            lines.push(String::new());
            rest = tail;
        }
        push(&mut lines, rest);
        used = length(rest);
    }
    lines
}

/// Where an overlong word is cut so that its head fits: behind a hyphen, else wherever the line ends.
fn cut_at(word: &str, widest: usize) -> usize {
    let end = word.char_indices().nth(widest).map_or(word.len(), |(at, _)| at);
    word.get(..end).and_then(|head| head.rfind('-')).map_or(end, |hyphen| hyphen + 1)
}

fn push(lines: &mut [String], text: &str) {
    if let Some(last) = lines.last_mut() {
        last.push_str(text);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_kept_whole_and_overlong_ones_cut() {
        let check =
            |text: &str, widest, expected: &[&str]| assert_eq!(broken(text, widest), expected, "{text}");
        check("", 5, &[""]);
        check("two words", 9, &["two words"]);
        check("two words", 8, &["two", "words"]);
        check("a conductor", 4, &["a", "cond", "ucto", "r"]);
        check("by both-ends-disconnect", 11, &["by", "both-ends-", "disconnect"]);
        check("−31 °C →", 8, &["−31 °C →"]);
    }

    #[test]
    fn columns_stand_under_their_headings() {
        let mut table = Table::new(&[words("what", 8), numbers("found")]);
        table.row(["▲ S1".to_owned(), "157.20 V".to_owned()]);
        table.row(["a cold string".to_owned(), "9.00 V".to_owned()]);
        let expected = "  what       found\n  ▲ S1    157.20 V\n  a cold    9.00 V\n  string\n";
        assert_eq!(table.show(2), expected);
    }
}
