//! Rule `both-ends-disconnect`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::circuit::{Run, Side};
use lineside_core::kinds::inside::SourceKind;
use lineside_core::working::Working;
use lineside_study::Met;

rule! {
    /// A field run can be shut off at both of its ends
    ///
    /// ## The harm
    /// Somebody works on a run that is dead at the end he sees and live from the other.
    ///
    /// ## The reason
    /// From the end of a run between two locations one walks through the place where that end stands, and stops at
    /// every disconnecting means: breaker, switch, pull-out, fused switch. A fuse alone is none. A plug connector or a
    /// touch-safe holder counts for circuits up to 30 A. If a source, a terminal of a converter or another field run
    /// is reached, that end is not cut off.
    ///
    /// ## What to do
    /// A switch or breaker at the end that is named, or the device moved there.
    BOTH_ENDS_DISCONNECT {
        id: "both-ends-disconnect",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.13, 690.15, 706.15, 445.18, 225.31, 240.40",
            Nec2020: "NEC 2020 690.13, 690.15, 706.15, 445.18, 225.31, 240.40",
            Nec2017: "NEC 2017 690.13, 690.15, 706.7, 445.18, 225.31, 240.40",
            Iec: "IEC 60364-5-53 cl. 537, IEC 60364-7-712 cl. 712.536, IEC 62548-1 cl. 7.3",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (id, side, met) in on.studies.reach.ends() {
        let Some(run) = on.run(id) else { continue };
        let at = Part::RunEnd(id, side);
        if report.holds(at, || met.is_none()).fails()
            && let Some(met) = met
        {
            find(on, report, run, side, met);
        }
    }
}

fn find(on: &Circumstances<'_>, report: &mut Report, run: &Run, side: Side, met: Met) {
    let at = Part::RunEnd(run.id, side);
    let (part, found) = match met {
        Met::Source(block, kind) => {
            (Part::Block(block), format!("{} {}", source_word(kind), Part::Block(block).name(on.circuit())))
        }
        Met::Converter(block) => {
            (Part::Block(block), format!("converter {}", Part::Block(block).name(on.circuit())))
        }
        Met::FieldRun(other) => {
            (Part::Run(other), format!("field run {}", Part::Run(other).name(on.circuit())))
        }
    };
    let place = on
        .circuit()
        .location_of_block(run.end(side).block)
        .and_then(|place| on.circuit().place(place))
        .map_or_else(String::new, |place| format!(" in {}", place.name));
    let title = format!("{} cannot be shut off at its end{place}", run.tag);
    let finding = BOTH_ENDS_DISCONNECT.finding(on, Severity::Correction, at, title).also(part);
    report.find(finding.against(words(found), words("a disconnecting means")).working(Working::new()));
}

const fn source_word(kind: SourceKind) -> &'static str {
    match kind {
        SourceKind::Strings => "strings",
        SourceKind::BatteryString(_) => "battery",
        SourceKind::Generator => "generator",
        SourceKind::Utility => "utility",
        SourceKind::ControllerOutput
        | SourceKind::DcConverterOutput
        | SourceKind::Charger
        | SourceKind::InverterOutput => "converter",
    }
}
