//! The areas of the window, in the order of the job. Only those that exist are listed.

pub mod brief;
pub mod draft;

/// An area.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Area {
    /// Title block, site, rule set.
    Brief,
    /// The single-line sheet, live-checked.
    #[default]
    Draft,
}

impl Area {
    /// Every area, in order.
    pub const ALL: [Self; 2] = [Self::Brief, Self::Draft];

    /// Its title.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Brief => "Brief",
            Self::Draft => "Draft",
        }
    }
}
