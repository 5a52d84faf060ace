//! Stands that end by Ctrl-C, by a rule of the records, or while the program itself stood still.

use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::bench::{Bench, Outcome, Simulator};
use crate::recording::{exported, journal_of_some_length, record_arguments};
use crate::relay::Relay;

/// One condition, released for home.
const PLAN: &str = r#"
sessions_per_day = 1
settle_s = 3.0

[[conditions]]
condition = "foam/hip-width/closed"
holds = 2
hold_s = 35.0
rest_s = 30.0
release = "accompanied"
"#;

/// Longest that anything here may take, on a busy machine.
const PATIENCE: Duration = Duration::from_mins(1);

/// A record of ten minutes from a virtual person who stays, begun and well under way.
struct UnderWay {
    recorder: Child,
    _simulator: Simulator,
}

impl UnderWay {
    fn begin(bench: &Bench) -> Self {
        let simulator = Simulator::start(&[
            "--tcp",
            "127.0.0.1:0",
            "--speed",
            "20",
            "--seed",
            "4",
            "--stand",
            "foam/hip-width/closed",
        ]);
        Self { recorder: recorder(bench, &simulator.port), _simulator: simulator }
    }

    fn end(self) -> Outcome {
        Outcome::from_output(&wait(self.recorder))
    }
}

fn recorder(bench: &Bench, port: &str) -> Child {
    let mut recorder = bench
        .command()
        .args(record_arguments(port, "600"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    journal_of_some_length(bench, &mut recorder, 30_000);
    recorder
}

fn wait(recorder: Child) -> Output {
    recorder.wait_with_output().unwrap()
}

fn signal(name: &str, process: &Child) {
    let sent = Command::new("kill").args(["-s", name, &process.id().to_string()]).status();
    assert!(sent.unwrap().success());
}

/// A stand that Ctrl-C ends, pressed once or without end.
pub(crate) fn interrupted(bench: &Bench, presses: Presses) -> Outcome {
    let mut under_way = UnderWay::begin(bench);
    signal("INT", &under_way.recorder);
    let begun = Instant::now();
    while presses == Presses::Many && under_way.recorder.try_wait().unwrap().is_none() {
        assert!(begun.elapsed() < PATIENCE, "it does not end");
        signal("INT", &under_way.recorder);
    }
    under_way.end()
}

/// How often Ctrl-C is pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Presses {
    One,
    Many,
}

/// A stand during which another program records a warning sign.
pub(crate) fn warned_meanwhile(bench: &Bench) -> Outcome {
    planned(bench);
    let under_way = UnderWay::begin(bench);
    bench
        .footing(["sessions", "begin", "P-01", "--place", "clinic", "--anything-new", "yes"])
        .well();
    under_way.end()
}

fn planned(bench: &Bench) {
    bench.footing(["people", "set", "P-01", "--height", "1.70", "--mass", "70"]).well();
    let plan = bench.file("plan.toml", PLAN);
    let set = ["plan", "set", "P-01", plan.to_str().unwrap(), "--author", "clinician-1"];
    bench.footing(set).well();
}

/// A stand that is asked for while a stop waits for its review.
pub(crate) fn not_reviewed(bench: &Bench) -> Outcome {
    planned(bench);
    bench
        .footing(["sessions", "begin", "P-01", "--place", "clinic", "--anything-new", "yes"])
        .well();
    bench.footing(record_arguments("/dev/no-such-board", "60"))
}

#[test]
fn ctrl_c_ends_a_stand_and_keeps_it() {
    let bench = Bench::new();
    let outcome = interrupted(&bench, Presses::One);
    assert_eq!(outcome.json()["ended"], "stopped");
    assert_eq!(bench.sealed().len(), 1);
    assert_eq!(bench.everything_kept().len(), 1, "no journal is left");
}

#[test]
fn ctrl_c_twice_leaves_at_once_and_the_next_start_keeps_the_stand() {
    let bench = Bench::new();
    let outcome = interrupted(&bench, Presses::Many);
    assert_eq!(outcome.code, Some(130), "{}", outcome.stderr);
    assert!(outcome.stderr.contains("Left at once"), "{}", outcome.stderr);
    let listed = bench.footing(["analyse", "--json", "--processing", "as_recorded"]).well();
    assert!(listed.stderr.contains("kept") || bench.sealed().len() == 1, "{}", listed.stderr);
    assert_eq!(bench.everything_kept().len(), 1);
}

#[test]
fn a_warning_sign_recorded_meanwhile_ends_a_stand_by_rule() {
    let bench = Bench::new();
    let outcome = warned_meanwhile(&bench);
    assert!(outcome.stderr.contains("ended by a rule"), "{}", outcome.stderr);
    let said: Value = outcome.json();
    assert_eq!(said["ended"], "stopped-by-rule");
    assert_eq!(bench.sealed().len(), 1);
}

#[test]
fn what_the_records_forbid_is_refused_with_the_reason() {
    let bench = Bench::new();
    not_reviewed(&bench).refused(&["review", "next-step"]);
    bench.footing(["sessions", "end", "P-01"]).well();
    let decide = ["decide", "P-01", "foam/hip-width/closed", "--author", "clinician-1"];
    bench.footing(decide).well();
    let asked = |options: &[&str]| {
        let mut all = record_arguments("/dev/no-such-board", "60");
        all.extend(options);
        bench.footing(all)
    };
    asked(&[]).refused(&["no connection to a board"]);

    let begin = ["sessions", "begin", "P-01", "--place", "home", "--anything-new", "no"];
    let session = bench.footing(begin).well().stdout;
    let at_home = ["--session", session.trim()];
    asked(&at_home).refused(&["second person"]);
    asked(&[&at_home[..], &["--accompanied"]].concat()).refused(&["no connection to a board"]);
    assert!(bench.everything_kept().is_empty());
}

/// The plan's three seconds count, and what is typed counts more: the same stand of the same virtual
/// person is recorded from the same frame on, or from two seconds (500 frames) later.
#[test]
fn the_plan_says_how_long_to_stand_before_a_record() {
    let bench = Bench::new();
    planned(&bench);
    let first_frame = |options: &[&str]| {
        let stand = ["--speed", "max", "--seed", "4", "--stand", "foam/hip-width/closed"];
        let simulator = Simulator::start(&[&["--pty"][..], &stand].concat());
        let mut all = record_arguments(&simulator.port, "10");
        all.extend(options);
        let file = bench.footing(all).json()["file"].as_str().unwrap().to_owned();
        exported(&bench, Path::new(&file))[0].0
    };
    let by_plan = first_frame(&[]);
    assert_eq!(first_frame(&["--settle", "3"]), by_plan);
    assert_eq!(first_frame(&["--settle", "5"]), by_plan + 500);
}

/// As when a computer sleeps: the board goes on, the program stands still and then reads what waited.
#[test]
fn a_program_that_stood_still_goes_on_and_loses_nothing_that_waited() {
    let bench = Bench::new();
    let simulator = Simulator::start(&[
        "--tcp",
        "127.0.0.1:0",
        "--speed",
        "5",
        "--seed",
        "5",
        "--stand",
        "foam/hip-width/closed",
    ]);
    let relay = Relay::to(&simulator.port);
    let process = recorder(&bench, &relay.port);
    let passed_by = |frames: u64| {
        let (begun, from) = (Instant::now(), relay.last_sequence());
        while relay.last_sequence() < from + frames {
            assert!(begun.elapsed() < PATIENCE, "the board has stopped");
            std::thread::yield_now();
        }
    };
    signal("STOP", &process);
    // At 1,250 a second, longer than a board may be silent.
    passed_by(2_500);
    signal("CONT", &process);
    passed_by(2_500);
    signal("INT", &process);
    let said = Outcome::from_output(&wait(process)).json();
    assert_eq!((said["ended"].as_str(), said["lost_frames"].as_u64()), (Some("stopped"), Some(0)));
    let numbers: Vec<u64> = exported(&bench, &bench.sealed()[0]).iter().map(|row| row.0).collect();
    assert!(numbers.windows(2).all(|pair| pair[1] == pair[0] + 1), "a gap, or something invented");
    assert!(5_000 < numbers.len(), "{}", numbers.len());
}
