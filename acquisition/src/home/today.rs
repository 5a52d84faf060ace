//! What is stood today: at which condition, in which order, how long.

use super::ask::{Part, Stand};
use super::offer::{Circumstances, offered};
use super::search::{FIND_STAND_S, Search, candidates, go_on};
use super::session::{HomeSession, StandDone};
use crate::records::{GuidedBy, PlannedCondition};
use crate::stored_trial::Ending;

/// Length of a measured stand at home, the only one the rule compares, and of a practice stand.
const HOME_STAND_S: f64 = 35.0;

/// Measured stands of a session: three sessions then hold the six scored trials the rule needs.
const N_MEASURED: usize = 2;

/// How long to stand still before a stand that is measured or for practice, in seconds.
const SETTLE_S: f64 = 12.0;

/// So long the words before a stand take, standing still included: a plan that asks for less gets
/// this, or they would be cut off (our own choice).
const WORDS_S: f64 = 6.0;

/// Length of the stand that shows where the weight is, in seconds; the start of each session has one.
pub(super) const REFERENCE_STAND_S: f64 = 15.0;

impl HomeSession {
    /// What the person can count on. Who is guided by sight is never asked about sound.
    pub(super) fn circumstances(&self) -> Circumstances {
        let plan = self.known.plan.as_ref();
        let by_sight = plan.is_some_and(|plan| plan.guided_by == GuidedBy::Sight);
        let asked = self.run.circumstances;
        Circumstances { sound: if by_sight { Some(false) } else { asked.sound }, ..asked }
    }

    fn offered(&self) -> Vec<&PlannedCondition> {
        let known = &self.known;
        let (Some(plan), Some(place)) = (&known.plan, known.place) else { return Vec::new() };
        offered(plan, place, self.circumstances())
    }

    /// The condition that is stood today: where the search has come to, or the hardest that may be.
    pub(super) fn here(&self) -> Option<&PlannedCondition> {
        let offered = self.offered();
        let found = match self.run.search {
            Search::Looking(condition) | Search::Stood(condition, _) | Search::Ended(condition) => {
                offered.iter().find(|planned| planned.condition == condition)
            }
            Search::Unasked | Search::Declined => None,
        };
        found.or(offered.last()).copied()
    }

    pub(super) fn can_search(&self) -> bool {
        let permitted = self.known.plan.as_ref().is_some_and(|plan| plan.finds_stance_at_home);
        permitted && !candidates(&self.offered()).is_empty()
    }

    pub(super) fn next_stand(&self) -> Option<Stand> {
        let planned = self.here()?;
        let condition = planned.condition;
        let heard = self.circumstances().sound == Some(true);
        let settle_s = self.known.plan.as_ref().and_then(|plan| plan.settle_s);
        let settle_s = settle_s.unwrap_or(SETTLE_S).max(WORDS_S);
        if let Search::Looking(_) = self.run.search {
            let done = |stand: &&StandDone| stand.part == Part::Find && is_done(stand.ended);
            let number = self.stands.iter().filter(done).count() + 1;
            let of = candidates(&self.offered()).len().max(number);
            let (part, hold_s, settle_s) = (Part::Find, FIND_STAND_S, WORDS_S);
            return Some(Stand { condition, part, number, of, settle_s, hold_s, heard });
        }
        let is_first_day = !self.known.stood_before.contains(&condition);
        let n_practice = if is_first_day { 2 } else { 1 };
        let dose = planned.dose;
        let parts = [
            (Part::Reference, 1, settle_s, REFERENCE_STAND_S),
            (Part::Practice, n_practice, settle_s, HOME_STAND_S),
            (Part::Measured, N_MEASURED, settle_s, HOME_STAND_S),
            (Part::Guided, dose.holds.into(), WORDS_S, dose.hold_s),
        ];
        parts.into_iter().find_map(|(part, of, settle_s, hold_s)| {
            // A reference and practice hold for their own condition alone, and a reference not if it
            // was cut off.
            let done = |stand: &&StandDone| {
                let is_here = stand.condition == condition;
                let counts = match part {
                    Part::Reference => is_here && stand.ended != Ending::Recovered,
                    Part::Practice => is_here,
                    Part::Find | Part::Measured | Part::Guided => true,
                };
                stand.part == part && counts && is_done(stand.ended)
            };
            let number = self.stands.iter().filter(done).count() + 1;
            (number <= of).then_some(Stand { condition, part, number, of, settle_s, hold_s, heard })
        })
    }

    pub(super) fn begin_search(&mut self, wanted: bool) -> bool {
        let first = candidates(&self.offered()).first().copied().filter(|_| wanted);
        self.run.search = first.map_or(Search::Declined, Search::Looking);
        false
    }

    pub(super) fn go_on_searching(&mut self) -> bool {
        if let Search::Stood(condition, wobble_mm) = self.run.search {
            let candidates = candidates(&self.offered());
            self.run.search = go_on(condition, wobble_mm, &candidates, &self.limits());
        }
        false
    }
}

/// A stand the board lost is stood again; one that was interrupted or stopped is kept as it is.
pub(super) fn is_done(ended: Ending) -> bool {
    ended != Ending::BoardLost
}
