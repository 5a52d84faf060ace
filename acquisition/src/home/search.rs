//! Finding today's stance at home: short stands from easy to hard, until the wobble lies in its window.
//!
//! Only among what the plan releases at home, and never beyond where the person is in it: what is new
//! is first tried in the clinic.

use analysis::readiness::Thresholds;
use analysis::{Condition, Stance};

use super::answer::StandShown;
use super::ask::Part;
use super::session::StandDone;
use crate::records::PlannedCondition;
use crate::stored_trial::Ending;

/// Length of a stand that finds the stance, in seconds (our own choice).
pub(super) const FIND_STAND_S: f64 = 15.0;

/// Where a search is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) enum Search {
    /// Nobody was asked about one.
    #[default]
    Unasked,
    /// This is stood next.
    Looking(Condition),
    /// This was stood; whether it goes on is asked first.
    Stood(Condition, Option<f64>),
    /// The session is stood here.
    Ended(Condition),
    /// The session is stood where the plan says.
    Declined,
}

/// Those of the conditions `offered` among which a stance can be found; one alone leaves nothing to
/// find.
pub(super) fn candidates(offered: &[&PlannedCondition]) -> Vec<Condition> {
    let conditions = offered.iter().map(|planned| planned.condition);
    let found: Vec<Condition> =
        conditions.filter(|condition| Stance::BOTH_FEET.contains(&condition.stance)).collect();
    if found.len() < 2 { Vec::new() } else { found }
}

/// Where the search of a session is that goes on after these stands; as [`after_stand`].
pub(super) fn search_of(stands: &[StandDone]) -> Option<Search> {
    match stands.last() {
        Some(last) if last.part == Part::Find => after_stand(last),
        Some(last) if stands.iter().any(|stand| stand.part == Part::Find) => {
            Some(Search::Ended(last.condition))
        }
        _ => Some(Search::Unasked),
    }
}

/// After a stand that finds the stance: `None` if the stands are over for today, because it was not
/// held to its end without help. One that the board lost is stood again.
pub(super) fn after_stand(stand: &StandDone) -> Option<Search> {
    let StandShown { wobble_mm, is_doubtful, .. } = stand.shown;
    match stand.ended {
        Ending::BoardLost => Some(Search::Looking(stand.condition)),
        Ending::HoldReached if !is_doubtful => Some(Search::Stood(stand.condition, wobble_mm)),
        _ => None,
    }
}

/// Goes on after a stand without hold and without pain: harder only while the wobble is too little;
/// back by one if it is too much, or not known.
pub(super) fn go_on(
    condition: Condition,
    wobble_mm: Option<f64>,
    candidates: &[Condition],
    limits: &Thresholds,
) -> Search {
    let here = candidates.iter().position(|known| *known == condition);
    let harder = here.and_then(|here| candidates.get(here + 1));
    let easier = here.and_then(|here| candidates.get(here.saturating_sub(1)));
    match wobble_mm {
        Some(wobble_mm) if wobble_mm < limits.wobble_lower_mm => {
            harder.map_or(Search::Ended(condition), |harder| Search::Looking(*harder))
        }
        Some(wobble_mm) if wobble_mm <= limits.wobble_upper_mm => Search::Ended(condition),
        Some(_) | None => Search::Ended(easier.copied().unwrap_or(condition)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Condition {
        text.parse().unwrap()
    }

    #[test]
    fn it_goes_on_only_while_the_wobble_is_too_little_and_never_beyond_what_is_offered() {
        let names = ["foam/wide/open", "foam/hip-width/open", "foam/together/open"];
        let all = names.map(at);
        // The window's ends belong to it: 6.35 to 25.4 mm, a quarter of an inch to an inch.
        for (here, wobble_mm, wanted) in [
            (0, Some(6.3), Search::Looking(all[1])),
            (1, Some(6.35), Search::Ended(all[1])),
            (1, Some(25.4), Search::Ended(all[1])),
            (1, Some(25.5), Search::Ended(all[0])),
            (0, Some(25.5), Search::Ended(all[0])),
            (2, Some(6.3), Search::Ended(all[2])),
            (2, None, Search::Ended(all[1])),
        ] {
            let found = go_on(all[here], wobble_mm, &all, &Thresholds::default());
            assert_eq!(found, wanted, "{here} {wobble_mm:?}");
        }
    }

    #[test]
    fn a_step_off_a_support_or_a_stop_ends_it() {
        let here = at("foam/wide/open");
        let done = |ended, is_doubtful| StandDone {
            condition: here,
            part: Part::Find,
            ended,
            shown: StandShown { wobble_mm: Some(4.0), is_doubtful, ..StandShown::default() },
        };
        let held = after_stand(&done(Ending::HoldReached, false));
        assert_eq!(held, Some(Search::Stood(here, Some(4.0))));
        let lost = after_stand(&done(Ending::BoardLost, false));
        assert_eq!(lost, Some(Search::Looking(here)));
        for (ended, is_doubtful) in
            [(Ending::HoldReached, true), (Ending::StepOff, false), (Ending::Stopped, false)]
        {
            assert_eq!(after_stand(&done(ended, is_doubtful)), None, "{ended:?}");
        }
    }
}
