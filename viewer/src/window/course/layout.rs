//! Where days and values of a course lie in the drawing.

use egui::{Pos2, Rect, pos2};

/// One panel of the drawing: days across, values upward from 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct Panel {
    /// The paper it is drawn on.
    pub(super) rect: Rect,
    /// First and last day in sight; both may lie between two days.
    pub(super) days: [f64; 2],
    /// Value at the upper edge.
    pub(super) top: f64,
}

/// Room at both ends of the days, so that no mark is cut, in points.
const MARGIN: f32 = 22.0;

impl Panel {
    /// Where a day lies across.
    pub(super) fn x(&self, day: i32) -> f32 {
        let [first, last] = self.days;
        let share = if first < last { (f64::from(day) - first) / (last - first) } else { 0.5 };
        self.rect.left() + MARGIN + (self.rect.width() - 2.0 * MARGIN) * narrowed(share)
    }

    /// How far apart two days that follow each other lie; 0 for a single day.
    pub(super) fn points_per_day(&self) -> f32 {
        let [first, last] = self.days;
        let width = f64::from(self.rect.width() - 2.0 * MARGIN);
        if first < last { narrowed(width / (last - first)) } else { 0.0 }
    }

    /// The day, or place between two days, at `x`.
    pub(super) fn day_at(&self, x: f32) -> f64 {
        let [first, last] = self.days;
        let share = (x - self.rect.left() - MARGIN) / (self.rect.width() - 2.0 * MARGIN);
        first + f64::from(share) * (last - first)
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

/// Fewest days that zooming leaves in sight (our own choice).
const FEWEST_DAYS: f64 = 6.0;

/// The days in sight after zooming by `factor`, of which `around` stays where it is; `None` for all
/// days.
pub(super) fn zoomed(
    in_sight: [f64; 2],
    all: [f64; 2],
    factor: f64,
    around: f64,
) -> Option<[f64; 2]> {
    let [left, right] = in_sight;
    let width = ((right - left) / factor).max(FEWEST_DAYS);
    let share = ((around - left) / (right - left)).clamp(0.0, 1.0);
    within(around.clamp(left, right) - share * width, width, all)
}

/// The days in sight after moving by so many days; `None` for all days.
pub(super) fn moved(in_sight: [f64; 2], all: [f64; 2], by: f64) -> Option<[f64; 2]> {
    within(in_sight[0] + by, in_sight[1] - in_sight[0], all)
}

/// The days in sight moved as little as shows `day`; `None` for all days.
pub(super) fn showing(in_sight: [f64; 2], all: [f64; 2], day: f64) -> Option<[f64; 2]> {
    moved(in_sight, all, (day - in_sight[1]).max(0.0) + (day - in_sight[0]).min(0.0))
}

fn within(left: f64, width: f64, [first, last]: [f64; 2]) -> Option<[f64; 2]> {
    if last - first <= width {
        return None;
    }
    let left = left.clamp(first, last - width);
    Some([left, left + width])
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
        days: [100.0, 110.0],
        top: 10.0,
    };

    #[test]
    fn days_go_across_and_values_upward() {
        assert_eq!(PANEL.at(100, 0.0), pos2(22.0, 50.0));
        assert_eq!(PANEL.at(110, 10.0), pos2(122.0, 0.0));
        assert_eq!(PANEL.at(105, 5.0), pos2(72.0, 25.0));
        let one = Panel { days: [7.0, 7.0], ..PANEL };
        assert_eq!(one.at(7, 99.0), pos2(72.0, 0.0));
    }

    #[test]
    fn the_nearest_day_is_found_and_labels_do_not_touch() {
        assert_eq!(nearest(&PANEL, &[100, 104, 110], 66.0), Some(1));
        assert_eq!(nearest(&PANEL, &[], 60.0), None);
        assert_eq!(labelled(&[0.0, 10.0, 50.0, 95.0, 100.0], 30.0), [0, 2, 4]);
        assert_eq!(labelled(&[], 30.0), [0_usize; 0]);
    }

    #[test]
    fn what_is_pointed_at_stays_where_it_is() {
        assert!((PANEL.day_at(PANEL.x(104)) - 104.0).abs() < 1e-6);
        assert!((PANEL.points_per_day() - 10.0).abs() < 1e-6);
        let all = [0.0, 700.0];
        let Some(seen) = zoomed(all, all, 7.0, 350.0) else { panic!("all is seen") };
        assert_eq!(Some(seen), Some([300.0, 400.0]));
        assert_eq!(zoomed(seen, all, 2.0, 300.0), Some([300.0, 350.0]));
        assert_eq!(zoomed(seen, all, 0.1, 350.0), None);
        assert_eq!(zoomed(seen, all, 1e9, 350.0), Some([347.0, 353.0]));
        assert_eq!(zoomed([0.0, 4.0], [0.0, 4.0], 2.0, 2.0), None, "a short course is not zoomed");
    }

    #[test]
    fn moving_ends_at_the_first_and_the_last_day() {
        let all = [0.0, 700.0];
        assert_eq!(moved([300.0, 400.0], all, -1000.0), Some([0.0, 100.0]));
        assert_eq!(moved([300.0, 400.0], all, 350.0), Some([600.0, 700.0]));
        assert_eq!(moved(all, all, 5.0), None);
        assert_eq!(showing([300.0, 400.0], all, 420.0), Some([320.0, 420.0]));
        assert_eq!(showing([300.0, 400.0], all, 250.0), Some([250.0, 350.0]));
        assert_eq!(showing([300.0, 400.0], all, 350.0), Some([300.0, 400.0]));
    }
}
