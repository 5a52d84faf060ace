//! A plan is edited, taken back, and stored as its next version.

use viewer::window::WindowStart;

use crate::bench::Bench;
use crate::made_up_course::MadeUp;

fn plan_of_somebody(folder: &tempfile::TempDir) -> Bench {
    let mut made_up = MadeUp::new(folder.path());
    made_up.person("P-07", None);
    let records = Some(made_up.library);
    let mut bench = Bench::start(WindowStart { records, ..WindowStart::default() });
    bench.press("People");
    bench.press("Course of P-07");
    bench.press("Plan");
    bench
}

#[test]
fn an_edit_is_shown_taken_back_and_stored_as_the_next_version() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = plan_of_somebody(&folder);
    assert!(bench.shows("Plan of P-07, version 1"));
    assert!(!bench.is_enabled("Undo"));
    bench.press("Add a condition");
    assert!(bench.shows("new: foam, feet wide, eyes open"));
    bench.press("Undo");
    assert!(!bench.shows("new: foam"));
    bench.press("Redo");
    assert!(!bench.is_enabled("Store as version 2"), "nobody made it yet");
    bench.choose("Where of condition 2", "at home alone");
    assert!(bench.shows("at home alone, before in the clinic only"));
    bench.type_into("Made by", "clinician-1");
    bench.press("Store as version 2");
    assert!(bench.shows("Plan of P-07, version 2"));
    assert!(bench.shows("Version 2, clinician-1"), "what it changed");
    assert!(!bench.is_enabled("Undo"), "a stored version is not changed");
}

#[test]
fn millimetres_and_inches_are_one_number() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = plan_of_somebody(&folder);
    // An inch is 25.4 mm by definition (ISO 31-1).
    assert!((bench.number("To, in") - 1.0).abs() < 1e-9);
    bench.set_number("To, in", "0.5");
    assert!((bench.number("To, mm") - 12.7).abs() < 1e-9);
    bench.set_number("From, mm", "5.08");
    assert!((bench.number("From, in") - 0.2).abs() < 1e-9);
    assert!(bench.shows("limit wobble_upper_mm: 12.70, before 25.40"));
}

#[test]
fn a_plan_that_cannot_be_followed_is_refused_with_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = plan_of_somebody(&folder);
    bench.choose("Eyes of condition 2", "eyes open");
    bench.type_into("Made by", "clinician-1");
    bench.press("Store as version 2");
    for part in ["The records refuse", "is in the plan twice", "Correct the plan"] {
        assert!(bench.shows(part), "{part}");
    }
    assert!(bench.shows("Plan of P-07, version 1"));
}
