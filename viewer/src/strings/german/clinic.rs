//! The clinic's screens in German.

use analysis::MM_PER_INCH;
use analysis::readiness::Verdict;

use super::number::{decimals, significant};
use super::{counted, left_out};
use crate::strings::clinic::{CourseWords, PeopleWords};

/// The list of people.
pub(super) const PEOPLE: PeopleWords = PeopleWords {
    tab: "Personen",
    title: "Wer braucht Sie zuerst?",
    find_label: "Suchen",
    find_hint: "Kürzel, Name oder Rat",
    nobody: "Noch ist niemand angelegt. Geben Sie unten ein Kürzel ein, um die erste Person anzulegen",
    nothing_found: "Auf niemanden passen diese Wörter",
    no_records: "Kein Datenordner ist offen, also gibt es keine Personen zu zeigen",
    code_label: "Kürzel der neuen Person",
    code_hint: "etwa P-07; keine Namen",
    add_button: "Person anlegen",
    course_button: "Verlauf",
    course_of: |code| format!("Verlauf von {code}"),
    not_read: "lädt",
    no_plan: "noch kein Plan",
    n_new: |n| counted(n, "neue Sitzung", "neue Sitzungen"),
    last_session: |date| format!("zuletzt {date}"),
    no_session: "noch keine Sitzung",
    verdict,
};

const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Advance => "bereit für die nächste Bedingung",
        Verdict::Stay => "bleiben",
        Verdict::StepBack => "zurückstufen",
        Verdict::StopAndReview => "Stopp und Überprüfung",
        Verdict::NotEnoughData => "zu wenig Daten",
        Verdict::PlanComplete => "Plan abgeschlossen, Überprüfung",
    }
}

/// One person's course.
pub(super) const COURSE: CourseWords = CourseWords {
    tab: "Verlauf",
    nobody_chosen: "Wählen Sie eine Person, um zu sehen, wie sich ihr Wackeln verändert hat",
    choose_person: "Zu den Personen",
    title: |code, name| match name {
        Some(name) => format!("{code}, {name}"),
        None => code.to_owned(),
    },
    condition_label: "Bedingung",
    nothing_measured: "Noch keine Sitzung mit einem gemessenen Versuch unter dieser Bedingung",
    wobble_title: "Wackeln je Sitzung",
    difficulty_title: "Empfundene Schwierigkeit, 0 sehr leicht bis 10 unmöglich",
    pain_title: "Schmerz, 0 bis 10:",
    pain_marks: ["zu Beginn", "stärkster", "nächster Morgen"],
    window: |[low, high]| {
        format!(
            "Fenster {} bis {} mm ({} bis {} in)",
            significant(low, 3),
            significant(high, 3),
            decimals(low / MM_PER_INCH, 2),
            decimals(high / MM_PER_INCH, 2)
        )
    },
    learning: "hohl: erste Sitzung, Lernen",
    decision_mark: "Entscheidung",
    decimals,
    mm: "mm",
    inch: "in",
    wobble_of_day: |mm, n_trials, learning| {
        format!(
            "Wackeln {} mm ({} in) aus {}{}",
            significant(mm, 3),
            decimals(mm / MM_PER_INCH, 2),
            counted(n_trials, "Versuch", "Versuchen"),
            if learning { ", erste Sitzung (Lernen)" } else { "" }
        )
    },
    difficulty_of_day: |points| format!("Schwierigkeit {}", answered(points)),
    pain_of_day: |[start, worst, morning]| {
        format!(
            "Schmerz {} zu Beginn, stärkster {}, nächster Morgen {}",
            answered(start),
            answered(worst),
            answered(morning)
        )
    },
    no_wobble: "hier kein Wackeln gemessen",
    about: |n_days| {
        format!(
            "Wackeln, empfundene Schwierigkeit und Schmerz über {}; die Pfeiltasten links und rechts \
             gehen von Tag zu Tag",
            counted(n_days, "Tag", "Tage")
        )
    },
    days_note: "Zeigen Sie auf einen Tag, oder nehmen Sie die Pfeiltasten links und rechts",
    all_days: "Alle Tage zeigen",
    step_head: "Nächster Schritt",
    no_plan: "Noch kein Plan: Der nächste Schritt wird nach Bedingungen und Grenzen eines Plans \
              beurteilt",
    left_out_head: "Nicht berücksichtigt",
    left_out_line: |n, why| format!("{n}: {why}"),
    left_out: left_out::left_out,
    outside: left_out::outside,
    sessions_done: |n, n_days, window_days, planned| {
        let done = format!(
            "{} an {} in den letzten {window_days} Tagen",
            counted(n, "Sitzung", "Sitzungen"),
            counted(n_days, "Tag", "Tagen")
        );
        match planned {
            Some(planned) => format!("{done}; der Plan sieht {planned} am Tag vor"),
            None => done,
        }
    },
    decided_head: "Bisher entschieden",
    decision_head: "Entscheidung",
    go_on_with: "Weiter mit",
    author_label: "Entschieden von",
    note_label: "Notiz",
    decide_button: "Entscheiden",
    confirm: |person, condition, author, advice| {
        format!(
            "{person} macht weiter mit: {condition}; entschieden von {author}. Die Empfehlung ist: \
             {advice}. Eine gespeicherte Entscheidung wird nicht geändert; eine weitere folgt auf sie."
        )
    },
    store_button: "Diese Entscheidung speichern",
    back_button: "Zurück",
    no_decision: "Noch ist nichts entschieden",
    decided: |date, author, condition, advice| {
        format!("{date}, {author}: {condition} (Empfehlung: {advice})")
    },
    not_asked: "nicht gefragt",
};

fn answered(points: Option<u8>) -> String {
    points.map_or_else(|| "nicht beantwortet".to_owned(), |points| points.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_and_many_differ() {
        assert_eq!((PEOPLE.n_new)(1), "1 neue Sitzung");
        assert_eq!((PEOPLE.n_new)(2), "2 neue Sitzungen");
        assert!(
            (COURSE.wobble_of_day)(12.96, 2, false).contains("13,0 mm (0,51 in) aus 2 Versuchen")
        );
    }
}
