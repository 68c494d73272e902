//! A change that clears a finding, and nothing worse comes with it.

use lineside_acceptance::{Sheet, Verdict};
use lineside_rules::Severity::Advice;

/// Asserts that a change of a sheet clears a finding and adds no danger and no correction.
pub fn clears(sheet: &dyn Fn() -> Sheet, change: impl Fn(&mut Sheet), gone: &str) -> Verdict {
    let before = sheet().check();
    assert!(before.has(gone), "{gone} was there");
    let mut changed = sheet();
    change(&mut changed);
    let after = changed.check();
    assert!(!after.has(gone), "{gone} is still there in\n{}", after.lines());
    for finding in after.judged().filter(|it| it.severity != Advice) {
        let id = finding.id(&after.project.circuit);
        assert!(before.has(&id), "{id} came in\n{}", after.lines());
    }
    after
}
