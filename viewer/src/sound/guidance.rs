//! When advice is given in a guided stand, and how soon again.
//!
//! A state machine of time and of what it is told; it measures nothing. All times are our own
//! choice: advice comes after the state has lasted, not at the first sample over an edge, and is
//! over only after the person has been out of it for a while, so that a wobble that hovers at the
//! edge of its window is not answered at every crossing.

use std::time::Duration;

/// Where the wobble lies against its window, as acquisition sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WobbleZone {
    /// Not known, as in the first seconds of a stand.
    #[default]
    Unknown,
    /// Too little.
    Under,
    /// In the window.
    Inside,
    /// Too much.
    Over,
}

/// Where the mean position lies against the neutral reference, as acquisition sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Position {
    /// Not known: no reference.
    #[default]
    Unknown,
    /// Within tolerance.
    Held,
    /// Beyond tolerance.
    Lost,
}

/// What a guided stand is guided by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Guidance {
    /// The wobble against its window.
    pub wobble: WobbleZone,
    /// The position against the neutral reference.
    pub position: Position,
}

/// Advice, the most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Advice {
    TooMuch,
    PositionLost,
    TooLittle,
}

/// Any two pieces of advice are at least so far apart: time to hear the first, and to answer it.
const APART: Duration = Duration::from_millis(2_500);

/// No advice for so long after another cue.
const HUSHED: Duration = Duration::from_millis(1_500);

struct Manners {
    /// How long the state must last before it is spoken of.
    patience: Duration,
    /// How soon the same advice may come again.
    again_after: Duration,
    /// How long the person must be out of the state before it is over.
    forgotten_after: Duration,
}

impl Advice {
    const BY_URGENCY: [Self; 3] = [Self::TooMuch, Self::PositionLost, Self::TooLittle];

    const fn manners(self) -> Manners {
        let (patience, again_after, forgotten_after) = match self {
            // Soon: the next thing may be a step.
            Self::TooMuch => (400, 4_000, 1_000),
            Self::PositionLost => (1_000, 5_000, 1_500),
            // Nothing is urgent about standing too still.
            Self::TooLittle => (3_000, 8_000, 2_000),
        };
        Manners {
            patience: Duration::from_millis(patience),
            again_after: Duration::from_millis(again_after),
            forgotten_after: Duration::from_millis(forgotten_after),
        }
    }

    fn applies(self, guidance: Guidance) -> bool {
        match self {
            Self::TooMuch => guidance.wobble == WobbleZone::Over,
            Self::PositionLost => guidance.position == Position::Lost,
            Self::TooLittle => guidance.wobble == WobbleZone::Under,
        }
    }
}

/// One state the person may be in, and what was said of it.
#[derive(Debug, Clone, Copy, Default)]
struct Watch {
    since: Option<Duration>,
    left_at: Option<Duration>,
    said_at: Option<Duration>,
    /// Whether it has lasted as long as patience asks for, and is not over since.
    lasts: bool,
}

impl Watch {
    /// Whether the advice is due.
    fn is_due(&mut self, now: Duration, applies: bool, manners: &Manners) -> bool {
        if !applies {
            let left_at = *self.left_at.get_or_insert(now);
            if manners.forgotten_after <= now.saturating_sub(left_at) {
                self.since = None;
                self.lasts = false;
            }
            return false;
        }
        self.left_at = None;
        let since = *self.since.get_or_insert(now);
        let rested =
            self.said_at.is_none_or(|said| manners.again_after <= now.saturating_sub(said));
        self.lasts |= manners.patience <= now.saturating_sub(since);
        rested && self.lasts
    }
}

/// Decides on advice.
#[derive(Debug, Clone, Default)]
pub(super) struct Advisor {
    watches: [Watch; 3],
    quiet_until: Duration,
}

impl Advisor {
    /// Another cue sounds at `now`.
    pub(super) fn hush(&mut self, now: Duration) {
        self.quiet_until = self.quiet_until.max(now + HUSHED);
    }

    /// The advice to give at `now`, if any; `free` says whether there is room for it. What is not
    /// said for want of room is not owed later: it is said if it still applies then.
    pub(super) fn advise(
        &mut self,
        now: Duration,
        guidance: Guidance,
        free: bool,
    ) -> Option<Advice> {
        let mut due = None;
        for (watch, advice) in self.watches.iter_mut().zip(Advice::BY_URGENCY) {
            let is_due = watch.is_due(now, advice.applies(guidance), &advice.manners());
            if is_due && free && self.quiet_until <= now && due.is_none() {
                watch.said_at = Some(now);
                due = Some(advice);
            }
        }
        if due.is_some() {
            self.quiet_until = now + APART;
        }
        due
    }

    /// The most urgent advice about a state that has lasted and is not over, whether it was given or
    /// not.
    pub(super) fn lasting(&self) -> Option<Advice> {
        let watches = self.watches.iter().zip(Advice::BY_URGENCY);
        watches.into_iter().find_map(|(watch, advice)| watch.lasts.then_some(advice))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const STEP_MS: u64 = 10;

    /// Advice with its time in milliseconds over a stand in which `guidance` tells the state.
    fn heard(lasts_ms: u64, guidance: impl Fn(u64) -> Guidance) -> Vec<(u64, Advice)> {
        let mut advisor = Advisor::default();
        (0..lasts_ms)
            .step_by(10)
            .filter_map(|at| {
                let advice = advisor.advise(Duration::from_millis(at), guidance(at), true)?;
                Some((at, advice))
            })
            .collect()
    }

    fn wobble(zone: WobbleZone) -> Guidance {
        Guidance { wobble: zone, position: Position::Held }
    }

    #[test]
    fn a_lasting_state_is_spoken_of_again_and_again() {
        assert_eq!(
            heard(10_000, |_| wobble(WobbleZone::Over)),
            [400, 4_400, 8_400].map(|at| (at, Advice::TooMuch))
        );
        assert_eq!(
            heard(12_000, |_| wobble(WobbleZone::Under)),
            [3_000, 11_000].map(|at| (at, Advice::TooLittle))
        );
        let lost = Guidance { wobble: WobbleZone::Inside, position: Position::Lost };
        assert_eq!(heard(7_000, |_| lost), [1_000, 6_000].map(|at| (at, Advice::PositionLost)));
    }

    #[test]
    fn what_is_not_known_is_not_spoken_of() {
        assert_eq!(heard(60_000, |_| Guidance::default()), []);
    }

    #[test]
    fn a_moment_over_the_edge_is_not_answered() {
        let guidance =
            |at| wobble(if at % 2_000 < 300 { WobbleZone::Over } else { WobbleZone::Inside });
        assert_eq!(heard(60_000, guidance), []);
    }

    /// Twice a second across the edge: it is one lasting state, answered at the rhythm of one.
    #[test]
    fn hovering_at_the_edge_is_one_state() {
        let guidance =
            |at| wobble(if at % 500 < 250 { WobbleZone::Over } else { WobbleZone::Inside });
        let cues = heard(20_000, guidance);
        assert_eq!(cues.first(), Some(&(500, Advice::TooMuch)));
        assert_eq!(cues.len(), 5, "{cues:?}");
    }

    #[test]
    fn the_most_urgent_comes_first_and_the_other_waits_its_turn() {
        let both = Guidance { wobble: WobbleZone::Over, position: Position::Lost };
        assert_eq!(
            heard(6_000, |_| both),
            [
                (400, Advice::TooMuch),
                (2_900, Advice::PositionLost),
                // Due at 4.4 s; the position was spoken of 1.5 s before.
                (5_400, Advice::TooMuch),
            ]
        );
    }

    #[test]
    fn a_state_that_was_left_must_last_again() {
        let guidance = |at| {
            wobble(if (1_000..6_000).contains(&at) { WobbleZone::Inside } else { WobbleZone::Over })
        };
        assert_eq!(heard(7_000, guidance), [(400, Advice::TooMuch), (6_400, Advice::TooMuch)]);
    }

    fn any_guidance() -> impl Strategy<Value = Guidance> {
        let zone = prop_oneof![
            Just(WobbleZone::Unknown),
            Just(WobbleZone::Under),
            Just(WobbleZone::Inside),
            Just(WobbleZone::Over)
        ];
        let position =
            prop_oneof![Just(Position::Unknown), Just(Position::Held), Just(Position::Lost)];
        (zone, position).prop_map(|(wobble, position)| Guidance { wobble, position })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        /// Whatever happens, advice is true when given, never crowded and never nagging.
        #[test]
        fn advice_is_true_and_apart(
            states in prop::collection::vec((any_guidance(), 1_u64..400), 1..60)
        ) {
            let mut advisor = Advisor::default();
            let mut at = 0;
            let mut last: Option<u64> = None;
            let mut last_of = [None::<u64>; 3];
            for (guidance, n_steps) in states {
                for _ in 0..n_steps {
                    if let Some(advice) = advisor.advise(Duration::from_millis(at), guidance, true) {
                        prop_assert!(advice.applies(guidance));
                        prop_assert!(last.is_none_or(|last| last + 2_500 <= at));
                        let (kind, again) = match advice {
                            Advice::TooMuch => (0, 4_000),
                            Advice::PositionLost => (1, 5_000),
                            Advice::TooLittle => (2, 8_000),
                        };
                        prop_assert!(last_of[kind].is_none_or(|last: u64| last + again <= at));
                        last_of[kind] = Some(at);
                        last = Some(at);
                    }
                    at += STEP_MS;
                }
            }
        }
    }
}
