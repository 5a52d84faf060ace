//! The published results of the open recordings.
//!
//! Santos & Duarte 2016, `PeerJ` 4:e2648, CC BY 4.0; nothing filtered, nothing trimmed.

use std::fs;

use analysis::{Settings, measure};

use crate::open_data;

const RELATIVE_TOLERANCE: f64 = 1e-9;

#[test]
fn area_velocity_and_mean_frequency_are_those_published() {
    let table = fs::read_to_string(open_data::path("published-measures.tsv")).unwrap();
    let mut lines = table.lines().map(|line| line.split('\t').collect::<Vec<_>>());
    let header = lines.next().unwrap();
    let column = |name: &str| header.iter().position(|&found| found == name).unwrap();
    let published: Vec<Vec<&str>> = lines.collect();
    assert_eq!(published.len(), 1930);

    let mut n_compared = 0;
    for row in published {
        let recording = row[column("trial")];
        if !open_data::path(&format!("{recording}.txt.gz")).exists() {
            continue;
        }
        let number = |name: &str| row[column(name)].parse::<f64>().unwrap();
        let trace = open_data::trace(recording, None);
        let measures = measure(&trace, &Settings::as_recorded(Some(number("height_cm") / 100.0)));
        let n = measures.n_samples as f64;
        let check = |what: &str, got: f64, wanted: f64| {
            let error = (got / wanted - 1.0).abs();
            assert!(error < RELATIVE_TOLERANCE, "{recording} {what}: {got} not {wanted}");
        };
        check("area", measures.ellipse.unwrap().area_mm2 / 100.0, number("cop_area_cm2"));
        // Theirs is the path over N / rate, ours over (N - 1) / rate.
        let velocity = measures.displacement.unwrap().mean_velocity_mm_per_s * (n - 1.0) / n;
        check("velocity", velocity / 10.0, number("cop_mean_velocity_cm_s"));
        let frequency = measures.frequency.unwrap().mean_frequency_full_band_hz.unwrap();
        check("mean frequency", frequency, number("cop_mean_frequency_Hz"));
        n_compared += 1;
    }
    assert_eq!(n_compared, 36);
}
