//! Accepted advice on the command line: told apart with its reason, and told as lapsed when it no longer arises.

use crate::{Outcome, folder};
use serde_json::Value;

/// The file with advice, in which its only advice and something that does not arise are accepted.
pub fn accepted_text(text: &str) -> String {
    let entry = |rule: &str, reason: &str| {
        format!(
            "(rule: \"{rule}\", at: block(\"L1\"), aspect: \"supply\", said: \"then\", reason: \"{reason}\", \
             date: \"2026-04-07\", by: \"M. A.\")"
        )
    };
    let list = [entry("voltage-drop", "It is wanted."), entry("no-such-rule", "It was.")].join(", ");
    text.replacen("    site_record:", &format!("    accepted: [{list}],\n    site_record:"), 1)
}

#[test]
fn accepted_advice_is_listed_apart_with_its_reason() -> Outcome<()> {
    let folder = folder("accepted")?;
    let before = folder.json(&["check", "advice.lineside", "--json"])?;
    folder.write("accepted.lineside", accepted_text(&folder.read("advice.lineside")?))?;
    let ended = folder.run(&["check", "accepted.lineside"])?;
    assert_eq!(ended.code, Some(0), "{}", ended.err);
    for words in [
        "1 of it accepted",
        "Accepted advice",
        "It is wanted.",
        "2026-04-07 by M. A.",
        "no longer found",
        "It was.",
    ] {
        assert!(ended.out.contains(words), "no “{words}” in\n{}", ended.out);
    }
    let printed = folder.json(&["check", "accepted.lineside", "--json"])?;
    let all = printed.get("findings").and_then(Value::as_array).ok_or("findings")?;
    let known = before.get("findings").and_then(Value::as_array).ok_or("findings")?;
    assert_eq!(all.len(), known.len(), "nothing is left out");
    let reasons: Vec<&str> = all.iter().filter_map(|it| it.pointer("/accepted/reason")?.as_str()).collect();
    assert_eq!(reasons, ["It is wanted."]);
    assert_eq!(printed.pointer("/lapsed/0/reason").and_then(Value::as_str), Some("It was."));
    Ok(())
}
