//! The built-in stock as a set.

use lineside_core::stock;

#[test]
fn every_file_is_read() {
    let items = match stock::built_in() {
        Ok(items) => items,
        Err(error) => panic!("{error}"),
    };
    for item in &items {
        assert!(item.equipment.faults().is_empty(), "{}: {:?}", item.name, item.equipment.faults());
        assert!(
            item.equipment.contradictions().is_empty(),
            "{}: {:?}",
            item.name,
            item.equipment.contradictions()
        );
    }
}
