//! Samples for tests.
