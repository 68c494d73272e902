//! Keys that were pressed, taken out of the input one by one.

use egui::{Context, Event, InputState, Key, KeyboardShortcut};

/// Takes a key out of the input if it was pressed with exactly these modifiers. What counts are the modifiers
/// of the key itself: by the end of the frame they may have been let go.
pub fn take(input: &mut InputState, keys: KeyboardShortcut) -> bool {
    let wanted = keys.modifiers;
    let found = input.events.iter().position(|event| {
        let Event::Key { key, pressed: true, modifiers, .. } = event else { return false };
        *key == keys.logical_key
            && modifiers.shift == wanted.shift
            && modifiers.command == wanted.command
            && !modifiers.alt
    });
    found.is_some_and(|index| {
        input.events.remove(index);
        true
    })
}

/// Whether somebody who types a text, in a field or where he takes one to be, presses these keys.
pub fn could_be_typed(keys: KeyboardShortcut) -> bool {
    !keys.modifiers.command && !matches!(keys.logical_key, Key::Escape | Key::Enter)
}

/// Keys as people read them: `Ctrl++` rather than `Ctrl+Plus`.
pub fn text(ctx: &Context, keys: KeyboardShortcut) -> String {
    let named = ctx.format_shortcut(&keys);
    for (name, sign) in [("Plus", "+"), ("Minus", "−"), ("Equals", "="), ("Slash", "/"), ("Delete", "Del")]
    {
        if let Some(modifiers) = named.strip_suffix(name) {
            return format!("{modifiers}{sign}");
        }
    }
    named
}
