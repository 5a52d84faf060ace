//! Rules 3 and 4: enough evidence, and everything that an advance needs.

use super::balance_offset;
use super::course::Rating;
use super::criterion::{Criterion, Finding, Settle, Threshold, Which, met, reaches, threshold};
use super::day::{Day, DayAnswer};
use super::next_condition::Expectation;
use super::situation::Situation;
use super::steady;
use crate::condition::Band;

/// The criteria of rule 3 that hold for every verdict on sway.
pub(crate) fn evidence_criteria(situation: &Situation<'_>) -> Vec<Criterion> {
    let limits = situation.limits;
    let n_sessions = situation.n_scored_sessions();
    let n_trials = situation.evidence.n_trials();
    let days: Vec<i32> = situation.evidence.scored().map(|day| day.day).collect();
    let of = |which, n: usize, needed: u16, limit: Threshold, settle: fn(u16) -> Settle| {
        let missing = usize::from(needed).saturating_sub(n);
        let missing = u16::try_from(missing).unwrap_or(u16::MAX);
        Criterion::new(which, met(missing == 0))
            .with_value(Some(n as f64), limit)
            .on_days(days.iter().copied())
            .settled_by(settle(missing))
    };
    vec![
        of(
            Which::ScoredSessions,
            n_sessions,
            limits.min_scored_sessions,
            threshold!(limits, min_scored_sessions),
            Settle::MoreSessions,
        ),
        of(
            Which::ScoredTrials,
            n_trials,
            limits.min_scored_trials,
            threshold!(limits, min_scored_trials),
            Settle::MoreTrials,
        ),
    ]
}

/// The criteria of rule 4, 4a to 4e in order, then the answers that an advance needs.
pub(crate) fn criteria(situation: &Situation<'_>, next: Option<&Expectation>) -> Vec<Criterion> {
    vec![
        in_window(situation),
        share_over(situation),
        felt_easy(situation),
        steady::criterion(situation),
        no_events(situation),
        offset_within(situation),
        next_in_reach(situation, next),
        answers_known(situation),
    ]
}

fn in_window(situation: &Situation<'_>) -> Criterion {
    let limits = situation.limits;
    let needed = threshold!(limits, inside_probability);
    let level = situation.level;
    let inside = level.map(|level| level.at_most_upper);
    let finding = inside.map_or(Finding::NotKnown, |inside| met(reaches(inside, needed.value)));
    Criterion::new(Which::InWindow, finding)
        .with_value(level.map(|level| level.median_mm), threshold!(limits, wobble_upper_mm))
        .with_probability(inside, needed)
        .on_days(situation.evidence.scored().map(|day| day.day))
        .settled_by(Settle::LessWobble)
}

fn share_over(situation: &Situation<'_>) -> Criterion {
    let limit = threshold!(situation.limits, share_over);
    let trials = situation.evidence.scored().flat_map(|day| &day.trials);
    let share = median(trials.map(|(_, sway)| sway.share_over).collect());
    let finding = share.map_or(Finding::NotKnown, |share| met(share <= limit.value));
    Criterion::new(Which::ShareOver, finding)
        .with_value(share, limit)
        .on_days(situation.evidence.scored().map(|day| day.day))
        .settled_by(Settle::FewerOver)
}

/// Middle value; of an even number, the mean of the two in the middle.
fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let upper = *values.get(values.len() / 2)?;
    let lower = values[(values.len() - 1) / 2];
    Some(f64::midpoint(lower, upper))
}

/// Hardest rating of these days; `None` if one is missing or there is no day.
fn hardest(days: &[Day]) -> Option<Rating> {
    let ratings: Option<Vec<Rating>> = days
        .iter()
        .map(|day| match day.difficulty {
            DayAnswer::Known(rating) => Some(rating),
            DayAnswer::Missing => None,
        })
        .collect();
    ratings?.into_iter().max()
}

/// Probability that the wobble lies under the window, if that reaches the plan's limit.
pub(crate) fn little_wobble(situation: &Situation<'_>) -> Option<f64> {
    let under = situation.level?.at_most_lower;
    reaches(under, situation.limits.inside_probability).then_some(under)
}

fn felt_easy(situation: &Situation<'_>) -> Criterion {
    let limits = situation.limits;
    let recent = situation.recent();
    let easy = threshold!(limits, easy_difficulty);
    let days = || recent.iter().map(|day| day.day);
    let Some(hardest) = hardest(recent) else {
        return Criterion::new(Which::FeltEasy, Finding::NotKnown)
            .with_value(None, easy)
            .on_days(days())
            .settled_by(Settle::RateDifficulty);
    };
    let points = f64::from(hardest.points());
    let found = |limit: Threshold, holds, settle| {
        Criterion::new(Which::FeltEasy, met(holds))
            .with_value(Some(points), limit)
            .on_days(days())
            .settled_by(settle)
    };
    match little_wobble(situation) {
        Some(under) if easy.value < points => {
            let limit = threshold!(limits, little_wobble_difficulty);
            let felt_hard = limit.value < points;
            let settle = if felt_hard { Settle::LookForBracing } else { Settle::SimilarPain };
            found(limit, !felt_hard && pain_is_not_up(situation), settle)
                .with_probability(Some(under), threshold!(limits, inside_probability))
        }
        _ => found(easy, points <= easy.value, Settle::EasierRatings),
    }
}

/// Known not to have risen by the amount that matters, within a session or over the last ones.
fn pain_is_not_up(situation: &Situation<'_>) -> bool {
    let recent = situation.recent();
    let rose_within = recent.iter().any(|day| day.pain_rose);
    let (Some(first), Some(last)) = (recent.first(), recent.last()) else { return false };
    let rise = steady::pain_change(first, last);
    !rose_within && rise.is_some_and(|rise| rise < situation.limits.pain_rise)
}

fn no_events(situation: &Situation<'_>) -> Criterion {
    let recent = situation.recent();
    let with_event: Vec<i32> = recent
        .iter()
        .filter(|day| day.event == DayAnswer::Known(true))
        .map(|day| day.day)
        .collect();
    let all_known = recent.iter().all(|day| day.event != DayAnswer::Missing);
    let (finding, settle) = match (with_event.is_empty(), all_known && !recent.is_empty()) {
        (false, _) => (Finding::NotMet, Settle::SessionsWithoutEvent),
        (true, true) => (Finding::Met, Settle::SessionsWithoutEvent),
        (true, false) => (Finding::NotKnown, Settle::AnswerTouched),
    };
    let n_events = with_event.len() as f64;
    let mut criterion = Criterion::new(Which::NoEvents, finding).settled_by(settle);
    criterion.value = (finding != Finding::NotKnown).then_some(n_events);
    let days =
        if with_event.is_empty() { recent.iter().map(|day| day.day).collect() } else { with_event };
    criterion.on_days(days)
}

fn offset_within(situation: &Situation<'_>) -> Criterion {
    if situation.place.current.band == Band::None {
        return Criterion::new(Which::OffsetWithin, Finding::NotApplicable);
    }
    let limits = situation.limits;
    let needed = threshold!(limits, offset_probability);
    let mut tolerance = threshold!(limits, offset_tolerance_mm);
    match balance_offset::judge(situation.evidence.scored(), limits.offset_tolerance_mm) {
        None => Criterion::new(Which::OffsetWithin, Finding::NotKnown)
            .with_value(None, tolerance)
            .with_probability(None, needed)
            .settled_by(Settle::TakeReference),
        Some(judged) => {
            let within = 1.0 - judged.beyond;
            tolerance.value = judged.tolerance_mm;
            Criterion::new(Which::OffsetWithin, met(reaches(within, needed.value)))
                .with_value(Some(judged.mean_mm), tolerance)
                .with_probability(Some(within), needed)
                .on_days(judged.days)
                .settled_by(Settle::CloserToReference)
        }
    }
}

fn next_in_reach(situation: &Situation<'_>, next: Option<&Expectation>) -> Criterion {
    let limits = situation.limits;
    let needed = threshold!(limits, next_in_reach_probability);
    let Some(next) = next else {
        let unknown = Criterion::new(Which::NextInReach, Finding::NotApplicable);
        let harder = situation.place.harder;
        return if harder.is_some() {
            unknown.settled_by(Settle::TryNextInClinic)
        } else {
            unknown
        };
    };
    Criterion::new(Which::NextInReach, met(reaches(next.in_reach_probability, needed.value)))
        .with_value(Some(next.median_mm()), threshold!(limits, wobble_upper_mm))
        .with_probability(Some(next.in_reach_probability), needed)
        .settled_by(Settle::TryNextInClinic)
}

/// The next morning of the latest session is asked at the next start, so it is not missing yet.
fn answers_known(situation: &Situation<'_>) -> Criterion {
    let recent = situation.recent();
    let missing: Vec<i32> = recent
        .iter()
        .enumerate()
        .filter(|(index, day)| {
            let is_latest = index + 1 == recent.len();
            !(day.answered && (is_latest || day.next_morning_known))
        })
        .map(|(_, day)| day.day)
        .collect();
    let known = missing.is_empty() && !recent.is_empty();
    let finding = if known { Finding::Met } else { Finding::NotKnown };
    let days = if known { recent.iter().map(|day| day.day).collect() } else { missing };
    Criterion::new(Which::AnswersKnown, finding).on_days(days).settled_by(Settle::AnswerQuestions)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_of_an_even_number_lies_between_the_two_in_the_middle() {
        for (values, middle) in [
            (vec![], None),
            (vec![0.3], Some(0.3)),
            (vec![0.4, 0.1], Some(0.25)),
            (vec![0.9, 0.1, 0.2], Some(0.2)),
        ] {
            assert_eq!(median(values.clone()), middle, "{values:?}");
        }
    }
}
