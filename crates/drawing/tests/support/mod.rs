//! A hand that draws circuits for tests and measurements: equipment by name, blocks, runs and places through
//! the project's own edits.

#![expect(dead_code, reason = "each target takes what it needs")]

use lineside_core::circuit::{
    Block, BlockId, Conductor, GridPoint, Insulation, Mirror, Orientation, Place, PlaceFacts, PlaceKind,
    Raceway, Run, RunEnd, RunId, TerminalName, Turn,
};
use lineside_core::edit::{self, Edit};
use lineside_core::kinds::Equipment;
use lineside_core::project::{Project, StockItem};
use lineside_core::units::{ConductorSize, Meters};
use lineside_drawing::display_list::Subject;
use lineside_drawing::pen::Pen;
use lineside_drawing::sheet::{Mark, MarkShape};

pub type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

/// The demo projects, as files.
pub const DEMOS: [(&str, &str); 4] = [
    ("cabin", include_str!("../../../../assets/demos/cabin.lineside")),
    ("home", include_str!("../../../../assets/demos/home.lineside")),
    ("hut", include_str!("../../../../assets/demos/hut.lineside")),
    ("as-found", include_str!("../../../../assets/demos/as-found.lineside")),
];

/// As drawn in the list of symbols.
pub const AS_DRAWN: Orientation = Orientation { turn: Turn::None, mirror: Mirror::None };
/// Left and right exchanged.
pub const MIRRORED: Orientation = Orientation { turn: Turn::None, mirror: Mirror::LeftRight };

/// Turned clockwise by a quarter, half, three quarters.
pub const fn turned(turn: Turn) -> Orientation {
    Orientation { turn, mirror: Mirror::None }
}

/// The eight ways in which a symbol can lie.
pub fn orientations() -> impl Iterator<Item = Orientation> {
    [Mirror::None, Mirror::LeftRight].into_iter().flat_map(|mirror| {
        [Turn::None, Turn::Quarter, Turn::Half, Turn::ThreeQuarters].map(|turn| Orientation { turn, mirror })
    })
}

/// Every piece of equipment of the tests.
pub fn stock() -> Outcome<Vec<StockItem>> {
    Ok(lineside_core::file::read_stock(include_str!("equipment.ron"))?)
}

/// Draws a circuit.
pub struct Hand {
    pub project: Project,
    stock: Vec<StockItem>,
    /// Everything is drawn that far to the right and down.
    shift: (i32, i32),
    /// What tags and names end in.
    suffix: String,
    runs: u32,
}

impl Hand {
    pub fn new() -> Outcome<Self> {
        let project = Project::default();
        Ok(Self { project, stock: stock()?, shift: (0, 0), suffix: String::new(), runs: 0 })
    }

    pub fn equipment(&self, name: &str) -> Outcome<Equipment> {
        let item = self.stock.iter().find(|item| item.name == name);
        Ok(item.ok_or_else(|| format!("no equipment {name}"))?.equipment.clone())
    }

    pub fn place(&mut self, name: &str, kind: PlaceKind, at: (i32, i32), size: (i32, i32)) -> Outcome<()> {
        let id = self.project.next_place_id().ok_or("no id is left")?;
        let corner = GridPoint::new(at.0 + self.shift.0, at.1 + self.shift.1);
        let around = self.project.circuit.places().find(|place| place.contains(corner)).map(|place| place.id);
        let within = around.filter(|_| kind == PlaceKind::Enclosure);
        let place = Place {
            id,
            name: format!("{name}{}", self.suffix),
            kind,
            within,
            at: corner,
            size: GridPoint::new(size.0, size.1),
            facts: PlaceFacts::unknown(),
        };
        edit::apply(&mut self.project, Edit::InsertPlace(Box::new(place)))?;
        Ok(())
    }

    /// A block; it stands in the innermost place that contains it.
    pub fn block(&mut self, tag: &str, name: &str, at: (i32, i32), lie: Orientation) -> Outcome<BlockId> {
        let equipment = self.equipment(name)?;
        self.block_of(tag, equipment, at, lie)
    }

    pub fn block_of(
        &mut self,
        tag: &str,
        equipment: Equipment,
        at: (i32, i32),
        lie: Orientation,
    ) -> Outcome<BlockId> {
        let id = self.project.next_block_id().ok_or("no id is left")?;
        let at = GridPoint::new(at.0 + self.shift.0, at.1 + self.shift.1);
        let around = self.project.circuit.places().filter(|place| place.contains(at));
        let place = around
            .min_by_key(|place| i64::from(place.size.x) * i64::from(place.size.y))
            .map(|place| place.id);
        let block = Block {
            id,
            tag: format!("{tag}{}", self.suffix),
            equipment,
            stock: None,
            place,
            at,
            orientation: lie,
            note: String::new(),
        };
        edit::apply(&mut self.project, Edit::InsertBlock(Box::new(block)))?;
        Ok(id)
    }

    /// `C1.pv` as an end.
    pub fn end(&self, name: &str) -> Outcome<RunEnd> {
        let (tag, terminal) = name.split_once('.').ok_or("an end is written TAG.terminal")?;
        let tag = format!("{tag}{}", self.suffix);
        let block = self.project.circuit.block_by_tag(&tag).ok_or_else(|| format!("no block {tag}"))?.id;
        Ok(RunEnd { block, terminal: TerminalName::read(terminal).ok_or("no such terminal")? })
    }

    /// A run with a conductor, or a direct joint when `conductor` is `None`.
    pub fn run(&mut self, from: &str, to: &str, conductor: Option<Conductor>) -> Outcome<RunId> {
        let ends = (self.end(from)?, self.end(to)?);
        self.run_between(ends.0, ends.1, conductor)
    }

    pub fn run_between(&mut self, from: RunEnd, to: RunEnd, conductor: Option<Conductor>) -> Outcome<RunId> {
        let id = self.project.next_run_id().ok_or("no id is left")?;
        self.runs += 1;
        let tag = format!("W{}", self.runs);
        let conductor = conductor.map(Box::new);
        let run = Run { id, tag, from, to, conductor, bends: Vec::new(), note: String::new() };
        edit::apply(&mut self.project, Edit::InsertRun(Box::new(run)))?;
        Ok(id)
    }
}

/// Every piece of equipment in all eight orientations, in three columns of rows.
pub fn contact_sheet() -> Outcome<Project> {
    let mut hand = Hand::new()?;
    let names: Vec<String> = hand.stock.iter().map(|item| item.name.clone()).collect();
    let mut tops = [0; 3];
    for (number, name) in names.iter().enumerate() {
        let size = lineside_drawing::symbols::outline(&hand.equipment(name)?).size;
        let side = size.x.max(size.y);
        let (column, top) = tops.iter_mut().enumerate().min_by_key(|(_, top)| **top).ok_or("no column")?;
        for (turn, lie) in orientations().enumerate() {
            let middle = i32::try_from(column)? * 200 + i32::try_from(turn)? * 22 + 10;
            let at = (middle - size.x / 2, *top + side / 2 - size.y / 2);
            hand.block(&format!("X{number}{}", char::from(b'a' + u8::try_from(turn)?)), name, at, lie)?;
        }
        *top += side + 3;
    }
    Ok(hand.project)
}

/// A conductor as the trade writes it.
pub fn conductor(size: &str, insulation: Insulation, feet: f64) -> Outcome<Conductor> {
    Ok(Conductor::copper(ConductorSize::read(size)?, insulation, Meters::new(feet * 0.3048)))
}

/// A cabin: six strings in an array field, a combiner of two buses, two controllers, a nickel-iron bank with
/// its fuse, an inverter-charger with a generator, and a panel.
pub fn cabin() -> Outcome<Project> {
    let mut hand = Hand::new()?;
    "Highmeadow Cabin".clone_into(&mut hand.project.title.system);
    system(&mut hand)?;
    Ok(hand.project)
}

fn system(hand: &mut Hand) -> Outcome<()> {
    places(hand)?;
    array(hand)?;
    power_wall(hand)?;
    ac_side(hand)
}

/// As many cabins side by side as it takes to have at least that many blocks.
pub fn cabins(blocks: usize) -> Outcome<Project> {
    let mut hand = Hand::new()?;
    let mut number = 0;
    while hand.project.circuit.block_count() < blocks {
        hand.shift = (number % 20 * 200, number / 20 * 72);
        hand.suffix = if number == 0 { String::new() } else { format!("x{number}") };
        system(&mut hand)?;
        number += 1;
    }
    Ok(hand.project)
}

fn places(hand: &mut Hand) -> Outcome<()> {
    hand.place("Array field", PlaceKind::Location, (0, 0), (50, 66))?;
    hand.place("Power shed", PlaceKind::Location, (62, 0), (92, 44))?;
    hand.place("Power panel", PlaceKind::Enclosure, (66, 4), (54, 38))?;
    hand.place("Battery room", PlaceKind::Location, (62, 50), (60, 16))?;
    hand.place("Generator shed", PlaceKind::Location, (128, 50), (26, 16))?;
    hand.place("Cabin", PlaceKind::Location, (162, 0), (30, 44))
}

fn array(hand: &mut Hand) -> Outcome<()> {
    hand.block("CB1", "combiner 6", (36, 20), AS_DRAWN)?;
    for string in 1..=6 {
        let tag = format!("S{string}");
        hand.block(&tag, "strings", (5, 5 + 10 * (string - 1)), AS_DRAWN)?;
        let wire = conductor("10 AWG", Insulation::PvWire, 15.0)?;
        hand.run(&format!("{tag}.out"), &format!("CB1.way{string}"), Some(wire))?;
    }
    Ok(())
}

fn power_wall(hand: &mut Hand) -> Outcome<()> {
    hand.block("BUS1", "bus bar", (112, 11), AS_DRAWN)?;
    for (number, row) in [(1, 11), (2, 23)] {
        hand.block(&format!("Q{number}"), "breaker", (74, row + 1), AS_DRAWN)?;
        hand.block(&format!("C{number}"), "tracking", (86, row), AS_DRAWN)?;
        hand.block(&format!("Q{}", number + 2), "breaker", (98, row + 1), AS_DRAWN)?;
        let mut feeder = conductor("1/0 AWG", Insulation::Xhhw2, 120.0)?;
        feeder.grounding_conductor = Some(ConductorSize::read("6 AWG")?);
        feeder.raceway = Raceway::BuriedConduit;
        hand.run(&format!("CB1.out{number}"), &format!("Q{number}.line"), Some(feeder))?;
        hand.run(&format!("Q{number}.load"), &format!("C{number}.pv"), None)?;
        hand.run(&format!("C{number}.battery"), &format!("Q{}.line", number + 2), None)?;
        let tap = if number == 1 { 1 } else { 7 };
        hand.run(&format!("Q{}.load", number + 2), &format!("BUS1.tap{tap}"), None)?;
    }
    hand.block("F1", "fuse", (90, 56), turned(Turn::ThreeQuarters))?;
    hand.block("B1", "nickel-iron", (90, 60), turned(Turn::ThreeQuarters))?;
    hand.run("B1.out", "F1.line", None)?;
    let cable = conductor("4/0 AWG", Insulation::Rhw, 8.0)?;
    hand.run("F1.load", "BUS1.tap8", Some(cable))?;
    hand.block("R1", "shunt", (76, 60), AS_DRAWN)?;
    Ok(())
}

fn ac_side(hand: &mut Hand) -> Outcome<()> {
    hand.block("Q5", "breaker", (126, 14), AS_DRAWN)?;
    hand.block("INV1", "inverter-charger", (138, 11), AS_DRAWN)?;
    hand.run("BUS1.tap2", "Q5.line", None)?;
    let cable = conductor("4/0 AWG", Insulation::Rhw, 6.0)?;
    hand.run("Q5.load", "INV1.dc", Some(cable))?;
    hand.block("P1", "ac panel", (174, 11), AS_DRAWN)?;
    let mut feeder = conductor("6 AWG", Insulation::Thwn2, 45.0)?;
    feeder.grounding_conductor = Some(ConductorSize::read("10 AWG")?);
    feeder.raceway = Raceway::PlasticConduit;
    hand.run("INV1.out", "P1.feed", Some(feeder))?;
    hand.block("G1", "generator", (134, 56), AS_DRAWN)?;
    hand.block("Q6", "breaker 2p", (144, 57), AS_DRAWN)?;
    hand.run("G1.out", "Q6.line", None)?;
    let mut feeder = conductor("8 AWG", Insulation::Thwn2, 60.0)?;
    feeder.grounding_conductor = Some(ConductorSize::read("10 AWG")?);
    hand.run("Q6.load", "INV1.in1", Some(feeder))?;
    hand.block("E1", "electrode", (178, 38), AS_DRAWN)?;
    hand.run("P1.bond", "E1.earth", Some(conductor("6 AWG", Insulation::Thwn2, 10.0)?))?;
    Ok(())
}

/// A few marks on the cabin.
pub fn cabin_marks(cabin: &Project) -> Vec<Mark> {
    let on = |tag: &str| cabin.circuit.block_by_tag(tag).map(|block| Subject::Block(block.id));
    let mark = |tag, shape, pen, number| Some(Mark { on: on(tag)?, shape, pen, number });
    [
        mark("INV1", MarkShape::Triangle, Pen::Danger, None),
        mark("B1", MarkShape::Square, Pen::Correction, Some(2)),
        mark("C1", MarkShape::Circle, Pen::Advice, Some(4)),
        mark("C1", MarkShape::Square, Pen::Correction, Some(12)),
    ]
    .into_iter()
    .flatten()
    .collect()
}
