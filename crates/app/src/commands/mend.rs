//! `lineside check FILE --fix -o MENDED`: a mended project, and what was done to it.
//!
//! What is done and why it is right is the `rules` crate's; this file only writes and prints.

use super::options::CheckOptions;
use super::shapes::{Counts, Head};
use super::table::{Table, words};
use super::text::{self, CAUTION};
use super::{Verdict, input, output};
use crate::commands::failure::Failure;
use crate::disk::{self, Conflict};
use crate::engine::Engine;
use lineside_core::file;
use lineside_core::project::Project;
use lineside_core::units::text as units_text;
use lineside_rules::mend::{Mended, mend};
use lineside_rules::{Finding, Severity};
use serde::Serialize;
use std::fmt::Write;
use std::fs;
use std::path::Path;

/// Mends a project, writes it and lists the steps.
pub fn run(options: &CheckOptions, to: &Path) -> Result<Verdict, Failure> {
    refuse_name(&options.project.file, to)?;
    let loaded = input::load(&options.project.file)?;
    let (engine, told) = Engine::of_this_person().map_err(|error| Failure::Damaged(error.to_string()))?;
    if let Some(told) = told {
        output::remark(&told);
    }
    let own = loaded.project.rule_set;
    let rule_set = options.project.rule_set.unwrap_or(own);
    let under = Project { rule_set, ..loaded.project };
    let mended = mend(&under, &engine.codes, &engine.stock);
    let written = Project { rule_set: own, ..mended.project.clone() };
    let text = file::write(&written).map_err(|error| Failure::Output(error.to_string()))?;
    disk::save(to, text.as_bytes(), None, Conflict::Overwrite).map_err(Failure::Mended)?;
    let listing = Listing { file: &loaded.name, to, mended: &mended };
    if options.json {
        output::print_json(&listing.shape())?;
    } else {
        output::print(&listing.page())?;
    }
    Ok(Verdict::of(Counts::of(&mended.checked.report)))
}

/// Refuses names under which the project that was read, or something else, would be lost.
pub fn refuse_name(from: &Path, to: &Path) -> Result<(), Failure> {
    let is_project = to.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("lineside"));
    if !is_project {
        return Err(Failure::MendedEnding(to.to_owned()));
    }
    let same = fs::canonicalize(from).ok().zip(fs::canonicalize(to).ok()).is_some_and(|(a, b)| a == b);
    if same { Err(Failure::MendedOverProject(to.to_owned())) } else { Ok(()) }
}

struct Listing<'a> {
    file: &'a str,
    to: &'a Path,
    mended: &'a Mended,
}

#[derive(Serialize)]
struct MendShape<'a> {
    #[serde(flatten)]
    head: Head,
    file: &'a str,
    rule_set: &'static str,
    mended: String,
    steps: Vec<StepShape<'a>>,
    counts: Counts,
    left: Vec<LeftShape<'a>>,
}

#[derive(Serialize)]
struct StepShape<'a> {
    against: &'a str,
    title: &'a str,
    done: &'a str,
    gone: &'a [String],
}

#[derive(Serialize)]
struct LeftShape<'a> {
    id: String,
    severity: &'static str,
    title: &'a str,
}

impl<'a> Listing<'a> {
    /// Dangers and corrections for which nothing was found.
    fn left(&self) -> impl Iterator<Item = &'a Finding> {
        self.mended.checked.report.findings.iter().filter(|it| it.severity < Severity::Advice)
    }

    fn shape(&self) -> MendShape<'a> {
        let circuit = &self.mended.project.circuit;
        let step = |it: &'a lineside_rules::mend::Step| StepShape {
            against: &it.against,
            title: &it.title,
            done: &it.label,
            gone: &it.gone,
        };
        MendShape {
            head: Head::of("check"),
            file: self.file,
            rule_set: self.mended.project.rule_set.key(),
            mended: self.to.display().to_string(),
            steps: self.mended.steps.iter().map(step).collect(),
            counts: Counts::of(&self.mended.checked.report),
            left: self
                .left()
                .map(|it| LeftShape { id: it.id(circuit), severity: it.severity.key(), title: &it.title })
                .collect(),
        }
    }

    fn page(&self) -> String {
        let project = &self.mended.project;
        let mut page = String::new();
        let _ = writeln!(page, "{}", text::heading(project, project.rule_set, self.file));
        let steps = &self.mended.steps;
        if steps.is_empty() {
            page.push_str("Nothing was changed.\n");
        } else {
            let mut table =
                Table::new(&[words("", 4), words("what was wrong", 44), words("what was done", 70)]);
            for (number, step) in steps.iter().enumerate() {
                table.row([units_text::count(number + 1), step.title.clone(), step.label.clone()]);
            }
            let _ = writeln!(page, "\n{}", table.show(0));
        }
        let _ = writeln!(page, "{}", text::counts(Counts::of(&self.mended.checked.report)));
        for finding in self.left() {
            let _ = writeln!(page, "{} {}", text::sign(finding.severity), finding.title);
        }
        let _ = writeln!(page, "Written to {}. Read every step before it is built.\n", self.to.display());
        page.push_str(&text::paragraph(CAUTION, 0));
        page
    }
}
