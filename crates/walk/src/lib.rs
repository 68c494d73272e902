//! Walk: the power flow of a system, shown case by case. The cases that its circuit makes, what each comes to in plain
//! words, the sheet with its arrows, and the page that a customer takes home.
//!
//! Every figure comes from `lineside_study::flow`; nothing electrical is computed here.

mod account;
mod customer;
mod escaped;
mod page;
mod steps;
mod technician;
mod traced;

pub use account::Account;
pub use customer::customer;
pub use page::{Told, page};
pub use steps::{Step, own_steps, steps};
pub use technician::technician;
pub use traced::traced;

use lineside_core::project::Project;
use lineside_study::Studies;
use lineside_study::flow::Flow;

/// A step with what flows in it, and what is needed to tell of it.
#[derive(Clone, Copy, Debug)]
pub struct Seen<'a> {
    /// The project.
    pub project: &'a Project,
    /// Its studies.
    pub studies: &'a Studies,
    /// The step.
    pub step: &'a Step,
    /// What flows in it.
    pub flow: &'a Flow,
}

#[cfg(test)]
mod tests;
