//! Convex hull and diameter of a set of points.

use crate::point::Point;

/// Twice the signed area of the triangle a, b, c: positive for a left turn.
fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b.re - a.re) * (c.im - a.im) - (b.im - a.im) * (c.re - a.re)
}

/// Sorts `points` and leaves the corners of their convex hull in `hull`, counter-clockwise, without
/// points on its edges. `points` may be in any order and may hold copies.
///
/// # Source
/// Andrew 1979, Information Processing Letters 9:216 (monotone chain).
pub(crate) fn convex_hull(points: &mut [Point], hull: &mut Vec<Point>) {
    hull.clear();
    points.sort_unstable_by(|a, b| a.re.total_cmp(&b.re).then(a.im.total_cmp(&b.im)));
    let Some(&first) = points.first() else { return };
    let add = |hull: &mut Vec<Point>, floor: usize, point: Point| {
        while floor < hull.len() && turn(hull[hull.len() - 2], hull[hull.len() - 1], point) <= 0.0 {
            hull.pop();
        }
        hull.push(point);
    };
    for &point in points.iter() {
        add(hull, 1, point);
    }
    let floor = hull.len();
    for &point in points.iter().rev().skip(1) {
        add(hull, floor, point);
    }
    // The chain has come back to where it began.
    if 1 < hull.len() && hull[hull.len() - 1] == first {
        hull.pop();
    }
}

/// Area within a hull given in order, in the square of its unit.
pub(crate) fn area(hull: &[Point]) -> f64 {
    let Some(&origin) = hull.first() else { return 0.0 };
    0.5 * hull.windows(2).map(|edge| turn(origin, edge[0], edge[1])).sum::<f64>()
}

/// Largest distance between any two corners of a convex hull given counter-clockwise.
///
/// # Source
/// Shamos 1978, Computational Geometry, doctoral thesis, Yale (antipodal pairs; "rotating calipers"
/// is the later name of Toussaint 1983).
pub(crate) fn diameter(hull: &[Point]) -> f64 {
    let n = hull.len();
    if n < 2 {
        return 0.0;
    }
    let mut opposite = 1;
    let mut largest: f64 = 0.0;
    for i in 0..n {
        let (from, to) = (hull[i], hull[(i + 1) % n]);
        while turn(from, to, hull[opposite]) < turn(from, to, hull[(opposite + 1) % n]) {
            opposite = (opposite + 1) % n;
        }
        // The neighbour is looked at too, for edges parallel to this one.
        let beyond = hull[(opposite + 1) % n];
        for far in [hull[opposite], beyond] {
            largest = largest.max((far - from).norm_sqr()).max((far - to).norm_sqr());
        }
    }
    largest.sqrt()
}
