//! The walks of the demo projects: what is said is what flows.

use crate::{Account, Seen, Step, Told, customer, own_steps, page, steps, technician, traced};
use lineside_codes::Codes;
use lineside_core::file;
use lineside_core::project::Project;
use lineside_core::units::text;
use lineside_core::units::{UnitSystem, Watts};
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::Look;
use lineside_study::flow::{self, Flow};
use lineside_study::{Conditions, Studies};

const DEMOS: [(&str, &str); 3] = [
    ("cabin", include_str!("../../../assets/demos/cabin.lineside")),
    ("home", include_str!("../../../assets/demos/home.lineside")),
    ("hut", include_str!("../../../assets/demos/hut.lineside")),
];

struct Walk {
    project: Project,
    studies: Studies,
    flows: Vec<(Step, Flow)>,
}

fn walk(text: &str) -> Walk {
    let project = file::read(text).unwrap();
    let codes = Codes::load().unwrap();
    let on = Conditions::new(&project, &codes);
    let studies = lineside_study::all(&on);
    let mut all = steps(&on, &studies);
    all.extend(own_steps(&project));
    let flows = all
        .into_iter()
        .map(|step| {
            let flow = flow::study(&on, &studies.network, &studies.zones, &studies.ratings, &step.state);
            (step, flow)
        })
        .collect();
    Walk { project, studies, flows }
}

impl Walk {
    fn seen(&self) -> impl Iterator<Item = Seen<'_>> {
        self.flows.iter().map(|(step, flow)| Seen {
            project: &self.project,
            studies: &self.studies,
            step,
            flow,
        })
    }
    fn at(&self, name: &str) -> Seen<'_> {
        self.seen().find(|it| it.step.name == name).unwrap_or_else(|| panic!("{name}: {:?}", self.names()))
    }
    fn names(&self) -> Vec<&str> {
        self.flows.iter().map(|(step, _)| step.name.as_str()).collect()
    }
}

#[test]
fn every_step_of_every_demo_is_a_state_that_adds_up() {
    for (demo, text) in DEMOS {
        let walk = walk(text);
        assert!(walk.flows.len() >= 8, "{demo}: {:?}", walk.names());
        for seen in walk.seen() {
            let what = format!("{demo}, {}", seen.step.name);
            assert!(seen.flow.is_solved(), "{what}: {:?}", seen.flow.outcome);
            assert!(seen.flow.balance.gap().value().abs() < 1e-6, "{what}");
            let it = Account::of(&seen);
            assert!(
                it.held_back() >= Watts::ZERO && it.offered >= it.taken - Watts::new(1e-6),
                "{what}: {it:?}"
            );
            let comes = it.sun + it.drawn + it.generator + it.utility;
            let goes = it.loads + it.stored + it.exported + it.lost;
            assert!((comes - goes).value().abs() < 1e-6, "{what}: {it:?}");
            assert!(!customer(&seen).is_empty() && !technician(&seen).is_empty(), "{what}");
        }
    }
}

/// Every power in the customer's words is one of the account.
#[test]
fn figures_in_the_words_are_those_of_the_flow() {
    for (_, text) in DEMOS {
        let walk = walk(text);
        for seen in walk.seen() {
            let it = Account::of(&seen);
            let units = seen.project.units;
            let known: Vec<String> = [
                it.offered,
                it.sun,
                it.taken,
                it.held_back(),
                it.bank_gives,
                it.bank_takes,
                it.bank_takes - it.bank_gives,
                it.generator,
                it.utility,
                it.exported,
                it.loads,
                it.lost,
            ]
            .map(|watts| text::figure(watts.into(), units))
            .to_vec();
            let told = customer(&seen);
            for sentence in
                told.iter().filter(|it| !it.contains("without power") && !it.contains("keep the bank"))
            {
                for figure in watts_in(sentence) {
                    assert!(known.contains(&figure), "{figure} in “{sentence}”: {known:?}");
                }
            }
        }
    }
}

/// Figures in watts, such as `1,240 W` or `2.10 kW`.
fn watts_in(sentence: &str) -> Vec<String> {
    let words: Vec<&str> = sentence.split([' ', '\u{a0}', '\u{202f}']).collect();
    let pairs = words.iter().zip(words.iter().skip(1));
    pairs
        .filter_map(|(number, unit)| {
            let unit = unit.trim_end_matches(['.', ',', ';']);
            matches!(unit, "W" | "kW").then(|| format!("{number} {unit}"))
        })
        .collect()
}

#[test]
fn the_cabin_is_told_as_it_works() {
    let walk = walk(DEMOS[0].1);
    let full = customer(&walk.at("The bank is full, the array is held back")).join(" ");
    assert!(full.contains("absorb voltage") && full.contains("leaves the other"), "{full}");
    let filling = customer(&walk.at("Sun high, the bank fills")).join(" ");
    assert!(filling.contains("all of it is taken") && filling.contains("charges the bank"), "{filling}");
    let evening = customer(&walk.at("Evening on the bank")).join(" ");
    assert!(
        evening.contains("There is no sun on the array.") && evening.contains("The bank gives"),
        "{evening}"
    );
    let off = technician(&walk.at("The array is locked off")).join(" ");
    assert!(off.contains("Dead: "), "{off}");
    let emergency = customer(&walk.at("Shutdown in an emergency")).join(" ");
    assert!(emergency.contains("without power"), "{emergency}");
}

#[test]
fn the_page_is_whole_and_asks_for_nothing() {
    let mut walk = walk(DEMOS[1].1);
    walk.project.title.system = "A <b>house</b> & “barn”".to_owned();
    let routes = Routes::new(&walk.project.circuit);
    let told: Vec<Told> =
        walk.seen().map(|seen| Told::of(&seen, traced(&seen, &Look::default(), &routes))).collect();
    let html = page(&walk.project, &told);
    assert!(html.contains("A &lt;b&gt;house&lt;/b&gt; &amp; “barn”") && !html.contains("<b>"));
    for refused in ["http://", "https://", "src=", "@import", "url("] {
        let elsewhere = html.replace("http://www.w3.org/2000/svg", "").replace("url(data:font/ttf", "");
        assert!(!elsewhere.contains(refused), "{refused}");
    }
    for number in 1..=told.len() {
        assert_eq!(html.matches(&format!("id=\"step{number}\"")).count(), 1);
        assert_eq!(html.matches(&format!("id=\"sheet{number}\"")).count(), 1);
    }
    assert!(!html.contains("id=\"title\""));
    assert_eq!(html, page(&walk.project, &told), "the same input gives the same bytes");
    assert_eq!(walk.project.units, UnitSystem::Us);
}
