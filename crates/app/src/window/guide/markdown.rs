//! The guide's text as blocks of spans: as much of Markdown as the guide uses.
//!
//! Parsing is pulldown-cmark's; how blocks look is `page.rs`'s.

use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};

/// How a span of text is meant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::window) enum Voice {
    /// Ordinary.
    #[default]
    Plain,
    /// Weighty.
    Strong,
    /// Set off.
    Aside,
    /// To be typed as it stands, or read off as it stands.
    Literal,
}

/// A piece of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::window) struct Span {
    pub text: String,
    pub voice: Voice,
    /// Where it leads.
    pub link: Option<String>,
}

/// A piece of a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::window) enum Block {
    /// A heading, with its rank from 1.
    Heading(u8, String),
    /// A paragraph.
    Paragraph(Vec<Span>),
    /// An item of a list: how deep, and its number where it has one.
    Item(usize, Option<u64>, Vec<Span>),
    /// Lines as they are to be typed.
    Lines(String),
    /// A warning.
    Warning(Vec<Span>),
    /// A table: its rows, the heads first.
    Table(Vec<Vec<Vec<Span>>>),
    /// A picture, in words; the window itself is what it shows.
    Picture(String),
}

#[derive(Default)]
struct Reader {
    blocks: Vec<Block>,
    spans: Vec<Span>,
    voices: Vec<Voice>,
    link: Option<String>,
    /// The next number of each list that is open; `None` for lists without.
    lists: Vec<Option<u64>>,
    /// The item whose text is being read.
    item: Option<(usize, Option<u64>)>,
    quoted: bool,
    lines: Option<String>,
    picture: Option<String>,
    rows: Vec<Vec<Vec<Span>>>,
}

/// The blocks of a text.
pub(in crate::window) fn read(text: &str) -> Vec<Block> {
    let mut reader = Reader::default();
    for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
        match event {
            Event::Start(tag) => reader.start(tag),
            Event::End(tag) => reader.end(tag),
            Event::Text(text) => reader.text(&text, Voice::Plain),
            Event::Code(text) => reader.text(&text, Voice::Literal),
            Event::SoftBreak | Event::HardBreak => reader.text(" ", Voice::Plain),
            Event::InlineMath(_)
            | Event::DisplayMath(_)
            | Event::Html(_)
            | Event::InlineHtml(_)
            | Event::FootnoteReference(_)
            | Event::Rule
            | Event::TaskListMarker(_) => {}
        }
    }
    reader.blocks
}

/// The first heading.
pub(super) fn title(blocks: &[Block]) -> String {
    let title =
        blocks.iter().find_map(|block| if let Block::Heading(1, text) = block { Some(text) } else { None });
    title.cloned().unwrap_or_default()
}

/// Every link.
#[cfg(test)]
pub(super) fn links(blocks: &[Block]) -> Vec<String> {
    let spans = |block: &Block| match block {
        Block::Paragraph(spans) | Block::Item(_, _, spans) | Block::Warning(spans) => spans.clone(),
        Block::Table(rows) => rows.iter().flatten().flatten().cloned().collect(),
        Block::Heading(..) | Block::Lines(_) | Block::Picture(_) => Vec::new(),
    };
    blocks.iter().flat_map(spans).filter_map(|span| span.link).collect()
}

impl Reader {
    fn start(&mut self, tag: Tag<'_>) {
        match tag {
            Tag::Strong => self.voices.push(Voice::Strong),
            Tag::Emphasis => self.voices.push(Voice::Aside),
            Tag::Link { dest_url, .. } => self.link = Some(dest_url.into_string()),
            Tag::Image { .. } => self.picture = Some(String::new()),
            Tag::CodeBlock(_) => self.lines = Some(String::new()),
            Tag::BlockQuote(_) => self.quoted = true,
            Tag::List(first) => {
                self.flush();
                self.lists.push(first);
            }
            Tag::Item => {
                let depth = self.lists.len();
                let number = self.lists.last_mut().and_then(|next| {
                    let now = *next;
                    *next = now.map(|number| number + 1);
                    now
                });
                self.item = Some((depth, number));
            }
            Tag::TableHead | Tag::TableRow => self.rows.push(Vec::new()),
            Tag::Paragraph
            | Tag::Heading { .. }
            | Tag::HtmlBlock
            | Tag::FootnoteDefinition(_)
            | Tag::DefinitionList
            | Tag::DefinitionListTitle
            | Tag::DefinitionListDefinition
            | Tag::Table(_)
            | Tag::TableCell
            | Tag::Strikethrough
            | Tag::Superscript
            | Tag::Subscript
            | Tag::MetadataBlock(_) => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Strong | TagEnd::Emphasis => {
                self.voices.pop();
            }
            TagEnd::Link => self.link = None,
            TagEnd::Image => {
                if let Some(words) = self.picture.take() {
                    self.blocks.push(Block::Picture(words));
                }
            }
            TagEnd::CodeBlock => {
                if let Some(lines) = self.lines.take() {
                    self.blocks.push(Block::Lines(lines.trim_end().to_owned()));
                }
            }
            TagEnd::BlockQuote(_) => self.quoted = false,
            TagEnd::Heading(level) => {
                let text = std::mem::take(&mut self.spans).into_iter().map(|span| span.text).collect();
                self.blocks.push(Block::Heading(rank(level), text));
            }
            TagEnd::Paragraph => self.flush(),
            TagEnd::Item => {
                self.flush();
                self.item = None;
            }
            TagEnd::List(_) => {
                self.lists.pop();
            }
            TagEnd::TableCell => {
                let cell = std::mem::take(&mut self.spans);
                if let Some(row) = self.rows.last_mut() {
                    row.push(cell);
                }
            }
            TagEnd::Table => self.blocks.push(Block::Table(std::mem::take(&mut self.rows))),
            TagEnd::HtmlBlock
            | TagEnd::FootnoteDefinition
            | TagEnd::DefinitionList
            | TagEnd::DefinitionListTitle
            | TagEnd::DefinitionListDefinition
            | TagEnd::TableHead
            | TagEnd::TableRow
            | TagEnd::Strikethrough
            | TagEnd::Superscript
            | TagEnd::Subscript
            | TagEnd::MetadataBlock(_) => {}
        }
    }

    fn text(&mut self, text: &str, voice: Voice) {
        if let Some(lines) = &mut self.lines {
            lines.push_str(text);
        } else if let Some(words) = &mut self.picture {
            words.push_str(text);
        } else {
            let around = self.voices.last().copied().unwrap_or_default();
            let voice = if voice == Voice::Plain { around } else { voice };
            let link = self.link.clone();
            match self.spans.last_mut() {
                Some(last) if last.voice == voice && last.link == link => last.text.push_str(text),
                _ => self.spans.push(Span { text: text.to_owned(), voice, link }),
            }
        }
    }

    /// Ends what is being read as a paragraph, a warning or an item.
    fn flush(&mut self) {
        let spans = std::mem::take(&mut self.spans);
        if spans.is_empty() {
            return;
        }
        self.blocks.push(match self.item {
            Some((depth, number)) => Block::Item(depth, number, spans),
            None if self.quoted => Block::Warning(spans),
            None => Block::Paragraph(spans),
        });
    }
}

const fn rank(level: HeadingLevel) -> u8 {
    match level {
        HeadingLevel::H1 => 1,
        HeadingLevel::H2 => 2,
        HeadingLevel::H3 | HeadingLevel::H4 | HeadingLevel::H5 | HeadingLevel::H6 => 3,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(text: &str) -> Span {
        Span { text: text.to_owned(), voice: Voice::Plain, link: None }
    }

    #[test]
    fn every_kind_of_block_is_read() {
        let text = "# One\n\nA **bold** *word*,\n`24 in` and [more](stock.md).\n\n1. first\n2. second\n   - inner\n\n> Beware.\n\n```\nlineside check\n```\n\n![The sheet](a.png)\n\n| a | b |\n|---|---|\n| 1 | 2 |\n";
        let blocks = read(text);
        assert_eq!(title(&blocks), "One");
        let Block::Paragraph(spans) = &blocks[1] else { panic!("{blocks:?}") };
        let voices: Vec<(&str, Voice)> = spans.iter().map(|span| (span.text.as_str(), span.voice)).collect();
        assert_eq!(
            voices,
            [
                ("A ", Voice::Plain),
                ("bold", Voice::Strong),
                (" ", Voice::Plain),
                ("word", Voice::Aside),
                (", ", Voice::Plain),
                ("24 in", Voice::Literal),
                (" and ", Voice::Plain),
                ("more", Voice::Plain),
                (".", Voice::Plain),
            ]
        );
        assert_eq!(links(&blocks), ["stock.md"]);
        assert_eq!(
            blocks[2..],
            [
                Block::Item(1, Some(1), vec![plain("first")]),
                Block::Item(1, Some(2), vec![plain("second")]),
                Block::Item(2, None, vec![plain("inner")]),
                Block::Warning(vec![plain("Beware.")]),
                Block::Lines("lineside check".to_owned()),
                Block::Picture("The sheet".to_owned()),
                Block::Table(vec![
                    vec![vec![plain("a")], vec![plain("b")]],
                    vec![vec![plain("1")], vec![plain("2")]],
                ]),
            ]
        );
    }
}
