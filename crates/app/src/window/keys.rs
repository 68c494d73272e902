//! Keys that were pressed, taken out of the input one by one.

use egui::{Context, Event, InputState, KeyboardShortcut};

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
