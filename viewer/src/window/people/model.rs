//! What the list of people shows, and in which order.

use acquisition::WallTime;
use acquisition::records::{PersonCourse, PersonRecord, Plan};
use analysis::Condition;
use analysis::readiness::{Moment, Verdict, next_step};

use crate::strings::Language;

/// A person in the list.
#[derive(Debug, Clone, PartialEq)]
pub struct PersonRow {
    /// Code of the person.
    pub code: String,
    /// Their name, if one is recorded.
    pub name: Option<String>,
    /// How they stand; `None` until their records are read.
    pub standing: Option<Standing>,
}

/// What a person's records say at a glance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// The advice; `None` without a plan.
    pub verdict: Option<Verdict>,
    /// The condition it is about.
    pub condition: Option<Condition>,
    /// Sessions since the last decision or plan.
    pub n_new: usize,
    /// Date of the last session.
    pub last_session: Option<String>,
}

/// Why a person stands where they do in the list; the most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Attention {
    /// Stop and review.
    Stop,
    /// Step back.
    StepBack,
    /// Ready to advance, or the plan is complete.
    Ready,
    /// Sessions that nobody has looked at.
    NewSessions,
    /// Nothing that waits.
    Nothing,
}

impl Standing {
    /// How a person stands at a moment.
    pub fn of(known: &PersonCourse, plan: Option<&Plan>, now: Moment) -> Self {
        let decided_us = known.course.decisions.iter().map(|decision| decision.at_us).max();
        let reviewed_us = decided_us.max(plan.map(|plan| plan.made.unix_us));
        let sessions = &known.course.sessions;
        // A plan that does not hold the decided condition has no advice; the course says why.
        let step = plan.and_then(|plan| next_step(&known.course, &plan.step_plan(), now).ok());
        Self {
            verdict: step.as_ref().map(|step| step.verdict),
            condition: step.map(|step| step.condition),
            n_new: sessions.iter().filter(|session| reviewed_us < Some(session.ended_us)).count(),
            last_session: sessions
                .iter()
                .map(|session| session.day)
                .max()
                .map(WallTime::date_of_day),
        }
    }

    /// An advice by itself.
    pub(crate) fn of_verdict(verdict: Verdict) -> Self {
        Self { verdict: Some(verdict), condition: None, n_new: 0, last_session: None }
    }

    /// What of it waits for the clinician.
    pub fn attention(&self) -> Attention {
        match self.verdict {
            Some(Verdict::StopAndReview) => Attention::Stop,
            Some(Verdict::StepBack) => Attention::StepBack,
            Some(Verdict::Advance | Verdict::PlanComplete) => Attention::Ready,
            Some(Verdict::Stay | Verdict::NotEnoughData) | None if 0 < self.n_new => {
                Attention::NewSessions
            }
            Some(Verdict::Stay | Verdict::NotEnoughData) | None => Attention::Nothing,
        }
    }
}

impl PersonRow {
    /// A person whose records are not read yet.
    pub fn new(person: PersonRecord) -> Self {
        Self { code: person.code.to_string(), name: person.name, standing: None }
    }

    /// What waits for the clinician, as far as it is known.
    pub fn attention(&self) -> Attention {
        self.standing.as_ref().map_or(Attention::Nothing, Standing::attention)
    }

    /// The advice in words.
    pub fn advice(&self, words: &Language) -> &'static str {
        match &self.standing {
            None => words.people.not_read,
            Some(standing) => standing.verdict.map_or(words.people.no_plan, words.people.verdict),
        }
    }

    /// New sessions, condition and last session in one line.
    pub fn detail(&self, words: &Language) -> String {
        let Some(standing) = &self.standing else { return String::new() };
        let mut parts = Vec::new();
        if 0 < standing.n_new {
            parts.push((words.people.n_new)(standing.n_new));
        }
        parts.extend(standing.condition.as_ref().map(words.condition));
        parts.push(match &standing.last_session {
            Some(date) => (words.people.last_session)(date),
            None => words.people.no_session.to_owned(),
        });
        parts.join(" · ")
    }

    /// Whether the row contains every word of `find`, in small letters.
    pub fn contains(&self, words: &Language, find: &str) -> bool {
        let name = self.name.as_deref().unwrap_or_default();
        let text = format!("{} {name} {} {}", self.code, self.advice(words), self.detail(words));
        let text = text.to_lowercase();
        find.split_whitespace().all(|word| text.contains(word))
    }
}

/// Positions of the rows that contain `find`, the most urgent first, then in order of codes.
pub(super) fn in_order(words: &Language, rows: &[PersonRow], find: &str) -> Vec<usize> {
    let find = find.to_lowercase();
    let mut found: Vec<usize> =
        (0..rows.len()).filter(|&at| find.is_empty() || rows[at].contains(words, &find)).collect();
    found.sort_by_key(|&index| rows[index].attention());
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strings::ENGLISH;

    fn row(code: &str, verdict: Verdict, n_new: usize) -> PersonRow {
        let standing =
            Standing { verdict: Some(verdict), condition: None, n_new, last_session: None };
        PersonRow { code: code.to_owned(), name: None, standing: Some(standing) }
    }

    #[test]
    fn stops_come_first_then_steps_back_then_ready_then_new_sessions() {
        let rows = [
            row("P-1", Verdict::Stay, 0),
            row("P-2", Verdict::Stay, 2),
            row("P-3", Verdict::Advance, 0),
            row("P-4", Verdict::StepBack, 1),
            row("P-5", Verdict::StopAndReview, 1),
        ];
        assert_eq!(in_order(&ENGLISH, &rows, ""), [4, 3, 2, 1, 0]);
        assert_eq!(in_order(&ENGLISH, &rows, "new READY"), [0_usize; 0]);
        assert_eq!(in_order(&ENGLISH, &rows, "READY"), [2]);
    }
}
