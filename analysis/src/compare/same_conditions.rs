//! What must agree before values are set side by side.

use thiserror::Error;

use crate::condition::Condition;
use crate::cop::Plane;
use crate::measures::Measures;
use crate::not_available::NotAvailable;
use crate::settings::Processing;
use crate::trial::{PersonCode, Setup, TrialKind};

/// The measures of a trial with what decides whether they may be compared.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredTrial {
    /// Who stood.
    pub person: PersonCode,
    /// What they stood on and how.
    pub condition: Condition,
    /// What the trial was for.
    pub kind: TrialKind,
    /// Board, pad and direction.
    pub setup: Setup,
    /// What was measured.
    pub measures: Measures,
}

/// Why two sets of trials must not be compared.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NotComparable {
    /// One of the two sets is empty.
    #[error("a comparison needs at least one trial on each side")]
    NoTrials,
    /// There is no measure with that name.
    #[error("{key:?} is not a measure")]
    UnknownMeasure {
        /// The name that was asked for, at most 40 characters of it.
        key: String,
    },
    /// A difference of this measure has no meaning.
    #[error("{key} is not a magnitude, so that a change of it means nothing")]
    NotAMagnitude {
        /// The measure.
        key: &'static str,
    },
    /// Feedback or practice changes the sway.
    #[error("a {kind} trial is never compared, only measured ones are")]
    NotMeasured {
        /// What the trial was for.
        kind: TrialKind,
    },
    /// The trials are of two people.
    #[error("the trials are of two people")]
    DifferentPeople,
    /// The trials of one side are not repeats of one condition.
    #[error("the trials of one side were made at two conditions, {one} and {other}")]
    MixedConditions {
        /// A condition of that side.
        one: Condition,
        /// Another condition of that side.
        other: Condition,
    },
    /// A quotient asks for two conditions that differ in one thing only.
    #[error("a {quotient} quotient cannot be made of {before} and {after}")]
    WrongConditions {
        /// Which quotient.
        quotient: &'static str,
        /// Condition of the divisor.
        before: Condition,
        /// Condition of the dividend.
        after: Condition,
    },
    /// Devices do not agree well enough to be mixed.
    #[error("the trials were made on two boards, {one:?} and {other:?}")]
    DifferentBoards {
        /// One board.
        one: String,
        /// The other.
        other: String,
    },
    /// One value was found at the plate, the other at the sole.
    #[error("the values are of two planes")]
    DifferentPlanes,
    /// The centre of pressure moves more the deeper below the sole it is found.
    #[error(
        "the soles stood {one_mm} mm and {other_mm} mm above the cells; compare at the sole instead"
    )]
    DifferentHeights {
        /// One height in millimetres.
        one_mm: f64,
        /// The other in millimetres.
        other_mm: f64,
    },
    /// The heights cannot be checked.
    #[error("the height of the sole above the cells is not known for every trial")]
    UnknownHeight,
    /// Filtered and unfiltered values differ.
    #[error("one value is {one}, the other {other}")]
    DifferentProcessing {
        /// One processing.
        one: Processing,
        /// The other.
        other: Processing,
    },
    /// The body centre depends on the height of the person.
    #[error("the values were made with two body heights")]
    DifferentBodyHeights,
    /// Path, area and wobble depend on how long a trial lasts.
    #[error("the trials last {one_s:.1} s and {other_s:.1} s")]
    DifferentLengths {
        /// One length in seconds.
        one_s: f64,
        /// The other in seconds.
        other_s: f64,
    },
    /// A trial has no value of the measure.
    #[error("a trial has no value of {key}")]
    NoValue {
        /// The measure.
        key: &'static str,
        /// Why it has none.
        source: NotAvailable,
    },
    /// A ratio needs values above zero.
    #[error("a trial has {key} 0, of which there is no ratio")]
    NotPositive {
        /// The measure.
        key: &'static str,
    },
}

/// Lengths that differ by more than this share are not compared: our own choice.
const LENGTH_TOLERANCE: f64 = 0.05;

/// Heights of the sole that differ by less, in millimetres, count as one. At 50 mm path differs by
/// 3.6 %, so that 2 mm are 0.15 %: our own choice.
const HEIGHT_TOLERANCE_MM: f64 = 2.0;

/// Checks that every trial of a comparison may stand beside every other.
///
/// # Errors
/// [`NotComparable`] with the one reason why they must not; a reason that concerns one measure only
/// is found when that measure is compared.
pub fn check_comparable(
    before: &[&MeasuredTrial],
    after: &[&MeasuredTrial],
) -> Result<(), NotComparable> {
    let (Some(&first_before), Some(&first_after)) = (before.first(), after.first()) else {
        return Err(NotComparable::NoTrials);
    };
    for (side, first) in [(before, first_before), (after, first_after)] {
        if let Some(other) = side.iter().find(|trial| trial.condition != first.condition) {
            return Err(NotComparable::MixedConditions {
                one: first.condition,
                other: other.condition,
            });
        }
    }
    for trial in before.iter().chain(after) {
        check_pair(first_before, trial)?;
    }
    Ok(())
}

fn check_pair(one: &MeasuredTrial, other: &MeasuredTrial) -> Result<(), NotComparable> {
    if other.kind != TrialKind::Measured {
        return Err(NotComparable::NotMeasured { kind: other.kind });
    }
    if one.person != other.person {
        return Err(NotComparable::DifferentPeople);
    }
    if one.setup.board != other.setup.board {
        return Err(NotComparable::DifferentBoards {
            one: one.setup.board.clone(),
            other: other.setup.board.clone(),
        });
    }
    if one.measures.plane != other.measures.plane {
        return Err(NotComparable::DifferentPlanes);
    }
    if one.measures.plane == Plane::Plate {
        check_heights(one, other)?;
    }
    let (one_settings, other_settings) = (one.measures.settings, other.measures.settings);
    if one_settings.processing != other_settings.processing {
        return Err(NotComparable::DifferentProcessing {
            one: one_settings.processing,
            other: other_settings.processing,
        });
    }
    if one_settings.body_height_m != other_settings.body_height_m {
        return Err(NotComparable::DifferentBodyHeights);
    }
    let (one_s, other_s) = (one.measures.duration_s, other.measures.duration_s);
    if LENGTH_TOLERANCE * one_s < (one_s - other_s).abs() {
        return Err(NotComparable::DifferentLengths { one_s, other_s });
    }
    Ok(())
}

fn check_heights(one: &MeasuredTrial, other: &MeasuredTrial) -> Result<(), NotComparable> {
    match (one.setup.sole_height_mm, other.setup.sole_height_mm) {
        (Some(one_mm), Some(other_mm)) if HEIGHT_TOLERANCE_MM < (one_mm - other_mm).abs() => {
            Err(NotComparable::DifferentHeights { one_mm, other_mm })
        }
        (Some(_), Some(_)) => Ok(()),
        // Nobody measured it, but nothing was put under the feet that was not there before.
        (None, None) if one.condition.surface == other.condition.surface => Ok(()),
        _ => Err(NotComparable::UnknownHeight),
    }
}
