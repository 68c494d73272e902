//! Input that cannot be used: exit code 2, nothing on standard output, and words that help.

use crate::projects::{self, SOUND};
use crate::running::{Ended, Folder};
use crate::{Outcome, folder};
use std::fs::{self, File};

/// Runs `check` on a file of that content and gives what was said of it.
fn said_of(name: &str, bytes: impl AsRef<[u8]>) -> Outcome<String> {
    let folder = Folder::with(name, "bad.lineside", bytes)?;
    refused(&folder, "bad.lineside")
}

fn refused(folder: &Folder, file: &str) -> Outcome<String> {
    let ended = folder.run(&["check", file])?;
    assert_refused(&ended);
    assert!(ended.err.ends_with(&format!("{file}\n")), "the path stands last: {}", ended.err);
    let as_json = folder.run(&["check", file, "--json"])?;
    assert_eq!(as_json, ended, "JSON or not, the same is said");
    Ok(ended.err)
}

fn assert_refused(ended: &Ended) {
    assert_eq!(ended.code, Some(2), "{}", ended.err);
    assert_eq!(ended.out, "");
    assert!(ended.err.starts_with("lineside: ") && !ended.err.contains("panicked"), "{}", ended.err);
}

/// Checks that every piece stands in the text.
fn assert_says(text: &str, pieces: &[&str]) {
    for piece in pieces {
        assert!(text.contains(piece), "no “{piece}” in: {text}");
    }
}

#[test]
fn a_file_that_is_not_there() -> Outcome<()> {
    let folder = Folder::new("missing")?;
    assert_says(&refused(&folder, "cabin.lineside")?, &["no such file", "check the name"]);
    // The window is not opened for it either.
    let ended = folder.run(&["cabin.lineside"])?;
    assert_refused(&ended);
    assert_says(&ended.err, &["no such file"]);
    Ok(())
}

#[test]
fn a_folder() -> Outcome<()> {
    let folder = Folder::new("folder")?;
    fs::create_dir(folder.at("projects"))?;
    assert_says(&refused(&folder, "projects")?, &["this is a folder", "name the .lineside file in it"]);
    Ok(())
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_read() -> Outcome<()> {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder("forbidden")?;
    let path = folder.at("sound.lineside");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o000))?;
    let ended = folder.run(&["check", "sound.lineside"])?;
    if fs::read(&path).is_ok() {
        // Whoever may read everything, such as root, is not refused.
        assert_eq!(ended.code, Some(0), "{}", ended.err);
    } else {
        assert_refused(&ended);
        assert_says(&ended.err, &["may not be read", "ask whoever owns it"]);
    }
    Ok(())
}

#[test]
fn an_empty_file() -> Outcome<()> {
    assert_says(&said_of("empty", "")?, &["the file is empty", ".previous"]);
    assert_says(&said_of("blank", " \n\n")?, &["the file is empty"]);
    Ok(())
}

#[test]
fn a_file_that_is_not_text() -> Outcome<()> {
    let bytes: Vec<u8> = (0..=255).cycle().take(10_000).collect();
    // Byte 128 is the first that begins no character; byte 10 ended the first line.
    assert_says(&said_of("binary", bytes)?, &["not text", "byte 128", "line 2"]);
    Ok(())
}

#[test]
fn text_that_is_no_project() -> Outcome<()> {
    let said = said_of("prose", "Dear customer,\nplease find enclosed …\n")?;
    assert_says(&said, &["line 1, column", "expected “(” at the start of the project"]);
    Ok(())
}

#[test]
fn a_file_that_was_cut_off_anywhere() -> Outcome<()> {
    let text = projects::small_text(SOUND)?;
    let folder = Folder::new("truncated")?;
    // The last two bytes are the closing bracket and the end of its line.
    let cuts = (1..12).map(|twelfth| text.len() * twelfth / 12).chain([text.len() - 2]);
    for cut in cuts {
        let end = (cut..text.len()).find(|at| text.is_char_boundary(*at)).ok_or("a boundary")?;
        folder.write("bad.lineside", text.get(..end).ok_or("a piece")?)?;
        assert_says(
            &refused(&folder, "bad.lineside")?,
            &["line ", "column ", "expected ", "found ", "cut off"],
        );
    }
    Ok(())
}

#[test]
fn a_file_of_two_hundred_megabytes_is_refused_unread() -> Outcome<()> {
    let folder = Folder::new("huge")?;
    File::create(folder.at("film.lineside"))?.set_len(200_000_000)?;
    let said = refused(&folder, "film.lineside")?;
    assert_says(&said, &["too large", "200,000,000 bytes", "67,108,864"]);
    Ok(())
}

#[cfg(unix)]
#[test]
fn a_device_that_never_ends_is_cut_off() -> Outcome<()> {
    let ended = Folder::new("endless")?.run(&["check", "/dev/zero"])?;
    assert_refused(&ended);
    assert_says(&ended.err, &["too large"]);
    Ok(())
}

#[test]
fn a_newer_version() -> Outcome<()> {
    let text = projects::small_text(SOUND)?.replacen("lineside: 1,", "lineside: 99,", 1);
    assert_says(&said_of("newer", text)?, &["version 99", "up to version 1", "Use a newer Lineside"]);
    Ok(())
}

#[test]
fn all_faults_are_listed_with_line_and_column() -> Outcome<()> {
    let text = projects::small_text(SOUND)?
        .replacen("rule_set: \"nec-2023\"", "rule_set: \"nec-1923\"", 1)
        .replacen("tag: \"Q2\"", "tag: \"Q1\"", 1)
        .replacen("max_input_voltage: \"150 V\"", "max_input_voltage: \"NaN V\"", 1)
        .replacen("to: \"B1.out\"", "to: \"B9.out\"", 1);
    let said = said_of("faults", &text)?;
    let place = |needle: &str| -> Outcome<String> {
        let before = text.get(..text.find(needle).ok_or("the fault")?).ok_or("the text before it")?;
        let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
        Ok(format!("line {}, column {column}", before.matches('\n').count() + 1))
    };
    assert_says(&said, &["was not read because of these", "nec-1923", "one of nec-2023, nec-2020"]);
    assert_says(&said, &[&place("\"nec-1923\"")?, "NaN", "“B9", "Q1"]);
    assert!(said.matches("\n  line ").count() >= 4, "{said}");
    Ok(())
}

#[test]
fn nonsense_on_the_command_line() -> Outcome<()> {
    let folder = folder("nonsense")?;
    let check = |arguments: &[&str], pieces: &[&str]| -> Outcome<()> {
        let ended = folder.run(arguments)?;
        assert_refused(&ended);
        assert_says(&ended.err, pieces);
        Ok(())
    };
    check(
        &["check", "sound.lineside", "--rules", "nec-1923"],
        &["nec-1923", "nec-2023, nec-2020, nec-2017, iec"],
    )?;
    check(&["check", "sound.lineside", "--severity", "grave"], &["grave", "danger, correction, advice"])?;
    check(&["check", "sound.lineside", "--jsno"], &["--jsno", "--json"])?;
    check(&["check"], &["<FILE>"])?;
    check(&["check", "sound.lineside", "danger.lineside"], &["danger.lineside"])?;
    check(&["draw", "sound.lineside"], &["--output"])?;
    check(&["stock", "--kind", "inverters"], &["inverters", "inverter"])?;
    check(&["chekc", "sound.lineside"], &["no command “chekc”", "perhaps check was meant"])?;
    check(
        &["audit", "sound.lineside"],
        &["no command “audit”", "check, study, labels, draw, walk, brief, year, propose, stock, rules"],
    )?;
    check(&["sound.lineside", "check"], &["the command comes first: lineside check sound.lineside"])?;
    check(&["chekc"], &["perhaps the command lineside check was meant"])?;
    check(&["-"], &["not standard input"])
}

#[cfg(target_os = "linux")]
#[test]
fn without_a_display_the_window_says_so() -> Outcome<()> {
    let ended = folder("no_display")?.run(&["sound.lineside"])?;
    assert_refused(&ended);
    assert_says(&ended.err, &["the window could not be opened", "the commands work without one"]);
    Ok(())
}
