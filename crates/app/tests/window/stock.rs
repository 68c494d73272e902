//! Stock in the window: what fits a place, with reasons, a preview and the exchange as one step.

use crate::support::{Answers, Folder, Hands as _, Opening, Window};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside::window::ask::Answer;
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

/// A window whose own stock is kept in a folder, high enough for the whole shelf.
fn with_own_stock(folder: &Folder, answers: Vec<Answer>) -> Window {
    let own_stock = Some(folder.file("stock.ron"));
    let asker = Answers::new(answers);
    Opening { project: cabin(), own_stock, asker, size: [1440.0, 2000.0], ..Opening::default() }.open()
}

fn kept(folder: &Folder) -> Vec<lineside_core::project::StockItem> {
    lineside::own_stock::read_at(&folder.file("stock.ron")).expect("it reads")
}

#[test]
fn an_item_is_typed_from_its_datasheet_kept_changed_and_removed() {
    let folder = Folder::new("own-item");
    let mut window = with_own_stock(&folder, Vec::new());
    window.click("Add an item…");
    window.click("Kind of the item: strings");
    window.get_by_role_and_label(egui::Role::Button, "bus bar").click();
    window.run();
    window.type_into("Name of the item", "Our bar");
    window.click("Keep in my stock");
    assert!(window.says("2 data are missing or will not do"));
    window.type_into("Rating", "90000 A");
    assert!(window.says("must lie between"), "each datum is judged as it is typed");
    window.type_into("Rating", "250 A");
    window.type_into("Taps", "6");
    window.click("Keep in my stock");
    assert!(window.says("Our bar is kept in your own stock."));
    assert_eq!(kept(&folder).len(), 1);
    assert!(window.has("Bus bars, 10 in stock, closed"), "the shelf follows at once");
    window.click("Edit Our bar");
    window.type_into("Rating", "300 A");
    window.click("Keep in my stock");
    let items = kept(&folder);
    assert_eq!(items.len(), 1, "it takes the place of what it was");
    assert_eq!(items[0].equipment.get("rating"), Some(lineside_core::kinds::field::Value::Number(300.0)));
    window.click("Edit Our bar");
    window.click("Remove");
    assert!(kept(&folder).is_empty());
    assert!(window.has("Bus bars, 9 in stock, closed"));
}

#[test]
fn the_nameplate_of_a_block_becomes_an_item() {
    let folder = Folder::new("own-block");
    let mut window = with_own_stock(&folder, Vec::new());
    window.click("Charge controller C1");
    window.click("Add the selected…");
    window.type_into("Name of the item", "Our controller");
    window.click("Keep in my stock");
    let block = window.state().document.project.circuit.block_by_tag("C1").expect("it is there").clone();
    assert_eq!(kept(&folder)[0].equipment, block.equipment);
}

#[test]
fn a_table_is_taken_over_with_columns_of_its_own() {
    let folder = Folder::new("own-table");
    let table = folder.file("ours.csv");
    std::fs::write(&table, "Model,Amps (A),Taps,Seller\nBar A,250,6,me\nBar B,250,,me\n")
        .expect("it is written");
    let mut window = with_own_stock(&folder, vec![Answer::Chosen(table)]);
    window.click("Import a table…");
    let start = Instant::now();
    while !window.has("Import stock") {
        assert!(start.elapsed() < Duration::from_mins(1), "the table is looked at");
        std::thread::yield_now();
        window.run_steps(1);
    }
    assert!(window.says("Nothing can be taken yet."));
    let mut choose = |list: &str, entry: &str| {
        window.click(list);
        window
            .get_all_by_role(egui::Role::Button)
            .find(|node| node.accesskit_node().label().as_deref() == Some(entry))
            .expect("it is listed")
            .click();
        window.run();
    };
    choose("Kind of every row: as a column says", "bus bar");
    choose("Column model: not read", "Name");
    choose("Column amps (a): not read", "Rating");
    assert!(window.says("1 item can be taken, 1 row is refused."));
    assert!(window.says("taps"), "the reason of the refused row");
    assert!(!folder.file("stock.ron").exists(), "nothing is kept before it is taken");
    window.click("Take 1 item");
    assert_eq!(kept(&folder)[0].name, "Bar A");
    assert!(window.has("Bus bars, 10 in stock, closed"));
}
