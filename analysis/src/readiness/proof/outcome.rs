//! What the rule says along one simulated course.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng as _;
use rand_distr::{Distribution as _, Uniform};

use super::super::course::{Course, Moment};
use super::super::criterion::Which;
use super::super::next_step::{Judgement, Verdict, decide};
use super::super::situation::Situation;
use super::super::thresholds::Thresholds;
use super::person::{VirtualPerson, simulated_plan};

/// Scored sessions at the first look that can find enough evidence.
pub const FIRST_LOOK: usize = 3;

/// Scored sessions at the last of eight looks.
pub const LAST_LOOK: usize = 10;

/// What was said after one scored session.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// The level is in or under the window with the probability asked for (first half of 4a).
    pub in_window: bool,
    /// And few windows are over it: the whole of 4a.
    pub rule_a: bool,
    /// The level is over the window with the probability that asks for a step back.
    pub too_wide: bool,
    /// The verdict of the full rule.
    pub verdict: Verdict,
}

/// All looks of one course.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CourseOutcome {
    /// The look after the n-th scored session stands at index n - 1.
    pub looks: Vec<Look>,
    /// One look of those that can find enough evidence, drawn by the course's seed: decisions of
    /// one course depend on each other, so a rate per decision counts one a course.
    pub drawn: usize,
}

/// Asks for the next step after every scored session of the course that `seed` makes.
///
/// `person.n_sessions` should be at least [`LAST_LOOK`] + 1, for the learning session.
///
/// # Panics
/// If the simulated plan does not hold the simulated condition, which it does.
pub fn run_course(person: &VirtualPerson, thresholds: Thresholds, seed: u64) -> CourseOutcome {
    let (plan, sent) = simulated_plan(thresholds);
    let whole = person.course(seed);
    let mut so_far = Course { sessions: Vec::new(), decisions: vec![sent] };
    let mut looks = Vec::new();
    for session in whole.sessions {
        let now = Moment { day: session.day, at_us: session.ended_us + 1 };
        // The next morning is still to come when the session ends.
        let next_morning = session.answers.next_morning;
        so_far.sessions.push(session);
        let latest = so_far.sessions.len() - 1;
        so_far.sessions[latest].answers.next_morning = None;
        if 0 < latest {
            let place = plan.place(&so_far, now.at_us).expect("the condition is in the plan");
            looks.push(look(&decide(&Situation::today(&so_far, &plan, place, now))));
        }
        so_far.sessions[latest].answers.next_morning = next_morning;
    }
    // A stream of its own: the course must not depend on which look is drawn.
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    chance.set_stream(1);
    let last = looks.len().clamp(FIRST_LOOK, LAST_LOOK);
    let draw = Uniform::new_inclusive(FIRST_LOOK, last).expect("the range is not empty");
    let drawn = draw.sample(&mut chance) - 1;
    CourseOutcome { looks, drawn }
}

fn look(step: &Judgement) -> Look {
    let holds =
        |which: Which| step.criteria.iter().any(|found| found.which == which && found.holds());
    let enough = holds(Which::ScoredSessions) && holds(Which::ScoredTrials);
    let in_window = enough && holds(Which::InWindow);
    Look {
        in_window,
        rule_a: in_window && holds(Which::ShareOver),
        too_wide: holds(Which::TooWide),
        verdict: step.verdict,
    }
}
