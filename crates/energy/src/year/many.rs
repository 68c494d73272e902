//! Many years.
