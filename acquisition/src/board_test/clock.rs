//! The board's clock against the computer's, and frames that are missing.

use super::finding::Finding;
use super::load::standard_deviation;
use super::test::BoardTest;

const PARTS_PER_MILLION: f64 = 100.0;
const INTERVAL_SD_US: f64 = 50.0;
const LOST_PERCENT: f64 = 0.1;
const LONGEST_GAP_MS: f64 = 40.0;

/// Frames with the moment at which the computer had them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ClockRecord {
    /// The frames' own times, in microseconds.
    pub board_us: Vec<u64>,
    /// When they had arrived by a synchronised clock, in microseconds.
    pub host_us: Vec<u64>,
    /// The frames' numbers.
    pub sequence: Vec<u64>,
}

/// Rate of the board's clock, evenness of its frames, and losses.
///
/// Arrival wanders by milliseconds, so the rate comes from a straight line through all frames: ten
/// minutes of 250 frames a second give it to better than 1 ppm.
pub fn clock(record: &ClockRecord) -> Vec<Finding> {
    let test = BoardTest::Clock;
    let ppm = ((slope(&record.board_us, &record.host_us) - 1.0) * 1e6).abs();
    let mut intervals = Vec::with_capacity(record.board_us.len());
    let (mut n_lost, mut longest_us) = (0_u64, 0_u64);
    for (times, numbers) in record.board_us.windows(2).zip(record.sequence.windows(2)) {
        let (step_us, n_steps) =
            (times[1].saturating_sub(times[0]), numbers[1].saturating_sub(numbers[0]));
        longest_us = longest_us.max(step_us);
        n_lost += n_steps.saturating_sub(1);
        if n_steps == 1 {
            intervals.push(step_us as f64);
        }
    }
    let n_sent = record.sequence.len() as u64 + n_lost;
    let lost_percent = 100.0 * n_lost as f64 / n_sent as f64;
    vec![
        Finding::at_most(test, "clock against the computer's", ppm, PARTS_PER_MILLION, "ppm"),
        Finding::at_most(
            test,
            "standard deviation of the interval",
            standard_deviation(&intervals),
            INTERVAL_SD_US,
            "µs",
        ),
        Finding::at_most(test, "frames lost", lost_percent, LOST_PERCENT, "%"),
        Finding::at_most(test, "longest gap", longest_us as f64 / 1e3, LONGEST_GAP_MS, "ms"),
    ]
}

/// Slope of the straight line of `y` over `x` by least squares.
fn slope(x: &[u64], y: &[u64]) -> f64 {
    let (Some(&x0), Some(&y0)) = (x.first(), y.first()) else { return f64::NAN };
    let pairs = || {
        x.iter().zip(y).map(|(&x, &y)| (x.saturating_sub(x0) as f64, y.saturating_sub(y0) as f64))
    };
    let n = x.len().min(y.len()) as f64;
    let (mean_x, mean_y) = pairs().fold((0.0, 0.0), |sum, pair| (sum.0 + pair.0, sum.1 + pair.1));
    let (mean_x, mean_y) = (mean_x / n, mean_y / n);
    let (products, squares) = pairs().fold((0.0, 0.0), |sums, (x, y)| {
        (sums.0 + (x - mean_x) * (y - mean_y), sums.1 + (x - mean_x).powi(2))
    });
    products / squares
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 250 frames a second by a clock that is 150 ppm slow: 10 frames lost in one gap.
    #[test]
    fn a_slow_clock_and_a_gap_by_hand() {
        let sequence: Vec<u64> = (0..5_000).chain(5_010..10_010).collect();
        let board_us = sequence.iter().map(|number| number * 4_000).collect();
        let host_us = sequence.iter().map(|number| 7 + number * 4_000 + number * 3 / 5).collect();
        let found = clock(&ClockRecord { board_us, host_us, sequence });
        assert!((found[0].value - 150.0).abs() < 0.1, "{found:?}");
        assert!(found[1].value < 1e-9, "{found:?}");
        assert!((found[2].value - 100.0 * 10.0 / 10_010.0).abs() < 1e-9, "{found:?}");
        assert!((found[3].value - 44.0).abs() < 1e-9, "{found:?}");
    }
}
