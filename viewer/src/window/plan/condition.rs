//! One condition of the plan: five words, a dose, where it may be done, and its place in the order.

use acquisition::records::{PlannedCondition, Release};
use analysis::{Band, Stance, Support, Surface, Vision};
use egui::{ComboBox, DragValue, Response, RichText, Role, Ui, WidgetInfo};

use crate::strings::{PlanWords, typed};
use crate::window::questions::list_info;
use crate::window::style;

/// What is to be done with the condition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Move {
    Earlier,
    Later,
    Remove,
}

/// Shows the condition at a position of `n_conditions`; gives what is to be done with it.
pub(super) fn condition_ui(
    ui: &mut Ui,
    words: &PlanWords,
    planned: &mut PlannedCondition,
    (index, n_conditions): (usize, usize),
) -> Option<Move> {
    let n = index + 1;
    let named = |field: &str| (words.of_condition)(field, n);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.label(RichText::new(format!("{n}")).text_style(style::large()));
        let condition = &mut planned.condition;
        let [surface, stance, vision, support, band] = words.five.map(named);
        word_ui(ui, &surface, 76.0, Surface::ALL, &mut condition.surface, words.surface);
        word_ui(ui, &stance, 96.0, Stance::ALL, &mut condition.stance, words.stance);
        word_ui(ui, &vision, 96.0, Vision::ALL, &mut condition.vision, words.vision);
        word_ui(ui, &support, 96.0, Support::ALL, &mut condition.support, words.support);
        word_ui(ui, &band, 96.0, Band::ALL, &mut condition.band, words.band);
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.add_space(24.0);
        let dose = &mut planned.dose;
        let [holds, hold, rest] = words.dose_fields;
        let [holds_short, hold_short, rest_short] = words.dose_labels;
        let field = DragValue::new(&mut dose.holds).range(1..=100);
        number_ui(ui, field, holds_short, &named(holds));
        let field = DragValue::new(&mut dose.hold_s).range(1.0..=3600.0);
        number_ui(ui, field, hold_short, &named(hold));
        let field = DragValue::new(&mut dose.rest_s).range(0.0..=3600.0);
        number_ui(ui, field, rest_short, &named(rest));
        let release = named(words.release_field);
        word_ui(ui, &release, 170.0, Release::ALL, &mut planned.release, words.release);
    });
    let mut asked = None;
    ui.horizontal(|ui| {
        ui.add_space(24.0);
        for (text, possible, what) in [
            (words.earlier, 0 < index, Move::Earlier),
            (words.later, n < n_conditions, Move::Later),
            (words.remove, 1 < n_conditions, Move::Remove),
        ] {
            let button = ui.add_enabled(possible, egui::Button::new(text));
            let name = named(text);
            button.widget_info(|| WidgetInfo::labeled(Role::Button, possible, &name));
            if button.clicked() {
                asked = Some(what);
            }
        }
    });
    asked
}

/// A list of words for one value.
pub(super) fn word_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    name: &str,
    width: f32,
    all: &[T],
    value: &mut T,
    word: fn(T) -> &'static str,
) {
    let shown = word(*value);
    let combo = ComboBox::from_id_salt(name)
        .selected_text(shown)
        .width(width)
        .show_ui(ui, |ui| {
            for &one in all {
                ui.selectable_value(value, one, word(one));
            }
        })
        .response;
    combo.widget_info(|| list_info(name, shown));
}

/// A number with its name before it, and a longer name for a screen reader.
pub(super) fn number_ui(ui: &mut Ui, field: DragValue<'_>, label: &str, name: &str) -> Response {
    let label = ui.label(label);
    label.widget_info(|| WidgetInfo::labeled(Role::Label, true, name));
    ui.add(field.custom_parser(typed)).labelled_by(label.id)
}
