//! Plain words for the person who stands.

use super::criterion::{Criterion, Finding, Settle, Which};
use super::next_step::{Note, Verdict};

pub(crate) fn headline(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Advance => {
            "Suggestion for your clinician: the last sessions met the rule for the next, harder \
             exercise. Go on with this one until your clinician says yes."
        }
        Verdict::Stay => "Go on with this exercise.",
        Verdict::StepBack => {
            "Suggestion for your clinician: go back to the easier exercise. Ask before you go on."
        }
        Verdict::StopAndReview => {
            "Stop. Do not exercise on the board until your clinician has looked at this."
        }
        Verdict::NotEnoughData => "It is too early to say. Go on with this exercise.",
        Verdict::PlanComplete => {
            "You have met the rule for the last exercise of your plan. Your clinician decides what \
             comes next."
        }
    }
}

/// The reason in a sentence; empty for a criterion that asks for nothing here.
pub(crate) fn reason(found: &Criterion) -> String {
    match found.which {
        Which::WarningSign => {
            "You reported something that needs a medical check now. Do not wait for this program."
                .to_owned()
        }
        Which::LegPainFurtherDown => {
            "You said that leg pain reaches further down. Contact your clinician.".to_owned()
        }
        Which::NumbnessOrWeakness => {
            "You reported new numbness or weakness. Contact your clinician today.".to_owned()
        }
        Which::Fall => "You reported a fall.".to_owned(),
        Which::PainDuring => pain(found, "Your pain rose while you exercised"),
        Which::PainAfter => pain(found, "Your pain was higher at the end than at the start"),
        Which::PainNextMorning => {
            pain(found, "Your pain was higher the next morning than before the session")
        }
        Which::PainAtStart => {
            "Your pain before the start was above the limit your clinician set.".to_owned()
        }
        Which::NoEasierCondition => {
            "This exercise is too hard at present, and your plan has no easier one.".to_owned()
        }
        Which::Events => {
            format!("You stepped off or held on in {} of the last sessions.", count(found.value))
        }
        Which::TooWide => "You wobble more than this exercise is meant to make you.".to_owned(),
        Which::OffsetBeyond => "The band pulls your weight too far from where it was.".to_owned(),
        Which::ScoredSessions | Which::ScoredTrials => evidence(found),
        Which::AnswersKnown => match found.finding {
            Finding::Met => "All questions were answered.".to_owned(),
            _ => "Some questions about pain or about anything new were not answered.".to_owned(),
        },
        Which::InWindow | Which::ShareOver | Which::FeltEasy | Which::Steady => sway(found),
        Which::NoEvents => match found.finding {
            Finding::Met => "You neither stepped off nor held on.".to_owned(),
            Finding::NotKnown => {
                "It is not known whether you touched anything. Please answer that question each \
                 time."
                    .to_owned()
            }
            _ => format!(
                "You stepped off or held on in {} of the last sessions.",
                count(found.value)
            ),
        },
        Which::OffsetWithin => match found.finding {
            Finding::Met => "Your weight stayed where it was in spite of the band.".to_owned(),
            Finding::NotKnown => {
                "Take the reference with the band on at the start of each session.".to_owned()
            }
            Finding::NotApplicable => String::new(),
            _ => "The band still moves your weight.".to_owned(),
        },
        Which::NextInReach => match found.finding {
            Finding::Met => "The next exercise is likely to be within your reach.".to_owned(),
            Finding::NotApplicable => String::new(),
            _ => "The next exercise is not yet likely to be within your reach.".to_owned(),
        },
        Which::Agreeing => match found.finding {
            Finding::Met => "Sessions on different days agree.".to_owned(),
            _ => "Today met the rule. Another day has to agree.".to_owned(),
        },
    }
}

fn pain(found: &Criterion, what: &str) -> String {
    format!("{what}, by {} points.", count(found.value))
}

fn count(value: Option<f64>) -> String {
    value.map_or_else(|| "some".to_owned(), |value| format!("{value:.0}"))
}

fn evidence(found: &Criterion) -> String {
    let plural = |n: u16| if n == 1 { "" } else { "s" };
    match found.settle {
        Some(Settle::MoreSessions(n)) => {
            format!("{n} more session{} on another day will tell.", plural(n))
        }
        Some(Settle::MoreTrials(n)) => {
            format!("{n} more stand{} without feedback will tell.", plural(n))
        }
        _ => format!("There were enough of them: {}.", count(found.value)),
    }
}

fn sway(found: &Criterion) -> String {
    let text = match (found.which, found.finding, found.settle) {
        (Which::InWindow, Finding::Met, _) => "Your wobble was small enough.",
        (Which::InWindow, ..) => "Your wobble is not yet sure to be small enough.",
        (Which::ShareOver, Finding::Met, _) => "You rarely wobbled too much.",
        (Which::ShareOver, ..) => "Now and then you wobbled too much.",
        (Which::FeltEasy, Finding::Met, _) => "It felt easy enough.",
        (Which::FeltEasy, Finding::NotKnown, _) => "Please say how hard it felt each time.",
        (Which::FeltEasy, _, Some(Settle::LookForBracing)) => {
            "You wobble little, and it feels hard. Your clinician will want to see how you stand."
        }
        (Which::FeltEasy, _, Some(Settle::SimilarPain)) => {
            "You wobble little, but your pain has changed. Another session will tell."
        }
        (Which::FeltEasy, ..) => "It does not feel easy yet.",
        (_, Finding::Met, _) => "You were as steady as before.",
        (_, Finding::NotJudged, _) => {
            "Your pain differed between the sessions, so they cannot be compared."
        }
        (_, Finding::NotKnown, _) => "There are too few sessions to compare.",
        _ => "You were less steady than before.",
    };
    text.to_owned()
}

pub(crate) fn note(note: Note) -> Option<&'static str> {
    match note {
        Note::FirstSessionIsLearning => {
            Some("The first session of an exercise is for learning; it does not count.")
        }
        Note::FirstTimeSupervised => {
            Some("Do a new exercise for the first time with your clinician.")
        }
        Note::LittleWobbleFeltHard | Note::WiderButNotWorse | Note::PainDiffers => None,
    }
}
