//! What gets the keyboard comes into view: lists scroll to it, as they would for assistive technology.

use super::app::App;
use egui::accesskit::{Action, ActionRequest, TreeId};
use egui::{Context, Event, Id};

/// What was seen to have the keyboard, and what is to be brought into view.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Reveal {
    seen: Option<Id>,
    wanted: Option<Id>,
}

impl App {
    /// Asks the lists to scroll to what got the keyboard in the frame before. At the beginning of a frame.
    pub(super) fn scroll_to_focus(&mut self, ctx: &Context) {
        let Some(id) = self.state.reveal.wanted.take() else { return };
        let request = ActionRequest {
            action: Action::ScrollIntoView,
            target_tree: TreeId::ROOT,
            target_node: id.accesskit_id(),
            data: None,
        };
        ctx.input_mut(|input| input.events.push(Event::AccessKitActionRequest(request)));
    }

    /// Notes when something out of view has got the keyboard. At the end of a frame.
    pub(super) fn watch_focus(&mut self, ctx: &Context) {
        let focused = ctx.memory(egui::Memory::focused);
        if focused == self.state.reveal.seen {
            return;
        }
        self.state.reveal.seen = focused;
        // The sheet moves its paper itself, and what is clicked is in view.
        let by_pointer = ctx.input(|input| input.pointer.any_pressed() || input.pointer.any_released());
        let Some(id) = focused.filter(|_| !by_pointer && !self.state.panels.sheet.has_focus(ctx)) else {
            return;
        };
        let hidden = ctx
            .read_response(id)
            .is_some_and(|response| !response.interact_rect.expand(1.0).contains_rect(response.rect));
        if hidden {
            self.state.reveal.wanted = Some(id);
            ctx.request_repaint();
        }
    }
}
