//! The AC side: inverters, generator and utility, bypass, the panel with the loads.

use super::bus::Bar;
use super::draft::Draft;
use super::places::Places;
use super::route::{Stand, Way};
use super::slot::{AC_BREAKER, BUS_BREAKER};
use super::why::Why;
use lineside_codes::FactorKey;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::ac_panel::{AcPanel, MultiwireCircuits, PanelBond};
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::common::{AcSystem, Fitted};
use lineside_core::kinds::generator::{FrameBond, Generator};
use lineside_core::kinds::inverter::NeutralBonding;
use lineside_core::kinds::surge_arrester::{ArresterCurrent, SurgeArrester};
use lineside_core::kinds::transfer_switch::{SwitchedNeutral, TransferArrangement, TransferSwitch};
use lineside_core::kinds::utility::Utility;
use lineside_core::project::{LoadCurrent, LoadItem, StockItem, loads_at_once};
use lineside_core::units::{Amps, Percent, Watts};

/// Where a circuit goes on: a block and the name of its terminal.
type Open = (BlockId, String);

/// The loads of the brief, as a panel knows them.
struct PanelLoads {
    connected: Watts,
    continuous: Watts,
    largest: Watts,
    start: Watts,
    power_factor: Option<Percent>,
}

impl PanelLoads {
    fn of(loads: &[LoadItem]) -> Self {
        let mut sums = Self {
            connected: Watts::ZERO,
            continuous: Watts::ZERO,
            largest: Watts::ZERO,
            start: Watts::ZERO,
            power_factor: None,
        };
        let mut apparent = 0.0;
        for load in loads_at_once(loads, LoadCurrent::Ac) {
            let power = load.power * f64::from(load.quantity);
            sums.connected += power;
            if load.hours.value() >= 3.0 {
                sums.continuous += power;
            }
            sums.largest = sums.largest.max(load.power);
            sums.start = sums.start.max(load.surge.unwrap_or(load.power));
            apparent += power.value() / load.power_factor.map_or(1.0, Percent::share).clamp(0.1, 1.0);
        }
        if apparent > 0.0 {
            let share = sums.connected.value() / apparent * 100.0;
            sums.power_factor = Some(Percent::new(share.floor().clamp(30.0, 100.0)));
        }
        sums
    }
}

impl Draft<'_> {
    /// The rated output current of one inverter.
    fn output(&self) -> Amps {
        self.set.inverter.output_current()
    }

    /// Draws the AC side.
    pub(super) fn alternating(&mut self, places: &Places, bus: &mut Bar) -> Result<(), Why> {
        let mut outputs = Vec::new();
        let mut inverters = Vec::new();
        for number in 1..=self.it.inverters {
            let several = self.it.inverters > 1;
            let tag = |letters: &str| if several { format!("{letters}{number}") } else { letters.to_owned() };
            let breaker = self.slot(&tag("QI"), places.panel, BUS_BREAKER, None)?;
            self.land(bus, (breaker, "line"))?;
            let (name, equipment) = (self.names.inverter.clone(), self.set.inverter.clone());
            let inverter = self.put(&format!("INV{number}"), places.panel, Some(&name), equipment)?;
            let conductor = self.conductor(Way::Inside);
            self.join((breaker, "load"), (inverter, "dc"), Some(conductor))?;
            let most = self.set.inverter.greatest_output_device;
            let output = self.slot(&tag("QO"), places.panel, AC_BREAKER, most)?;
            let conductor = self.conductor(Way::Inside);
            self.join((inverter, "out"), (output, "line"), Some(conductor))?;
            outputs.push((output, "load".to_owned()));
            inverters.push(inverter);
        }
        let output = self.gathered(places, "BUS", "QF", &outputs)?;
        let load = self.supplied(places, &inverters, output)?;
        self.panel(places, &load)
    }

    /// Several outputs on one bar, with a breaker behind it.
    fn gathered(
        &mut self,
        places: &Places,
        bar_tag: &str,
        breaker_tag: &str,
        outputs: &[Open],
    ) -> Result<Open, Why> {
        if let [only] = outputs {
            return Ok(only.clone());
        }
        let bar = self.ac_bar(places, bar_tag)?;
        for (index, (block, name)) in outputs.iter().enumerate() {
            let conductor = self.conductor(Way::Inside);
            self.join(
                (*block, name.as_str()),
                (bar, TAPS.get(index).copied().unwrap_or("tap1")),
                Some(conductor),
            )?;
        }
        let breaker = self.slot(breaker_tag, places.panel, AC_BREAKER, None)?;
        let tap = TAPS.get(outputs.len()).copied().unwrap_or("tap1");
        self.join((bar, tap), (breaker, "line"), None)?;
        Ok((breaker, "load".to_owned()))
    }

    fn ac_bar(&mut self, places: &Places, letters: &str) -> Result<BlockId, Why> {
        let tag = self.project.next_tag(letters);
        self.put_stock(&tag, places.panel, "AC bus bar", |it| {
            let it = it.as_kind::<BusBar>()?;
            Some(-it.rating.value() - f64::from(it.taps))
        })
    }

    /// Brings generator and utility to the inverters, round a bypass; gives where the loads hang.
    fn supplied(&mut self, places: &Places, inverters: &[BlockId], output: Open) -> Result<Open, Why> {
        let engine = self.engine(places)?;
        let utility = self.utility(places)?;
        let two_inlets = self.set.inverter.ac_inputs >= 2;
        let (source, second) = match (utility, engine) {
            (None, None) => return Ok(output),
            (Some(utility), Some(engine)) if two_inlets => (utility, Some(engine)),
            (Some(utility), Some(engine)) => (self.transferred(places, &utility, &engine)?, None),
            (Some(only), None) | (None, Some(only)) => (only, None),
        };
        let bypass = self.bypass(places)?;
        self.join_open(&source, (bypass, "source"))?;
        self.inlets(places, inverters, "in1", &(bypass, "to_inverter".to_owned()))?;
        if let Some(second) = second {
            self.inlets(places, inverters, "in2", &second)?;
        }
        self.join_open(&output, (bypass, "from_inverter"))?;
        Ok((bypass, "load".to_owned()))
    }

    fn join_open(&mut self, from: &Open, to: (BlockId, &str)) -> Result<(), Why> {
        let conductor = self.conductor(Way::Inside);
        self.join((from.0, from.1.as_str()), to, Some(conductor)).map(drop)
    }

    /// Brings a supply to one inlet of every inverter; with several each has a breaker.
    fn inlets(
        &mut self,
        places: &Places,
        inverters: &[BlockId],
        inlet: &str,
        from: &Open,
    ) -> Result<(), Why> {
        let inlet = if self.set.inverter.ac_inputs == 1 { "in1" } else { inlet };
        if let [only] = inverters {
            return self.join_open(from, (*only, inlet));
        }
        let bar = self.ac_bar(places, "BUS")?;
        self.join_open(from, (bar, "tap1"))?;
        let most = self.relay();
        for (index, inverter) in inverters.iter().enumerate() {
            let tag = self.project.next_tag("QX");
            let breaker = self.slot(&tag, places.panel, AC_BREAKER, most)?;
            let tap = TAPS.get(index + 1).copied().unwrap_or("tap1");
            self.join((bar, tap), (breaker, "line"), None)?;
            self.join_open(&(breaker, "load".to_owned()), (*inverter, inlet))?;
        }
        Ok(())
    }

    /// The largest device that an inlet allows.
    fn relay(&self) -> Option<Amps> {
        let it = &self.set.inverter;
        [it.greatest_input_device, it.transfer_relay].into_iter().flatten().min_by(Amps::total_cmp)
    }

    /// What stands ahead of the inlets: one device for one inverter, a larger one for several; never more than the
    /// panels of the stock carry.
    fn inlet_limit(&self) -> Option<Amps> {
        let panel = self.terms.rails.panel(self.set.inverter.ac_system);
        self.relay().map(|most| (most * f64::from(self.it.inverters)).min(panel))
    }

    /// The most that goes through bypass and panel: what the inverters or a generator give, with the code's factor.
    fn through(&self) -> Amps {
        let inverters = self.output() * f64::from(self.it.inverters);
        let engine = self.set.generator.as_ref().map(Generator::rated_current).unwrap_or_default();
        let most = engine.min(self.inlet_limit().unwrap_or(engine)).max(inverters);
        let sized = most * self.terms.on.number(FactorKey::Continuous);
        sized.min(self.terms.rails.panel(self.set.inverter.ac_system))
    }

    /// The generator with its breaker in the power panel.
    fn engine(&mut self, places: &Places) -> Result<Option<Open>, Why> {
        let (Some(place), Some(name)) = (places.engine, self.names.generator.clone()) else {
            return Ok(None);
        };
        let Some(generator) = self.set.generator.clone() else { return Ok(None) };
        // The panel bonds the neutral for all sources; the strap in the set is taken out.
        let set = Generator {
            frame_bond: FrameBond::Floating,
            load_while_charging: generator.load_while_charging.or(Some(Watts::ZERO)),
            emergency_stop: Some(Fitted::Yes),
            start_lockout: Some(Fitted::Yes),
            ..generator
        };
        let block = self.put("G1", place, Some(&name), set)?;
        let breaker = self.slot("QG", places.panel, AC_BREAKER, self.inlet_limit())?;
        let conductor = self.conductor(Way::Engine);
        self.join((block, "out"), (breaker, "line"), Some(conductor))?;
        Ok(Some((breaker, "load".to_owned())))
    }

    /// The service with its panel and the breaker of the feeder.
    fn utility(&mut self, places: &Places) -> Result<Option<Open>, Why> {
        let Some(place) = places.service else { return Ok(None) };
        let system = self.set.inverter.ac_system;
        let utility = self.put_stock("U1", place, "utility service", |it| {
            let it = it.as_kind::<Utility>()?;
            (it.ac_system == system).then(|| -it.service_rating.value())
        })?;
        let rating = self
            .project
            .circuit
            .block(utility)
            .and_then(|block| block.equipment.as_kind::<Utility>())
            .map(|it| (it.service_rating, it.fault_current.unwrap_or_default()))
            .unwrap_or_default();
        let rank = |it: &Equipment| {
            let it = it.as_kind::<AcPanel>()?;
            let main = it.main_rating?;
            let fits = it.ac_system == system
                && main <= rating.0
                && it.main_interrupting.is_some_and(|breaks| breaks >= rating.1)
                && it.short_circuit_rating.is_some_and(|bears| bears >= rating.1);
            fits.then(|| (rating.0 - main).value() * 10.0 + it.bus_rating.value())
        };
        let item = super::draft::best(self.stock, rank).ok_or(Why::NoSuch("service panel"))?;
        let panel = item.equipment.as_kind::<AcPanel>().cloned().ok_or(Why::NoSuch("service panel"))?;
        let name = item.name.clone();
        let frequency = Some(self.set.inverter.frequency);
        let panel = AcPanel {
            bond: PanelBond::Bonded,
            multiwire: MultiwireCircuits::None,
            connected_load: Some(Watts::ZERO),
            continuous_load: Some(Watts::ZERO),
            frequency,
            residual_current: Some(Fitted::Yes),
            ..panel
        };
        let panel = self.put("P2", place, Some(&name), panel)?;
        let conductor = self.conductor(Way::ServiceEntry);
        self.join((utility, "out"), (panel, "feed"), Some(conductor))?;
        let breaker = self.slot("QU", place, AC_BREAKER, self.inlet_limit())?;
        self.join((panel, "tap1"), (breaker, "line"), None)?;
        let arrester = best_arrester(self.stock, system);
        if let Some((name, equipment)) = arrester {
            let arrester = self.put("SAU", place, Some(&name), equipment)?;
            self.join((panel, "tap2"), (arrester, "across"), None)?;
        }
        // The run to the power room ends at a breaker there, so that it can be shut off at both ends.
        let inner = self.slot("QS", places.panel, AC_BREAKER, self.inlet_limit())?;
        let conductor = self.conductor(Way::Service);
        self.join((breaker, "load"), (inner, "line"), Some(conductor))?;
        Ok(Some((inner, "load".to_owned())))
    }

    fn switch_of(
        &mut self,
        places: &Places,
        tag: &str,
        arrangement: TransferArrangement,
    ) -> Result<BlockId, Why> {
        let system = self.set.inverter.ac_system;
        let current = self.through();
        let rank = move |it: &Equipment| {
            let it = it.as_kind::<TransferSwitch>()?;
            let fits = it.arrangement == arrangement
                && it.rating >= current
                && it.ac_voltage.is_some_and(|stands| stands >= system.line_voltage());
            let neutral = if it.switched_neutral == SwitchedNeutral::Yes { 5.0 } else { 0.0 };
            let far = it.ac_voltage.unwrap_or_default() - system.line_voltage();
            fits.then(|| it.rating.value() + neutral + far.value())
        };
        self.put_stock(tag, places.panel, "transfer or bypass switch", rank)
    }

    fn bypass(&mut self, places: &Places) -> Result<BlockId, Why> {
        self.switch_of(places, "BP1", TransferArrangement::Bypass)
    }

    /// Utility and generator on the two positions of a transfer switch.
    fn transferred(&mut self, places: &Places, utility: &Open, engine: &Open) -> Result<Open, Why> {
        let switch = self.switch_of(places, "TS1", TransferArrangement::Transfer)?;
        self.join_open(utility, (switch, "normal"))?;
        self.join_open(engine, (switch, "standby"))?;
        Ok((switch, "load".to_owned()))
    }

    /// The panel with the loads, in the building that they are in.
    fn panel(&mut self, places: &Places, from: &Open) -> Result<(), Why> {
        let system = self.set.inverter.ac_system;
        let current = self.through();
        let rank = move |it: &Equipment| {
            let it = it.as_kind::<AcPanel>()?;
            let main = if it.main_rating.is_some() { 30.0 } else { 0.0 };
            let fits = it.ac_system == system
                && it.bus_rating >= current
                && it.main_rating.is_none_or(|main| main >= current);
            fits.then(|| it.bus_rating.value() + main)
        };
        let item = super::draft::best(self.stock, rank).ok_or(Why::NoSuch("AC panel for the inverters"))?;
        let panel = item.equipment.as_kind::<AcPanel>().cloned().ok_or(Why::NoSuch("AC panel"))?;
        let name = item.name.clone();
        let loads = PanelLoads::of(&self.project.brief.loads);
        let bonded_elsewhere =
            places.service.is_some() || self.set.inverter.neutral_bonding != NeutralBonding::Never;
        let panel = AcPanel {
            bond: if bonded_elsewhere { PanelBond::Separate } else { PanelBond::Bonded },
            multiwire: MultiwireCircuits::None,
            connected_load: Some(loads.connected),
            continuous_load: Some(loads.continuous),
            largest_load: Some(loads.largest),
            largest_start: Some(loads.start),
            power_factor: loads.power_factor,
            frequency: Some(self.set.inverter.frequency),
            residual_current: Some(Fitted::Yes),
            ..panel
        };
        if self.terms.stand() == Stand::OnBuilding {
            let block = self.put("P1", places.house, Some(&name), panel)?;
            return self.join_way(from, (block, "feed"), Way::House);
        }
        let main = self.slot("QM", places.house, AC_BREAKER, None)?;
        self.join_way(from, (main, "line"), Way::House)?;
        let block = self.put("P1", places.house, Some(&name), panel)?;
        self.join_way(&(main, "load".to_owned()), (block, "feed"), Way::Inside)
    }

    fn join_way(&mut self, from: &Open, to: (BlockId, &str), way: Way) -> Result<(), Why> {
        let conductor = self.conductor(way);
        self.join((from.0, from.1.as_str()), to, Some(conductor)).map(drop)
    }
}

/// An arrester for a service.
fn best_arrester(stock: &[StockItem], system: AcSystem) -> Option<(String, Equipment)> {
    let rank = |it: &Equipment| {
        let it = it.as_kind::<SurgeArrester>()?;
        let fits = it.current == ArresterCurrent::Ac && it.continuous_voltage >= system.line_voltage();
        fits.then(|| it.continuous_voltage.value())
    };
    super::draft::best(stock, rank).map(|item| (item.name.clone(), item.equipment.clone()))
}

/// Names of the taps of a bar.
const TAPS: [&str; 8] = ["tap1", "tap2", "tap3", "tap4", "tap5", "tap6", "tap7", "tap8"];
