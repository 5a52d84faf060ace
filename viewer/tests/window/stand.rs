//! From a new person to a decision, on a simulated board.

use acquisition::library::Library;
use egui_kittest::kittest::Queryable as _;
use viewer::window::WindowStart;

use crate::bench::Bench;
use crate::simulator::{fast_board, one_at_a_time};

fn open(folder: &tempfile::TempDir) -> Bench {
    let library = Library::open(folder.path()).unwrap();
    Bench::start(WindowStart {
        library: Some(library.trials_folder()),
        records: Some(library),
        simulated: fast_board(),
        ..WindowStart::default()
    })
}

fn somebody(bench: &mut Bench, code: &str) {
    bench.press("People");
    bench.type_into("New person's code", code);
    bench.press("Add person");
    bench.press(&format!("Course of {code}"));
}

/// Answers the questions before a session; `fall` is the answer about a fall.
fn begin_session(bench: &mut Bench, fall: &str) {
    bench.press("Stand");
    assert!(!bench.is_enabled("Begin the session"), "not everything is asked yet");
    for question in ["Anything new: ", "Leg pain further down", "New numbness"] {
        bench.press_named(question, "No");
    }
    bench.press_named("A fall", fall);
    bench.press("Pain now, 0 to 10 2");
    bench.press("Begin the session");
}

fn stand(bench: &mut Bench) {
    bench.choose("Board", "simulated");
    bench.replace_in("Seconds", "20");
    bench.replace_in("Settle first, s", "1");
    bench.key(egui::Key::F5);
}

#[test]
fn from_a_new_person_to_a_decision() {
    let _turn = one_at_a_time();
    let folder = tempfile::tempdir().unwrap();
    let mut bench = open(&folder);
    somebody(&mut bench, "P-21");
    bench.press("Plan");
    assert!(bench.shows("No plan yet. Below is one to begin with"));
    bench.type_into("Made by", "clinician-1");
    bench.press("Store as version 1");
    assert!(bench.shows("Plan of P-21, version 1"));

    begin_session(&mut bench, "No");
    assert!(bench.shows("Session since"));
    stand(&mut bench);
    assert!(bench.shows("kept, 2000 samples"));
    assert!(bench.shows("foam, hip width, eyes open, measured"));
    bench.press("How hard was it, 0 very easy to 10 cannot? 3");
    bench.press("Touched anything? No");
    assert!(bench.shows("Answers stored"));
    bench.choose("Condition", "foam, hip width, eyes closed");
    // A real person closes no eyes before they heard the notes; a virtual one has none.
    bench.choose("Board", "the one plugged in");
    assert!(bench.shows("Sound check before the eyes close"));
    assert!(!bench.is_enabled("The person heard all five"), "nothing was played yet");
    assert!(!bench.is_enabled("Begin the stand"));
    stand(&mut bench);
    assert!(bench.shows("foam, hip width, eyes closed, measured"));
    bench.press("At the end of the session");
    bench.press("Worst pain while standing, 0 to 10 3");
    bench.press("Pain at the end, 0 to 10 2");
    bench.press("End the session");
    assert!(bench.shows("Before the first stand, ask"));

    bench.press("Trials");
    bench.press_like("Set A: foam, hip width, eyes open");
    bench.press_like("Set B: foam, hip width, eyes closed");
    bench.press("Compare A with B");
    assert!(bench.shows("Mean velocity"));

    bench.press("Course");
    assert!(bench.shows("difficulty 3; pain 2 at start, 3 worst"));
    bench.type_into("Decided by", "clinician-1");
    bench.press("Decide");
    bench.press("Store this decision");
    assert!(bench.shows("clinician-1: foam, hip width, eyes open"));
}

#[test]
fn one_click_stands_a_virtual_person_and_finds_the_stance() {
    let _turn = one_at_a_time();
    let folder = tempfile::tempdir().unwrap();
    let mut bench = open(&folder);
    bench.press("Try the simulated board");
    assert!(bench.shows("SIM-1 on the board"));
    begin_session(&mut bench, "No");
    bench.choose("What for?", "Find the stance");
    assert_eq!(bench.chosen_in("Condition"), "foam, feet wide, eyes open", "the easiest first");
    bench.key(egui::Key::F5);
    for name in ["hip width", "feet together", "semi-tandem", "tandem"] {
        if !bench.shows(&format!("Too little wobble. Next: foam, {name}, eyes open")) {
            break;
        }
        bench.key(egui::Key::F5);
    }
    assert!(bench.shows("Found: the wobble at foam"));
    bench.type_into("Plan made by", "clinician-1");
    bench.key(egui::Key::F6);
    bench.press("Plan");
    assert!(bench.shows("Plan of SIM-1, version 2"));
}

#[test]
fn an_answer_that_asks_for_a_stop_lets_nobody_stand() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = open(&folder);
    somebody(&mut bench, "P-22");
    begin_session(&mut bench, "Yes");
    assert!(bench.shows("Stop. No stand until you have looked"));
    bench.key(egui::Key::F5);
    assert!(!bench.shows("Begin the stand") && !bench.shows("The last stand"));
}

/// Presses what is there now, without waiting for the stand to end.
fn press_meanwhile(bench: &mut Bench, name: &str) {
    bench.harness.get_by_label(name).click();
    bench.harness.run_steps(3);
}

#[test]
fn while_somebody_stands_every_screen_says_so_and_can_end_it() {
    let _turn = one_at_a_time();
    let folder = tempfile::tempdir().unwrap();
    let mut bench = open(&folder);
    somebody(&mut bench, "P-24");
    somebody(&mut bench, "P-25");
    begin_session(&mut bench, "No");
    bench.choose("Board", "simulated");
    bench.replace_in("Seconds", "3600");
    bench.harness.key_press(egui::Key::F5);
    bench.harness.run_steps(3);
    assert!(bench.harness.state().stand_now().is_some());

    press_meanwhile(&mut bench, "People");
    assert!(bench.shows("Somebody stands: "));
    // Answers after the stand would go to the other person.
    press_meanwhile(&mut bench, "Course of P-24");
    assert!(bench.shows("Not while somebody stands."));
    assert!(bench.shows("Course of P-24"), "still the list of people");
    press_meanwhile(&mut bench, "Start");
    // It would hide the stand and its stop.
    press_meanwhile(&mut bench, "Switch to home mode");
    press_meanwhile(&mut bench, "Try the simulated board");
    assert!(bench.shows("Switch to home mode"));
    press_meanwhile(&mut bench, "Show the stand");
    assert!(!bench.shows("Somebody stands: "), "its own screen tells more");
    press_meanwhile(&mut bench, "Board");
    bench.key(egui::Key::Escape);
    assert!(bench.harness.state().stand_now().is_none());
    assert!(!bench.shows("Somebody stands: "));
}

#[test]
fn a_board_that_is_not_there_is_told_with_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = open(&folder);
    somebody(&mut bench, "P-23");
    begin_session(&mut bench, "No");
    bench.choose("Board", "at an address");
    bench.type_into("Address of the board", "/dev/no-such-port");
    bench.press("Begin the stand");
    for part in ["The board cannot be reached.", "/dev/no-such-port", "Plug the board in"] {
        assert!(bench.shows(part), "{part}");
    }
    assert!(bench.shows("Begin the stand"), "to try again");
}
