//! The marks of the two sets: A is a disc with an unbroken line, B a square with a broken one.

use egui::{Color32, Pos2, Rect, Response, Sense, Stroke, Ui, Vec2, vec2};

use crate::window::style::{Palette, Side};

/// Lengths of dash and gap of set B's lines, in points.
pub(crate) const DASH: [f32; 2] = [9.0, 5.0];

/// Draws a set's mark around a point.
pub(crate) fn paint_mark(
    painter: &egui::Painter,
    side: Side,
    centre: Pos2,
    radius: f32,
    colour: Color32,
) {
    match side {
        Side::A => {
            painter.circle_filled(centre, radius, colour);
        }
        Side::B => {
            let square = Rect::from_center_size(centre, Vec2::splat(radius * 1.8));
            painter.rect_filled(square, 0.0, colour);
        }
    }
}

/// Draws a set's line from one point to another.
pub(crate) fn paint_line(painter: &egui::Painter, side: Side, ends: [Pos2; 2], stroke: Stroke) {
    match side {
        Side::A => {
            painter.line_segment(ends, stroke);
        }
        Side::B => painter.extend(egui::Shape::dashed_line(&ends, stroke, DASH[0], DASH[1])),
    }
}

/// A set's letter, mark and line, as they appear in every drawing.
pub(crate) fn set_mark(ui: &mut Ui, side: Side) {
    let palette = Palette::of(ui.theme());
    let colour = palette.set(side);
    ui.label(egui::RichText::new(side.letter()).strong().color(colour));
    let (rect, _) = ui.allocate_exact_size(vec2(40.0, 16.0), Sense::empty());
    let painter = ui.painter();
    paint_line(painter, side, [rect.left_center(), rect.right_center()], Stroke::new(2.0, colour));
    paint_mark(painter, side, rect.center(), 5.0, colour);
}

/// A button that shows whether something is in a set; the caller names it for screen readers.
pub(crate) fn set_button(ui: &mut Ui, side: Side, held: bool) -> Response {
    let palette = Palette::of(ui.theme());
    let colour = palette.set(side);
    let (rect, response) = ui.allocate_exact_size(vec2(52.0, 32.0), Sense::click());
    let visuals = ui.style().interact(&response);
    // Seen on the empty and on the filled button.
    let edge = if response.has_focus() {
        Stroke::new(3.0, visuals.text_color())
    } else if response.hovered() {
        Stroke::new(2.0, colour)
    } else {
        Stroke::new(1.0, palette.hairline)
    };
    let (fill, ink) =
        if held { (colour, palette.paper) } else { (palette.paper, visuals.text_color()) };
    let painter = ui.painter();
    painter.rect(rect, 6.0, fill, edge, egui::StrokeKind::Inside);
    let mark = rect.left_center() + vec2(16.0, 0.0);
    if held {
        paint_mark(painter, side, mark, 5.0, ink);
    }
    painter.text(
        rect.right_center() - vec2(18.0, 0.0),
        egui::Align2::CENTER_CENTER,
        side.letter(),
        egui::TextStyle::Button.resolve(ui.style()),
        ink,
    );
    response
}
