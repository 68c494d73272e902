//! Contrast by the Web Content Accessibility Guidelines 2.2, level AA: words on every ground on which they stand have 4.5
//! to 1 (success criterion 1.4.3), marks and lines that say something 3 to 1 (1.4.11), in both themes.

use egui::Color32;
use lineside::window::tokens::Tokens;
use lineside_drawing::pen::Ink;
use lineside_rules::Severity;

/// Relative luminance, as the guidelines define it.
fn luminance(color: Color32) -> f64 {
    let part = |byte: u8| {
        let share = f64::from(byte) / 255.0;
        if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * part(color.r()) + 0.7152 * part(color.g()) + 0.0722 * part(color.b())
}

fn contrast(a: Color32, b: Color32) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn contrast_is_as_the_guidelines_define_it() {
    // Their own ends: black on white is 21 to 1, a color on itself 1 to 1; #767676 on white is the known edge of 4.54.
    assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
    assert!((contrast(Color32::from_gray(0x76), Color32::WHITE) - 4.54).abs() < 0.005);
    assert!((contrast(Color32::RED, Color32::RED) - 1.0).abs() < 1e-9);
}

#[test]
fn words_can_be_read_on_every_ground() {
    let mut faults = Vec::new();
    for (theme, tokens) in [("light", Tokens::LIGHT), ("dark", Tokens::DARK)] {
        let grounds = [("sheet", tokens.sheet), ("panel", tokens.panel), ("card", tokens.card)];
        let words = [
            ("ink", tokens.ink),
            ("soft ink", tokens.soft_ink),
            ("accent", tokens.accent),
            ("danger", tokens.danger),
            ("correction", tokens.correction),
            ("advice", tokens.advice),
            ("array", tokens.array),
            ("battery", tokens.battery),
            ("ac", tokens.ac),
            ("earth", tokens.earth),
        ];
        for (ground, under) in grounds {
            for (name, color) in words {
                let found = contrast(color, under);
                if found < 4.5 {
                    faults.push(format!("{theme}: {name} on {ground} has {found:.2}"));
                }
            }
        }
        // What is chosen lies on the ground of the accent; a button's word on the accent itself.
        for (name, color, under) in [
            ("ink on the accent's ground", tokens.ink, tokens.accent_ground),
            ("soft ink on the accent's ground", tokens.soft_ink, tokens.accent_ground),
            ("accent on its ground", tokens.accent, tokens.accent_ground),
            ("a word on the accent", tokens.on_accent, tokens.accent),
        ] {
            let found = contrast(color, under);
            if found < 4.5 {
                faults.push(format!("{theme}: {name} has {found:.2}"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn marks_and_conductors_can_be_seen() {
    for tokens in [Tokens::LIGHT, Tokens::DARK] {
        for under in [tokens.sheet, tokens.panel, tokens.card, tokens.accent_ground] {
            for severity in Severity::ALL {
                let found = contrast(tokens.severity(severity), under);
                assert!(found >= 3.0, "{severity:?} has {found:.2}");
            }
        }
        for ink in [Ink::Pv, Ink::Battery, Ink::Ac, Ink::Earth, Ink::Dead] {
            let found = contrast(tokens.zone(ink), tokens.sheet);
            assert!(found >= 3.0, "{ink:?} has {found:.2}");
        }
        // The ring of what has the keyboard.
        for under in [tokens.sheet, tokens.panel, tokens.card] {
            assert!(contrast(tokens.accent, under) >= 3.0);
        }
    }
}
