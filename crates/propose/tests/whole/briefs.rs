//! Briefs: what six customers asked for. None has anything drawn yet.

use lineside_core::circuit::Circuit;
use lineside_core::file;
use lineside_core::kinds::common::Fitted;
use lineside_core::project::{BuildingUse, ChemistryWish, LoadCurrent, Project, SupplyWish};
use lineside_core::units::{Hours, Percent};

/// A customer.
#[derive(Clone, Copy, Debug)]
pub enum Case {
    /// A cabin at −31 °C on nickel-iron cells, with a generator and DC loads, its array on the ground.
    ColdCabin,
    /// The same on lithium, without a generator.
    LithiumCabin,
    /// A dwelling with utility and generator, its array on the roof.
    Home,
    /// A small hut on lead.
    LeadHut,
    /// A workshop that is no dwelling, its array on the ground, on the utility.
    Workshop,
    /// A hut with a tenth of the loads, on whatever is cheapest.
    RadioHut,
}

impl Case {
    /// The project with the brief.
    pub fn project(self) -> Project {
        let text = match self {
            Self::ColdCabin | Self::LithiumCabin => include_str!("../../../../assets/demos/cabin.lineside"),
            Self::Home | Self::Workshop => include_str!("../../../../assets/demos/home.lineside"),
            Self::LeadHut | Self::RadioHut => include_str!("../../../../assets/demos/hut.lineside"),
        };
        let mut project = Project { circuit: Circuit::default(), ..file::read(text).unwrap() };
        let (site, goals) = (&mut project.brief.site, &mut project.brief.goals);
        match self {
            Self::ColdCabin | Self::Home => {}
            Self::LithiumCabin => {
                goals.chemistry = ChemistryWish::LithiumIronPhosphate;
                goals.generator = SupplyWish::Excluded;
                goals.unmet_share = Some(Percent::new(5.0));
            }
            Self::LeadHut => goals.chemistry = ChemistryWish::Lead,
            Self::Workshop => {
                site.building = Some(BuildingUse::Other);
                site.array_on_building = Some(Fitted::No);
                goals.utility = SupplyWish::Wanted;
                goals.generator = SupplyWish::Excluded;
                goals.reserve = Some(Hours::new(12.0));
            }
            Self::RadioHut => {
                project.brief.loads.retain(|load| load.current == LoadCurrent::Dc || load.quantity > 1);
                goals.chemistry = ChemistryWish::Open;
            }
        }
        project
    }
}
