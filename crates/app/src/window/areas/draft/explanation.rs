//! The words of a rule's own page: headings, paragraphs, lists and pieces of formulas, as the window shows them under a
//! working and where a rule is pointed at.

use crate::window::fonts;
use crate::window::guide::markdown::{self, Block, Span, Voice};
use crate::window::symbols;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::text::{LayoutJob, TextFormat};
use egui::{Color32, FontFamily, FontId, Label, RichText, Ui};

/// What a rule is about, for where its name is pointed at.
pub fn explain_ui(ui: &mut Ui, view: &View<'_>, rule: &str) {
    ui.set_max_width(440.0);
    if let Some(known) = lineside_rules::ALL.iter().find(|known| known.id == rule) {
        let title = RichText::new(known.title.trim()).font(FontId::new(fonts::BODY, fonts::strong()));
        ui.add(Label::new(title).wrap());
        let clause = known.clause(view.project().rule_set).filter(|clause| !clause.is_empty());
        let clause = clause.unwrap_or("Engineering judgement; no clause demands it.");
        ui.add(Label::new(RichText::new(clause).font(fonts::small()).color(view.tokens.soft_ink)).wrap());
        ui.add_space(4.0);
    }
    explanation_ui(ui, view.tokens, rule);
}

/// The harm and the reason, in the words of the rule's own page.
pub fn explanation_ui(ui: &mut Ui, tokens: &Tokens, rule: &str) {
    let Some(rule) = lineside_rules::ALL.iter().find(|known| known.id == rule) else { return };
    for block in markdown::read(&unindented(rule.explanation)) {
        match block {
            Block::Heading(_, text) => {
                ui.add_space(6.0);
                let title = RichText::new(text).font(FontId::new(fonts::SMALL, fonts::strong()));
                ui.add(Label::new(title.color(tokens.ink)).wrap());
                ui.add_space(1.0);
            }
            Block::Paragraph(spans) | Block::Warning(spans) => {
                ui.add(Label::new(job("", &spans, tokens)).wrap());
                ui.add_space(3.0);
            }
            Block::Item(_, number, spans) => {
                let mark = number.map_or_else(|| "•  ".to_owned(), |number| format!("{number}.  "));
                ui.add(Label::new(job(&mark, &spans, tokens)).wrap());
                ui.add_space(2.0);
            }
            Block::Lines(lines) => {
                ui.add(Label::new(RichText::new(symbols::plain(&lines)).color(tokens.ink)).wrap());
                ui.add_space(3.0);
            }
            // No rule's page has them.
            Block::Table(_) | Block::Picture(_) => {}
        }
    }
}

/// The text without the space that stands before each line of a doc comment: Markdown would take much of it for code.
fn unindented(explanation: &str) -> String {
    let lines: Vec<&str> = explanation.lines().map(str::trim).collect();
    lines.join("\n")
}

fn job(mark: &str, spans: &[Span], tokens: &Tokens) -> LayoutJob {
    let mut job = LayoutJob::default();
    let format = |voice: Voice| TextFormat {
        font_id: FontId::new(
            fonts::BODY,
            if voice == Voice::Strong { fonts::strong() } else { FontFamily::Proportional },
        ),
        color: if matches!(voice, Voice::Literal | Voice::Strong) { tokens.ink } else { tokens.soft_ink },
        background: if voice == Voice::Literal { tokens.panel } else { Color32::TRANSPARENT },
        italics: voice == Voice::Aside,
        ..TextFormat::default()
    };
    job.append(mark, 0.0, format(Voice::Plain));
    for span in spans {
        job.append(&symbols::plain(&span.text), 0.0, format(span.voice));
    }
    job
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::Theme;

    #[test]
    fn no_mark_of_markdown_is_left_in_the_words_of_any_rule() {
        for rule in lineside_rules::ALL {
            let blocks = markdown::read(&unindented(rule.explanation));
            assert!(blocks.iter().any(|block| matches!(block, Block::Heading(..))), "{}", rule.id);
            for block in blocks {
                let text = match block {
                    Block::Heading(_, text) => text,
                    Block::Paragraph(spans) | Block::Warning(spans) | Block::Item(_, _, spans) => {
                        job("", &spans, Tokens::of(Theme::Light)).text
                    }
                    Block::Lines(_) | Block::Table(_) | Block::Picture(_) => {
                        panic!("{}: {block:?}", rule.id)
                    }
                };
                assert!(
                    !text.contains('`') && !text.contains("##") && !text.contains("**"),
                    "{}: {text}",
                    rule.id
                );
            }
        }
    }
}
