//! The commands: what `lineside` does without a window, and how it is told to.
//!
//! One command is one file. Nothing electrical is computed here; the window calls the same functions of the
//! engine crates. Exit codes are decided in `main.rs`.

mod brief;
mod check;
mod draw;
mod failure;
mod input;
mod label_shapes;
mod labels;
mod mend;
mod options;
mod output;
mod propose;
mod rules;
mod shapes;
mod stock;
mod study;
mod table;
mod text;
mod walk;
mod year;

pub use failure::Failure;
pub use output::remark;

use crate::window;
use clap::error::ErrorKind;
use clap::{CommandFactory, Parser};
use input::Loaded;
use lineside_codes::Codes;
use lineside_rules::{Checked, check as check_project};
use options::{Command, CommandLine, ProjectOptions};
use shapes::Counts;
use std::ffi::OsString;
use std::path::PathBuf;

/// How a command ended that could do its work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It did what it was asked for, and where it judges there is nothing that a reviewer would reject.
    Clean,
    /// There are dangers or corrections.
    Objections,
}

impl Verdict {
    const fn of(counts: Counts) -> Self {
        if counts.objects() { Self::Objections } else { Self::Clean }
    }
}

/// Does what the command line asks for. The first argument is the name of the program.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> Result<Verdict, Failure> {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let line = match CommandLine::try_parse_from(&arguments) {
        Ok(line) => line,
        Err(error) => return answer(&error, &arguments),
    };
    match &line.command {
        Some(Command::Check(options)) => check::run(options),
        Some(Command::Study(options)) => study::run(options),
        Some(Command::Labels(options)) => labels::run(options),
        Some(Command::Walk(options)) => walk::run(options),
        Some(Command::Draw(options)) => draw::run(options),
        Some(Command::Stock(options)) => stock::run(options),
        Some(Command::Rules(options)) => rules::run(options),
        Some(Command::Brief(options)) => brief::run(options),
        Some(Command::Year(options)) => year::run(options),
        Some(Command::Propose(options)) => propose::run(options),
        None => open_window(line.file),
    }
}

/// Help and version are results; everything else that the parser has to say is a failure.
fn answer(error: &clap::Error, arguments: &[OsString]) -> Result<Verdict, Failure> {
    let words = error.render().to_string();
    if matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) {
        output::deliver(words.as_bytes())?;
        return Ok(Verdict::Clean);
    }
    let words = words.strip_prefix("error: ").unwrap_or(&words);
    Err(Failure::Usage(mistyped_command(arguments).unwrap_or_else(|| words.to_owned())))
}

/// `lineside chekc cabin.lineside`: the first word was taken for a file to open, and the rest was too much.
fn mistyped_command(arguments: &[OsString]) -> Option<String> {
    let [_, first, second, ..] = arguments else { return None };
    let (first, second) = (first.to_str()?, second.to_str()?);
    if first.starts_with('-') || is_command(first) {
        return None;
    }
    if is_command(second) {
        return Some(format!("the command comes first: lineside {second} {first}"));
    }
    let advice = match nearest(first, command_names()) {
        Some(command) => format!("perhaps {command} was meant"),
        None => format!("the commands are {}", command_names().collect::<Vec<_>>().join(", ")),
    };
    Some(format!(
        "there is no command “{first}”; {advice}. To open a project in the window, name its file alone"
    ))
}

fn command_names() -> impl Iterator<Item = &'static str> {
    ["check", "study", "labels", "draw", "walk", "brief", "year", "propose", "stock", "rules"].into_iter()
}

fn is_command(word: &str) -> bool {
    CommandLine::command().find_subcommand(word).is_some()
}

/// The word that differs from `typed` by the fewest letters, when those are few.
fn nearest(typed: &str, words: impl Iterator<Item = &'static str>) -> Option<&'static str> {
    let (distance, word) = words.map(|word| (letters_apart(typed, word), word)).min()?;
    (distance * 2 <= typed.chars().count()).then_some(word)
}

/// How many letters must be put in, left out or changed to get from one word to the other.
fn letters_apart(from: &str, to: &str) -> usize {
    let mut row: Vec<usize> = (0..=to.chars().count()).collect();
    for (i, a) in from.chars().enumerate() {
        let mut left = i + 1;
        let mut next = vec![left];
        for (b, pair) in to.chars().zip(row.windows(2)) {
            let [diagonal, above] = [0, 1].map(|at| pair.get(at).copied().unwrap_or(0));
            left = (left + 1).min(above + 1).min(diagonal + usize::from(a != b));
            next.push(left);
        }
        row = next;
    }
    row.last().copied().unwrap_or(0)
}

fn open_window(file: Option<PathBuf>) -> Result<Verdict, Failure> {
    if let Some(path) = &file {
        if input::is_stream(path) {
            return Err(Failure::WindowFromStandardInput);
        }
        if !path.exists() {
            let instead = path.to_str().and_then(|typed| nearest(typed, command_names()));
            return Err(Failure::Missing { path: path.clone(), instead });
        }
    }
    match window::open(file) {
        Ok(()) => Ok(Verdict::Clean),
        Err(error) => Err(Failure::Window(error.to_string())),
    }
}

/// Studies and findings of a project under the rule set that was asked for.
fn checked(loaded: &Loaded, options: &ProjectOptions) -> Result<Checked, Failure> {
    Ok(check_project(&loaded.project, &codes()?, options.rule_set.unwrap_or(loaded.project.rule_set)))
}

/// The tables of the codes.
fn codes() -> Result<Codes, Failure> {
    Codes::load().map_err(|error| Failure::Damaged(error.to_string()))
}

/// Tells of the findings where a command does not print them itself.
fn remark_on_findings(counts: Counts, file: &str) {
    if counts.objects() {
        remark(&format!("{}; lineside check lists them: {file}", text::counts(counts)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_words_are_found() {
        let check = |typed, expected| assert_eq!(nearest(typed, command_names()), expected, "{typed}");
        check("chekc", Some("check"));
        check("drew", Some("draw"));
        check("Study", Some("study"));
        check("cabin.lineside", None);
        check("", None);
    }
}
