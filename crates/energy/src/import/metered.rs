//! Loads as a meter saw them: CSV with the columns `month,day,hour` and `ac`, `dc` or both, in watts, means of the hour.

use super::own::{Read, YearTable};
use crate::loads::Metered;
use lineside_core::table::{Cells, ImportFault, Text};
use lineside_core::units::{Percent, Watts};

/// Greatest load that is believed, W.
const LOAD: std::ops::RangeInclusive<f64> = 0.0..=1e7;

struct Columns {
    ac: Option<usize>,
    dc: Option<usize>,
}

impl Read for Columns {
    type Hour = (f64, f64);

    fn hour(&self, row: &Cells) -> Result<(f64, f64), ImportFault> {
        let column = |place: Option<usize>, name| match place {
            Some(place) => row.number(place, name, LOAD),
            None => Ok(0.0),
        };
        Ok((column(self.ac, "ac")?, column(self.dc, "dc")?))
    }
}

/// Reads a file of metered loads. The meter does not know how much of them is critical, nor their power factor.
pub fn metered_loads(
    bytes: &[u8],
    critical: Percent,
    power_factor: Percent,
) -> Result<Metered, Vec<ImportFault>> {
    let text = Text::new(bytes).map_err(|fault| vec![fault])?;
    let table = YearTable::read(&text, |headings| {
        let columns = Columns { ac: headings.find("ac"), dc: headings.find("dc") };
        if columns.ac.is_none() && columns.dc.is_none() {
            headings.need("ac")?;
        }
        Ok(columns)
    })?;
    Ok(Metered {
        ac: table.hours.iter().map(|(ac, _)| Watts::new(*ac)).collect(),
        dc: table.hours.iter().map(|(_, dc)| Watts::new(*dc)).collect(),
        critical,
        power_factor,
    })
}
