//! Ids of blocks, runs and places. They come from one counter in the project and are never reused; the tag
//! that people see is data and may change.

use serde::{Deserialize, Serialize};
use std::num::NonZeroU32;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(NonZeroU32);

        impl $name {
            /// From a number; `None` for 0.
            pub fn new(number: u32) -> Option<Self> {
                NonZeroU32::new(number).map(Self)
            }
            /// The number.
            pub const fn number(self) -> u32 {
                self.0.get()
            }
        }
    )+};
}

ids! {
    /// Names a block for good.
    BlockId;
    /// Names a run for good.
    RunId;
    /// Names a place for good.
    PlaceId;
}
