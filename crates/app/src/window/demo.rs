//! The demo projects: the one with which the window begins the first time, and those to learn and practice on.

use lineside_core::file;
use lineside_core::project::Project;

/// A demo project.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Demo {
    /// Nickel-iron, off the grid.
    Cabin,
    /// Lithium, with utility, generator and bypass.
    Home,
    /// Lead-acid, small.
    Hut,
    /// Full of faults.
    AsFound,
}

impl Demo {
    /// Every one.
    pub const ALL: [Self; 4] = [Self::Cabin, Self::Home, Self::Hut, Self::AsFound];

    /// As menus and the start page name it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cabin => "Highmeadow Cabin",
            Self::Home => "Larkspur Street Home",
            Self::Hut => "Ridge Hut",
            Self::AsFound => "Quarry Road Workshop",
        }
    }

    /// What it is, in a few words.
    pub const fn about(self) -> &'static str {
        match self {
            Self::Cabin => "Nickel-iron bank, off the grid",
            Self::Home => "Lithium bank, utility, generator, bypass",
            Self::Hut => "Lead-acid bank, small",
            Self::AsFound => "As it was found: full of faults to practice on",
        }
    }

    const fn text(self) -> &'static str {
        match self {
            Self::Cabin => include_str!("../../../../assets/demos/cabin.lineside"),
            Self::Home => include_str!("../../../../assets/demos/home.lineside"),
            Self::Hut => include_str!("../../../../assets/demos/hut.lineside"),
            Self::AsFound => include_str!("../../../../assets/demos/as-found.lineside"),
        }
    }

    /// The project, or an empty one should it not read; a test reads each.
    pub fn project(self) -> Project {
        file::read(self.text()).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_demos_read_and_are_named_as_they_name_themselves() {
        for demo in Demo::ALL {
            let project = file::read(demo.text()).unwrap();
            assert_eq!(project.name(), demo.name());
            assert!(project.circuit.block_count() > 10);
        }
    }
}
