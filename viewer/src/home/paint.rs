//! The page on the screen: large enough to be read from two metres.

use egui::{Align2, Color32, FontId, Pos2, Rect, RichText, Sense, Shape, Stroke, vec2};

use super::page::{Choice, Meter, Page};
use crate::strings::PracticeWords;

/// Height of the letters of the title, of the lines and on the buttons, as shares of the window's
/// height: on a laptop of 19 cm height, 13 mm, 7 mm and 8 mm (our own choice).
const TITLE_SHARE: f32 = 0.07;
const LINE_SHARE: f32 = 0.037;
const BUTTON_SHARE: f32 = 0.042;
const NUMBER_SHARE: f32 = 0.22;

/// Height of a button and of the meter, as shares of the window's height.
const BUTTON_HEIGHT_SHARE: f32 = 0.14;
const METER_SHARE: f32 = 0.24;

/// Shows the page; the choice that was made, if one was.
pub(crate) fn ui(ui: &mut egui::Ui, page: &Page, words: &PracticeWords) -> Option<Choice> {
    let height = ui.available_height();
    let mut made = None;
    ui.vertical_centered(|ui| {
        ui.add_space(height * 0.06);
        ui.label(RichText::new(&page.title).size(height * TITLE_SHARE).strong());
        ui.add_space(height * 0.03);
        if let Some(number) = &page.number {
            ui.label(RichText::new(number).size(height * NUMBER_SHARE));
        }
        if let Some(meter) = &page.meter {
            meter_ui(ui, meter, height * METER_SHARE, words);
        }
        for line in &page.lines {
            ui.label(RichText::new(line).size(height * LINE_SHARE));
        }
    });
    ui.with_layout(egui::Layout::bottom_up(egui::Align::Center), |ui| {
        ui.add_space(height * 0.04);
        let gap = 16.0;
        let n_buttons = page.choices.len() as f32;
        let width = ((ui.available_width() - gap * 4.0) / 3.0).min(height * 0.6);
        ui.allocate_ui(vec2(width * n_buttons + gap * (n_buttons - 1.0), 0.0), |ui| {
            ui.horizontal(|ui| {
                ui.spacing_mut().item_spacing.x = gap;
                for choice in &page.choices {
                    let text = RichText::new(name(*choice, words)).size(height * BUTTON_SHARE);
                    let size = vec2(width, height * BUTTON_HEIGHT_SHARE);
                    if ui.add_sized(size, egui::Button::new(text).wrap()).clicked() {
                        made = Some(*choice);
                    }
                }
            });
        });
    });
    made.or_else(|| typed(ui.ctx(), &page.choices))
}

/// Keys do what the buttons do: Y, N, arrows, Enter, Escape.
fn typed(ctx: &egui::Context, choices: &[Choice]) -> Option<Choice> {
    const KEYS: [(egui::Key, Choice); 8] = [
        (egui::Key::Y, Choice::Yes),
        (egui::Key::N, Choice::No),
        (egui::Key::G, Choice::GoOn),
        (egui::Key::ArrowDown, Choice::Less),
        (egui::Key::ArrowUp, Choice::More),
        (egui::Key::T, Choice::ThatMany),
        (egui::Key::P, Choice::Again),
        (egui::Key::Escape, Choice::Enough),
    ];
    ctx.input(|input| {
        let pressed = |&&(key, choice): &&(egui::Key, Choice)| {
            choices.contains(&choice) && input.key_pressed(key)
        };
        KEYS.iter().find(pressed).map(|&(_, choice)| choice)
    })
}

fn name(choice: Choice, words: &PracticeWords) -> &'static str {
    match choice {
        Choice::Yes => words.yes,
        Choice::No => words.no,
        Choice::GoOn => words.go_on,
        Choice::Less => words.less,
        Choice::More => words.more,
        Choice::ThatMany => words.that_many,
        Choice::Again => words.again,
        Choice::Enough => words.enough,
        Choice::TryAgain => words.try_again,
        Choice::Leave => words.leave,
    }
}

/// A bar from no wobble to twice the window, the window as a raised block, the wobble as a disc in
/// it or a pointed mark outside: shape and place tell, not colour alone.
fn meter_ui(ui: &mut egui::Ui, meter: &Meter, height: f32, words: &PracticeWords) {
    let width = ui.available_width() * 0.8;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let at = |share: f32| rect.left() + share * rect.width();
    let painter = ui.painter_at(rect);
    let ink = ui.visuals().text_color();
    let middle = rect.center().y;
    painter.line_segment(
        [Pos2::new(rect.left(), middle), Pos2::new(rect.right(), middle)],
        Stroke::new(4.0, ink.gamma_multiply(0.4)),
    );
    let window = Rect::from_x_y_ranges(
        at(meter.lower)..=at(meter.upper),
        (middle - height * 0.32)..=(middle + height * 0.32),
    );
    painter.rect_filled(window, 12.0, ink.gamma_multiply(0.12));
    painter.rect_stroke(window, 12.0, Stroke::new(4.0, ink), egui::StrokeKind::Inside);
    let text = match meter.wobble {
        None => words.wobble_not_known,
        Some(wobble) if wobble < meter.lower => words.wobble_too_little,
        Some(wobble) if meter.upper < wobble => words.wobble_too_much,
        Some(_) => words.wobble_inside,
    };
    if let Some(wobble) = meter.wobble {
        let centre = Pos2::new(at(wobble), middle);
        let radius = height * 0.2;
        if (meter.lower..=meter.upper).contains(&wobble) {
            painter.circle_filled(centre, radius, Color32::from_rgb(0x2a, 0x86, 0x6f));
        } else {
            let toward = if wobble < meter.lower { radius } else { -radius };
            painter.add(Shape::convex_polygon(
                vec![
                    centre + vec2(toward, 0.0),
                    centre + vec2(-toward, radius),
                    centre + vec2(-toward, -radius),
                ],
                Color32::from_rgb(0xb4, 0x51, 0x1a),
                Stroke::NONE,
            ));
        }
    }
    painter.text(
        Pos2::new(rect.center().x, rect.bottom()),
        Align2::CENTER_BOTTOM,
        text,
        FontId::proportional(height * 0.16),
        ink,
    );
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, text));
}
