//! `lineside stock fit`: the ranking, its reasons, and what cannot be asked.

use crate::{Outcome, folder};
use serde_json::Value;

#[test]
fn stock_is_ranked_for_the_place_of_a_block_with_reasons() -> Outcome<()> {
    let folder = folder("fit")?;
    let ended = folder.run(&["stock", "fit", "sound.lineside", "C1"])?;
    assert_eq!((ended.code, ended.err.as_str()), (Some(0), ""), "{}", ended.out);
    let first = ended.out.lines().find(|line| line.starts_with('✓')).ok_or("something fits")?;
    assert!(first.contains("150 V in, 100 A out"), "{first}");
    for words in
        ["(here", "Cold strings destroy the input of C1 (", "charge controllers in stock fit, best first"]
    {
        assert!(ended.out.contains(words), "no “{words}” in\n{}", ended.out);
    }
    let printed = folder.json(&["stock", "fit", "sound.lineside", "C1", "--json"])?;
    let items = printed.get("items").and_then(Value::as_array).ok_or("items")?;
    let fits: Vec<&str> = items.iter().filter_map(|it| it.get("fits")?.as_str()).collect();
    let order = ["yes", "correction", "danger", "refused"];
    assert!(fits.is_sorted_by_key(|it| order.iter().position(|other| other == it)), "{fits:?}");
    assert!(items.iter().all(|it| it.get("why").and_then(Value::as_str).is_some_and(|why| !why.is_empty())));
    Ok(())
}

#[test]
fn devices_are_ranked_for_a_run_and_bad_questions_are_answered() -> Outcome<()> {
    let folder = folder("fit_run")?;
    let printed = folder.json(&["stock", "fit", "sound.lineside", "W3.to", "--kind", "fuse", "--json"])?;
    assert_eq!(printed.get("kind").and_then(Value::as_str), Some("fuse"));
    let nobody = folder.run(&["stock", "fit", "sound.lineside", "Z9"])?;
    assert!(nobody.code == Some(2) && nobody.err.contains("no block and no run Z9"), "{}", nobody.err);
    let other = folder.run(&["stock", "fit", "sound.lineside", "C1", "--kind", "fuse"])?;
    assert!(other.code == Some(2) && other.err.contains("only its own kind"), "{}", other.err);
    Ok(())
}
