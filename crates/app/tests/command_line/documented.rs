//! What `docs/json.md` says of the JSON, compared with what the program prints.

use crate::Outcome;
use crate::acceptance::accepted_text;
use crate::projects;
use crate::running::{Folder, in_repository};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::{env, fs};

const PAGE: &str = "docs/json.md";
const MARK: &str = "<!-- lineside ";

/// The words of a command line, without a shell: blanks part them, quotes keep them together.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (i, piece) in line.split('"').enumerate() {
        if i % 2 == 1 {
            words.push(piece.to_owned());
        } else {
            words.extend(piece.split_whitespace().map(str::to_owned));
        }
    }
    words
}

/// The page with every example replaced by what the program prints now.
fn with_current_examples(page: &str) -> Outcome<(String, usize)> {
    let folder = Folder::with("documented", "shed.lineside", projects::shed_text()?)?;
    let mut out = String::new();
    let mut rest = page;
    let mut count = 0;
    while let Some(at) = rest.find(MARK) {
        let (before, marked) = rest.split_at(at);
        let (mark, after) = marked.split_once(" -->\n```json\n").ok_or("an example after its mark")?;
        let (_, after) = after.split_once("```\n").ok_or("the end of an example")?;
        let arguments = words(mark.strip_prefix(MARK).unwrap_or(mark));
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        let printed = folder.run(&arguments)?.out;
        out.extend([before, mark, " -->\n```json\n", &printed, "```\n"]);
        rest = after;
        count += 1;
    }
    out.push_str(rest);
    Ok((out, count))
}

#[test]
fn examples_are_what_the_program_prints() -> Outcome<()> {
    let path = in_repository(PAGE);
    let page = fs::read_to_string(&path)?;
    let (current, count) = with_current_examples(&page)?;
    assert_eq!(count, 3, "examples in {PAGE}");
    if env::var_os("UPDATE_EXPECT").is_some() {
        fs::write(&path, &current)?;
        return Ok(());
    }
    assert_eq!(page, current, "{PAGE} is not current; UPDATE_EXPECT=1 cargo test -p lineside writes it");
    Ok(())
}

/// The fields that a section of the page lists.
fn listed(page: &str, section: &str) -> Outcome<BTreeSet<String>> {
    let start = page.find(&format!("\n## {section}")).ok_or("the section")?;
    let body = page.get(start + 4..).ok_or("its text")?;
    let body = body.split("\n## ").next().unwrap_or(body);
    let rows = body.lines().filter_map(|line| line.strip_prefix("| `")?.split('`').next());
    Ok(rows.map(str::to_owned).collect())
}

/// The fields that stand in a value, as the page would list them. A quantity counts as one.
fn fields(value: &Value, at: &str, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            let keys: Vec<&str> = object.keys().map(String::as_str).collect();
            if keys == ["text", "unit", "value"] {
                found.insert(at.to_owned());
                return;
            }
            for (key, value) in object {
                fields(value, &if at.is_empty() { key.clone() } else { format!("{at}.{key}") }, found);
            }
        }
        Value::Array(values) => values.iter().for_each(|value| fields(value, &format!("{at}[]"), found)),
        Value::Null => {}
        Value::Bool(_) | Value::Number(_) | Value::String(_) => {
            found.insert(at.to_owned());
        }
    }
}

/// Checks that a section lists the fields that the command prints, all of them and no others.
fn check_section(section: &str, printed: &[Value]) -> Outcome<()> {
    let page = fs::read_to_string(in_repository(PAGE))?;
    let mut found = BTreeSet::new();
    for value in printed {
        fields(value, "", &mut found);
    }
    assert_eq!(
        listed(&page, section)?,
        found,
        "the fields of {section} in {PAGE}, and those that are printed"
    );
    Ok(())
}

/// A weather file with a short gap at an hour, so that there is something to remark.
fn hours_of_a_year(gap: usize) -> Outcome<String> {
    let mut text = "month,day,hour,ghi,ta\n".to_owned();
    let days = (1..).zip([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]);
    let hours = days.flat_map(|(month, days)| {
        (1..=days).flat_map(move |day| (0..24).map(move |hour| (month, day, hour)))
    });
    for (number, (month, day, hour)) in hours.enumerate() {
        let air = if number == gap { "" } else { "10" };
        writeln!(text, "{month},{day},{hour},100,{air}")?;
    }
    Ok(text)
}

#[test]
fn every_field_is_documented_and_every_documented_field_is_printed() -> Outcome<()> {
    let folder = Folder::with("documented_fields", "unknown.lineside", projects::without_site_text()?)?;
    let demos =
        ["home", "cabin", "as-found"].map(|name| in_repository(&format!("assets/demos/{name}.lineside")));
    folder.write("danger.lineside", projects::small_text(projects::TOO_MANY)?)?;
    folder.write("bare_bus.lineside", projects::bare_bus_text()?)?;
    folder.write("cases.lineside", projects::with_cases_text()?)?;
    folder.write("accepted.lineside", accepted_text(&projects::wasteful_text()?))?;
    let mut files = ["unknown.lineside", "bare_bus.lineside", "cases.lineside", "accepted.lineside"]
        .map(str::to_owned)
        .to_vec();
    files.extend(demos.iter().map(|path| path.display().to_string()));
    for (command, section) in
        [("check", "lineside check FILE --json"), ("study", "lineside study FILE --json")]
    {
        let printed: Outcome<Vec<Value>> =
            files.iter().map(|file| folder.json(&[command, file, "--json"])).collect();
        check_section(section, &printed?)?;
    }
    let labels: Outcome<Vec<Value>> = files
        .iter()
        .map(|file| folder.json(&["labels", file, "--json", "--make", "-o", "labeled.lineside"]))
        .collect();
    check_section("lineside labels FILE --json", &labels?)?;
    let mend = |file: &str| folder.json(&["check", file, "--json", "--fix", "-o", "mended.lineside"]);
    let mended = [mend("danger.lineside")?, mend("bare_bus.lineside")?, mend("unknown.lineside")?];
    check_section("lineside check FILE --fix -o MENDED --json", &mended)?;
    // Half of a site and a row that cannot be read leave something to say in every list.
    folder.write("loads.csv", "name,watts,hours,start,surge\nPump,900,1,8,2700\nLamp,9,99,,\n")?;
    folder.write("hours.csv", hours_of_a_year(120)?)?;
    let cabin = demos[1].display().to_string();
    let whole =
        folder.json(&["brief", &cabin, "--json", "--weather", "hours.csv", "--loads", "loads.csv"])?;
    let bare = folder.json(&["brief", "unknown.lineside", "--json"])?;
    check_section("lineside brief FILE --json", &[whole, bare])?;
    // A January that is clearer than any desert leaves a remark.
    folder.write("bright.lineside", projects::clean_text()?.replace("\"1.6 kWh/m²d\"", "\"9 kWh/m²d\""))?;
    let hut = in_repository("assets/demos/hut.lineside").display().to_string();
    let year = |file: &str| folder.json(&["year", file, "--json", "--years", "2"]);
    check_section("lineside year FILE --json", &[year("bright.lineside")?, year(&hut)?])?;
    // A December without sun is left to the generator, which may not run: there is only a nearest.
    let strict = projects::clean_text()?.replace("generator_hours: \"150 h\"", "generator_hours: \"0 h\"");
    let strict = strict.replace("\"1.3 kWh/m²d\"", "\"0.1 kWh/m²d\"");
    folder.write("strict.lineside", strict)?;
    let written = folder.json(&["propose", &hut, "--json", "--top", "1", "-o", "candidates"])?;
    // Prices in another currency than the typical ones leave parts out.
    let priced = projects::clean_text()?.replacen("currency: \"\"", "currency: \"EUR\"", 1);
    folder.write("priced.lineside", priced)?;
    let other = folder.json(&["propose", "priced.lineside", "--json"])?;
    let proposals = [written, folder.json(&["propose", "strict.lineside", "--json"])?, other];
    check_section("lineside propose FILE --json", &proposals)?;
    let imported = folder.run(&["stock", "export", "--kind", "fuse", "-o", "fuses.csv"]);
    assert_eq!(imported?.code, Some(0));
    let table = folder.read("fuses.csv")?.replacen("\"Strip", "\"Old strip", 1);
    let odd = table.replacen('\n', ",seller\n", 1);
    folder.write("odd.csv", odd)?;
    let import = folder.json(&["stock", "import", "odd.csv", "--json"])?;
    check_section("lineside stock import FILE --json", &[import])?;
    let fit = |file: &str| folder.json(&["stock", "fit", file, "C1", "--json"]);
    let price = |item: &str, cost: u32| format!("(item: \"{item}\", unit: \"each\", cost: \"{cost}\")");
    let prices = [
        price("Tracking controller, 150 V in, 100 A out, with fault protection", 700),
        price("Tracking controller, 250 V in, 100 A out, with fault protection", 950),
    ];
    let book = format!("price_book: (currency: \"USD\", prices: [{}],", prices.join(", "));
    let sound = projects::clean_text()?;
    let rest = sound.split_once("price_book: (").ok_or("a price book")?;
    let rest = (rest.0, rest.1.split_once("currency: \"\",").ok_or("a currency")?.1);
    folder.write("priced.lineside", format!("{}{book}{}", rest.0, rest.1))?;
    let priced = fit("priced.lineside")?;
    check_section("lineside stock fit FILE TAG --json", &[fit("danger.lineside")?, priced])?;
    check_section("lineside stock --json", &[folder.json(&["stock", "--json"])?])?;
    check_section("lineside rules --json", &[folder.json(&["rules", "--json"])?])
}
