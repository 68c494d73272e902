//! Operating cases of a proposal: noon, evening, the coldest bright morning, and the dark week with a generator.

use super::draft::Draft;
use super::why::Why;
use lineside_core::edit::Edit;
use lineside_core::kinds::Kind;
use lineside_core::project::OperatingCase;
use lineside_core::units::{Celsius, Percent, Watts, WattsPerSquareMeter};

impl Draft<'_> {
    /// Puts the cases on the sheet.
    pub(super) fn operating_cases(&mut self) -> Result<(), Why> {
        let site = &self.project.brief.site;
        let warm = self.terms.climate.temperature.iter().map(|(_, mean)| mean).max_by(Celsius::total_cmp);
        let warm = warm.unwrap_or(Celsius::STANDARD_TEST);
        let cold = site.record_low.unwrap_or(warm);
        let largest = self.terms.need.largest_hour;
        let has = |tag: &str| self.project.circuit.block_by_tag(tag).is_some();
        let loads = |share: f64| -> Vec<(String, Watts)> {
            let watts = Watts::new((largest.value() * share).round());
            vec![("P1".to_owned(), watts)]
        };
        let case = |name: &str, sun: f64, ambient: Celsius, charge: f64, share: f64| OperatingCase {
            name: name.to_owned(),
            sun: WattsPerSquareMeter::new(sun),
            ambient,
            state_of_charge: Percent::new(charge),
            loads: loads(share),
            supplies: Vec::new(),
            switches: Vec::new(),
            remark: String::new(),
        };
        let mut cases = vec![
            case("Noon, the bank fills", 950.0, warm, 55.0, 0.4),
            case("The bank is full", 900.0, warm, 100.0, 0.4),
            case("Evening on the bank", 0.0, warm, 75.0, 1.0),
            case("Coldest bright morning", 900.0, cold, 60.0, 0.3),
        ];
        if has("G1") {
            let dark = case("Dark week, the generator charges", 0.0, cold, 25.0, 0.5);
            cases.push(OperatingCase { supplies: vec!["G1".to_owned()], ..dark });
        }
        if self.project.circuit.blocks().any(|block| block.kind() == Kind::Utility) {
            let dull = case("Dull day on the utility", 100.0, warm, 40.0, 0.5);
            cases.push(OperatingCase { supplies: vec!["U1".to_owned()], ..dull });
        }
        self.edit(Edit::SetCases(cases))
    }
}
