//! `lineside check --fix`: what is mended, what is written, and what is left alone.

use crate::running::in_repository;
use crate::{Outcome, folder};
use serde_json::Value;

#[test]
fn the_demo_for_training_is_mended_and_checks_clean() -> Outcome<()> {
    let folder = folder("mend_demo")?;
    let demo = in_repository("assets/demos/as-found.lineside");
    let before = std::fs::read_to_string(&demo)?;
    let demo = demo.display().to_string();
    let ended = folder.run(&["check", &demo, "--fix", "-o", "mended.lineside"])?;
    assert_eq!((ended.code, ended.err.as_str()), (Some(0), ""), "{}", ended.out);
    for words in [
        "Cold strings destroy the input of C1",
        "3 modules in series in S1, S2",
        "no dangers  ■ no corrections",
    ] {
        assert!(ended.out.contains(words), "no “{words}” in\n{}", ended.out);
    }
    assert_eq!(std::fs::read_to_string(&demo)?, before, "the project that was read stays as it was");
    let checked = folder.run(&["check", "mended.lineside"])?;
    assert_eq!(checked.code, Some(0), "{}", checked.out);
    Ok(())
}

#[test]
fn steps_are_printed_for_other_programs() -> Outcome<()> {
    let folder = folder("mend_json")?;
    let printed = folder.json(&["check", "danger.lineside", "--fix", "-o", "mended.lineside", "--json"])?;
    let steps = printed.get("steps").and_then(Value::as_array).ok_or("steps")?;
    let first = steps.first().ok_or("a step")?;
    assert_eq!(first.get("against").and_then(Value::as_str), Some("string-cold-voltage@C1"));
    assert_eq!(first.get("done").and_then(Value::as_str), Some("3 modules in series in S1"));
    assert_eq!(printed.get("mended").and_then(Value::as_str), Some("mended.lineside"));
    Ok(())
}

#[test]
fn a_clean_project_is_written_as_it_was() -> Outcome<()> {
    let folder = folder("mend_clean")?;
    let ended = folder.run(&["check", "sound.lineside", "--fix", "-o", "mended.lineside"])?;
    assert_eq!(ended.code, Some(0), "{}", ended.out);
    assert!(ended.out.contains("Nothing was changed."), "{}", ended.out);
    assert_eq!(folder.read("mended.lineside")?, folder.read("sound.lineside")?);
    Ok(())
}

#[test]
fn nothing_is_overwritten_that_was_read() -> Outcome<()> {
    let folder = folder("mend_over")?;
    let before = folder.read("danger.lineside")?;
    let over = folder.run(&["check", "danger.lineside", "--fix", "-o", "./danger.lineside"])?;
    assert_eq!(over.code, Some(2));
    assert!(over.err.contains("give it another name"), "{}", over.err);
    let ending = folder.run(&["check", "danger.lineside", "--fix", "-o", "mended.svg"])?;
    assert!(ending.code == Some(2) && ending.err.contains(".lineside"), "{}", ending.err);
    let nowhere = folder.run(&["check", "danger.lineside", "--fix"])?;
    assert_eq!(nowhere.code, Some(2), "{}", nowhere.err);
    assert_eq!(folder.read("danger.lineside")?, before);
    Ok(())
}
