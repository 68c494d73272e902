//! The page that a customer takes home: one HTML file with every step, its sheet as inline SVG and its words. It asks
//! the network for nothing, works with a keyboard, and prints every step.

use crate::account::Account;
use crate::escaped::escaped;
use crate::{Seen, Step};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use lineside_core::kinds::Kind;
use lineside_core::project::Project;
use lineside_core::units::text;
use lineside_core::units::{Quantity, UnitSystem, Watts};
use lineside_drawing::sheet::Drawing;
use lineside_drawing::svg::{self, Palette};
use std::collections::BTreeSet;
use std::fmt::Write;

/// A step, ready to be told.
#[derive(Clone, Debug)]
pub struct Told {
    /// The step.
    pub step: Step,
    /// Its sheet.
    pub drawing: Drawing,
    /// Its powers.
    pub account: Account,
    /// What a customer is told.
    pub customer: Vec<String>,
    /// What a technician is told.
    pub technician: Vec<String>,
}

impl Told {
    /// Tells a step.
    pub fn of(seen: &Seen<'_>, drawing: Drawing) -> Self {
        Self {
            step: seen.step.clone(),
            drawing,
            account: Account::of(seen),
            customer: crate::customer(seen),
            technician: crate::technician(seen),
        }
    }
}

/// The faces of the sheet, as the drawing measures its words by them: another face would let words run into each other.
const FACES: [(u32, &[u8]); 2] = [
    (400, include_bytes!("../../../assets/fonts/SourceSans3-Regular.ttf")),
    (600, include_bytes!("../../../assets/fonts/SourceSans3-SemiBold.ttf")),
];

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

/// Cautions that stand on every page.
const CAUTIONS: &str = "This page explains; it is no instruction for work. Opening a breaker does not make everything behind it \
                        dead: arrays are live in any light and batteries always. Shock, arcs, battery gas and electrolyte, and \
                        lithium fires injure and kill. Leave work on the system to a licensed professional, who goes by the \
                        adopted code, the equipment’s manual and measures before touching.";

/// Writes the page.
pub fn page(project: &Project, told: &[Told]) -> String {
    let mut out = String::with_capacity(64 * 1024);
    let name = escaped(project.name());
    let _ = write!(
        out,
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; \
         script-src 'unsafe-inline'; font-src data:\">\n<title>{name}: how the power flows</title>\n<style>\n{}{STYLE}</style>\n</head>\n<body>\n",
        faces()
    );
    let _ = write!(
        out,
        "<header>\n<h1>{name}</h1>\n<p>How the power flows, in {} steps</p>\n</header>\n<nav aria-label=\"Steps\">\n\
         <button id=\"back\" type=\"button\">Back</button>\n<span id=\"where\" role=\"status\"></span>\n\
         <button id=\"on\" type=\"button\">On</button>\n</nav>\n<main>\n",
        text::count(told.len())
    );
    for (number, it) in (1..).zip(told) {
        section(&mut out, number, it, project.units);
    }
    out.push_str("</main>\n");
    glossary(&mut out, project);
    let _ = write!(
        out,
        "<footer>\n<p>{CAUTIONS}</p>\n</footer>\n<script>\n{SCRIPT}</script>\n</body>\n</html>\n"
    );
    out
}

fn faces() -> String {
    let face = |(weight, bytes): (u32, &[u8])| {
        format!(
            "@font-face {{ font-family: \"Source Sans 3\"; font-weight: {weight}; src: url(data:font/ttf;base64,{}); }}\n",
            STANDARD.encode(bytes)
        )
    };
    FACES.into_iter().map(face).collect()
}

fn section(out: &mut String, number: usize, it: &Told, units: UnitSystem) {
    let name = escaped(&it.step.name);
    let _ = write!(
        out,
        "<section id=\"step{number}\" aria-labelledby=\"name{number}\">\n<h2 id=\"name{number}\" tabindex=\"-1\">{number}. \
         {name}</h2>\n"
    );
    if !it.step.about.is_empty() {
        let _ = writeln!(out, "<p class=\"about\">{}</p>", escaped(&it.step.about));
    }
    conditions(out, it, units);
    let _ = writeln!(out, "<div class=\"sheet\">{}</div>", drawing(&it.drawing, number, &it.step.name));
    balance(out, &it.account, units);
    list(out, "told", &it.customer);
    out.push_str("<details>\n<summary>Volts and amperes</summary>\n");
    list(out, "figures", &it.technician);
    out.push_str("</details>\n</section>\n");
}

fn list(out: &mut String, class: &str, sentences: &[String]) {
    let _ = writeln!(out, "<ul class=\"{class}\">");
    for sentence in sentences {
        let _ = writeln!(out, "<li>{}</li>", escaped(sentence));
    }
    out.push_str("</ul>\n");
}

fn conditions(out: &mut String, it: &Told, units: UnitSystem) {
    let state = &it.step.state;
    let figure = |value: Quantity| escaped(&text::figure(value, units));
    let _ = writeln!(
        out,
        "<p class=\"conditions\">Sun {} · air {} · bank {}</p>",
        figure(state.sun.into()),
        figure(state.ambient.into()),
        figure(state.charge.into())
    );
}

/// The picture; its ids are told apart from those of the other steps.
fn drawing(drawing: &Drawing, number: usize, name: &str) -> String {
    let svg = svg::write(drawing, &Palette::PRINT, name);
    let id = format!("sheet{number}");
    svg.replace("id=\"title\"", &format!("id=\"{id}\"")).replace("\"title\">", &format!("\"{id}\">"))
}

/// Bars of what comes and where it goes, as long as their powers.
fn balance(out: &mut String, it: &Account, units: UnitSystem) {
    let comes = [
        ("array", "pv", it.sun),
        ("bank", "bank", it.drawn),
        ("generator", "ac", it.generator),
        ("utility", "ac", it.utility),
    ];
    let goes = [
        ("loads", "ac", it.loads),
        ("bank", "bank", it.stored),
        ("utility", "ac", it.exported),
        ("heat", "heat", it.lost),
    ];
    let sum = |parts: &[(&str, &str, Watts)]| parts.iter().map(|(_, _, watts)| *watts).sum::<Watts>();
    let whole = sum(&comes).max(sum(&goes));
    if whole < Watts::new(1.0) {
        return;
    }
    out.push_str("<div class=\"balance\">\n");
    for (title, parts) in [("What comes", comes), ("Where it goes", goes)] {
        let _ = write!(out, "<p>{title}</p>\n<div class=\"bar\">\n");
        for (name, class, watts) in parts.into_iter().filter(|(_, _, watts)| *watts >= Watts::new(0.5)) {
            let width = 100.0 * (watts / whole);
            let figure = escaped(&text::figure(watts.into(), units));
            let _ = writeln!(
                out,
                "<span class=\"{class}\" style=\"width:{width:.2}%\" title=\"{name}: {figure}\"></span>"
            );
        }
        out.push_str("</div>\n<ul class=\"legend\">\n");
        for (name, class, watts) in parts.into_iter().filter(|(_, _, watts)| *watts >= Watts::new(0.5)) {
            let figure = escaped(&text::figure(watts.into(), units));
            let _ = writeln!(out, "<li><span class=\"key {class}\"></span>{name} {figure}</li>");
        }
        out.push_str("</ul>\n");
    }
    out.push_str("</div>\n");
}

/// Every kind of part in the circuit, with what it is for.
fn glossary(out: &mut String, project: &Project) {
    let kinds: BTreeSet<Kind> = project.circuit.blocks().map(lineside_core::circuit::Block::kind).collect();
    if kinds.is_empty() {
        return;
    }
    out.push_str(
        "<section class=\"glossary\" aria-labelledby=\"parts\">\n<h2 id=\"parts\">The parts</h2>\n<dl>\n",
    );
    for kind in kinds {
        let tags: Vec<&str> = project
            .circuit
            .blocks()
            .filter(|block| block.kind() == kind)
            .map(|block| block.tag.as_str())
            .collect();
        let _ = writeln!(
            out,
            "<dt>{} <small>{}</small></dt>\n<dd>{}</dd>",
            escaped(&crate::steps::sentence(kind.label())),
            escaped(&tags.join(", ")),
            escaped(kind.explanation().trim())
        );
    }
    out.push_str("</dl>\n</section>\n");
}
