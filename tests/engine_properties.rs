//! What holds of studies and rules whatever is drawn.
