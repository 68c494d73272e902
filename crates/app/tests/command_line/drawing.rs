//! `lineside draw`: what is written, and what is left alone.

use crate::{Outcome, folder};
use std::fs;

#[test]
fn a_sheet_is_written_and_the_project_left_as_it_was() -> Outcome<()> {
    let folder = folder("draw")?;
    let before = folder.read("sound.lineside")?;
    let ended = folder.run(&["draw", "sound.lineside", "-o", "sheet.svg"])?;
    assert_eq!((ended.code, ended.out.as_str()), (Some(0), ""));
    assert_eq!(ended.err, "lineside: sheet written to sheet.svg\n");
    let sheet = folder.read("sheet.svg")?;
    assert!(sheet.starts_with("<svg ") && sheet.trim_end().ends_with("</svg>"));
    for words in ["Highmeadow Cabin", "S1", "C1", "B1", "W4"] {
        assert!(sheet.contains(words), "no “{words}” on the sheet");
    }
    assert_eq!(folder.read("sound.lineside")?, before);
    Ok(())
}

#[test]
fn a_sheet_can_be_laid_out_anew_without_touching_the_project() -> Outcome<()> {
    let folder = folder("draw_tidy")?;
    let before = folder.read("sound.lineside")?;
    let as_drawn = folder.run(&["draw", "sound.lineside", "-o", "-"])?;
    let tidied = folder.run(&["draw", "sound.lineside", "-o", "-", "--tidy"])?;
    assert_eq!((tidied.code, tidied.err.as_str()), (Some(0), ""));
    assert_ne!(tidied.out, as_drawn.out);
    assert!(tidied.out.starts_with("<svg ") && tidied.out.contains("Highmeadow Cabin"));
    assert_eq!(folder.read("sound.lineside")?, before);
    Ok(())
}

#[test]
fn a_faulty_project_is_drawn_and_told() -> Outcome<()> {
    let folder = folder("draw_faulty")?;
    let plain = folder.run(&["draw", "danger.lineside", "-o", "-"])?;
    assert_eq!(plain.code, Some(0), "a sheet that was written is a success");
    assert!(plain.err.contains("danger") && plain.err.ends_with("danger.lineside\n"), "{}", plain.err);
    let marked = folder.run(&["draw", "danger.lineside", "-o", "-", "--findings"])?;
    assert!(marked.out.len() > plain.out.len(), "marks are drawn when they are asked for");
    let bare = folder.run(&["draw", "danger.lineside", "-o", "-", "--bare"])?;
    assert!(bare.out.starts_with("<svg "), "{}", bare.out);
    Ok(())
}

#[test]
fn an_older_sheet_gives_way_whole() -> Outcome<()> {
    let folder = folder("draw_again")?;
    folder.write("sheet.svg", "x".repeat(1_000_000))?;
    folder.run(&["draw", "sound.lineside", "-o", "sheet.svg"])?;
    let printed = folder.run(&["draw", "sound.lineside", "-o", "-"])?;
    assert_eq!(folder.read("sheet.svg")?, printed.out);
    let mut names: Vec<String> = fs::read_dir(folder.at(""))?
        .map(|entry| Ok(entry?.file_name().to_string_lossy().into_owned()))
        .collect::<Outcome<_>>()?;
    names.sort();
    assert_eq!(names, ["advice.lineside", "danger.lineside", "sheet.svg", "sound.lineside"]);
    Ok(())
}

#[test]
fn names_that_would_harm_or_mislead_are_refused() -> Outcome<()> {
    let folder = folder("draw_names")?;
    let before = folder.read("sound.lineside")?;
    fs::create_dir(folder.at("folder.svg"))?;
    for (name, words) in [
        ("sound.lineside", "take the place of a project"),
        ("sheet.png", "ends in .svg"),
        ("sheet", "ends in .svg"),
        ("nowhere/sheet.svg", "nowhere"),
        ("folder.svg", "folder.svg"),
    ] {
        let ended = folder.run(&["draw", "danger.lineside", "-o", name])?;
        assert_eq!((ended.code, ended.out.as_str()), (Some(2), ""), "{name}: {}", ended.err);
        assert!(ended.err.contains(words), "{name}: {}", ended.err);
    }
    assert_eq!(folder.read("sound.lineside")?, before);
    Ok(())
}

#[test]
fn a_drawing_is_cut_into_sheets() -> Outcome<()> {
    let folder = folder("draw_sheets")?;
    let by_place =
        |output: &str| folder.run(&["draw", "sound.lineside", "-o", output, "--sheets", "by-place"]);
    let ended = by_place("cabin.svg")?;
    assert_eq!((ended.code, ended.err.as_str()), (Some(0), ""));
    let named: Vec<&str> = ended.out.lines().collect();
    assert!(named.len() > 2 && named[0] == "cabin-1.svg  Array field", "{}", ended.out);
    for (number, line) in (1..).zip(&named) {
        let name = format!("cabin-{number}.svg");
        assert!(line.starts_with(&name), "{line}");
        assert!(folder.read(&name)?.contains(&format!("{number} / {}", named.len())), "{name}");
    }
    assert!(folder.read("cabin.svg").is_err(), "no sheet goes by the name without a number");
    let ended = by_place("cabin.pdf")?;
    assert_eq!((ended.code, ended.out.as_str()), (Some(0), ""));
    assert_eq!(ended.err, format!("lineside: {} sheets written to cabin.pdf\n", named.len()));
    let pdf = String::from_utf8_lossy(&fs::read(folder.at("cabin.pdf"))?).into_owned();
    assert!(pdf.contains(&format!("/Count {}", named.len())), "a page for each");
    // One of them alone goes by the name that was given, and to standard output.
    let one = ["draw", "sound.lineside", "--sheets", "by-place", "--sheet", "2", "-o"];
    let ended = folder.run(&[&one[..], &["second.svg"]].concat())?;
    assert_eq!((ended.code, ended.out.as_str()), (Some(0), ""));
    let piped = folder.run(&[&one[..], &["-"]].concat())?;
    assert_eq!(piped.out, folder.read("second.svg")?);
    assert_eq!(piped.out, folder.read("cabin-2.svg")?);
    let ended = by_place("-")?;
    assert_eq!((ended.code, ended.out.as_str()), (Some(2), ""));
    assert!(ended.err.contains("--sheet"), "{}", ended.err);
    let ended = folder.run(&["draw", "sound.lineside", "--sheet", "9", "-o", "ninth.svg"])?;
    assert_eq!(ended.code, Some(2));
    assert!(ended.err.contains("no sheet 9"), "{}", ended.err);
    Ok(())
}

#[cfg(target_os = "linux")]
#[test]
fn a_device_is_written_to_and_not_replaced() -> Outcome<()> {
    let folder = folder("draw_device")?;
    let ended = folder.run(&["draw", "sound.lineside", "-o", "/dev/stdout"])?;
    assert_eq!(ended.code, Some(0), "{}", ended.err);
    assert!(ended.out.starts_with("<svg "));
    let ended = folder.run(&["draw", "sound.lineside", "-o", "/dev/full"])?;
    assert_eq!(ended.code, Some(2));
    assert!(ended.err.contains("could not be written"), "{}", ended.err);
    Ok(())
}
