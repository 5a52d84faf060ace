//! What the records say against a stand, before it begins and while it lasts.

use std::time::{Duration, Instant};

use acquisition::records::{Forbidden, Records, SessionRecord, Whereabouts};
use acquisition::{RecordError, Refusal, WallTime};
use analysis::{Condition, PersonCode};

use super::arguments::RecordArguments;
use super::problem::Problem;
use crate::strings::ENGLISH;

/// How often the records are looked at during a stand.
const LOOK_EVERY: Duration = Duration::from_secs(1);

/// Who is to stand, on what, where, and with whom.
pub(crate) struct StandRules {
    person: PersonCode,
    condition: Condition,
    at: Whereabouts,
}

impl StandRules {
    /// Those for the stand asked for, in the session it belongs to.
    pub(crate) fn of(arguments: &RecordArguments, occasion: Option<&SessionRecord>) -> Self {
        Self {
            person: arguments.stand.person.clone(),
            condition: arguments.stand.condition,
            at: Whereabouts {
                place: occasion.map(|session| session.place),
                accompanied: arguments.accompanied,
            },
        }
    }

    /// Refuses a stand that the records forbid.
    pub(crate) fn check(&self, records: &Records) -> Result<(), Problem> {
        match self.broken(records)? {
            Some(forbidden) => Err(refused(forbidden)),
            None => Ok(()),
        }
    }

    fn broken(&self, records: &Records) -> Result<Option<Forbidden>, Problem> {
        Ok(records.forbids(&self.person, self.condition, self.at, WallTime::now())?)
    }
}

/// The refusal that a person reads.
pub(crate) fn refused(forbidden: Forbidden) -> Problem {
    RecordError::Refused(Refusal::Forbidden { reason: (ENGLISH.forbidden)(forbidden) }).into()
}

/// Looks, while a stand lasts, whether the records have come to forbid it: somebody at another
/// window, or the clinic's program, may have recorded a warning sign.
pub(crate) struct RuleWatch<'a> {
    rules: &'a StandRules,
    records: &'a Records,
    changes: Option<i64>,
    looked: Instant,
    broken: Option<Forbidden>,
}

impl<'a> RuleWatch<'a> {
    /// Begins with the records as they are, which do not forbid it.
    pub(crate) fn begin(rules: &'a StandRules, records: &'a Records) -> Self {
        let changes = records.changes_elsewhere().ok();
        Self { rules, records, changes, looked: Instant::now(), broken: None }
    }

    /// Why the stand is to end, as far as is known.
    pub(crate) fn broken(&mut self) -> Option<Forbidden> {
        if LOOK_EVERY <= self.looked.elapsed() {
            self.looked = Instant::now();
            // Records that cannot be read at this moment forbid nothing; a second later they are
            // asked again, because the number of changes was not taken over.
            if let Ok(changes) = self.records.changes_elsewhere()
                && self.changes != Some(changes)
                && let Ok(broken) = self.rules.broken(self.records)
            {
                self.changes = Some(changes);
                self.broken = self.broken.or(broken);
            }
        }
        self.broken
    }
}
