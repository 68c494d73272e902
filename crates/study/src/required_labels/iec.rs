//! Labels of the system as a whole under the IEC: that sources are on site, the diagram, the shutdown procedure.

use super::{Spot, Survey};
use lineside_core::kinds::Kind;
use lineside_core::project::LabelKind;

pub(super) fn survey(survey: &mut Survey<'_>) {
    let has_array = survey.of_kind(Kind::Strings).next().is_some();
    let has_battery = survey.of_kind(Kind::BatteryBank).next().is_some();
    if !has_array && !has_battery {
        return;
    }
    survey.plain(LabelKind::SiteDiagram, Spot::Site);
    survey.plain(LabelKind::ShutdownProcedure, Spot::Site);
    let listed = survey.source_disconnects();
    let kinds = [Kind::Utility, Kind::Meter, Kind::AcPanel];
    let blocks = kinds.into_iter().flat_map(|kind| survey.of_kind(kind));
    let spots: Vec<Spot> = blocks.map(|block| Spot::Block(block.id)).collect();
    for at in spots {
        survey.directory(LabelKind::SourcesOnSite, at, &listed);
    }
}
