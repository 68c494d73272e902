//! The tables of the search: factors and figures by chemistry, read from `assets/propose`.

use lineside_codes::TableError;
use lineside_core::kinds::battery_bank::Chemistry;

/// Figures of a chemistry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ChemistryRow {
    pub depth: f64,
    pub daily_depth: f64,
    pub end_of_life: f64,
    pub strings: u32,
    pub most_charge: f64,
    pub mean_volts: f64,
    pub efficiency: f64,
    pub cut_in: f64,
    pub price: f64,
    pub upkeep: f64,
}

/// What the search assumes where neither brief nor nameplate tells, with its origin in the tables.
#[derive(Clone, Debug, PartialEq)]
pub struct Factors {
    chemistries: Vec<(Chemistry, ChemistryRow)>,
    values: Vec<(String, f64)>,
}

macro_rules! file {
    ($name:literal) => {
        ($name, include_str!(concat!("../../../assets/propose/", $name)))
    };
}

fn fault(file: &'static str, line: u64, column: &str, found: &str) -> TableError {
    TableError {
        file,
        line,
        column: column.to_owned(),
        expected: "a table whose first line names its source, with a finite number here".into(),
        found: found.to_owned(),
    }
}

/// Every row, as its cells by the names of their columns.
fn rows((file, text): (&'static str, &'static str)) -> Result<Vec<Vec<(String, String)>>, TableError> {
    if !text.starts_with("# source: ") {
        return Err(fault(file, 1, "", text.lines().next().unwrap_or_default()));
    }
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).trim(csv::Trim::All).from_reader(text.as_bytes());
    let unread = |error: &csv::Error| {
        fault(file, error.position().map_or(1, csv::Position::line), "", &error.to_string())
    };
    let headings = reader.headers().map_err(|error| unread(&error))?.clone();
    let mut found = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| unread(&error))?;
        found.push(headings.iter().map(str::to_owned).zip(record.iter().map(str::to_owned)).collect());
    }
    Ok(found)
}

fn cell<'a>(row: &'a [(String, String)], column: &str) -> &'a str {
    row.iter().find(|(name, _)| name == column).map_or("", |(_, text)| text)
}

fn number(file: &'static str, row: &[(String, String)], column: &str) -> Result<f64, TableError> {
    let text = cell(row, column);
    let number: Option<f64> = text.parse().ok();
    number.filter(|number| number.is_finite()).ok_or_else(|| fault(file, 1, column, text))
}

impl Factors {
    /// Reads the tables that are built into the program. An error is a mistake in one of those files, which a test
    /// would have found.
    pub fn load() -> Result<Self, TableError> {
        let table = file!("chemistries.csv");
        let mut chemistries = Vec::new();
        for row in rows(table)? {
            let key = cell(&row, "chemistry");
            let chemistry = Chemistry::ALL.iter().copied().find(|it| it.key() == key);
            let chemistry = chemistry.ok_or_else(|| fault(table.0, 1, "chemistry", key))?;
            let of = |column| number(table.0, &row, column);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count below ten")]
            let strings = of("strings")?.max(1.0) as u32;
            let found = ChemistryRow {
                depth: of("depth")?,
                daily_depth: of("daily_depth")?,
                end_of_life: of("end_of_life")?,
                strings,
                most_charge: of("most_charge")?,
                mean_volts: of("mean_volts")?,
                efficiency: of("efficiency")?,
                cut_in: of("cut_in")?,
                price: of("price")?,
                upkeep: of("upkeep")?,
            };
            chemistries.push((chemistry, found));
        }
        let table = file!("factors.csv");
        let mut values = Vec::new();
        for row in rows(table)? {
            values.push((cell(&row, "factor").to_owned(), number(table.0, &row, "value")?));
        }
        let factors = Self { chemistries, values };
        for wanted in FACTORS {
            if factors.values.iter().all(|(name, _)| name != wanted) {
                return Err(fault(table.0, 1, wanted, "none"));
            }
        }
        Ok(factors)
    }

    pub(crate) fn chemistry(&self, chemistry: Chemistry) -> Option<ChemistryRow> {
        self.chemistries.iter().find(|(it, _)| *it == chemistry).map(|(_, row)| *row)
    }

    /// A factor by its name in the table; every name that is asked for stands in [`FACTORS`], which `load` checks.
    pub(crate) fn value(&self, name: &'static str) -> f64 {
        self.values.iter().find(|(it, _)| it == name).map_or(0.0, |(_, value)| *value)
    }
}

/// Every factor that the crate asks for.
const FACTORS: &[&str] = &[
    "reserve",
    "reserve_generator",
    "bank_margin",
    "array_to_load",
    "array_to_load_generator",
    "design_months",
    "inverter_efficiency",
    "dc_efficiency",
    "standing_use",
    "yield",
    "switching_headroom",
    "switching_most",
    "switching_share",
    "tracking_headroom",
    "oversize",
    "charge_share",
    "running_margin",
    "coincidence",
    "cold_bank",
    "module_price",
    "mounting_price",
    "string_price",
    "controller_price",
    "inverter_price",
    "generator_price",
    "fuel_price",
    "life",
    "route_ground",
    "route_roof",
    "route_house",
    "route_generator",
    "route_service",
    "route_bank",
    "lead_string",
    "lead_inside",
    "lead_bank",
    "lead_ground",
    "room_hottest",
    "bank_hottest",
    "work_depth",
    "work_width",
    "work_height",
    "utility_price",
];
