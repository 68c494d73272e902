//! How wide words are: the advance widths of the face in which everything is printed, Source Sans 3.
//!
//! The table is `assets/fonts/widths.csv`; a test compares it with the face's own files. Kerning is left out,
//! so a text is never wider than measured here by more than a hair.

use crate::display_list::Weight;
use std::sync::LazyLock;

/// Height of a capital letter as a share of the em.
pub const CAPITAL_HEIGHT: f32 = 0.66;
/// How far letters rise above the line on which they stand, as a share of the em.
pub const ASCENT: f32 = 0.73;
/// How far letters hang below that line, as a share of the em.
pub const DESCENT: f32 = 0.22;
/// From one line to the next, as a share of the em.
pub const LINE_PITCH: f32 = 1.1;

/// What a character outside the table is taken for: as wide as a capital.
const UNKNOWN: u16 = 650;

struct Widths {
    /// From the space to the tilde.
    ascii: [[u16; 2]; 95],
    /// The others, in the order of their codes.
    others: Vec<(char, [u16; 2])>,
}

static WIDTHS: LazyLock<Widths> = LazyLock::new(|| read(include_str!("../../../assets/fonts/widths.csv")));

fn read(table: &str) -> Widths {
    let mut widths = Widths { ascii: [[UNKNOWN; 2]; 95], others: Vec::new() };
    for row in table.lines().skip(1) {
        // The character itself may be a comma or a quote, so the row is read from both ends.
        let mut ends = row.rsplitn(3, ',');
        let strong = ends.next().and_then(|text| text.parse().ok());
        let regular = ends.next().and_then(|text| text.parse().ok());
        let code = row.split(',').next().and_then(|text| u32::from_str_radix(text, 16).ok());
        let (Some(strong), Some(regular), Some(code)) = (strong, regular, code) else { continue };
        match ascii_slot(code) {
            Some(slot) => {
                if let Some(entry) = widths.ascii.get_mut(slot) {
                    *entry = [regular, strong];
                }
            }
            None => widths.others.extend(char::from_u32(code).map(|c| (c, [regular, strong]))),
        }
    }
    // Looked up by halving, so it must not depend on the order in the file.
    widths.others.sort_unstable_by_key(|entry| entry.0);
    widths
}

fn ascii_slot(code: u32) -> Option<usize> {
    (0x20..0x7F).contains(&code).then(|| (code - 0x20) as usize)
}

impl Widths {
    fn of(&self, character: char) -> Option<[u16; 2]> {
        if let Some(slot) = ascii_slot(u32::from(character)) {
            return self.ascii.get(slot).copied();
        }
        let found = self.others.binary_search_by_key(&character, |entry| entry.0).ok()?;
        self.others.get(found).map(|entry| entry.1)
    }
}

/// Whether the face has a character, and its width is known.
pub fn is_known(character: char) -> bool {
    WIDTHS.of(character).is_some()
}

/// Length of a line of writing with capitals of `height`, in the unit of `height`.
pub fn length(text: &str, weight: Weight, height: f32) -> f32 {
    let widths = &*WIDTHS;
    let units: u32 = text
        .chars()
        .map(|character| {
            let [regular, strong] = widths.of(character).unwrap_or([UNKNOWN; 2]);
            u32::from(match weight {
                Weight::Regular => regular,
                Weight::Strong => strong,
            })
        })
        .sum();
    units as f32 / 1000.0 * height / CAPITAL_HEIGHT
}

#[cfg(test)]
mod tests {
    use super::*;
    use ttf_parser::Face;

    const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3-Regular.ttf");
    const STRONG: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3-SemiBold.ttf");

    #[test]
    fn widths_are_those_of_the_face() {
        let faces = [Face::parse(REGULAR, 0).unwrap(), Face::parse(STRONG, 0).unwrap()];
        let mut rows = 0;
        for row in include_str!("../../../assets/fonts/widths.csv").lines().skip(1) {
            let code = u32::from_str_radix(row.split(',').next().unwrap(), 16).unwrap();
            let character = char::from_u32(code).unwrap();
            for (face, weight) in faces.iter().zip([Weight::Regular, Weight::Strong]) {
                let glyph = face.glyph_index(character).unwrap();
                let advance = f32::from(face.glyph_hor_advance(glyph).unwrap()) / 1000.0;
                let measured = length(&character.to_string(), weight, CAPITAL_HEIGHT);
                assert!((advance - measured).abs() < 1e-4, "{character}: {advance} {measured}");
            }
            rows += 1;
        }
        assert!(rows > 300);
    }

    #[test]
    fn capitals_are_as_high_as_said() {
        for data in [REGULAR, STRONG] {
            let face = Face::parse(data, 0).unwrap();
            assert_eq!(face.units_per_em(), 1000);
            assert_eq!(face.capital_height(), Some(660));
        }
    }

    #[test]
    fn a_line_is_as_long_as_its_letters() {
        // C is 571 and 1 is 497 units of the regular face: 1.068 em; capitals of 1.8 mm make an em of 2.727 mm.
        assert!((length("C1", Weight::Regular, 1.8) - 1.068 * 1.8 / 0.66).abs() < 0.01);
        assert!(length("C1", Weight::Strong, 1.8) > length("C1", Weight::Regular, 1.8));
        assert!(is_known('Ω') && is_known('×') && !is_known('⏚'));
    }
}
