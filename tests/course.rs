//! A whole course through the command line: sessions with real stands, the next step, a stop.
//!
//! Stands: the published recordings on foam with open eyes of one person (Santos & Duarte 2016,
//! `PeerJ` 4:e2648, CC BY 4.0; see tests/open-data/README.md), each taken for one stand a session.
//! Answers are made up. What must follow is the rule as `analysis/docs/readiness.md` tells it.

use crate::bench::Bench;

const STANDS: [&str; 3] = ["BDS00103", "BDS00104", "BDS00105"];
const HERE: &str = "foam/hip-width/open";
const PERSON_HERE: [&str; 4] = ["--person", "P-01", "--condition", HERE];
const NEXT: &str = "foam/hip-width/closed";
const PLAN: &str = r#"
sessions_per_day = 1

[[conditions]]
condition = "foam/hip-width/open"
holds = 3
hold_s = 60.0
rest_s = 30.0
release = "alone"

[[conditions]]
condition = "foam/hip-width/closed"
holds = 3
hold_s = 60.0
rest_s = 30.0
release = "clinic"
"#;

/// A session on this day of March with three stands, everything asked and answered; its id.
fn session(bench: &Bench, day: u32, anything_new: &str) -> String {
    let at = |hour: u32| format!("2026-03-{day:02}T{hour:02}:00:00+01:00");
    let begun = bench.footing([
        "sessions",
        "begin",
        "P-01",
        "--started",
        &at(9),
        "--pain-at-start",
        "2",
        "--anything-new",
        anything_new,
        "--fall",
        "no",
        "--leg-pain",
        "no",
        "--numbness",
        "no",
    ]);
    let id = begun.well().stdout.trim().to_owned();
    for name in STANDS {
        let when = ["--started", &at(9), "--asked", "60", "--session", &id];
        bench.import_recording(name, &[&PERSON_HERE[..], &when].concat()).well();
    }
    let answer = ["sessions", "answer", "P-01", "--session", &id, "--condition", HERE];
    bench.footing([&answer[..], &["--difficulty", "2", "--touched", "no"]].concat()).well();
    let end = ["sessions", "end", "P-01", "--session", &id, "--ended", &at(10)];
    bench.footing([&end[..], &["--worst-pain", "2", "--pain-after", "2"]].concat()).well();
    let morning = format!("2026-03-{:02}T08:00:00+01:00", day + 1);
    let next = ["sessions", "next-morning", "P-01", "--pain", "2", "--session", &id];
    bench.footing([&next[..], &["--answered", &morning]].concat()).well();
    id
}

fn verdict(bench: &Bench, day: u32) -> String {
    let day = format!("2026-03-{day:02}");
    let step = bench.footing(["next-step", "P-01", "--as-of", &day, "--json"]).json();
    step["verdict"].as_str().unwrap().to_owned()
}

fn a_person_with_a_plan() -> Bench {
    let bench = Bench::new();
    bench.footing(["people", "set", "P-01", "--height", "1.575"]).well();
    let plan = bench.file("plan.toml", PLAN);
    let set = ["plan", "set", "P-01", plan.to_str().unwrap(), "--author", "clinician-1"];
    bench.footing(set).well();
    bench
}

#[test]
fn easy_sessions_lead_on_a_warning_sign_stops_and_a_review_releases() {
    let bench = a_person_with_a_plan();
    for day in [2, 4, 6] {
        session(&bench, day, "no");
    }
    // The first session at a condition is learning; two scored ones are too few.
    assert_eq!(verdict(&bench, 7), "not enough data");
    for day in [9, 11] {
        session(&bench, day, "no");
    }
    assert_eq!(verdict(&bench, 12), "advance");
    // What was known earlier is judged as it was then.
    assert_eq!(verdict(&bench, 7), "not enough data");

    session(&bench, 13, "yes");
    assert_eq!(verdict(&bench, 14), "stop and review");
    session(&bench, 15, "no");
    assert_eq!(verdict(&bench, 16), "stop and review", "one good day releases nothing");
    let made = "2026-03-16T12:00:00+01:00";
    let decide = ["decide", "P-01", HERE, "--author", "clinician-1", "--made", made];
    let said = bench.footing(decide).well();
    assert!(said.stdout.contains("The advice was: stop and review"), "{}", said.stdout);
    assert_ne!(verdict(&bench, 16), "stop and review");
    let decide = ["decide", "P-01", NEXT, "--author", "clinician-1", "--made", made];
    bench.footing(decide).well();
    let step = bench.footing(["next-step", "P-01", "--as-of", "2026-03-16", "--json"]).json();
    assert_eq!(step["condition"], "foam/hip-width/closed/none/none");
    // A day before any decision, judged as if the person were at another condition.
    let earlier = ["next-step", "P-01", "--as-of", "2026-03-12", "--json", "--condition", NEXT];
    let step = bench.footing(earlier).json();
    assert_eq!(step["condition"], "foam/hip-width/closed/none/none");
}

#[test]
fn a_stand_in_no_session_is_kept_and_does_not_count() {
    let bench = a_person_with_a_plan();
    session(&bench, 2, "no");
    let lone = [&PERSON_HERE[..], &["--asked", "60"]].concat();
    bench.import_recording(STANDS[0], &lone).well();
    let words = bench.footing(["next-step", "P-01"]).well().stdout;
    assert!(words.contains("Left out: 1, in no session"), "{words}");
    let trials = bench.footing(["trials", "P-01", "--json"]).json();
    assert_eq!(trials.as_array().unwrap().len(), 4);
}

#[test]
fn what_cannot_be_is_refused_with_what_why_and_what_to_do() {
    let bench = a_person_with_a_plan();
    bench.footing(["next-step", "P-02"]).refused(&["P-02 is not in the records"]);
    bench.footing(["sessions", "begin", "P-02"]).refused(&["P-02 is not in the records"]);
    let nowhere = ["decide", "P-01", "firm/wide/open", "--author", "clinician-1"];
    bench.footing(nowhere).refused(&["not in the plan"]);
    bench.footing(["next-step", "P-01", "--as-of", "yesterday"]).refused(&["not a day"]);
    let plan = bench.file("bad.toml", PLAN.replace("60.0", "-1.0"));
    let set = ["plan", "set", "P-01", plan.to_str().unwrap(), "--author", "clinician-1"];
    bench.footing(set).refused(&["seconds of a hold"]);
    bench.footing(["sessions", "end", "P-01"]).refused(&["has no session"]);
    bench.footing(["sessions", "begin", "P-01"]).well();
    bench.footing(["sessions", "begin", "P-01"]).refused(&["in the middle of one"]);
}

#[test]
fn what_is_kept_is_compared_backed_up_made_anew_and_erased() {
    let bench = a_person_with_a_plan();
    session(&bench, 2, "no");
    let verified = bench.footing(["verify"]).well().stdout;
    assert!(verified.contains("Compared 3 trials in the records with 3 trial files"), "{verified}");
    let backup = bench.path("backup");
    bench.footing(["backup", backup.to_str().unwrap()]).well();
    bench.footing(["backup", backup.to_str().unwrap()]).refused(&["is there already"]);

    let before = bench.footing(["sessions", "list", "P-01", "--json"]).json();
    std::fs::write(bench.path("data").join("records.sqlite"), "not a database").unwrap();
    bench.footing(["people"]).refused(&["records are no database"]);
    bench.footing(["rebuild"]).well();
    assert_eq!(bench.footing(["sessions", "list", "P-01", "--json"]).json(), before);
    bench.footing(["verify"]).well();

    std::fs::remove_file(&bench.sealed()[0]).unwrap();
    let found = bench.footing(["verify"]);
    assert_eq!(found.code, Some(1), "{}", found.stdout);
    assert!(found.stdout.contains("has no file"), "{}", found.stdout);

    bench.footing(["erase", "P-01", "--author", "c"]).refused(&["Nothing was erased"]);
    bench.footing(["erase", "P-01", "--author", "c", "--confirm", "P-01"]).well();
    assert!(bench.sealed().is_empty());
    bench.footing(["next-step", "P-01"]).refused(&["not in the records"]);
}
