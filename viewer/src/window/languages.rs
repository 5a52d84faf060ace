//! The list from which the window's language is chosen.

use acquisition::home::LanguageKey;
use egui::{ComboBox, Ui};

use crate::strings::{LANGUAGES, Language};
use crate::window::questions::list_info;

/// Width of the list, in points: as much as the longest name of a language takes.
const WIDTH: f32 = 84.0;

/// Shows the list, each language by its own name; gives the one that was chosen instead.
pub(crate) fn languages_ui(ui: &mut Ui, words: &Language) -> Option<LanguageKey> {
    let mut chosen = words.key;
    let shown = words.common.own_name;
    let list = ComboBox::from_id_salt("language")
        .selected_text(shown)
        .width(WIDTH)
        .show_ui(ui, |ui| {
            for other in LANGUAGES {
                ui.selectable_value(&mut chosen, other.key, other.common.own_name);
            }
        })
        .response;
    list.widget_info(|| list_info(words.common.language_label, shown));
    (chosen != words.key).then_some(chosen)
}
