//! The wobble window in mm and in inches, and the limits a clinician sets most.

use acquisition::records::{GuidedBy, PlanDraft};
use analysis::MM_PER_INCH;
use analysis::readiness::THRESHOLDS;
use egui::{DragValue, RichText, Ui};

use crate::strings::PlanWords;
use crate::window::plan::condition::{number_ui, word_ui};

/// Shows both; what is edited goes into the draft.
pub(super) fn limits_ui(ui: &mut Ui, words: &PlanWords, draft: &mut PlanDraft) {
    ui.label(RichText::new(words.window_head).strong());
    let [low_mm, high_mm, low_in, high_in] = words.window_fields;
    let limits = &mut draft.thresholds;
    // One value behind both fields: they cannot fall out of step.
    egui::Grid::new("window").num_columns(4).show(ui, |ui| {
        for (mm_name, inch_name, key, end_mm) in [
            (low_mm, low_in, "wobble_lower_mm", &mut limits.wobble_lower_mm),
            (high_mm, high_in, "wobble_upper_mm", &mut limits.wobble_upper_mm),
        ] {
            let (low, high) = allowed(key);
            let field = DragValue::new(&mut *end_mm).range(low..=high).speed(0.1).max_decimals(2);
            number_ui(ui, field, mm_name, mm_name);
            let inches = |typed: Option<f64>| {
                if let Some(typed) = typed {
                    *end_mm = typed * MM_PER_INCH;
                }
                *end_mm / MM_PER_INCH
            };
            let range = low / MM_PER_INCH..=high / MM_PER_INCH;
            let field = DragValue::from_get_set(inches).range(range).speed(0.005).max_decimals(3);
            number_ui(ui, field, inch_name, inch_name);
            ui.end_row();
        }
    });
    ui.add_space(4.0);
    ui.label(RichText::new(words.limits_head).strong());
    egui::Grid::new("limits").num_columns(2).show(ui, |ui| {
        let field = DragValue::new(&mut draft.sessions_per_day).range(1..=10);
        row_ui(ui, field, words.sessions_field);
        for (key, value) in [
            ("easy_difficulty", &mut limits.easy_difficulty),
            ("pain_ceiling", &mut limits.pain_ceiling),
            ("pain_rise", &mut limits.pain_rise),
        ] {
            let (low, high) = allowed(key);
            let name = (words.limit)(key).unwrap_or(key);
            row_ui(ui, DragValue::new(value).range(low..=high).speed(0.05).max_decimals(1), name);
        }
        for (key, value) in [
            ("min_scored_sessions", &mut limits.min_scored_sessions),
            ("agreeing_verdicts", &mut limits.agreeing_verdicts),
        ] {
            let (low, high) = allowed(key);
            let name = (words.limit)(key).unwrap_or(key);
            row_ui(ui, DragValue::new(value).range(low..=high), name);
        }
    });
    ui.label(RichText::new(words.other_limits).small().weak());
}

/// Shows what holds at home besides where a condition may be done.
pub(super) fn at_home_ui(ui: &mut Ui, words: &PlanWords, draft: &mut PlanDraft) {
    ui.label(RichText::new(words.home_head).strong());
    ui.horizontal_wrapped(|ui| {
        ui.label(words.guided_by_field);
        let (name, all) = (words.guided_by_field, GuidedBy::ALL);
        word_ui(ui, name, 170.0, all, &mut draft.guided_by, words.guided_by);
    });
    if draft.guided_by == GuidedBy::Sight {
        ui.label(RichText::new(words.by_sight_about).weak());
    }
    ui.checkbox(&mut draft.finds_stance_at_home, words.finds_stance_field);
}

fn row_ui(ui: &mut Ui, field: DragValue<'_>, name: &str) {
    number_ui(ui, field, name, name);
    ui.end_row();
}

/// What a plan may set a limit to.
fn allowed(key: &str) -> (f64, f64) {
    let limit = THRESHOLDS.iter().find(|limit| limit.key == key);
    limit.map_or((0.0, f64::MAX), |limit| limit.allowed)
}
