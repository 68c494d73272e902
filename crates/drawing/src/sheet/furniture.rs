//! Furniture of a page: frame, title block, key and cautions, and the circuit brought onto the paper.

use super::{Drawing, Look};
use lineside_core::project::Project;

pub(super) fn add(project: &Project, look: &Look, drawing: &mut Drawing) {
    let _ = (project, look, drawing);
}
