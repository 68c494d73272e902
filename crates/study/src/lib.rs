//! Lineside's studies: what a circuit does, electrically.
//!
//! Pure functions from a project and the tables of the codes to numbers. Verdicts are the `rules` crate's.
