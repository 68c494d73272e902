//! Words on the sheets of the demos lie on nothing: neither on each other nor on symbols, conductors and outlines.
#![cfg(test)]

#[path = "support/measure.rs"]
mod measure;
#[path = "support/mod.rs"]
mod support;

use lineside_core::file;

#[test]
fn words_of_the_demos_lie_on_nothing() {
    for (name, text) in support::DEMOS {
        let project = file::read(text).unwrap();
        let (drawing, _) = measure::drawn(&project);
        let words = drawing.list.texts().count();
        assert!(words > 2 * project.circuit.block_count(), "{name}: {words} words");
        let found = measure::overlaps(&project, &drawing);
        assert!(found.is_empty(), "{name}:\n{}", found.join("\n"));
    }
}
