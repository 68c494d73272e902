//! The tables of the energy year, from `assets/energy`: terms of the sun's place, brightness of the sky, fuels, and
//! what is assumed where nothing is given.
//!
//! How cells and converters behave stands in the tables of the `codes` crate.

use crate::csv_table::{Row, Table};
use crate::loads::{Appliance, appliances};
use crate::stand_in::{self, GenericClimate};
use lineside_codes::{Confidence, TableError};
use lineside_core::kinds::generator::Fuel;
use lineside_core::units::{
    Celsius, CelsiusSpan, Hours, Measure, Meters, MetersPerSecond, Percent, PercentPerCelsius, Watts, Years,
};

/// Every table, read once.
#[derive(Clone, Debug)]
pub struct Tables {
    pub(crate) sun: SunTerms,
    pub(crate) brightness: Vec<SkyBrightness>,
    fuels: Vec<FuelUse>,
    /// Generic climates that can stand in for weather records.
    pub climates: Vec<GenericClimate>,
    /// Usual appliances.
    pub appliances: Vec<Appliance>,
    /// What is assumed where nothing is given.
    pub defaults: Defaults,
}

/// `a × cos(b + c × JME) × JME^power`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PeriodicTerm {
    pub power: usize,
    pub a: f64,
    pub b: f64,
    pub c: f64,
}

/// Multiples of the five arguments, and the amplitudes in longitude and obliquity.
#[derive(Clone, Copy, Debug)]
pub(crate) struct NutationTerm {
    pub multiples: [f64; 5],
    pub longitude: [f64; 2],
    pub obliquity: [f64; 2],
}

/// Terms of the solar position algorithm.
#[derive(Clone, Debug, Default)]
pub(crate) struct SunTerms {
    pub longitude: Vec<PeriodicTerm>,
    pub latitude: Vec<PeriodicTerm>,
    pub radius: Vec<PeriodicTerm>,
    pub nutation: Vec<NutationTerm>,
}

/// One row of the brightness of the sky.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SkyBrightness {
    /// Sky clearness from which it holds.
    pub clearness: f64,
    pub circumsolar: [f64; 3],
    pub horizon: [f64; 3],
}

/// What an engine burns, and how long it lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FuelUse {
    /// The fuel.
    pub fuel: Fuel,
    /// Liters an hour for each kilowatt of the rating, with no load.
    pub standing: f64,
    /// Liters for each kilowatt-hour delivered.
    pub running: f64,
    /// Running hours to the end of the engine.
    pub life: Hours,
}

macro_rules! defaults {
    ($($(#[$doc:meta])* $field:ident: $type:ident, $unit:literal;)+) => {
        /// What is assumed where neither the brief nor a nameplate tells. Each has its origin in the table.
        #[derive(Clone, Debug, PartialEq)]
        pub struct Defaults { $($(#[$doc])* pub $field: $type,)+ }

        impl Defaults {
            const COUNT: usize = [$($unit),+].len();

            fn read(table: &Table) -> Result<Self, TableError> {
                Ok(Self { $($field: figure(table, stringify!($field), $unit)?,)+ })
            }
        }
    };
}

defaults! {
    /// Wind at the height of the modules.
    wind: MetersPerSecond, "m/s";
    /// Share of sunlight that the ground throws back.
    albedo: Percent, "%";
    /// Linke turbidity of the air.
    turbidity: Number, "";
    /// Least daily range of temperature.
    least_range: CelsiusSpan, "°C";
    /// Angular reflectance of the glass.
    reflectance: Number, "";
    /// Sun lost to dirt.
    soiling: Percent, "%";
    /// Sun lost to lying snow.
    snow: Percent, "%";
    /// Nominal operating cell temperature.
    cell_temperature: Celsius, "°C";
    /// Change of power with temperature.
    power_coefficient: PercentPerCelsius, "%/°C";
    /// Change of short-circuit current with temperature.
    current_coefficient: PercentPerCelsius, "%/°C";
    /// Change of open-circuit voltage with temperature.
    voltage_coefficient: PercentPerCelsius, "%/°C";
    /// Mismatch of one orientation on one tracker.
    mismatch: Percent, "%";
    /// Mismatch added for several orientations on one input.
    mixed_mismatch: Percent, "%";
    /// Power lost in the first hours of light.
    first_year_loss: Percent, "%";
    /// Power lost in each later year.
    yearly_loss: Percent, "%";
    /// Cooling by the wind, W·s/m³K.
    wind_cooling: Number, "";
    /// Cooling lost by modules parallel to a roof, W/m²K.
    roof_cooling: Number, "";
    /// Temperature of conductors on the array side.
    array_conductor: Celsius, "°C";
    /// Temperature of conductors indoors.
    indoor_conductor: Celsius, "°C";
    /// Standing use of controllers, monitor and battery management.
    standing_use: Watts, "W";
    /// Coldest that a battery room becomes.
    room_lowest: Celsius, "°C";
    /// Warmest that a battery room becomes.
    room_highest: Celsius, "°C";
    /// Battery box outdoors above the air.
    outdoor_offset: CelsiusSpan, "°C";
    /// Time constant of the battery's temperature.
    battery_inertia: Hours, "h";
    /// Charge from which surplus serves loads that can wait.
    defer_charge: Percent, "%";
    /// Hour from which they are served.
    defer_from: Hours, "h";
    /// Hour up to which they are served.
    defer_to: Hours, "h";
    /// Hour from which the rest of the day's quota must run.
    defer_deadline: Hours, "h";
    /// Output of an engine lost for each 300 m of height.
    generator_altitude: Percent, "%";
    /// Output of an engine lost for each 5.6 °C above 25 °C.
    generator_heat: Percent, "%";
    /// Load below which an engine should not run for long.
    generator_least_load: Percent, "%";
    /// Minutes of warm-up.
    generator_warm_up: Number, "min";
    /// Minutes of cool-down.
    generator_cool_down: Number, "min";
    /// Charge at which a generator starts.
    generator_start: Percent, "%";
    /// Charge at which it starts for a lead bank.
    generator_start_lead: Percent, "%";
    /// Charge at which it stops.
    generator_stop: Percent, "%";
    /// Charge at which it stops for a lead bank.
    generator_stop_lead: Percent, "%";
    /// Shortest run.
    generator_least_run: Hours, "h";
    /// Longest run.
    generator_longest_run: Hours, "h";
    /// Days between exercise runs.
    generator_exercise: Number, "d";
    /// Hour of the exercise run.
    generator_exercise_hour: Hours, "h";
    /// Charge at which the utility connects when sun and bank go first.
    utility_connect: Percent, "%";
    /// Charge at which it disconnects again.
    utility_disconnect: Percent, "%";
    /// Water in grams per ampere-hour of gassing current and cell.
    water: Number, "g/Ah";
    /// Life of electronics.
    electronics_life: Years, "a";
    /// Height of modules above the ground, where wind was measured at 10 m.
    module_height: Meters, "m";
    /// Real rate of interest.
    real_interest: Percent, "%";
    /// Doubt about the long-term mean of the sun, one standard deviation.
    doubt_irradiation: Percent, "%";
    /// Doubt about the sun on the plane.
    doubt_plane: Percent, "%";
    /// Doubt about the rating of the modules.
    doubt_rating: Percent, "%";
    /// Doubt about dirt.
    doubt_soiling: Percent, "%";
    /// Doubt about snow.
    doubt_snow: Percent, "%";
    /// Doubt about everything else.
    doubt_other: Percent, "%";
    /// No year is doubted further than this.
    doubt_bound: Percent, "%";
}

impl Defaults {
    /// Doubt about the model itself: its independent parts together, one standard deviation.
    pub fn model_doubt(&self) -> Percent {
        let parts = [
            self.doubt_irradiation,
            self.doubt_plane,
            self.doubt_rating,
            self.doubt_soiling,
            self.doubt_snow,
            self.doubt_other,
        ];
        let squares: f64 = parts.iter().map(|part| part.value() * part.value()).sum();
        Percent::new(lineside_core::math::sqrt(squares))
    }
}

/// A pure number of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Number(f64);

impl Number {
    /// The number.
    pub const fn value(self) -> f64 {
        self.0
    }
}

trait Figure: Sized {
    fn of(value: f64) -> Option<Self>;
}
impl Figure for Number {
    fn of(value: f64) -> Option<Self> {
        Some(Self(value))
    }
}
impl<M: Measure> Figure for M {
    fn of(value: f64) -> Option<Self> {
        M::try_new(value).ok()
    }
}

fn figure<T: Figure>(table: &Table, name: &str, unit: &str) -> Result<T, TableError> {
    let mut rows = table.rows().filter(|row| row.text("figure") == Ok(name));
    let row = rows.next().ok_or_else(|| table.error(&format!("a row “{name}”"), "none"))?;
    if rows.next().is_some() {
        return Err(row.error("figure", "each figure once", name));
    }
    if row.text("unit")? != unit {
        return Err(row.error("unit", unit, row.text("unit")?));
    }
    origin(row)?;
    let value = row.number("value")?;
    T::of(value).ok_or_else(|| row.error("value", "a quantity", &value.to_string()))
}

/// Every figure of judgment names where it is from and how sure it is.
fn origin(row: Row<'_>) -> Result<(), TableError> {
    if row.text("source")?.is_empty() {
        return Err(row.error("source", "where the figure is from", ""));
    }
    let confidence = row.text("confidence")?;
    if Confidence::ALL.iter().any(|known| known.key() == confidence) {
        Ok(())
    } else {
        Err(row.error("confidence", "how sure the figure is", confidence))
    }
}

macro_rules! table {
    ($name:literal) => {
        Table::read(
            concat!("assets/energy/", $name),
            include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../assets/energy/", $name)),
        )
    };
}

impl Tables {
    /// Reads and checks the tables that are built into the program. An error is a mistake in one of those files,
    /// which a test would have found.
    pub fn load() -> Result<Self, TableError> {
        let defaults = table!("defaults.csv")?;
        if defaults.rows().count() != Defaults::COUNT {
            return Err(defaults.error("no row but those that are read", "others"));
        }
        Ok(Self {
            sun: sun_terms()?,
            brightness: sky_brightness(&table!("sky-brightness.csv")?)?,
            fuels: fuels(&table!("generator-fuels.csv")?)?,
            climates: stand_in::read(&table!("climates.csv")?)?,
            appliances: appliances::read(&table!("appliances.csv")?)?,
            defaults: Defaults::read(&defaults)?,
        })
    }

    /// What a fuel gives; `None` for a fuel that the table lacks.
    pub fn fuel(&self, fuel: Fuel) -> Option<FuelUse> {
        self.fuels.iter().copied().find(|row| row.fuel == fuel)
    }
}

fn sun_terms() -> Result<SunTerms, TableError> {
    let mut terms = SunTerms::default();
    for row in table!("solar-terms.csv")?.rows() {
        let series = match row.text("series")? {
            "L" => &mut terms.longitude,
            "B" => &mut terms.latitude,
            "R" => &mut terms.radius,
            other => return Err(row.error("series", "L, B or R", other)),
        };
        let power = row.text("power")?;
        let power = power.parse().map_err(|_| row.error("power", "a whole number", power))?;
        series.push(PeriodicTerm { power, a: row.number("a")?, b: row.number("b")?, c: row.number("c")? });
    }
    for row in table!("nutation-terms.csv")?.rows() {
        terms.nutation.push(NutationTerm {
            multiples: [
                row.number("elongation")?,
                row.number("sun")?,
                row.number("moon")?,
                row.number("latitude")?,
                row.number("node")?,
            ],
            longitude: [row.number("a")?, row.number("b")?],
            obliquity: [row.number("c")?, row.number("d")?],
        });
    }
    Ok(terms)
}

fn sky_brightness(table: &Table) -> Result<Vec<SkyBrightness>, TableError> {
    let rows: Result<Vec<_>, TableError> = table
        .rows()
        .map(|row| {
            Ok(SkyBrightness {
                clearness: row.number("clearness")?,
                circumsolar: [row.number("f11")?, row.number("f12")?, row.number("f13")?],
                horizon: [row.number("f21")?, row.number("f22")?, row.number("f23")?],
            })
        })
        .collect();
    let rows = rows?;
    if rows.is_sorted_by(|a, b| a.clearness < b.clearness) {
        Ok(rows)
    } else {
        Err(table.error("bounds in rising order", "others"))
    }
}

fn fuels(table: &Table) -> Result<Vec<FuelUse>, TableError> {
    table
        .rows()
        .map(|row| {
            let key = row.text("fuel")?;
            let fuel = Fuel::ALL.iter().copied().find(|fuel| fuel.key() == key);
            origin(row)?;
            Ok(FuelUse {
                fuel: fuel.ok_or_else(|| row.error("fuel", "a fuel", key))?,
                standing: row.number("standing")?,
                running: row.number("running")?,
                life: Hours::new(row.number("life")?),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tables_are_read() {
        let tables = Tables::load().unwrap_or_else(|fault| panic!("{fault}"));
        // Reda & Andreas count 64 + 34 + 20 + 7 + 3 + 1 terms of L, 5 + 2 of B, 40 + 10 + 6 + 2 + 1 of R, 63 of
        // nutation.
        assert_eq!(tables.sun.longitude.len(), 129);
        assert_eq!(tables.sun.latitude.len(), 7);
        assert_eq!(tables.sun.radius.len(), 59);
        assert_eq!(tables.sun.nutation.len(), 63);
        assert_eq!(tables.brightness.len(), 8);
        assert!(tables.fuel(Fuel::Propane).is_some_and(|it| (it.standing - 0.24).abs() < 1e-12));
        assert_eq!(tables.fuel(Fuel::NaturalGas), None);
        assert_eq!(tables.defaults.wind, MetersPerSecond::new(1.5));
    }
}
