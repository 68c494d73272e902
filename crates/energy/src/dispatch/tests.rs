//! Tests of single hours.
