//! Convex hull and diameter of a set of points.

use crate::extent::{Directions, Extent};
use crate::point::Point;

/// Directions in which a block of points is asked how far it reaches.
const N_DIRECTIONS: usize = 4;

/// Points of a path that are looked at together; near in time is near in place.
const BLOCK_LENGTH: usize = 64;

/// Finds the convex hull of a path, keeping the room it works in.
pub(crate) struct HullFinder {
    directions: Directions<N_DIRECTIONS>,
    blocks: Vec<Extent<N_DIRECTIONS>>,
    candidates: Vec<Point>,
    corners: Vec<Point>,
}

impl Default for HullFinder {
    fn default() -> Self {
        Self {
            directions: Directions::new(),
            blocks: Vec::new(),
            candidates: Vec::new(),
            corners: Vec::new(),
        }
    }
}

impl HullFinder {
    /// The corners of the convex hull of `points`, counter-clockwise, and how far they reach.
    ///
    /// The points farthest in each direction are corners; the others lie outside the polygon of
    /// these. A block that does not reach beyond an edge of that polygon is left out as a whole.
    pub(crate) fn run(&mut self, points: &[Point]) -> &[Point] {
        self.blocks.clear();
        let blocks = points.chunks(BLOCK_LENGTH);
        self.blocks.extend(blocks.map(|block| Extent::of(&self.directions, block)));
        let farthest: [Point; 2 * N_DIRECTIONS] =
            std::array::from_fn(|k| self.farthest(points, k).unwrap_or_default());
        self.candidates.clear();
        if !points.is_empty() {
            self.candidates.extend(farthest);
        }
        for k in 0..farthest.len() {
            let (from, to) = (farthest[k], farthest[(k + 1) % farthest.len()]);
            // Beyond this edge a point reaches at least as far along k as the edge's far end.
            let least = self.reach(k, to);
            for (block, extent) in points.chunks(BLOCK_LENGTH).zip(&self.blocks) {
                if least <= reach_of_block(extent, k) {
                    self.candidates
                        .extend(block.iter().filter(|point| turn(from, to, **point) < 0.0));
                }
            }
        }
        convex_hull(&mut self.candidates, &mut self.corners);
        &self.corners
    }

    /// How far a point reaches in direction k; those past the half turn are the opposites.
    fn reach(&self, k: usize, point: Point) -> f64 {
        let reach = self.directions.reach(k % N_DIRECTIONS, point);
        if k < N_DIRECTIONS { reach } else { -reach }
    }

    /// The point that reaches farthest in direction k.
    fn farthest(&self, points: &[Point], k: usize) -> Option<Point> {
        let better = |a: f64, b: f64| a.total_cmp(&b);
        let block = (0..self.blocks.len()).max_by(|&a, &b| {
            better(reach_of_block(&self.blocks[a], k), reach_of_block(&self.blocks[b], k))
        })?;
        let points = points.chunks(BLOCK_LENGTH).nth(block)?;
        points.iter().copied().max_by(|&a, &b| better(self.reach(k, a), self.reach(k, b)))
    }
}

/// How far a block reaches in direction k; those past the half turn are the opposites.
fn reach_of_block(extent: &Extent<N_DIRECTIONS>, k: usize) -> f64 {
    if k < N_DIRECTIONS { extent.high[k] } else { -extent.low[k - N_DIRECTIONS] }
}

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
    let twice: f64 = hull.windows(2).map(|edge| turn(origin, edge[0], edge[1])).sum();
    // Corners on one line leave a rounding error of either sign.
    0.5 * twice.max(0.0)
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::point::test_paths::{scattered, wandering};

    fn largest_of_all_pairs(points: &[Point]) -> f64 {
        let distances = points.iter().flat_map(|a| points.iter().map(move |b| (a - b).norm()));
        distances.fold(0.0, f64::max)
    }

    /// Area by the definition: an edge of the hull has every point on its left.
    fn area_by_edges(points: &[Point]) -> f64 {
        let origin = points.first().copied().unwrap_or_default();
        let mut area = 0.0;
        for (i, &from) in points.iter().enumerate() {
            for &to in points[..i].iter().chain(&points[i + 1..]) {
                let left = |p: &Point| 0.0 <= turn(from, to, *p);
                // Of points on one edge only the two farthest apart count.
                let between = |p: &Point| {
                    turn(from, to, *p) != 0.0
                        || (p - from).norm() <= (to - from).norm()
                            && (p - to).norm() <= (to - from).norm()
                };
                if from != to && points.iter().all(left) && points.iter().all(between) {
                    area += 0.5 * turn(origin, from, to);
                }
            }
        }
        area
    }

    fn check(points: &[Point]) {
        let scale = points.iter().map(|p| p.norm()).fold(1.0, f64::max);
        let mut finder = HullFinder::default();
        let hull = finder.run(points);
        let (got, wanted) = (diameter(hull), largest_of_all_pairs(points));
        assert!(
            (got - wanted).abs() <= 1e-10 * scale,
            "diameter of {}: {got} {wanted}",
            points.len()
        );
        let (mut sorted, mut corners) = (points.to_vec(), Vec::new());
        convex_hull(&mut sorted, &mut corners);
        assert!((area(hull) - area(&corners)).abs() <= 1e-10 * scale * scale, "{}", points.len());
    }

    #[test]
    fn hulls_drawn_by_hand() {
        let square = [(0.0, 0.0), (2.0, 0.0), (1.0, 1.0), (2.0, 2.0), (1.0, 0.0), (0.0, 2.0)];
        let mut points = square.map(|(x, y)| Point::new(x, y));
        let mut hull = Vec::new();
        convex_hull(&mut points, &mut hull);
        assert_eq!(hull.len(), 4);
        assert!((area(&hull) - 4.0).abs() < 1e-15);
        assert!((diameter(&hull) - 8.0_f64.sqrt()).abs() < 1e-15);
        assert!((area_by_edges(&points) - 4.0).abs() < 1e-15);
    }

    #[test]
    fn degenerate_sets_have_no_area() {
        let mut finder = HullFinder::default();
        for (points, wanted) in [
            (vec![], 0.0),
            (vec![Point::new(3.0, 4.0)], 0.0),
            (vec![Point::new(3.0, 4.0); 100], 0.0),
            ((0..200).map(|i| Point::new(f64::from(i % 50), 2.0)).collect(), 49.0),
            ((0..200).map(|i| Point::new(3.0, 4.0) * f64::from(i)).collect(), 995.0),
        ] {
            let hull = finder.run(&points);
            assert!(area(hull).abs() < 1e-9, "{hull:?}");
            assert!((diameter(hull) - wanted).abs() < 1e-9, "{hull:?}");
        }
    }

    #[test]
    fn the_hull_of_blocks_is_that_of_all_points() {
        for n in 1..300 {
            check(&scattered(n as u64, n));
            check(&wandering(n as u64, n));
        }
        check(&wandering(7, 3000));
        // Every point of a circle is a corner.
        let circle = (0..1000).map(|i| Point::from_polar(10.0, 0.01 * f64::from(i)));
        check(&circle.collect::<Vec<_>>());
        // A square wave: many copies of two places.
        let two_places = (0..500).map(|i| Point::new(f64::from(i / 50 % 2), 0.0));
        check(&two_places.collect::<Vec<_>>());
    }

    #[test]
    fn the_area_is_that_within_the_edges() {
        for n in 3..40 {
            let points = scattered(1000 + n as u64, n);
            let mut finder = HullFinder::default();
            let (got, wanted) = (area(finder.run(&points)), area_by_edges(&points));
            assert!((got - wanted).abs() < 1e-9, "{n}: {got} {wanted}");
        }
    }
}
