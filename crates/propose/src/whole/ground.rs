//! Grounding: the jumper at the bus and the electrode.

use super::bus::Bar;
use super::draft::Draft;
use super::places::Places;
use super::route::Way;
use super::why::Why;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::grounding::{BondedSystem, BondingJumper, Electrode, ElectrodeType};
use lineside_core::units::UnitSystem;

impl Draft<'_> {
    /// Bonds the negative of the bus once, and joins it to rods.
    pub(super) fn ground(&mut self, places: &Places, bus: &Bar) -> Result<(), Why> {
        let system = if self.project.rule_set.is_nec() { UnitSystem::Us } else { UnitSystem::Si };
        // Rods carry no more than 6 AWG could bring them; a heavier jumper is no better.
        let jumper = self.put_stock("E2", places.panel, "DC bonding jumper", |it: &Equipment| {
            let it = it.as_kind::<BondingJumper>()?;
            let size = it.size.filter(|size| size.system() == system)?;
            (it.system == BondedSystem::DcNegative).then(|| size.area().value())
        })?;
        let electrode = self.put_stock("E1", places.panel, "earth electrode", |it: &Equipment| {
            let it = it.as_kind::<Electrode>()?;
            (it.kind == ElectrodeType::Rods).then_some(0.0)
        })?;
        let (bond, earth) = (self.conductor(Way::Bond), self.conductor(Way::Electrode));
        self.join((bus.block, "bond"), (jumper, "system"), Some(bond))?;
        self.join((jumper, "earth"), (electrode, "earth"), Some(earth))?;
        Ok(())
    }
}
