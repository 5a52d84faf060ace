//! Another language while the window is open.

use acquisition::home::LanguageKey;

use super::FootingWindow;
use crate::strings::{Language, Message};
use crate::window::style;

impl FootingWindow {
    /// Says everything in another language from now on, and remembers it.
    pub(super) fn set_language(&mut self, ctx: &egui::Context, key: LanguageKey) {
        let words = Language::of(key);
        self.words = words;
        self.threads.words.set(words);
        style::write_numbers(ctx, words);
        self.threads.clinic.change_language(key);
        self.screens.people.refresh();
        self.screens.choose.refresh();
        if let Some(compared) = self.picked.compared.take() {
            self.ask_to_compare(compared);
        }
        if let Some([what, why, what_to_do]) =
            words.common.language_caution.map(|it| it.map(str::to_owned))
        {
            self.messages.add(Message { what, why, what_to_do });
        }
    }
}
