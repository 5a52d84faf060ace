//! From the list of people to a stored decision.

use acquisition::library::Library;
use viewer::window::WindowStart;

use crate::bench::Bench;
use crate::made_up_course::{Day, EASY, MadeUp};

fn open(library: &Library) -> Bench {
    Bench::start(WindowStart { records: Some(library.clone()), ..WindowStart::default() })
}

#[test]
fn somebody_is_added_and_found_and_has_an_empty_course() {
    let folder = tempfile::tempdir().unwrap();
    let made_up = MadeUp::new(folder.path());
    let mut bench = open(&made_up.library);
    bench.press("People");
    assert!(bench.shows("Nobody is recorded yet"));
    assert!(!bench.is_enabled("Add person"));
    for code in ["P-07", "P-11"] {
        bench.type_into("New person's code", code);
        bench.press("Add person");
        assert!(bench.shows(&format!("Course of {code}")), "{code}");
    }
    assert!(bench.shows("no plan yet"));

    bench.type_into("Find", "p-11");
    assert!(!bench.shows("Course of P-07"));
    bench.press("Course of P-11");
    assert!(bench.shows("No plan yet: the next step is judged by"));
    assert!(bench.shows("No session with a measured trial"));
    assert!(!bench.shows("Decided by"), "nothing to decide without a plan");
}

#[test]
fn a_course_shows_its_days_and_reasons_and_takes_a_decision_in_two_steps() {
    let folder = tempfile::tempdir().unwrap();
    let mut made_up = MadeUp::new(folder.path());
    let person = made_up.person("P-07", Some("made-up name"));
    for day in EASY {
        made_up.session(&person, day);
    }
    let mut bench = open(&made_up.library);
    bench.press("People");
    assert!(bench.shows("ready to advance") && bench.shows("5 new sessions"));

    bench.press("Course of P-07");
    assert!(bench.shows("P-07, made-up name"));
    assert!(bench.shows("5 sessions on 5 days in the last 14 days; the plan asks for 1 a day"));
    assert!(bench.shows("Wobble, felt difficulty and pain over 5 days"));
    // 13.0 mm times the geometric mean of 0.96, 1 and 1.05 is 13.03 mm, or 0.51 in.
    assert!(bench.shows("wobble 13.0 mm (0.51 in) from 3 trials; difficulty 2; pain 2 at start"));
    assert!(bench.shows("3: the first session at this condition, which is learning"));

    assert!(!bench.is_enabled("Decide"), "nobody decides without a name");
    bench.type_into("Decided by", "clinician-1");
    bench.type_into("Note", "steady on both feet");
    bench.press("Decide");
    assert!(bench.shows("P-07 goes on with foam, hip width, eyes open, decided by clinician-1"));
    bench.press("Back");
    assert!(bench.shows("Nothing is decided yet"));
    bench.choose("Go on with", "foam, hip width, eyes closed");
    bench.press("Decide");
    assert!(bench.shows("P-07 goes on with foam, hip width, eyes closed"));
    assert!(bench.shows("Nothing is decided yet"), "the second step stores");
    bench.press("Store this decision");
    assert!(bench.shows("clinician-1: foam, hip width, eyes closed (advice: ready to advance)"));
    assert!(bench.shows("steady on both feet"));
    bench.press("People");
    assert!(!bench.shows("new sessions"), "a decision has looked at them");
}

#[test]
fn the_arrow_keys_go_from_day_to_day() {
    let folder = tempfile::tempdir().unwrap();
    let mut made_up = MadeUp::new(folder.path());
    let person = made_up.person("P-07", None);
    for day in EASY {
        made_up.session(&person, day);
    }
    let mut bench = open(&made_up.library);
    bench.press("People");
    bench.press("Course of P-07");
    bench.focus_like("Wobble, felt difficulty and pain");
    bench.key(egui::Key::ArrowLeft);
    assert!(bench.shows("wobble 13.5 mm"));
    for _ in 0..6 {
        bench.key(egui::Key::ArrowLeft);
    }
    assert!(bench.shows("first session (learning)"));
}

#[test]
fn whoever_must_stop_stands_first() {
    let folder = tempfile::tempdir().unwrap();
    let mut made_up = MadeUp::new(folder.path());
    let ready = made_up.person("P-01", None);
    for day in EASY {
        made_up.session(&ready, day);
    }
    let stop = made_up.person("P-02", None);
    made_up.session(&stop, Day { warning_sign: true, ..EASY[4] });
    let mut bench = open(&made_up.library);
    bench.press("People");
    assert!(bench.shows("stop and review"));
    let heights = ["Course of P-02", "Course of P-01"].map(|name| bench.top_of(name));
    assert!(heights[0] < heights[1], "{heights:?}");
}

#[test]
fn a_code_that_is_none_or_taken_is_refused_with_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let mut made_up = MadeUp::new(folder.path());
    made_up.person("P-07", None);
    let mut bench = open(&made_up.library);
    bench.press("People");
    bench.type_into("New person's code", "P 07!");
    bench.press("Add person");
    for part in ["Nobody was added.", "is not a person's code", "Type a code such as P-07"] {
        assert!(bench.shows(part), "{part}");
    }
    bench.press("Close this message");
    bench.replace_in("New person's code", "P-07");
    bench.press("Add person");
    for part in ["P-07 is in the records already", "Choose another code"] {
        assert!(bench.shows(part), "{part}");
    }
}

#[test]
fn records_that_are_no_database_are_left_alone_and_told() {
    let folder = tempfile::tempdir().unwrap();
    let library = MadeUp::new(folder.path()).library;
    let database = folder.path().join("records.sqlite");
    std::fs::write(&database, vec![b'x'; 8192]).unwrap();
    let bench = open(&library);
    for part in ["The records cannot be opened.", "no database", "Restore it from a backup"] {
        assert!(bench.shows(part), "{part}");
    }
    assert_eq!(std::fs::read(&database).unwrap(), vec![b'x'; 8192]);
}

#[test]
fn without_a_data_folder_the_screens_say_so() {
    let mut bench = Bench::open(None, Vec::new());
    bench.press("Course");
    assert!(bench.shows("Choose a person"));
    bench.press("Go to people");
    assert!(bench.shows("No data folder is open"));
}
