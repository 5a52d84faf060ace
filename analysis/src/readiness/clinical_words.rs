//! Words for the chart: numbers, limits, and where the limits come from.

use super::criterion::{Criterion, Finding, Settle, Threshold, Which};
use super::next_condition::RatioSource;
use super::next_step::{NextStep, Note, Verdict};
use super::prose::{About, Line};
use super::thresholds::Origin;

pub(crate) fn headline(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Advance => "Next step: advance. The clinician decides.",
        Verdict::Stay => "Next step: stay at this condition. The clinician decides.",
        Verdict::StepBack => "Next step: step back to the easier condition. The clinician decides.",
        Verdict::StopAndReview => {
            "Next step: stop and review. Exercise stays locked until a review newer than the report."
        }
        Verdict::NotEnoughData => "Next step: not enough data.",
        Verdict::PlanComplete => "Next step: plan complete, review. The clinician decides.",
    }
}

/// What was found, the limit, and what would settle it.
pub(crate) fn reason(found: &Criterion) -> String {
    let mut text = statement(found);
    if let Some(settle) = found.settle {
        text.push(' ');
        text.push_str(&settling(settle));
    }
    text
}

fn statement(found: &Criterion) -> String {
    let name = name(found.which);
    let outcome = match found.finding {
        Finding::Met => "yes",
        Finding::NotMet => "no",
        Finding::NotKnown => "not known",
        Finding::NotJudged => "not judged",
        Finding::NotApplicable => "not applicable",
    };
    let value = match (found.value, found.threshold) {
        (Some(value), Some(limit)) => format!(
            "; {}, limit {}{}",
            quantity(found.which, value),
            quantity(found.which, limit.value),
            origin(limit)
        ),
        (Some(value), None) => format!("; {}", quantity(found.which, value)),
        (None, _) => String::new(),
    };
    let probability = match (found.probability, found.needed_probability) {
        (Some(probability), Some(needed)) => format!(
            "; probability {}, needed {}{}",
            percent(probability),
            percent(needed.value),
            origin(needed)
        ),
        _ => String::new(),
    };
    format!("{name} {outcome}{value}{probability}.")
}

fn name(which: Which) -> &'static str {
    match which {
        Which::WarningSign => "Warning sign reported:",
        Which::LegPainFurtherDown => "Leg pain further down:",
        Which::NumbnessOrWeakness => "New numbness or weakness:",
        Which::Fall => "Fall reported:",
        Which::PainDuring => "Rise in pain during exercise:",
        Which::PainAfter => "Rise in pain at the end:",
        Which::PainNextMorning => "Rise in pain by the next morning:",
        Which::PainAtStart => "Pain at the start over the ceiling:",
        Which::NoEasierCondition => "Step back called for, and the plan has no easier condition:",
        Which::Events => "Step-off or unplanned support in recent sessions:",
        Which::TooWide => "Wobble over the window:",
        Which::OffsetBeyond => "Offset toward the band's pull beyond tolerance:",
        Which::ScoredSessions => "Enough scored sessions on different days:",
        Which::ScoredTrials => "Enough scored trials:",
        Which::InWindow => "Wobble in the window or under it:",
        Which::ShareOver => "Median share over the window small:",
        Which::FeltEasy => "Felt easy in the last sessions:",
        Which::Steady => "No worsening beyond what days differ by (ratio, last to first of three):",
        Which::NoEvents => "No step-off or unplanned support in the last sessions:",
        Which::OffsetWithin => "Offset toward the band's pull within tolerance:",
        Which::NextInReach => "Next condition in reach:",
        Which::AnswersKnown => "Pain and warning answers of the last sessions known:",
        Which::Agreeing => "Verdicts of different days in a row agree:",
    }
}

fn quantity(which: Which, value: f64) -> String {
    match which {
        Which::TooWide | Which::InWindow | Which::NextInReach => format!("{value:.1} mm"),
        Which::OffsetBeyond | Which::OffsetWithin => format!("{value:+.1} mm"),
        Which::ShareOver => percent(value),
        Which::Steady => format!("x{value:.2}"),
        Which::PainDuring | Which::PainAfter | Which::PainNextMorning => format!("{value:+.0}"),
        _ => format!("{value:.0}"),
    }
}

/// A probability or share; the ends are never rounded to certainty.
fn percent(share: f64) -> String {
    if 0.999 < share && share < 1.0 {
        "over 99.9 %".to_owned()
    } else if 0.0 < share && share < 0.001 {
        "under 0.1 %".to_owned()
    } else {
        format!("{:.1} %", 100.0 * share)
    }
}

fn origin(limit: Threshold) -> String {
    match limit.origin {
        Origin::Published(source) => format!(" ({source})"),
        Origin::CommonPractice => " (common practice, no published source)".to_owned(),
        Origin::OwnChoice => " (this program's default, not from a published trial)".to_owned(),
        Origin::Plan => " (set in the plan)".to_owned(),
    }
}

fn settling(settle: Settle) -> String {
    let text = match settle {
        Settle::Review => "A clinician's review newer than the report releases it.",
        Settle::MoreSessions(n) | Settle::AgreeAgain(n) => {
            return format!("So many more on other days would settle it: {n}.");
        }
        Settle::MoreTrials(n) => return format!("So many more would settle it: {n}."),
        Settle::LessWobble => "Less wobble, or more days if the estimate is wide, would settle it.",
        Settle::FewerOver => "Trials with fewer windows over the range would settle it.",
        Settle::EasierRatings => {
            "Easier ratings in each of the last three sessions would settle it."
        }
        Settle::LookForBracing => "Little wobble, felt hard: look for bracing.",
        Settle::RateDifficulty => "A rating after every exercise would settle it.",
        Settle::SteadySession => "Another session without worsening would settle it.",
        Settle::SimilarPain => "A session with pain like that of the one compared would settle it.",
        Settle::SessionsWithoutEvent => "Three sessions without an event would settle it.",
        Settle::AnswerTouched => "Ask \"did you touch anything?\" in every session.",
        Settle::TakeReference => {
            "Take a reference, band included, at the start of each session; without one the offset \
             is not available."
        }
        Settle::CloserToReference => "Weight closer to the reference would settle it.",
        Settle::TryNextInClinic => "Trying the next condition in the clinic would settle it.",
        Settle::AnswerQuestions => "Answers to the pain and warning questions would settle it.",
        Settle::EasierCondition => "Add an easier condition to the plan, or review.",
    };
    text.to_owned()
}

/// What stands beside the reasons: notes, the estimate, the next condition, the evidence.
pub(crate) fn beside(step: &NextStep) -> Vec<Line> {
    let note = |&note: &Note| Line { about: About::Note(note), text: note_text(note).to_owned() };
    let mut lines: Vec<Line> = step.notes.iter().map(note).collect();
    if let Some(wobble) = step.wobble {
        let text = format!(
            "Wobble at this condition: {:.1} mm, 95 % interval {:.1} to {:.1} mm.",
            wobble.median_mm, wobble.lower_mm, wobble.upper_mm
        );
        lines.push(Line { about: About::Wobble, text });
    }
    if let Some(next) = step.next_wobble {
        let source = match next.source {
            RatioSource::OwnTrials { n_days, n_trials } => {
                format!("from the person's own trials there ({n_trials}, on days: {n_days})")
            }
            RatioSource::OpenRecordings => "from open recordings of 17 people without back pain, \
                                            their spread doubled"
                .to_owned(),
        };
        let text = format!(
            "Wobble expected at the next condition: {:.1} mm, 95 % interval {:.1} to {:.1} mm, \
             {source}.",
            next.median_mm, next.lower_mm, next.upper_mm
        );
        lines.push(Line { about: About::NextWobble, text });
    }
    let text =
        format!("Scored trials: {}; on days: {}.", step.used.trials.len(), step.used.days.len());
    lines.push(Line { about: About::Evidence, text });
    lines
}

fn note_text(note: Note) -> &'static str {
    match note {
        Note::LittleWobbleFeltHard => "Little wobble, felt hard: look for bracing.",
        Note::WiderButNotWorse => {
            "Wobble got wider, and neither velocity, events nor felt difficulty agree: not called \
             worse."
        }
        Note::PainDiffers => {
            "Pain differs by the amount that matters between the sessions compared: sway is not \
             read as balance."
        }
        Note::FirstSessionIsLearning => {
            "The first session at this condition is learning: not scored."
        }
        Note::FirstTimeSupervised => "First time at a new condition: supervised.",
    }
}
