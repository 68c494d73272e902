//! Why a command cannot be done now, in the words that menus and notices show.

use super::command::Command;
use super::edits::words::own_places;
use super::view::View;

impl Command {
    /// Why it cannot be done now; `None` when it can.
    pub fn hindrance(self, view: &View<'_>) -> Option<&'static str> {
        if self.needs_project() && !view.standing.has_project() {
            return Some("Open a project first.");
        }
        let selection = view.selection;
        let history = &view.document.history;
        let unless = |possible: bool, why| (!possible).then_some(why);
        let (blocks, runs) = (selection.blocks.len(), selection.runs.len());
        match self {
            Self::Undo => unless(history.undo_label().is_some(), "There is no step to take back."),
            Self::Redo => unless(history.redo_label().is_some(), "There is no step to take again."),
            Self::Copy
            | Self::Cut
            | Self::Duplicate
            | Self::Rotate
            | Self::Flip
            | Self::Enclose
            | Self::Swap => unless(blocks > 0, "Select one or more blocks first."),
            Self::AlignLeft
            | Self::AlignRight
            | Self::AlignTop
            | Self::AlignBottom
            | Self::AlignLevel
            | Self::AlignUpright => unless(blocks > 1, "Select two or more blocks first."),
            Self::SpaceAcross | Self::SpaceDown => unless(blocks > 2, "Select three or more blocks first."),
            Self::ReplaceAll | Self::ContinueRun => unless(blocks == 1, "Select one block first."),
            Self::InsertInRun => unless(runs == 1 && blocks == 0, "Select one run first."),
            Self::Delete | Self::ZoomSelection | Self::EditNameplate => {
                unless(!selection.is_empty(), "Select something first.")
            }
            Self::Tidy | Self::Renumber | Self::Lasso | Self::ExportSheet | Self::PrintSheet => {
                unless(view.project().circuit.block_count() > 0, "There is nothing on the sheet.")
            }
            Self::DrawRun => unless(view.project().circuit.block_count() > 1, "A run needs two blocks."),
            Self::NextFinding | Self::PreviousFinding => {
                unless(view.derived.open().next().is_some(), "There are no open findings.")
            }
            Self::OwnPlaces => unless(
                own_places(view.project(), selection).is_some(),
                "All words and bends stand where they find room by themselves.",
            ),
            Self::Close
            | Self::Settings
            | Self::Guide
            | Self::Tour
            | Self::New
            | Self::Open
            | Self::Save
            | Self::SaveAs
            | Self::AddStockItem
            | Self::ImportStock
            | Self::WriteReview
            | Self::Quit
            | Self::Paste
            | Self::SelectAll
            | Self::SelectNone
            | Self::AddPlace
            | Self::FindStock
            | Self::History
            | Self::AddTemplate
            | Self::Search
            | Self::ShowBrief
            | Self::ShowDraft
            | Self::ShowYear
            | Self::ZoomIn
            | Self::ZoomOut
            | Self::ZoomFull
            | Self::ZoomFit
            | Self::ShowShelf
            | Self::ShowPlate
            | Self::ShowFindings
            | Self::CompareRuleSets
            | Self::ThemeSystem
            | Self::ThemeLight
            | Self::ThemeDark
            | Self::ScaleUp
            | Self::ScaleDown
            | Self::ScaleReset
            | Self::Keys
            | Self::About => None,
        }
    }
}
