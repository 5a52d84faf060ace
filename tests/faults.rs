//! What a person is told and what is kept, for each fault on demand: the table is a snapshot.

use std::fmt::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

use crate::bench::{Bench, Outcome, Simulator};
use crate::stopping::{Presses, interrupted, not_reviewed, warned_meanwhile};

/// One fault: its name, the simulator's options, and the program's.
struct Fault {
    name: &'static str,
    simulator: &'static [&'static str],
    program: &'static [&'static str],
    /// Whether how much is kept hangs on what the cable still held, so that only whole seconds count.
    roughly: bool,
}

const fn fault(name: &'static str, simulator: &'static [&'static str]) -> Fault {
    Fault { name, simulator, program: &[], roughly: false }
}

/// A stand of 10 s after 6 s of empty board and 10 s of settling: recorded from 16 s to 26 s.
const FAULTS: &[Fault] = &[
    fault("none", &[]),
    fault("1 % of frames lost", &["--lost-percent", "1"]),
    fault("bursts of 20 frames lost", &["--lost-percent", "0.2", "--lost-burst", "20"]),
    fault("1 % of frames sent twice", &["--doubled-percent", "1"]),
    fault("1 % of frames damaged", &["--damaged-percent", "1"]),
    fault("1 % of frames 0.1 s late", &["--delayed-percent", "1", "--delay-s", "0.1"]),
    fault("a stall of 0.3 s", &["--stall", "20:0.3"]),
    Fault { roughly: true, ..fault("a stall of 3 s", &["--stall", "20:3"]) },
    Fault { roughly: true, ..fault("silent for good", &["--stall", "22.9:80000"]) },
    Fault { roughly: true, ..fault("unplugged in the record", &["--unplug-after-s", "22.9"]) },
    Fault { roughly: true, ..fault("restarted in the record", &["--restart-after-s", "22.9"]) },
    fault("another version", &["--speaks", "other-version"]),
    Fault { roughly: true, ..fault("something else on the port", &["--speaks", "text"]) },
    fault("nothing answers", &["--speaks", "nothing"]),
    fault("zero drifts by 30 N a minute", &["--zero-drift", "30"]),
    fault("zero drifts by 0.3 N a minute", &["--zero-drift", "0.3"]),
    fault("a weight left on the board", &["--stand", "weight/40/0/0", "--empty-s", "0"]),
    fault("a dead corner", &["--dead-corner", "rear-left"]),
    fault("sample rate 5 % low", &["--rate-off-percent=-5"]),
    fault("sample rate 5 % high", &["--rate-off-percent", "5"]),
    fault("another person", &["--mass-kg", "90"]),
    Fault { program: &["--same-person"], ..fault("another mass, confirmed", &["--mass-kg", "90"]) },
    fault("above the rated load", &["--mass-kg", "140"]),
    Fault { roughly: true, ..fault("stepped off", &["--stand-s", "16.5"]) },
];

/// No file may have more than 100 blocks of 512 bytes: half of the journal of a stand.
const FULL_DISK: &str = "trap '' XFSZ; ulimit -f 100; exec \"$0\" \"$@\"";

fn arguments<'a>(port: &'a str, program: &[&'a str]) -> Vec<&'a str> {
    let mut arguments = vec!["record", "--port", port, "--person", "P-01", "--json"];
    arguments.extend(["--condition", "firm/hip-width/open", "--height", "1.70", "--mass", "70"]);
    arguments.extend(["--seconds", "10", "--settle", "10"]);
    arguments.extend(program);
    arguments
}

#[test]
fn each_fault_tells_the_person_and_keeps_what_the_table_says() {
    let mut table = String::from(
        "What `footing record` tells and keeps, fault by fault: a stand of 10 s at 250 frames a second.\n",
    );
    for fault in FAULTS {
        let bench = Bench::new();
        let simulator = simulator(fault);
        let outcome = bench.footing(arguments(&simulator.port, fault.program));
        let told = told(&outcome, &simulator.port, &bench.path(""), fault.roughly);
        row(&mut table, fault.name, &told, &kept(&bench, fault.roughly));
    }
    let bench = Bench::new();
    // Makes the records, which need more room than a record does.
    bench.footing(arguments("/dev/no-such-board", &[])).refused(&[]);
    let simulator = simulator(&fault("", &[]));
    let program = bench.command();
    let output = Command::new("sh")
        .args(["-c", FULL_DISK])
        .arg(program.get_program())
        .args(program.get_args())
        .args(arguments(&simulator.port, &[]))
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let told = told(&Outcome::from_output(&output), &simulator.port, &bench.path(""), true);
    row(&mut table, "disk full in the record", &told, &kept(&bench, true));
    ended_early(&mut table);
    compare("fault-table.txt", &table);
}

type Act = fn(&Bench) -> Outcome;

/// What is no fault of the board: how long the record is hangs on the moment.
fn ended_early(table: &mut String) {
    let acts: [(&str, Act); 4] = [
        ("Ctrl-C in the record", |bench| interrupted(bench, Presses::One)),
        ("Ctrl-C again and again", |bench| interrupted(bench, Presses::Many)),
        ("a warning sign reported meanwhile", warned_meanwhile),
        ("a stop that was not reviewed", not_reviewed),
    ];
    for (name, act) in acts {
        let bench = Bench::new();
        let told = told(&act(&bench), "PORT", &bench.path(""), true);
        let kept = kept(&bench, true);
        let steady =
            |word| if kept.contains("whole seconds") && is_number(word) { "some" } else { word };
        let kept = kept.split(' ').map(steady).collect::<Vec<_>>().join(" ");
        row(table, name, &told, &kept);
    }
}

fn is_number(word: &str) -> bool {
    word.parse::<f64>().is_ok()
}

/// Twenty times as fast as a real board: still slow enough that every pause is a pause.
fn simulator(fault: &Fault) -> Simulator {
    let mut arguments = vec!["--tcp", "127.0.0.1:0", "--speed", "20", "--seed", "4"];
    if !fault.simulator.contains(&"--stand") {
        arguments.extend(["--stand", "firm/hip-width/open"]);
    }
    arguments.extend(fault.simulator);
    Simulator::start(&arguments)
}

fn row(table: &mut String, name: &str, told: &str, kept: &str) {
    write!(table, "\n{name}\n  told: {told}\n  kept: {kept}\n").unwrap();
}

/// What the person reads, without what differs from run to run.
fn told(outcome: &Outcome, port: &str, bench: &Path, roughly: bool) -> String {
    assert!(!outcome.stderr.contains("panicked"), "{}", outcome.stderr);
    if outcome.code == Some(0) {
        let said: Value = serde_json::from_str(&outcome.stdout).unwrap();
        let counted = |what: &str| match &said[what] {
            _ if roughly => "some".to_owned(),
            number => number.to_string(),
        };
        return format!(
            "the stand is recorded: {}; frames lost {}, damaged {}, repeated {}",
            said["ended"].as_str().unwrap(),
            counted("lost_frames"),
            counted("damaged_frames"),
            counted("repeated_frames"),
        );
    }
    let words = outcome.stderr.replace(port, "PORT").replace(bench.to_str().unwrap(), "BENCH/");
    let lines: Vec<&str> = words.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    // The id of the trial in the name of its journal, and a count that hangs on the moment.
    let steady = |word: &str| match word {
        word if word.contains(".journal") => "JOURNAL".to_owned(),
        word if roughly && word.parse::<f64>().is_ok() => "N".to_owned(),
        word => word.to_owned(),
    };
    lines.join(" / ").split(' ').map(steady).collect::<Vec<_>>().join(" ")
}

/// What the next start finds.
fn kept(bench: &Bench, roughly: bool) -> String {
    // Any command first brings in what was interrupted.
    let listed = bench.footing(["analyse", "--json", "--processing", "as_recorded"]);
    let sealed = bench.sealed();
    let [file] = &sealed[..] else {
        assert!(bench.everything_kept().is_empty(), "{:?}", bench.everything_kept());
        return "nothing, for nothing was recorded".to_owned();
    };
    listed.well();
    let samples = bench.footing(["export", file.to_str().unwrap()]).well().stdout;
    let header = samples.lines().next().unwrap();
    let column = header.split(',').position(|name| name == "sequence").unwrap();
    let numbers: Vec<u64> = samples
        .lines()
        .skip(1)
        .map(|line| {
            let mut cells = line.split(',');
            cells.nth(column).unwrap().parse().unwrap()
        })
        .collect();
    let span = numbers.last().unwrap() - numbers.first().unwrap() + 1;
    if roughly {
        return format!("a trial of {} whole seconds", span / 250);
    }
    format!("a trial of {} frames, {} of them missing", span, span - numbers.len() as u64)
}

/// Compares with the snapshot; `UPDATE_SNAPSHOTS=1` writes it anew.
fn compare(name: &str, found: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/snapshots").join(name);
    if std::env::var_os("UPDATE_SNAPSHOTS").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, found).unwrap();
    }
    let wanted = std::fs::read_to_string(&path).unwrap();
    assert_eq!(found, wanted, "the fault table has changed; see {}", path.display());
}

/// Arguments that look for the board among the ports of a folder.
fn looking_in(ports: &Path) -> Vec<&str> {
    let mut all = arguments("", &["--ports-in", ports.to_str().unwrap()]);
    all.drain(1..3);
    all
}

/// A board under this name, unplugged after so many seconds, and back after some more.
fn unplugged(link: &Path, after_s: &str, back_after_s: &str) -> Simulator {
    let times = ["--unplug-after-s", after_s, "--replug-after-s", back_after_s];
    let board = ["--pty", "--link", link.to_str().unwrap(), "--speed", "20"];
    Simulator::start(&[&board[..], &times, &["--stand", "firm/hip-width/open"]].concat())
}

/// The board of a folder, unplugged before the record begins: it comes back under another name.
#[test]
fn a_board_unplugged_before_the_record_is_found_again_under_another_name() {
    let bench = Bench::new();
    let ports = bench.path("ports");
    std::fs::create_dir(&ports).unwrap();
    let link = ports.join("board");
    let _simulator = unplugged(&link, "12", "0.5");
    let all = looking_in(&ports);
    let outcome = bench.footing(all);
    let back = format!("The board is back on {}-2.", link.display());
    assert!(outcome.stderr.contains(&back), "{}", outcome.stderr);
    assert_eq!(outcome.json()["frames"], 2500);
}

/// A trial under way ends with the board and is kept; the next finds the board under its new name.
#[test]
fn a_board_unplugged_in_a_record_ends_it_and_the_next_record_connects_again() {
    let bench = Bench::new();
    let ports = bench.path("ports");
    std::fs::create_dir(&ports).unwrap();
    let link = ports.join("board");
    let _simulator = unplugged(&link, "22", "0");
    let all = looking_in(&ports);
    assert_eq!(bench.footing(&all).json()["ended"], "board-lost");
    assert_eq!(bench.footing(&all).json()["ended"], "hold-reached");
    assert_eq!(bench.sealed().len(), 2);
}

#[test]
fn several_boards_are_listed_and_none_is_named_as_such() {
    let bench = Bench::new();
    let ports = bench.path("ports");
    std::fs::create_dir(&ports).unwrap();
    let all = looking_in(&ports);
    bench.footing(&all).refused(&["No port was found", "--port"]);
    let boards: Vec<Simulator> = ["1", "2"]
        .map(|seed| {
            let link = ports.join(seed);
            Simulator::start(&["--pty", "--link", link.to_str().unwrap(), "--board-seed", seed])
        })
        .into();
    let several = bench.footing(&all);
    // "SIM" and the seed are the simulator's unique id.
    several.refused(&["There are 2 boards", "(board 53494d000000000000000001)", "0002)"]);
    drop(boards);
}
