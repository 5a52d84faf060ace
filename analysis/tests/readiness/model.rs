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
fn repeats() -> BTreeMap<(String, String), Vec<Vec<f64>>> {
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
    let mut conditions: BTreeMap<(String, String), Vec<Vec<f64>>> = BTreeMap::new();
    for ((surface, vision, _), logs) in people {
        if logs.len() == 3 {
            conditions.entry((surface, vision)).or_default().push(logs);
        }
    }
    conditions
}

/// How many repeats at `held_out` the 95 % prediction from the others holds, the belief about
/// spread taken from all other people.
fn predicted(people: &[Vec<f64>], held_out: usize) -> Tally {
    let n_repeats = people[0].len() as f64;
    let scatter = |logs: &Vec<f64>| {
        let mean = logs.iter().sum::<f64>() / n_repeats;
        logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>()
    };
    let all: f64 = people.iter().map(scatter).sum();
    let mut tally = Tally { hits: 0, of: people.len() as u64 };
    for logs in people {
        let freedom = (n_repeats - 1.0) * (people.len() - 1) as f64;
        let others = (all - scatter(logs)) / freedom;
        let priors = ModelPriors {
            trial: SpreadPrior { scale: others.sqrt(), degrees_of_freedom: 10.0 },
            // All repeats are of one session: no spread from day to day.
            day: SpreadPrior { scale: 1e-6, degrees_of_freedom: 1e3 },
        };
        let others = logs.iter().enumerate().filter(|(index, _)| *index != held_out);
        let seen: Vec<f64> = others.map(|(_, log)| *log).collect();
        let level = Posterior::of(&[seen], priors, BoardSpread::default()).unwrap();
        let below = level.probability_of_trial_at_most(logs[held_out]);
        tally.hits += u64::from((0.025..=0.975).contains(&below));
    }
    tally
}

/// People and hits in each condition: first, second and third repeat predicted from the other two,
/// then the third from the second alone, the first taken as practice.
///
/// scipy 1.17.1, closed form: `|y - mean(seen)| < stats.t.ppf(.975, 9 + n) * sqrt((10 * others +
/// ss(seen)) / (9 + n) * (1 + 1 / n))` for n seen repeats.
const REPEATS_HELD: [(&str, &str, u64, [u64; 4]); 4] = [
    ("Firm", "Closed", 162, [150, 159, 160, 158]),
    ("Firm", "Open", 163, [150, 162, 162, 161]),
    ("Foam", "Closed", 158, [153, 156, 155, 154]),
    ("Foam", "Open", 160, [150, 158, 156, 156]),
];

/// 97.0 % of three and 97.8 % without the first, not 95 %: what follows from that stands in
/// `analysis/docs/readiness.md`.
#[test]
fn real_repeats_of_velocity_fall_where_the_closed_form_says() {
    let conditions = repeats();
    for (surface, vision, n_people, expected) in REPEATS_HELD {
        let people = &conditions[&(surface.to_owned(), vision.to_owned())];
        assert_eq!(people.len() as u64, n_people, "{surface} {vision}");
        let practised: Vec<Vec<f64>> = people.iter().map(|logs| logs[1..].to_vec()).collect();
        let found = [
            predicted(people, 0).hits,
            predicted(people, 1).hits,
            predicted(people, 2).hits,
            predicted(&practised, 1).hits,
        ];
        assert_eq!(found, expected, "{surface} {vision}");
    }
}
