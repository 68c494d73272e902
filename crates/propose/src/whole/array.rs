//! The array side of each controller: strings, receivers of a rapid shutdown, combiners, disconnects, ground-fault
//! device, arresters.

use super::combine::Combined;
use super::draft::{At, Draft};
use super::places::{Part, Places};
use super::route::{Stand, Way};
use super::slot::{ARRAY_DISCONNECT, ARRAY_SWITCH, BUS_BREAKER};
use super::why::Why;
use lineside_codes::FactorKey;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::ground_fault_device::{GroundFaultDevice, GroundFaultType};
use lineside_core::kinds::junction::Junction;
use lineside_core::kinds::rapid_shutdown::{ReceiverReach, ShutdownInitiator, ShutdownReceiver};
use lineside_core::kinds::strings::Strings;
use lineside_core::kinds::surge_arrester::{ArresterCurrent, SurgeArrester};
use lineside_core::units::{Amps, Volts};

impl Draft<'_> {
    /// Cold open-circuit voltage of the strings.
    pub(super) fn cold(&self) -> Volts {
        let module = self.terms.volts.get(self.it.module).map(|volts| volts.cold).unwrap_or_default();
        module * f64::from(self.it.modules)
    }

    /// Greatest current of so many strings.
    pub(super) fn string_current(&self, strings: u32) -> Amps {
        let module = self.terms.shelf.modules.get(self.it.module);
        let each = module.map(|part| part.item.greatest_short_circuit_current()).unwrap_or_default();
        each * (self.terms.on.number(FactorKey::PvCurrent) * f64::from(strings))
    }

    /// Whether the open leads of the array have to lie in metal, because nothing puts out an arc in them.
    pub(super) fn leads_in_metal(&self) -> bool {
        let from: Volts = self.terms.on.quantity(FactorKey::ArcFaultVoltage);
        self.terms.on.rule_set.is_nec()
            && self.set.controller.arc_fault_protection != Some(Fitted::Yes)
            && self.cold() >= from
    }

    /// Whether a device of its own finds ground faults of the array.
    fn ground_fault_device(&self) -> Part {
        if self.set.controller.ground_fault_protection == Some(Fitted::Yes) {
            Part::Absent
        } else {
            Part::There
        }
    }

    /// Whether firefighters need a rapid shutdown: under the NEC on buildings.
    pub(super) fn shutdown(&self) -> Part {
        let on_building = self.terms.stand() == Stand::OnBuilding;
        if on_building && self.terms.on.rule_set.is_nec() { Part::There } else { Part::Absent }
    }

    /// Draws every controller with its array; gives the load sides of their output breakers.
    pub(super) fn arrays(&mut self, places: &Places, arresters: Part) -> Result<Vec<BlockId>, Why> {
        let mut breakers = Vec::new();
        for number in 1..=self.it.controllers {
            let heads = self.heads(places, number)?;
            let input = self.input(places, number, &heads)?;
            let (name, equipment) = (self.names.controller.clone(), self.set.controller.clone());
            let controller = self.put(&format!("C{number}"), places.panel, Some(&name), equipment)?;
            let conductor = self.conductor(Way::InsideArray);
            self.join(input, (controller, "pv"), Some(conductor))?;
            if arresters == Part::There {
                self.arrester(places, number, (controller, "pv"), places.panel)?;
                if let Some(head) = heads.first() {
                    self.arrester(places, number, (head.at.0, head.at.1.as_str()), places.array)?;
                }
            }
            let breaker = self.slot(&format!("Q{}", number * 2), places.panel, BUS_BREAKER, None)?;
            let conductor = self.conductor(Way::Inside);
            self.join((controller, "battery"), (breaker, "load"), Some(conductor))?;
            breakers.push(breaker);
        }
        if let (Some(wall), Part::There) = (places.wall, self.shutdown()) {
            self.put_stock("RS1", wall, "rapid-shutdown initiator", |it| {
                it.as_kind::<ShutdownInitiator>().map(|it| it.time.value())
            })?;
        }
        Ok(breakers)
    }

    /// The strings of a controller, with their receivers, gathered.
    fn heads(&mut self, places: &Places, number: u32) -> Result<Vec<Combined>, Why> {
        let mut ends: Vec<(BlockId, &'static str)> = Vec::new();
        let module = self.terms.shelf.modules.get(self.it.module).ok_or(Why::NotOnShelf)?.item.clone();
        for string in 1..=self.it.strings {
            let tag = (number - 1) * self.it.strings + string;
            let strings =
                Strings { modules_in_series: self.it.modules, strings_in_parallel: 1, ..module.clone() };
            let name = self.names.module.clone();
            let strings = self.put(&format!("S{tag}"), places.array, Some(&name), strings)?;
            if self.shutdown() == Part::There {
                let (current, voltage) = (self.string_current(1), self.cold());
                let rank = move |it: &Equipment| {
                    let it = it.as_kind::<ShutdownReceiver>()?;
                    let stands = it.dc_voltage.is_some_and(|stands| stands >= voltage);
                    let fits = it.reach == ReceiverReach::EachModule && it.rating >= current && stands;
                    fits.then(|| it.rating.value())
                };
                let receiver =
                    self.put_stock(&format!("K{tag}"), places.array, "rapid-shutdown receiver", rank)?;
                let conductor = self.conductor(Way::StringLead);
                self.join((strings, "out"), (receiver, "line"), Some(conductor))?;
                ends.push((receiver, "load"));
            } else {
                ends.push((strings, "out"));
            }
        }
        self.combined(places, number, &ends)
    }

    /// From the heads of an array to the input of its controller: disconnect, splice, ground-fault device.
    fn input(
        &mut self,
        places: &Places,
        number: u32,
        heads: &[Combined],
    ) -> Result<(BlockId, &'static str), Why> {
        let odd = number * 2 - 1;
        let mut ends = Vec::new();
        let bare = heads.len() > 1 && self.largest_combiner() < 2;
        let job = if bare { ARRAY_SWITCH } else { ARRAY_DISCONNECT };
        for (index, head) in heads.iter().enumerate() {
            let tag = if index == 0 { format!("Q{odd}") } else { format!("Q{odd}{}", letter(index)) };
            let disconnect = self.slot(&tag, places.panel, job, None)?;
            let conductor = self.conductor(Way::Array);
            self.join((head.at.0, head.at.1.as_str()), (disconnect, "line"), Some(conductor))?;
            ends.push((disconnect, "load"));
        }
        let mut input =
            if let [only] = ends.as_slice() { *only } else { self.spliced(places, number, &ends)? };
        if self.ground_fault_device() == Part::There {
            let (current, voltage) = (self.string_current(self.it.strings), self.cold());
            let factor = self.terms.on.number(FactorKey::Continuous);
            let rank = move |it: &Equipment| {
                let it = it.as_kind::<GroundFaultDevice>()?;
                let fits = it.kind == GroundFaultType::DcInterrupter
                    && it.breaker_rating.unwrap_or(it.rating) >= current * factor
                    && it.dc_voltage.is_some_and(|stands| stands >= voltage);
                fits.then(|| it.rating.value() + it.dc_voltage.unwrap_or_default().value() * 1e-3)
            };
            let device = self.put_stock(&format!("GF{number}"), places.panel, "ground-fault device", rank)?;
            let conductor = self.conductor(Way::InsideArray);
            self.join(input, (device, "line"), Some(conductor))?;
            input = (device, "load");
        }
        Ok(input)
    }

    /// Several disconnects on one lead.
    fn spliced(
        &mut self,
        places: &Places,
        number: u32,
        ends: &[(BlockId, &'static str)],
    ) -> Result<(BlockId, &'static str), Why> {
        let current = self.string_current(self.it.strings);
        let splice = self.splice(&format!("X{number}"), places.panel, ends.len() + 1, current)?;
        for (end, name) in ends.iter().zip(ENDS.iter().skip(1)) {
            let conductor = self.conductor(Way::InsideArray);
            self.join(*end, (splice, name), Some(conductor))?;
        }
        Ok((splice, "end1"))
    }

    /// A splice box with so many ends.
    pub(super) fn splice(
        &mut self,
        tag: &str,
        place: lineside_core::circuit::PlaceId,
        ends: usize,
        current: Amps,
    ) -> Result<BlockId, Why> {
        let voltage = self.cold();
        self.put_stock(tag, place, "splice box", move |it| {
            let it = it.as_kind::<Junction>()?;
            let fits = it.ends as usize >= ends
                && it.rating >= current
                && it.voltage.is_some_and(|stands| stands >= voltage);
            fits.then(|| f64::from(it.ends) * 1e3 + it.rating.value())
        })
    }

    /// An arrester across a circuit of the array.
    fn arrester(
        &mut self,
        places: &Places,
        number: u32,
        across: At<'_>,
        place: lineside_core::circuit::PlaceId,
    ) -> Result<(), Why> {
        let voltage = self.cold();
        let end = if place == places.array { 2 * number - 1 } else { 2 * number };
        let rank = move |it: &Equipment| {
            let it = it.as_kind::<SurgeArrester>()?;
            let fits = it.current == ArresterCurrent::Dc && it.continuous_voltage >= voltage;
            fits.then(|| it.continuous_voltage.value())
        };
        let arrester = self.put_stock(&format!("SA{end}"), place, "DC surge arrester", rank)?;
        self.join(across, (arrester, "across"), None)?;
        Ok(())
    }
}

/// Names of the ends of a splice box.
pub(super) const ENDS: [&str; 8] = ["end1", "end2", "end3", "end4", "end5", "end6", "end7", "end8"];

/// A, B, C … for the second, third, fourth of its kind.
fn letter(index: usize) -> char {
    u8::try_from(index).ok().and_then(|index| 64_u8.checked_add(index)).map_or('Z', char::from)
}
