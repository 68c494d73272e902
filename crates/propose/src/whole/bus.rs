//! The battery bus: bars, the strings of the bank with their devices, DC loads.

use super::draft::{At, Draft};
use super::places::{Part, Places};
use super::route::Way;
use super::slot::{BATTERY_FUSE, BUS_BREAKER};
use super::why::Why;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::dc_load::DcLoad;
use lineside_core::project::{LoadCurrent, loads_at_once};
use lineside_core::units::{Amps, Volts, Watts};

/// A bar that is being filled.
pub(super) struct Bar {
    /// Its block.
    pub block: BlockId,
    taken: u32,
}

impl Draft<'_> {
    /// A bar, for the time being the largest of the stock: it is chosen anew when the currents are known.
    pub(super) fn bar_of(&mut self, tag: &str, places: &Places) -> Result<Bar, Why> {
        let block = self.put_stock(tag, places.panel, "bus bar", |it| {
            let it = it.as_kind::<BusBar>()?;
            Some(-it.rating.value() - f64::from(it.taps))
        })?;
        Ok(Bar { block, taken: 0 })
    }

    /// Lands on the next tap of a bar: directly, as a breaker sits on it, or by a conductor.
    pub(super) fn land(&mut self, bar: &mut Bar, on: At<'_>) -> Result<(), Why> {
        bar.taken += 1;
        let tap = format!("tap{}", bar.taken);
        self.join((bar.block, tap.as_str()), on, None)?;
        Ok(())
    }

    /// Draws the strings of the bank and brings them to the bus.
    pub(super) fn bank(&mut self, places: &Places, gassing: Part, bus: &mut Bar) -> Result<(), Why> {
        for number in 1..=self.it.bank_strings {
            self.bank_string(places, gassing, number, bus)?;
        }
        Ok(())
    }

    /// One string with its fused switch: in the battery room when it gasses, then with a breaker at the bus too.
    fn bank_string(&mut self, places: &Places, gassing: Part, number: u32, bar: &mut Bar) -> Result<(), Why> {
        let fuse = self.slot(&format!("F{number}"), places.bank, BATTERY_FUSE, None)?;
        let (name, string) = (self.names.battery.clone(), BatteryBank { ..self.set.bank.clone() });
        let battery = self.put(&format!("B{number}"), places.bank, Some(&name), string)?;
        let lead = if gassing == Part::There { Way::BankLead } else { Way::PackLead };
        let conductor = self.conductor(lead);
        self.join((fuse, "line"), (battery, "out"), Some(conductor))?;
        if gassing == Part::Absent {
            return self.land(bar, (fuse, "load"));
        }
        let tag = if self.it.bank_strings == 1 { "QB".to_owned() } else { format!("QB{number}") };
        let breaker = self.slot(&tag, places.panel, BUS_BREAKER, None)?;
        self.land(bar, (breaker, "line"))?;
        let conductor = self.conductor(Way::Bank);
        self.join((breaker, "load"), (fuse, "load"), Some(conductor))?;
        Ok(())
    }

    /// The DC loads of the brief on a breaker of their own, when it has any.
    pub(super) fn dc_loads(&mut self, places: &Places, bus: &mut Bar) -> Result<(), Why> {
        let (mut all, mut long) = (Watts::ZERO, Watts::ZERO);
        for load in loads_at_once(&self.project.brief.loads, LoadCurrent::Dc) {
            let power = load.power * f64::from(load.quantity);
            all += power;
            if load.hours.value() >= 3.0 {
                long += power;
            }
        }
        if all <= Watts::ZERO {
            return Ok(());
        }
        let cells = f64::from(self.set.bank.cells());
        let lowest = self.set.inverter.low_cut_out_voltage();
        let colder = self.terms.charge_volts(&self.set.bank) - self.set.bank.charge_volts() * cells;
        let highest = self.set.bank.highest_volts() * cells + colder;
        // The brief gives watts: they take most amperes when the bank is nearly empty.
        let tenths = |power: Watts| Amps::new(((power / lowest).value() * 10.0).ceil() / 10.0);
        // A nameplate has no less than a tenth of an ampere.
        let least = Amps::new(0.1);
        let (name, found) = self.dc_load(lowest, highest)?;
        let load =
            DcLoad { current: tenths(all).max(least), continuous_current: Some(tenths(long)), ..found };
        let breaker = self.slot("QL", places.panel, BUS_BREAKER, None)?;
        self.land(bus, (breaker, "line"))?;
        let block = self.put("L1", places.house, Some(&name), load)?;
        let conductor = self.conductor(Way::House);
        self.join((breaker, "load"), (block, "in"), Some(conductor))?;
        Ok(())
    }

    /// A DC load of the stock that bears the whole window of the bus.
    fn dc_load(&self, lowest: Volts, highest: Volts) -> Result<(String, DcLoad), Why> {
        let rank = |equipment: &Equipment| {
            let it = equipment.as_kind::<DcLoad>()?;
            let (low, high) = (it.min_voltage?, it.max_voltage?);
            (low <= lowest && high >= highest).then(|| (high - low).value())
        };
        let item =
            super::draft::best(self.stock, rank).ok_or(Why::NoSuch("DC load for the window of the bank"))?;
        let load = item.equipment.as_kind::<DcLoad>().ok_or(Why::NoSuch("DC load"))?;
        Ok((item.name.clone(), load.clone()))
    }
}
