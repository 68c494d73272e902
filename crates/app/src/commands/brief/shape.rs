//! A brief, gathered in the shape that is printed as JSON. `docs/json.md` describes it.

use super::Taken;
use crate::commands::shapes::{Figure, Head};
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, Month, Project, WeatherSource};
use lineside_core::units::UnitSystem;
use lineside_energy::loads::{energy_of_day, load_doubts};
use lineside_energy::{Tables, brief_lacks, climates_at};
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
    let climates = climates_at(brief, tables)
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
        missing: brief_lacks(brief, &tables.defaults),
        doubts: doubts.iter().map(|it| it.text(&brief.loads, units)).collect(),
        remarks: taken.remarks.clone(),
        refused: taken.refused.clone(),
    }
}

fn load(it: &LoadItem, units: UnitSystem) -> LoadShape {
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
        energy: Figure::of(energy_of_day(it), units),
    }
}
