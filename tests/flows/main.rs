//! Flows of whole projects. What single circuits do is tried in the `study` crate.

#[cfg(test)]
mod demos;
