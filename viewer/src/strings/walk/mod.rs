//! Every word of every language, said once with sample values.
//!
//! The structs of words are taken apart field by field, so that a new field does not compile until
//! it is said here too.
#![expect(clippy::too_many_lines, reason = "a line for each field, nothing to follow")]

mod advice;
mod messages;
mod pages;
mod screens;
mod standing;

use std::collections::{BTreeMap, BTreeSet};

use analysis::{
    Band, Condition, MEASURES, NotAvailable, NotComparable, Stance, Support, Surface, TrialKind,
    Unit, Vision,
};

use super::{LANGUAGES, Language};

/// What was said, by the path of the field and its place among the samples.
#[derive(Debug, Default)]
struct Said {
    texts: BTreeMap<String, String>,
    messages: Vec<super::Message>,
}

impl Said {
    fn add(&mut self, name: &str, text: impl Into<String>) {
        let n = self.texts.range(format!("{name}#")..format!("{name}#~")).count();
        self.texts.insert(format!("{name}#{n:03}"), text.into());
    }

    fn all(&mut self, name: &str, texts: impl IntoIterator<Item = impl Into<String>>) {
        for text in texts {
            self.add(name, text);
        }
    }

    fn message(&mut self, name: &str, message: &super::Message) {
        self.all(name, [&message.what, &message.why, &message.what_to_do]);
        self.messages.push(message.clone());
    }
}

/// Every message a language has.
pub(crate) fn every_message(words: &Language) -> Vec<super::Message> {
    every_word(words).messages
}

fn every_word(words: &Language) -> Said {
    let mut said = Said::default();
    let Language {
        key: _,
        decimals,
        significant,
        shortest,
        common,
        start,
        choose,
        compare,
        people,
        course,
        practice,
        plan,
        stand,
        clinic: _,
        board,
        settings_not_kept: _,
        board_not_connected: _,
        board_not_started: _,
        board_lost: _,
        not_recorded: _,
        no_thread: _,
        somebody_stands: _,
        stand_failed: _,
        report,
        sound,
        forbidden: _,
        open_trial: _,
        open_folder: _,
        empty_folder: _,
        picture,
        measure,
        definition,
        source,
        not_available,
        next_step: _,
        unit,
        value,
        difference,
        not_comparable,
        doubts: _,
        condition,
        kind,
    } = words;
    said.all("number", [decimals(1.5, 1), significant(-0.012_34, 3), shortest(1.7)]);
    screens::common(&mut said, common);
    screens::start(&mut said, start);
    screens::choose(&mut said, choose);
    screens::compare(&mut said, compare);
    screens::picture(&mut said, picture);
    screens::people(&mut said, people);
    screens::course(&mut said, course);
    screens::plan(&mut said, plan);
    standing::stand(&mut said, stand);
    standing::board(&mut said, board);
    pages::practice(&mut said, practice);
    pages::report(&mut said, report);
    pages::sound(&mut said, sound);
    messages::messages(&mut said, words);
    advice::advice(&mut said, words.next_step);
    for def in MEASURES {
        said.add("measure", measure(def.key).unwrap_or_else(|| panic!("{} has no name", def.key)));
        said.add("definition", definition(def));
        said.add("source", source(def));
    }
    for &one in Unit::ALL {
        said.add("unit", unit(one));
        said.all("value", [value(one, 0.256), difference(one, 0.256), difference(one, -0.256)]);
    }
    said.all("not available", every_not_available().iter().map(not_available));
    said.all("not comparable", every_not_comparable().iter().map(not_comparable));
    said.all("condition", every_condition().iter().map(condition));
    said.all("kind", TrialKind::ALL.iter().map(|&one| kind(one)));
    said
}

/// Conditions that hold every word at least once.
fn every_condition() -> Vec<Condition> {
    let bare = Condition::unaided(Surface::Firm, Stance::Wide, Vision::Open);
    let surfaces = Surface::ALL.iter().map(|&surface| Condition { surface, ..bare });
    let stances = Stance::ALL.iter().map(|&stance| Condition { stance, ..bare });
    let visions = Vision::ALL.iter().map(|&vision| Condition { vision, ..bare });
    let supports = Support::ALL.iter().map(|&support| Condition { support, ..bare });
    let bands = Band::ALL.iter().map(|&band| Condition { band, ..bare });
    surfaces.chain(stances).chain(visions).chain(supports).chain(bands).collect()
}

fn every_not_available() -> Vec<NotAvailable> {
    vec![
        NotAvailable::TooFewSamples { n_samples: 1, needed: 2 },
        NotAvailable::TooShort { duration_s: 1.0, needed_s: 5.5 },
        NotAvailable::RateTooLow { rate_hz: 5.5, needed_hz: 20.0 },
        NotAvailable::RateTooHigh { rate_hz: 20_000.0, limit_hz: 10_000.0 },
        NotAvailable::OffTheBoard { distance_mm: 5000.0, limit_mm: 1000.0 },
        NotAvailable::BodyHeightOutOfRange { height_m: 170.5, lowest_m: 0.5, highest_m: 2.5 },
        NotAvailable::NoMovement,
        NotAvailable::NoDirection,
        NotAvailable::NoPower { low_hz: 0.15, high_hz: 5.0 },
        NotAvailable::NoRepeats,
        NotAvailable::NoCrossing,
        NotAvailable::NoReference,
        NotAvailable::TimeNotIncreasing { index: 3 },
        NotAvailable::UnevenTimes { deviation_ms: 1.5 },
        NotAvailable::NoLoad,
        NotAvailable::GapTooLong { gap_ms: 900.0, limit_ms: 100.0 },
        NotAvailable::TooManyLost { lost_percent: 7.5, limit_percent: 1.0 },
    ]
}

fn every_not_comparable() -> Vec<NotComparable> {
    let condition = |text: &str| -> Condition { text.parse().expect("a condition") };
    let (one, other) = (condition("firm/wide/open"), condition("foam/together/closed"));
    let kinds = TrialKind::ALL.iter().map(|&kind| NotComparable::NotMeasured { kind });
    let mut all: Vec<NotComparable> = kinds.collect();
    all.extend([
        NotComparable::NoTrials,
        NotComparable::UnknownMeasure { key: "x".to_owned() },
        NotComparable::NotAMagnitude { key: "ellipse_angle_deg" },
        NotComparable::DifferentPeople,
        NotComparable::MixedConditions { one, other },
        NotComparable::WrongConditions { quotient: "vision", before: one, after: other },
        NotComparable::WrongConditions { quotient: "surface", before: one, after: other },
        NotComparable::DifferentBoards { one: "b1".to_owned(), other: "b2".to_owned() },
        NotComparable::DifferentPlanes,
        NotComparable::DifferentHeights { one_mm: 20.0, other_mm: 60.0 },
        NotComparable::UnknownHeight,
        NotComparable::DifferentProcessing {
            one: analysis::Processing::Standard,
            other: analysis::Processing::AsRecorded,
        },
        NotComparable::DifferentBodyHeights,
        NotComparable::DifferentLengths { one_s: 35.0, other_s: 60.0 },
        NotComparable::NoValue { key: "path_length", source: NotAvailable::NoLoad },
        NotComparable::NotPositive { key: "path_length" },
    ]);
    all
}

/// What the text says itself: without what the libraries and the system said, and without commands.
fn own_words(text: &str) -> String {
    let told = text.split("(englisch):").next().unwrap_or_default();
    // Between backquotes stands what is typed, which is English in every language.
    told.split('`').step_by(2).collect::<Vec<_>>().join(" ")
}

fn tokens(text: &str) -> Vec<String> {
    let letters = |c: char| !(c.is_alphanumeric() || c == '\'');
    text.to_lowercase().split(letters).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

#[test]
fn every_field_has_words_in_every_language() {
    // A pure number has no unit, and what is not known needs no words of its own.
    let may_be_empty = |name: &str| {
        ["unit#", "compare.detectable_unknown#", "advice"].iter().any(|it| name.starts_with(it))
    };
    for words in LANGUAGES {
        for (name, text) in every_word(words).texts {
            assert!(!text.trim().is_empty() || may_be_empty(&name), "{}: {name}", words.key);
            assert!(!text.contains("  "), "{}: {name}: {text:?}", words.key);
        }
    }
}

/// Words that are never said of a person or a result. In German also their stems: "sicher" begins
/// words that mean the same of a person.
#[test]
fn no_language_says_a_word_that_is_never_said() {
    let english = ["safe", "normal", "cured", "cleared", "pass", "fail", "diagnosis"];
    let german = [
        "sicher",
        "normal",
        "geheilt",
        "bestanden",
        "durchgefallen",
        "diagnose",
        "unbedenklich",
        "gesund",
    ];
    // What the body does, and what a filter lets through.
    let other_meanings = [
        "to pass urine",
        "feeling it pass",
        "passing urine",
        "back passage",
        "low-pass",
        "tiefpass",
    ];
    for words in LANGUAGES {
        let never: &[&str] = match words.key {
            acquisition::home::LanguageKey::English => &english,
            acquisition::home::LanguageKey::German => &german,
        };
        for (name, text) in every_word(words).texts {
            if name.starts_with("common.caution#") {
                continue;
            }
            let mut said = own_words(&text).to_lowercase();
            for meant in other_meanings {
                said = said.replace(meant, " ");
            }
            for word in never {
                assert!(!said.contains(word), "{}: {name}: {word:?} in {text:?}", words.key);
            }
        }
    }
}

/// Texts that read the same in German: names, units, and words that both languages share.
const SHARED: &[&str] = &[
    "Footing",
    "Start",
    "Plan",
    "Board",
    "Person",
    "Firmware",
    "Band",
    "Version 1, 7, 8",
    "A, trial 1",
];

#[test]
fn german_is_not_english() {
    let [english, german] = LANGUAGES.map(every_word);
    let names = |said: &Said| said.texts.keys().cloned().collect::<BTreeSet<_>>();
    assert_eq!(names(&english), names(&german), "both say as much");
    let mut same: Vec<String> = Vec::new();
    for (name, text) in &german.texts {
        let is_word = text.chars().filter(|c| c.is_alphabetic()).count() > 3;
        if is_word && english.texts.get(name) == Some(text) && !SHARED.contains(&text.as_str()) {
            same.push(format!("{name}: {text}"));
        }
    }
    let allowed = ["#", "/", "ML", "AP", "sqrt", "Prieto", "Schubert", "Santos", "Winter"];
    same.retain(|line| !allowed[1..].iter().any(|part| line.contains(part)));
    assert!(same.is_empty(), "{same:#?}");
    // A word of one language alone in the other was forgotten.
    let telling = ["the", "of", "and", "is", "not", "with", "from", "you", "your", "are", "for"];
    for (name, text) in &german.texts {
        // The term of the field stands beside its German words.
        for word in tokens(&own_words(text).replace("Centre of Pressure", " ")) {
            assert!(!telling.contains(&word.as_str()), "{name}: {word:?} in {text:?}");
        }
    }
}

/// Numbers with a decimal point in German would be read as thousands.
#[test]
fn german_numbers_have_no_decimal_point() {
    for (name, text) in every_word(LANGUAGES[1]).texts {
        let said = own_words(&text);
        let chars: Vec<char> = said.chars().collect();
        let point = chars.windows(3).find(|window| {
            window[1] == '.' && window[0].is_ascii_digit() && window[2].is_ascii_digit()
        });
        assert_eq!(point, None, "{name}: {text}");
    }
}

/// What is quoted in German stands between „ and “; only what is typed has quotes of its own.
#[test]
fn german_quotes_are_german() {
    for (name, text) in every_word(LANGUAGES[1]).texts {
        let said = own_words(&text).replace("--clinic-contact \"...\"", " ");
        assert!(!said.contains('"'), "{name}: {text}");
        assert_eq!(said.matches('„').count(), said.matches('“').count(), "{name}: {text}");
    }
}

/// Text from outside is shown, but does nothing to a screen or a terminal.
#[test]
fn what_comes_from_outside_is_quoted_without_control_characters() {
    let key = "a\u{1b}[2J\nb".to_owned();
    let told = (LANGUAGES[1].not_comparable)(&NotComparable::UnknownMeasure { key });
    assert_eq!(told, "„a\\u{1b}[2J\\nb“ ist keine Messgröße");
}

#[test]
fn what_stands_together_has_names_of_its_own() {
    for words in LANGUAGES {
        let tabs = [
            words.start.tab,
            words.people.tab,
            words.course.tab,
            words.plan.tab,
            words.stand.tab,
            words.choose.tab,
            words.compare.tab,
            words.board.tab,
            words.common.to_light,
            words.common.to_dark,
            words.common.language_label,
        ];
        let home = &words.practice;
        let buttons = [
            home.yes,
            home.no,
            home.go_on,
            home.enough,
            home.less,
            home.more,
            home.that_many,
            home.try_again,
            home.again,
            home.leave,
        ];
        let verdicts: Vec<&str> = analysis::readiness::Verdict::ALL
            .iter()
            .map(|&one| (words.people.verdict)(one))
            .collect();
        let flags: Vec<&str> =
            analysis::QualityFlag::ALL.iter().map(|&one| (words.stand.flag)(one)).collect();
        let plan = &words.plan;
        let fields: Vec<&str> = plan
            .five
            .iter()
            .chain(&plan.dose_fields)
            .chain(&[plan.release_field, plan.earlier, plan.later, plan.remove])
            .copied()
            .collect();
        let stand = &words.stand;
        let questions: Vec<&str> = stand
            .signs
            .iter()
            .chain(&[stand.pain_now, stand.difficulty, stand.touched])
            .chain(&stand.end_pains)
            .copied()
            .collect();
        for names in [&tabs[..], &buttons, &verdicts, &flags, &fields, &questions] {
            let distinct: BTreeSet<&&str> = names.iter().collect();
            assert_eq!(distinct.len(), names.len(), "{}: {names:?}", words.key);
        }
    }
}
