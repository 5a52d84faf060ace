//! English.

mod board;
mod clinic;
mod compare;
mod condition;
mod doubts;
mod forbidden;
mod left_out;
mod measure;
mod not_comparable;
mod open_trial;
mod picture;
mod plan;
mod practice;
mod records;
mod report;
mod sound;
mod stand;
mod standing;
mod unit;

use acquisition::home::LanguageKey;

use crate::strings::language::{ChoiceWords, ChooseWords, CommonWords, Language, StartWords};
use crate::strings::number;

/// The words in English.
pub static ENGLISH: Language = Language {
    key: LanguageKey::English,
    decimals: number::decimals,
    significant: number::significant,
    shortest: |value| value.to_string(),
    common: CommonWords {
        program: "Footing",
        caution: "Not a diagnosis and not a substitute for the treating licensed clinician; \
                  local rules come first.",
        own_name: "English",
        language_label: "Language",
        language_caution: None,
        to_light: "Light",
        to_dark: "Dark",
        dismiss: "Close this message",
        dismiss_all: |n| format!("Close all {n} messages"),
        reading: "Reading",
    },
    start: StartWords {
        tab: "Start",
        purpose: "How steady is this stand, and has it changed?",
        simulated: ChoiceWords {
            name: "Simulated board",
            about: "Try everything without a board: a virtual person, SIM-1, stands on a virtual \
                    board. What is recorded stays under that code.",
            command: None,
        },
        real: ChoiceWords {
            name: "Real board",
            about: "Plug it in, add or choose somebody on the screen People, and stand them on the \
                    screen Stand. The screen Board shows its corners.",
            command: None,
        },
        try_button: "Try the simulated board",
        home: ChoiceWords {
            name: "Practice at home",
            about: "One thing at a time, over the whole screen, by the plan the clinic sent.",
            command: None,
        },
        home_button: "Switch to home mode",
        open: ChoiceWords {
            name: "Open recordings",
            about: "A trial file, or a folder of them. You can also drop files on this window.",
            command: None,
        },
        path_label: "File or folder",
        path_hint: "/home/me/stands",
        open_button: "Open",
    },
    choose: ChooseWords {
        tab: "Trials",
        title: "Which two sets of trials?",
        find_label: "Find",
        find_hint: "person, date or condition",
        nothing_found: "No trial contains these words",
        compare_button: "Compare A with B",
        clear_button: "Empty both sets",
        n_trials: |n| counted(n, "trial", "trials"),
        person_detail: |n_trials, n_days| {
            format!(
                "{} on {}",
                counted(n_trials, "trial", "trials"),
                counted(n_days, "day", "days")
            )
        },
        trial_number: |n| format!("Trial {n}"),
        more_groups: |n| format!("and {}", counted(n, "other group", "other groups")),
        set_empty: |letter| format!("nothing yet: choose {letter} beside a row"),
        put_into_set: |letter, row| format!("Set {letter}: {row}"),
        show_trials: |row| format!("Single trials of {row}"),
    },
    people: clinic::PEOPLE,
    course: clinic::COURSE,
    practice: practice::PRACTICE,
    plan: plan::PLAN,
    stand: stand::STAND,
    clinic: records::MESSAGES,
    forbidden: forbidden::forbidden,
    open_trial: open_trial::open_trial,
    open_folder: open_trial::open_folder,
    empty_folder: open_trial::empty_folder,
    board: board::BOARD,
    settings_not_kept: records::settings_not_kept,
    board_not_connected: board::not_connected,
    board_not_started: board::not_started,
    board_lost: board::lost,
    not_recorded: standing::not_recorded,
    no_thread: standing::no_thread,
    somebody_stands: standing::somebody_stands,
    stand_failed: standing::failed,
    compare: compare::COMPARE,
    report: report::REPORT,
    sound: sound::SOUND,
    picture: picture::PICTURE,
    measure: measure::measure,
    definition: |measure| measure.definition,
    source: |measure| measure.source,
    not_available: |reason| reason.to_string(),
    next_step: |step, audience| step.words(audience),
    unit: unit::unit,
    value: unit::value,
    difference: unit::difference,
    not_comparable: not_comparable::not_comparable,
    doubts: doubts::doubts,
    condition: condition::condition,
    kind: condition::kind,
};

fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}
