//! Which findings are shown: by severity, by place and by rule. The walk from finding to finding keeps to it too.

use crate::engine::Derived;
use lineside_core::circuit::{Circuit, PlaceId, Side};
use lineside_core::project::Project;
use lineside_rules::{Finding, Part, Severity};
use std::collections::BTreeSet;

/// Where a finding must be to be shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Where {
    /// Anywhere.
    #[default]
    Everywhere,
    /// With a part in this place, or in one within it.
    In(PlaceId),
    /// With no part in any place: the project as a whole, and blocks that stand nowhere.
    Nowhere,
}

/// What is shown.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Filter {
    /// Severities that are left out.
    pub hidden: BTreeSet<Severity>,
    /// Where.
    pub place: Where,
    /// Of which rule; of every rule when `None`.
    pub rule: Option<&'static str>,
}

impl Filter {
    /// Whether everything is shown.
    pub fn is_open(&self) -> bool {
        *self == Self::default()
    }

    /// Whether a finding is shown.
    pub fn lets(&self, finding: &Finding, circuit: &Circuit) -> bool {
        !self.hidden.contains(&finding.severity)
            && self.rule.is_none_or(|rule| rule == finding.rule)
            && match self.place {
                Where::Everywhere => true,
                Where::In(place) => finding.parts().any(|part| stands_in(part, place, circuit)),
                Where::Nowhere => finding.parts().all(|part| places_of(part, circuit).is_empty()),
            }
    }

    /// What is shown of what nobody has accepted, worst first.
    pub fn shown<'a>(&self, project: &Project, derived: &'a Derived) -> Vec<&'a Finding> {
        derived.open().filter(|finding| self.lets(finding, &project.circuit)).collect()
    }

    /// Lets a finding through that is to be looked at, changing no more than it takes.
    pub fn admit(&mut self, finding: &Finding, circuit: &Circuit) {
        self.hidden.remove(&finding.severity);
        if self.rule != Some(finding.rule) {
            self.rule = None;
        }
        if !self.lets(finding, circuit) {
            self.place = Where::Everywhere;
        }
    }

    /// Forgets a place that is gone.
    pub fn keep_existing(&mut self, circuit: &Circuit) {
        if let Where::In(place) = self.place
            && circuit.place(place).is_none()
        {
            self.place = Where::Everywhere;
        }
    }
}

/// The places in which a part stands itself: for a run, those of both ends.
fn places_of(part: Part, circuit: &Circuit) -> Vec<PlaceId> {
    let of_block = |id| circuit.block(id).and_then(|block| block.place);
    let of_end = |run, side: Side| circuit.run(run).and_then(|run| of_block(run.end(side).block));
    match part {
        Part::Block(id) => of_block(id).into_iter().collect(),
        Part::Run(id) => [Side::From, Side::To].into_iter().filter_map(|side| of_end(id, side)).collect(),
        Part::RunEnd(id, side) => of_end(id, side).into_iter().collect(),
        Part::Place(id) => vec![id],
        Part::Project => Vec::new(),
    }
}

fn stands_in(part: Part, wanted: PlaceId, circuit: &Circuit) -> bool {
    /// Places stand within each other no deeper than this; a file with a ring of them must not hang the window.
    const DEEPEST: usize = 64;
    places_of(part, circuit).into_iter().any(|own| {
        let outer = |place: &PlaceId| circuit.place(*place).and_then(|place| place.within);
        std::iter::successors(Some(own), outer).take(DEEPEST).any(|place| place == wanted)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_codes::Codes;
    use lineside_core::file;
    use lineside_rules::check;

    fn derived() -> (Project, Derived) {
        let project =
            file::read(include_str!("../../../../../../../assets/demos/as-found.lineside")).unwrap();
        let checked = check(&project, &Codes::load().unwrap(), project.rule_set);
        let derived = Derived::of(&project, checked, 0);
        (project, derived)
    }

    #[test]
    fn severity_rule_and_place_narrow_the_list() {
        let (project, derived) = derived();
        let all = derived.open().count();
        assert_eq!(Filter::default().shown(&project, &derived).len(), all);
        let mut filter = Filter { hidden: BTreeSet::from([Severity::Danger]), ..Filter::default() };
        let shown = filter.shown(&project, &derived);
        assert!(!shown.is_empty() && shown.len() < all);
        assert!(shown.iter().all(|it| it.severity > Severity::Danger));
        let rule = shown[0].rule;
        filter.rule = Some(rule);
        assert!(filter.shown(&project, &derived).iter().all(|it| it.rule == rule));
        // Each finding is in some place or in none, so that the places together leave nothing out.
        let mut seen = 0;
        for finding in derived.open() {
            let somewhere = project.circuit.places().map(|place| Where::In(place.id));
            let lets = |place| Filter { place, ..Filter::default() }.lets(finding, &project.circuit);
            seen += usize::from(somewhere.chain([Where::Nowhere]).any(lets));
        }
        assert_eq!(seen, all);
    }

    #[test]
    fn what_is_to_be_looked_at_is_let_through() {
        let (project, derived) = derived();
        let finding = derived.open().next().unwrap();
        let mut filter = Filter {
            hidden: Severity::ALL.into(),
            place: if finding.parts().any(|part| !places_of(part, &project.circuit).is_empty()) {
                Where::Nowhere
            } else {
                Where::In(project.circuit.places().next().unwrap().id)
            },
            rule: Some("labels"),
        };
        assert!(!filter.lets(finding, &project.circuit));
        filter.admit(finding, &project.circuit);
        assert!(filter.lets(finding, &project.circuit));
        assert!(filter.hidden.len() == 2, "the other severities stay hidden");
    }
}
