//! A brief, gathered in the shape that is printed as JSON. `docs/json.md` describes it.

use super::{Taken, climates_here};
use crate::commands::shapes::{Figure, Head};
use lineside_core::project::{Brief, LoadCurrent, LoadItem, LoadPriority, Month, Project, WeatherSource};
use lineside_core::units::{UnitSystem, WattHours};
use lineside_energy::Tables;
use lineside_energy::loads::load_doubts;
use lineside_energy::site::Climate;
use lineside_propose::Need;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct BriefShape {
    #[serde(flatten)]
    head: Head,
    file: String,
    pub(super) loads: Vec<LoadShape>,
    pub(super) months: Vec<MonthShape>,
    pub(super) weather: &'static str,
    pub(super) weather_source: Option<String>,
    pub(super) connected: Figure,
    pub(super) apparent: Figure,
    pub(super) worst_start: Figure,
    pub(super) largest_hour: Figure,
    pub(super) climates: Vec<ClimateShape>,
    pub(super) missing: Vec<String>,
    pub(super) doubts: Vec<String>,
    pub(super) remarks: Vec<String>,
    pub(super) refused: Vec<String>,
}

#[derive(Serialize)]
pub(super) struct LoadShape {
    pub(super) name: String,
    pub(super) quantity: u32,
    pub(super) power: Figure,
    pub(super) hours: Figure,
    pub(super) days_per_week: u32,
    pub(super) start: Option<Figure>,
    pub(super) surge: Option<Figure>,
    pub(super) current: &'static str,
    pub(super) waits: bool,
    pub(super) energy: Figure,
}

#[derive(Serialize)]
pub(super) struct MonthShape {
    pub(super) month: &'static str,
    pub(super) ac: Figure,
    pub(super) dc: Figure,
    pub(super) sun: Option<Figure>,
    pub(super) temperature: Option<Figure>,
}

#[derive(Serialize)]
pub(super) struct ClimateShape {
    pub(super) name: String,
    pub(super) label: String,
}

impl BriefShape {
    /// Whether nothing is missing and nothing was refused.
    pub(super) const fn is_whole(&self) -> bool {
        self.missing.is_empty() && self.refused.is_empty()
    }
}

/// Gathers the brief of a project.
pub(super) fn gather(
    file: &str,
    project: &Project,
    tables: &Tables,
    taken: &Taken,
    units: UnitSystem,
) -> BriefShape {
    let brief = &project.brief;
    let need = Need::of(&brief.loads);
    let (weather, weather_source) = match &brief.weather {
        WeatherSource::Unstated => ("unstated", None),
        WeatherSource::Records(from) => ("records", Some(from.clone())),
        WeatherSource::StandIn(climate) => ("stand_in", Some(climate.clone())),
    };
    let months = Month::ALL.into_iter().map(|month| {
        let means = brief.months.iter().find(|it| it.month == month);
        MonthShape {
            month: month.name(),
            ac: Figure::of(need.ac.of(month), units),
            dc: Figure::of(need.dc.of(month), units),
            sun: means.map(|it| Figure::of(it.sun, units)),
            temperature: means.map(|it| Figure::of(it.temperature, units)),
        }
    });
    let doubts = load_doubts(&brief.loads, &brief.site, &tables.appliances);
    let climates = climates_here(brief, tables)
        .into_iter()
        .map(|(_, it)| ClimateShape { name: it.key.clone(), label: it.label.clone() });
    BriefShape {
        head: Head::of("brief"),
        file: file.to_owned(),
        loads: brief.loads.iter().map(|it| load(it, units)).collect(),
        months: months.collect(),
        weather,
        weather_source,
        connected: Figure::of(need.connected, units),
        apparent: Figure::of(need.apparent, units),
        worst_start: Figure::of(need.surge, units),
        largest_hour: Figure::of(need.largest_hour, units),
        climates: climates.collect(),
        missing: missing(brief, tables),
        doubts: doubts.iter().map(|it| it.text(&brief.loads, units)).collect(),
        remarks: taken.remarks.clone(),
        refused: taken.refused.clone(),
    }
}

fn load(it: &LoadItem, units: UnitSystem) -> LoadShape {
    let daily =
        it.power.value() * f64::from(it.quantity) * it.hours.value() * f64::from(it.days_per_week) / 7.0;
    LoadShape {
        name: it.name.clone(),
        quantity: it.quantity,
        power: Figure::of(it.power, units),
        hours: Figure::of(it.hours, units),
        days_per_week: it.days_per_week,
        start: it.start.map(|start| Figure::of(start, units)),
        surge: it.surge.map(|surge| Figure::of(surge, units)),
        current: match it.current {
            LoadCurrent::Ac => "AC",
            LoadCurrent::Dc => "DC",
        },
        waits: it.priority == LoadPriority::CanWait,
        energy: Figure::of(WattHours::new(daily), units),
    }
}

/// What of the brief a year or a proposal needs and does not find.
fn missing(brief: &Brief, tables: &Tables) -> Vec<String> {
    let mut missing = Vec::new();
    let site = &brief.site;
    let given = [
        (site.latitude.is_some(), "latitude"),
        (site.longitude.is_some(), "longitude"),
        (site.elevation.is_some(), "elevation"),
        (site.record_low.is_some(), "record low"),
        (site.design_high.is_some(), "2 % design high"),
    ];
    for (_, what) in given.iter().filter(|(is_given, _)| !is_given) {
        missing.push(format!("the brief does not give the {what} of the site"));
    }
    if brief.loads.is_empty() {
        missing.push("the brief has no loads".to_owned());
    }
    if let Err(faults) = Climate::of_brief(brief, &tables.defaults) {
        missing.extend(faults.iter().map(ToString::to_string));
    }
    missing
}
