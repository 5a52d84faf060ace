//! Paths whose measures are known on paper.

use std::f64::consts::{PI, SQRT_2, TAU};

use analysis::{Analyser, Cop, Settings, measure};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng as _;
use rand_distr::{Distribution as _, StandardNormal};

use crate::{check, trace, value};

const AS_RECORDED: Settings = Settings::as_recorded(Some(1.7));

/// 60 s at 100 Hz of a path given by its time in seconds.
fn minute(place: impl Fn(f64) -> (f64, f64)) -> Vec<Cop> {
    let point = |i: i32| {
        let (ml_mm, ap_mm) = place(f64::from(i) / 100.0);
        Cop::new(ml_mm, ap_mm)
    };
    (0..6000).map(point).collect()
}

#[test]
fn a_point_at_constant_speed_has_just_that_speed() {
    // 3 mm/s to the right and 4 mm/s backward are 5 mm/s.
    for (rate_hz, n) in [(100.0, 2), (100.0, 6000), (250.0, 1234), (33.3, 999)] {
        let point = |i: i32| Cop::new(3.0 * f64::from(i) / rate_hz, -4.0 * f64::from(i) / rate_hz);
        let measures = measure(&trace(rate_hz, (0..n).map(point).collect()), &AS_RECORDED);
        let elapsed_s = f64::from(n - 1) / rate_hz;
        check(
            &measures,
            &[
                ("duration_s", elapsed_s),
                ("path_length", 5.0 * elapsed_s),
                ("mean_velocity", 5.0),
                ("mean_velocity_ml", 3.0),
                ("mean_velocity_ap", 4.0),
                ("range_max", 5.0 * elapsed_s),
                ("hull_area", 0.0),
            ],
            1e-9,
        );
    }
}

#[test]
fn a_circle_has_the_measures_of_a_polygon() {
    // 200 corners a turn: each step is a chord and each triangle from the centre is the same.
    let (radius, corners) = (12.0, 200.0);
    let angle = TAU / corners;
    let circle =
        minute(|t| (30.0 + radius * (angle * 100.0 * t).cos(), radius * (angle * 100.0 * t).sin()));
    let measures = measure(&trace(100.0, circle), &AS_RECORDED);
    let speed = 100.0 * 2.0 * radius * (angle / 2.0).sin();
    check(
        &measures,
        &[
            ("mean_velocity", speed),
            ("mean_distance", radius),
            ("rms_distance", radius),
            ("rms_ml", radius / SQRT_2),
            ("rms_ap", radius / SQRT_2),
            ("range_ml", 2.0 * radius),
            ("range_max", 2.0 * radius),
            ("hull_area", 0.5 * corners * radius * radius * angle.sin()),
            ("sway_area_rate", 100.0 * 0.5 * radius * radius * angle.sin()),
            ("rotation_frequency", speed / (TAU * radius)),
        ],
        1e-9,
    );
    // Chi-square with 2 degrees of freedom, 95 %: 5.991 (any printed table); at 6,000 samples the
    // exact factor is 0.1 % larger.
    let semi_axis = (5.991_f64 * radius * radius / 2.0).sqrt();
    check(&measures, &[("ellipse_semi_major", semi_axis), ("ellipse_semi_minor", semi_axis)], 1e-3);
    assert!(value(&measures, "frequency_dispersion_ml") < 0.2);
}

#[test]
fn a_turned_ellipse_keeps_its_axes_and_shows_its_angle() {
    for angle_deg in [0.0, 30.0, 89.0, 120.0, 179.0_f64] {
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        let path = minute(|t| {
            let (minor, major) = (TAU * 0.5 * t).sin_cos();
            let (major, minor) = (10.0 * major, 4.0 * minor);
            (major * cos - minor * sin, major * sin + minor * cos)
        });
        let measures = measure(&trace(100.0, path), &AS_RECORDED);
        // 180 is the same direction as 0.
        let off =
            (value(&measures, "ellipse_angle_deg") - angle_deg + 90.0).rem_euclid(180.0) - 90.0;
        assert!(off.abs() < 1e-6, "{angle_deg}: {off}");
        let ratio = value(&measures, "ellipse_semi_major") / value(&measures, "ellipse_semi_minor");
        assert!((ratio - 2.5).abs() < 1e-9, "{angle_deg}: {ratio}");
        let area =
            PI * value(&measures, "ellipse_semi_major") * value(&measures, "ellipse_semi_minor");
        check(&measures, &[("ellipse_area", area)], 1e-9);
    }
}

#[test]
fn the_power_of_a_sine_is_half_its_square() {
    // Bins are 1/30 Hz apart: 0.7 Hz is bin 21. A Hann window spreads a tone over three bins, a
    // sixth, two thirds and a sixth of it, which leaves its mean frequency where it is.
    let bin_hz = 1.0 / 30.0;
    let path = minute(|t| (6.0 * (TAU * 0.7 * t).sin(), 2.0 * (TAU * 2.0 * t).sin()));
    let measures = measure(&trace(100.0, path), &AS_RECORDED);
    let centroid = |f: f64| (f * f + bin_hz * bin_hz / 3.0).sqrt();
    let dispersion = |f: f64| (1.0 - (f / centroid(f)).powi(2)).sqrt();
    // The running integral is 1/12, 1/2 and 11/12 at the three bins and 1 a bin further.
    let f95 = |f: f64| f + bin_hz * (1.0 + (0.95 - 11.0 / 12.0) * 12.0);
    check(
        &measures,
        &[
            ("power_ml", 18.0),
            ("power_ap", 2.0),
            ("mean_frequency_ml", 0.7),
            ("mean_frequency_ap", 2.0),
            ("median_frequency_ml", 0.7),
            ("f95_ml", f95(0.7)),
            ("centroidal_frequency_ml", centroid(0.7)),
            ("frequency_dispersion_ml", dispersion(0.7)),
            ("mean_frequency", (18.0 * 0.7 + 2.0 * 2.0) / 20.0),
            ("mean_frequency_full_band", (18.0 * 0.7 + 2.0 * 2.0) / 20.0),
        ],
        1e-7,
    );
}

#[test]
fn the_body_centre_of_a_slow_circle_is_a_smaller_one() {
    // At 0.2 Hz and 1.7 m the gain is 1 / (1 + (0.2 / 0.4706)^2), f0 = sqrt(9.81 / 1.122) / 2 pi.
    let f0 = (9.81_f64 / (0.66 * 1.7)).sqrt() / TAU;
    let gain = 1.0 / (1.0 + (0.2 / f0).powi(2));
    let path = minute(|t| (8.0 * (TAU * 0.2 * t).cos(), 8.0 * (TAU * 0.2 * t).sin()));
    let measures = measure(&trace(100.0, path), &AS_RECORDED);
    // The record is mirrored at its ends, which the sine does not fit as the cosine does.
    check(&measures, &[("body_rms_ml", 8.0 * gain / SQRT_2)], 1e-3);
    check(&measures, &[("wobble_median", 16.0 * gain)], 2e-2);
    check(&measures, &[("wobble_windows", 56.0)], 0.0);
}

fn normal_cloud(seed: u64, n: usize, ml_mm: f64, ap_mm: f64) -> Vec<Cop> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut next = || -> f64 { StandardNormal.sample(&mut rng) };
    (0..n).map(|_| Cop::new(ml_mm * next(), ap_mm * next())).collect()
}

#[test]
fn the_ellipse_of_a_normal_cloud_holds_95_in_a_hundred_of_its_points() {
    let n = 100_000;
    let cloud = normal_cloud(1, n, 3.0, 8.0);
    let measures = measure(&trace(100.0, cloud.clone()), &AS_RECORDED);
    let ellipse = measures.ellipse.expect("a cloud has an ellipse");
    let (sin, cos) = ellipse.angle_deg.to_radians().sin_cos();
    let inside = |point: &&Cop| {
        let (ml, ap) = (point.ml_mm - ellipse.centre.ml_mm, point.ap_mm - ellipse.centre.ap_mm);
        let along = (ml * cos + ap * sin) / ellipse.semi_major_mm;
        let across = (ap * cos - ml * sin) / ellipse.semi_minor_mm;
        along * along + across * across <= 1.0
    };
    let share = cloud.iter().filter(inside).count() as f64 / n as f64;
    // Four standard errors of a share of 0.95 in 100,000: 0.0028.
    assert!((share - 0.95).abs() < 0.0028, "{share}");
    check(&measures, &[("ellipse_area", PI * 5.991 * 24.0), ("ellipse_angle_deg", 90.0)], 0.02);
}

#[test]
fn white_noise_is_spread_evenly_over_the_band() {
    let measures = measure(&trace(100.0, normal_cloud(2, 200_000, 1.0, 1.0)), &AS_RECORDED);
    // One-sided density of variance 1 at 100 Hz: 0.02 per Hz. Means over 0.15 to 5 Hz of f and f^2.
    let (low, high) = (0.15, 5.0_f64);
    let second = (high.powi(3) - low * low * low) / (3.0 * (high - low));
    check(
        &measures,
        &[
            ("power_ml", 0.02 * (high - low)),
            ("mean_frequency_ml", f64::midpoint(low, high)),
            ("median_frequency_ml", f64::midpoint(low, high)),
            ("f95_ml", low + 0.95 * (high - low)),
            ("centroidal_frequency_ml", second.sqrt()),
            ("mean_frequency_full_band", 25.0),
        ],
        0.05,
    );
}

#[test]
fn the_standard_processing_keeps_slow_sway_and_drops_the_first_5_s() {
    let path = minute(|t| (5.0 * (TAU * 0.4 * t).sin(), 3.0 * (TAU * 40.0 * t).sin()));
    let trace = trace(100.0, path);
    let settings = Settings::standard(Some(1.7));
    let processed = Analyser::new().processed(&trace, &settings).expect("long enough");
    assert_eq!(processed.points().len(), 5500);
    let measures = measure(&trace, &settings);
    check(&measures, &[("duration_s", 54.99)], 1e-12);
    check(&measures, &[("rms_ml", 5.0 / SQRT_2)], 1e-4);
    // 40 Hz is taken out: (tan(pi 0.4) / K)^4 is 3,335, which leaves 0.9 micrometres of 3 mm. The
    // end of the record, where the wave breaks off, leaves more.
    let middle = &processed.points()[..5400];
    let largest = middle.iter().map(|point| point.ap_mm.abs()).fold(0.0, f64::max);
    assert!(largest < 1e-3, "{largest}");
}

#[test]
fn faster_boards_give_the_same_measures() {
    // 0.3 and 1.1 Hz are far below the filter, so that only the rate differs.
    let path = |rate_hz: f64| {
        let place = |i: i32| {
            let t = f64::from(i) / rate_hz;
            Cop::new(5.0 * (TAU * 0.3 * t).sin(), 8.0 * (TAU * 1.1 * t).cos())
        };
        #[expect(clippy::cast_possible_truncation, reason = "a minute of samples")]
        let n = (60.0 * rate_hz) as i32;
        trace(rate_hz, (0..n).map(place).collect())
    };
    let settings = Settings::standard(Some(1.7));
    let reference = measure(&path(100.0), &settings);
    for rate_hz in [80.0, 250.0, 249.987, 1000.0] {
        let measures = measure(&path(rate_hz), &settings);
        assert_eq!(measures.rate.hz().to_bits(), 100.0_f64.to_bits());
        for key in ["mean_velocity", "rms_ml", "ellipse_area", "mean_frequency_ap", "wobble_median"]
        {
            let (got, wanted) = (value(&measures, key), value(&reference, key));
            // The filter's shape differs a little from rate to rate, and so may the last sample.
            assert!((got / wanted - 1.0).abs() < 2e-3, "{key} at {rate_hz}: {got} {wanted}");
        }
    }
}
