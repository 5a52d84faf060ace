//! Rule 2: step back; without an easier condition, stop and review.

use super::balance_offset;
use super::criterion::{Criterion, Finding, Settle, Which, met, reaches, threshold};
use super::day::DayAnswer;
use super::situation::Situation;
use super::stop;
use crate::condition::Band;

/// The criteria of rule 2.
pub(crate) fn criteria(situation: &Situation<'_>) -> Vec<Criterion> {
    vec![events(situation), too_wide(situation), offset_beyond(situation)]
}

/// Whether rule 2 calls for an easier condition.
pub(crate) fn called_for(criteria: &[Criterion]) -> bool {
    criteria.iter().any(Criterion::holds)
}

/// A call for a step back that the plan has no condition for: it stops the course from the day it
/// was made until a review. `None` while the plan has an easier condition.
pub(crate) fn no_easier_condition(
    situation: &Situation<'_>,
    called_today: bool,
) -> Option<Criterion> {
    if situation.place.easier.is_some() {
        return None;
    }
    let since_us = situation.place.since_us;
    let mut days: Vec<i32> = Vec::new();
    for session in &situation.course.sessions {
        let here = session.exercises.iter().any(|done| done.condition == situation.place.current);
        let in_time = since_us.is_none_or(|since_us| since_us < session.ended_us)
            && session.ended_us <= situation.until.at_us
            && session.day <= situation.until.day;
        let open = !stop::reviewed_since(situation, session.ended_us);
        if here && in_time && open && !days.contains(&session.day) {
            days.push(session.day);
        }
    }
    days.sort_unstable();
    days.retain(|&day| called_for(&criteria(&situation.as_of(day))));
    if called_today && days.last() != Some(&situation.until.day) {
        days.push(situation.until.day);
    }
    let finding = met(!days.is_empty());
    let mut criterion = Criterion::new(Which::NoEasierCondition, finding).on_days(days);
    criterion.settle = (finding == Finding::Met).then_some(Settle::EasierCondition);
    Some(criterion)
}

fn events(situation: &Situation<'_>) -> Criterion {
    let limit = threshold!(situation.limits, event_sessions);
    let recent = situation.recent();
    let with_event: Vec<i32> = recent
        .iter()
        .filter(|day| day.event == DayAnswer::Known(true))
        .map(|day| day.day)
        .collect();
    let n = with_event.len();
    let both_of_two = recent.len() == 2 && n == 2;
    let holds = usize::from(situation.limits.event_sessions) <= n || both_of_two;
    Criterion::new(Which::Events, met(holds)).with_value(Some(n as f64), limit).on_days(with_event)
}

fn too_wide(situation: &Situation<'_>) -> Criterion {
    let limits = situation.limits;
    let needed = threshold!(limits, step_back_probability);
    let level = situation.level;
    let over = level.filter(|_| situation.has_enough()).map(|level| 1.0 - level.at_most_upper);
    let finding = over.map_or(Finding::NotJudged, |over| met(reaches(over, needed.value)));
    let median = level.map(|level| level.median_mm);
    Criterion::new(Which::TooWide, finding)
        .with_value(median, threshold!(limits, wobble_upper_mm))
        .with_probability(over, needed)
        .on_days(situation.evidence.scored().map(|day| day.day))
}

fn offset_beyond(situation: &Situation<'_>) -> Criterion {
    let limits = situation.limits;
    let needed = threshold!(limits, step_back_probability);
    let mut tolerance = threshold!(limits, offset_tolerance_mm);
    if situation.place.current.band == Band::None {
        return Criterion::new(Which::OffsetBeyond, Finding::NotApplicable);
    }
    let judged = balance_offset::judge(situation.evidence.scored(), limits.offset_tolerance_mm)
        .filter(|_| situation.has_enough());
    let Some(judged) = judged else {
        let unknown = Criterion::new(Which::OffsetBeyond, Finding::NotJudged);
        return unknown.with_value(None, tolerance).with_probability(None, needed);
    };
    tolerance.value = judged.tolerance_mm;
    Criterion::new(Which::OffsetBeyond, met(reaches(judged.beyond, needed.value)))
        .with_value(Some(judged.mean_mm), tolerance)
        .with_probability(Some(judged.beyond), needed)
        .on_days(judged.days)
}
