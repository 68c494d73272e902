//! Paper: sizes and margins of the sheets on which a drawing is printed.

use crate::geometry::{Area, Point};
use lineside_core::units::UnitSystem;

/// A size of paper, lying. Smaller ones have no room for the title block beside the key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PaperSize {
    /// ISO 216 A3, 420 × 297 mm.
    A3,
    /// ISO 216 A2, 594 × 420 mm.
    A2,
    /// ISO 216 A1, 841 × 594 mm.
    A1,
    /// ISO 216 A0, 1189 × 841 mm.
    A0,
    /// ANSI Y14.1 B, 17 × 11 in.
    AnsiB,
    /// ANSI Y14.1 C, 22 × 17 in.
    AnsiC,
    /// ANSI Y14.1 D, 34 × 22 in.
    AnsiD,
    /// ANSI Y14.1 E, 44 × 34 in.
    AnsiE,
}

/// One inch, mm.
const INCH: f32 = 25.4;

impl PaperSize {
    /// The usual size for a permit drawing in that system of units.
    pub const fn usual(units: UnitSystem) -> Self {
        match units {
            UnitSystem::Us => Self::AnsiB,
            UnitSystem::Si => Self::A3,
        }
    }
    /// As it is called.
    pub const fn label(self) -> &'static str {
        match self {
            Self::A3 => "A3",
            Self::A2 => "A2",
            Self::A1 => "A1",
            Self::A0 => "A0",
            Self::AnsiB => "ANSI B",
            Self::AnsiC => "ANSI C",
            Self::AnsiD => "ANSI D",
            Self::AnsiE => "ANSI E",
        }
    }
    /// The trimmed sheet, mm.
    pub const fn area(self) -> Area {
        let (width, height) = match self {
            Self::A3 => (420.0, 297.0),
            Self::A2 => (594.0, 420.0),
            Self::A1 => (841.0, 594.0),
            Self::A0 => (1189.0, 841.0),
            Self::AnsiB => (17.0 * INCH, 11.0 * INCH),
            Self::AnsiC => (22.0 * INCH, 17.0 * INCH),
            Self::AnsiD => (34.0 * INCH, 22.0 * INCH),
            Self::AnsiE => (44.0 * INCH, 34.0 * INCH),
        };
        Area::at(Point::new(0.0, 0.0), width, height)
    }
    /// The drawing frame: after ISO 5457, 20 mm for filing at the left and 10 mm elsewhere; after ANSI, half an
    /// inch all round, more on the larger sheets.
    pub const fn frame(self) -> Area {
        let sheet = self.area();
        match self {
            Self::A3 | Self::A2 | Self::A1 | Self::A0 => Area {
                left: sheet.left + 20.0,
                top: sheet.top + 10.0,
                right: sheet.right - 10.0,
                bottom: sheet.bottom - 10.0,
            },
            Self::AnsiB => sheet.grown(-0.5 * INCH),
            Self::AnsiC => sheet.grown(-0.75 * INCH),
            Self::AnsiD | Self::AnsiE => sheet.grown(-INCH),
        }
    }
}

/// The paper of a drawing, and how the circuit came onto it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// Its size.
    pub size: PaperSize,
    /// By how much the circuit was made smaller to fit; 1 when it fits as it is. Line widths are kept.
    pub scale: f32,
    /// Height of the smallest lettering on it, mm. Below 1.8 mm the sheet should be split or printed larger.
    pub least_lettering: f32,
}
