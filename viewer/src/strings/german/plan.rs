//! Plans in German.

use acquisition::records::{Dose, GuidedBy, PlanChange, Release};
use analysis::{Band, Support};

use super::number::significant;
use super::{condition, counted};
use crate::strings::plan::PlanWords;

/// The plan's screen.
pub(super) const PLAN: PlanWords = PlanWords {
    tab: "Plan",
    nobody_chosen: "Wählen Sie eine Person, um ihren Plan zu sehen",
    title: |person, version| match version {
        Some(version) => format!("Plan von {person}, Version {version}"),
        None => format!("Plan von {person}"),
    },
    made: |author, date| format!("von {author} am {date}"),
    first: "Noch kein Plan. Unten steht einer für den Anfang; gespeichert wird erst, wenn Sie speichern",
    five: ["Untergrund", "Fußstellung", "Augen", "Hilfe", "Band"],
    of_condition: |field, n| format!("{field} der Bedingung {n}"),
    surface: condition::surface_word,
    stance: condition::stance_words,
    vision: condition::vision_words,
    support: |support| match support {
        Support::None => "keine Hilfe",
        Support::Fingertip => "Fingerspitze am Halt",
        Support::Hand => "Hand am Halt",
    },
    band: |band| match band {
        Band::None => "kein Band",
        Band::UpperTrunk => "Band, Oberkörper",
        Band::BelowButtocks => "Band, unter Gesäß",
    },
    dose_fields: ["Wiederholungen", "Sekunden je Wiederholung", "Sekunden Pause"],
    dose_labels: ["Anzahl", "Halten, s", "Pause, s"],
    release_field: "Wo",
    dose,
    release,
    sessions,
    settle,
    earlier: "Früher",
    later: "Später",
    remove: "Entfernen",
    add: "Bedingung hinzufügen",
    window_head: "Wackelfenster (übliche Praxis, keine veröffentlichte Quelle)",
    window_fields: ["Von, mm", "Bis, mm", "Von, Zoll", "Bis, Zoll"],
    limits_head: "Grenzen",
    sessions_field: "Sitzungen am Tag",
    home_head: "Zu Hause",
    guided_by_field: "Geführt",
    guided_by,
    by_sight_about: "Bei Hörbehinderung: Ton wird nicht vorausgesetzt, die Augen bleiben offen",
    finds_stance_field: "Die Fußstellung darf dort gefunden werden",
    limit: |key| match key {
        "easy_difficulty" => Some("Höchste Bewertung, die noch leicht ist"),
        "pain_ceiling" => Some("Kein Beginn über diesem Schmerz"),
        "pain_rise" => Some("Schmerzanstieg, ab dem gestoppt wird"),
        "min_scored_sessions" => Some("Mindestzahl gewerteter Sitzungen"),
        "agreeing_verdicts" => Some("Tage, die übereinstimmen müssen"),
        _ => None,
    },
    other_limits: "Die übrigen Grenzen: `footing plan show KÜRZEL --toml` und `footing plan set`",
    changes_head: "Geändert gegenüber der gültigen Version",
    no_change: "Noch nichts",
    change,
    undo: "Rückgängig",
    redo: "Wiederholen",
    author_label: "Erstellt von",
    store: |version| format!("Als Version {version} speichern"),
    store_about: "Eine gespeicherte Version wird nicht geändert; die nächste folgt auf sie",
    history_head: "Was jede Version geändert hat",
    version: |version, author, date| format!("Version {version}, {author}, {date}"),
};

fn change(change: &PlanChange) -> String {
    let name = condition::condition;
    match change {
        PlanChange::Added(condition) => format!("neu: {}", name(condition)),
        PlanChange::Removed(condition) => format!("nicht mehr im Plan: {}", name(condition)),
        PlanChange::Order => "die Reihenfolge der Bedingungen".to_owned(),
        PlanChange::Dose { condition, from, to } => {
            format!("{}: {}, vorher {}", name(condition), dose(*to), dose(*from))
        }
        PlanChange::Release { condition, from, to } => {
            format!("{}: {}, vorher {}", name(condition), release(*to), release(*from))
        }
        PlanChange::SessionsPerDay { from, to } => {
            format!("{} am Tag, vorher {from}", sessions(*to))
        }
        PlanChange::GuidedBy { from, to } => {
            format!("geführt {}, vorher {}", guided_by(*to), guided_by(*from))
        }
        PlanChange::FindsStanceAtHome(true) => {
            "die Fußstellung darf zu Hause gefunden werden".to_owned()
        }
        PlanChange::FindsStanceAtHome(false) => {
            "die Fußstellung darf nicht mehr zu Hause gefunden werden".to_owned()
        }
        PlanChange::Settle { from, to } => format!("{}, vorher {}", settle(*to), settle(*from)),
        PlanChange::Threshold { key, from, to } => {
            format!("Grenze {key}: {}, vorher {}", significant(*to, 4), significant(*from, 4))
        }
    }
}

fn dose(dose: Dose) -> String {
    format!(
        "{}-mal {} s halten, {} s Pause",
        dose.holds,
        significant(dose.hold_s, 3),
        significant(dose.rest_s, 3)
    )
}

fn settle(settle_s: Option<f64>) -> String {
    match settle_s {
        Some(settle_s) => {
            format!("{} s Stehen vor einer Aufzeichnung", significant(settle_s, 3))
        }
        None => "die übliche Zeit im Stehen vor einer Aufzeichnung".to_owned(),
    }
}

fn sessions(n: u8) -> String {
    counted(n.into(), "Sitzung", "Sitzungen")
}

const fn release(release: Release) -> &'static str {
    match release {
        Release::Clinic => "nur in der Praxis",
        Release::Accompanied => "zu Hause mit einer zweiten Person",
        Release::Alone => "zu Hause allein",
    }
}

const fn guided_by(by: GuidedBy) -> &'static str {
    match by {
        GuidedBy::Sound => "durch Ton",
        GuidedBy::Sight => "durch große Zeichen",
    }
}
