//! Modules per string and strings in parallel, of all sets on one array side together: they must stay alike.

use super::support::{allowed_over_found, set_all, strings, tags, with_field};
use crate::circumstances::Circumstances;
use crate::finding::Finding;
use crate::remedy::Proposal;
use lineside_core::circuit::Block;
use lineside_core::kinds::field::Value;
use lineside_core::kinds::strings::Strings;

/// How many modules a string may gain or lose.
const REACH: u32 = 6;

/// Fewer modules in series: as many as the voltage allows, then one fewer again.
pub(super) fn fewer(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let sets = strings(on, finding);
    let Some(most) = sets.iter().filter_map(|it| in_series(it)).max() else { return Vec::new() };
    let fits = |modules: &u32| {
        allowed_over_found(finding)
            .filter(|share| *share < 1.0)
            .is_none_or(|share| f64::from(*modules) <= f64::from(most) * share + 1e-9)
    };
    let counts = (1..most).rev().filter(fits).take(2);
    counts.filter_map(|modules| limited(&sets, modules)).collect()
}

/// More modules in series, one at a time.
pub(super) fn more(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let sets = strings(on, finding);
    let Some(least) = sets.iter().filter_map(|it| in_series(it)).min() else { return Vec::new() };
    (least + 1..=least + REACH).filter_map(|modules| raised(&sets, modules)).collect()
}

/// All sets with the modules of one of them.
pub(super) fn alike(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let sets = strings(on, finding);
    let mut counts: Vec<u32> = sets.iter().filter_map(|it| in_series(it)).collect();
    counts.sort_unstable();
    counts.dedup();
    counts.into_iter().filter_map(|modules| changed(&sets, modules, |_| true)).collect()
}

/// One string fewer in parallel in one of the sets that has several.
pub(super) fn fewer_strings(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let sets = strings(on, finding).into_iter();
    let parallel =
        |block: &Block| block.equipment.as_kind::<Strings>().map_or(1, |it| it.strings_in_parallel);
    sets.flat_map(|block| {
        (1..parallel(block)).rev().take(2).filter_map(move |count| {
            let equipment = with_field(block, "strings_in_parallel", &Value::Whole(count))?;
            let label = format!("{count} strings in parallel in {}", block.tag);
            set_all(label, [(block.id, equipment, block.stock.clone())])
        })
    })
    .collect()
}

fn in_series(block: &Block) -> Option<u32> {
    block.equipment.as_kind::<Strings>().map(|it| it.modules_in_series)
}

fn limited(sets: &[&Block], modules: u32) -> Option<Proposal> {
    changed(sets, modules, |now| now > modules)
}

fn raised(sets: &[&Block], modules: u32) -> Option<Proposal> {
    changed(sets, modules, |now| now < modules)
}

fn changed(sets: &[&Block], modules: u32, which: impl Fn(u32) -> bool) -> Option<Proposal> {
    let concerned: Vec<&Block> =
        sets.iter().copied().filter(|block| in_series(block).is_some_and(&which)).collect();
    let changed: Vec<_> = concerned
        .iter()
        .filter_map(|block| {
            let equipment = with_field(block, "modules_in_series", &Value::Whole(modules))?;
            Some((block.id, equipment, block.stock.clone()))
        })
        .collect();
    let label = format!("{modules} modules in series in {}", tags(concerned.iter().copied()));
    set_all(label, changed)
}
