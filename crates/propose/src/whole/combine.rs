//! Gathering the strings of one controller at the array: combiners, or a splice where no string needs a device.

use super::array::ENDS;
use super::draft::Draft;
use super::places::Places;
use super::route::Way;
use super::slot::ARRAY_DISCONNECT;
use super::why::Why;
use lineside_codes::FactorKey;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::combiner::{Combiner, WayDevice};

/// Where the strings of a lead come together.
#[derive(Clone, Debug)]
pub(super) struct Combined {
    /// Block and terminal from which the lead goes on.
    pub at: (BlockId, String),
}

/// Names of the ways of a combiner.
const WAYS: [&str; 12] =
    ["way1", "way2", "way3", "way4", "way5", "way6", "way7", "way8", "way9", "way10", "way11", "way12"];

impl Draft<'_> {
    /// The strings, each lead of them gathered; one string goes on by itself.
    pub(super) fn combined(
        &mut self,
        places: &Places,
        number: u32,
        ends: &[(BlockId, &'static str)],
    ) -> Result<Vec<Combined>, Why> {
        if let [(block, terminal)] = ends {
            return Ok(vec![Combined { at: (*block, (*terminal).to_owned()) }]);
        }
        let largest = self.largest_combiner();
        if largest < 2 {
            return self.side_by_side(places, number, ends);
        }
        let boxes = ends.len().div_ceil(largest);
        let each = ends.len().div_ceil(boxes);
        let mut heads = Vec::new();
        for (index, group) in ends.chunks(each).enumerate() {
            let tag = (number - 1) as usize * boxes + index + 1;
            heads.push(self.combiner(places, tag, group)?);
        }
        Ok(heads)
    }

    /// Ways of the largest combiner of the stock that suits the strings; nought when none does.
    pub(super) fn largest_combiner(&self) -> usize {
        let suits = self.suits();
        let ways = self.stock.iter().filter_map(|item| {
            let it = item.equipment.as_kind::<Combiner>()?;
            (suits(it) && it.buses <= 1).then_some(it.ways as usize)
        });
        ways.max().unwrap_or(0)
    }

    fn suits(&self) -> impl Fn(&Combiner) -> bool + use<> {
        let module = self.terms.shelf.modules.get(self.it.module).map(|part| &part.item);
        let suits = module.map(|module| self.terms.suits_strings(module, self.cold()));
        move |it| suits.as_ref().is_some_and(|suits| suits(it))
    }

    fn combiner(
        &mut self,
        places: &Places,
        tag: usize,
        ends: &[(BlockId, &'static str)],
    ) -> Result<Combined, Why> {
        let count = u32::try_from(ends.len()).unwrap_or(u32::MAX);
        let current = self.string_current(count);
        let factor = self.terms.on.number(FactorKey::Continuous);
        let suits = self.suits();
        // Breakers are disconnects themselves; beside fuses a switch has to stand.
        let rank = move |it: &Equipment| {
            let it = it.as_kind::<Combiner>()?;
            let fits = suits(it) && it.buses <= 1 && it.ways >= count && it.bus_rating >= current * factor;
            let fuses = if it.device == WayDevice::Breaker { 0.0 } else { 1e3 };
            fits.then(|| fuses + f64::from(it.ways) * 10.0 + it.dc_voltage.unwrap_or_default().value() * 1e-2)
        };
        let combiner = self.put_stock(&format!("CB{tag}"), places.array, "combiner", rank)?;
        for (end, way) in ends.iter().zip(WAYS) {
            let conductor = self.conductor(Way::StringLead);
            self.join(*end, (combiner, way), Some(conductor))?;
        }
        let block = self.project.circuit.block(combiner);
        let fused = block
            .and_then(|block| block.equipment.as_kind::<Combiner>())
            .is_some_and(|it| it.device == WayDevice::FuseHolder);
        if !fused {
            return Ok(Combined { at: (combiner, "out".to_owned()) });
        }
        let switch = self.slot(&format!("SW{tag}"), places.array, ARRAY_DISCONNECT, None)?;
        let conductor = self.conductor(Way::StringLead);
        self.join((combiner, "out"), (switch, "line"), Some(conductor))?;
        Ok(Combined { at: (switch, "load".to_owned()) })
    }

    /// Strings without devices of their own: two on one lead, which need none, and a switch behind.
    fn side_by_side(
        &mut self,
        places: &Places,
        number: u32,
        ends: &[(BlockId, &'static str)],
    ) -> Result<Vec<Combined>, Why> {
        let mut heads = Vec::new();
        let pairs = ends.len().div_ceil(2);
        for (index, pair) in ends.chunks(2).enumerate() {
            let tag = (number - 1) as usize * pairs + index + 1;
            let [_, _] = pair else {
                heads.extend(pair.iter().map(|(block, name)| Combined { at: (*block, (*name).to_owned()) }));
                continue;
            };
            let current = self.string_current(2);
            let splice = self.splice(&format!("J{tag}"), places.array, 3, current)?;
            for (end, name) in pair.iter().zip(ENDS.iter().skip(1)) {
                let conductor = self.conductor(Way::StringLead);
                self.join(*end, (splice, name), Some(conductor))?;
            }
            let switch = self.slot(&format!("SW{tag}"), places.array, ARRAY_DISCONNECT, None)?;
            let conductor = self.conductor(Way::StringLead);
            self.join((splice, "end1"), (switch, "line"), Some(conductor))?;
            heads.push(Combined { at: (switch, "load".to_owned()) });
        }
        Ok(heads)
    }
}
