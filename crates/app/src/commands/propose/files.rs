//! `lineside propose FILE -o DIR`: the whole circuit of each candidate that is shown, as a project file of its own.
//!
//! What is drawn is the `propose` crate's; this file only names and writes.

use super::super::failure::Failure;
use crate::disk::{self, Conflict};
use lineside_codes::Codes;
use lineside_core::file;
use lineside_core::kinds::Kind;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::project::Project;
use lineside_propose::whole::circuit;
use lineside_propose::{Candidate, Proposals, Terms};
use lineside_rules::{Severity, check};
use serde::Serialize;
use std::fs;
use std::path::{Path, PathBuf};

/// A candidate as it was drawn.
#[derive(Serialize)]
pub(super) struct SheetShape {
    /// Where it was written.
    pub(super) file: String,
    pub(super) runs: usize,
    pub(super) advice: usize,
    pub(super) blocks: Vec<BlocksShape>,
}

/// How many blocks of a kind there are.
#[derive(Serialize)]
pub(super) struct BlocksShape {
    kind: &'static str,
    #[serde(skip)]
    pub(super) label: &'static str,
    pub(super) count: usize,
}

/// Draws the candidates that are shown and writes them; one sheet for each, in their order. Nothing is written when one
/// of the files is there already and may not be replaced.
pub(super) fn write(
    terms: &Terms<'_>,
    codes: &Codes,
    found: &Proposals,
    top: usize,
    to: &Path,
    conflict: Conflict,
) -> Result<Vec<SheetShape>, Failure> {
    let shown: Vec<&Candidate> = found.candidates.iter().take(top).collect();
    let mut drawn: Vec<(PathBuf, Project)> = Vec::new();
    for (number, candidate) in (1..).zip(shown) {
        let project = circuit(terms, &candidate.combination, terms.stock())
            .map_err(|why| Failure::Damaged(why.to_string()))?;
        drawn.push((to.join(file_name(number, candidate)), project));
    }
    if conflict == Conflict::Refuse
        && let Some((path, _)) = drawn.iter().find(|(path, _)| path.exists())
    {
        return Err(Failure::ProposalThere(path.clone()));
    }
    fs::create_dir_all(to)
        .map_err(|error| Failure::ProposalFolder { path: to.to_owned(), reason: error.to_string() })?;
    let mut sheets = Vec::new();
    for (path, project) in drawn {
        let text = file::write(&project).map_err(|error| Failure::Output(error.to_string()))?;
        disk::save(&path, text.as_bytes(), None, conflict).map_err(Failure::Proposal)?;
        sheets.push(sheet(&path, &project, codes));
    }
    Ok(sheets)
}

/// `01-nickel-iron-2400w-18kwh.lineside`.
fn file_name(number: usize, candidate: &Candidate) -> String {
    let chemistry = match candidate.chemistry {
        Chemistry::NickelIron => "nickel-iron",
        Chemistry::LithiumIronPhosphate => "lithium",
        Chemistry::FloodedLead => "flooded-lead",
        Chemistry::AbsorbedGlassMat => "glass-mat",
        Chemistry::Gel => "gel",
    };
    let (array, bank) = (candidate.array.value().round(), (candidate.bank.value() / 1000.0).round());
    format!("{number:02}-{chemistry}-{array:.0}w-{bank:.0}kwh.lineside")
}

fn sheet(path: &Path, project: &Project, codes: &Codes) -> SheetShape {
    let checked = check(project, codes, project.rule_set);
    let blocks = Kind::ALL.iter().filter_map(|kind| {
        let count = project.circuit.blocks().filter(|block| block.kind() == *kind).count();
        let label = if count == 1 { kind.label() } else { kind.plural() };
        (count > 0).then(|| BlocksShape { kind: kind.key(), label, count })
    });
    SheetShape {
        file: path.display().to_string(),
        runs: project.circuit.run_count(),
        advice: checked.report.findings.iter().filter(|it| it.severity == Severity::Advice).count(),
        blocks: blocks.collect(),
    }
}
