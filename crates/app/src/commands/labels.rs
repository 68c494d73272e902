//! `lineside labels FILE`: the labels that the system needs, with their lines and where to put them up; with `--make`
//! a project in which they have been made.
//!
//! What is needed is found in `lineside_study::required_labels`.

use super::label_shapes::{self, LabelsShape};
use super::options::LabelsOptions;
use super::shapes::{Counts, Head};
use super::text::{self, CAUTION};
use super::{Verdict, input, output};
use crate::commands::failure::Failure;
use crate::commands::mend::refuse_name;
use crate::disk::{self, Conflict};
use lineside_core::edit::{Edit, apply};
use lineside_core::file;
use lineside_core::project::{MadeLabel, Project};
use lineside_core::units::text as units_text;
use lineside_rules::check;
use lineside_study::{Conditions, required_labels};
use serde::Serialize;
use std::fmt::Write;
use std::path::Path;

/// Lists the labels, and writes the project in which they have been made when that is asked for.
pub fn run(options: &LabelsOptions) -> Result<Verdict, Failure> {
    if let Some(to) = &options.output {
        refuse_name(&options.project.file, to)?;
    }
    let loaded = input::load(&options.project.file)?;
    let rule_set = options.project.rule_set.unwrap_or(loaded.project.rule_set);
    let units = options.units.units.unwrap_or(loaded.project.units);
    let codes = super::codes()?;
    let mut checked = check(&loaded.project, &codes, rule_set);
    let on = Conditions::new(&loaded.project, &codes).under(rule_set);
    let required = required_labels::study(&on, &checked.studies);
    if let Some(to) = &options.output {
        let made = with_labels(&loaded.project, required.made(&on, loaded.project.units))?;
        write(&made, to)?;
        checked = check(&made, &codes, rule_set);
    }
    let shape = Listing {
        head: Head::of("labels"),
        file: &loaded.name,
        rule_set: rule_set.key(),
        made: options.output.as_ref().map(|to| to.display().to_string()),
        labels: label_shapes::gather(&on, &required, units),
    };
    if options.json {
        output::print_json(&shape)?;
    } else {
        let mut page = format!("{}\n", text::heading(&loaded.project, rule_set, &loaded.name));
        shape.print(required.all.len(), &mut page);
        output::print(&page)?;
    }
    let counts = Counts::of(&checked.report);
    super::remark_on_findings(counts, &loaded.name);
    Ok(Verdict::of(counts))
}

fn with_labels(project: &Project, labels: Vec<MadeLabel>) -> Result<Project, Failure> {
    let mut made = project.clone();
    apply(&mut made, Edit::SetLabels(labels)).map_err(|refusal| Failure::Output(refusal.to_string()))?;
    Ok(made)
}

fn write(project: &Project, to: &Path) -> Result<(), Failure> {
    let text = file::write(project).map_err(|error| Failure::Output(error.to_string()))?;
    disk::save(to, text.as_bytes(), None, Conflict::Overwrite).map_err(Failure::Mended)?;
    Ok(())
}

#[derive(Serialize)]
struct Listing<'a> {
    #[serde(flatten)]
    head: Head,
    file: &'a str,
    rule_set: &'static str,
    made: Option<String>,
    #[serde(flatten)]
    labels: LabelsShape,
}

impl Listing<'_> {
    fn print(&self, count: usize, page: &mut String) {
        let _ = writeln!(page, "\nLabels that are needed: {}", units_text::count(count));
        let tables = [
            ("", label_shapes::needed(&self.labels)),
            ("\nWhere they stand\n", label_shapes::kinds(&self.labels)),
            ("\nWhat is open\n", label_shapes::open(&self.labels)),
        ];
        for (title, table) in tables {
            if !table.is_empty() {
                let _ = write!(page, "{title}{}", table.show(2));
            }
        }
        if let Some(to) = &self.made {
            let _ = writeln!(page, "\nMade in {to}.");
        }
        let _ = write!(page, "\n{}", text::paragraph(CAUTION, 0));
    }
}
