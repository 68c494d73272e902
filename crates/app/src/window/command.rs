//! The commands of the window: THE list from which menus, shortcuts, tips and the help table are made.
//!
//! What a command does is in `obey.rs`, and why it cannot be done now in `hindrance.rs`.

use super::areas::Area;
use egui::{Key, KeyboardShortcut, Modifiers};

macro_rules! commands {
    ($($(#[doc = $tip:literal])+ $command:ident = $name:literal, $menu:ident, $where:ident, [$($shortcut:expr),*];)+) => {
        /// Something a person can do by menu, by key or by button.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Command { $($(#[doc = $tip])+ $command,)+ }

        impl Command {
            /// Every command, in the order of the menus.
            pub const ALL: &'static [Self] = &[$(Self::$command),+];
            /// As menus and buttons name it.
            pub const fn name(self) -> &'static str { match self { $(Self::$command => $name),+ } }
            /// What it does, in one sentence.
            pub fn tip(self) -> &'static str { match self { $(Self::$command => concat!($($tip),+).trim_ascii()),+ } }
            /// The menu in which it stands.
            pub const fn menu(self) -> Menu { match self { $(Self::$command => Menu::$menu),+ } }
            /// Where its keys work.
            pub const fn reach(self) -> Reach { match self { $(Self::$command => Reach::$where),+ } }
            /// Its keys, the chief one first.
            pub const fn shortcuts(self) -> &'static [KeyboardShortcut] { match self { $(Self::$command => const { &[$($shortcut),*] }),+ } }
        }
    };
}

/// A menu.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Menu {
    /// Files.
    File,
    /// Changing the project.
    Edit,
    /// Where things stand on the sheet, and how.
    Arrange,
    /// Looking at it.
    View,
    /// Help.
    Help,
}

impl Menu {
    /// Every menu, in order.
    pub const ALL: [Self; 5] = [Self::File, Self::Edit, Self::Arrange, Self::View, Self::Help];

    /// Its title.
    pub const fn title(self) -> &'static str {
        match self {
            Self::File => "File",
            Self::Edit => "Edit",
            Self::Arrange => "Arrange",
            Self::View => "View",
            Self::Help => "Help",
        }
    }
}

/// Where the keys of a command work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reach {
    /// Wherever one is, also while typing.
    Everywhere,
    /// In the whole Draft area, but not while typing.
    Draft,
    /// In any area, but not while typing.
    NotTyping,
}

const fn key(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}
const fn ctrl(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}
const fn shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::SHIFT, key)
}
const fn ctrl_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
}

commands! {
    /// Begins an empty project.
    New = "New", File, Everywhere, [ctrl(Key::N)];
    /// Opens a project file.
    Open = "Open…", File, Everywhere, [ctrl(Key::O)];
    /// Writes the project to its file.
    Save = "Save", File, Everywhere, [ctrl(Key::S)];
    /// Writes the project to another file.
    SaveAs = "Save as…", File, Everywhere, [ctrl_shift(Key::S)];
    /// Closes the project and shows the files opened last.
    Close = "Close project", File, Everywhere, [ctrl(Key::W)];
    /// Types an item of your own stock in from its datasheet.
    AddStockItem = "Add an item of stock…", File, Everywhere, [];
    /// Takes items from a table into your own stock, and tells why the others are refused.
    ImportStock = "Import stock…", File, Everywhere, [];
    /// Writes every finding with its numbers, clause and remedies as PDF, HTML or text, with accepted advice and its reasons.
    WriteReview = "Write review…", File, Everywhere, [];
    /// Writes the sheet as PDF, SVG or DXF, by the ending of the name; all sheets where one is not enough.
    ExportSheet = "Export sheet…", File, Everywhere, [];
    /// Writes the sheet as a PDF to be printed, on the usual paper.
    PrintSheet = "Print sheet as PDF…", File, Everywhere, [ctrl(Key::P)];
    /// Closes the window.
    Quit = "Quit", File, Everywhere, [ctrl(Key::Q)];

    /// Takes the last step back.
    Undo = "Undo", Edit, NotTyping, [ctrl(Key::Z)];
    /// Takes the step again that was last taken back.
    Redo = "Redo", Edit, NotTyping, [ctrl_shift(Key::Z), ctrl(Key::Y)];
    /// Every step taken, to go back to any of them.
    History = "History", Edit, Everywhere, [ctrl(Key::H)];
    /// Copies what is selected and removes it.
    Cut = "Cut", Edit, Draft, [ctrl(Key::X)];
    /// Copies what is selected, as text that any window can take.
    Copy = "Copy", Edit, Draft, [ctrl(Key::C)];
    /// Puts copied blocks on the sheet, with tags of their own.
    Paste = "Paste", Edit, Draft, [ctrl(Key::V)];
    /// Puts a second one beside each selected block, with the next tag.
    Duplicate = "Duplicate", Edit, Draft, [ctrl(Key::D)];
    /// Removes what is selected, with the runs that land on it.
    Delete = "Delete", Edit, Draft, [key(Key::Delete), key(Key::Backspace)];
    /// Selects every block and run.
    SelectAll = "Select all", Edit, Draft, [ctrl(Key::A)];
    /// Selects nothing, or gives up what is under way.
    SelectNone = "Select nothing", Edit, Draft, [key(Key::Escape)];
    /// Selects the blocks within a line that is drawn round them, at the next drag.
    Lasso = "Select with a lasso", Edit, Draft, [key(Key::L)];
    /// Draws a run from the selected terminal or block, choosing the other end from a list.
    DrawRun = "Draw run…", Edit, Draft, [key(Key::W)];
    /// Goes on from the selected terminal or block with a block that fits there, chosen from a list.
    ContinueRun = "Continue with…", Edit, Draft, [shift(Key::W)];
    /// Puts a device into the selected run, chosen from a list.
    InsertInRun = "Insert in run…", Edit, Draft, [key(Key::I)];
    /// Puts a group of blocks on the sheet that belong together, wired and sized.
    AddTemplate = "Add template…", Edit, Draft, [shift(Key::T)];
    /// Takes another item of stock for the selected blocks, with their runs and settings kept.
    Swap = "Swap for…", Edit, Draft, [key(Key::X)];
    /// Takes another item of stock for every block on the sheet that is of the model of the selected one.
    ReplaceAll = "Replace across the sheet…", Edit, Draft, [shift(Key::X)];
    /// Goes to the first datum of what is selected.
    EditNameplate = "Edit nameplate", Edit, Draft, [key(Key::Enter)];
    /// Goes to the search of the stock shelf.
    FindStock = "Find in stock", Edit, Draft, [ctrl(Key::F), key(Key::Slash)];
    /// Finds blocks, runs, places, findings and everything that can be done, by any part of their names.
    Search = "Search for anything…", Edit, Everywhere, [ctrl(Key::K)];

    /// Turns the selected blocks a quarter.
    Rotate = "Rotate", Arrange, Draft, [key(Key::R)];
    /// Exchanges left and right of the selected blocks.
    Flip = "Flip", Arrange, Draft, [key(Key::F)];
    /// Lines the selected blocks up by their left edges, on the leftmost.
    AlignLeft = "Line up left edges", Arrange, Draft, [ctrl(Key::ArrowLeft)];
    /// Lines the selected blocks up by their right edges, on the rightmost.
    AlignRight = "Line up right edges", Arrange, Draft, [ctrl(Key::ArrowRight)];
    /// Lines the selected blocks up by their upper edges, on the highest.
    AlignTop = "Line up tops", Arrange, Draft, [ctrl(Key::ArrowUp)];
    /// Lines the selected blocks up by their lower edges, on the lowest.
    AlignBottom = "Line up bottoms", Arrange, Draft, [ctrl(Key::ArrowDown)];
    /// Puts the middles of the selected blocks on one level, side by side.
    AlignLevel = "Line up middles on a level", Arrange, Draft, [key(Key::H)];
    /// Puts the middles of the selected blocks one above the other.
    AlignUpright = "Line up middles upright", Arrange, Draft, [key(Key::V)];
    /// Spaces the selected blocks evenly from left to right; the outer two stay.
    SpaceAcross = "Space evenly across", Arrange, Draft, [shift(Key::H)];
    /// Spaces the selected blocks evenly from top to bottom; the outer two stay.
    SpaceDown = "Space evenly down", Arrange, Draft, [shift(Key::V)];
    /// Lays the whole sheet out anew: array at the left, loads at the right, batteries below.
    Tidy = "Tidy the sheet", Arrange, Draft, [key(Key::T)];
    /// Gives words and bends of what is selected back the places that they find themselves; those of the whole sheet when nothing is.
    OwnPlaces = "Place words and bends automatically", Arrange, Draft, [key(Key::O)];
    /// Gives tags their numbers anew in reading order, letters by letters: of what is selected, or of the whole sheet.
    Renumber = "Renumber tags", Arrange, Draft, [shift(Key::N)];
    /// Adds a place: round the selected blocks, or in the middle of the view.
    AddPlace = "Add place", Arrange, Draft, [key(Key::P)];
    /// Draws an enclosure round the selected blocks, within the place where they stand.
    Enclose = "Enclose", Arrange, Draft, [key(Key::E)];

    /// The project: title block, site, rule set, units.
    ShowBrief = "Brief", View, Everywhere, [ctrl(Key::Num1)];
    /// The sheet.
    ShowDraft = "Draft", View, Everywhere, [ctrl(Key::Num2)];
    /// The energy year: does the system on the sheet carry the loads of the brief?
    ShowYear = "Year", View, Everywhere, [ctrl(Key::Num3)];
    /// Larger, about the middle of the sheet.
    ZoomIn = "Zoom in", View, Draft, [key(Key::Plus), shift(Key::Plus), key(Key::Equals), shift(Key::Equals)];
    /// Smaller, about the middle of the sheet.
    ZoomOut = "Zoom out", View, Draft, [key(Key::Minus)];
    /// The sheet at its true scale.
    ZoomFull = "Zoom to 100 %", View, Draft, [key(Key::Num1)];
    /// The whole drawing.
    ZoomFit = "Zoom to fit", View, Draft, [key(Key::Num0)];
    /// What is selected.
    ZoomSelection = "Zoom to selection", View, Draft, [key(Key::Num2)];
    /// Shows or hides the stock shelf.
    ShowShelf = "Stock shelf", View, Everywhere, [];
    /// Shows or hides the nameplate with its ladder.
    ShowPlate = "Nameplate", View, Everywhere, [];
    /// Shows or hides the findings.
    ShowFindings = "Findings", View, Everywhere, [];
    /// Goes to the next finding.
    NextFinding = "Next finding", View, NotTyping, [key(Key::F8)];
    /// Goes to the finding before.
    PreviousFinding = "Previous finding", View, NotTyping, [shift(Key::F8)];
    /// What each rule set finds on this sheet, and what comes and goes from one to another.
    CompareRuleSets = "Compare rule sets…", View, Everywhere, [ctrl(Key::R)];
    /// Theme as the system has it.
    ThemeSystem = "Theme of the system", View, Everywhere, [];
    /// Warm paper and ink.
    ThemeLight = "Light theme", View, Everywhere, [];
    /// Slate and chalk.
    ThemeDark = "Dark theme", View, Everywhere, [];
    /// Everything in the window larger.
    ScaleUp = "Larger window text", View, Everywhere, [ctrl(Key::Plus), ctrl_shift(Key::Plus), ctrl(Key::Equals), ctrl_shift(Key::Equals)];
    /// Everything in the window smaller.
    ScaleDown = "Smaller window text", View, Everywhere, [ctrl(Key::Minus)];
    /// Everything in the window at its ordinary size.
    ScaleReset = "Ordinary window text", View, Everywhere, [ctrl(Key::Num0)];
    /// Theme, scale, units, motion.
    Settings = "Settings…", View, Everywhere, [ctrl(Key::Comma)];

    /// The user guide, beside the work.
    Guide = "Guide", Help, Everywhere, [shift(Key::F1)];
    /// Five steps through the window, on the demo project.
    Tour = "Take the tour", Help, Everywhere, [];
    /// Every key, in one table.
    Keys = "Keyboard", Help, Everywhere, [key(Key::F1)];
    /// What this program is, and under which licenses.
    About = "About Lineside", Help, Everywhere, [];
}

impl Command {
    /// Whether there must be a project for it.
    pub const fn needs_project(self) -> bool {
        match self.menu() {
            Menu::File => !matches!(self, Self::New | Self::Open | Self::Quit),
            Menu::Edit | Menu::Arrange => true,
            Menu::View => !matches!(
                self,
                Self::ThemeSystem
                    | Self::ThemeLight
                    | Self::ThemeDark
                    | Self::ScaleUp
                    | Self::ScaleDown
                    | Self::ScaleReset
                    | Self::Settings
            ),
            Menu::Help => false,
        }
    }

    /// The area in which it makes sense; `None` for any.
    pub const fn area(self) -> Option<Area> {
        match self.reach() {
            Reach::Draft => Some(Area::Draft),
            Reach::Everywhere | Reach::NotTyping => None,
        }
    }

    /// Whether a line stands above it in its menu.
    pub const fn begins_group(self) -> bool {
        matches!(
            self,
            Self::Save
                | Self::Quit
                | Self::Cut
                | Self::SelectAll
                | Self::DrawRun
                | Self::Swap
                | Self::EditNameplate
                | Self::AlignLeft
                | Self::AlignLevel
                | Self::SpaceAcross
                | Self::Tidy
                | Self::AddPlace
                | Self::ZoomIn
                | Self::ShowShelf
                | Self::NextFinding
                | Self::ThemeSystem
                | Self::ScaleUp
                | Self::Settings
                | Self::Keys
                | Self::About
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_commands_share_a_key() {
        let mut seen: Vec<(KeyboardShortcut, Command)> = Vec::new();
        for command in Command::ALL {
            for shortcut in command.shortcuts() {
                let other = seen.iter().find(|(taken, _)| taken == shortcut);
                assert!(other.is_none(), "{command:?} and {other:?}");
                seen.push((*shortcut, *command));
            }
        }
    }

    #[test]
    fn every_command_says_what_it_does() {
        for command in Command::ALL {
            assert!(command.tip().ends_with('.') || command.tip().len() > 3, "{command:?}");
            assert!(!command.name().is_empty());
        }
    }
}
