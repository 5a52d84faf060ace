//! Questions with few answers: a number from 0 to 10, or yes or no; each answer named for a screen
//! reader.

use analysis::readiness::Rating;
use egui::{Role, Ui, WidgetInfo, vec2};

use crate::strings::StandWords;

/// What a screen reader says of a list: its name and the entry that is chosen.
pub(crate) fn list_info(name: &str, chosen: &str) -> WidgetInfo {
    let mut info = WidgetInfo::labeled(Role::ComboBox, true, name);
    info.current_text_value = Some(chosen.to_owned());
    info
}

/// A row of the numbers 0 to 10.
pub(crate) fn rating_ui(
    ui: &mut Ui,
    words: &StandWords,
    question: &str,
    answer: &mut Option<Rating>,
) {
    ui.label(question);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for rating in (0..=10).filter_map(Rating::new) {
            let text = rating.points().to_string();
            let name = (words.answer)(question, &text);
            option_ui(ui, vec2(34.0, 32.0), &text, &name, rating, answer);
        }
    });
}

/// Yes or no.
pub(crate) fn yes_no_ui(
    ui: &mut Ui,
    words: &StandWords,
    question: &str,
    answer: &mut Option<bool>,
) {
    ui.horizontal(|ui| {
        for (text, value) in words.yes_no.into_iter().zip([true, false]) {
            let name = (words.answer)(question, text);
            option_ui(ui, vec2(56.0, 32.0), text, &name, value, answer);
        }
        ui.label(question);
    });
}

fn option_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    size: egui::Vec2,
    text: &str,
    name: &str,
    value: T,
    answer: &mut Option<T>,
) {
    let chosen = *answer == Some(value);
    let button = egui::Button::new(text).selected(chosen).min_size(size);
    let response = ui.add(button);
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, chosen, name));
    if response.clicked() {
        *answer = Some(value);
    }
}
