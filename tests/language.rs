//! Another language, through the built program: pages, practice at home, screens; the command line
//! itself stays English.

use std::fs;
use std::path::Path;

use crate::bench::{Bench, Simulator};
use crate::open_formats::{a_bench_with_stands, peer, report, text_of};
use crate::two_sides::{HERE, two_sides};

#[test]
fn pages_speak_the_language_of_the_settings_or_the_one_asked_for() {
    let bench = a_bench_with_stands();
    bench.footing(["home-settings", "--emergency-number", "112", "--language", "german"]).well();
    let german = report(&bench, "german.pdf", &[]);
    let letter = report(&bench, "letter.pdf", &["--paper", "letter"]);
    let plain = report(&bench, "plain.pdf", &["--patient"]);
    let english = report(&bench, "english.pdf", &["--language", "english"]);
    for page in [&german, &letter, &plain] {
        assert!(peer(&[Path::new("pdf"), page]).contains("de-DE"));
    }
    assert!(peer(&[Path::new("pdf"), &english]).contains("en-GB"));
    let text = text_of(&german);
    for sentence in [
        "Schwankung im Stand: P-01",
        "Versuche vom 2026-03-02 bis 2026-03-04, Stand 2026-03-05",
        "3 gemessene Versuche von 60 s am 2026-03-04, dem letzten von 2 Tagen hier",
        "Mittlere Geschwindigkeit",
        "Quotient Augen zu / auf",
        "Keine Entscheidung festgehalten.",
        "Keine Diagnose und kein Ersatz für die zugelassene behandelnde Fachperson",
    ] {
        assert!(text.contains(sentence), "{sentence:?} is missing in:\n{text}");
    }
    assert!(text_of(&plain).contains("Rufen Sie im Notfall 112 an, sofort."));
    assert!(text_of(&english).contains("Standing sway: P-01"));
    // The same numbers, each with the decimal sign of its language.
    let numbers = |text: &str, sign: char| -> Vec<String> {
        let is_number = |word: &&str| {
            let (whole, part) = word.split_once(sign).unwrap_or_default();
            let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
            digits(whole) && digits(part)
        };
        text.split_whitespace().filter(is_number).map(|word| word.replace(',', ".")).collect()
    };
    let of_german = numbers(&text, ',');
    assert!(30 < of_german.len(), "{of_german:?}");
    assert_eq!(of_german, numbers(&text_of(&english), '.'));
    let page = bench.path("page.pdf");
    let unknown = ["report", "P-01", page.to_str().unwrap(), "--language", "volapuk"];
    let refused = bench.footing(unknown);
    assert!(refused.stderr.contains("english, german"), "{}", refused.stderr);
}

#[test]
fn practice_at_home_is_in_german_and_takes_german_answers() {
    let (_, home) = two_sides("P-01");
    let told = home.says("home-settings --language german").well();
    assert!(told.stdout.contains("Language: german"), "the command line stays English");
    assert!(told.stderr.contains("native speaker"), "{}", told.stderr);
    let options = "--pty --speed max --seed 31 --steadiness 2 --rate 80 --stand";
    let board = Simulator::start(&options.split(' ').chain([HERE]).collect::<Vec<_>>());
    let at = "2026-03-02T18:00:00+01:00";
    let lines = "nein\nno\nn\nnein\nnein\n2\nja\nnein\n2\n2\n2\n";
    let done = home.typed(&format!("home --plain --port {} --now {at}", board.port), lines).well();
    for part in
        ["Etwas Neues? Eines davon?", "Steigen Sie auf und stehen Sie still", "Fertig, danke"]
    {
        assert!(done.stdout.contains(part), "{part}: {}", done.stdout);
    }
    assert!(
        done.stderr.contains("Tippen Sie „ja“ oder „nein“"),
        "no is not German: {}",
        done.stderr
    );
    // For once in the other language, though the settings say German.
    let again = "home --plain --language english --now 2026-03-02T19:00:00+01:00";
    let asked = home.typed(again, "").well();
    assert!(asked.stdout.contains("Today is done already"), "{}", asked.stdout);
}

#[test]
fn a_warning_sign_locks_in_german_with_the_emergency_number() {
    let (_, home) = two_sides("P-01");
    let words = "home --plain --language german --now 2026-03-02T18:00:00+01:00";
    let locked = home.typed(words, "ja\n").well();
    for part in [
        "Stopp. Rufen Sie jetzt 112 an",
        "muss jetzt ärztlich untersucht werden. Warten Sie nicht auf dieses Programm.",
        "C-01",
    ] {
        assert!(locked.stdout.contains(part), "{part}: {}", locked.stdout);
    }
}

#[test]
fn a_screen_is_drawn_in_the_language_of_the_settings_and_bad_settings_hinder_nobody() {
    let bench = Bench::new();
    let shot = |name: &str, options: &[&str]| {
        let path = bench.path(name);
        let asked = ["open", "--screenshot", "start", path.to_str().unwrap()];
        let outcome = bench.footing([&asked[..], options].concat()).well();
        (fs::read(path).unwrap(), outcome.stderr)
    };
    let (english, _) = shot("english.png", &[]);
    let (asked, _) = shot("asked.png", &["--language", "german"]);
    bench.footing(["home-settings", "--language", "german"]).well();
    let (set, _) = shot("set.png", &[]);
    assert_eq!(asked, set);
    assert_ne!(asked, english);
    fs::write(bench.path("data").join("home.toml"), "no settings").unwrap();
    let (still, told) = shot("still.png", &[]);
    assert_eq!(still, english);
    assert!(told.contains("settings of the home cannot be used"), "{told}");
}
