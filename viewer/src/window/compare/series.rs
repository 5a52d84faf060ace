//! A line of evenly placed values, with what is needed to draw any part of it in few points.
//!
//! A record of a day has millions of values and a screen a thousand columns. So that no frame looks
//! at them all, the lowest and the highest of each block of values, of each block of blocks and so
//! on are found once, when the line is made.

use std::ops::Range;

/// Values in a block of the lowest level, and blocks in one of the next level (our own choice: the
/// levels take a seventh of the values' memory, and a column looks at 62 values and 14 blocks of each
/// level at most).
const BLOCK: usize = 32;
const FAN: usize = 8;

/// Values at places that are evenly apart.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {
    first: f64,
    step: f64,
    values: Vec<f64>,
    /// Extremes of the blocks of each level, the smallest blocks first; only whole blocks.
    levels: Vec<Vec<Extremes>>,
}

/// The first lowest and the first highest of some values, each with its position.
///
/// The values stand here again: fetching each from its place in a long record took longer than all
/// the rest.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Extremes {
    lowest: usize,
    low: f64,
    highest: usize,
    high: f64,
}

impl Extremes {
    const fn of_one(at: usize, value: f64) -> Self {
        Self { lowest: at, low: value, highest: at, high: value }
    }

    /// With those of values that come later.
    fn and(self, later: Self) -> Self {
        let (lowest, low) =
            if later.low < self.low { (later.lowest, later.low) } else { (self.lowest, self.low) };
        let (highest, high) = if self.high < later.high {
            (later.highest, later.high)
        } else {
            (self.highest, self.high)
        };
        Self { lowest, low, highest, high }
    }

    /// Of values that lie one after the other, the first at `start`; `None` without any.
    fn of_all(start: usize, values: &[f64]) -> Option<Self> {
        let (one, others) = values.split_first()?;
        let first = Self::of_one(start, *one);
        let at = |(index, value): (usize, &f64)| Self::of_one(start + 1 + index, *value);
        Some(others.iter().enumerate().map(at).fold(first, Self::and))
    }

    /// Of some blocks; `None` without any.
    fn of_blocks(blocks: &[Self]) -> Option<Self> {
        blocks.iter().copied().reduce(Self::and)
    }
}

impl Series {
    /// Values of which the first lies at `first` and each `step` after the one before it; `step` is
    /// above 0. All are finite.
    ///
    /// Takes one look at every value; not for the thread that draws.
    pub fn new(first: f64, step: f64, values: Vec<f64>) -> Self {
        let blocks = values.chunks_exact(BLOCK).enumerate();
        let mut level: Vec<Extremes> =
            blocks.filter_map(|(index, block)| Extremes::of_all(index * BLOCK, block)).collect();
        let mut levels = Vec::new();
        while !level.is_empty() {
            let next = level.chunks_exact(FAN).filter_map(Extremes::of_blocks).collect();
            levels.push(std::mem::replace(&mut level, next));
        }
        Self { first, step, values, levels }
    }

    /// How many values there are.
    pub fn len(&self) -> usize {
        self.values.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// Place and value at a position.
    fn point(&self, at: usize) -> [f64; 2] {
        [self.place(at), self.values[at]]
    }

    fn place(&self, at: usize) -> f64 {
        self.first + self.step * at as f64
    }

    /// First and last place; `None` without values.
    pub fn ends(&self) -> Option<[f64; 2]> {
        let last = self.values.len().checked_sub(1)?;
        Some([self.place(0), self.place(last)])
    }

    /// Lowest and highest value between two places, both included; `None` if there are none.
    pub fn extremes(&self, left: f64, right: f64) -> Option<[f64; 2]> {
        let found = self.extremes_in(self.first_at(left)..self.first_after(right))?;
        Some([found.low, found.high])
    }

    /// The line between two places reduced to what each of `n_columns` columns can show: its first,
    /// lowest, highest and last point; and one neighbour on each side.
    ///
    /// Extremes always survive, so a short peak is never lost by drawing. The time it takes depends
    /// on the number of columns and hardly on that of the values.
    pub fn columns(&self, left: f64, right: f64, n_columns: usize) -> Vec<[f64; 2]> {
        let (first, after) = (self.first_at(left), self.first_after(right));
        let (start, end) = (first.saturating_sub(1), (after + 1).min(self.values.len()));
        let width = (right - left) / n_columns as f64;
        if end.saturating_sub(start) <= 4 * n_columns || !width.is_normal() {
            return (start..end).map(|at| self.point(at)).collect();
        }
        let mut reduced = Vec::with_capacity(4 * n_columns + 2);
        reduced.extend((start..first).map(|at| self.point(at)));
        let mut from = first;
        for column in 1..=n_columns {
            let to = if column < n_columns {
                self.first_at(left + width * column as f64).clamp(from, after)
            } else {
                after
            };
            self.column(from..to, &mut reduced);
            from = to;
        }
        reduced.extend((after..end).map(|at| self.point(at)));
        reduced
    }

    /// First, lowest, highest and last point of a range, each once and in order.
    fn column(&self, range: Range<usize>, reduced: &mut Vec<[f64; 2]>) {
        let Some(Extremes { lowest, highest, .. }) = self.extremes_in(range.clone()) else {
            return;
        };
        let mut kept = [range.start, lowest, highest, range.end - 1];
        kept.sort_unstable();
        let mut last = None;
        for at in kept {
            if last != Some(at) {
                reduced.push(self.point(at));
                last = Some(at);
            }
        }
    }

    /// By the largest blocks that fit, from left to right.
    fn extremes_in(&self, range: Range<usize>) -> Option<Extremes> {
        let mut found: Option<Extremes> = None;
        let mut at = range.start;
        while at < range.end {
            let (next, to) = self.next_part(at, range.end)?;
            found = Some(found.map_or(next, |before| before.and(next)));
            at = to;
        }
        found
    }

    /// The largest block that begins at `at` and ends by `end`, or the values up to where a block
    /// begins; and where that ends.
    fn next_part(&self, at: usize, end: usize) -> Option<(Extremes, usize)> {
        let mut part = None;
        let mut block = BLOCK;
        for level in &self.levels {
            if !at.is_multiple_of(block) || end < at + block {
                break;
            }
            let Some(extremes) = level.get(at / block) else { break };
            part = Some((*extremes, at + block));
            block *= FAN;
        }
        part.or_else(|| {
            let to = end.min((at / BLOCK + 1) * BLOCK);
            Some((Extremes::of_all(at, &self.values[at..to])?, to))
        })
    }

    /// Position of the first value that lies at `place` or beyond.
    fn first_at(&self, place: f64) -> usize {
        self.search(place, |at| place <= at)
    }

    /// Position of the first value that lies beyond `place`.
    fn first_after(&self, place: f64) -> usize {
        self.search(place, |at| place < at)
    }

    /// Position of the first value whose place is `beyond`, looked for around `place`.
    fn search(&self, place: f64, beyond: impl Fn(f64) -> bool) -> usize {
        let n = self.values.len();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "kept between no and all values; no number is 0"
        )]
        let guess = ((place - self.first) / self.step).clamp(0.0, n as f64) as usize;
        // Rounding can be off by one; what is compared are the places themselves.
        let mut at = guess;
        while 0 < at && beyond(self.place(at - 1)) {
            at -= 1;
        }
        while at < n && !beyond(self.place(at)) {
            at += 1;
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The same typed out plainly: every value is looked at, its place compared.
    fn naive_columns(series: &Series, left: f64, right: f64, n_columns: usize) -> Vec<Vec<usize>> {
        let width = (right - left) / n_columns as f64;
        (0..n_columns)
            .map(|column| {
                let from = left + width * column as f64;
                let to = left + width * (column + 1) as f64;
                let is_last = column + 1 == n_columns;
                let holds = |at: f64| from <= at && if is_last { at <= right } else { at < to };
                (0..series.len()).filter(|&at| holds(series.place(at))).collect::<Vec<_>>()
            })
            .collect()
    }

    fn highest(values: impl Iterator<Item = f64>) -> f64 {
        values.fold(f64::NEG_INFINITY, f64::max)
    }

    fn lowest(values: impl Iterator<Item = f64>) -> f64 {
        values.fold(f64::INFINITY, f64::min)
    }

    proptest! {
        /// Drawn extremes are those of the samples: in the whole range, and in each column.
        #[test]
        fn any_zoom_keeps_the_extremes_of_every_column(
            values in proptest::collection::vec(-100.0..100.0_f64, 1..4000),
            first in -5.0..5.0_f64,
            step in 0.001..2.0_f64,
            ends in (-0.2..1.2_f64, 0.001..1.3_f64),
            n_columns in 1..120_usize,
        ) {
            let series = Series::new(first, step, values.clone());
            let whole = step * values.len() as f64;
            let (left, right) = (first + whole * ends.0, first + whole * (ends.0 + ends.1));
            let drawn = series.columns(left, right, n_columns);
            prop_assert!(drawn.len() <= 4 * n_columns + 2, "{}", drawn.len());
            prop_assert!(drawn.windows(2).all(|pair| pair[0][0] < pair[1][0]));
            for column in naive_columns(&series, left, right, n_columns) {
                let of = |at: &usize| values[*at];
                let (Some(one), Some(end)) = (column.first(), column.last()) else { continue };
                let inside = || drawn.iter().filter(|point| {
                    (series.place(*one)..=series.place(*end)).contains(&point[0])
                }).map(|point| point[1]);
                prop_assert_eq!(Some(highest(inside())), Some(highest(column.iter().map(of))));
                prop_assert_eq!(Some(lowest(inside())), Some(lowest(column.iter().map(of))));
            }
            let in_range = || (0..values.len())
                .filter(|&at| (left..=right).contains(&series.place(at)))
                .map(|at| values[at]);
            let expected = (in_range().count() > 0)
                .then(|| [lowest(in_range()), highest(in_range())]);
            prop_assert_eq!(series.extremes(left, right), expected);
        }
    }

    /// Sizes around those of blocks, and of blocks of blocks; equal values among them.
    #[test]
    fn extremes_are_those_of_a_plain_look_at_every_value() {
        for n in [1, 2, 31, 32, 33, 255, 256, 257, 2047, 2048, 2049, 9000] {
            let values: Vec<f64> = (0..n).map(|i| f64::from((i * 7919) % 101)).collect();
            let series = Series::new(0.0, 1.0, values.clone());
            let n = values.len();
            for (start, end) in [(0, n), (n / 3, n), (0, n / 2 + 1), (n / 5, n - n / 5)] {
                let mut plain: Option<Extremes> = None;
                for (at, &value) in values.iter().enumerate().take(end).skip(start) {
                    let kept = plain.get_or_insert(Extremes::of_one(at, value));
                    if value < kept.low {
                        (kept.lowest, kept.low) = (at, value);
                    }
                    if kept.high < value {
                        (kept.highest, kept.high) = (at, value);
                    }
                }
                assert_eq!(series.extremes_in(start..end), plain, "{start} to {end} of {n}");
            }
        }
    }

    fn ramp(n: usize) -> Vec<f64> {
        vec![0.0; n]
    }

    #[test]
    fn a_single_peak_survives_in_few_columns() {
        let mut values = ramp(10_000);
        values[7_777] = 50.0;
        values[3_333] = -40.0;
        let reduced = Series::new(0.0, 1.0, values).columns(0.0, 9_999.0, 100);
        assert!(reduced.len() <= 4 * 101, "{}", reduced.len());
        assert!(reduced.contains(&[7_777.0, 50.0]) && reduced.contains(&[3_333.0, -40.0]));
        assert_eq!((reduced[0], reduced[reduced.len() - 1]), ([0.0, 0.0], [9_999.0, 0.0]));
    }

    #[test]
    fn only_what_is_in_sight_and_its_neighbours_is_kept() {
        let series = Series::new(0.0, 1.0, ramp(100));
        let seen = series.columns(10.0, 20.0, 500);
        assert_eq!((seen[0][0], seen[seen.len() - 1][0]), (9.0, 21.0));
        assert!(Series::default().columns(0.0, 1.0, 10).is_empty());
        assert_eq!(series.columns(200.0, 300.0, 10).len(), 1);
        assert_eq!((series.ends(), Series::default().ends()), (Some([0.0, 99.0]), None));
    }
}
