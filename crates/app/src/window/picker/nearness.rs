//! In which order a list offers stock: what suits the voltage of the circuit first, then what is nearest to what stands
//! there already.
//!
//! That is told by nameplates alone, so that the list opens at once; whether an item really fits is tried by *What fits*.

use lineside_core::circuit::{Circuit, Potential, RunEnd};
use lineside_core::kinds::field::{Field, Presence, Shape, Value};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::{Unit, Volts};
use std::cmp::Ordering;

/// How much of a current a device in its circuit must carry: 1.25 times what flows for hours.
const CONTINUOUS: f64 = 1.25;
/// Fields by which equipment says up to which voltage on the battery's side, or between its terminals, it may be used.
const HIGHEST: [&str; 8] = [
    "max_output_voltage",
    "absolute_input_voltage",
    "highest_input_voltage",
    "max_voltage",
    "dc_voltage",
    "ac_voltage",
    "voltage",
    "max_input_voltage",
];
/// Fields by which it says from which voltage on.
const LOWEST: [&str; 4] = ["lowest_input_voltage", "min_output_voltage", "min_voltage", "min_input_voltage"];
/// Units by which pieces of equipment of one kind are told apart, the first that the nameplate must give.
const RATED_IN: [Unit; 4] = [Unit::Amp, Unit::VoltAmp, Unit::Watt, Unit::AmpHour];

/// How far one piece of equipment is from another of its kind; the smaller the nearer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Distance {
    /// Voltages that the other gives and this one does not, as a breaker for AC beside one for DC.
    other_use: usize,
    /// 0 the same rating, 1 a larger one, 2 a smaller one.
    side: u8,
    /// How many times the rating.
    ratio: f64,
    /// Voltages that are lower.
    lower: usize,
    /// Other data that differ.
    unlike: usize,
}

impl Distance {
    pub(super) fn order(&self, other: &Self) -> Ordering {
        let whole = |it: &Self| (it.other_use, it.side);
        let rest = |it: &Self| (it.lower, it.unlike);
        whole(self)
            .cmp(&whole(other))
            .then(self.ratio.total_cmp(&other.ratio))
            .then_with(|| rest(self).cmp(&rest(other)))
    }
}

/// How far an item is from what stands there.
pub(super) fn distance(there: &Equipment, item: &Equipment) -> Distance {
    let fields = there.kind().fields();
    let volts = |field: &&Field| matches!(field.shape, Shape::Quantity { unit: Unit::Volt, .. });
    let both = |field: &Field| (number(there, field.key), number(item, field.key));
    let (side, ratio) = match (rating(there), rating(item)) {
        (Some(old), Some(new)) => apart(old, new),
        _ => (0, 1.0),
    };
    let of_volts = || fields.iter().filter(volts).map(both);
    Distance {
        other_use: of_volts().filter(|(old, new)| old.is_some() && new.is_none()).count(),
        side,
        ratio,
        lower: of_volts()
            .filter(|(old, new)| matches!((old, new), (Some(old), Some(new)) if new < old))
            .count(),
        unlike: fields.iter().filter(|field| there.get(field.key) != item.get(field.key)).count(),
    }
}

fn apart(old: f64, new: f64) -> (u8, f64) {
    match new.total_cmp(&old) {
        Ordering::Equal => (0, 1.0),
        Ordering::Greater => (1, new / old),
        Ordering::Less => (2, old / new),
    }
}

fn number(equipment: &Equipment, key: &str) -> Option<f64> {
    if let Some(Value::Number(number)) = equipment.get(key) { Some(number) } else { None }
}

/// The figure by which people tell pieces of one kind apart.
fn rating(equipment: &Equipment) -> Option<f64> {
    let fields = equipment.kind().fields();
    let of = |wanted: Unit| {
        let is_it = |field: &&Field| {
            field.presence == Presence::Required
                && matches!(field.shape, Shape::Quantity { unit, .. } if unit == wanted)
        };
        fields.iter().find(is_it)
    };
    RATED_IN.into_iter().find_map(of).and_then(|field| number(equipment, field.key))
}

/// Where a list of what goes on from a terminal stands: what is known of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Whence<'a> {
    /// The circuit.
    pub circuit: &'a Circuit,
    /// The terminal.
    pub from: RunEnd,
    /// In which circuit it is.
    pub potential: Option<Potential>,
    /// The lowest and the highest voltage there.
    pub window: Option<(Volts, Volts)>,
}

impl Whence<'_> {
    /// Kinds in the order in which they are most likely meant: devices first, but not twice in a row.
    pub(super) fn kinds(&self) -> Vec<Kind> {
        let device = |kind: &Kind| matches!(kind, Kind::Breaker | Kind::Fuse | Kind::Switch);
        let after_device = self.circuit.block(self.from.block).is_none_or(|block| device(&block.kind()));
        let mut kinds = Kind::ALL.to_vec();
        kinds.sort_by_key(|kind| device(kind) == after_device);
        kinds
    }

    /// How far an item is from what would go there: 1 and more when its voltage does not suit.
    pub(super) fn distance(&self, item: &Equipment) -> (usize, Distance) {
        let unsuited = usize::from(!self.suits(item));
        let of_kind = self.beside().find(|other| other.kind() == item.kind());
        if let Some(other) = of_kind {
            return (unsuited, distance(other, item));
        }
        let aim = self.circuit.block(self.from.block).filter(|block| block.kind() != Kind::BusBar);
        let aim = aim.and_then(|block| amps(&block.equipment));
        let (side, ratio) = match (aim, amps(item)) {
            (Some(aim), Some(amps)) => apart(aim * CONTINUOUS, amps),
            _ => (0, 1.0),
        };
        // A larger one carries what the aim asks for, as well as one that is just as large.
        let side = u8::from(side == 2);
        (unsuited, Distance { other_use: 0, side, ratio, lower: 0, unlike: 0 })
    }

    /// What already goes on from the same block.
    fn beside(&self) -> impl Iterator<Item = &Equipment> {
        let circuit = self.circuit;
        let runs =
            circuit.runs().filter(|run| run.from.block == self.from.block || run.to.block == self.from.block);
        runs.filter_map(move |run| {
            let other = if run.from.block == self.from.block { run.to } else { run.from };
            circuit.block(other.block).map(|block| &block.equipment)
        })
    }

    fn suits(&self, item: &Equipment) -> bool {
        let Some((lowest, highest)) = self.window else { return true };
        let strings = self.potential == Some(Potential::Pv);
        let direct = strings || self.potential == Some(Potential::Battery);
        let (own, other) = if direct { ("dc_voltage", "ac_voltage") } else { ("ac_voltage", "dc_voltage") };
        if number(item, own).is_none() && number(item, other).is_some() {
            return false;
        }
        let of_strings = number(item, "max_input_voltage").filter(|_| strings);
        let known = HIGHEST.iter().filter(|key| **key != other).find_map(|key| number(item, key));
        let most = of_strings.or(known);
        let least = LOWEST.iter().find_map(|key| number(item, key)).filter(|_| !strings);
        most.is_none_or(|most| most >= highest.value()) && least.is_none_or(|least| least <= lowest.value())
    }
}

/// The current that equipment is rated for, where its rating is one.
fn amps(equipment: &Equipment) -> Option<f64> {
    let is_amps = |field: &&Field| {
        field.presence == Presence::Required && matches!(field.shape, Shape::Quantity { unit: Unit::Amp, .. })
    };
    equipment.kind().fields().iter().find(is_amps).and_then(|field| number(equipment, field.key))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::window::edits::samples::{end, item, put};
    use lineside_core::project::{Project, StockItem};
    use lineside_core::stock;

    fn ranked(there: &StockItem) -> Vec<String> {
        let mut all = stock::built_in().unwrap();
        all.retain(|it| it.equipment.kind() == there.equipment.kind() && it.name != there.name);
        all.sort_by(|a, b| {
            distance(&there.equipment, &a.equipment).order(&distance(&there.equipment, &b.equipment))
        });
        all.into_iter().map(|it| it.name).collect()
    }

    #[test]
    fn the_same_rating_comes_first_and_a_smaller_one_after_every_larger_one() {
        let there =
            stock::built_in().unwrap().into_iter().find(|it| it.name.starts_with("DC breaker, 125 A"));
        let there = there.unwrap();
        let ranked = ranked(&there);
        let amps_of = |name: &String| number(&item(name).equipment, "rating").unwrap();
        assert!(amps_of(&ranked[0]) >= 125.0, "{}", ranked[0]);
        assert!(ranked[0].contains("DC"), "{}", ranked[0]);
        let same = ranked.iter().take_while(|name| amps_of(name) <= 125.0).count();
        let dc: Vec<f64> =
            ranked.iter().skip(same).filter(|name| name.starts_with("DC")).map(amps_of).collect();
        let first_smaller = dc.iter().position(|amps| *amps < 125.0).unwrap();
        assert!(dc[first_smaller..].iter().all(|amps| *amps < 125.0), "{dc:?}");
        // The nearest of the smaller ones first.
        assert!(dc[first_smaller..].is_sorted_by(|a, b| a >= b), "{dc:?}");
    }

    #[test]
    fn from_a_bus_of_48_v_devices_of_enough_volts_come_first() {
        let mut project = Project::default();
        let bus = put(&mut project, "BUS1", crate::window::edits::samples::bus(4), 0, 0);
        let from = end(bus, "tap1");
        let window = Some((Volts::new(40.0), Volts::new(68.4)));
        let whence = Whence { circuit: &project.circuit, from, potential: Some(Potential::Battery), window };
        assert_eq!(whence.kinds()[0], Kind::Breaker);
        // Made for up to 35 V.
        assert!(!whence.suits(&item("Switching controller, 12 and 24 V, 10 A").equipment));
        assert!(whence.suits(&item("Tracking controller, 150 V in, 60 A out").equipment));
        assert!(whence.suits(&item("DC breaker, 10 A, 80 V").equipment));
        // Beside a breaker of 80 A the next one is likely to be such a one.
        let first = put(&mut project, "Q1", item("DC breaker, 80 A, 150 V").equipment, 20, 0);
        crate::window::edits::samples::join(&mut project, "W1", from, end(first, "line"));
        let whence = Whence { circuit: &project.circuit, from, potential: Some(Potential::Battery), window };
        let (same, small) = (item("DC breaker, 80 A, 150 V"), item("DC breaker, 10 A, 80 V"));
        let order = whence.distance(&same.equipment).1.order(&whence.distance(&small.equipment).1);
        assert_eq!(order, Ordering::Less);
    }
}
