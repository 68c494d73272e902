//! `lineside labels`: what is listed, and the project in which labels have been made.

use crate::running::in_repository;
use crate::{Outcome, folder};
use serde_json::Value;

fn demo(name: &str) -> String {
    in_repository(&format!("assets/demos/{name}.lineside")).display().to_string()
}

#[test]
fn labels_are_listed_with_their_lines_and_places() -> Outcome<()> {
    let folder = folder("labels_listed")?;
    let ended = folder.run(&["labels", &demo("cabin")])?;
    assert_eq!((ended.code, ended.err.as_str()), (Some(0), ""), "{}", ended.out);
    for words in ["Highest DC voltage: 129 V", "Q1, Power panel", "NEC 2023 690.7(D)", "Where they stand"] {
        assert!(ended.out.contains(words), "no “{words}” in\n{}", ended.out);
    }
    let by_iec = folder.run(&["labels", &demo("cabin"), "--rules", "iec"])?;
    assert!(by_iec.out.contains("PV array DC"), "{}", by_iec.out);
    let printed = folder.json(&["labels", &demo("cabin"), "--json"])?;
    let needed = printed.get("needed").and_then(Value::as_array).ok_or("labels")?;
    let voltage = needed.iter().find(|it| it["label"] == "pv-voltage").ok_or("the array's voltage")?;
    assert_eq!(voltage["at"]["name"], "Q1");
    assert_eq!(voltage["values"][0]["printed"]["text"], "129 V");
    assert_eq!(voltage["values"][0]["found"]["text"], "128.47 V");
    Ok(())
}

#[test]
fn labels_are_made_in_another_file() -> Outcome<()> {
    let folder = folder("labels_made")?;
    let draft = folder.json(&["check", "danger.lineside", "--json"])?;
    let ids = |report: &Value| -> Vec<String> {
        let findings = report["findings"].as_array().cloned().unwrap_or_default();
        findings.iter().filter_map(|it| it["id"].as_str().map(str::to_owned)).collect()
    };
    assert!(ids(&draft).contains(&"labels@project".to_owned()), "{:?}", ids(&draft));
    let before = folder.read("danger.lineside")?;
    let ended = folder.run(&["labels", "danger.lineside", "--make", "-o", "labeled.lineside"])?;
    assert_eq!(ended.code, Some(1), "its danger stays: {}", ended.out);
    assert!(ended.out.contains("Made in labeled.lineside."), "{}", ended.out);
    assert_eq!(folder.read("danger.lineside")?, before);
    let made = folder.json(&["check", "labeled.lineside", "--json"])?;
    assert!(!ids(&made).iter().any(|id| id.starts_with("labels")), "{:?}", ids(&made));
    let over = folder.run(&["labels", "danger.lineside", "--make", "-o", "danger.lineside"])?;
    assert!(over.code == Some(2) && over.err.contains("another name"), "{}", over.err);
    Ok(())
}
