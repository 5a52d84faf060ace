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
