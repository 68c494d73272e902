//! Opening a candidate: its whole circuit, with every device, conductor, bond and enclosure, tidied on the sheet, and
//! without a danger or a correction under the project's rule set.
//!
//! First everything is drawn, with devices and sizes still open; then the studies say what each device must carry,
//! stand and break, and what each conductor must carry; what the rules still object to is mended by their own remedies.
//! What cannot be built from the stock is an answer too: [`Why`].

mod alternating;
mod array;
mod bus;
mod cases;
mod combine;
mod conductors;
mod devices;
mod draft;
mod finish;
mod ground;
mod pick;
mod places;
mod raceways;
mod route;
mod slot;
mod why;

pub use why::Why;

use crate::combination::Combination;
use crate::terms::Terms;
use devices::Outcome;
use draft::Draft;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::project::{Project, StockItem};
use places::Part;

/// Rounds in which devices and conductors settle: each depends on the other through the faults.
const ROUNDS: usize = 6;

/// The whole circuit of a combination, from the stock. The same combination gives the same project, to the byte.
pub fn circuit(terms: &Terms<'_>, it: &Combination, stock: &[StockItem]) -> Result<Project, Why> {
    let plain = attempt(terms, it, stock, Part::Absent)?;
    if finish::wants_arresters(&plain) {
        // Where the sheet wants arresters and the stock has none for the voltage, it is drawn without.
        if let Ok(guarded) = attempt(terms, it, stock, Part::There) {
            return Ok(guarded.project);
        }
    }
    Ok(plain.project)
}

/// The drawn circuit with what the rules say of it.
struct Drawn {
    project: Project,
    advice: Vec<&'static str>,
}

fn attempt(terms: &Terms<'_>, it: &Combination, stock: &[StockItem], arresters: Part) -> Result<Drawn, Why> {
    let mut draft = Draft::new(terms, it, stock)?;
    draft.draw(arresters)?;
    for _ in 0..ROUNDS {
        let outcome = draft.choose_devices()?;
        draft.size_conductors()?;
        draft.ground_and_house()?;
        if outcome == Outcome::Settled {
            break;
        }
    }
    draft.finish()
}

impl Draft<'_> {
    /// Draws everything, with devices and sizes still open.
    fn draw(&mut self, arresters: Part) -> Result<(), Why> {
        // Sealed cells vent too when they are overcharged; lithium gives off nothing in service.
        let gasses = self.set.bank.chemistry != Chemistry::LithiumIronPhosphate;
        let part = |there| if there { Part::There } else { Part::Absent };
        let gassing = part(gasses);
        let engine = part(self.set.generator.is_some());
        let service = part(self.terms.has_utility());
        let places = self.places(gassing, engine, service)?;
        let breakers = self.arrays(&places, arresters)?;
        let mut bus = self.bar_of("BUS1", &places)?;
        for breaker in breakers {
            self.land(&mut bus, (breaker, "line"))?;
        }
        self.alternating(&places, &mut bus)?;
        self.dc_loads(&places, &mut bus)?;
        self.bank(&places, gassing, &mut bus)?;
        self.ground(&places, &bus)?;
        self.operating_cases()
    }
}
