//! A whole course from frames to advice: every stand is recorded from the simulated board.
//!
//! The virtual person sways half as far as the middle of healthy adults and finds it easy. What must
//! follow is the rule as `analysis/docs/readiness.md` tells it.

use std::fs;
use std::os::unix::fs::PermissionsExt as _;
use std::path::Path;

use serde_json::Value;

use crate::bench::{Bench, Simulator};

const HERE: &str = "foam/hip-width/open";
const PLAN: &str = r#"
sessions_per_day = 1

[[conditions]]
condition = "foam/hip-width/open"
holds = 2
hold_s = 35.0
rest_s = 30.0
release = "alone"

[[conditions]]
condition = "foam/hip-width/closed"
holds = 2
hold_s = 35.0
rest_s = 30.0
release = "clinic"
"#;

struct Course {
    bench: Bench,
    board: Simulator,
}

impl Course {
    fn begin() -> Self {
        let bench = Bench::new();
        bench.footing(["people", "set", "P-02", "--height", "1.70", "--mass", "70"]).well();
        let plan = bench.file("plan.toml", PLAN);
        let set = ["plan", "set", "P-02", plan.to_str().unwrap(), "--author", "clinician-1"];
        bench.footing(set).well();
        let board = Simulator::start(&[
            "--pty",
            "--speed",
            "max",
            "--seed",
            "31",
            "--steadiness",
            "2",
            "--stand",
            HERE,
        ]);
        Self { bench, board }
    }

    fn said(&self, words: &str) -> String {
        self.bench.footing(words.split(' ')).well().stdout
    }

    /// A session on this day of March with two stands of 35 s, everything asked and answered.
    fn session(&self, day: u32, anything_new: &str, n_stands: usize) {
        let id = self.said(&format!(
            "sessions begin P-02 --place home --started 2026-03-{day:02}T18:00:00-05:00 \
             --pain-at-start 2 --anything-new {anything_new} --fall no --leg-pain no --numbness no"
        ));
        let id = id.trim();
        for _ in 0..n_stands {
            let stand = self.said(&format!(
                "record --port {} --person P-02 --session {id} --condition {HERE} \
                 --sole-height 130 --settle 10 --seconds 35 --json",
                self.board.port
            ));
            let stand: Value = serde_json::from_str(&stand).unwrap();
            assert_eq!(stand["lost_frames"], 0, "{stand}");
        }
        self.said(&format!(
            "sessions answer P-02 --session {id} --condition {HERE} --difficulty 2 --touched no \
             --pad pad-1"
        ));
        self.said(&format!(
            "sessions end P-02 --session {id} --worst-pain 2 --pain-after 2 \
             --ended 2026-03-{day:02}T18:20:00-05:00"
        ));
        self.said(&format!(
            "sessions next-morning P-02 --session {id} --pain 2 \
             --answered 2026-03-{:02}T07:00:00-05:00",
            day + 1
        ));
    }

    /// The advice at the end of this day of March.
    fn advice(&self, day: u32) -> Value {
        let words = self.said(&format!("next-step P-02 --as-of 2026-03-{day:02} --json"));
        serde_json::from_str(&words).unwrap()
    }

    #[track_caller]
    fn check(&self, day: u32, verdict: &str) {
        let advice = self.advice(day);
        assert_eq!(advice["verdict"], verdict, "{advice:#}");
    }
}

#[test]
fn stands_from_a_board_lead_on_a_warning_sign_stops_and_only_a_newer_review_releases() {
    let course = Course::begin();
    course.session(2, "no", 1);
    for day in [4, 6, 9] {
        course.session(day, "no", 2);
    }
    // All an advance needs, for the first time: it is said when a second day agrees.
    course.check(10, "stay");
    course.session(11, "no", 2);
    course.check(12, "advance");
    let advised = course.advice(12);
    assert_eq!(advised["used_trials"].as_array().map(Vec::len), Some(8), "{advised:#}");

    let n_files = for_the_owner_alone(&course.bench.path("data"));
    assert!(9 < n_files, "nine trial files and the records: {n_files}");

    // The same answer from records made anew out of the trial files and the person's file.
    course.said("rebuild");
    assert_eq!(course.advice(12), advised);

    course.session(13, "yes", 0);
    course.check(13, "stop and review");
    course.session(14, "no", 0);
    course.check(15, "stop and review");
    let decide = |made: &str| {
        course.said(&format!("decide P-02 {HERE} --author clinician-1 --made {made} --note seen"))
    };
    decide("2026-03-12T09:00:00-05:00");
    course.check(15, "stop and review");
    decide("2026-03-15T09:00:00-05:00");
    assert_ne!(course.advice(15)["verdict"], "stop and review");
    // What was advised before the review stays what it was.
    course.check(14, "stop and review");
}

/// Checks that nobody but the owner may read, write or enter anything in `folder`; how many files.
fn for_the_owner_alone(folder: &Path) -> usize {
    let mut n_files = 0;
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let mode = fs::metadata(&path).unwrap().permissions().mode();
        assert_eq!(mode & 0o077, 0, "{mode:o} {}", path.display());
        n_files += if path.is_dir() { for_the_owner_alone(&path) } else { 1 };
    }
    n_files
}
