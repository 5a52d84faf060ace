//! Where values lie along the axes of a drawing, and how their numbers are written.

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

/// Writes a number with so many digits after the decimal sign, as a language does.
pub(crate) type Decimals = fn(f64, usize) -> String;

/// Digits after the decimal sign that tell a number at an axis from the next one.
pub(crate) fn digits_of(step: f64) -> usize {
    let digits = (0..9_i32).find(|digits| 0.999 <= step * 10.0_f64.powi(*digits)).unwrap_or(9);
    usize::try_from(digits).unwrap_or(0)
}

/// Values from `low` to `high` laid along so many points of the drawing, from `start` on; a negative
/// length runs upwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Along {
    pub(super) start: f64,
    pub(super) length: f64,
    pub(super) range: [f64; 2],
}

impl Along {
    /// Where a value lies, to a hundredth of a point: finer than any screen or printer shows.
    pub(super) fn place(&self, value: f64) -> f64 {
        let [low, high] = self.range;
        let share = if low < high { (value - low) / (high - low) } else { 0.5 };
        ((self.start + self.length * share) * 100.0).round() / 100.0
    }

    /// Round values with their numbers, at least `apart` points from each other.
    pub(super) fn round(&self, apart: f64, decimals: Decimals) -> Vec<(f64, String)> {
        let [low, high] = self.range;
        let least_step = (high - low) * apart / self.length.abs();
        let (step, places) = round_places(low, high, least_step);
        places.into_iter().map(|value| (value, decimals(value, digits_of(step)))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strings::decimals;

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
    fn values_lie_from_the_start_on_and_upwards_with_a_negative_length() {
        let up = Along { start: 100.0, length: -80.0, range: [0.0, 20.0] };
        assert_eq!(
            [0.0, 5.0, 20.0].map(|value| Some(up.place(value))),
            [100.0, 80.0, 20.0].map(Some)
        );
        let one_value = Along { range: [3.0, 3.0], ..up };
        assert_eq!((one_value.place(3.0), one_value.round(30.0, decimals)), (60.0, Vec::new()));
        let numbers: Vec<String> =
            up.round(36.0, decimals).into_iter().map(|(_, text)| text).collect();
        assert_eq!(numbers, ["0", "10", "20"]);
    }
}
