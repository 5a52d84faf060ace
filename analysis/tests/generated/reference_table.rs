//! The percentiles of the reference people, from the published table.
//!
//! Santos & Duarte 2016, `PeerJ` 4:e2648, CC BY 4.0.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

use analysis::{AgeBand, REFERENCE_SHARES, Surface, Vision};

use crate::check_generated;

/// Measure, column of the published table, and the factor to our unit and definition.
const MEASURES: [(&str, &str, f64); 3] = [
    // Theirs is the path over N / rate of 6,000 samples, ours over (N - 1) / rate; cm to mm.
    ("mean_velocity", "cop_mean_velocity_cm_s", 10.0 * 6000.0 / 5999.0),
    ("ellipse_area", "cop_area_cm2", 100.0),
    ("mean_frequency_full_band", "cop_mean_frequency_Hz", 1.0),
];

#[test]
fn the_embedded_table_is_that_of_the_published_one() {
    let path =
        PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../tests/open-data/published-measures.tsv");
    let published = fs::read_to_string(path).expect("the published table is there");
    let mut lines = published.lines().map(|line| line.split('\t').collect::<Vec<_>>());
    let header = lines.next().expect("a header");
    let column = |name: &str| header.iter().position(|found| *found == name).expect("a column");
    let rows: Vec<Vec<&str>> = lines.collect();

    let mut table = String::from(
        "# Santos & Duarte 2016, PeerJ 4:e2648, CC BY 4.0: age band, surface, vision, measure, people, \
         percentiles 5 10 25 50 75 90 95; written by tests/generated\n",
    );
    for &band in AgeBand::ALL {
        for (surface, surface_name) in [(Surface::Firm, "Firm"), (Surface::Foam, "Foam")] {
            for (vision, vision_name) in [(Vision::Open, "Open"), (Vision::Closed, "Closed")] {
                for (key, name, factor) in MEASURES {
                    let mut logs: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
                    for row in &rows {
                        let number =
                            |name: &str| row[column(name)].parse::<f64>().expect("a number");
                        let here = row[column("surface")] == surface_name
                            && row[column("vision")] == vision_name
                            && AgeBand::of_age(number("age_years")) == Some(band);
                        if here {
                            let person = logs.entry(row[column("subject")]).or_default();
                            person.push((number(name) * factor).ln());
                        }
                    }
                    let mean = |logs: &Vec<f64>| logs.iter().sum::<f64>() / logs.len() as f64;
                    let mut people: Vec<f64> = logs.values().map(|logs| mean(logs).exp()).collect();
                    people.sort_by(f64::total_cmp);
                    let n_people = people.len();
                    write!(table, "{band}\t{surface}\t{vision}\t{key}\t{n_people}").expect("text");
                    for share in REFERENCE_SHARES {
                        write!(table, "\t{:.4}", percentile(&people, share)).expect("text");
                    }
                    table.push('\n');
                }
            }
        }
    }
    check_generated("src/reference_people.tsv", &table);
}

/// At position (n - 1) p, linear between neighbours.
fn percentile(sorted: &[f64], share: f64) -> f64 {
    let position = share * (sorted.len() - 1) as f64;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the list")]
    let below = position.floor() as usize;
    let above = (below + 1).min(sorted.len() - 1);
    sorted[below] + (position - below as f64) * (sorted[above] - sorted[below])
}
