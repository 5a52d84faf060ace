//! Where the weight stood in the session's reference, for whoever watches a stand live.

use analysis::{Condition, MeanPosition, Setup};

use super::course::rejected;
use super::database::{Records, RecordsError};
use super::session::SessionRecord;

impl Records {
    /// Where the body centre stood in the reference of `session` at `condition`, on the board.
    ///
    /// `None` without one, if its record is rejected, or if it was stood in another setup: on another
    /// board or pad, or the other way round, the feet have moved since.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn reference_position(
        &self,
        session: &SessionRecord,
        condition: Condition,
        setup: &Setup,
    ) -> Result<Option<MeanPosition>, RecordsError> {
        let asked = session.exercises.iter().find(|asked| asked.condition == condition);
        let Some(reference) = asked.and_then(|asked| asked.reference.as_ref()) else {
            return Ok(None);
        };
        let trials = self.history(&session.person, &[])?.trials;
        let is_meant = |facts: &crate::stored_trial::TrialFacts| {
            facts.id == reference.trial
                && facts.session.as_ref() == Some(&session.id)
                && facts.condition == condition
                && facts.setup == *setup
        };
        let stood = trials.into_iter().find(|trial| is_meant(&trial.facts));
        Ok(stood.filter(|stood| !rejected(stood)).and_then(|stood| stood.measurement.position))
    }
}
