//! Every limit of the rule, its default, and where the default comes from.

use thiserror::Error;

use crate::wobble::WOBBLE_WINDOW_MM;

/// Where a threshold comes from; shown wherever the threshold is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// A publication.
    Published(&'static str),
    /// Common practice in the trade; no published source was found.
    CommonPractice,
    /// This project's own choice, published nowhere.
    OwnChoice,
    /// The clinician's plan differs from the default.
    Plan,
}

/// The limits of the rule. Counts are whole numbers; the rest says its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// Length of the window of evidence, days.
    pub window_days: u16,
    /// Fewest scored sessions, each on a day of its own.
    pub min_scored_sessions: u16,
    /// Fewest scored trials in all.
    pub min_scored_trials: u16,
    /// Fewest wobble windows of a trial.
    pub min_wobble_windows: u32,
    /// How many sessions with an event, of the last three, ask for a step back.
    pub event_sessions: u16,
    /// How many verdicts in a row, on different days, make an advance.
    pub agreeing_verdicts: u16,
    /// Lower end of the wobble window, millimetres.
    pub wobble_lower_mm: f64,
    /// Upper end of the wobble window, millimetres.
    pub wobble_upper_mm: f64,
    /// Probability with which the wobble must be in (or under) the window.
    pub inside_probability: f64,
    /// Largest median share of windows over the wobble window, 0 to 1.
    pub share_over: f64,
    /// Hardest rating that still counts as easy.
    pub easy_difficulty: f64,
    /// Hardest rating allowed when the wobble is under the window.
    pub little_wobble_difficulty: f64,
    /// Rise in felt difficulty that supports calling a wider wobble worse, points.
    pub difficulty_rise: f64,
    /// Probability of being too wide, or too far off, that asks for a step back.
    pub step_back_probability: f64,
    /// Tolerated neutral offset toward the band's pull, millimetres, before the reference's own
    /// uncertainty.
    pub offset_tolerance_mm: f64,
    /// Probability with which the offset must be within tolerance.
    pub offset_probability: f64,
    /// Probability that the next condition stays in reach.
    pub next_in_reach_probability: f64,
    /// Rise in pain that matters, points.
    pub pain_rise: f64,
    /// Highest pain with which to start, points.
    pub pain_ceiling: f64,
}

impl Default for Thresholds {
    fn default() -> Self {
        Self {
            window_days: 14,
            min_scored_sessions: 3,
            min_scored_trials: 6,
            min_wobble_windows: 20,
            event_sessions: 2,
            agreeing_verdicts: 2,
            wobble_lower_mm: *WOBBLE_WINDOW_MM.start(),
            wobble_upper_mm: *WOBBLE_WINDOW_MM.end(),
            inside_probability: 0.95,
            share_over: 0.20,
            easy_difficulty: 3.0,
            little_wobble_difficulty: 5.0,
            difficulty_rise: 2.0,
            step_back_probability: 0.80,
            offset_tolerance_mm: 10.0,
            offset_probability: 0.80,
            next_in_reach_probability: 0.50,
            pain_rise: 2.0,
            pain_ceiling: 5.0,
        }
    }
}

/// One row of [`THRESHOLDS`].
#[derive(Debug, Clone, Copy)]
pub struct ThresholdDef {
    /// Key in files and documents.
    pub key: &'static str,
    /// Origin of the default.
    pub origin: Origin,
    /// Smallest and largest value a plan may set.
    pub allowed: (f64, f64),
    /// Reads the value.
    pub value: fn(&Thresholds) -> f64,
}

const PAIN: Origin = Origin::Published("Childs, Piva & Fritz 2005, Spine 30:1331");
const OWN: Origin = Origin::OwnChoice;

macro_rules! row {
    ($field:ident, $origin:expr, $low:expr, $high:expr) => {
        ThresholdDef {
            key: stringify!($field),
            origin: $origin,
            allowed: ($low, $high),
            value: |thresholds| f64::from(thresholds.$field),
        }
    };
}

/// Every threshold with its key, origin and the range a plan may choose from.
pub const THRESHOLDS: &[ThresholdDef] = &[
    row!(window_days, OWN, 3.0, 60.0),
    row!(min_scored_sessions, OWN, 2.0, 30.0),
    row!(min_scored_trials, OWN, 2.0, 100.0),
    row!(min_wobble_windows, OWN, 1.0, 1000.0),
    row!(event_sessions, OWN, 1.0, 3.0),
    row!(agreeing_verdicts, OWN, 1.0, 10.0),
    row!(wobble_lower_mm, Origin::CommonPractice, 0.1, 500.0),
    row!(wobble_upper_mm, Origin::CommonPractice, 0.1, 500.0),
    row!(inside_probability, OWN, 0.5, 0.999),
    row!(share_over, OWN, 0.0, 1.0),
    row!(easy_difficulty, OWN, 0.0, 10.0),
    row!(little_wobble_difficulty, OWN, 0.0, 10.0),
    row!(difficulty_rise, OWN, 1.0, 10.0),
    row!(step_back_probability, OWN, 0.5, 0.999),
    row!(offset_tolerance_mm, OWN, 0.0, 500.0),
    row!(offset_probability, OWN, 0.5, 0.999),
    row!(next_in_reach_probability, OWN, 0.0, 0.999),
    row!(pain_rise, PAIN, 1.0, 10.0),
    row!(pain_ceiling, OWN, 0.0, 10.0),
];

/// A plan's threshold lies outside what the rule can work with.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BadThreshold {
    /// Outside the range of [`THRESHOLDS`], or not a number.
    #[error("threshold {key} must lie between {low} and {high}, not at {found}")]
    Range {
        /// Which threshold.
        key: &'static str,
        /// What was offered.
        found: f64,
        /// Smallest allowed value.
        low: f64,
        /// Largest allowed value.
        high: f64,
    },
    /// The window's ends are not in order.
    #[error("the wobble window must end above its start, not run from {lower_mm} to {upper_mm} mm")]
    Window {
        /// Lower end, millimetres.
        lower_mm: f64,
        /// Upper end, millimetres.
        upper_mm: f64,
    },
}

impl Thresholds {
    /// Checks thresholds that came from outside.
    ///
    /// # Errors
    /// [`BadThreshold`] for the first one the rule cannot work with.
    pub fn check(&self) -> Result<(), BadThreshold> {
        for def in THRESHOLDS {
            let found = (def.value)(self);
            let (low, high) = def.allowed;
            if !(low..=high).contains(&found) {
                return Err(BadThreshold::Range { key: def.key, found, low, high });
            }
        }
        let (lower_mm, upper_mm) = (self.wobble_lower_mm, self.wobble_upper_mm);
        if upper_mm <= lower_mm {
            return Err(BadThreshold::Window { lower_mm, upper_mm });
        }
        Ok(())
    }

    /// Where the threshold of this key comes from, given what the plan says.
    pub(crate) fn origin(&self, key: &str) -> Origin {
        let default = Self::default();
        THRESHOLDS.iter().find(|def| def.key == key).map_or(Origin::Plan, |def| {
            let unchanged = (def.value)(self).to_bits() == (def.value)(&default).to_bits();
            if unchanged { def.origin } else { Origin::Plan }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_defaults_are_allowed() {
        assert_eq!(Thresholds::default().check(), Ok(()));
    }

    #[test]
    fn what_cannot_work_is_named() {
        let wide = Thresholds { inside_probability: f64::NAN, ..Thresholds::default() };
        assert_eq!(
            wide.check().unwrap_err().to_string(),
            "threshold inside_probability must lie between 0.5 and 0.999, not at NaN"
        );
        let turned = Thresholds { wobble_lower_mm: 30.0, ..Thresholds::default() };
        assert_eq!(
            turned.check().unwrap_err().to_string(),
            "the wobble window must end above its start, not run from 30 to 25.4 mm"
        );
    }

    #[test]
    fn a_changed_threshold_belongs_to_the_plan() {
        let plan = Thresholds { easy_difficulty: 5.0, ..Thresholds::default() };
        assert_eq!(plan.origin("easy_difficulty"), Origin::Plan);
        assert_eq!(plan.origin("share_over"), Origin::OwnChoice);
        assert_eq!(plan.origin("wobble_upper_mm"), Origin::CommonPractice);
    }
}
