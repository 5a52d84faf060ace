//! Where the weight stands over a short stand, against the rest of the same stand.
//!
//! Recordings: Santos & Duarte 2016, `PeerJ` 4:e2648, CC BY 4.0.

use analysis::{Cop, MeanPosition, Plane, SampleRate, Settings, Trace, measure};

use crate::open_data;

/// As a reference is taken: 15 s, of which the standard processing leaves 10.
const REFERENCE_SAMPLES: usize = 1500;
const BETWEEN_STARTS: usize = 1000;

/// The stretches of one stand differ by their own uncertainty, twice over. The root mean square of
/// the differences, in units of the told standard uncertainty of a difference, is 1 if that is
/// right; with n = 288 differences its own error is about 0.04, slow drift and few people add to it.
#[test]
fn two_references_of_one_stand_differ_by_what_their_uncertainty_tells() {
    let mut squares = Vec::new();
    for (name, trial) in open_data::golden("golden-measures.json") {
        let height_m = trial["height_m"].as_f64().unwrap();
        let points: Vec<Cop> =
            open_data::plate_samples(&name).iter().map(|sample| sample.cop).collect();
        let positions: Vec<MeanPosition> = (0..points.len())
            .step_by(BETWEEN_STARTS)
            .filter_map(|start| points.get(start..start + REFERENCE_SAMPLES))
            .map(|part| {
                let trace = Trace::new(SampleRate::STANDARD, Plane::Plate, part.to_vec()).unwrap();
                MeanPosition::of(&measure(&trace, &Settings::standard(Some(height_m)))).unwrap()
            })
            .collect();
        for pair in positions.windows(2) {
            for axis in [|cop: Cop| cop.ml_mm, |cop: Cop| cop.ap_mm] {
                let told = axis(pair[0].uncertainty).hypot(axis(pair[1].uncertainty));
                squares.push(((axis(pair[1].mean) - axis(pair[0].mean)) / told).powi(2));
            }
        }
    }
    assert!(200 < squares.len(), "{}", squares.len());
    let ratio = (squares.iter().sum::<f64>() / squares.len() as f64).sqrt();
    assert!((0.8..=1.25).contains(&ratio), "{ratio}");
}
