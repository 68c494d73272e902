//! Small battery buses drawn at random: bars, with runs or breakers between them, batteries that nothing limits and
//! controllers that limit themselves. The same is kept as a plain graph, from which other tests compute what studies
//! find without their help.

use lineside_acceptance::{Sheet, feet};
use lineside_core::project::RuleSet;
use proptest::prelude::*;

/// What joins two points of the plain graph, and how much may flow.
#[derive(Clone, Copy, Debug)]
pub struct Edge {
    /// One point.
    pub a: usize,
    /// The other.
    pub b: usize,
    /// Amperes; infinite for a conductor.
    pub capacity: f64,
}

/// A drawn bus and its plain graph.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// The sheet.
    pub sheet: Sheet,
    /// Points: bars first, then the far ends of breakers.
    pub points: usize,
    /// What joins them.
    pub edges: Vec<Edge>,
    /// What feeds each point, in amperes; infinite where a battery does.
    pub sources: Vec<f64>,
    /// What the controllers of each bar give, in amperes.
    pub controllers: Vec<f64>,
    /// Runs of conductors: tag, position of its edge, its point where it begins, its point where it ends.
    pub runs: Vec<(String, usize, usize, usize)>,
}

/// What one join is drawn from: between which bars, and the breaker in it, if any.
pub type Join = (usize, usize, Option<u32>);

const BATTERY: &str = r#"battery_bank((chemistry: lithium_iron_phosphate, cells_per_unit: 16, capacity: "100 Ah",
    rated_time: "5 h", full_rest_voltage: "3.40 V", charge_voltage: "3.55 V", empty_voltage: "3.00 V",
    lowest_voltage: "2.50 V", units_in_series: 1, strings_in_parallel: 1))"#;

fn controller(amps: u32) -> String {
    format!(
        r#"charge_controller((kind: tracking_step_down, max_input_voltage: "150 V", output_current: "{amps} A",
        separation: none))"#
    )
}

fn breaker(amps: u32) -> String {
    format!(
        r#"breaker((rating: "{amps} A", poles: 1, polarity: none, duty: eighty_percent, trip: inverse_time,
        dc_voltage: "125 V", position: closed))"#
    )
}

/// Draws bars joined so, and at each bar its batteries and its controllers' amperes.
pub fn draw(bars: usize, joins: &[Join], feeds: &[(usize, Option<u32>)]) -> Drawn {
    let mut sheet = Sheet::new(RuleSet::Nec2023, -20.0, 35.0);
    let mut taps = vec![0; bars];
    let mut tap = |bar: usize| {
        taps[bar] += 1;
        format!("BUS{bar}.tap{}", taps[bar])
    };
    let mut drawn = Drawn {
        sheet: sheet.clone(),
        points: bars,
        edges: Vec::new(),
        sources: vec![0.0; bars],
        controllers: vec![0.0; bars],
        runs: Vec::new(),
    };
    for bar in 0..bars {
        sheet.block(&format!("BUS{bar}"), r#"bus_bar((rating: "400 A", taps: 24))"#);
    }
    for (n, (a, b, device)) in joins.iter().enumerate() {
        let tag = format!("W{n}");
        let (from, begins) = match device {
            None => (tap(*a), *a),
            Some(amps) => {
                let q = format!("Q{n}");
                sheet.block(&q, &breaker(*amps));
                sheet.joint(&tap(*a), &format!("{q}.line"));
                drawn.edges.push(Edge { a: *a, b: drawn.points, capacity: f64::from(*amps) });
                drawn.sources.push(0.0);
                drawn.points += 1;
                (format!("{q}.load"), drawn.points - 1)
            }
        };
        sheet.run(&tag, &from, &tap(*b), feet("4", 5.0));
        drawn.runs.push((tag, drawn.edges.len(), begins, *b));
        drawn.edges.push(Edge { a: begins, b: *b, capacity: f64::INFINITY });
    }
    for (n, (bar, amps)) in feeds.iter().enumerate() {
        let (tag, nameplate, terminal, gives) = match amps {
            None => (format!("B{n}"), BATTERY.to_owned(), "out", f64::INFINITY),
            Some(amps) => (format!("C{n}"), controller(*amps), "battery", f64::from(*amps)),
        };
        sheet.block(&tag, &nameplate);
        sheet.joint(&format!("{tag}.{terminal}"), &tap(*bar));
        drawn.sources[*bar] += gives;
        drawn.controllers[*bar] += amps.map_or(0.0, f64::from);
    }
    drawn.sheet = sheet;
    drawn
}

fn feeds(bars: usize) -> impl Strategy<Value = Vec<(usize, Option<u32>)>> {
    prop::collection::vec((0..bars, prop::option::weighted(0.7, 5..120_u32)), 0..5)
}

/// A tree: each bar but the first hangs on an earlier one.
pub fn tree() -> impl Strategy<Value = Drawn> {
    (2..7_usize).prop_flat_map(|bars| {
        let joins: Vec<_> = (1..bars).map(|bar| (0..bar, Just(bar), device())).collect();
        (joins, feeds(bars)).prop_map(move |(joins, feeds)| draw(bars, &joins, &feeds))
    })
}

/// Anything: joins between any two bars, several between the same two.
pub fn web() -> impl Strategy<Value = Drawn> {
    (2..6_usize).prop_flat_map(|bars| {
        let join = (0..bars, 0..bars, device()).prop_filter("two bars", |(a, b, _)| a != b);
        (prop::collection::vec(join, 0..7), feeds(bars))
            .prop_map(move |(joins, feeds)| draw(bars, &joins, &feeds))
    })
}

fn device() -> impl Strategy<Value = Option<u32>> {
    prop::option::weighted(0.6, 10..150_u32)
}
