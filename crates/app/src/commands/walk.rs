//! `lineside walk FILE`: what flows in each operating case, in plain words; with `-o walk.html` the page that a customer
//! takes home.
//!
//! The steps, the words and the page are the `walk` crate's.

use super::failure::Failure;
use super::options::WalkOptions;
use super::text::{self, CAUTION};
use super::{Verdict, input, output};
use crate::disk::{self, Conflict};
use crate::engine::Derived;
use crate::window::areas::draft::sheet::look;
use lineside_core::project::Project;
use lineside_drawing::route::Routes;
use lineside_rules::check;
use lineside_study::flow;
use lineside_study::{Conditions, Studies};
use lineside_walk::{Seen, Step, Told, own_steps, page, steps, traced};
use std::fmt::Write;
use std::path::Path;

/// Walks through a project.
pub fn run(options: &WalkOptions) -> Result<Verdict, Failure> {
    if let Some(to) = options.output.as_deref().filter(|to| !input::is_stream(to)) {
        refuse_ending(to)?;
    }
    let mut loaded = input::load(&options.project.file)?;
    let rule_set = options.project.rule_set.unwrap_or(loaded.project.rule_set);
    loaded.project.rule_set = rule_set;
    loaded.project.units = options.units.units.unwrap_or(loaded.project.units);
    let project = &loaded.project;
    let codes = super::codes()?;
    let checked = check(project, &codes, rule_set);
    let derived = Derived::of(project, checked, 0);
    let told = told(project, &derived, &Conditions::new(project, &codes));
    if let Some(to) = &options.output {
        let html = page(project, &told);
        if input::is_stream(to) {
            output::deliver(html.as_bytes())?;
        } else {
            disk::save(to, html.as_bytes(), None, Conflict::Overwrite)?;
        }
    } else {
        let mut shown = format!("{}\n", text::heading(project, rule_set, &loaded.name));
        for (number, it) in (1..).zip(&told) {
            print(number, it, options, &mut shown);
        }
        if told.is_empty() {
            shown
                .push_str("\nThere is no bank and no operating case, so there is nothing to walk through.\n");
        }
        let _ = write!(shown, "\n{CAUTION}");
        output::print(&shown)?;
    }
    Ok(Verdict::Clean)
}

/// The project's own cases come after those that its circuit makes.
fn told(project: &Project, derived: &Derived, on: &Conditions<'_>) -> Vec<Told> {
    let studies: &Studies = &derived.checked.studies;
    let (look, _) = look::of(project, derived);
    let routes = Routes::new(&project.circuit);
    let mut all: Vec<Step> = steps(on, studies);
    all.extend(own_steps(project));
    all.iter()
        .map(|step| {
            let flow = flow::study(on, &studies.network, &studies.zones, &studies.ratings, &step.state);
            let seen = Seen { project, studies, step, flow: &flow };
            Told::of(&seen, traced(&seen, &look, &routes))
        })
        .collect()
}

fn print(number: usize, it: &Told, options: &WalkOptions, page: &mut String) {
    let _ = write!(page, "\n{number}. {}\n", it.step.name);
    if !it.step.about.is_empty() {
        page.push_str(&text::paragraph(&it.step.about, 2));
    }
    page.push_str(&text::paragraph(&it.customer.join(" "), 2));
    if options.technician {
        for sentence in &it.technician {
            page.push_str(&text::paragraph(sentence, 4));
        }
    }
}

fn refuse_ending(to: &Path) -> Result<(), Failure> {
    let ending = to.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("html" | "htm") => Ok(()),
        _ => Err(Failure::WalkEnding(to.to_owned())),
    }
}
