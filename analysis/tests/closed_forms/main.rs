//! The measures of paths whose values are known on paper, and what must hold for any path.

mod known_paths;
mod laws;
mod unfit_input;

use analysis::{Cop, MeasureDef, Measures, Plane, SampleRate, Trace};

fn trace(rate_hz: f64, points: Vec<Cop>) -> Trace {
    let rate = SampleRate::from_hz(rate_hz).expect("a rate above zero");
    Trace::new(rate, Plane::Plate, points).expect("finite points")
}

/// The value of a measure, or "not a number" where it has none.
fn value(measures: &Measures, key: &str) -> f64 {
    let measure = MeasureDef::with_key(key).expect("a key of the table");
    (measure.value)(measures).unwrap_or(f64::NAN)
}

/// Asserts that values are as wanted, within a share of what is wanted.
fn check(measures: &Measures, wanted: &[(&str, f64)], tolerance: f64) {
    for &(key, wanted) in wanted {
        let got = value(measures, key);
        let allowed = tolerance * wanted.abs().max(1e-3);
        assert!((got - wanted).abs() <= allowed, "{key}: {got} instead of {wanted}");
    }
}
