//! Standard input, output and error; the same bytes each time; sheets of ten thousand blocks.

use crate::projects::{self, TOO_MANY};
use crate::running::{Folder, PROGRAM};
use crate::{Outcome, folder};
use std::io::Read;
use std::process::{Command, Stdio};

#[test]
fn a_project_can_come_from_standard_input() -> Outcome<()> {
    let folder = Folder::new("standard_input")?;
    let ended = folder.feed(&["check", "-", "--json"], projects::small_text(TOO_MANY)?.as_bytes())?;
    assert_eq!(ended.code, Some(1), "{}", ended.err);
    let checked: serde_json::Value = serde_json::from_str(&ended.out)?;
    assert_eq!(checked["file"], "standard input");
    let ended = folder.feed(&["check", "-"], b"(lineside: 1, blocks: [")?;
    assert_eq!(ended.code, Some(2));
    assert!(ended.err.ends_with("standard input\n"), "{}", ended.err);
    Ok(())
}

#[test]
fn the_same_project_gives_the_same_bytes() -> Outcome<()> {
    let folder = folder("same_bytes")?;
    for arguments in [
        &["check", "danger.lineside"][..],
        &["check", "danger.lineside", "--working"],
        &["check", "danger.lineside", "--json"],
        &["study", "danger.lineside"],
        &["study", "danger.lineside", "--json"],
        &["draw", "danger.lineside", "-o", "-"],
        &["stock", "--json"],
        &["rules", "--json"],
    ] {
        let first = folder.run(arguments)?;
        assert!(!first.out.is_empty(), "{arguments:?}: {}", first.err);
        assert_eq!(folder.run(arguments)?, first, "{arguments:?}");
    }
    Ok(())
}

#[test]
fn a_reader_that_goes_away_is_no_fault() -> Outcome<()> {
    let folder = Folder::with("gone_reader", "many.lineside", projects::many_text(100)?)?;
    for command in ["check", "study"] {
        let mut child = folder
            .program(&[command, "many.lineside", "--json"])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()?;
        let mut start = [0; 10];
        let mut reader = child.stdout.take().ok_or("a pipe")?;
        reader.read_exact(&mut start)?;
        drop(reader);
        let ended = child.wait_with_output()?;
        // The verdict stands, although nobody read it to the end.
        assert_eq!(ended.status.code(), Some(1));
        assert!(!String::from_utf8(ended.stderr)?.contains("panicked"));
    }
    Ok(())
}

/// Runs the program through a shell, whose script names it `"$0"` and the file `"$1"`.
#[cfg(unix)]
fn in_shell(script: &str, folder: &Folder, file: &str) -> Outcome<std::process::Output> {
    let path = folder.at(file);
    Ok(Command::new("sh").args(["-c", script, PROGRAM]).arg(path).stdin(Stdio::null()).output()?)
}

#[cfg(unix)]
#[test]
fn closed_streams_are_no_fault() -> Outcome<()> {
    let folder = folder("closed")?;
    for script in [r#""$0" check "$1" >&-"#, r#""$0" check "$1" 2>&-"#, r#""$0" study "$1" >&- 2>&-"#] {
        let ended = in_shell(script, &folder, "danger.lineside")?;
        assert_eq!(ended.status.code(), Some(1), "{script}");
        assert!(!String::from_utf8(ended.stderr)?.contains("panicked"), "{script}");
    }
    let ended = in_shell(r#""$0" check "$1.missing" 2>&-"#, &folder, "danger.lineside")?;
    assert_eq!(ended.status.code(), Some(2));
    Ok(())
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told() -> Outcome<()> {
    let folder = folder("full_disk")?;
    for command in ["check", "study --json"] {
        let ended = in_shell(&format!(r#""$0" {command} "$1" >/dev/full"#), &folder, "sound.lineside")?;
        assert_eq!(ended.status.code(), Some(2), "{command}");
        assert!(String::from_utf8(ended.stderr)?.contains("could not be written completely"), "{command}");
    }
    Ok(())
}

#[test]
fn words_of_a_project_cannot_steer_the_terminal() -> Outcome<()> {
    let text = projects::small_text(TOO_MANY)?.replacen("Test Shed", "Test\\u{1b}[2JShed\\u{7}", 1);
    let folder = Folder::with("control_characters", "odd.lineside", text)?;
    for arguments in [&["check", "odd.lineside"][..], &["study", "odd.lineside"]] {
        let ended = folder.run(arguments)?;
        assert_eq!(ended.code, Some(1), "{}", ended.err);
        assert!(ended.out.starts_with("Test\u{fffd}[2JShed\u{fffd}, by"), "{}", ended.out);
    }
    Ok(())
}

/// 1,667 small systems of six blocks each: 10,002 blocks. The program must do with 512 MiB of address space,
/// its own code included.
#[cfg(target_os = "linux")]
#[test]
fn ten_thousand_blocks_take_sensible_memory() -> Outcome<()> {
    let folder = Folder::with("ten_thousand", "large.lineside", projects::many_text(1667)?)?;
    let ended = in_shell(r#"ulimit -v 524288; exec "$0" study "$1" --json"#, &folder, "large.lineside")?;
    let said = String::from_utf8(ended.stderr)?;
    assert_eq!(ended.status.code(), Some(1), "{said}");
    assert!(said.contains("dangers"), "every system has its cold strings: {said}");
    let printed: serde_json::Value = serde_json::from_slice(&ended.stdout)?;
    assert_eq!(printed["runs"].as_array().map(Vec::len), Some(1667 * 5));
    Ok(())
}
