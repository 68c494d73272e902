//! Inside of raceways: NEC Chapter 9 Table 4.
//!
//! How much of it conductors may fill are factors; areas of conductors are in `conductor_area.rs`.

use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{Row, TableFile, table_file};
use lineside_core::circuit::RacewaySize;
use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{Measure, Millimeters, SquareCentimeters, Unit};

pub(crate) const FILE: TableFile = table_file!("nec/nec-ch9-t4-emt-pvc-fill.csv");
const SOURCE: &str = "Chapter 9 Table 4";

/// A kind of raceway whose inside the table gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RacewayKind {
    /// Electrical metallic tubing, Article 358.
    Emt,
    /// Rigid PVC conduit, schedule 40, Article 352.
    PvcSchedule40,
    /// Rigid PVC conduit, schedule 80, Article 352.
    PvcSchedule80,
    /// Rigid metal conduit, Article 344.
    RigidMetal,
}

impl RacewayKind {
    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Emt, Self::PvcSchedule40, Self::PvcSchedule80, Self::RigidMetal];

    const fn key(self) -> &'static str {
        match self {
            Self::Emt => "emt",
            Self::PvcSchedule40 => "pvc40",
            Self::PvcSchedule80 => "pvc80",
            Self::RigidMetal => "rmc",
        }
    }
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Emt => "EMT",
            Self::PvcSchedule40 => "PVC schedule 40",
            Self::PvcSchedule80 => "PVC schedule 80",
            Self::RigidMetal => "rigid metal conduit",
        }
    }
}

/// Trade size of a raceway.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "trade sizes need no explanation")]
pub enum TradeSize {
    Half,
    ThreeQuarters,
    One,
    OneAndQuarter,
    OneAndHalf,
    Two,
    TwoAndHalf,
    Three,
    ThreeAndHalf,
    Four,
}

impl TradeSize {
    /// Every size, small to large.
    pub const ALL: [Self; 10] = [
        Self::Half,
        Self::ThreeQuarters,
        Self::One,
        Self::OneAndQuarter,
        Self::OneAndHalf,
        Self::Two,
        Self::TwoAndHalf,
        Self::Three,
        Self::ThreeAndHalf,
        Self::Four,
    ];

    /// As the trade writes it, in inches: `1-1/4`.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Half => "1/2",
            Self::ThreeQuarters => "3/4",
            Self::One => "1",
            Self::OneAndQuarter => "1-1/4",
            Self::OneAndHalf => "1-1/2",
            Self::Two => "2",
            Self::TwoAndHalf => "2-1/2",
            Self::Three => "3",
            Self::ThreeAndHalf => "3-1/2",
            Self::Four => "4",
        }
    }
}

impl From<RacewaySize> for TradeSize {
    fn from(size: RacewaySize) -> Self {
        match size {
            RacewaySize::Half => Self::Half,
            RacewaySize::ThreeQuarters => Self::ThreeQuarters,
            RacewaySize::One => Self::One,
            RacewaySize::OneAndQuarter => Self::OneAndQuarter,
            RacewaySize::OneAndHalf => Self::OneAndHalf,
            RacewaySize::Two => Self::Two,
            RacewaySize::TwoAndHalf => Self::TwoAndHalf,
            RacewaySize::Three => Self::Three,
            RacewaySize::ThreeAndHalf => Self::ThreeAndHalf,
            RacewaySize::Four => Self::Four,
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct Inside {
    kind: RacewayKind,
    trade_size: TradeSize,
    metric_designator: u32,
    diameter: Millimeters,
    area: SquareCentimeters,
    confidence: Confidence,
}

/// The table of raceways.
#[derive(Clone, Debug)]
pub struct RacewayArea {
    rows: Vec<Inside>,
}

impl RacewayArea {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut rows: Vec<Inside> = Vec::new();
        for row in file.read()?.iter() {
            let inside = Inside {
                kind: row.one_of("raceway", &RacewayKind::ALL, RacewayKind::key)?,
                trade_size: row.one_of("trade_size", &TradeSize::ALL, TradeSize::label)?,
                metric_designator: row.whole("metric")?,
                diameter: inches(row, "inner_dia_in", "in")?,
                area: inches(row, "area_in2", "in²")?,
                confidence: row.confidence("confidence")?,
            };
            let last = rows.last().filter(|last| last.kind == inside.kind);
            if last.is_some_and(|last| last.trade_size >= inside.trade_size || last.area >= inside.area) {
                return Err(row.error("trade_size", "rising sizes of each raceway", row.text("trade_size")?));
            }
            rows.push(inside);
        }
        Ok(Self { rows })
    }

    /// Area inside a raceway; `None` for a size that is not in the table.
    pub fn area(&self, kind: RacewayKind, trade_size: TradeSize) -> Option<Cited<SquareCentimeters>> {
        let row = self.row(kind, trade_size)?;
        Some(Cited::new(row.area, SOURCE, row.confidence))
    }

    /// Diameter inside a raceway; `None` for a size that is not in the table.
    pub fn diameter(&self, kind: RacewayKind, trade_size: TradeSize) -> Option<Cited<Millimeters>> {
        let row = self.row(kind, trade_size)?;
        Some(Cited::new(row.diameter, SOURCE, row.confidence))
    }

    /// Metric designator of a trade size: 35 for 1-1/4.
    pub fn metric_designator(&self, trade_size: TradeSize) -> Option<u32> {
        self.rows.iter().find(|row| row.trade_size == trade_size).map(|row| row.metric_designator)
    }

    /// The smallest raceway of a kind with at least that much area inside.
    pub fn smallest(&self, kind: RacewayKind, area: SquareCentimeters) -> Option<TradeSize> {
        self.rows.iter().find(|row| row.kind == kind && row.area >= area).map(|row| row.trade_size)
    }

    fn row(&self, kind: RacewayKind, trade_size: TradeSize) -> Option<&Inside> {
        self.rows.iter().find(|row| row.kind == kind && row.trade_size == trade_size)
    }
}

/// A cell in inches or square inches, as the quantity in which it is kept.
pub(super) fn inches<M: Measure>(row: Row<'_>, column: &str, unit: &str) -> Result<M, TableError> {
    debug_assert!(matches!(M::UNIT, Unit::Millimeter | Unit::SquareCentimeter));
    let number = row.positive(column)?;
    text::read(&format!("{number} {unit}"), M::UNIT, UnitSystem::Si)
        .ok()
        .and_then(|kept| M::try_new(kept).ok())
        .ok_or_else(|| row.error(column, "a length or area", &number.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::factor_key::FactorKey;
    use crate::factors::{self, Factors};
    use lineside_core::project::RuleSet;
    use lineside_core::units::Percent;

    const SQUARE_CENTIMETERS_PER_SQUARE_INCH: f64 = 6.4516;

    fn table() -> RacewayArea {
        RacewayArea::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn areas() {
        let table = table();
        let area = |kind, size| table.area(kind, size).map(|found| found.value.value());
        let inches = |area: f64| area / SQUARE_CENTIMETERS_PER_SQUARE_INCH;
        let pvc = area(RacewayKind::PvcSchedule40, TradeSize::OneAndHalf).map(inches);
        assert!(pvc.is_some_and(|pvc| (pvc - 1.986).abs() < 1e-9));
        assert_eq!(table.metric_designator(TradeSize::OneAndQuarter), Some(35));
        // 0.57 in² of conductors at 40 % need 1.425 in²: 1-1/4 of 1.453 in².
        let needed = SquareCentimeters::new(1.425 * SQUARE_CENTIMETERS_PER_SQUARE_INCH);
        assert_eq!(table.smallest(RacewayKind::PvcSchedule40, needed), Some(TradeSize::OneAndQuarter));
        let huge = SquareCentimeters::new(1000.0);
        assert_eq!(table.smallest(RacewayKind::Emt, huge), None);
    }

    #[test]
    fn every_kind_has_every_size() {
        let table = table();
        assert_eq!(table.rows.len(), RacewayKind::ALL.len() * TradeSize::ALL.len());
        for kind in RacewayKind::ALL {
            for size in TradeSize::ALL {
                assert!(table.area(kind, size).is_some(), "{} {}", kind.label(), size.label());
            }
        }
    }

    #[test]
    fn sizes_of_runs_are_sizes_of_the_table() {
        let labels = |size: &RacewaySize| (size.label(), TradeSize::from(*size).label());
        assert_eq!(RacewaySize::ALL.len(), TradeSize::ALL.len());
        assert!(RacewaySize::ALL.iter().map(labels).all(|(ours, table)| ours == table));
    }

    #[test]
    fn circles_and_fills_agree() {
        let factors = Factors::parse(&factors::FILE).unwrap_or_else(|fault| panic!("{fault}"));
        let share = factors.quantity::<Percent>(RuleSet::Nec2023, FactorKey::RacewayFillMore).share();
        let file = FILE.read().unwrap_or_else(|fault| panic!("{fault}"));
        for row in file.iter() {
            let (diameter, area) = (row.number("inner_dia_in").unwrap(), row.number("area_in2").unwrap());
            let circle = std::f64::consts::PI / 4.0 * diameter * diameter;
            assert!((area - circle).abs() < 0.003, "{row:?}");
            assert!((row.number("fill40_in2").unwrap() - area * share).abs() < 0.0011, "{row:?}");
        }
    }

    #[test]
    fn thicker_walls_leave_less() {
        let table = table();
        for size in TradeSize::ALL {
            let area = |kind| table.area(kind, size).unwrap().value;
            assert!(area(RacewayKind::PvcSchedule80) < area(RacewayKind::PvcSchedule40));
            assert!(area(RacewayKind::PvcSchedule40) < area(RacewayKind::RigidMetal));
        }
    }
}
