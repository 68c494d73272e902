//! The areas of the window, in the order of the job. Only those that exist are listed.

pub mod brief;
pub mod draft;
pub mod room;
pub mod year;

/// An area.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Area {
    /// Title block, site, rule set.
    Brief,
    /// The single-line sheet, live-checked.
    #[default]
    Draft,
    /// The energy year, hour by hour.
    Year,
}

impl Area {
    /// Every area, in order.
    pub const ALL: [Self; 3] = [Self::Brief, Self::Draft, Self::Year];

    /// Its title.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Brief => "Brief",
            Self::Draft => "Draft",
            Self::Year => "Year",
        }
    }
}
