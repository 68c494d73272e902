//! The end of drawing: facts that rooms must have by the rules' own figures, remedies for what is left, tidying.

use super::Drawn;
use super::draft::Draft;
use super::why::Why;
use lineside_core::circuit::{Place, RunId};
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::Kind;
use lineside_core::kinds::common::Fitted;
use lineside_core::project::BuildingUse;
use lineside_core::project::Project;
use lineside_core::units::{Meters, SquareCentimeters};
use lineside_drawing::tidy;
use lineside_rules::mend::mend;
use lineside_rules::{Amount, Checked, Finding, Part, Severity, check};

/// Steps of size against the heat of a short circuit.
const HEATED: usize = 6;
/// Times that facts are asked for.
const ROUNDS: usize = 3;

/// Whether the rules would like arresters on the array side.
pub(super) fn wants_arresters(drawn: &Drawn) -> bool {
    drawn.advice.contains(&"surge-protection")
}

impl Draft<'_> {
    /// Settles the facts, mends what is left, tidies.
    pub(super) fn finish(mut self) -> Result<Drawn, Why> {
        let codes = self.terms.on.codes;
        self.emergency_stop()?;
        for _ in 0..ROUNDS {
            let checked = check(&self.project, codes, self.project.rule_set);
            if !self.facts(&checked)? {
                break;
            }
        }
        self.against_heat()?;
        let mended = mend(&self.project, codes, self.stock);
        let left: Vec<String> = objections(&mended.checked).map(|it| describe(it, &mended.project)).collect();
        if !left.is_empty() {
            return Err(Why::Objections(left));
        }
        self.unchanged(&mended.project)?;
        let advice = mended.checked.report.findings.iter().map(|it| it.rule).collect();
        let mut project = mended.project;
        if let Some(edit) = tidy::tidy(&project.circuit, project.units) {
            apply(&mut project, edit).map_err(|refusal| Why::Refused(refusal.to_string()))?;
        }
        Ok(Drawn { project, advice })
    }

    /// A remedy may exchange equipment; then it is no longer the candidate that was searched, gone through and priced.
    fn unchanged(&self, mended: &Project) -> Result<(), Why> {
        let chosen =
            [Kind::Strings, Kind::ChargeController, Kind::BatteryBank, Kind::Inverter, Kind::Generator];
        let parts = |project: &Project| -> Vec<(String, Option<String>)> {
            let blocks = project.circuit.blocks().filter(|block| chosen.contains(&block.kind()));
            blocks.map(|block| (block.tag.clone(), block.stock.clone())).collect()
        };
        let (before, after) = (parts(&self.project), parts(mended));
        match after.iter().find(|part| !before.contains(part)) {
            Some((tag, stock)) => {
                let name = stock.clone().unwrap_or_default();
                Err(Why::OtherEquipment(format!("{name} as {tag}")))
            }
            None if before.len() > after.len() => Err(Why::OtherEquipment("less of it".to_owned())),
            None => Ok(()),
        }
    }

    /// Enlarges what a short circuit heats more than it bears.
    fn against_heat(&mut self) -> Result<(), Why> {
        for _ in 0..HEATED {
            let checked = check(&self.project, self.terms.on.codes, self.project.rule_set);
            let heated = objections(&checked).filter(|it| it.rule == "conductor-short-circuit-heating");
            let mut runs: Vec<RunId> = heated
                .filter_map(|it| match it.at {
                    Part::Run(run) | Part::RunEnd(run, _) => Some(run),
                    Part::Block(_) | Part::Place(_) | Part::Project => None,
                })
                .collect();
            runs.sort_unstable();
            runs.dedup();
            if runs.is_empty() {
                break;
            }
            for run in runs {
                self.enlarge_once(run)?;
            }
            self.ground_and_house()?;
        }
        Ok(())
    }

    /// In a dwelling the battery can be shut down outside: the proposal provides for it.
    fn emergency_stop(&mut self) -> Result<(), Why> {
        if self.project.brief.site.building != Some(BuildingUse::Dwelling) {
            return Ok(());
        }
        let mut brief = self.project.brief.clone();
        brief.site.storage_stop_outside = Some(Fitted::Yes);
        self.edit(Edit::SetBrief(Box::new(brief)))
    }

    /// Gives rooms what the rules ask of them. Whether any fact was changed.
    fn facts(&mut self, checked: &Checked) -> Result<bool, Why> {
        let mut changed = false;
        for finding in checked.report.findings.iter().filter(|it| it.severity < Severity::Advice) {
            let (Some(place), Amount::Quantity(needed)) = (self.place_of(finding), &finding.allowed) else {
                continue;
            };
            let mut place: Place = place.clone();
            match finding.rule {
                "battery-ventilation" => {
                    let rounded = (needed.value / 100.0).ceil() * 100.0;
                    place.facts.vent_opening = Some(SquareCentimeters::new(rounded));
                }
                "battery-spark-distance" => {
                    let rounded = (needed.value * 10.0).ceil() / 10.0;
                    place.facts.spark_distance = Some(Meters::new(rounded));
                }
                _ => continue,
            }
            changed = true;
            self.edit(Edit::SetPlace(Box::new(place)))?;
        }
        Ok(changed)
    }

    fn place_of(&self, finding: &Finding) -> Option<&Place> {
        let circuit = &self.project.circuit;
        finding.parts().find_map(|part| match part {
            Part::Place(id) => circuit.place(id),
            Part::Block(id) => circuit.place(circuit.location_of_block(id)?),
            Part::Run(_) | Part::RunEnd(..) | Part::Project => None,
        })
    }
}

fn objections(checked: &Checked) -> impl Iterator<Item = &Finding> {
    checked.report.findings.iter().filter(|it| it.severity < Severity::Advice)
}

fn describe(finding: &Finding, project: &Project) -> String {
    format!(
        "{}: {} ({} for {})",
        finding.id(&project.circuit),
        finding.title,
        finding.found.show(project.units),
        finding.allowed.show(project.units)
    )
}
