//! Pen classes: what a line or a word *is*. How wide it is drawn and in which pattern is here; its color is
//! the business of each writer.

/// The circuit that a conductor belongs to, as the sheet shows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// The array side.
    Pv,
    /// The battery bus.
    Battery,
    /// Alternating current.
    Ac,
    /// Equipment ground and earth.
    Earth,
    /// Dead in the case that is shown.
    Dead,
}

impl Ink {
    /// Every ink, in the order of the key.
    pub const ALL: [Self; 5] = [Self::Pv, Self::Battery, Self::Ac, Self::Earth, Self::Dead];

    /// As the key on the sheet names it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Pv => "Array side",
            Self::Battery => "Battery bus",
            Self::Ac => "AC",
            Self::Earth => "Grounding",
            Self::Dead => "Dead in this case",
        }
    }
}

/// The class of a line, a filled figure or a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pen {
    /// Frame of the drawing.
    Frame,
    /// Bus bar.
    Bus(Ink),
    /// Conductors of a run.
    Run(Ink),
    /// Junction dot on a run.
    Joint(Ink),
    /// Flag where a field run passes the outline of a place.
    Flag(Ink),
    /// Symbols.
    Symbol,
    /// Bonding jumper.
    Bond,
    /// Leaders, title block, sense leads, open terminals.
    Thin,
    /// Mechanical links, control and data lines.
    Link,
    /// Outline of an enclosure.
    Enclosure,
    /// Outline of a place.
    Place,
    /// Words.
    Text,
    /// Words that matter less.
    SoftText,
    /// The paper itself: what is filled with it covers what lies behind.
    Paper,
    /// Marks of a danger.
    Danger,
    /// Marks of a correction.
    Correction,
    /// Marks of advice.
    Advice,
    /// What is selected.
    Selection,
    /// What would be there: a block being placed, a remedy being looked at.
    Ghost,
    /// Compare: what was taken away.
    Removed,
    /// Compare: what was added.
    Added,
}

impl Pen {
    /// Every pen.
    pub const ALL: [Self; 37] = {
        use Ink::{Ac, Battery, Dead, Earth, Pv};
        [
            Self::Frame,
            Self::Bus(Pv),
            Self::Bus(Battery),
            Self::Bus(Ac),
            Self::Bus(Earth),
            Self::Bus(Dead),
            Self::Run(Pv),
            Self::Run(Battery),
            Self::Run(Ac),
            Self::Run(Earth),
            Self::Run(Dead),
            Self::Joint(Pv),
            Self::Joint(Battery),
            Self::Joint(Ac),
            Self::Joint(Earth),
            Self::Joint(Dead),
            Self::Flag(Pv),
            Self::Flag(Battery),
            Self::Flag(Ac),
            Self::Flag(Earth),
            Self::Flag(Dead),
            Self::Symbol,
            Self::Bond,
            Self::Thin,
            Self::Link,
            Self::Enclosure,
            Self::Place,
            Self::Text,
            Self::SoftText,
            Self::Paper,
            Self::Danger,
            Self::Correction,
            Self::Advice,
            Self::Selection,
            Self::Ghost,
            Self::Removed,
            Self::Added,
        ]
    };

    /// Width of its line on paper, mm: the steps of ISO 128, each √2 of the one before.
    pub const fn width_mm(self) -> f32 {
        match self {
            Self::Bus(_) => 1.4,
            Self::Frame | Self::Run(Ink::Battery) | Self::Bond => 0.7,
            Self::Run(Ink::Pv | Ink::Ac) | Self::Added | Self::Selection => 0.5,
            Self::Run(Ink::Earth)
            | Self::Flag(_)
            | Self::Symbol
            | Self::Place
            | Self::Removed
            | Self::Ghost
            | Self::Danger
            | Self::Correction
            | Self::Advice => 0.35,
            Self::Run(Ink::Dead)
            | Self::Joint(_)
            | Self::Thin
            | Self::Link
            | Self::Enclosure
            | Self::Text
            | Self::SoftText
            | Self::Paper => 0.25,
        }
    }

    /// Lengths of its dashes and gaps in turn, mm, beginning with a dash; empty for a whole line.
    pub const fn pattern(self) -> &'static [f32] {
        match self {
            Self::Run(Ink::Ac) => &[9.0, 1.5],
            Self::Run(Ink::Earth) => &[3.0, 1.5],
            Self::Enclosure => &[6.0, 1.0, 0.5, 1.0],
            Self::Place => &[6.0, 1.0, 0.5, 1.0, 0.5, 1.0],
            Self::Link | Self::Selection | Self::Ghost | Self::Removed => &[2.0, 1.0],
            Self::Frame
            | Self::Bus(_)
            | Self::Run(Ink::Pv | Ink::Battery | Ink::Dead)
            | Self::Joint(_)
            | Self::Flag(_)
            | Self::Symbol
            | Self::Bond
            | Self::Thin
            | Self::Text
            | Self::SoftText
            | Self::Paper
            | Self::Danger
            | Self::Correction
            | Self::Advice
            | Self::Added => &[],
        }
    }
}
