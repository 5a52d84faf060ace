//! The table of differences: one row a measure, those that lead first.

use egui::{Align, Layout, RichText, Role, Sense, Ui, WidgetInfo, vec2};

use crate::strings::CompareWords;
use crate::window::compare::strip;
use crate::window::compare::view::{MeasureRow, VerdictMark};
use crate::window::style::{Palette, Side};

/// Height of one row, in points: two lines of text and air.
const ROW_HEIGHT: f32 = 46.0;

/// Shares of the table's width: measure, A, B, change, strip, verdict.
const SHARES: [f32; 6] = [0.27, 0.11, 0.11, 0.17, 0.18, 0.16];

/// Draws the header and the rows `shown`.
pub(crate) fn table_ui<'v>(
    ui: &mut Ui,
    words: &CompareWords,
    change_head: &str,
    shown: impl Iterator<Item = &'v MeasureRow>,
    scale: f64,
) {
    ui.spacing_mut().item_spacing.y = 3.0;
    header_ui(ui, words, change_head);
    for row in shown {
        ui.separator();
        cells_ui(ui, ROW_HEIGHT, |ui, column| match column {
            0 => {
                two_lines_ui(ui, RichText::new(&row.name), &row.unit);
            }
            1 | 2 => {
                ui.label(&row.values[column - 1]);
            }
            3 => match &row.change {
                Some(change) => {
                    two_lines_ui(ui, RichText::new(&change.text).strong(), &change.interval);
                }
                None => {
                    ui.label(RichText::new(words.no_change).weak());
                }
            },
            4 => strip_ui(ui, words, row, scale),
            _ => verdict_ui(ui, row),
        });
    }
}

fn header_ui(ui: &mut Ui, words: &CompareWords, change_head: &str) {
    let palette = Palette::of(ui.theme());
    let heads = [words.measure_head, "A", "B", change_head, "", words.verdict_head];
    cells_ui(ui, 40.0, |ui, column| {
        let text = RichText::new(heads[column]);
        ui.label(match column {
            1 => text.strong().color(palette.set(Side::A)),
            2 => text.strong().color(palette.set(Side::B)),
            _ => text.weak(),
        });
    });
}

/// Lays out one cell a column, all of one height.
fn cells_ui(ui: &mut Ui, height: f32, mut cell: impl FnMut(&mut Ui, usize)) {
    let width = ui.available_width();
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for (column, share) in SHARES.iter().enumerate() {
            let size = vec2(width * share, height);
            ui.allocate_ui_with_layout(size, Layout::top_down(Align::Min), |ui| {
                ui.set_min_size(size);
                // Words end before the next column begins.
                let inner = vec2(size.x - 8.0, height);
                ui.allocate_ui_with_layout(inner, Layout::top_down(Align::Min), |ui| {
                    ui.spacing_mut().item_spacing.y = 2.0;
                    cell(ui, column);
                });
            });
        }
    });
}

fn two_lines_ui(ui: &mut Ui, first: RichText, second: &str) {
    ui.label(first);
    if !second.is_empty() {
        ui.label(RichText::new(second).small().weak());
    }
}

fn strip_ui(ui: &mut Ui, words: &CompareWords, row: &MeasureRow, scale: f64) {
    let Some(change) = &row.change else { return };
    let Some(drawn) = &change.strip else { return };
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width() - 8.0, 30.0), Sense::hover());
    let ink = ui.visuals().text_color();
    strip::paint_strip(ui.painter(), rect, drawn, scale, Palette::of(ui.theme()), ink);
    let about = (words.strip_about)(&row.name, &change.text, &change.interval, &row.verdict);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &about));
    response.on_hover_text(about);
}

fn verdict_ui(ui: &mut Ui, row: &MeasureRow) {
    let text = RichText::new(&row.verdict);
    let text = if row.mark == VerdictMark::Exceeds { text.strong() } else { text };
    two_lines_ui(ui, text, &row.detectable);
}
