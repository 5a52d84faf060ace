//! Finding the stance: from easy to hard, until the wobble lies in its window.

use acquisition::Ending;
use acquisition::results::MeasuredFile;
use analysis::{Condition, Stance};

use crate::sound::WobbleZone;
use crate::standing::zone_of;

/// One leg is never tried this way.
const LADDER: [Stance; 5] = Stance::BOTH_FEET;

/// What a short hold says about the next one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum FindStep {
    /// Too little wobble: this one next.
    Next(Condition),
    /// The wobble lies in the window.
    Found(Condition),
    /// Too much wobble.
    TooMuch,
    /// It was not held to its end without help.
    NotHeld,
    /// Too little wobble, and nothing harder.
    NothingHarder,
}

impl FindStep {
    /// Where a search at a condition begins.
    pub(super) const fn first(condition: Condition) -> Condition {
        Condition { stance: LADDER[0], ..condition }
    }

    /// From what was kept of a hold.
    pub(super) fn after(file: &MeasuredFile, ended: Ending, window_mm: [f64; 2]) -> Self {
        let is_helped =
            file.flags().is_some_and(|flags| flags.iter().any(|flag| flag.spoils_a_hold()));
        let wobble = file.found.as_ref().ok().and_then(|found| {
            let wobble = found.measured.measures.wobble;
            wobble.ok().map(|wobble| wobble.median_mm)
        });
        if ended != Ending::HoldReached || is_helped {
            return Self::NotHeld;
        }
        Self::from_wobble(file.facts.condition, wobble, window_mm)
    }

    fn from_wobble(condition: Condition, wobble_mm: Option<f64>, window_mm: [f64; 2]) -> Self {
        match zone_of(wobble_mm, window_mm) {
            WobbleZone::Unknown => Self::NotHeld,
            WobbleZone::Inside => Self::Found(condition),
            WobbleZone::Over => Self::TooMuch,
            WobbleZone::Under => {
                let here = LADDER.iter().position(|&stance| stance == condition.stance);
                let next = here.and_then(|here| LADDER.get(here + 1));
                next.map_or(Self::NothingHarder, |&stance| {
                    Self::Next(Condition { stance, ..condition })
                })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_goes_on_only_while_the_wobble_is_too_little() {
        let at = |name: &str| -> Condition { name.parse().unwrap() };
        let after = |name, wobble| FindStep::from_wobble(at(name), wobble, [6.35, 25.4]);
        assert_eq!(after("foam/wide/open", Some(4.0)), FindStep::Next(at("foam/hip-width/open")));
        assert_eq!(
            after("foam/together/open", Some(6.35)),
            FindStep::Found(at("foam/together/open"))
        );
        assert_eq!(after("foam/wide/open", Some(25.5)), FindStep::TooMuch);
        assert_eq!(after("foam/tandem/open", Some(4.0)), FindStep::NothingHarder);
        assert_eq!(after("foam/one-leg-left/open", Some(4.0)), FindStep::NothingHarder);
        assert_eq!(after("foam/wide/open", None), FindStep::NotHeld);
    }
}
