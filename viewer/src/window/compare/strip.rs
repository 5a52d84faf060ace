//! A ratio on a scale that all rows of the table share, with its interval and the smallest
//! detectable change around 1.

use egui::{Color32, Painter, Rect, Stroke, pos2};

use crate::window::compare::layout::share_of_log_axis;
use crate::window::compare::view::{MeasureRow, Strip};
use crate::window::style::Palette;

/// Widest scale: changes beyond this factor are drawn at the edge, with an arrow.
const WIDEST: f64 = 4.0;

/// Narrowest scale, so that small changes do not look large.
const NARROWEST: f64 = 1.5;

/// The factor at both edges of the scale, that holds every row if it can.
pub(crate) fn scale_of(rows: &[MeasureRow]) -> f64 {
    rows.iter()
        .filter_map(|row| row.change.as_ref()?.strip)
        .flat_map(|strip| {
            let [low, high] = strip.interval.unwrap_or([strip.ratio; 2]);
            [low, high, strip.detectable.unwrap_or(1.0)]
        })
        .filter(|ratio| ratio.is_finite() && 0.0 < *ratio)
        .map(|ratio| ratio.max(1.0 / ratio))
        .fold(NARROWEST, f64::max)
        .min(WIDEST)
        * 1.05
}

/// Draws one row's strip into `rect`.
pub(crate) fn paint_strip(
    painter: &Painter,
    rect: Rect,
    strip: &Strip,
    scale: f64,
    palette: Palette,
    ink: Color32,
) {
    let x = |ratio: f64| rect.left() + rect.width() * share_of_log_axis(ratio, scale);
    let middle = rect.center().y;
    if let Some(detectable) = strip.detectable {
        let band = Rect::from_x_y_ranges(x(1.0 / detectable)..=x(detectable), rect.y_range());
        painter.rect_filled(band, 0.0, palette.band);
    }
    painter.vline(x(1.0), rect.y_range(), Stroke::new(1.0, palette.hairline));
    if let Some([low, high]) = strip.interval {
        painter.hline(x(low)..=x(high), middle, Stroke::new(2.0, ink));
        for (end, beyond) in [(low, low < 1.0 / scale), (high, scale < high)] {
            if !beyond {
                painter.vline(x(end), middle - 5.0..=middle + 5.0, Stroke::new(2.0, ink));
            }
        }
    }
    let centre = pos2(x(strip.ratio), middle);
    let diamond = [(0.0, -5.5), (5.5, 0.0), (0.0, 5.5), (-5.5, 0.0)];
    let points = diamond.iter().map(|(dx, dy)| centre + egui::vec2(*dx, *dy)).collect();
    painter.add(egui::Shape::convex_polygon(points, ink, Stroke::NONE));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halving_and_doubling_lie_equally_far_from_the_middle() {
        assert!((share_of_log_axis(1.0, 3.0) - 0.5).abs() < 1e-6);
        assert!((share_of_log_axis(2.0, 3.0) + share_of_log_axis(0.5, 3.0) - 1.0).abs() < 1e-6);
        assert!(share_of_log_axis(9.0, 3.0) >= 1.0 && share_of_log_axis(0.01, 3.0) <= 0.0);
    }
}
