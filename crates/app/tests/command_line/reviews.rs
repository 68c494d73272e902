//! `lineside check FILE -o review.pdf`: the review in its three forms, and what cannot be asked.

use crate::{Outcome, folder};

#[test]
fn a_review_is_written_in_every_form_and_the_exit_code_stays() -> Outcome<()> {
    let folder = folder("review")?;
    for name in ["review.pdf", "review.html", "review.txt"] {
        let ended = folder.run(&["check", "danger.lineside", "-o", name])?;
        assert_eq!(ended.code, Some(1), "{}", ended.err);
        assert!(ended.out.contains("The review is written."), "{}", ended.out);
    }
    let text = folder.read("review.txt")?;
    for words in [
        "Cold strings destroy the input of C1",
        "rule: string-cold-voltage",
        "690.7(A)",
        "remedy: 3 modules in series in S1",
        "not an approval",
        "licensed professional come first",
    ] {
        assert!(text.contains(words), "no “{words}” in\n{text}");
    }
    assert!(folder.read("review.html")?.contains("<h2>Dangers</h2>"));
    let again = folder.run(&["check", "danger.lineside", "-o", "again.txt"])?;
    assert_eq!(
        (again.code, folder.read("again.txt")?),
        (Some(1), text),
        "the same project gives the same bytes"
    );
    Ok(())
}

#[test]
fn a_review_is_never_written_over_a_project() -> Outcome<()> {
    let folder = folder("review_over")?;
    let before = folder.read("danger.lineside")?;
    let over = folder.run(&["check", "danger.lineside", "-o", "danger.lineside"])?;
    assert!(over.code == Some(2) && over.err.contains(".pdf, .html or .txt"), "{}", over.err);
    assert_eq!(folder.read("danger.lineside")?, before);
    Ok(())
}
