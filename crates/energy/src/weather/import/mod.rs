//! Hourly weather from files.
