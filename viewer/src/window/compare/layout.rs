//! From what is to be drawn to as many points as the screen can show.

/// A line reduced to what each of `n_columns` columns of pixels can show: its first, lowest, highest
/// and last point.
///
/// `points` have x growing; only those in `[left, right]` and one neighbour on each side are kept.
/// Extremes always survive, so a short peak is never lost by drawing.
pub(crate) fn columns(points: &[[f64; 2]], left: f64, right: f64, n_columns: f64) -> Vec<[f64; 2]> {
    let start = points.partition_point(|p| p[0] < left).saturating_sub(1);
    let end = (points.partition_point(|p| p[0] <= right) + 1).min(points.len());
    let inside = &points[start.min(end)..end];
    let width = (right - left) / n_columns;
    if inside.len() as f64 <= 4.0 * n_columns || !width.is_normal() {
        return inside.to_vec();
    }
    #[expect(clippy::cast_possible_truncation, reason = "columns of a screen")]
    let column = |p: &[f64; 2]| ((p[0] - left) / width).floor() as i64;
    let mut reduced = Vec::new();
    for in_column in inside.chunk_by(|a, b| column(a) == column(b)) {
        let lowest = position(in_column, |a, b| a < b);
        let highest = position(in_column, |a, b| a > b);
        let mut kept = [0, lowest, highest, in_column.len() - 1];
        kept.sort_unstable();
        let mut last = None;
        for index in kept {
            if last != Some(index) {
                reduced.push(in_column[index]);
                last = Some(index);
            }
        }
    }
    reduced
}

/// Position of the first point whose height is ahead of all before it.
fn position(points: &[[f64; 2]], ahead: fn(f64, f64) -> bool) -> usize {
    let mut best = 0;
    for (index, point) in points.iter().enumerate() {
        if ahead(point[1], points[best][1]) {
            best = index;
        }
    }
    best
}

/// Round places for numbers along an axis from `low` to `high`, at least `least_step` apart, and
/// the step between them: 1, 2 or 5 times a power of ten.
pub(crate) fn round_places(low: f64, high: f64, least_step: f64) -> (f64, Vec<f64>) {
    /// More numbers than any axis has room for.
    const MOST: f64 = 200.0;
    let usable = [low, high, least_step].iter().all(|v| v.is_finite());
    if !usable || least_step <= 0.0 || high <= low {
        return (1.0, Vec::new());
    }
    let power = 10.0_f64.powf(least_step.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|round| round * power);
    let step = step.into_iter().find(|step| least_step <= *step).unwrap_or(10.0 * power);
    let first = (low / step).ceil();
    let n_places = ((high / step).floor() - first + 1.0).clamp(0.0, MOST);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number from 0 to MOST"
    )]
    let places = (0..n_places as usize).map(|i| (first + i as f64) * step).collect();
    (step, places)
}

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

    fn ramp(n: usize) -> Vec<[f64; 2]> {
        (0..n).map(|i| [i as f64, 0.0]).collect()
    }

    #[test]
    fn a_single_peak_survives_in_few_columns() {
        let mut points = ramp(10_000);
        points[7_777][1] = 50.0;
        points[3_333][1] = -40.0;
        let reduced = columns(&points, 0.0, 9_999.0, 100.0);
        assert!(reduced.len() <= 4 * 101, "{}", reduced.len());
        assert!(reduced.contains(&[7_777.0, 50.0]) && reduced.contains(&[3_333.0, -40.0]));
        assert_eq!((reduced[0], reduced[reduced.len() - 1]), (points[0], points[9_999]));
        assert!(reduced.windows(2).all(|pair| pair[0][0] < pair[1][0]));
    }

    #[test]
    fn only_what_is_in_sight_and_its_neighbours_is_kept() {
        let points = ramp(100);
        let seen = columns(&points, 10.0, 20.0, 500.0);
        assert_eq!((seen[0][0], seen[seen.len() - 1][0]), (9.0, 21.0));
        assert!(columns(&[], 0.0, 1.0, 10.0).is_empty());
        assert_eq!(columns(&points, 200.0, 300.0, 10.0).len(), 1);
    }

    #[test]
    fn numbers_along_an_axis_are_round_and_not_too_close() {
        let (step, places) = round_places(-22.0, 41.0, 11.0);
        assert!((step - 20.0).abs() < 1e-9);
        assert_eq!(places, [-20.0, 0.0, 20.0, 40.0]);
        assert!((round_places(0.0, 1.0, 0.05).0 - 0.05).abs() < 1e-12);
        assert_eq!(round_places(1.0, 1.0, 0.1).1.len(), 0);
        assert_eq!(round_places(0.0, f64::INFINITY, 0.1).1.len(), 0);
        assert!(round_places(0.0, 1e9, 1e-3).1.len() <= 200);
    }

    #[test]
    fn a_path_keeps_its_end_and_its_reach() {
        let points = [[0.0, 0.0], [0.1, 0.0], [5.0, 0.0], [5.05, 0.02]];
        assert_eq!(thinned(&points, 0.3), [[0.0, 0.0], [5.0, 0.0], [5.05, 0.02]]);
        assert!(thinned(&[], 0.3).is_empty());
    }
}
