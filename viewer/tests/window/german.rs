//! The window in German: chosen while it is open, and the main path by the names a screen reader
//! gives.

use acquisition::home::{HomeSettings, LanguageKey};
use acquisition::library::Library;
use viewer::strings::GERMAN;
use viewer::window::WindowStart;

use crate::bench::Bench;
use crate::made_up_course::{EASY, MadeUp};
use crate::simulator::{fast_board, one_at_a_time};
use crate::synthetic_stands::two_days;

fn start(folder: &tempfile::TempDir) -> WindowStart {
    let library = Library::open(folder.path()).unwrap();
    WindowStart {
        library: Some(library.trials_folder()),
        records: Some(library),
        simulated: fast_board(),
        ..WindowStart::default()
    }
}

#[test]
fn the_language_changes_at_once_and_is_remembered() {
    let folder = tempfile::tempdir().unwrap();
    let mut made_up = MadeUp::new(folder.path());
    let person = made_up.person("P-07", None);
    for day in EASY {
        made_up.session(&person, day);
    }
    let mut bench = Bench::start(start(&folder));
    assert_eq!(bench.chosen_in("Language"), "English");
    bench.press("People");
    bench.press("Course of P-07");
    assert!(bench.shows("Next step: advance. The clinician decides."));

    bench.choose("Language", "Deutsch");
    assert_eq!(bench.chosen_in("Sprache"), "Deutsch");
    for part in [
        "Die deutschen Texte sind noch nicht von Fachleuten geprüft.",
        "Nächster Schritt: zur nächsten, schwereren Bedingung. Die Fachperson entscheidet.",
        "Wackeln, empfundene Schwierigkeit und Schmerz über 5 Tage",
        "Wackeln 13,0 mm (0,51 in) aus 3 Versuchen",
    ] {
        assert!(bench.shows(part), "{part}");
    }
    assert!(!bench.shows("Next step") && !bench.shows("wobble"));
    bench.press("Diese Meldung schließen");
    bench.press("Personen");
    assert!(bench.shows("bereit für die nächste Bedingung") && bench.shows("5 neue Sitzungen"));
    assert_eq!(HomeSettings::load(folder.path()).unwrap().language, Some(LanguageKey::German));

    bench.choose("Sprache", "English");
    assert!(bench.shows("ready to advance") && !bench.shows("bereit für die nächste Bedingung"));
    assert_eq!(HomeSettings::load(folder.path()).unwrap().language, Some(LanguageKey::English));
}

#[test]
fn what_else_the_settings_hold_is_kept_and_settings_that_cannot_be_read_are_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let number = HomeSettings { emergency_number: Some("112".to_owned()), ..<_>::default() };
    number.save(folder.path()).unwrap();
    let mut bench = Bench::start(start(&folder));
    bench.choose("Language", "Deutsch");
    let kept = HomeSettings::load(folder.path()).unwrap();
    assert_eq!(kept, HomeSettings { language: Some(LanguageKey::German), ..number });

    let file = folder.path().join(acquisition::home::SETTINGS_NAME);
    std::fs::write(&file, "no settings").unwrap();
    bench.press("Diese Meldung schließen");
    bench.choose("Sprache", "English");
    assert!(bench.shows("The choice holds for now, but will not be remembered."));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "no settings");
}

#[test]
fn a_comparison_on_the_screen_is_told_anew() {
    let folder = tempfile::tempdir().unwrap();
    let files = two_days(folder.path());
    let mut bench = Bench::start(WindowStart { files, ..WindowStart::default() });
    bench.press_like("Set A: foam, hip width, eyes open");
    bench.press_like("Set B: foam, hip width, eyes closed");
    bench.press("Compare A with B");
    bench.choose("Language", "Deutsch");
    for part in ["Mittlere Geschwindigkeit", "Quotient Augen zu / auf", "mehr als Zufall?"] {
        assert!(bench.shows(part), "{part}");
    }
    assert!(bench.shows("P-07 · Schaumstoff, hüftbreit, Augen zu · 2026-03-03 · 3 Versuche"));
    assert!(!bench.shows("Mean velocity"));
}

#[test]
fn from_a_new_person_to_a_decision_in_german() {
    let _turn = one_at_a_time();
    let folder = tempfile::tempdir().unwrap();
    let mut bench = Bench::start_in(&GERMAN, start(&folder));
    bench.press("Personen");
    bench.type_into("Kürzel der neuen Person", "P-21");
    bench.press("Person anlegen");
    bench.press("Verlauf von P-21");
    bench.press("Plan");
    assert!(bench.shows("Noch kein Plan. Unten steht einer für den Anfang"));
    bench.set_number("Von, mm", "6,5");
    assert!((bench.number("Von, mm") - 6.5).abs() < 1e-9, "a comma is typed as one");
    bench.type_into("Erstellt von", "clinician-1");
    bench.press("Als Version 1 speichern");
    assert!(bench.shows("Plan von P-21, Version 1"));

    bench.press("Stehen");
    assert!(!bench.is_enabled("Sitzung beginnen"));
    for question in ["Etwas Neues: ", "Ein Sturz", "Beinschmerz weiter unten", "Neue Taubheit"] {
        bench.press_named(question, "Nein");
    }
    bench.type_into("Größe, m", "1,70");
    bench.press("Schmerz jetzt, 0 bis 10 2");
    bench.press("Sitzung beginnen");
    assert!(bench.shows("Sitzung seit"));
    for condition in ["Schaumstoff, hüftbreit, Augen auf", "Schaumstoff, hüftbreit, Augen zu"] {
        bench.choose("Bedingung", condition);
        bench.choose("Board", "simuliert");
        bench.replace_in("Sekunden", "20");
        bench.replace_in("Vorher stehen, s", "0,5");
        bench.key(egui::Key::F5);
        assert!(bench.shows("gespeichert, 2000 Werte"));
        assert!(bench.shows(&format!("{condition}, gemessen")));
        bench.press("Wie schwer war es, 0 sehr leicht bis 10 unmöglich? 3");
        bench.press("Etwas berührt? Nein");
        assert!(bench.shows("Antworten gespeichert"));
    }
    bench.press("Am Ende der Sitzung");
    bench.press("Stärkster Schmerz im Stehen, 0 bis 10 3");
    bench.press("Schmerz am Ende, 0 bis 10 2");
    bench.press("Sitzung beenden");
    assert!(bench.shows("Vor dem ersten Stand fragen"));

    bench.press("Versuche");
    bench.press_like("Gruppe A: Schaumstoff, hüftbreit, Augen auf");
    bench.press_like("Gruppe B: Schaumstoff, hüftbreit, Augen zu");
    bench.press("A mit B vergleichen");
    assert!(bench.shows("Mittlere Geschwindigkeit"));

    bench.press("Verlauf");
    assert!(bench.shows("Schwierigkeit 3; Schmerz 2 zu Beginn, stärkster 3"));
    bench.type_into("Entschieden von", "clinician-1");
    bench.press("Entscheiden");
    bench.press("Diese Entscheidung speichern");
    assert!(bench.shows("clinician-1: Schaumstoff, hüftbreit, Augen auf"));
}

#[test]
fn an_answer_that_asks_for_a_stop_stops_in_german_too() {
    let folder = tempfile::tempdir().unwrap();
    let mut made_up = MadeUp::new(folder.path());
    made_up.person("P-22", None);
    let mut bench = Bench::start_in(&GERMAN, start(&folder));
    bench.press("Personen");
    bench.press("Verlauf von P-22");
    bench.press("Stehen");
    for question in ["Ein Sturz", "Beinschmerz weiter unten", "Neue Taubheit"] {
        bench.press_named(question, "Nein");
    }
    bench.press_named("Etwas Neues: ", "Ja");
    bench.press("Schmerz jetzt, 0 bis 10 2");
    bench.press("Sitzung beginnen");
    assert!(bench.shows("Stopp. Kein Stand, bis Sie angesehen haben"));
    assert!(bench.shows("Rufen Sie jetzt die örtliche Notrufnummer an"));
    bench.key(egui::Key::F5);
    assert!(!bench.shows("Stand beginnen") && !bench.shows("Der letzte Stand"));
}
