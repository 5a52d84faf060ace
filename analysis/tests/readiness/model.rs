//! The belief about a level, held against an independent computation and against real repeats.

use std::collections::BTreeMap;
use std::fs;

use analysis::readiness::proof::{DaySpread, Tally, coverage};
use analysis::readiness::{BoardSpread, ModelPriors, Posterior, SpreadPrior, TrialLength};
use serde_json::Value;

use crate::built::CURRENT;

fn tests_folder(path: &str) -> String {
    format!("{}/../tests/{path}", env!("CARGO_MANIFEST_DIR"))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn prior(value: &Value) -> SpreadPrior {
    SpreadPrior { scale: number(&value[0]), degrees_of_freedom: number(&value[1]) }
}

/// Cases and answers of `tests/peer/readiness_check.py` (numpy and scipy, versions in the file):
/// full covariance matrices, quadrature over the quantiles of the beliefs, and Gibbs sampling.
#[test]
fn an_independent_computation_agrees() {
    let text = fs::read_to_string(tests_folder("peer/readiness_cases.json")).unwrap();
    let peer: Value = serde_json::from_str(&text).unwrap();
    let (upper, lower) = (number(&peer["upper_mm"]).ln(), number(&peer["lower_mm"]).ln());
    let (shift, shift_sd) = (number(&peer["shift_mean"]), number(&peer["shift_sd"]));
    let cases = peer["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 14);
    for case in cases {
        let sessions: Vec<Vec<f64>> = case["sessions"]
            .as_array()
            .unwrap()
            .iter()
            .map(|logs| logs.as_array().unwrap().iter().map(number).collect())
            .collect();
        let priors =
            ModelPriors { trial: prior(&case["trial_prior"]), day: prior(&case["day_prior"]) };
        let board = BoardSpread {
            noise_log_sd: number(&case["noise_log_sd"]),
            calibration_log_sd: number(&case["calibration_log_sd"]),
        };
        let level = Posterior::of(&sessions, priors, board).unwrap();
        let expected = &case["expected"];
        let quantile = |index: usize| number(&expected["quantiles"][index]);
        for (what, found, expected, tolerance) in [
            ("upper", level.probability_at_most(upper), &expected["at_most_upper"], 1e-3),
            ("lower", level.probability_at_most(lower), &expected["at_most_lower"], 1e-3),
            (
                "next",
                level.probability_shifted_at_most(upper, shift, shift_sd),
                &expected["shifted_at_most_upper"],
                1e-3,
            ),
            (
                "trial",
                level.probability_of_trial_at_most(upper),
                &expected["trial_at_most_upper"],
                1e-3,
            ),
            ("variance", level.session_mean_variance(3), &expected["session_of_3_variance"], 1e-3),
        ] {
            let gap = found - number(expected);
            assert!(gap.abs() < tolerance, "{} {what}: {found} {expected}", case["name"]);
        }
        for (index, probability) in [0.025, 0.5, 0.975].into_iter().enumerate() {
            let below = level.probability_at_most(quantile(index));
            assert!((below - probability).abs() < 1e-3, "{} {probability}", case["name"]);
        }
        if let Some(drawn) = expected["gibbs_at_most_upper"].as_f64() {
            let gap = level.probability_at_most(upper) - drawn;
            assert!(gap.abs() < 1e-3, "{} drawn: {gap}", case["name"]);
        }
    }
}

#[test]
fn the_interval_holds_the_level_as_often_as_it_says() {
    let priors = ModelPriors::wobble(CURRENT, TrialLength::Home);
    for size in [(3, 3), (6, 2)] {
        let tally = coverage(priors, DaySpread::FromPrior, size, 40_000..43_000);
        let (lower, upper) = tally.interval();
        assert!(lower <= 0.95 && 0.95 <= upper, "{size:?}: {lower} to {upper}");
    }
}

/// Mean velocities of 163 people, three repeats a condition (Santos & Duarte 2016, `PeerJ`
/// 4:e2648, CC BY 4.0): logarithms by condition and person.
fn repeats() -> BTreeMap<(String, String), Vec<[f64; 3]>> {
    let text = fs::read_to_string(tests_folder("open-data/published-measures.tsv")).unwrap();
    let mut rows = text.lines();
    let header: Vec<&str> = rows.next().unwrap().split('\t').collect();
    let column = |name: &str| header.iter().position(|&found| found == name).unwrap();
    let (person, vision, surface, velocity) =
        (column("subject"), column("vision"), column("surface"), column("cop_mean_velocity_cm_s"));
    let mut people: BTreeMap<(String, String, u32), Vec<f64>> = BTreeMap::new();
    for row in rows {
        let cells: Vec<&str> = row.split('\t').collect();
        let key =
            (cells[surface].to_owned(), cells[vision].to_owned(), cells[person].parse().unwrap());
        people.entry(key).or_default().push(cells[velocity].parse::<f64>().unwrap().ln());
    }
    let mut conditions: BTreeMap<(String, String), Vec<[f64; 3]>> = BTreeMap::new();
    for ((surface, vision, _), logs) in people {
        if let Ok(logs) = <[f64; 3]>::try_from(logs) {
            conditions.entry((surface, vision)).or_default().push(logs);
        }
    }
    conditions
}

/// How often the 95 % prediction from the other two repeats holds the repeat at `held_out`, the
/// belief about spread taken from all other people.
fn predicted(people: &[[f64; 3]], held_out: usize) -> Tally {
    let scatter = |logs: &[f64; 3]| {
        let mean = logs.iter().sum::<f64>() / 3.0;
        logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>()
    };
    let all: f64 = people.iter().map(scatter).sum();
    let mut tally = Tally { hits: 0, of: people.len() as u64 };
    for logs in people {
        let others = (all - scatter(logs)) / (2.0 * (people.len() - 1) as f64);
        let priors = ModelPriors {
            trial: SpreadPrior { scale: others.sqrt(), degrees_of_freedom: 10.0 },
            // All repeats are of one session: no spread from day to day.
            day: SpreadPrior { scale: 1e-6, degrees_of_freedom: 1e3 },
        };
        let seen = (0..3).filter(|&index| index != held_out).map(|index| logs[index]).collect();
        let level = Posterior::of(&[seen], priors, BoardSpread::default()).unwrap();
        let below = level.probability_of_trial_at_most(logs[held_out]);
        tally.hits += u64::from((0.025..=0.975).contains(&below));
    }
    tally
}

#[test]
fn real_repeats_of_velocity_fall_where_the_model_says() {
    let mut all = Tally::default();
    let mut lines = Vec::new();
    for ((surface, vision), people) in repeats() {
        for held_out in 0..3 {
            let tally = predicted(&people, held_out);
            lines.push(format!("{surface} {vision} repeat {}: {tally:?}", held_out + 1));
            all = Tally { hits: all.hits + tally.hits, of: all.of + tally.of };
        }
    }
    // Repeats of one person depend on each other, so the interval is a little too narrow.
    let (lower, upper) = all.interval();
    let rate = all.rate();
    assert!((0.93..=0.97).contains(&rate), "{rate} ({lower} to {upper})\n{}", lines.join("\n"));
}
