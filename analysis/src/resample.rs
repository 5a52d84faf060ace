//! From one even rate to another by band-limited interpolation.

use std::f64::consts::PI;

use crate::point::Point;

/// Reach of the kernel to each side, in input samples.
const HALF_LENGTH: usize = 16;
/// Shape of the Kaiser window.
const KAISER_BETA: f64 = 8.0;
/// Cut-off of the kernel as a share of the lower of the two rates.
const CUT_OFF_SHARE: f64 = 0.45;

/// Brings `input`, sampled at `from_hz`, to `to_hz`; `output` starts at the same instant and ends no
/// later than the input.
///
/// Each output sample is a weighted mean of the 32 input samples around it, with a Kaiser-windowed
/// sinc kernel as weights; beyond its ends the input is continued by odd reflection, as the filter
/// before it does. The content above the lower rate's half is removed, never folded back.
pub(crate) fn resample(input: &[Point], from_hz: f64, to_hz: f64, output: &mut Vec<Point>) {
    output.clear();
    let Some(last) = input.len().checked_sub(1) else { return };
    let step = from_hz / to_hz;
    let cut_off = CUT_OFF_SHARE * to_hz.min(from_hz) / from_hz;
    // A millionth of a sample beyond the end is rounding.
    let end = last as f64 + 1e-6;
    let positions = (0_usize..).map(|j| j as f64 * step).take_while(|&position| position <= end);
    output.extend(positions.map(|position| value_at(input, position, cut_off)));
}

fn value_at(input: &[Point], position: f64, cut_off: f64) -> Point {
    #[expect(clippy::cast_possible_truncation, reason = "at most the number of samples")]
    let nearest_below = position.floor() as isize;
    let reach = HALF_LENGTH.cast_signed();
    let (mut sum, mut weights) = (Point::default(), 0.0);
    for i in nearest_below - reach + 1..=nearest_below + reach {
        let weight = kernel(position - i as f64, cut_off);
        sum += continued(input, i) * weight;
        weights += weight;
    }
    sum / weights
}

/// A sample of the input, or of its odd reflection about its first or last sample.
fn continued(input: &[Point], i: isize) -> Point {
    let last = input.len() - 1;
    let before = (-i).max(0).unsigned_abs();
    let beyond = (i - last.cast_signed()).max(0).unsigned_abs();
    if 0 < before {
        input[0] * 2.0 - input[before.min(last)]
    } else if 0 < beyond {
        input[last] * 2.0 - input[last - beyond.min(last)]
    } else {
        input[i.unsigned_abs()]
    }
}

fn kernel(offset: f64, cut_off: f64) -> f64 {
    let share = offset / HALF_LENGTH as f64;
    if 1.0 < share.abs() {
        return 0.0;
    }
    let angle = 2.0 * PI * cut_off * offset;
    let sinc = if angle == 0.0 { 1.0 } else { angle.sin() / angle };
    sinc * bessel_i0_of_root(KAISER_BETA * KAISER_BETA * (1.0 - share * share))
}

/// The modified Bessel function of order 0 at the square root of `square`, by its power series:
/// sum of (square / 4)^k / (k!)^2 (Abramowitz & Stegun 9.6.12).
fn bessel_i0_of_root(square: f64) -> f64 {
    let quarter = 0.25 * square;
    let (mut sum, mut term) = (1.0, 1.0);
    // At 8 the terms fall below 1e-17 of the sum after 27 of them.
    for k in 1..=30 {
        let k = f64::from(k);
        term *= quarter / (k * k);
        sum += term;
    }
    sum
}
