//! What must hold for any path.

use analysis::{Analyser, Cop, MEASURES, Measures, Settings, Unit, measure};
use proptest::prelude::*;

use crate::{trace, value};

const AS_RECORDED: Settings = Settings::as_recorded(Some(1.7));

fn points(least: usize) -> impl Strategy<Value = Vec<Cop>> {
    let point = (-300.0..300.0, -300.0..300.0).prop_map(|(ml_mm, ap_mm)| Cop::new(ml_mm, ap_mm));
    proptest::collection::vec(point, least..700)
}

fn moved(points: &[Cop], change: impl Fn(&Cop) -> Cop) -> Vec<Cop> {
    points.iter().map(change).collect()
}

/// Asserts that values agree within 1e-9 of the wanted one or of what rounding leaves of zero.
fn check_same(got: &Measures, wanted: &Measures, keys: &[&str]) -> Result<(), TestCaseError> {
    for key in keys {
        let (got, wanted) = (value(got, key), value(wanted, key));
        prop_assert!(
            (got - wanted).abs() <= 1e-9 * wanted.abs() + 1e-9,
            "{key}: {got} instead of {wanted}"
        );
    }
    Ok(())
}

/// Measures that do not depend on where the board is and how it is turned.
const UNTURNED: &[&str] = &[
    "path_length",
    "mean_velocity",
    "mean_distance",
    "rms_distance",
    "range_max",
    "ellipse_area",
    "ellipse_semi_major",
    "ellipse_semi_minor",
    "hull_area",
    "sway_area_rate",
    "rotation_frequency",
    "wobble_median",
    "wobble_p95",
];

/// Measures along the axes.
const ALONG_AXES: &[&str] = &[
    "path_length_ml",
    "path_length_ap",
    "rms_ml",
    "range_ap",
    "power_ml",
    "power_ap",
    "mean_frequency_ml",
    "f95_ap",
    "mean_frequency",
    "body_rms_ml",
    "cop_body_rms_ap",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_shift_changes_nothing(points in points(600), ml_mm in -100.0..100.0, ap_mm in -100.0..100.0) {
        let before = measure(&trace(100.0, points.clone()), &AS_RECORDED);
        let shifted = moved(&points, |p| Cop::new(p.ml_mm + ml_mm, p.ap_mm + ap_mm));
        let after = measure(&trace(100.0, shifted), &AS_RECORDED);
        check_same(&after, &before, UNTURNED)?;
        check_same(&after, &before, ALONG_AXES)?;
    }

    #[test]
    fn a_turn_leaves_what_has_no_direction(points in points(600), angle in 0.0..6.3_f64) {
        let (sin, cos) = angle.sin_cos();
        let before = measure(&trace(100.0, points.clone()), &AS_RECORDED);
        let turned = moved(&points, |p| {
            Cop::new(p.ml_mm * cos - p.ap_mm * sin, p.ml_mm * sin + p.ap_mm * cos)
        });
        check_same(&measure(&trace(100.0, turned), &AS_RECORDED), &before, UNTURNED)?;
    }

    #[test]
    fn a_scale_scales_by_the_power_of_the_unit(points in points(600), scale in 0.01..10.0_f64) {
        let before = measure(&trace(100.0, points.clone()), &AS_RECORDED);
        let scaled = moved(&points, |p| Cop::new(scale * p.ml_mm, scale * p.ap_mm));
        let after = measure(&trace(100.0, scaled), &AS_RECORDED);
        for def in MEASURES {
            let factor = match def.unit {
                Unit::Millimetres | Unit::MillimetresPerSecond => scale,
                Unit::SquareMillimetres | Unit::SquareMillimetresPerSecond => scale * scale,
                Unit::Seconds | Unit::Hertz | Unit::Degrees | Unit::One | Unit::Count => 1.0,
                // How many windows lie in a fixed range is another matter.
                Unit::Share => continue,
            };
            let (got, wanted) = (value(&after, def.key), factor * value(&before, def.key));
            prop_assert!((got - wanted).abs() <= 1e-8 * wanted.abs() + 1e-9, "{}: {got} {wanted}", def.key);
        }
    }

    #[test]
    fn time_run_backward_keeps_the_path(points in points(600)) {
        let before = measure(&trace(100.0, points.clone()), &AS_RECORDED);
        let backward = points.iter().rev().copied().collect();
        let after = measure(&trace(100.0, backward), &AS_RECORDED);
        let keys = ["path_length", "mean_velocity", "ellipse_area", "hull_area", "range_max", "sway_area_rate", "body_rms_ml"];
        check_same(&after, &before, &keys)?;
    }

    #[test]
    fn an_exchange_of_axes_exchanges_values(points in points(600)) {
        let before = measure(&trace(100.0, points.clone()), &AS_RECORDED);
        let exchanged = moved(&points, |p| Cop::new(p.ap_mm, p.ml_mm));
        let after = measure(&trace(100.0, exchanged), &AS_RECORDED);
        for def in MEASURES {
            let Some(stem) = def.key.strip_suffix("_ml") else { continue };
            let (got, wanted) = (value(&after, def.key), value(&before, &format!("{stem}_ap")));
            prop_assert!((got - wanted).abs() <= 1e-9 * wanted.abs() + 1e-9, "{stem}: {got} {wanted}");
        }
    }

    #[test]
    fn every_reading_is_a_number_or_a_reason(
        points in points(0),
        rate_hz in prop_oneof![Just(100.0), 0.5..400.0_f64],
        scale in prop_oneof![Just(0.0), Just(1e-300), Just(1e-12), Just(1.0), Just(1e9)],
        body_height_m in proptest::option::of(-1.0..4.0_f64),
    ) {
        let points = moved(&points, |p| Cop::new(scale * p.ml_mm, scale * p.ap_mm));
        let trace = trace(rate_hz, points);
        for settings in [Settings::as_recorded(body_height_m), Settings::standard(body_height_m)] {
            let measures = measure(&trace, &settings);
            for def in MEASURES {
                if let Ok(value) = (def.value)(&measures) {
                    prop_assert!(value.is_finite(), "{} is {value}", def.key);
                }
            }
        }
    }

    #[test]
    fn what_was_measured_before_does_not_matter(first in points(600), second in points(600)) {
        let (first, second) = (trace(100.0, first), trace(100.0, second));
        let mut used = Analyser::new();
        used.measure(&first, &Settings::standard(Some(1.5)));
        for settings in [Settings::standard(Some(1.8)), AS_RECORDED] {
            let alone = measure(&second, &settings);
            let after = used.measure(&second, &settings);
            for def in MEASURES {
                let bits = |measures| (def.value)(measures).map(f64::to_bits);
                prop_assert_eq!(bits(&alone), bits(&after), "{}", def.key);
            }
        }
    }
}
