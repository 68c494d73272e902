//! A combination: which parts of the shelf, and how many of each.

/// Which parts of a [`Shelf`](crate::Shelf), by their places in its lists, and how many of each. Combinations are
/// ordered by these numbers, so that of two equally good ones always the same is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Combination {
    /// The inverter.
    pub inverter: usize,
    /// How many of them.
    pub inverters: u32,
    /// The generator; `None` for none.
    pub generator: Option<usize>,
    /// The battery.
    pub battery: usize,
    /// Units in series in a string of the bank.
    pub units: u32,
    /// Strings of the bank.
    pub bank_strings: u32,
    /// The module.
    pub module: usize,
    /// The controller.
    pub controller: usize,
    /// Modules in series in a string of the array.
    pub modules: u32,
    /// Strings at each controller.
    pub strings: u32,
    /// How many controllers.
    pub controllers: u32,
}

impl Combination {
    /// The first of everything, one of each.
    pub(crate) const FIRST: Self = Self {
        inverter: 0,
        inverters: 1,
        generator: None,
        battery: 0,
        units: 1,
        bank_strings: 1,
        module: 0,
        controller: 0,
        modules: 1,
        strings: 1,
        controllers: 1,
    };

    /// Modules in the whole array.
    pub const fn all_modules(&self) -> u32 {
        self.modules * self.strings * self.controllers
    }
}
