//! Where days and values of a course lie in the drawing.

use egui::{Pos2, Rect, pos2};

/// One panel of the drawing: days across, values upward from 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct Panel {
    /// The paper it is drawn on.
    pub(super) rect: Rect,
    /// First and last day.
    pub(super) days: [i32; 2],
    /// Value at the upper edge.
    pub(super) top: f64,
}

/// Room at both ends of the days, so that no mark is cut, in points.
const MARGIN: f32 = 22.0;

impl Panel {
    /// Where a day lies across.
    pub(super) fn x(&self, day: i32) -> f32 {
        let [first, last] = self.days.map(f64::from);
        let share = if first < last { (f64::from(day) - first) / (last - first) } else { 0.5 };
        self.rect.left() + MARGIN + (self.rect.width() - 2.0 * MARGIN) * narrowed(share)
    }

    /// Where a value lies upward; one beyond the edges lies at the edge.
    pub(super) fn y(&self, value: f64) -> f32 {
        let share = (value / self.top).clamp(0.0, 1.0);
        self.rect.bottom() - self.rect.height() * narrowed(share)
    }

    /// Where the value of a day lies.
    pub(super) fn at(&self, day: i32, value: f64) -> Pos2 {
        pos2(self.x(day), self.y(value))
    }
}

/// The position of the day nearest to `x`; `None` without a day.
pub(super) fn nearest(panel: &Panel, days: &[i32], x: f32) -> Option<usize> {
    let away = |index: &usize| (panel.x(days[*index]) - x).abs();
    (0..days.len()).min_by(|a, b| away(a).total_cmp(&away(b)))
}

/// Which of the places, in order, get a label `width` wide: the last always, of the others as many
/// as find room before it.
pub(super) fn labelled(places: &[f32], width: f32) -> Vec<usize> {
    let Some((last, others)) = places.split_last() else { return Vec::new() };
    let mut free_from = f32::NEG_INFINITY;
    let mut kept = Vec::new();
    for (index, place) in others.iter().enumerate() {
        if free_from <= *place && *place + width <= *last {
            kept.push(index);
            free_from = place + width;
        }
    }
    kept.push(others.len());
    kept
}

#[expect(clippy::cast_possible_truncation, reason = "a place on a screen needs no more digits")]
fn narrowed(share: f64) -> f32 {
    share as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    const PANEL: Panel = Panel {
        rect: Rect { min: Pos2::new(0.0, 0.0), max: Pos2::new(144.0, 50.0) },
        days: [100, 110],
        top: 10.0,
    };

    #[test]
    fn days_go_across_and_values_upward() {
        assert_eq!(PANEL.at(100, 0.0), pos2(22.0, 50.0));
        assert_eq!(PANEL.at(110, 10.0), pos2(122.0, 0.0));
        assert_eq!(PANEL.at(105, 5.0), pos2(72.0, 25.0));
        let one = Panel { days: [7, 7], ..PANEL };
        assert_eq!(one.at(7, 99.0), pos2(72.0, 0.0));
    }

    #[test]
    fn the_nearest_day_is_found_and_labels_do_not_touch() {
        assert_eq!(nearest(&PANEL, &[100, 104, 110], 66.0), Some(1));
        assert_eq!(nearest(&PANEL, &[], 60.0), None);
        assert_eq!(labelled(&[0.0, 10.0, 50.0, 95.0, 100.0], 30.0), [0, 2, 4]);
        assert_eq!(labelled(&[], 30.0), [0_usize; 0]);
    }
}
