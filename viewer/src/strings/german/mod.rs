//! German.
//!
//! **Before these words are used with patients, a native speaker with clinical knowledge must check
//! them**, above all the warning signs, the reasons to stop, and the instruction for a measured
//! stand, on which the measures depend. The program says so itself where German is chosen
//! ([`CommonWords::language_caution`]); the README does too.
//!
//! People are addressed with "Sie". What a person reads at home is short and plain; what a clinician
//! reads uses the terms of the field: "Druckmittelpunkt (CoP)", "Schwankung", "medio-lateral",
//! "antero-posterior". These words stand for the project's own: "Versuch" (trial), "Sitzung"
//! (session), "Bedingung" (condition), "Wackeln" (wobble), "Wackelfenster" (wobble window), "Halten"
//! (hold), "gemessen", "geführt" and "Eingewöhnung" (measured, guided, practice). "Stand" is one
//! stand on the board, "Durchgänge" are several; a stance is "Fußstellung", a review "Überprüfung".
//!
//! What this program's libraries and the operating system report about a fault is English; it stands
//! behind "Technische Meldung" where there are no German words for it ([`cause`]).

mod advice;
mod advice_for_patient;
mod board;
mod cause;
mod clinic;
mod compare;
mod condition;
mod definition;
mod doubts;
mod forbidden;
mod left_out;
mod measure;
mod not_available;
mod not_comparable;
mod number;
mod open_trial;
mod picture;
mod plan;
mod practice;
mod records;
mod report;
mod sound;
mod stand;
mod standing;
mod trouble;
mod unit;

use acquisition::home::LanguageKey;

use crate::strings::language::{ChoiceWords, ChooseWords, CommonWords, Language, StartWords};

/// The words in German.
pub static GERMAN: Language = Language {
    key: LanguageKey::German,
    decimals: number::decimals,
    significant: number::significant,
    shortest: number::shortest,
    common: CommonWords {
        program: "Footing",
        caution: "Keine Diagnose und kein Ersatz für die zugelassene behandelnde Fachperson; \
                  örtliche Vorschriften gehen vor.",
        own_name: "Deutsch",
        language_label: "Sprache",
        language_caution: Some([
            "Die deutschen Texte sind noch nicht von Fachleuten geprüft.",
            "Sie wurden aus dem Englischen übertragen; Messwerte hängen auch vom Wortlaut der \
             Anweisung ab.",
            "Lassen Sie sie vor dem Einsatz mit Patienten von einer Person mit deutscher \
             Muttersprache und klinischem Wissen prüfen.",
        ]),
        to_light: "Hell",
        to_dark: "Dunkel",
        dismiss: "Diese Meldung schließen",
        dismiss_all: |n| format!("Alle {n} Meldungen schließen"),
        reading: "Lädt",
    },
    start: StartWords {
        tab: "Start",
        purpose: "Wie ruhig ist dieser Stand, und hat er sich verändert?",
        simulated: ChoiceWords {
            name: "Simuliertes Board",
            about: "Alles ohne Board ausprobieren: Eine virtuelle Person, SIM-1, steht auf einem \
                    virtuellen Board. Was aufgezeichnet wird, bleibt unter diesem Kürzel.",
            command: None,
        },
        real: ChoiceWords {
            name: "Echtes Board",
            about: "Schließen Sie es an, wählen Sie auf der Seite „Personen“ jemanden aus oder legen \
                    Sie jemanden an, und beginnen Sie den Stand auf der Seite „Stehen“. Die Seite \
                    „Board“ zeigt die Ecken.",
            command: None,
        },
        try_button: "Simulation ausprobieren",
        open: ChoiceWords {
            name: "Aufzeichnungen öffnen",
            about: "Eine Versuchsdatei oder ein Ordner voller Versuche. Sie können Dateien auch in \
                    dieses Fenster ziehen.",
            command: None,
        },
        home: ChoiceWords {
            name: "Üben zu Hause",
            about: "Eins nach dem anderen, über den ganzen Bildschirm, nach dem Plan, den die Praxis \
                    geschickt hat.",
            command: None,
        },
        home_button: "Zu Hause üben",
        path_label: "Datei oder Ordner",
        path_hint: "/home/ich/versuche",
        open_button: "Öffnen",
    },
    choose: ChooseWords {
        tab: "Versuche",
        title: "Welche zwei Gruppen von Versuchen?",
        find_label: "Suchen",
        find_hint: "Person, Datum, Bedingung",
        nothing_found: "Kein Versuch enthält diese Wörter",
        compare_button: "A mit B vergleichen",
        clear_button: "Beide Gruppen leeren",
        n_trials: trials,
        person_detail: |n_trials, n_days| {
            format!("{} an {}", trials(n_trials), counted(n_days, "Tag", "Tagen"))
        },
        trial_number: |n| format!("Versuch {n}"),
        more_groups: |n| format!("und {}", counted(n, "weitere Gruppe", "weitere Gruppen")),
        set_empty: |letter| format!("noch leer: bei einer Zeile {letter} wählen"),
        put_into_set: |letter, row| format!("Gruppe {letter}: {row}"),
        show_trials: |row| format!("Einzelne Versuche von {row}"),
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
    picture: picture::PICTURE,
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
    measure: measure::measure,
    definition: definition::definition,
    source: definition::source,
    not_available: not_available::not_available,
    next_step: advice::next_step,
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

fn trials(n: usize) -> String {
    counted(n, "Versuch", "Versuche")
}

/// Text from outside in quotation marks, with nothing in it that a screen or a terminal would obey.
fn quoted(text: &str) -> String {
    format!("„{}“", text.escape_debug())
}
