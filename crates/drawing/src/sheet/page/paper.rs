//! Paper: sizes and margins of the sheets on which a drawing is printed.

use crate::geometry::{Area, Point};
use lineside_core::units::UnitSystem;

/// A size of paper, lying.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PaperSize {
    /// ISO 216 A3, 420 × 297 mm.
    A3,
    /// ANSI Y14.1 B, 17 × 11 in.
    AnsiB,
}

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
            Self::AnsiB => "ANSI B",
        }
    }
    /// The trimmed sheet, mm.
    pub const fn area(self) -> Area {
        let (width, height) = match self {
            Self::A3 => (420.0, 297.0),
            Self::AnsiB => (431.8, 279.4),
        };
        Area::at(Point::new(0.0, 0.0), width, height)
    }
    /// The drawing frame: after ISO 5457, 20 mm for filing at the left and 10 mm elsewhere; after ANSI, half an
    /// inch all round.
    pub const fn frame(self) -> Area {
        let sheet = self.area();
        match self {
            Self::A3 => Area {
                left: sheet.left + 20.0,
                top: sheet.top + 10.0,
                right: sheet.right - 10.0,
                bottom: sheet.bottom - 10.0,
            },
            Self::AnsiB => sheet.grown(-12.7),
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
