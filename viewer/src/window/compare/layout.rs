//! From what is to be drawn to as many points as the screen can show.

use std::collections::BTreeSet;

/// A path without the points that lie within `step` of the last one kept, in both directions.
///
/// The last point is always kept. `step` is less than a pixel, so the drawing does not change.
pub(crate) fn thinned(points: &[[f64; 2]], step: f64) -> Vec<[f64; 2]> {
    let mut kept: Vec<[f64; 2]> = Vec::with_capacity(points.len());
    for point in points {
        let near = kept.last().is_some_and(|last| {
            (point[0] - last[0]).abs() < step && (point[1] - last[1]).abs() < step
        });
        if !near {
            kept.push(*point);
        }
    }
    if let Some(last) = points.last()
        && kept.last() != Some(last)
    {
        kept.push(*last);
    }
    kept
}

/// The parts of a path that enter cells of `step` by `step` for the first time, each with the point it
/// comes from: where a long record has inked the paper, nothing is drawn again.
///
/// A path that reaches `n` steps to each side has at most twice as many points as there are cells,
/// `8 n n`, however long it lasts.
pub(crate) fn sketched(points: &[[f64; 2]], step: f64) -> Vec<Vec<[f64; 2]>> {
    #[expect(clippy::cast_possible_truncation, reason = "cells of a screen")]
    let cell = |point: &[f64; 2]| point.map(|value| (value / step).floor() as i64);
    let mut visited: BTreeSet<[i64; 2]> = BTreeSet::new();
    let mut parts: Vec<Vec<[f64; 2]>> = Vec::new();
    let (mut before, mut last_cell, mut drawing) = (None, None, false);
    for point in points {
        let here = Some(cell(point));
        // Most points lie in the cell of the one before them.
        if here != last_cell {
            let was_drawing = drawing;
            drawing = here.is_some_and(|here| visited.insert(here));
            if drawing && !was_drawing {
                parts.push(before.into_iter().collect());
            }
            if drawing && let Some(part) = parts.last_mut() {
                part.push(*point);
            }
        }
        (last_cell, before) = (here, Some(*point));
    }
    parts
}

/// How far a line climbs and falls on the screen, in points; `step` is the value of a point upward.
pub(crate) fn climb(points: &[[f64; 2]], step: f64) -> f32 {
    let climb: f64 = points.windows(2).map(|pair| (pair[1][1] - pair[0][1]).abs()).sum();
    #[expect(clippy::cast_possible_truncation, reason = "a length on the screen")]
    let climb = (climb / step.abs()) as f32;
    climb
}

/// The largest coordinate of a path, without its sign; 0 without points.
pub(crate) fn reach(points: &[[f64; 2]]) -> f64 {
    points.iter().flatten().fold(0.0, |reach, value| reach.max(value.abs()))
}

/// How far to the right a ratio lies: 0 at the left edge, 0.5 at 1, 1 at the right edge.
pub(crate) fn share_of_log_axis(ratio: f64, scale: f64) -> f32 {
    let share = 0.5 + 0.5 * ratio.ln() / scale.ln();
    #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
    let share = share.clamp(0.0, 1.0) as f32;
    share
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn climbing_and_falling_both_count() {
        let points = [[0.0, 0.0], [1.0, 3.0], [2.0, -1.0]];
        assert!((climb(&points, -0.5) - 14.0).abs() < 1e-6);
        assert!(climb(&points[..1], 1.0) < 1e-6);
    }

    #[test]
    fn a_path_keeps_its_end_and_its_reach() {
        let points = [[0.0, 0.0], [0.1, 0.0], [5.0, 0.0], [5.05, 0.02]];
        assert_eq!(thinned(&points, 0.3), [[0.0, 0.0], [5.0, 0.0], [5.05, 0.02]]);
        assert!(thinned(&[], 0.3).is_empty());
    }

    #[test]
    fn a_path_that_comes_again_is_drawn_once() {
        let circle = |n: u32| {
            let angle = f64::from(n) * std::f64::consts::TAU / 1000.0;
            [10.0 * angle.cos(), 10.0 * angle.sin()]
        };
        let round: Vec<[f64; 2]> = (0..100_000).map(circle).collect();
        let sketch = sketched(&round, 0.5);
        let n_points: usize = sketch.iter().map(Vec::len).sum();
        // Twice the cells a circle of 40 cells across can touch.
        assert!(n_points <= 2 * 8 * 20, "{n_points}");
        // Every point has ink within a cell of it.
        for point in &round[..1000] {
            let near = |other: &&[f64; 2]| (0..2).all(|i| (other[i] - point[i]).abs() <= 1.0);
            assert!(sketch.iter().flatten().any(|other| near(&other)), "{point:?}");
        }
        assert!(sketched(&[], 1.0).is_empty());
    }
}
