//! Zooming by keys, the same on every drawing.

use egui::{Key, Ui};

/// What the person asked the drawing to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Zoom {
    In,
    Out,
    All,
}

impl Zoom {
    /// How much a key zooms.
    pub(crate) const FACTOR: f32 = 1.3;

    /// By plus, minus and 0, unless something is being typed.
    pub(crate) fn from_keys(ui: &Ui) -> Option<Self> {
        if ui.ctx().text_edit_focused() {
            return None;
        }
        ui.input(|input| {
            let pressed = |key| input.modifiers.is_none() && input.key_pressed(key);
            // Typed with Shift on some keyboards; with Ctrl it enlarges the whole window.
            let is_typed = input.modifiers.is_none() || input.modifiers.shift_only();
            if is_typed && input.key_pressed(Key::Plus) || pressed(Key::Equals) {
                Some(Self::In)
            } else if pressed(Key::Minus) {
                Some(Self::Out)
            } else {
                pressed(Key::Num0).then_some(Self::All)
            }
        })
    }
}
