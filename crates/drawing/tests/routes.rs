//! Runs on the sheets of the demos: right angles, round blocks, joints as Ts with dots, crossings plain and few.
#![cfg(test)]

#[path = "support/measure.rs"]
mod measure;
#[path = "support/mod.rs"]
mod support;

use lineside_core::file;

#[test]
fn runs_of_the_demos_go_round_blocks_and_join_as_ts() {
    for (name, text) in support::DEMOS {
        let project = file::read(text).unwrap();
        let (_, routes) = measure::drawn(&project);
        let through = measure::through_blocks(&project.circuit, &routes);
        let meeting = measure::meeting(&project.circuit, &routes);
        eprintln!("{name}: {meeting:?}");
        assert!(through.is_empty(), "{name}: {through:?}");
        assert_eq!(meeting.false_joints, Vec::<String>::new(), "{name}");
        assert_eq!(meeting.crosses, Vec::<String>::new(), "{name}");
        assert_eq!(meeting.wrong_dots, Vec::<String>::new(), "{name}");
        assert!(meeting.crossings <= 3, "{name}: {} crossings", meeting.crossings);
    }
}
