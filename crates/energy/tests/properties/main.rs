//! What must hold of every year: books close, more sun never leaves more unmet, years do not depend on threads, and input
//! of every sort gives figures or a reason.
#![cfg(test)]

mod input;
mod many_years;
mod systems;
mod years;
