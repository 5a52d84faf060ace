//! A path of any length, for what does not hang on how people sway.

use analysis::{Cop, Plane, SampleRate, Trace};

/// A made path of this length: two slow swings and a faster one.
pub(crate) fn made(duration_s: u32) -> Trace {
    let place = |i: u32| {
        let t = f64::from(i) / 100.0;
        Cop::new(
            6.0 * (0.7 * t).sin() + (9.1 * t).sin(),
            9.0 * (0.43 * t).cos() + 2.0 * (3.3 * t).sin(),
        )
    };
    let points = (0..duration_s * 100).map(place).collect();
    Trace::new(SampleRate::STANDARD, Plane::Plate, points).expect("an even path of finite places")
}
