//! Choosing one device of the stock for a job, by what it must carry, stand and break.

use super::slot::{Job, Overcurrent, SideOf};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::common::{ContinuousDuty, Fitted, Polarity};
use lineside_core::kinds::curve::ShareAtTemperature;
use lineside_core::kinds::fuse::Fuse;
use lineside_core::kinds::inside::{Disconnects, JoinKind, Pole};
use lineside_core::kinds::switch::Switch;
use lineside_core::project::StockItem;
use lineside_core::units::{Amps, Celsius, Volts};

/// What a device must do where it stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Demand {
    /// Greatest voltage of the circuit; on AC its nominal one.
    pub voltage: Volts,
    /// Greatest fault through it.
    pub fault: Amps,
    /// Least rating of a device for 80 % of continuous current.
    pub eighty: Amps,
    /// Least rating of a device rated for 100 %.
    pub hundred: Amps,
    /// Conductors that it must open.
    pub poles: u32,
    /// The hottest where it stands.
    pub hottest: Celsius,
    /// The largest that its neighbors allow.
    pub most: Option<Amps>,
}

impl Demand {
    fn least(&self, duty: ContinuousDuty) -> Amps {
        let least = match duty {
            ContinuousDuty::EightyPercent => self.eighty,
            ContinuousDuty::HundredPercent => self.hundred,
        };
        self.most.map_or(least, |most| least.min(most))
    }
}

/// The first pole in a piece of equipment.
pub(super) fn pole_of(equipment: &Equipment) -> Option<Pole> {
    equipment.inside().joins.into_iter().find_map(|join| match join.what {
        JoinKind::Pole(pole) => Some(*pole),
        JoinKind::Solid | JoinKind::Converter => None,
    })
}

/// What the nameplates of the kinds of device call alike.
struct Marks {
    poles: Option<u32>,
    lockable: bool,
    for_pv: bool,
    withstands: Option<Amps>,
    warm: Option<ShareAtTemperature>,
    circuits: u32,
}

fn marks(equipment: &Equipment) -> Option<Marks> {
    let yes = |fitted: Option<Fitted>| fitted == Some(Fitted::Yes);
    let not_no = |fitted: Option<Fitted>| fitted != Some(Fitted::No);
    if let Some(it) = equipment.as_kind::<Breaker>() {
        return Some(Marks {
            poles: Some(it.poles / it.poles_in_series.unwrap_or(1).max(1)),
            lockable: yes(it.lockable),
            for_pv: not_no(it.pv_listed),
            withstands: None,
            warm: it.rating_by_temperature.clone(),
            circuits: 1,
        });
    }
    if let Some(it) = equipment.as_kind::<Fuse>() {
        return Some(Marks {
            poles: it.poles,
            lockable: yes(it.lockable),
            for_pv: not_no(it.pv_listed),
            withstands: None,
            warm: it.rating_by_temperature.clone(),
            circuits: 1,
        });
    }
    let it = equipment.as_kind::<Switch>()?;
    Some(Marks {
        poles: Some(it.poles / it.poles_in_series.unwrap_or(1).max(1)),
        lockable: yes(it.lockable),
        for_pv: not_no(it.pv_listed),
        withstands: it.short_circuit_rating,
        warm: None,
        circuits: it.circuits,
    })
}

/// Share of the rating that is left in warm surroundings.
fn left_of(marks: &Marks, hottest: Celsius) -> f64 {
    marks.warm.as_ref().and_then(|curve| curve.at(hottest)).map_or(1.0, |left| left.share().min(1.0))
}

/// How well an item does a job: the smaller, the better; `None` when it does not do at all.
fn rank(job: Job, demand: &Demand, equipment: &Equipment) -> Option<f64> {
    let order = job.kinds.iter().position(|kind| *kind == equipment.kind())?;
    let (pole, marks) = (pole_of(equipment)?, marks(equipment)?);
    let alternating = job.side == SideOf::Alternating;
    let (stands, breaks) = if alternating {
        (pole.ac_voltage?, pole.interrupts_ac)
    } else {
        (pole.dc_voltage?, pole.interrupts_dc)
    };
    let rating = pole.overcurrent.or(pole.carries)?;
    let opens = pole.disconnects == Disconnects::UnderLoad && pole.polarity == Polarity::None;
    let strong = if pole.overcurrent.is_some() {
        breaks.is_some_and(|breaks| breaks >= demand.fault)
    } else {
        marks.withstands.is_some_and(|withstands| withstands >= demand.fault)
    };
    let least = demand.least(pole.duty) * (1.0 - 1e-9);
    // A generator's or a relay's own limit is met by the device alone, however warm it is.
    let bound = demand.most.is_some_and(|most| most <= least);
    let enough = rating >= least && (bound || rating * left_of(&marks, demand.hottest) >= least);
    let fits = opens
        && strong
        && stands >= demand.voltage
        && enough
        && marks.circuits == 1
        && marks.poles.is_none_or(|poles| poles >= demand.poles)
        && demand.most.is_none_or(|most| rating <= most)
        && (job.overcurrent == Overcurrent::Free || pole.overcurrent.is_some())
        && (job.side != SideOf::Array || marks.for_pv && marks.lockable);
    if !fits {
        return None;
    }
    let spare_poles = f64::from(marks.poles.map_or(0, |poles| poles.saturating_sub(demand.poles)));
    let unlocked = if marks.lockable { 0.0 } else { 3.0 };
    let strength = breaks.or(marks.withstands).unwrap_or_default();
    let voltage = (stands - demand.voltage).value();
    Some(
        order as f64 * 1e4
            + rating.value()
            + unlocked
            + voltage * 1e-2
            + spare_poles * 2.0
            + strength.value() * 1e-5,
    )
}

/// The item that does a job best: the smallest rating, then the lowest voltage and strength.
/// `oddness` is how much a rating is to be avoided in amperes, as one that is none of the standard ones.
pub(super) fn pick<'a>(
    stock: &'a [StockItem],
    job: Job,
    demand: &Demand,
    oddness: impl Fn(&Pole) -> f64,
) -> Option<&'a StockItem> {
    super::draft::best(stock, |equipment| {
        let odd = pole_of(equipment).map_or(0.0, |pole| oddness(&pole));
        rank(job, demand, equipment).map(|rank| rank + odd)
    })
}

/// Something to begin with, before anything is known.
pub(super) fn first_guess(stock: &[StockItem], job: Job) -> Option<&StockItem> {
    let nothing = Demand {
        voltage: Volts::ZERO,
        fault: Amps::ZERO,
        eighty: Amps::ZERO,
        hundred: Amps::ZERO,
        poles: 1,
        hottest: Celsius::STANDARD_TEST,
        most: None,
    };
    pick(stock, job, &nothing, |_| 0.0)
}
