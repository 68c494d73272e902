//! What the rules on protective functions of controllers share: the current of an array side, and controllers of the
//! stock that have the function.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part};
use crate::proposals::{stock_of, with_stock};
use crate::remedy::Proposal;
use lineside_codes::FactorKey;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::Amps;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Zone;

/// The greatest current of an array side: all strings together, with the code's factor for bright sun.
pub(super) fn greatest_current(on: &Circumstances<'_>, zone: &Zone, working: &mut Working) -> Amps {
    let mut current = Amps::ZERO;
    for (block, strings) in on.string_sets(zone) {
        let of_set = strings.greatest_short_circuit_current() * f64::from(strings.strings_in_parallel);
        working.given("short-circuit current of the set", "I_sc", of_set.into(), || {
            Origin::Nameplate(block.tag.clone())
        });
        current += of_set;
    }
    let current = current * on.number(FactorKey::PvCurrent);
    working.found("greatest current", "I_max", || "1.25 × Σ I_sc".to_owned(), current.into());
    current
}

/// How many controllers of the stock are tried.
const TRIED: usize = 2 + 2;

/// Controllers of the stock with a function that this one lacks, which otherwise do as much, the nearest in size
/// first.
pub(super) fn controllers_with(
    on: &Circumstances<'_>,
    finding: &Finding,
    function: impl Fn(&ChargeController) -> bool,
) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let Equipment::ChargeController(now) = &block.equipment else { return Vec::new() };
    let fits = |equipment: &Equipment| {
        equipment.as_kind::<ChargeController>().is_some_and(|it| {
            function(it)
                && it.max_input_voltage >= now.max_input_voltage
                && it.output_current >= now.output_current
        })
    };
    let mut items = stock_of(on, Kind::ChargeController, fits);
    let size = |equipment: &Equipment| {
        let it = equipment.as_kind::<ChargeController>();
        it.map(|it| it.max_input_voltage * it.output_current).unwrap_or_default()
    };
    items.sort_by(|a, b| size(&a.equipment).total_cmp(&size(&b.equipment)));
    items
        .into_iter()
        .take(TRIED)
        .map(|mut item| {
            if let Equipment::ChargeController(it) = &mut item.equipment {
                it.current_limit = it.current_limit.or(now.current_limit.or(Some(now.output_current)));
                it.voltage_ceiling = now.voltage_ceiling;
            }
            let label = format!("{} as {}", item.name, block.tag);
            with_stock(block, item, label)
        })
        .collect()
}
