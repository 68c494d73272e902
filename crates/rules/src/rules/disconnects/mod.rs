//! Disconnecting means.

mod both_ends_disconnect;

pub(crate) use both_ends_disconnect::BOTH_ENDS_DISCONNECT;
