//! Plans in English.

use acquisition::records::{Dose, GuidedBy, PlanChange, Release};
use analysis::{Band, Support};

use crate::strings::english::{condition, counted};
use crate::strings::number::significant;
use crate::strings::plan::PlanWords;

/// The plan's screen, and plans on the command line.
pub(crate) const PLAN: PlanWords = PlanWords {
    tab: "Plan",
    nobody_chosen: "Choose a person to see their plan",
    title: |person, version| match version {
        Some(version) => format!("Plan of {person}, version {version}"),
        None => format!("Plan of {person}"),
    },
    made: |author, date| format!("by {author} on {date}"),
    first: "No plan yet. Below is one to begin with; nothing is stored until you store it",
    five: ["Surface", "Stance", "Eyes", "Support", "Band"],
    of_condition: |field, n| format!("{field} of condition {n}"),
    surface: condition::surface_word,
    stance: condition::stance_words,
    vision: condition::vision_words,
    support: |support| match support {
        Support::None => "no support",
        Support::Fingertip => "fingertip",
        Support::Hand => "hand held",
    },
    band: |band| match band {
        Band::None => "no band",
        Band::UpperTrunk => "band, upper trunk",
        Band::BelowButtocks => "band, below buttocks",
    },
    dose_fields: ["Holds", "Seconds a hold", "Seconds of rest"],
    dose_labels: ["holds", "s each", "s rest"],
    release_field: "Where",
    dose,
    release,
    sessions,
    settle,
    earlier: "Earlier",
    later: "Later",
    remove: "Take out",
    add: "Add a condition",
    window_head: "Wobble window (common practice, no published source)",
    window_fields: ["From, mm", "To, mm", "From, in", "To, in"],
    limits_head: "Limits",
    sessions_field: "Sessions a day",
    home_head: "At home",
    guided_by_field: "Guided",
    guided_by,
    by_sight_about: "For impaired hearing: no sound is counted on, the eyes stay open",
    finds_stance_field: "The stance may be found there",
    limit: |key| match key {
        "easy_difficulty" => Some("Hardest rating that is still easy"),
        "pain_ceiling" => Some("No start above this pain"),
        "pain_rise" => Some("A rise in pain that stops"),
        "min_scored_sessions" => Some("Fewest scored sessions"),
        "agreeing_verdicts" => Some("Days that must agree"),
        _ => None,
    },
    other_limits: "The other limits: `footing plan show CODE --toml` and `footing plan set`",
    changes_head: "Changed against the version in force",
    no_change: "Nothing yet",
    change,
    undo: "Undo",
    redo: "Redo",
    author_label: "Made by",
    store: |version| format!("Store as version {version}"),
    store_about: "A stored version is not changed; the next one follows it",
    history_head: "What each version changed",
    version: |version, author, date| format!("Version {version}, {author}, {date}"),
};

fn change(change: &PlanChange) -> String {
    let name = condition::condition;
    match change {
        PlanChange::Added(condition) => format!("new: {}", name(condition)),
        PlanChange::Removed(condition) => format!("no longer in the plan: {}", name(condition)),
        PlanChange::Order => "the order of the conditions".to_owned(),
        PlanChange::Dose { condition, from, to } => {
            format!("{}: {}, before {}", name(condition), dose(*to), dose(*from))
        }
        PlanChange::Release { condition, from, to } => {
            format!("{}: {}, before {}", name(condition), release(*to), release(*from))
        }
        PlanChange::SessionsPerDay { from, to } => {
            format!("{} a day, before {from}", sessions(*to))
        }
        PlanChange::Settle { from, to } => format!("{}, before {}", settle(*to), settle(*from)),
        PlanChange::GuidedBy { from, to } => {
            format!("guided {}, before {}", guided_by(*to), guided_by(*from))
        }
        PlanChange::FindsStanceAtHome(true) => "the stance may be found at home".to_owned(),
        PlanChange::FindsStanceAtHome(false) => {
            "the stance may no longer be found at home".to_owned()
        }
        PlanChange::Threshold { key, from, to } => {
            format!("limit {key}: {}, before {}", significant(*to, 4), significant(*from, 4))
        }
    }
}

fn dose(dose: Dose) -> String {
    format!(
        "{} holds of {} s, {} s rest",
        dose.holds,
        significant(dose.hold_s, 3),
        significant(dose.rest_s, 3)
    )
}

fn settle(settle_s: Option<f64>) -> String {
    match settle_s {
        Some(settle_s) => format!("{} s of standing before a record", significant(settle_s, 3)),
        None => "the usual time of standing before a record".to_owned(),
    }
}

const fn guided_by(by: GuidedBy) -> &'static str {
    match by {
        GuidedBy::Sound => "by sound",
        GuidedBy::Sight => "by large marks",
    }
}

fn sessions(n: u8) -> String {
    counted(n.into(), "session", "sessions")
}

const fn release(release: Release) -> &'static str {
    match release {
        Release::Clinic => "in the clinic only",
        Release::Accompanied => "at home with a second person",
        Release::Alone => "at home alone",
    }
}
