//! `lineside stock fit FILE TAG`: what of the stock fits where a block stands or into a run, best first, with why the
//! others do not.
//!
//! What fits is the `rules` crate's to say.

use crate::commands::failure::Failure;
use crate::commands::input::{self, Loaded};
use crate::commands::options::FitOptions;
use crate::commands::shapes::{Figure, Head};
use crate::commands::table::{Table, words};
use crate::commands::text::{self, CAUTION};
use crate::commands::{Verdict, output};
use crate::engine::Engine;
use lineside_core::circuit::Side;
use lineside_core::kinds::Kind;
use lineside_core::project::Project;
use lineside_core::units::text as units_text;
use lineside_core::units::{Percent, UnitSystem};
use lineside_rules::check;
use lineside_rules::mend::Subject;
use lineside_rules::mend::fit::{Fit, Fitness, Margin, Spot, Standing, Told, fits};
use serde::Serialize;
use std::fmt::Write;
use std::ops::ControlFlow;

/// Tries the stock and prints what came of it.
pub fn run(options: &FitOptions) -> Result<Verdict, Failure> {
    let Loaded { project, name } = input::load(&options.project.file)?;
    let (engine, told) = Engine::of_this_person().map_err(|error| Failure::Damaged(error.to_string()))?;
    if let Some(told) = told {
        output::remark(&told);
    }
    let rule_set = options.project.rule_set.unwrap_or(project.rule_set);
    let project = Project { rule_set, ..project };
    let (spot, kind) = spot_of(&project, &options.tag, options.kind)?;
    let units = options.units.units.unwrap_or(project.units);
    let checked = check(&project, &engine.codes, rule_set);
    let subject =
        Subject { project: &project, codes: &engine.codes, stock: &engine.stock, checked: &checked };
    let all = fits(&subject, spot, kind, units, |_| ControlFlow::Continue(()));
    let listing = Listing { file: &name, tag: &options.tag, kind, project: &project, all: &all, units };
    if options.json {
        output::print_json(&listing.shape())?;
    } else {
        output::print(&listing.page())?;
    }
    let any = all.iter().any(|fit| fit.fitness == Fitness::Fits);
    Ok(if any { Verdict::Clean } else { Verdict::Objections })
}

/// The place that a tag names, and of which kind items are tried there.
fn spot_of(project: &Project, tag: &str, kind: Option<Kind>) -> Result<(Spot, Kind), Failure> {
    let circuit = &project.circuit;
    if let Some(block) = circuit.block_by_tag(tag) {
        return match kind {
            Some(kind) if kind != block.kind() => Err(Failure::Usage(format!(
                "{tag} is of the kind {}; only its own kind is tried in its place",
                block.kind().key()
            ))),
            Some(_) | None => Ok((Spot::Block(block.id), block.kind())),
        };
    }
    let (run, side) = match tag.split_once('.') {
        Some((run, "to")) => (run, Side::To),
        Some((run, "from")) => (run, Side::From),
        Some(_) | None => (tag, Side::From),
    };
    let run = circuit.run_by_tag(run);
    let run =
        run.ok_or_else(|| Failure::Usage(format!("there is no block and no run {tag} on the sheet")))?;
    Ok((Spot::Run(run.id, side), kind.unwrap_or(Kind::Breaker)))
}

struct Listing<'a> {
    file: &'a str,
    tag: &'a str,
    kind: Kind,
    project: &'a Project,
    all: &'a [Fit],
    units: UnitSystem,
}

#[derive(Serialize)]
struct FitsShape<'a> {
    #[serde(flatten)]
    head: Head,
    file: &'a str,
    rule_set: &'static str,
    place: &'a str,
    kind: &'static str,
    items: Vec<FitShape<'a>>,
}

#[derive(Serialize)]
struct FitShape<'a> {
    item: &'a str,
    here: bool,
    fits: &'static str,
    why: &'a str,
    goes: Vec<ToldShape<'a>>,
    comes: Vec<ToldShape<'a>>,
    stays: Vec<ToldShape<'a>>,
    cannot_tell: usize,
    nearest: Option<MarginShape>,
    cost: Option<String>,
    currency: Option<&'a str>,
}

#[derive(Serialize)]
struct ToldShape<'a> {
    id: &'a str,
    severity: &'static str,
    title: &'a str,
}

impl<'a> ToldShape<'a> {
    fn all(list: &'a [Told]) -> Vec<Self> {
        let one = |it: &'a Told| Self { id: &it.id, severity: it.severity.key(), title: &it.title };
        list.iter().map(one).collect()
    }
}

#[derive(Serialize)]
struct MarginShape {
    rule: &'static str,
    found: Figure,
    allowed: Figure,
    to_spare: Figure,
}

impl MarginShape {
    fn of(margin: &Margin, units: UnitSystem) -> Self {
        Self {
            rule: margin.rule,
            found: Figure::of(margin.found, units),
            allowed: Figure::of(margin.allowed, units),
            to_spare: Figure::of(Percent::new(margin.share * 100.0), units),
        }
    }
}

/// As files and programs read it.
const fn key(fitness: Fitness) -> &'static str {
    match fitness {
        Fitness::Fits => "yes",
        Fitness::Corrections => "correction",
        Fitness::Dangers => "danger",
        Fitness::Refused => "refused",
    }
}

/// The sign before an item; its shape alone tells how it stands.
const fn sign(fitness: Fitness) -> &'static str {
    match fitness {
        Fitness::Fits => "✓",
        Fitness::Corrections => "■",
        Fitness::Dangers => "▲",
        Fitness::Refused => "×",
    }
}

impl<'a> Listing<'a> {
    fn shape(&self) -> FitsShape<'a> {
        let one = |fit: &'a Fit| FitShape {
            item: &fit.item,
            here: fit.now == Standing::Here,
            fits: key(fit.fitness),
            why: &fit.why,
            goes: ToldShape::all(&fit.goes),
            comes: ToldShape::all(&fit.comes),
            stays: ToldShape::all(&fit.stays),
            cannot_tell: fit.blinds,
            nearest: fit.margin.as_ref().map(|margin| MarginShape::of(margin, self.units)),
            cost: fit.cost.as_ref().map(|cost| cost.amount.to_string()),
            currency: fit.cost.as_ref().map(|cost| cost.currency.as_str()),
        };
        FitsShape {
            head: Head::of("stock fit"),
            file: self.file,
            rule_set: self.project.rule_set.key(),
            place: self.tag,
            kind: self.kind.key(),
            items: self.all.iter().map(one).collect(),
        }
    }

    fn page(&self) -> String {
        let set = self.project.rule_set;
        let mut page = format!("{}\n", text::heading(self.project, set, self.file));
        let count = |wanted| self.all.iter().filter(|fit| fit.fitness == wanted).count();
        let _ = writeln!(
            page,
            "{}: {} of {} {} in stock fit, best first\n",
            self.tag,
            units_text::count(count(Fitness::Fits)),
            units_text::count(self.all.len()),
            self.kind.plural().to_lowercase()
        );
        let mut table = Table::new(&[words("", 1), words("item", 44), words("cost", 12), words("why", 70)]);
        for fit in self.all {
            let here = if fit.now == Standing::Here { " (here now)" } else { "" };
            let cost = fit.cost.as_ref().map(|cost| format!("{} {}", cost.amount, cost.currency));
            table.row([
                sign(fit.fitness).to_owned(),
                format!("{}{here}", fit.item),
                cost.unwrap_or_default(),
                fit.why.clone(),
            ]);
        }
        page.push_str(&table.show(0));
        page.push('\n');
        page.push_str(&text::paragraph(CAUTION, 0));
        page
    }
}
