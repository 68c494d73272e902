//! House rules as tests: layout, arrows, file lengths, names that agree, no numbers in rules.
#![cfg(test)]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn files(folder: &Path, extension: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut waiting = vec![folder.to_path_buf()];
    while let Some(here) = waiting.pop() {
        let Ok(entries) = fs::read_dir(&here) else { continue };
        for path in entries.flatten().map(|entry| entry.path()) {
            if path.is_dir() && path.file_name().is_some_and(|name| name != "target") {
                waiting.push(path);
            } else if path.extension().is_some_and(|found| found == extension) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

fn rust_files() -> Vec<(PathBuf, String)> {
    let folders = ["crates", "tests"].map(|folder| root().join(folder));
    let all = folders.iter().flat_map(|folder| files(folder, "rs"));
    all.map(|path| (path.clone(), fs::read_to_string(&path).unwrap())).collect()
}

#[test]
fn the_top_level_holds_what_was_agreed() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "crates",
        "assets",
        "tests",
        "docs",
        "target",
    ];
    for entry in fs::read_dir(root()).unwrap().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let known = name.starts_with('.') || name.starts_with("LICENSE-") || allowed.contains(&name.as_str());
        assert!(known, "{name} does not belong at the top");
    }
}

#[test]
fn files_are_short_and_say_what_lives_in_them() {
    let mut faults = Vec::new();
    for (path, text) in rust_files() {
        let lines = text.lines().count();
        if lines > 400 {
            faults.push(format!("{}: {lines} lines, 400 are the limit", path.display()));
        }
        let first =
            text.lines().find(|line| !line.trim().is_empty() && !line.starts_with("#![")).unwrap_or("");
        if !first.starts_with("//!") {
            faults.push(format!("{}: does not open with what lives in it", path.display()));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn arrows_between_crates_point_down_only() {
    let architecture = fs::read_to_string(root().join("docs/architecture.md")).unwrap();
    let mut checked = 0;
    for line in architecture.lines().filter(|line| line.contains("->") && !line.contains('`')) {
        let (name, allowed) = line.split_once("->").unwrap();
        let name = name.trim();
        let manifest = fs::read_to_string(root().join(format!("crates/{name}/Cargo.toml"))).unwrap();
        let dependencies = manifest.split("[dev-dependencies]").next().unwrap();
        let used: Vec<&str> = dependencies
            .lines()
            .filter_map(|line| line.strip_prefix("lineside-"))
            .map(|rest| rest.split(['.', ' ', '=']).next().unwrap())
            .collect();
        let allowed: Vec<&str> = allowed.split_whitespace().collect();
        assert_eq!(sorted(&used), sorted(&allowed), "{name}: its manifest and docs/architecture.md differ");
        checked += 1;
    }
    assert_eq!(
        checked,
        fs::read_dir(root().join("crates")).unwrap().count(),
        "every crate stands in the list"
    );
}

fn sorted<'a>(list: &[&'a str]) -> Vec<&'a str> {
    let mut list = list.to_vec();
    list.sort_unstable();
    list
}

#[test]
fn rules_are_listed_and_named_alike() {
    let folder = root().join("crates/rules/src/rules");
    let list = fs::read_to_string(folder.join("mod.rs")).unwrap();
    let mut ids = Vec::new();
    for path in files(&folder, "rs") {
        let text = fs::read_to_string(&path).unwrap();
        let Some((_, after)) = text.split_once("rule! {") else { continue };
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let id = after.split("id: \"").nth(1).unwrap().split('"').next().unwrap();
        assert_eq!(id.replace('-', "_"), name, "{}: file and id differ", path.display());
        assert!(
            after.contains(&format!("{} {{", name.to_uppercase())),
            "{}: constant and file differ",
            path.display()
        );
        assert!(list.contains(&format!("::{},", name.to_uppercase())), "{id} is not in the list");
        for part in ["## The harm", "## What to do"] {
            assert!(after.contains(part), "{id}: its explanation has no “{part}”");
        }
        ids.push(id.to_owned());
    }
    let listed: Vec<&str> = lineside_rules::ALL.iter().map(|rule| rule.id).collect();
    assert_eq!(listed.len(), ids.len());
    for rule in lineside_rules::ALL {
        assert!(!rule.clauses.is_empty(), "{} holds nowhere", rule.id);
        assert!(rule.explanation.len() > 80 && rule.title.len() > 10, "{} is not explained", rule.id);
    }
}

/// Values of standards stand in tables. A rule may count to two.
#[test]
fn rule_files_hold_no_numbers() {
    let mut faults = Vec::new();
    for path in files(&root().join("crates/rules/src/rules"), "rs") {
        let text = fs::read_to_string(&path).unwrap();
        for (number, line) in text.lines().enumerate() {
            let code = line.split("//").next().unwrap_or("");
            for word in numbers_outside_strings(code) {
                let small = ["0", "1", "2", "0.0", "1.0", "2.0"].contains(&word.as_str());
                if !small {
                    faults.push(format!("{}:{}: {word}", path.display(), number + 1));
                }
            }
        }
    }
    assert!(faults.is_empty(), "numbers belong into assets/codes:\n{}", faults.join("\n"));
}

fn numbers_outside_strings(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut in_string = false;
    let mut word = String::new();
    let mut is_field = false;
    let mut previous = ' ';
    for c in code.chars().chain([' ']) {
        if c == '"' && previous != '\\' {
            in_string = !in_string;
        }
        let only_digits = !word.is_empty() && word.chars().all(|d| d.is_ascii_digit() || d == '_');
        if !in_string && (c.is_alphanumeric() || c == '_' || (c == '.' && only_digits)) {
            if word.is_empty() {
                // `pair.0` names a field, it is no number.
                is_field = previous == '.';
            }
            word.push(c);
        } else {
            if word.starts_with(|d: char| d.is_ascii_digit()) && !is_field {
                found.push(word.trim_end_matches(['.', '_']).to_owned());
            }
            word.clear();
        }
        previous = c;
    }
    found
}

#[test]
fn nothing_promises_what_is_not_there() {
    let mut faults = Vec::new();
    for (path, text) in rust_files() {
        if path.ends_with("tests/tidy.rs") {
            continue;
        }
        for word in ["todo!", "unimplemented!", "FIXME", "XXX", "#[ignore", "should_panic", "coming soon"] {
            if text.contains(word) {
                faults.push(format!("{}: {word}", path.display()));
            }
        }
        if text.contains("#[allow(") {
            faults.push(format!("{}: use expect with a reason", path.display()));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn colors_stand_in_one_file() {
    for path in files(&root().join("crates/app/src"), "rs") {
        if path.ends_with("window/tokens.rs") {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        for word in ["from_rgb", "from_gray", "from_rgba", "Color32::RED", "Color32::WHITE", "Color32::BLACK"]
        {
            assert!(!text.contains(word), "{}: {word} belongs into tokens.rs", path.display());
        }
    }
}

#[test]
fn every_dependency_is_explained() {
    let manifest = fs::read_to_string(root().join("Cargo.toml")).unwrap();
    let explained = fs::read_to_string(root().join("docs/dependencies.md")).unwrap();
    let section = manifest.split("[workspace.dependencies]").nth(1).unwrap().split("\n[").next().unwrap();
    for line in section.lines().filter(|line| line.contains('=') && !line.starts_with('#')) {
        let name = line.split('=').next().unwrap().trim();
        let own = name.starts_with("lineside");
        assert!(
            own || explained.contains(&format!("`{name}`")),
            "{name} has no reason in docs/dependencies.md"
        );
    }
}

/// Every free license that a dependency of the program may have.
#[test]
fn dependencies_are_locked_and_from_the_registry() {
    let lock = fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let mut sources: BTreeMap<&str, usize> = BTreeMap::new();
    for line in lock.lines().filter_map(|line| line.strip_prefix("source = ")) {
        *sources.entry(line).or_default() += 1;
    }
    let known = "\"registry+https://github.com/rust-lang/crates.io-index\"";
    assert_eq!(sources.keys().copied().collect::<Vec<_>>(), [known]);
}
