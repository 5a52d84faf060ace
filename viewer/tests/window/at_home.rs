//! Home mode in the window: into it, and out of it in two steps.

use acquisition::exchange::KeyRing;
use acquisition::home::HomeSettings;
use acquisition::keys::{Assignment, Pairing, Role};
use acquisition::library::Library;
use acquisition::trial_file;
use tempfile::TempDir;
use viewer::window::WindowStart;

use crate::bench::Bench;
use crate::made_up_course::{HERE, MadeUp};
use crate::synthetic_stands::Stand;

fn open(folder: &TempDir) -> Bench {
    let records = Some(Library::open(folder.path()).unwrap());
    Bench::start(WindowStart { records, ..WindowStart::default() })
}

fn keys(folder: &TempDir, role: Role) -> KeyRing {
    let mut keys = KeyRing::open(&Library::open(folder.path()).unwrap()).unwrap();
    keys.make(role).unwrap();
    keys
}

#[test]
fn a_folder_that_is_no_homes_says_so_and_stays_where_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = open(&folder);
    bench.press("Switch to home mode");
    assert!(bench.shows("footing pair make"));
    assert!(bench.shows("Practice at home"));
}

/// Makes a folder a home's: its keys, paired with a clinic for one person.
fn pair(home: &TempDir) {
    let clinic = tempfile::tempdir().unwrap();
    let (mut own, other) = (keys(home, Role::Home), keys(&clinic, Role::Clinic));
    let other = other.own().unwrap().public();
    let assignment = Assignment {
        clinic: "C-01".parse().unwrap(),
        person: "P-01".parse().unwrap(),
        board: "53494d000000000000000001".parse().unwrap(),
    };
    let heard = other.spoken_code();
    own.pair(Pairing::new(Role::Home, other, heard, assignment).unwrap()).unwrap();
}

#[test]
fn home_mode_takes_the_window_and_is_left_in_two_steps() {
    let home = tempfile::tempdir().unwrap();
    pair(&home);
    let mut bench = open(&home);
    bench.press("Switch to home mode");
    assert!(bench.shows("The emergency number is not set"));
    assert!(!bench.shows("People"), "the clinic's screens are out of sight");
    bench.key(egui::Key::F11);
    assert!(bench.shows("Leave home mode?"));
    bench.press("Stay");
    assert!(bench.shows("The emergency number is not set"));
    bench.press("Close");
    assert!(bench.shows("Leave home mode?"));
    bench.press("Close");
    assert!(bench.shows("Practice at home"));
}

/// Sealed by a program that could not bring it into the records any more.
#[test]
fn a_stand_that_only_its_file_tells_of_is_among_those_kept() {
    let home = tempfile::tempdir().unwrap();
    let settings = HomeSettings {
        emergency_number: Some("112".to_owned()),
        clinic_contact: Some("C-01".to_owned()),
        ..HomeSettings::default()
    };
    settings.save(home.path()).unwrap();
    let mut made_up = MadeUp::new(home.path());
    let person = made_up.person("P-01", None);
    pair(&home);
    let session = made_up.begun_session(&person);
    let mut stand = Stand { person: "P-01", ..Stand::measured(HERE, 4.0, 1) }.stored();
    stand.facts.session = Some(session);

    // The window has looked for such files before.
    let mut bench = open(&home);
    trial_file::seal(&stand, &made_up.library.trials_folder()).unwrap();
    bench.press("Switch to home mode");
    assert!(bench.shows("One stand is kept"));
}
