//! Every kind has a symbol with all its terminals on the grid, whose strokes stay in their box however it lies.
#![cfg(test)]

#[path = "support/mod.rs"]
mod support;

use lineside_core::circuit::{Block, BlockId, GridPoint, Orientation, TerminalName};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::stock;
use lineside_drawing::display_list::{Item, Shape, Subject};
use lineside_drawing::geometry::{Area, Facing, Point};
use lineside_drawing::pen::{Ink, Pen};
use lineside_drawing::placement;
use lineside_drawing::symbols::{self, Form, Style, SymbolId};
use std::collections::BTreeSet;

const STYLES: [Style; 2] =
    [Style { form: Form::I, bar: Ink::Battery }, Style { form: Form::A, bar: Ink::Ac }];

/// Everything in the built-in stock and in the tests' own.
fn all() -> Vec<Equipment> {
    let own = support::stock().unwrap();
    let items = stock::built_in().unwrap().into_iter().chain(own);
    items.map(|item| item.equipment).collect()
}

#[test]
fn every_kind_has_a_symbol_with_all_its_terminals() {
    let mut kinds = BTreeSet::new();
    for equipment in all() {
        kinds.insert(equipment.kind());
        let named: Vec<TerminalName> = equipment.terminals().iter().map(|terminal| terminal.name).collect();
        for style in STYLES {
            let symbol = symbols::of_equipment(&equipment, style);
            assert!(symbol.strokes.len() > 1, "{:?} is drawn", equipment.kind());
            let mut pins: Vec<TerminalName> = symbol.outline.pins.iter().map(|pin| pin.name).collect();
            assert_eq!(pins.len(), named.len(), "{:?}", equipment.kind());
            pins.retain(|pin| !named.contains(pin));
            assert!(pins.is_empty(), "{:?} has no {pins:?}", equipment.kind());
        }
    }
    let missing: Vec<&Kind> = Kind::ALL.iter().filter(|kind| !kinds.contains(kind)).collect();
    assert!(missing.is_empty(), "no stock of {missing:?}");
}

/// Terminals lie on the grid and on the edge of the box, each at a spot of its own, and lead away from it.
#[test]
fn terminals_lie_apart_on_the_edge_of_the_box_and_lead_out() {
    for equipment in all() {
        let outline = symbols::outline(&equipment);
        assert!(outline.size.x % 2 == 0 && outline.size.y % 2 == 0, "{:?}", equipment.kind());
        let mut taken = BTreeSet::new();
        for pin in &outline.pins {
            let inside = (0..=outline.size.x).contains(&pin.at.x) && (0..=outline.size.y).contains(&pin.at.y);
            assert!(inside, "{:?} {}", equipment.kind(), pin.name);
            assert!(taken.insert((pin.at.x, pin.at.y)), "{:?} {}", equipment.kind(), pin.name);
            let (dx, dy) = pin.facing.step();
            let out = pin.at.moved(dx, dy);
            assert!(!outline.body.contains(out), "{:?} {} leads inwards", equipment.kind(), pin.name);
        }
    }
}

/// The light arrows of PV strings alone reach outside their box.
#[test]
fn strokes_stay_in_the_box_in_all_eight_orientations() {
    for equipment in all() {
        for (style, lie) in
            STYLES.into_iter().flat_map(|style| support::orientations().map(move |lie| (style, lie)))
        {
            let block = block(equipment.clone(), lie);
            let symbol = symbols::of(&block, style);
            let place = placement::placement(&block, &symbol.outline);
            let room = placement::bounds(&block).on_paper().grown(REACH);
            for stroke in symbol.strokes {
                let (pen, is_text) = (stroke.pen, matches!(stroke.shape, Shape::Text(_)));
                // The rectangle of an arc is that of its whole circle.
                let is_text = is_text || matches!(stroke.shape, Shape::Arc { .. });
                let item = Item { subject: Subject::Block(block.id), pen, shape: place.stroke(stroke) };
                let free = equipment.kind() == Kind::Strings || is_text;
                assert!(
                    free || room.holds(item.bounds()),
                    "{:?} {lie:?}: {item:?} of {room:?}",
                    equipment.kind()
                );
            }
        }
    }
}

/// Half the width of the widest stroke that may lie on the edge: a bar's, mm.
const REACH: f32 = 0.7;

fn block(equipment: Equipment, orientation: Orientation) -> Block {
    Block {
        id: BlockId::new(1).unwrap(),
        tag: "X1".to_owned(),
        equipment,
        stock: None,
        place: None,
        at: GridPoint::new(40, 40),
        orientation,
        note: String::new(),
    }
}

/// The long plate is the positive one. It is drawn at the terminal's side, and the sign `+` stands on that
/// side of the middle in all eight orientations.
#[test]
fn the_long_plate_of_a_battery_is_the_one_at_its_plus_sign() {
    let battery =
        support::stock().unwrap().into_iter().find(|item| item.equipment.kind() == Kind::BatteryBank);
    let equipment = battery.unwrap().equipment;
    for style in STYLES {
        for lie in support::orientations() {
            let block = block(equipment.clone(), lie);
            let symbol = symbols::of(&block, style);
            let place = placement::placement(&block, &symbol.outline);
            let shapes: Vec<(Pen, Shape)> =
                symbol.strokes.into_iter().map(|stroke| (stroke.pen, place.stroke(stroke))).collect();
            let out = placement::terminal_at(&block, TerminalName::plain("out")).unwrap();
            let plates = plates(&shapes, placement::bounds(&block).on_paper(), out.1);
            let out = Point::on_grid(out.0);
            let longest = plates.iter().map(|plate| plate.0).fold(0.0, f32::max);
            let away = |point: Point| (point.x - out.x).abs() + (point.y - out.y).abs();
            let nearest = plates.iter().min_by(|a, b| away(a.1).total_cmp(&away(b.1))).unwrap();
            assert!((nearest.0 - longest).abs() < 1e-3, "{lie:?}: {plates:?}");
        }
    }
}

/// Length and middle of every stroke that lies across the way to a terminal, on the middle line of the box.
fn plates(shapes: &[(Pen, Shape)], room: Area, facing: Facing) -> Vec<(f32, Point)> {
    let middle = room.center();
    let mut plates = Vec::new();
    for (_, shape) in shapes {
        let Shape::Polyline { points, .. } = shape else { continue };
        let [a, b] = points[..] else { continue };
        let at = a.halfway(b);
        let (across, on_path) = if facing.is_level() {
            ((a.x - b.x).abs() < 0.01, (at.y - middle.y).abs() < 0.01)
        } else {
            ((a.y - b.y).abs() < 0.01, (at.x - middle.x).abs() < 0.01)
        };
        if across && on_path && room.contains(at) {
            plates.push(((a.x - b.x).abs() + (a.y - b.y).abs(), at));
        }
    }
    assert_eq!(plates.len(), 4, "two cells stand for all");
    plates
}

/// Devices in a run are told apart by black strokes alone.
#[test]
fn devices_that_open_a_circuit_look_different() {
    let mut looks: Vec<(SymbolId, Vec<Shape>)> = Vec::new();
    for equipment in all() {
        let switching = matches!(
            equipment.kind(),
            Kind::Breaker | Kind::Fuse | Kind::Switch | Kind::GroundFaultDevice | Kind::TransferSwitch
        );
        let symbol = symbols::of_equipment(&equipment, STYLES[0]);
        if !switching || looks.iter().any(|(id, _)| *id == symbol.id) {
            continue;
        }
        let shapes: Vec<Shape> = symbol.strokes.into_iter().map(|stroke| stroke.shape).collect();
        for (other, known) in &looks {
            assert_ne!(*known, shapes, "{other:?} and {:?}", symbol.id);
        }
        looks.push((symbol.id, shapes));
    }
    assert!(looks.len() >= 6, "{} symbols", looks.len());
}
