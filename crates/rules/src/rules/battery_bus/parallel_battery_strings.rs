//! Rule `parallel-battery-strings`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::units::{Amps, Percent, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::faults::battery_string;
use lineside_study::parallel_strings::{self, Own, ParallelString};
use lineside_study::{Zone, ZoneKind};

rule! {
    /// Parallel battery strings have a device each and are alike
    ///
    /// ## The harm
    /// A shorted cell is fed by every healthy string beside it; unlike strings charge each other.
    ///
    /// ## The formula
    /// Current into a shorted string: `(n − 1) × E_B / R_B`.
    ///
    /// ## The limit
    /// Each string has an overcurrent device and a load-break disconnect of its own, else danger. They have the same
    /// chemistry and number of cells, capacities and lengths of cable within 10 %, and are not more than the maker allows,
    /// else correction. More than three strings of lead in parallel are advice.
    ///
    /// ## What to do
    /// One device for each string; fewer, larger cells.
    PARALLEL_BATTERY_STRINGS {
        id: "parallel-battery-strings",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 706.31, 240.21(H), 706.15",
            Nec2020: "NEC 2020 706.31, 240.21(H), 706.15",
            Nec2017: "NEC 2017 706.21, 240.21(H), 706.7",
            Iec: "IEC 62485-2, IEC 60364-5-57",
        ],
        check: check,
        remedies: no_remedies,
    }
}

/// A bank with its strings among those of the zone.
struct Bank<'a> {
    block: &'a Block,
    plate: &'a BatteryBank,
    strings: Vec<ParallelString>,
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Battery) {
        let banks = banks(on, zone);
        let count: usize = banks.iter().map(|bank| bank.strings.len()).sum();
        if count < 2 {
            continue;
        }
        for bank in &banks {
            own_devices(on, report, bank, count);
            makers_count(on, report, bank, count);
        }
        alike(on, report, &banks);
        lead(on, report, &banks, count);
    }
}

fn banks<'a>(on: &Circumstances<'a>, zone: &Zone) -> Vec<Bank<'a>> {
    let strings = parallel_strings::in_zone(on.circuit(), &on.studies.network, zone);
    on.banks_in(zone)
        .into_iter()
        .map(|(block, bank, _)| {
            let own = strings.iter().filter(|it| it.bank == block.id).copied().collect();
            Bank { block, plate: bank, strings: own }
        })
        .collect()
}

fn own_devices(on: &Circumstances<'_>, report: &mut Report, bank: &Bank<'_>, count: usize) {
    let at = Part::Block(bank.block.id);
    let all = |of: fn(&ParallelString) -> Own| bank.strings.iter().all(|it| of(it) == Own::Yes);
    if report.holds(at, || all(|it| it.device)).fails() {
        let string = battery_string(&on.on, bank.plate);
        let others = f64::from(u32::try_from(count.saturating_sub(1)).unwrap_or(u32::MAX));
        let into: Amps = string.short_circuit_current() * others;
        let mut working = Working::new();
        let plate = || Origin::Nameplate(bank.block.tag.clone());
        working.given("other strings", "n − 1", Quantity::number(others), || Origin::Computed);
        working.given("a string, full, at rest", "E_B", string.voltage.into(), plate);
        working.given("its resistance", "R_B", string.resistance.into(), plate);
        working.found("into a shorted string", "I", || "(n − 1) × E_B / R_B".to_owned(), into.into());
        let title = format!("No device parts {} from the strings beside it", bank.block.tag);
        let finding = PARALLEL_BATTERY_STRINGS.finding(on, Severity::Danger, at, title).aspect("device");
        report.find(finding.against(into, words("a device for each string")).working(working));
    }
    if report.holds(at, || all(|it| it.disconnect)).fails() {
        let title = format!("{} cannot be switched off by itself among its neighbors", bank.block.tag);
        let finding = PARALLEL_BATTERY_STRINGS.finding(on, Severity::Danger, at, title).aspect("disconnect");
        report.find(
            finding.against(words("none of its own"), words("a load-break disconnect for each string")),
        );
    }
}

fn makers_count(on: &Circumstances<'_>, report: &mut Report, bank: &Bank<'_>, count: usize) {
    let Some(limit) = bank.plate.parallel_limit.and_then(|limit| usize::try_from(limit).ok()) else { return };
    let at = Part::Block(bank.block.id);
    if report.count_at_most(at, count, limit).fails() {
        let mut working = Working::new();
        working.given("strings on the bus", "n", Quantity::count(count), || Origin::Computed);
        working.given("allowed in parallel", "n_max", Quantity::count(limit), || {
            Origin::Nameplate(bank.block.tag.clone())
        });
        let title = format!("More strings stand in parallel than the maker of {} allows", bank.block.tag);
        let finding = PARALLEL_BATTERY_STRINGS.finding(on, Severity::Correction, at, title).aspect("count");
        report.find(finding.against(Quantity::count(count), Quantity::count(limit)).working(working));
    }
}

fn alike(on: &Circumstances<'_>, report: &mut Report, banks: &[Bank<'_>]) {
    let Some((first, others)) = banks.split_first() else { return };
    for other in others {
        let same = |a: &BatteryBank, b: &BatteryBank| a.chemistry == b.chemistry && a.cells() == b.cells();
        let at = Part::Block(other.block.id);
        if report.holds(at, || same(first.plate, other.plate)).fails() {
            let title =
                format!("{} and {} are unlike and stand in parallel", first.block.tag, other.block.tag);
            let finding =
                PARALLEL_BATTERY_STRINGS.finding(on, Severity::Correction, at, title).aspect("alike");
            let cells = |it: &BatteryBank| format!("{} cells, {}", it.cells(), it.chemistry.label());
            let finding = finding.also(Part::Block(first.block.id));
            report.find(finding.against(words(cells(other.plate)), words(cells(first.plate))));
        }
    }
    let capacities = banks.iter().map(|it| (it.block, it.plate.capacity.value()));
    let limit: Percent = on.limit(FactorKey::ParallelCapacity);
    spread(on, report, capacities, limit, "capacity", "Capacities of parallel strings differ too much");
    let cables = banks.iter().flat_map(|it| it.strings.iter().map(|string| (it.block, string.cable.value())));
    let limit: Percent = on.limit(FactorKey::ParallelCableLength);
    spread(on, report, cables, limit, "cable", "Cables of parallel strings differ too much in length");
}

/// The difference between the greatest and the least, as a share of the greatest.
fn spread<'a>(
    on: &Circumstances<'_>,
    report: &mut Report,
    values: impl Iterator<Item = (&'a Block, f64)>,
    limit: Percent,
    aspect: &'static str,
    title: &str,
) {
    let values: Vec<(&Block, f64)> = values.collect();
    let least = values.iter().min_by(|a, b| a.1.total_cmp(&b.1));
    let most = values.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let (Some((short, least)), Some((long, most))) = (least, most) else { return };
    if *most <= 0.0 {
        return;
    }
    let difference = Percent::from_share((most - least) / most);
    let at = Part::Block(long.id);
    if report.at_most(at, difference, limit).fails() {
        let mut working = Working::new();
        working.given("least", "a", Quantity::number(*least), || Origin::Nameplate(short.tag.clone()));
        working.given("greatest", "b", Quantity::number(*most), || Origin::Nameplate(long.tag.clone()));
        working.found("difference", "d", || "(b − a) / b".to_owned(), difference.into());
        let finding = PARALLEL_BATTERY_STRINGS.finding(on, Severity::Correction, at, title.to_owned());
        let finding = finding.aspect(aspect).also(Part::Block(short.id));
        report.find(finding.against(difference, limit).working(working));
    }
}

/// Many strings of lead side by side never share alike.
fn lead(on: &Circumstances<'_>, report: &mut Report, banks: &[Bank<'_>], count: usize) {
    let is_lead = |bank: &&Bank<'_>| {
        matches!(bank.plate.chemistry, Chemistry::FloodedLead | Chemistry::AbsorbedGlassMat | Chemistry::Gel)
    };
    let Some(first) = banks.iter().find(is_lead) else { return };
    let limit = on.count(FactorKey::ParallelLeadStrings);
    let at = Part::Block(first.block.id);
    if report.count_at_most(at, count, limit).fails() {
        let title = format!("{count} strings of lead stand in parallel");
        let finding = PARALLEL_BATTERY_STRINGS.finding(on, Severity::Advice, at, title).aspect("lead");
        report.find(finding.against(Quantity::count(count), Quantity::count(limit)));
    }
}
