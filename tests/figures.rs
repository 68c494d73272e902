//! Figures of runs and blocks apart from findings: each is the last line of its own working, and the numbers are what
//! an electrician works out by hand.
#![cfg(test)]

use lineside_codes::Codes;
use lineside_core::file;
use lineside_core::project::{Project, RuleSet};
use lineside_core::units::{Celsius, Quantity, UnitSystem, Volts, text};
use lineside_rules::figures::{Figure, of_block, of_level, of_permitted, of_run};
use lineside_rules::{Circumstances, check};
use lineside_study::Conditions;

const DEMOS: [&str; 4] = [
    include_str!("../assets/demos/cabin.lineside"),
    include_str!("../assets/demos/home.lineside"),
    include_str!("../assets/demos/hut.lineside"),
    include_str!("../assets/demos/as-found.lineside"),
];

fn with<T>(project: &Project, set: RuleSet, look: impl FnOnce(&Circumstances<'_>) -> T) -> T {
    let codes = Codes::load().unwrap();
    let checked = check(project, &codes, set);
    let on = Conditions::new(project, &codes).under(set);
    look(&Circumstances::of(on, &checked.studies))
}

fn shown(figures: &[Figure]) -> Vec<String> {
    let write = |value: Quantity| text::figure(value, UnitSystem::Si);
    figures.iter().map(|figure| format!("{}: {}", figure.name, write(figure.value))).collect()
}

#[test]
fn each_figure_is_the_last_line_of_its_working() {
    for demo in DEMOS {
        let project = file::read(demo).unwrap();
        for set in RuleSet::ALL {
            with(&project, set, |on| {
                let runs = project.circuit.runs().map(|run| of_run(on, run.id));
                let blocks = project.circuit.blocks().map(|block| of_block(on, block.id));
                let mut count = 0;
                for figures in runs.chain(blocks) {
                    let mut names: Vec<_> = figures.iter().map(|figure| figure.name.clone()).collect();
                    names.dedup();
                    assert_eq!(names.len(), figures.len());
                    for figure in figures {
                        let last = figure.working.lines.last().map(|line| line.value);
                        assert_eq!(last, Some(figure.value), "{} of {}", figure.name, project.name());
                        count += 1;
                    }
                }
                assert!(count > 40, "{count} figures of {}", project.name());
            });
        }
    }
}

#[test]
fn figures_of_the_cabin_by_hand() {
    let project = file::read(DEMOS[0]).unwrap();
    let run = project.circuit.run_by_tag("W11").unwrap().id;
    let bank = project.circuit.block_by_tag("B1").unwrap().id;
    let strings = project.circuit.block_by_tag("S1").unwrap().id;
    with(&project, RuleSet::Nec2023, |on| {
        // 5 A of loads; × 1.25; 6 AWG copper has 75 A by its insulation and 65 A by terminals of 75 °C.
        // 0.491 Ω/kft × 80 ft × 2 = 78.56 mΩ, × 5 A = 0.393 V, of 48 V 0.82 %.
        let found = shown(&of_run(on, run));
        let expected = [
            "Greatest current: 5.00 A",
            "To be carried: 6.25 A",
            "Ampacity: 65.00 A",
            "Voltage drop: 0.82 %",
        ];
        assert_eq!(found[..4], expected);
        assert!(found[4].starts_with("Short circuit from Q3: ") && found.len() == 5, "{found:?}");
        // 40 cells of 1.05, 1.40, 1.60 and 1.65 V; at 10 °C 4 mV more for each of 15 K: 66 + 40 × 0.06 = 68.4 V.
        let expected = [
            "Empty: 42.00 V",
            "At rest, full: 56.00 V",
            "Charge: 64.00 V",
            "Equalize: 66.00 V",
            "Highest, cold: 68.40 V",
        ];
        assert_eq!(shown(&of_block(on, bank)), expected);
        // 3 × 37.2 V × (1 + 0.0027 × 56 K) = 128.466 V
        assert_eq!(shown(&of_block(on, strings))[0], "Cold, open: 128.47 V");
    });
}

#[test]
fn every_number_of_the_ladder_has_its_working() {
    for demo in DEMOS {
        let project = file::read(demo).unwrap();
        for set in RuleSet::ALL {
            with(&project, set, |on| {
                let mut count = 0;
                for window in on.studies.windows.all() {
                    for level in &window.levels {
                        let figure = of_level(on, window, level).unwrap_or_else(|| panic!("{level:?}"));
                        assert_eq!(figure.value, level.voltage.into());
                        let last = figure.working.lines.last().map(|line| line.value);
                        assert_eq!(last, Some(figure.value), "{} of {}", figure.name, project.name());
                        count += 1;
                    }
                    for permitted in &window.permitted {
                        let limits = [permitted.lowest, permitted.highest, permitted.absolute];
                        let figure = of_permitted(&project.circuit, permitted);
                        assert_eq!(figure.is_some(), limits.iter().any(Option::is_some));
                        let lines = figure.map_or(0, |it| it.working.lines.len());
                        assert_eq!(lines, limits.iter().flatten().count());
                        count += lines;
                    }
                }
                assert!(count > 30, "{count} numbers of {}", project.name());
            });
        }
    }
}

/// −33 °C are −33 × 1.8 + 32 = −27.4 °F; a span of 49 K is one of 88.2 °F.
#[test]
fn temperatures_of_a_working_are_told_as_its_formula_has_them() {
    let cold = Quantity::from(Celsius::new(-33.0));
    assert_eq!(text::worked(cold, UnitSystem::Us), "−27.4 °F (−33 °C)");
    assert_eq!(text::worked(cold, UnitSystem::Si), "−33 °C");
    assert_eq!(text::worked(Quantity::from(Volts::new(150.0)), UnitSystem::Us), "150.00 V");
}
