//! `lineside stock`, `lineside rules`, and the help.

use crate::Outcome;
use crate::running::Folder;
use lineside_core::kinds::Kind;

#[test]
fn stock_is_listed_by_kind() -> Outcome<()> {
    let folder = Folder::new("stock")?;
    let all = folder.json(&["stock", "--json"])?;
    let count = all["items"].as_array().map_or(0, Vec::len);
    assert!(count >= 80, "{count} items");
    let list = folder.run(&["stock"])?;
    assert_eq!(list.out.lines().filter(|line| line.starts_with("  ")).count(), count);
    let mut by_kind = 0;
    for kind in Kind::ALL {
        let of_kind = folder.json(&["stock", "--json", "--kind", kind.key()])?;
        let items = of_kind["items"].as_array().cloned().unwrap_or_default();
        assert!(items.iter().all(|item| item["kind"] == kind.key()), "{}", kind.key());
        by_kind += items.len();
    }
    assert_eq!(by_kind, count);
    Ok(())
}

#[test]
fn an_item_is_shown_with_all_its_fields() -> Outcome<()> {
    let folder = Folder::new("stock_item")?;
    let item = "Tracking controller, 150 V in, 60 A out";
    let page = folder.run(&["stock", item])?;
    assert!(page.out.starts_with(item), "{}", page.out);
    for field in Kind::ChargeController.fields() {
        assert!(page.out.contains(field.label), "{}", field.label);
    }
    let line = page.out.lines().find(|line| line.contains("Greatest PV input voltage")).unwrap_or("");
    assert!(line.contains("150 V"), "{line}");
    let shape = folder.json(&["stock", item, "--json"])?;
    let fields = shape["items"][0]["fields"].as_array().cloned().unwrap_or_default();
    let keys: Vec<&str> = fields.iter().filter_map(|field| field["key"].as_str()).collect();
    let expected: Vec<&str> = Kind::ChargeController.fields().iter().map(|field| field.key).collect();
    assert_eq!(keys, expected);
    let voltage = fields.iter().find(|field| field["key"] == "max_input_voltage").ok_or("the field")?;
    assert_eq!((&voltage["value"], &voltage["unit"]), (&150.0.into(), &"V".into()));
    Ok(())
}

#[test]
fn an_item_is_found_by_a_part_of_its_name_that_fits_it_alone() -> Outcome<()> {
    let folder = Folder::new("stock_names")?;
    let found = folder.run(&["stock", "nickel-iron cell, 400"])?;
    assert!(found.out.starts_with("Nickel-iron cell, 400 Ah\n"), "{}", found.out);
    let several = folder.run(&["stock", "nickel-iron cell"])?;
    assert_eq!((several.code, several.out.as_str()), (Some(2), ""));
    assert!(
        several.err.contains("say which") && several.err.contains("\n  Nickel-iron cell, 400 Ah"),
        "{}",
        several.err
    );
    let none = folder.run(&["stock", "perpetual motion"])?;
    assert_eq!((none.code, none.out.as_str()), (Some(2), ""));
    assert!(none.err.contains("perpetual motion"), "{}", none.err);
    Ok(())
}

#[test]
fn rules_are_listed_and_explained() -> Outcome<()> {
    let folder = Folder::new("rules")?;
    let list = folder.run(&["rules"])?;
    for rule in lineside_rules::ALL {
        assert!(list.out.contains(&format!("  {}  ", rule.id)), "{}", rule.id);
        let page = folder.run(&["rules", rule.id])?;
        assert_eq!(page.code, Some(0), "{}", rule.id);
        for words in ["\nThe harm\n", "\nThe clauses\n", rule.id] {
            assert!(page.out.contains(words), "{}: no “{words}”", rule.id);
        }
        // Long clauses are broken into lines.
        let words = page.out.split_whitespace().collect::<Vec<_>>().join(" ");
        for clause in rule.clauses {
            assert!(words.contains(clause.text), "{}: {}", rule.id, clause.text);
        }
    }
    let wrong = folder.run(&["rules", "voltage-dorp"])?;
    assert_eq!(wrong.code, Some(2));
    assert!(wrong.err.contains("perhaps voltage-drop was meant"), "{}", wrong.err);
    Ok(())
}

#[test]
fn rules_of_one_rule_set_can_be_listed() -> Outcome<()> {
    let folder = Folder::new("rules_of_set")?;
    let rules = folder.json(&["rules", "--json", "--rules", "iec"])?;
    let expected = lineside_rules::ALL
        .iter()
        .filter(|rule| rule.clauses.iter().any(|clause| clause.rule_set.key() == "iec"))
        .count();
    assert_eq!(rules["rules"].as_array().map(Vec::len), Some(expected));
    assert!(expected < lineside_rules::ALL.len(), "some rules hold under the NEC only");
    Ok(())
}

#[test]
fn help_is_a_result_with_examples_and_exit_codes() -> Outcome<()> {
    let folder = Folder::new("help")?;
    let whole = folder.run(&["--help"])?;
    assert_eq!((whole.code, whole.err.as_str()), (Some(0), ""));
    for command in ["check", "study", "draw", "stock", "rules"] {
        assert!(whole.out.contains(&format!("\n  {command} ")), "{command} is not listed");
        let help = folder.run(&[command, "--help"])?;
        assert_eq!((help.code, help.err.as_str()), (Some(0), ""), "{command}");
        assert!(help.out.contains("Examples:\n"), "{command} has no examples");
        let judges = ["check", "study", "draw"].contains(&command);
        assert_eq!(help.out.contains("Exit codes:"), judges, "{command}");
    }
    let version = folder.run(&["--version"])?;
    assert_eq!(version.out, format!("lineside {}\n", env!("CARGO_PKG_VERSION")));
    Ok(())
}
