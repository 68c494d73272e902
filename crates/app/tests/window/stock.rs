//! Stock in the window: what fits a place, with reasons, a preview and the exchange as one step.

use crate::support::{Hands as _, Opening, Window};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside_core::project::Project;
use std::time::{Duration, Instant};

fn demo(text: &str) -> Project {
    lineside_core::file::read(text).expect("it reads")
}

fn cabin() -> Project {
    demo(include_str!("../../../../assets/demos/cabin.lineside"))
}

/// Waits for the thread aside, frame by frame.
fn wait_for_fits(window: &mut Window) {
    let start = Instant::now();
    while window.says("are being tried…") {
        assert!(start.elapsed() < Duration::from_mins(1), "the stock is tried");
        std::thread::yield_now();
        window.run_steps(1);
    }
}

fn verdicts(window: &Window) -> Vec<String> {
    let labels = window.root().children_recursive().filter_map(|node| {
        let node = node.accesskit_node();
        node.label().or_else(|| node.value())
    });
    labels
        .filter(|it| {
            it.ends_with(": fits") || it.contains(": does not fit") || it.ends_with(": cannot stand there")
        })
        .collect()
}

#[test]
fn the_stock_is_ranked_for_the_selected_block_with_reasons() {
    let mut window = Opening { project: cabin(), ..Opening::default() }.open();
    assert!(!window.says("What fits"), "nothing is selected");
    window.click("Charge controller C1");
    window.click("What fits C1");
    wait_for_fits(&mut window);
    assert!(window.says("of 20 fit, best first."));
    let found = verdicts(&window);
    assert_eq!(found.len(), 20);
    let fit = found.iter().take_while(|it| it.ends_with(": fits")).count();
    assert!(fit > 0 && found.iter().skip(fit).all(|it| !it.ends_with(": fits")), "{found:?}");
    assert!(window.says("Nearest to a limit: "));
    assert!(window.says("Cold strings destroy the input of C1 ("), "why the others do not");
    window.click("What fits C1");
    assert!(window.says("Charge controllers, 20 in stock"), "the whole stock is back");
}

#[test]
fn an_item_that_fits_is_previewed_and_taken_as_one_step() {
    let mut window = Opening { project: cabin(), ..Opening::default() }.open();
    window.click("Charge controller C1");
    window.click("What fits C1");
    wait_for_fits(&mut window);
    let item = "Tracking controller, 250 V in, 100 A out, with fault protection";
    let before = window.state().document.project.clone();
    window.get_by_label(&format!("Take {item} for C1")).focus();
    window.run();
    assert!(window.says(&format!("Preview: {item} for C1")));
    assert_eq!(window.state().document.project, before);
    let steps = window.state().document.history.steps().len();
    window.click(&format!("Take {item} for C1"));
    let block = window.state().document.project.circuit.block_by_tag("C1").expect("it is there").clone();
    assert_eq!(block.stock.as_deref(), Some(item));
    assert_eq!(window.state().document.history.steps().len(), steps + 1);
    wait_for_fits(&mut window);
    assert!(window.has("stands there now"));
    window.command(egui::Key::Z);
    assert_eq!(window.state().document.project, before);
}

#[test]
fn devices_are_tried_in_the_selected_run() {
    let mut window = Opening { project: cabin(), ..Opening::default() }.open();
    let run = window.state().document.project.circuit.run_by_tag("W3").expect("it is there").id;
    window.state_mut().state.selection =
        lineside::window::selection::Selection::only(lineside::window::selection::Thing::Run(run));
    window.run();
    window.click("What fits W3");
    wait_for_fits(&mut window);
    assert!(window.says("of 91 fit, best first."));
    window.click("Kind to try in the run: Breakers");
    window.get_by_role_and_label(egui::Role::Button, "Fuses").click();
    window.run();
    wait_for_fits(&mut window);
    assert!(window.says("of 48 fit, best first."));
    window.click("End of the run to try: where it begins");
    window.get_by_role_and_label(egui::Role::Button, "where it ends").click();
    window.run();
    wait_for_fits(&mut window);
    assert!(window.says("of 48 fit, best first."));
}

#[test]
fn a_nameplate_that_differs_from_stock_says_so_with_both_ways_out() {
    // High enough for the whole nameplate.
    let mut window = Opening { project: cabin(), size: [1440.0, 2000.0], ..Opening::default() }.open();
    window.click("Charge controller C1");
    assert!(!window.says("Differs from stock"));
    window.type_into("Greatest PV input voltage", "140 V");
    window.press(egui::Key::Enter);
    assert!(window.says("Differs from stock in 1 datum."));
    assert!(window.says("Greatest PV input voltage: 140 V, in stock 150 V"));
    window.click("Keep the nameplate of C1 for this project");
    assert!(window.says("This project's own copy; it differs from stock in 1 datum."));
    assert_eq!(window.state().document.project.stock.len(), 1);
    window.click("Take stock's values for C1");
    assert!(!window.says("differs from stock"));
    assert!(window.state().document.project.stock.is_empty());
    window.command(egui::Key::Z);
    assert!(window.says("This project's own copy"));
}
