//! A review as one HTML page that stands alone: no scripts, no files beside it.

use super::{Entry, Review, Sign};
use std::fmt::Write;

const STYLE: &str = "body{font:15px/1.45 'Source Sans 3',sans-serif;max-width:52rem;margin:2rem auto;padding:0 1rem;\
color:#1c2733;background:#fff}h1{font-size:1.6rem}h2{font-size:1.2rem;margin-top:2rem}article{margin:1.2rem 0;\
break-inside:avoid}h3{font-size:1rem;margin:0 0 .2rem}.danger h3{color:#b3261e}.correction h3{color:#8f4e00}\
.advice h3{color:#23598a}dl{display:grid;grid-template-columns:7rem 1fr;gap:.1rem .8rem;margin:.2rem 0}dt{color:#5a6570}\
dd{margin:0}table{border-collapse:collapse;font-size:.86rem;margin:.3rem 0}td{padding:.05rem .8rem .05rem 0;\
vertical-align:top}td.figure{text-align:right;white-space:nowrap;font-variant-numeric:tabular-nums}";

/// Writes it. `language` is a tag such as `en`.
pub fn html(review: &Review, language: &str) -> String {
    let title = escaped(&format!("Review of {}", review.title));
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"{}\"><head><meta charset=\"utf-8\">\n<title>{title}</title>\n\
         <style>{STYLE}</style></head>\n<body>\n<h1>{title}</h1>\n",
        escaped(language)
    );
    facts(&mut out, &review.facts);
    let _ = writeln!(out, "<p><strong>{}</strong></p>", escaped(&review.summary));
    for section in &review.sections {
        let _ = writeln!(out, "<h2>{}</h2>", escaped(&section.title));
        if !section.remark.is_empty() {
            let _ = writeln!(out, "<p>{}</p>", escaped(&section.remark));
        }
        for entry in &section.entries {
            entry_html(&mut out, entry);
        }
    }
    out.push_str("<h2>Cautions</h2>\n");
    for caution in &review.cautions {
        let _ = writeln!(out, "<p>{}</p>", escaped(caution));
    }
    out.push_str("</body></html>\n");
    out
}

fn entry_html(out: &mut String, entry: &Entry) {
    let class = match entry.sign {
        Sign::Danger => "danger",
        Sign::Correction => "correction",
        Sign::Advice => "advice",
        Sign::Nothing => "other",
    };
    let title = escaped(&entry.title);
    let _ = writeln!(out, "<article class=\"{class}\"><h3>{} {title}</h3>", entry.sign.letter());
    facts(out, &entry.facts);
    if !entry.working.is_empty() {
        out.push_str("<table>\n");
        for line in &entry.working {
            let _ = writeln!(
                out,
                "<tr><td>{}</td><td>{}</td><td class=\"figure\">{}</td><td>{}</td></tr>",
                escaped(&line.meaning),
                escaped(&line.formula),
                escaped(&line.figure),
                escaped(&line.origin)
            );
        }
        out.push_str("</table>\n");
    }
    if !entry.remedies.is_empty() {
        out.push_str("<p>Remedies</p><ul>\n");
        for remedy in &entry.remedies {
            let _ = writeln!(out, "<li>{}</li>", escaped(remedy));
        }
        out.push_str("</ul>\n");
    }
    out.push_str("</article>\n");
}

fn facts(out: &mut String, facts: &[(String, String)]) {
    out.push_str("<dl>\n");
    for (name, value) in facts {
        let _ = writeln!(out, "<dt>{}</dt><dd>{}</dd>", escaped(name), escaped(value));
    }
    out.push_str("</dl>\n");
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            letter if letter.is_control() && letter != '\n' => {}
            letter => out.push(letter),
        }
    }
    out
}
