//! The colors of the window, light and dark: the only place with color literals.
//!
//! Which parts of the window wear which color is decided where they are painted; widths and patterns of the
//! sheet's lines are the drawing crate's.

use egui::{Color32, ColorImage, Theme};
use lineside_drawing::pen::{Ink, Pen};
use lineside_rules::Severity;

/// Every color of one theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tokens {
    /// Paper of the sheet.
    pub sheet: Color32,
    /// Grid on the sheet.
    pub grid: Color32,
    /// Ground of panels, quieter than the sheet.
    pub panel: Color32,
    /// Ground of cards, entries and menus.
    pub card: Color32,
    /// Lines between panels and round cards.
    pub line: Color32,
    /// Words and symbols.
    pub ink: Color32,
    /// Words that matter less.
    pub soft_ink: Color32,
    /// Selection and primary action.
    pub accent: Color32,
    /// Ground behind what is selected.
    pub accent_ground: Color32,
    /// Words on a ground of [`Self::accent`].
    pub on_accent: Color32,
    /// Array side.
    pub array: Color32,
    /// Battery bus.
    pub battery: Color32,
    /// AC.
    pub ac: Color32,
    /// Grounding.
    pub earth: Color32,
    /// Dead conductors.
    pub dead: Color32,
    /// Danger.
    pub danger: Color32,
    /// Correction.
    pub correction: Color32,
    /// Advice.
    pub advice: Color32,
    /// What lies over the window while a question is asked.
    pub veil: Color32,
    /// Shadow under menus and cards that lie over the window.
    pub shadow: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    let [_, red, green, blue] = hex.to_be_bytes();
    Color32::from_rgb(red, green, blue)
}

/// The stops of [`charge_ramp`], from empty to full: from blue-black over gray to yellow, each lighter than the one before
/// by as much, so that it reads in gray and to people who do not tell red from green.
const CHARGE: [[f64; 3]; 5] = [
    [10.0, 34.0, 72.0],
    [66.0, 78.0, 108.0],
    [124.0, 123.0, 120.0],
    [188.0, 174.0, 108.0],
    [252.0, 228.0, 84.0],
];

/// The color of a state of charge, as a share, in both themes.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "within a byte, and within the stops"
)]
pub fn charge_ramp(share: f64) -> Color32 {
    let place = share.clamp(0.0, 1.0) * (CHARGE.len() - 1) as f64;
    let low = (place.floor() as usize).min(CHARGE.len() - 2);
    let part = place - low as f64;
    let (Some(below), Some(above)) = (CHARGE.get(low), CHARGE.get(low + 1)) else { return Color32::BLACK };
    let mix = |channel: usize| {
        let of = |stop: &[f64; 3]| stop.get(channel).copied().unwrap_or_default();
        (of(below) + (of(above) - of(below)) * part).round() as u8
    };
    Color32::from_rgb(mix(0), mix(1), mix(2))
}

/// A picture from the red, green, blue and opacity of its dots.
pub fn picture(size: [usize; 2], dots: &[u8]) -> ColorImage {
    ColorImage::from_rgba_unmultiplied(size, dots)
}

impl Tokens {
    /// Warm paper and blue-black ink.
    pub const LIGHT: Self = Self {
        sheet: rgb(0xF7_F3_EA),
        grid: rgb(0xE9_E2_D3),
        panel: rgb(0xEF_EA_DF),
        card: rgb(0xFB_F8_F1),
        line: rgb(0xD5_CC_BA),
        ink: rgb(0x1C_27_33),
        soft_ink: rgb(0x5A_65_70),
        accent: rgb(0xA5_4A_1F),
        accent_ground: rgb(0xF3_DF_D2),
        on_accent: rgb(0xFB_F8_F1),
        array: rgb(0x8A_5E_00),
        battery: rgb(0x0B_65_62),
        ac: rgb(0x46_3A_9B),
        earth: rgb(0x2F_6B_33),
        dead: rgb(0x8E_89_7B),
        danger: rgb(0xB3_26_1E),
        correction: rgb(0x8F_4E_00),
        advice: rgb(0x23_59_8A),
        veil: Color32::from_rgba_premultiplied(10, 14, 18, 90),
        shadow: Color32::from_rgba_premultiplied(6, 8, 10, 40),
    };

    /// Deep slate and chalk.
    pub const DARK: Self = Self {
        sheet: rgb(0x1C_23_2A),
        grid: rgb(0x25_2E_37),
        panel: rgb(0x16_1C_22),
        card: rgb(0x1F_27_2F),
        line: rgb(0x36_41_4C),
        ink: rgb(0xEC_E7_DB),
        soft_ink: rgb(0xA9_B1_B8),
        accent: rgb(0xE7_92_63),
        accent_ground: rgb(0x3A_2A_22),
        on_accent: rgb(0x16_1C_22),
        array: rgb(0xE5_B5_48),
        battery: rgb(0x56_C7_BD),
        ac: rgb(0xAB_A0_F5),
        earth: rgb(0x86_C5_8A),
        dead: rgb(0x68_72_7C),
        danger: rgb(0xFF_8A_80),
        correction: rgb(0xF2_B0_66),
        advice: rgb(0x8C_C1_EE),
        veil: Color32::from_rgba_premultiplied(4, 6, 8, 140),
        shadow: Color32::from_rgba_premultiplied(0, 0, 0, 110),
    };

    /// The colors of a theme.
    pub const fn of(theme: Theme) -> &'static Self {
        match theme {
            Theme::Light => &Self::LIGHT,
            Theme::Dark => &Self::DARK,
        }
    }

    /// The color of a severity. Its shape is in [`super::marks`].
    pub const fn severity(&self, severity: Severity) -> Color32 {
        match severity {
            Severity::Danger => self.danger,
            Severity::Correction => self.correction,
            Severity::Advice => self.advice,
        }
    }

    /// The color of a pen of the sheet.
    pub const fn pen(&self, pen: Pen) -> Color32 {
        match pen {
            Pen::Bus(ink) | Pen::Run(ink) | Pen::Joint(ink) | Pen::Flag(ink) => self.zone(ink),
            Pen::Frame | Pen::Symbol | Pen::Bond | Pen::Text => self.ink,
            Pen::Thin | Pen::Link | Pen::Enclosure | Pen::Place | Pen::SoftText => self.soft_ink,
            Pen::Paper => self.sheet,
            Pen::Correction => self.correction,
            Pen::Advice => self.advice,
            Pen::Selection | Pen::Ghost => self.accent,
            Pen::Danger | Pen::Removed => self.danger,
            Pen::Added => self.earth,
        }
    }

    /// The color of a circuit.
    pub const fn zone(&self, ink: Ink) -> Color32 {
        match ink {
            Ink::Pv => self.array,
            Ink::Battery => self.battery,
            Ink::Ac => self.ac,
            Ink::Earth => self.earth,
            Ink::Dead => self.dead,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fuller_bank_is_lighter() {
        // Weights of the eye for red, green and blue.
        let light = |color: Color32| {
            0.299 * f64::from(color.r()) + 0.587 * f64::from(color.g()) + 0.114 * f64::from(color.b())
        };
        let steps: Vec<f64> = (0..=20).map(|step| light(charge_ramp(f64::from(step) / 20.0))).collect();
        for pair in steps.windows(2) {
            assert!(pair[1] > pair[0] + 4.0, "{pair:?}");
        }
        assert_eq!(charge_ramp(-1.0), charge_ramp(0.0));
        assert_eq!(charge_ramp(2.0), charge_ramp(1.0));
    }
}
