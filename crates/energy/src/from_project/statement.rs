//! What was assumed, left out or missing when a year was built from a project, as plain statements.

use crate::site::SiteFault;
use crate::system::SystemFault;
use lineside_core::circuit::{BlockId, Circuit, RunId};
use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{Hours, Quantity};

/// How a statement bears on the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum StatementKind {
    /// Without it there is no year.
    Missing,
    /// The year leaves something of the sheet out.
    LeftOut,
    /// Something was assumed that neither sheet nor brief says.
    Assumed,
}

/// Something about the year that a person must know.
#[derive(Clone, Debug, PartialEq)]
pub enum Statement {
    /// A datum of the site is missing or cannot be.
    Site(SiteFault),
    /// The system cannot be computed.
    System(SystemFault),
    /// No bank stands on the sheet.
    NoBank,
    /// A bank stands on another battery bus than the one of the year.
    OtherBus(BlockId),
    /// A bank is of another chemistry or number of cells than the first one on its bus.
    OtherBank(BlockId),
    /// Strings reach no controller of the bus.
    StringsWithoutController(BlockId),
    /// A controller has no strings.
    ControllerWithoutStrings(BlockId),
    /// Several controllers take from the same strings; they were taken to share them by their currents.
    SharedStrings(BlockId),
    /// A tracker is taken as standing still.
    Tracker(BlockId),
    /// Modules take light from the rear; the year counts the front only.
    Bifacial(BlockId),
    /// Strings of several orientations share an input: their powers are added.
    MixedOrientations(BlockId),
    /// The resistance of a run is not known, so nothing is lost in it.
    NoResistance(RunId),
    /// No closed way joins two blocks, so nothing is lost on it.
    NoWay(BlockId, BlockId),
    /// A device is drawn open and taken as closed.
    DrawnOpen(BlockId),
    /// The brief has no loads.
    NoLoads,
    /// There are AC loads, and no inverter to serve them.
    AcLoadsWithoutInverter,
    /// There are DC loads in the brief and none on the sheet.
    DcLoadsNotOnSheet,
    /// A DC load that can wait is taken to run when it will.
    DcLoadCannotWait(String),
    /// What a DC converter loses is not counted, besides its own consumption.
    DcConverter(BlockId),
    /// An inverter is bypassed as drawn; the year takes it as in service.
    Bypassed(BlockId),
    /// A further generator or utility; the year knows one of each.
    SecondSupply(BlockId),
    /// A supply reaches neither the inverter nor its panel.
    UnreachedSupply(BlockId),
    /// An inverter has an AC supply and no charger.
    NoCharger(BlockId),
    /// What the fuel of a generator gives is not known, so none is counted.
    UnknownFuel(BlockId),
    /// A generator cannot be started by a contact; the year starts it as a person would.
    StartedByHand(BlockId),
    /// The charge efficiency on the nameplate of a bank is not used: the year needs it at every charge.
    ChargeEfficiency(BlockId),
    /// Neither sheet nor brief says whether sun and bank go before the utility.
    UtilityTakenFirst(BlockId),
    /// An inverter is set to another priority than the first one on its bus.
    OtherPriority(BlockId),
    /// The year takes the utility as always there.
    NoOutages(BlockId),
    /// Losses in runs to AC and DC loads between panel and load are not counted.
    FinalCircuits,
    /// A value that neither sheet nor brief gives.
    Assumed {
        /// Of which block; `None` for the site or the whole.
        block: Option<BlockId>,
        /// What.
        what: &'static str,
        /// The value taken.
        value: Quantity,
    },
    /// The time zone nearest the sun's time.
    AssumedZone(Hours),
    /// A generic climate stands in for weather records of the site.
    StandInWeather(String),
}

impl Statement {
    /// How it bears on the year.
    pub const fn kind(&self) -> StatementKind {
        match self {
            Self::Site(_) | Self::System(_) | Self::NoBank => StatementKind::Missing,
            Self::OtherBus(_)
            | Self::OtherBank(_)
            | Self::StringsWithoutController(_)
            | Self::ControllerWithoutStrings(_)
            | Self::Bifacial(_)
            | Self::NoResistance(_)
            | Self::NoWay(..)
            | Self::NoLoads
            | Self::AcLoadsWithoutInverter
            | Self::DcConverter(_)
            | Self::SecondSupply(_)
            | Self::UnreachedSupply(_)
            | Self::NoCharger(_)
            | Self::UnknownFuel(_)
            | Self::ChargeEfficiency(_)
            | Self::OtherPriority(_)
            | Self::FinalCircuits => StatementKind::LeftOut,
            Self::SharedStrings(_)
            | Self::Tracker(_)
            | Self::MixedOrientations(_)
            | Self::DrawnOpen(_)
            | Self::DcLoadsNotOnSheet
            | Self::DcLoadCannotWait(_)
            | Self::Bypassed(_)
            | Self::StartedByHand(_)
            | Self::UtilityTakenFirst(_)
            | Self::NoOutages(_)
            | Self::Assumed { .. }
            | Self::AssumedZone(_)
            | Self::StandInWeather(_) => StatementKind::Assumed,
        }
    }

    /// The block it is about.
    pub const fn block(&self) -> Option<BlockId> {
        match self {
            Self::OtherBus(block)
            | Self::OtherBank(block)
            | Self::StringsWithoutController(block)
            | Self::ControllerWithoutStrings(block)
            | Self::SharedStrings(block)
            | Self::Tracker(block)
            | Self::Bifacial(block)
            | Self::MixedOrientations(block)
            | Self::NoWay(block, _)
            | Self::DrawnOpen(block)
            | Self::DcConverter(block)
            | Self::Bypassed(block)
            | Self::SecondSupply(block)
            | Self::UnreachedSupply(block)
            | Self::NoCharger(block)
            | Self::UnknownFuel(block)
            | Self::StartedByHand(block)
            | Self::ChargeEfficiency(block)
            | Self::UtilityTakenFirst(block)
            | Self::OtherPriority(block)
            | Self::NoOutages(block) => Some(*block),
            Self::Assumed { block, .. } => *block,
            Self::Site(_)
            | Self::System(_)
            | Self::NoBank
            | Self::NoResistance(_)
            | Self::NoLoads
            | Self::AcLoadsWithoutInverter
            | Self::DcLoadsNotOnSheet
            | Self::DcLoadCannotWait(_)
            | Self::FinalCircuits
            | Self::AssumedZone(_)
            | Self::StandInWeather(_) => None,
        }
    }

    /// The statement as people read it.
    pub fn text(&self, circuit: &Circuit, units: UnitSystem) -> String {
        let tag = |id: &BlockId| circuit.block(*id).map_or_else(String::new, |block| block.tag.clone());
        match self {
            Self::Site(fault) => fault.to_string(),
            Self::System(fault) => fault.to_string(),
            Self::NoBank => "there is no battery bank on the sheet: a year needs one".to_owned(),
            Self::OtherBus(id) => format!("{} stands on another battery bus, which is left out", tag(id)),
            Self::OtherBank(id) => {
                format!("{} has another chemistry or other cells than its neighbor and is left out", tag(id))
            }
            Self::StringsWithoutController(id) => {
                format!("{} reaches no charge controller and gives nothing", tag(id))
            }
            Self::ControllerWithoutStrings(id) => format!("{} has no strings", tag(id)),
            Self::SharedStrings(id) => {
                format!("{} shares its strings with other controllers, by their currents", tag(id))
            }
            Self::Tracker(id) => format!("the tracker of {} is taken as standing still", tag(id)),
            Self::Bifacial(id) => format!("light on the rear of {} is not counted", tag(id)),
            Self::MixedOrientations(id) => mixed_orientations(&tag(id)),
            Self::NoResistance(id) => {
                let run = circuit.run(*id).map_or_else(String::new, |run| run.tag.clone());
                format!("the resistance of {run} is not known, so nothing is lost in it")
            }
            Self::NoWay(a, b) => {
                format!("no closed way joins {} and {}, so no loss on it is counted", tag(a), tag(b))
            }
            Self::DrawnOpen(id) => format!("{} is drawn open and taken as closed", tag(id)),
            Self::NoLoads => "the brief has no loads: nothing is served".to_owned(),
            Self::AcLoadsWithoutInverter => "there is no inverter: AC loads go unmet".to_owned(),
            Self::DcLoadsNotOnSheet => {
                "the brief has DC loads and the sheet none: they are taken on the battery bus".to_owned()
            }
            Self::DcLoadCannotWait(name) => {
                format!("“{name}” takes DC and is taken to run when it will, not to wait")
            }
            Self::DcConverter(id) => {
                format!("what {} loses is not counted, besides its own consumption", tag(id))
            }
            Self::Bypassed(id) => {
                format!("{} is drawn in bypass; the inverter is taken as in service", tag(id))
            }
            Self::SecondSupply(id) => {
                format!("{} is left out: the year knows one utility and one generator", tag(id))
            }
            Self::UnreachedSupply(id) => {
                format!("{} reaches no inverter and no panel of it, and is left out", tag(id))
            }
            Self::NoCharger(id) => format!("{} has no charger: no AC supply charges the bank", tag(id)),
            Self::UnknownFuel(id) => format!("what {} burns is not known, so no fuel is counted", tag(id)),
            Self::StartedByHand(id) => format!(
                "{} cannot be started by a contact: the year starts it as if somebody were there at once",
                tag(id)
            ),
            Self::ChargeEfficiency(id) => format!(
                "the charge efficiency on the nameplate of {} is not used: the year needs it at every charge and takes the \
                 chemistry’s",
                tag(id)
            ),
            Self::UtilityTakenFirst(id) => taken_first(&tag(id)),
            Self::OtherPriority(id) => other_priority(&tag(id)),
            Self::NoOutages(id) => {
                format!("{} is taken as always there: the brief gives no outages", tag(id))
            }
            Self::FinalCircuits => "losses in final circuits, beyond the panels, are not counted".to_owned(),
            Self::Assumed { block, what, value } => {
                let of = block.as_ref().map_or_else(String::new, |id| format!(" of {}", tag(id)));
                format!("{what}{of}: {} assumed", text::plain(*value, units))
            }
            Self::StandInWeather(climate) => stand_in(climate),
            Self::AssumedZone(offset) => {
                format!(
                    "standard time is taken as {} from UTC, by the longitude",
                    text::plain((*offset).into(), units)
                )
            }
        }
    }
}

fn mixed_orientations(controller: &str) -> String {
    format!("strings of several orientations share the input of {controller}: their powers are added")
}

fn taken_first(utility: &str) -> String {
    format!(
        "{utility} is taken to serve the loads whenever it is there: neither an inverter nor the brief says that sun and \
         bank go first"
    )
}

fn other_priority(inverter: &str) -> String {
    format!(
        "the utility priority of {inverter} differs from that of its neighbor and is left out: the year knows one"
    )
}

fn stand_in(climate: &str) -> String {
    format!(
        "sun and temperature are those of a generic climate, “{climate}”: it stands in for records of the site"
    )
}
