//! `lineside propose`: candidates for the briefs of the demos, and what is said when there are none.

use crate::Outcome;
use crate::projects::{self, SOUND};
use crate::running::{Folder, in_repository};
use serde_json::Value;

fn demo(name: &str) -> String {
    in_repository(&format!("assets/demos/{name}.lineside")).display().to_string()
}

fn money(value: &Value) -> Outcome<f64> {
    Ok(value.as_str().ok_or("money")?.parse()?)
}

#[test]
fn the_demos_have_candidates_that_keep_their_briefs() -> Outcome<()> {
    let folder = Folder::new("proposals")?;
    for (name, unmet, hours) in [("cabin", 1.0, 150.0), ("home", 1.0, 100.0), ("hut", 3.0, 0.0)] {
        let found = folder.json(&["propose", &demo(name), "--json", "--top", "100"])?;
        let candidates = found["candidates"].as_array().ok_or("candidates")?;
        assert!(!candidates.is_empty() && found["more"] == 0 && found["nearest"].is_null(), "{name}");
        let mut before = 0.0;
        for it in candidates {
            let cost = money(&it["cost"])?;
            assert!(cost >= before && money(&it["life_cost"])? > cost, "{name}: cheapest first");
            before = cost;
            assert!(it["unmet_share"]["value"].as_f64().ok_or("unmet")? <= unmet, "{name}");
            assert!(it["generator_hours"]["value"].as_f64().ok_or("hours")? <= hours, "{name}");
            assert!(it["merits"].as_array().is_some_and(|merits| !merits.is_empty()), "{name}");
        }
        assert_eq!(candidates[0]["merits"][0], "cheapest now", "{name}");
    }
    Ok(())
}

#[test]
fn a_page_tells_parts_cuts_and_what_the_price_leaves_out() -> Outcome<()> {
    let folder = Folder::new("proposals_page")?;
    let ended = folder.run(&["propose", &demo("cabin"), "--top", "1"])?;
    assert_eq!((ended.code, ended.err.as_str()), (Some(0), ""));
    for words in [
        "Highmeadow Cabin, by NEC 2023",
        "Candidate 1: cheapest now",
        "Nickel-iron cell",
        "more; --top shows them",
        "cold strings pass the greatest input voltage of the controller",
        "-o writes them",
    ] {
        assert!(ended.out.contains(words), "no “{words}” in\n{}", ended.out);
    }
    assert_eq!(ended, folder.run(&["propose", &demo("cabin"), "--top", "1"])?, "the same bytes");
    Ok(())
}

#[test]
fn no_candidate_and_no_brief_are_told_apart() -> Outcome<()> {
    let folder = Folder::with("proposals_none", "small.lineside", projects::small_text(SOUND)?)?;
    let ended = folder.run(&["propose", "small.lineside"])?;
    assert_eq!((ended.code, ended.out.as_str()), (Some(2), ""));
    for words in ["nothing can be proposed", "no loads", "latitude", "lack July", "in small.lineside"] {
        assert!(ended.err.contains(words), "no “{words}” in {}", ended.err);
    }
    // Every lamp of the cabin takes a hundred kilowatts: no inverter on the shelf carries that.
    folder
        .write("wild.lineside", projects::clean_text()?.replace("power: \"8 W\"", "power: \"100000 W\""))?;
    let ended = folder.run(&["propose", "wild.lineside"])?;
    assert_eq!(ended.code, Some(1));
    assert!(ended.out.contains("No candidate answers the brief"), "{}", ended.out);
    assert!(ended.out.contains("the inverters cannot carry the loads"), "{}", ended.out);
    assert!(ended.out.contains("It would pass if the brief were changed in one thing"), "{}", ended.out);
    assert!(ended.out.contains("% of the power of every load"), "{}", ended.out);
    Ok(())
}

#[test]
fn candidates_are_written_whole_and_never_over_what_is_there() -> Outcome<()> {
    let folder = Folder::new("proposals_written")?;
    let arguments = ["propose", &demo("cabin"), "--top", "2", "-o", "candidates"];
    let ended = folder.run(&arguments)?;
    assert_eq!((ended.code, ended.err.as_str()), (Some(0), ""));
    assert!(ended.out.contains("Written to candidates"), "{}", ended.out);
    let found = folder.json(&["propose", &demo("cabin"), "--json", "--top", "2", "-o", "others"])?;
    for it in found["candidates"].as_array().ok_or("candidates")? {
        let name = it["sheet"]["file"].as_str().ok_or("a name")?;
        let checked = folder.json(&["check", name, "--json"])?;
        assert_eq!(
            (&checked["counts"]["danger"], &checked["counts"]["correction"]),
            (&0.into(), &0.into()),
            "{name}"
        );
        let kinds = it["sheet"]["blocks"].as_array().ok_or("blocks")?;
        assert!(
            kinds.iter().any(|it| it["kind"] == "breaker" && it["count"].as_u64() > Some(4)),
            "{kinds:?}"
        );
    }
    let again = folder.run(&arguments)?;
    assert_eq!(again.code, Some(2));
    assert!(again.err.contains("is there already, and nothing was written"), "{}", again.err);
    let replaced = folder.run(&[&arguments[..], &["--replace"]].concat())?;
    assert_eq!((replaced.code, replaced.out), (Some(0), ended.out));
    Ok(())
}
