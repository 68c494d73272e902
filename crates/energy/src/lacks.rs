//! What of a brief a year or a proposal needs and does not find.

use crate::site::Climate;
use crate::tables::Defaults;
use lineside_core::project::Brief;

/// Everything that is missing, a sentence each. Nothing of it is filled in.
pub fn brief_lacks(brief: &Brief, defaults: &Defaults) -> Vec<String> {
    let mut missing = Vec::new();
    let site = &brief.site;
    let given = [
        (site.latitude.is_some(), "latitude"),
        (site.longitude.is_some(), "longitude"),
        (site.elevation.is_some(), "elevation"),
        (site.record_low.is_some(), "record low"),
        (site.design_high.is_some(), "2 % design high"),
    ];
    for (_, what) in given.iter().filter(|(is_given, _)| !is_given) {
        missing.push(format!("the brief does not give the {what} of the site"));
    }
    if brief.loads.is_empty() {
        missing.push("the brief has no loads".to_owned());
    }
    if brief.months.is_empty() {
        missing.push("there are no weather records".to_owned());
    } else if let Err(faults) = Climate::of_brief(brief, defaults) {
        missing.extend(faults.iter().map(ToString::to_string));
    }
    missing
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::file;
    use lineside_core::project::Month;

    #[test]
    fn what_is_missing_is_named() {
        let defaults = crate::Tables::load().unwrap().defaults;
        let empty = brief_lacks(&Brief::default(), &defaults);
        // Five data of the site, loads, and weather.
        assert_eq!(empty.len(), 7, "{empty:?}");
        let demo = file::read(include_str!("../../../assets/demos/cabin.lineside")).unwrap();
        let mut brief = demo.brief;
        assert_eq!(brief_lacks(&brief, &defaults), Vec::<String>::new());
        brief.months.retain(|it| it.month != Month::May);
        assert_eq!(brief_lacks(&brief, &defaults), ["the weather records lack May"]);
    }
}
