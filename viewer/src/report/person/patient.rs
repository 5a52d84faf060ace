//! The plain page, from the records.

use std::collections::BTreeSet;

use acquisition::records::PlannedCondition;
use acquisition::results::PROGRAM;
use analysis::Condition;
use analysis::readiness::{Audience, Thresholds, Verdict};

use super::PersonMaterial;
use super::courses::wobble;
use crate::report::{PatientPage, PracticeLine};
use crate::strings::Language;

/// Whom to call.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Calls {
    /// The clinic, with its number; empty if not given.
    pub contact: String,
    /// The local emergency number; empty if not given.
    pub emergency_number: String,
}

impl PersonMaterial {
    /// Everything the plain page says.
    pub fn patient(&self, words: &Language, with_name: bool, calls: Calls) -> PatientPage {
        let view = self.course_view(words);
        let here = view.conditions.get(view.here);
        let drawn = here.filter(|course| course.days.iter().any(|day| day.wobble_mm.is_some()));
        let name = self.person.name.clone().filter(|_| with_name);
        let rise = self.plan.as_ref().map_or_else(Thresholds::default, |plan| plan.thresholds);
        PatientPage {
            person: name.unwrap_or_else(|| self.person.code.to_string()),
            made: self.made(),
            period: self.period(words),
            practice: self.practice(words),
            messages: drawn.map(|_| words.report.about_picture.to_owned()).into_iter().collect(),
            course: drawn.map(|course| wobble(words, &view, course)),
            next: self.next(words),
            stop_when: (words.report.stop_when)(&(words.decimals)(rise.pain_rise, 0)),
            contact: calls.contact,
            emergency_number: calls.emergency_number,
            software: PROGRAM.to_owned(),
        }
    }

    /// The clinician's decision, then what the program suggests; a reason to stop comes before all.
    fn next(&self, words: &Language) -> Vec<String> {
        let decided = self.decisions.last().map(|made| {
            let condition = (words.condition)(&made.condition);
            (words.report.you_go_on_with)(&condition, &made.made.date())
        });
        let Some(Ok(step)) = &self.step else { return decided.into_iter().collect() };
        let said = (words.next_step)(step, Audience::Patient);
        let lines = said.lines.into_iter().map(|line| line.text).filter(|line| !line.is_empty());
        let advice = std::iter::once(said.headline).chain(lines);
        if step.verdict == Verdict::StopAndReview {
            advice.collect()
        } else {
            decided.into_iter().chain(advice).collect()
        }
    }

    /// The plan's conditions that were done, and others that were, each with the days.
    fn practice(&self, words: &Language) -> Vec<PracticeLine> {
        let planned = self.plan.as_ref().map_or(&[][..], |plan| &plan.conditions);
        let sessions = &self.known.course.sessions;
        let mut conditions: Vec<Condition> = planned.iter().map(|step| step.condition).collect();
        for done in sessions.iter().flat_map(|session| &session.exercises) {
            if !conditions.contains(&done.condition) {
                conditions.push(done.condition);
            }
        }
        let line = |condition: Condition| {
            let days: BTreeSet<i32> = sessions
                .iter()
                .filter(|session| session.exercises.iter().any(|done| done.condition == condition))
                .map(|session| session.day)
                .collect();
            let step = planned.iter().find(|step| step.condition == condition);
            (!days.is_empty()).then(|| PracticeLine {
                what: (words.condition)(&condition),
                done: (words.report.on_days)(days.len()),
                planned: self.planned(words, step),
            })
        };
        conditions.into_iter().filter_map(line).collect()
    }

    fn planned(&self, words: &Language, step: Option<&PlannedCondition>) -> String {
        let (Some(plan), Some(step)) = (&self.plan, step) else {
            return words.report.no_value.to_owned();
        };
        let hold_s = (words.decimals)(step.dose.hold_s, 0);
        (words.report.planned_dose)(plan.sessions_per_day, step.dose.holds, &hold_s)
    }
}
