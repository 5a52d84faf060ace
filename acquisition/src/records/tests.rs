use std::fs;
use std::os::unix::fs::PermissionsExt as _;
use std::path::PathBuf;

use analysis::readiness::{Answers, NextMorning, Rating, Thresholds, Verdict};
use analysis::{Analyser, PersonCode, Pull};
use rusqlite::Connection;
use tempfile::TempDir;

use super::*;
use crate::import::{ColumnMap, read_delimited};
use crate::library::Library;
use crate::trial_file::{self, OpenTrialError, TrialReader, tests::board_trial};
use crate::wall_time::WallTime;

fn code(text: &str) -> PersonCode {
    text.parse().unwrap()
}

fn uuid(n: u8) -> String {
    format!("018f4e2a-7c00-7123-8abc-0123456789{n:02x}")
}

fn time(text: &str) -> WallTime {
    text.parse().unwrap()
}

fn records() -> (TempDir, Records) {
    let folder = tempfile::tempdir().unwrap();
    let library = Library::open(folder.path()).unwrap();
    let records = Records::open(&library).unwrap();
    (folder, records)
}

fn person(text: &str) -> PersonRecord {
    PersonRecord {
        name: Some("Nobody Real".to_owned()),
        birth_year: Some(1958),
        height_m: Some(1.71),
        mass_kg: Some(64.5),
        affected_side: Some(AffectedSide::Left),
        ..PersonRecord::new(code(text))
    }
}

fn plan(who: &str, version: u8) -> Plan {
    let planned = |text: &str, release| PlannedCondition {
        condition: text.parse().unwrap(),
        dose: Dose { holds: 3, hold_s: 35.0, rest_s: 20.5 },
        release,
    };
    Plan {
        id: uuid(100 + version),
        person: code(who),
        version: u32::from(version),
        author: "clinician-1".to_owned(),
        made: time("2026-03-01T09:00:00.000001+01:00"),
        conditions: vec![
            planned("foam/hip-width/open", Release::Alone),
            planned("foam/together/open/none/below-buttocks", Release::Accompanied),
            planned("foam/together/closed", Release::Clinic),
        ],
        settle_s: None,
        guided_by: GuidedBy::Sound,
        finds_stance_at_home: false,
        sessions_per_day: 2,
        thresholds: Thresholds {
            pain_ceiling: 4.0,
            share_over: 0.1 + 0.2,
            ..Thresholds::default()
        },
    }
}

fn session(who: &str, n: u8) -> SessionRecord {
    SessionRecord {
        id: uuid(n),
        person: code(who),
        plan: None,
        place: Place::Home,
        started: time(&format!("2026-03-{:02}T18:00:00-05:00", n + 1)),
        ended_unix_us: None,
        answers: Answers::default(),
        exercises: Vec::new(),
    }
}

fn answered(who: &str, n: u8) -> SessionRecord {
    let started = session(who, n);
    let rating = Rating::new;
    SessionRecord {
        ended_unix_us: Some(started.started.unix_us + 600_000_000),
        answers: Answers {
            pain_at_start: rating(2),
            worst_pain_during: rating(10),
            pain_after: None,
            next_morning: rating(0)
                .map(|pain| NextMorning { pain, answered_us: started.started.unix_us + 1 }),
            fall: Some(false),
            warning_sign: Some(true),
            leg_pain_further_down: None,
            numbness_or_weakness: Some(false),
        },
        exercises: vec![
            ExerciseAnswers {
                difficulty: rating(7),
                pad: Some("pad \"2\"".to_owned()),
                ..ExerciseAnswers::new("foam/hip-width/open".parse().unwrap())
            },
            ExerciseAnswers {
                reference: Some(Reference { trial: uuid(93), pull: None }),
                ..ExerciseAnswers::new("foam/together/closed".parse().unwrap())
            },
            ExerciseAnswers {
                touched_something: Some(true),
                reference: Some(Reference { trial: uuid(90), pull: Some(Pull::Backward) }),
                sound_lost: vec![uuid(91), uuid(92)],
                ..ExerciseAnswers::new("foam/together/open".parse().unwrap())
            },
        ],
        ..started
    }
}

fn decision(who: &str, n: u8) -> DecisionRecord {
    DecisionRecord {
        id: uuid(200 + n),
        person: code(who),
        made: time("2026-03-09T10:00:00Z"),
        author: "clinician-1".to_owned(),
        condition: "foam/together/open".parse().unwrap(),
        advice: Some(Verdict::StepBack),
        note: "seen in clinic; \"more\" rest".to_owned(),
    }
}

/// One of the open recordings (Santos and Duarte 2016, CC BY 4.0) as a trial of `who`.
fn sealed(library: &Library, who: &str, n: u8, recording: u8, session: Option<&str>) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join(format!("../tests/open-data/BDS{recording:05}.txt.gz"));
    let map = "[time]\ncolumn = \"Time:s\"\n[cop]\nml = \"COPy:cm\"\nap = \"COPx:cm\"\n";
    let mut facts = board_trial(1).facts;
    facts.id = uuid(n);
    facts.person = code(who);
    facts.session = session.map(str::to_owned);
    facts.started = time(&format!("2026-03-01T10:00:{n:02}+01:00"));
    let trial = read_delimited(&path, &ColumnMap::from_toml(map).unwrap(), facts).unwrap();
    trial_file::seal(&trial, &library.trials_folder()).unwrap()
}

/// Two people with everything there is to record.
fn filled() -> (TempDir, Records) {
    let (folder, mut records) = records();
    let mut analyser = Analyser::new();
    for (who, n) in [("A", 1), ("B", 11)] {
        records.put_person(&person(who)).unwrap();
        let plan = Plan { id: uuid(100 + n), ..plan(who, 1) };
        records.put_plan(&plan).unwrap();
        let session = SessionRecord { plan: Some(plan.id.clone()), ..answered(who, n) };
        records.put_session(&session).unwrap();
        records.put_decision(&decision(who, n)).unwrap();
        for (trial, recording) in [(n + 20, 1), (n + 21, 7)] {
            let path = sealed(&records.library, who, trial, recording, Some(&session.id));
            records.index_trial(&path, &mut analyser).unwrap();
        }
    }
    (folder, records)
}

#[test]
fn what_was_asked_and_judged_goes_by_the_plan_of_that_day() {
    let (_folder, mut records) = records();
    let made = |version, at: &str, sessions_per_day| Plan {
        made: time(at),
        sessions_per_day,
        ..plan("A", version)
    };
    let first = made(1, "2026-03-01T09:00:00Z", 2);
    let second = made(2, "2026-03-08T09:00:00Z", 1);
    for plan in [&first, &second] {
        records.put_plan(plan).unwrap();
    }
    let as_of = |at: &str| records.plan_as_of(&code("A"), time(at)).unwrap();
    assert_eq!(as_of("2025-12-24T12:00:00Z"), Some(first.clone()), "before the first");
    assert_eq!(as_of("2026-03-08T08:59:59Z"), Some(first));
    assert_eq!(as_of("2026-03-08T09:00:00Z"), Some(second));
    assert_eq!(records.plan_as_of(&code("B"), time("2026-03-08T09:00:00Z")).unwrap(), None);
    let practice = |since: &str, until: &str| {
        let practice = records.practice(&code("A"), time(since), time(until)).unwrap();
        (practice.n_days, practice.n_planned)
    };
    // The 6th and 7th at two a day, the 8th and 9th at one.
    assert_eq!(practice("2026-03-05T23:00:00Z", "2026-03-09T23:00:00Z"), (4, 6));
    assert_eq!(practice("2026-01-01T23:00:00Z", "2026-03-02T23:00:00Z"), (2, 4));
    assert_eq!(practice("2026-01-01T23:00:00Z", "2026-02-02T23:00:00Z"), (0, 0));
}

#[test]
fn each_session_is_looked_at_by_the_plan_it_was_done_under() {
    let (_folder, mut records) = records();
    let made = |version, at: &str, sessions_per_day, pain_ceiling| Plan {
        made: time(at),
        sessions_per_day,
        thresholds: Thresholds { pain_ceiling, ..Thresholds::default() },
        ..plan("A", version)
    };
    records.put_plan(&made(1, "2026-03-01T09:00:00Z", 2, 4.0)).unwrap();
    records.put_plan(&made(2, "2026-03-08T09:00:00Z", 1, 1.0)).unwrap();
    // Two sessions on the 7th and two on the 9th, each begun with a pain of 2.
    for (id, on) in [(1, 6), (2, 6), (3, 8), (4, 8)] {
        let started = session("A", on);
        let answers = Answers { pain_at_start: Rating::new(2), ..Answers::default() };
        records.put_session(&SessionRecord { id: uuid(id), answers, ..started }).unwrap();
    }
    let until = time("2026-03-31T12:00:00Z");
    let practice = records.practice(&code("A"), time("2026-03-01T00:00:00Z"), until).unwrap();
    let flags: Vec<[bool; 2]> = practice
        .sessions
        .iter()
        .map(|session| {
            [PracticeFlag::TooOften, PracticeFlag::Pain].map(|flag| session.flags.contains(&flag))
        })
        .collect();
    assert_eq!(flags, [[false, false], [false, false], [false, true], [true, true]]);
}

#[test]
fn what_is_recorded_reads_back() {
    let (_folder, mut records) = records();
    records.put_person(&person("A")).unwrap();
    let bare = PersonRecord::new(code("B"));
    records.put_person(&bare).unwrap();
    assert_eq!(records.people().unwrap(), [person("A"), bare.clone()]);
    let changed = PersonRecord { mass_kg: None, ..person("A") };
    records.put_person(&changed).unwrap();
    assert_eq!(records.person(&code("A")).unwrap(), Some(changed));
    assert_eq!(records.person(&code("C")).unwrap(), None);

    let (first, second) = (plan("A", 1), plan("A", 2));
    records.put_plan(&first).unwrap();
    records.put_plan(&second).unwrap();
    records.put_plan(&second).unwrap();
    assert_eq!(records.plans(&code("A")).unwrap(), [first, second.clone()]);
    assert_eq!(records.current_plan(&code("A")).unwrap(), Some(second));
    assert_eq!(records.current_plan(&code("B")).unwrap(), None);

    records.put_session(&session("A", 2)).unwrap();
    records.put_session(&answered("A", 1)).unwrap();
    records.put_session(&answered("A", 2)).unwrap();
    assert_eq!(records.sessions(&code("A")).unwrap(), [answered("A", 1), answered("A", 2)]);

    records.put_decision(&decision("A", 1)).unwrap();
    records.put_decision(&decision("A", 1)).unwrap();
    assert_eq!(records.decisions(&code("A")).unwrap(), [decision("A", 1)]);
}

#[test]
fn what_cannot_be_is_refused_and_changes_nothing() {
    let (_folder, mut records) = records();
    let refused = |records: &mut Records, person: PersonRecord| {
        assert!(matches!(records.put_person(&person), Err(RecordsError::Sqlite(_))));
        assert!(records.people().unwrap().is_empty());
        assert!(!records.person_file(&person.code).exists());
    };
    refused(&mut records, PersonRecord { height_m: Some(17.1), ..person("A") });
    refused(&mut records, PersonRecord { mass_kg: Some(0.0), ..person("A") });
    refused(&mut records, PersonRecord { birth_year: Some(58), ..person("A") });

    let message = |outcome: Result<(), RecordsError>| outcome.unwrap_err().to_string();
    assert_eq!(message(records.put_plan(&plan("A", 2))), "the plan should have version 1, not 2");
    records.put_plan(&plan("A", 1)).unwrap();
    let rewritten = Plan { sessions_per_day: 1, ..plan("A", 1) };
    assert_eq!(message(records.put_plan(&rewritten)), "the plan should have version 2, not 1");
    let mut twice = plan("A", 2);
    twice.conditions[2] = twice.conditions[0];
    assert_eq!(
        message(records.put_plan(&twice)),
        "the condition foam/hip-width/open/none/none is in the plan twice"
    );
    let mut long = plan("A", 2);
    long.conditions[0].dose.hold_s = f64::INFINITY;
    assert_eq!(
        message(records.put_plan(&long)),
        "the plan asks for inf seconds of a hold at foam/hip-width/open/none/none; 1 to 3600 are \
         possible"
    );
    let limits = Thresholds { pain_ceiling: 11.0, ..Thresholds::default() };
    let lax = Plan { thresholds: limits, ..plan("A", 2) };
    assert_eq!(
        message(records.put_plan(&lax)),
        "threshold pain_ceiling must lie between 0 and 10, not at 11"
    );
    assert_eq!(records.plans(&code("A")).unwrap(), [plan("A", 1)]);

    records.put_session(&session("A", 1)).unwrap();
    let stolen = session("B", 1);
    let error = records.put_session(&stolen).unwrap_err();
    assert!(matches!(error, RecordsError::OtherPerson { .. }), "{error}");
    assert_eq!(records.people().unwrap().len(), 1);

    records.put_decision(&decision("A", 1)).unwrap();
    let rewritten = DecisionRecord { note: "otherwise".to_owned(), ..decision("A", 1) };
    assert!(records.put_decision(&rewritten).is_err());
    assert_eq!(records.decisions(&code("A")).unwrap(), [decision("A", 1)]);
}

#[test]
fn a_trial_is_recorded_with_its_measures() {
    let (_folder, mut records) = records();
    let path = sealed(&records.library, "A", 1, 1, Some(&uuid(9)));
    let mut analyser = Analyser::new();
    let trial = records.index_trial(&path, &mut analyser).unwrap();
    let mut kept = records.trial(&uuid(1)).unwrap().unwrap();
    let mut values = trial.measurement.values.clone();
    values.sort_by(|a, b| a.0.cmp(&b.0));
    assert_eq!(kept.measurement.values, values);
    kept.measurement.values = trial.measurement.values.clone();
    assert_eq!(kept, trial);
    // From the independent computation beside the recordings, standard processing.
    let golden = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../tests/open-data");
    let golden = fs::read_to_string(golden.join("golden-measures.json")).unwrap();
    let golden: serde_json::Value = serde_json::from_str(&golden).unwrap();
    let wanted = golden["BDS00001"]["standard"]["path_length"].as_f64().unwrap();
    let found = values.iter().find(|(key, _)| key == "path_length").unwrap().1;
    assert!((found - wanted).abs() <= 1e-9 * wanted, "{found} {wanted}");
    // Person and session are known from the trial alone.
    assert_eq!(records.people().unwrap(), [PersonRecord::new(code("A"))]);
    assert_eq!(records.sessions(&code("A")).unwrap()[0].id, uuid(9));
    records.index_trial(&path, &mut analyser).unwrap();
    assert_eq!(records.n_trials().unwrap(), 1);
}

#[test]
fn a_history_is_told_in_order_with_the_measures_asked_for() {
    let (_folder, records) = filled();
    let history = records.history(&code("A"), &["wobble_median", "none such"]).unwrap();
    let ids: Vec<&str> = history.trials.iter().map(|trial| trial.facts.id.as_str()).collect();
    assert_eq!(ids, [uuid(21), uuid(22)]);
    let values = &history.trials[0].measurement.values;
    assert_eq!(values.len(), 1);
    assert_eq!(values[0].0, "wobble_median");
    assert_eq!(history.sessions.len(), 1);
    assert_eq!(history.decisions, [decision("A", 1)]);
}

#[test]
fn only_the_owner_may_read_the_records() {
    let (folder, records) = filled();
    let mode = |path: PathBuf| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    for name in ["records.sqlite", "records.sqlite-wal", "records.sqlite-shm"] {
        assert_eq!(mode(folder.path().join(name)), 0o600, "{name}");
    }
    assert_eq!(mode(records.person_file(&code("A"))), 0o600);
    assert_eq!(mode(folder.path().join("people")), 0o700);
}

#[test]
fn what_is_no_database_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let library = Library::open(folder.path()).unwrap();
    let path = folder.path().join("records.sqlite");
    fs::write(&path, "no database, but longer than the header of one: ".repeat(99)).unwrap();
    let before = fs::read(&path).unwrap();
    let error = Records::open(&library).unwrap_err();
    assert_eq!(error.to_string(), "the records are no database");
    assert_eq!(fs::read(&path).unwrap(), before);
    fs::remove_file(&path).unwrap();
    Connection::open(&path).unwrap().execute_batch("CREATE TABLE theirs (a)").unwrap();
    let before = fs::read(&path).unwrap();
    let error = Records::open(&library).unwrap_err();
    assert!(matches!(error, OpenRecordsError::Migrate(MigrateError::NotRecords)), "{error}");
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[test]
fn verify_finds_every_kind_of_difference() {
    let (folder, mut records) = filled();
    let report = records.verify().unwrap();
    assert!(report.findings.is_empty(), "{:?}", report.findings);
    assert_eq!((report.n_trials, report.n_files, report.n_people), (4, 4, 2));

    let one = |records: &Records| {
        let mut findings = records.verify().unwrap().findings;
        assert_eq!(findings.len(), 1, "{findings:?}");
        findings.remove(0)
    };
    let path = records.library.trial_path(&uuid(21));
    let away = folder.path().join("away.h5");
    fs::rename(&path, &away).unwrap();
    assert!(matches!(one(&records), Finding::FileMissing { id } if id == uuid(21)));
    let mut bytes = fs::read(&away).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&path, &bytes).unwrap();
    assert!(matches!(one(&records), Finding::FileRefused { error: OpenTrialError::Digest(_), .. }));
    fs::remove_file(&path).unwrap();
    sealed(&records.library, "A", 21, 8, None);
    assert!(matches!(one(&records), Finding::OtherDigest { id, .. } if id == uuid(21)));
    fs::remove_file(&path).unwrap();
    fs::rename(&away, &path).unwrap();

    let extra = sealed(&records.library, "A", 49, 1, None);
    assert!(matches!(one(&records), Finding::NotRecorded { path } if path == extra));
    records.index_trial(&extra, &mut Analyser::new()).unwrap();

    let execute = |records: &Records, sql: &str| records.connection.execute_batch(sql).unwrap();
    execute(&records, "UPDATE trials SET asked_s = asked_s + 1 WHERE id LIKE '%20'");
    assert!(matches!(one(&records), Finding::OtherFacts { .. }));
    execute(&records, "UPDATE trials SET asked_s = asked_s - 1 WHERE id LIKE '%20'");

    execute(&records, "UPDATE people SET mass_kg = 70 WHERE code = 'B'");
    assert!(matches!(one(&records), Finding::PersonFile { person } if person == code("B")));
    execute(&records, "UPDATE people SET mass_kg = 64.5 WHERE code = 'B'");
    fs::remove_file(records.person_file(&code("A"))).unwrap();
    assert!(matches!(one(&records), Finding::PersonFile { person } if person == code("A")));
}

#[test]
fn the_records_are_rebuilt_from_the_files_alone() {
    let (folder, records) = filled();
    let library = records.library.clone();
    let told = |records: &Records| {
        ["A", "B"].map(|who| {
            let who = code(who);
            (
                records.person(&who).unwrap(),
                records.plans(&who).unwrap(),
                records.history(&who, &["path_length", "wobble_median"]).unwrap(),
            )
        })
    };
    let before = told(&records);
    drop(records);
    let now = WallTime::new(1_772_354_645_000_000, 0).unwrap();
    for database in ["there", "gone", "spoilt"] {
        let path = folder.path().join("records.sqlite");
        match database {
            "gone" => fs::remove_file(&path).unwrap(),
            "spoilt" => fs::write(&path, "spoilt").unwrap(),
            _ => {}
        }
        let report = rebuild(&library, &TrialReader::here(), now).unwrap();
        assert_eq!((report.n_people, report.n_trials), (2, 4), "{database}");
        assert!(report.refused_people.is_empty() && report.refused_trials.is_empty());
        assert_eq!(report.replaced.is_some(), database != "gone");
        let records = Records::open(&library).unwrap();
        assert_eq!(told(&records), before, "{database}");
        assert!(records.verify().unwrap().findings.is_empty());
    }
}

#[test]
fn a_new_database_never_takes_the_place_of_a_lost_one() {
    let (folder, records) = filled();
    let library = records.library.clone();
    let file = records.person_file(&code("A"));
    let before = fs::read(&file).unwrap();
    drop(records);
    fs::remove_file(folder.path().join("records.sqlite")).unwrap();
    let error = Records::open(&library).unwrap_err();
    assert!(matches!(error, OpenRecordsError::RebuildFirst), "{error}");
    assert_eq!(fs::read(&file).unwrap(), before);
    rebuild(&library, &TrialReader::here(), WallTime::new(5, 0).unwrap()).unwrap();
    assert!(Records::open(&library).is_ok());
}

#[test]
fn a_spoilt_file_does_not_stop_a_rebuild() {
    let (_folder, records) = filled();
    let library = records.library.clone();
    let file = records.person_file(&code("A"));
    drop(records);
    fs::write(library.trial_path(&uuid(21)), "spoilt").unwrap();
    fs::write(&file, fs::read_to_string(&file).unwrap().replace("\"left\"", "\"up\"")).unwrap();
    let spoilt = fs::read(&file).unwrap();
    let report = rebuild(&library, &TrialReader::here(), WallTime::new(5, 0).unwrap()).unwrap();
    assert_eq!((report.n_people, report.n_trials), (1, 3));
    let aside = &report.refused_people[0].0;
    assert!(aside.ends_with("people/A.json.refused-5"), "{}", aside.display());
    assert_eq!(fs::read(aside).unwrap(), spoilt);
    assert_eq!(
        report.refused_people[0].1.to_string(),
        "\"up\" is not a side; it is one of: none, left, right, both"
    );
    assert!(report.refused_trials[0].0.ends_with(format!("{}.h5", uuid(21))));
}

#[test]
fn a_backup_opens_as_a_data_folder_of_its_own() {
    let (folder, records) = filled();
    let to = folder.path().join("backup");
    let report = records.backup(&to).unwrap();
    assert_eq!((report.n_trials, report.n_people), (4, 2));
    let copy = Records::open(&Library::open(&to).unwrap()).unwrap();
    assert!(copy.verify().unwrap().findings.is_empty());
    assert_eq!(
        copy.history(&code("B"), &["path_length"]).unwrap(),
        records.history(&code("B"), &["path_length"]).unwrap()
    );
    let mode = fs::metadata(to.join("records.sqlite")).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode, 0o600);
    assert!(matches!(records.backup(&to), Err(BackupError::Exists { .. })));
}

#[test]
fn an_erased_person_is_gone_and_the_erasure_is_told() {
    let (folder, mut records) = filled();
    let now = time("2026-04-01T12:00:00+02:00");
    let erased = records.erase(&code("A"), "clinician-1", &TrialReader::here(), now).unwrap();
    assert_eq!((erased.n_trials, erased.finished), (2, true));
    assert_eq!(records.person(&code("A")).unwrap(), None);
    let history = records.history(&code("A"), &[]).unwrap();
    assert!(history.trials.is_empty() && history.sessions.is_empty());
    assert!(!records.person_file(&code("A")).exists());
    assert_eq!(records.history(&code("B"), &[]).unwrap().trials.len(), 2);
    assert_eq!(records.erasures().unwrap(), std::slice::from_ref(&erased));
    let report = records.verify().unwrap();
    assert!(report.findings.is_empty(), "{:?}", report.findings);
    assert_eq!(report.n_files, 2);
    // A word only this person's rows held is in no file of the folder any more.
    let library = records.library.clone();
    drop(records);
    for name in ["records.sqlite", "records.sqlite-wal", "erasures.json"] {
        let bytes = fs::read(folder.path().join(name)).unwrap_or_default();
        let held = uuid(21);
        assert!(!bytes.windows(held.len()).any(|window| window == held.as_bytes()), "{name}");
    }
    rebuild(&library, &TrialReader::here(), now).unwrap();
    assert_eq!(Records::open(&library).unwrap().erasures().unwrap(), [erased]);
}

#[test]
fn nothing_is_erased_while_a_file_cannot_be_told_apart() {
    let (_folder, mut records) = filled();
    fs::write(records.library.trials_folder().join("x.h5"), "spoilt").unwrap();
    let now = time("2026-04-01T12:00:00+02:00");
    let error = records.erase(&code("A"), "clinician-1", &TrialReader::here(), now).unwrap_err();
    assert!(matches!(error, EraseError::Unreadable { .. }), "{error}");
    assert!(records.erasures().unwrap().is_empty());
    assert_eq!(records.history(&code("A"), &[]).unwrap().trials.len(), 2);
}

/// Half past one in the morning came twice in New York on 1 November 2026.
#[test]
fn sessions_in_the_night_the_clocks_go_back_keep_their_order_and_their_day() {
    let folder = tempfile::tempdir().unwrap();
    let library = Library::open(folder.path()).unwrap();
    let mut records = Records::open(&library).unwrap();
    let at = |n: u8, started: &str| SessionRecord { started: time(started), ..session("A", n) };
    let first = at(1, "2026-11-01T01:30:00-04:00");
    let second = at(2, "2026-11-01T01:30:00-05:00");
    for session in [&second, &first] {
        records.put_session(session).unwrap();
    }
    assert_eq!(records.sessions(&code("A")).unwrap(), [first.clone(), second.clone()]);
    let days = [&first, &second].map(|session| session.started.local_day());
    assert_eq!(days[0], days[1]);
    let open_at = |now: &str| records.open_session(&code("A"), time(now)).unwrap();
    assert_eq!(open_at("2026-11-01T01:45:00-05:00"), Some(second.clone()));
    // A clock that was put back by two hours meanwhile: it is the same occasion still.
    assert_eq!(open_at("2026-10-31T23:45:00-05:00"), Some(second));
    assert_eq!(open_at("2026-11-03T01:45:00-05:00"), None);
    // Made anew from the plain files, they are what they were.
    drop(records);
    rebuild(&library, &TrialReader::here(), time("2026-11-02T09:00:00-05:00")).unwrap();
    let records = Records::open(&library).unwrap();
    assert_eq!(records.sessions(&code("A")).unwrap()[0], first);
}
