//! `lineside walk`: the words of every step, and the page to take home.

use crate::Outcome;
use crate::running::Folder;
use crate::running::in_repository;
use std::fs;

fn demo(folder: &Folder, name: &str) -> Outcome<String> {
    let file = format!("{name}.lineside");
    folder.write(&file, fs::read(in_repository(&format!("assets/demos/{file}")))?)?;
    Ok(file)
}

#[test]
fn a_walk_is_told_and_written_as_a_page() -> Outcome<()> {
    let folder = Folder::new("walk")?;
    let file = demo(&folder, "cabin")?;
    let told = folder.run(&["walk", &file])?;
    assert_eq!(told.code, Some(0), "{}", told.err);
    assert!(told.out.contains("1. Sun high, the bank fills"), "{}", told.out);
    assert!(told.out.contains("Not an approval"), "{}", told.out);
    let deeper = folder.run(&["walk", &file, "--technician"])?;
    assert!(deeper.out.len() > told.out.len() && deeper.out.contains("C1 takes all the sun there is: "));
    let page = folder.run(&["walk", &file, "-o", "walk.html"])?;
    assert_eq!((page.code, page.out.as_str()), (Some(0), ""), "{}", page.err);
    let html = folder.read("walk.html")?;
    assert!(
        html.starts_with("<!doctype html>") && html.contains("Highmeadow Cabin") && html.contains("<svg")
    );
    Ok(())
}

#[test]
fn a_page_under_another_ending_is_refused() -> Outcome<()> {
    let folder = Folder::new("walk_ending")?;
    let file = demo(&folder, "hut")?;
    for name in ["walk.pdf", "walk", "walk.lineside"] {
        let refused = folder.run(&["walk", &file, "-o", name])?;
        assert_eq!((refused.code, refused.out.as_str()), (Some(2), ""), "{name}");
        assert!(refused.err.contains("ends in .html"), "{}", refused.err);
    }
    Ok(())
}
