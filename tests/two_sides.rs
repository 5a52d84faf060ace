//! A clinic and a home, each with a data folder of its own: pairing, packages, a safe copy.
//!
//! What must follow is told in `acquisition/docs/package.md`. The stands are made by the simulated
//! board through `footing home`.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

use crate::bench::{Bench, Outcome, Simulator};

/// The id of the simulator's board of seed 1.
pub(crate) const BOARD: &str = "53494d000000000000000001";
pub(crate) const HERE: &str = "foam/hip-width/open";

pub(crate) const PLAN: &str = r#"
sessions_per_day = 1

[[conditions]]
condition = "foam/hip-width/open"
holds = 1
hold_s = 20.0
rest_s = 30.0
release = "alone"

[[conditions]]
condition = "foam/hip-width/closed"
holds = 1
hold_s = 20.0
rest_s = 30.0
release = "clinic"
"#;

/// One side with its data folder.
pub(crate) struct Side {
    bench: Bench,
}

impl Side {
    fn new() -> Self {
        Self { bench: Bench::new() }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.bench.path(name)
    }

    pub(crate) fn says(&self, words: &str) -> Outcome {
        self.bench.footing(words.split(' '))
    }

    pub(crate) fn well(&self, words: &str) -> String {
        self.says(words).well().stdout
    }

    pub(crate) fn json(&self, words: &str) -> Value {
        serde_json::from_str(&self.well(words)).unwrap()
    }

    /// The program with these lines typed.
    pub(crate) fn typed(&self, words: &str, lines: &str) -> Outcome {
        let mut child = self
            .bench
            .command()
            .args(words.split(' '))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
        Outcome::from_output(&child.wait_with_output().unwrap())
    }

    /// The code this side reads aloud.
    fn code(&self) -> String {
        let shown = self.well("pair show");
        let first = shown.lines().next().unwrap();
        first.split("code: ").nth(1).unwrap().to_owned()
    }

    fn pairs(&self, keys: &Path, code: &str, about: &str) -> Outcome {
        let words = format!("pair with {} {about}", keys.display());
        let mut arguments: Vec<&str> = words.split(' ').collect();
        arguments.extend(["--heard", code]);
        self.bench.footing(arguments)
    }

    /// Seals what this side has; the package.
    pub(crate) fn sends(&self, words: &str) -> PathBuf {
        let into = self.path("out");
        fs::create_dir_all(&into).unwrap();
        PathBuf::from(self.well(&format!("{words} --into {}", into.display())).trim())
    }

    pub(crate) fn takes(&self, package: &Path) -> Outcome {
        self.says(&format!("take --json {}", package.display()))
    }

    /// Every file in the data folder but the database's own, with its content.
    fn everything(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        let mut found = BTreeMap::new();
        let mut folders = vec![self.path("data")];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                if path.is_dir() {
                    folders.push(path);
                } else if !name.starts_with("records.sqlite") {
                    found.insert(path.clone(), fs::read(&path).unwrap());
                }
            }
        }
        found
    }

    /// Checks that a package is refused with a message of these words, and that nothing changed.
    #[track_caller]
    fn refuses(&self, package: &Path, words: &[&str]) {
        let before = self.everything();
        let n_before = self.well("verify");
        self.takes(package).refused(&[&["was not taken. Nothing was changed."], words].concat());
        assert_eq!(self.everything().keys().collect::<Vec<_>>(), before.keys().collect::<Vec<_>>());
        assert_eq!(self.everything(), before);
        assert_eq!(self.well("verify"), n_before);
    }
}

fn about(clinic: &str, person: &str, board: &str) -> String {
    format!("--clinic {clinic} --person {person} --board {board}")
}

/// Keys made on both sides and compared for each person.
fn pair(clinic: &Side, home: &Side, clinic_code: &str, person: &str, board: &str) {
    let keys = |side: &Side, role: &str| {
        let path = side.path(&format!("{role}.txt"));
        side.well(&format!("pair make --as {role} --write {}", path.display()));
        path
    };
    let (of_clinic, of_home) = (keys(clinic, "clinic"), keys(home, "home"));
    let about = about(clinic_code, person, board);
    clinic.pairs(&of_home, &home.code(), &about).well();
    home.pairs(&of_clinic, &clinic.code(), &about).well();
}

/// A clinic with a person and their plan from 1 March on, decided by the clinician, and their home.
pub(crate) fn two_sides(person: &str) -> (Side, Side) {
    let (clinic, home) = (Side::new(), Side::new());
    clinic.well(&format!("people set {person} --height 1.70 --mass 70 --name Nobody"));
    pair(&clinic, &home, "C-01", person, BOARD);
    let plan = clinic.bench.file("plan.toml", PLAN);
    let first = clinic.sends(&format!(
        "answer {person} --condition {HERE} --author clinician-1 --made 2026-03-01T12:00:00+01:00 \
         --plan {}",
        plan.display()
    ));
    home.takes(&first).well();
    home.well("home-settings --emergency-number 112 --clinic-contact C-01 --pad pad-1");
    (clinic, home)
}

pub(crate) const NOTHING_NEW: &str = "no\nno\nno\nno\n";

/// A session with two stands or so and then enough is not needed: the plan's own stands.
fn practise(home: &Side, board: &Simulator, at: &str) {
    let lines = format!("{NOTHING_NEW}2\nyes\nno\n2\n2\n2\n");
    let done = home.typed(&format!("home --plain --port {} --now {at}", board.port), &lines).well();
    assert!(done.stdout.contains("Done, thank you"), "{}", done.stdout);
}

fn a_board() -> Simulator {
    let options = "--pty --speed max --seed 31 --steadiness 2 --rate 80 --stand";
    Simulator::start(&options.split(' ').chain([HERE]).collect::<Vec<_>>())
}

#[test]
fn plan_out_sessions_back_each_once_and_without_a_name() {
    let (clinic, home) = two_sides("P-01");
    let board = a_board();
    practise(&home, &board, "2026-03-02T18:00:00+01:00");
    let package = home.sends("send P-01 --days 3660");
    let new = clinic.takes(&package).json();
    assert_eq!(new["content"]["new_sessions"], 1, "{new}");
    assert_eq!(
        new["content"]["new_stands"], 6,
        "one reference, two for practice, two measured, one guided: {new}"
    );
    assert_eq!(clinic.takes(&package).json()["nothing_new"], true);
    let again = home.sends("send P-01 --days 3660");
    let new = clinic.takes(&again).json();
    assert_eq!(new["content"]["new_stands"], 0, "another package of the same: {new}");

    // The morning after is answered at home and completes what the clinic has.
    home.typed("home --plain --now 2026-03-03T18:00:00+01:00", "2\n").well();
    let new = clinic.takes(&home.sends("send P-01 --days 3660")).json();
    assert_eq!(new["content"]["completed_sessions"], 1, "{new}");
    assert_eq!(clinic.json("sessions list P-01 --json"), home.json("sessions list P-01 --json"));

    let file = |side: &Side| fs::read_to_string(side.path("data/people/P-01.json")).unwrap();
    assert!(file(&clinic).contains("Nobody") && !file(&home).contains("Nobody"));
    home.takes(&clinic.sends("send P-01 --with-name")).well();
    assert!(file(&home).contains("Nobody"), "the name travels when somebody asks for it");

    // What the clinic decides is not decided at home.
    home.says(&format!("decide P-01 {HERE} --author me")).refused(&["clinic's"]);
    let plan = clinic.path("plan.toml");
    home.says(&format!("plan set P-01 {} --author me", plan.display())).refused(&["clinic"]);

    keys_and_records_come_back_from_a_safe_copy(&home);

    assert!(clinic.well("pair show").contains("P-01"));
    clinic.well("erase P-01 --author me --confirm P-01");
    assert!(!clinic.well("pair show").contains("P-01"), "the pairing goes with the person");
}

/// A lost computer: everything is there again from one file and its passphrase, and goes on.
fn keys_and_records_come_back_from_a_safe_copy(home: &Side) {
    let secret = home.bench.file("secret", "four words and a dog\n");
    let short = home.bench.file("short", "too short\n");
    let copy = home.path("home.safe");
    let keep = |secret: &Path| {
        format!("keep-safe {} --passphrase-file {}", copy.display(), secret.display())
    };
    home.says(&keep(&short)).refused(&["16", "words"]);
    home.well(&keep(&secret));
    home.says(&keep(&secret)).refused(&["already"]);
    let back = |to: &Side, secret: &Path| {
        to.says(&format!("bring-back {} --passphrase-file {}", copy.display(), secret.display()))
    };
    back(home, &secret).refused(&["holds keys, people or stands already"]);
    let new = Side::new();
    back(&new, &short).refused(&["passphrase"]);
    back(&new, &secret).well();
    assert_eq!(new.well("pair show"), home.well("pair show"));
    for words in ["sessions list P-01 --json", "trials P-01 --json", "decisions P-01 --json"] {
        assert_eq!(new.json(words), home.json(words), "{words}");
    }
    assert_eq!(new.bench.sealed().len(), 6);
    new.sends("send P-01 --days 3660");
}

#[test]
fn every_package_that_is_not_as_it_was_sealed_for_this_side_is_refused_and_nothing_changes() {
    let (clinic, home) = two_sides("P-01");
    let older = clinic.sends("send P-01");
    let sealed = fs::read(&older).unwrap();
    let bench = &clinic.bench;
    let at = |n: usize| {
        let mut bytes = sealed.clone();
        bytes[n] ^= 1;
        bytes
    };
    for (name, bytes, words) in [
        ("altered in the middle", at(sealed.len() / 2), "damaged"),
        ("altered at the end", at(sealed.len() - 1), "damaged"),
        ("cut short", sealed[..sealed.len() - 1].to_vec(), "cut short"),
        ("cut to its first line", sealed[..121].to_vec(), "cut short"),
        ("empty", Vec::new(), "not a package"),
        ("something else", b"a letter".to_vec(), "not a package"),
        ("a newer format", newer_format(&sealed), "newest"),
    ] {
        let path = bench.file(&name.replace(' ', "-"), bytes);
        home.refuses(&path, &[words]);
    }
    home.refuses(&bench.path("nowhere.footing"), &["no such file"]);
    home.refuses(&a_huge_file(&clinic), &["limit"]);

    // Replayed: nothing new. Older than one that was taken: refused.
    home.takes(&clinic.sends("send P-01")).well();
    home.refuses(&older, &["newer plan is in force"]);

    // For another home, from another clinic, from a stranger, the wrong way round.
    let (other_clinic, other_home) = two_sides("P-01");
    other_home.refuses(&clinic.sends("send P-01"), &["key of this side opens it"]);
    let to_ours = stranger_sends(&other_clinic, &home, "P-01", "C-99", BOARD);
    home.refuses(&to_ours, &["with whom this side is not paired"]);
    clinic.refuses(&clinic.sends("send P-01"), &["key of this side opens it"]);

    // Our own clinic, in error: for another person, another clinic's code, another board.
    clinic.well("people set P-02 --height 1.60 --mass 60");
    clinic.well(&format!("plan set P-02 {} --author c", clinic.path("plan.toml").display()));
    let of_home = home.path("home.txt");
    for (clinic_code, person, board, words) in [
        ("C-01", "P-02", BOARD, "not paired for that person"),
        ("C-02", "P-01", BOARD, "clinic C-02"),
        ("C-01", "P-01", "000000000000000000000002", "board 000000000000000000000002"),
    ] {
        clinic.says(&format!("pair end {person}"));
        let about = about(clinic_code, person, board);
        clinic.pairs(&of_home, &home.code(), &about).well();
        home.refuses(&clinic.sends(&format!("send {person}")), &[words]);
    }
}

/// As if a later program had written it: the format's number in the first line is 2.
fn newer_format(sealed: &[u8]) -> Vec<u8> {
    let line = b"Footing package, format 0000000002";
    [&line[..], &sealed[line.len()..]].concat()
}

/// A file of 10 GB that takes no room, with a first line that declares as much.
fn a_huge_file(side: &Side) -> PathBuf {
    const N_BYTES: u64 = 10_000_000_000;
    let line = format!("Footing package, format 0000000001 {N_BYTES:020} {} \n", "0".repeat(63));
    let path = side.bench.file("huge.footing", line);
    fs::OpenOptions::new().write(true).open(&path).unwrap().set_len(N_BYTES).unwrap();
    path
}

/// A clinic that knows a home's public half, but was never heard there, seals something for it.
fn stranger_sends(clinic: &Side, home: &Side, person: &str, code: &str, board: &str) -> PathBuf {
    clinic.says(&format!("pair end {person}")).well();
    clinic.pairs(&home.path("home.txt"), &home.code(), &about(code, person, board)).well();
    clinic.sends(&format!("send {person}"))
}

#[test]
fn a_code_that_differs_keys_of_the_same_side_or_a_second_pairing_are_refused() {
    let (clinic, home) = two_sides("P-01");
    let about = about("C-01", "P-03", BOARD);
    let of_home = home.path("home.txt");
    let wrong = format!("{}00000", &home.code()[..24]);
    clinic.pairs(&of_home, &wrong, &about).refused(&["not paired", "telephone"]);
    clinic.pairs(&clinic.path("clinic.txt"), &clinic.code(), &about).refused(&["clinic too"]);
    let letter = clinic.bench.file("letter", "hello");
    clinic.pairs(&letter, &home.code(), &about).refused(&["no public keys"]);
    let otherwise = self::about("C-01", "P-01", "000000000000000000000003");
    clinic.pairs(&of_home, &home.code(), &otherwise).refused(&["paired already"]);
    clinic.says("pair make --as home").refused(&["keys of a clinic already"]);
    // Made once: the same keys again.
    let before = clinic.code();
    clinic.well("pair make --as clinic");
    assert_eq!(clinic.code(), before);
    let fresh = Side::new();
    for words in ["send P-01", "take x.footing", "home --plain", "keep-safe x"] {
        fresh.says(words).refused(&["no keys yet", "pair make"]);
    }
    clinic.says("home --plain").refused(&["clinic"]);
}

#[test]
fn a_power_cut_in_a_hold_is_told_at_the_next_start_and_the_session_goes_on() {
    let (_, home) = two_sides("P-01");
    // Thirty times real time, so that a kill can fall into a stand; the first takes 15 / 30 s.
    let options = "--pty --speed 30 --seed 31 --steadiness 2 --rate 80 --stand";
    let board = Simulator::start(&options.split(' ').chain([HERE]).collect::<Vec<_>>());
    let words = format!("home --plain --port {} --now 2026-03-02T18:00:00+01:00", board.port);
    let mut child = Command::new(env!("CARGO_BIN_EXE_footing"))
        .arg("--data")
        .arg(home.path("data"))
        .args(words.split(' '))
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let lines = format!("{NOTHING_NEW}2\nyes\n");
    child.stdin.as_mut().unwrap().write_all(lines.as_bytes()).unwrap();
    // Once the journal holds some blocks the stand is well under way.
    let journals = home.path("data/journals");
    let long_enough = || {
        let entries = fs::read_dir(&journals).into_iter().flatten().flatten();
        entries.filter_map(|entry| entry.metadata().ok()).any(|about| 20_000 < about.len())
    };
    while !long_enough() {
        assert!(child.try_wait().unwrap().is_none(), "the session ended before its hold");
        std::thread::yield_now();
    }
    child.kill().unwrap();
    child.wait().unwrap();
    drop(board);

    let board = a_board();
    let words = format!("home --plain --port {} --now 2026-03-02T18:05:00+01:00", board.port);
    let done = home.typed(&words, "yes\nno\n2\n2\n2\n").well();
    for told in ["The last session was cut off", "One stand is kept", "Done, thank you"] {
        assert!(done.stdout.contains(told), "{told:?} is missing in: {}", done.stdout);
    }
    assert!(done.stderr.contains("A stand that was interrupted is kept"), "{}", done.stderr);
    let sessions = home.json("sessions list P-01 --json");
    assert_eq!(sessions.as_array().map(Vec::len), Some(1), "{sessions}");
    // The reference that was cut off is stood again.
    assert_eq!(home.bench.sealed().len(), 7);
}
