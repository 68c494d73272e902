//! AC sources: which can be joined, and how often the neutral is bonded, on hand-drawn circuits.

#[cfg(test)]
mod joined;
#[cfg(test)]
mod neutral;
#[cfg(test)]
mod support;
