//! Why two sets are not compared, in English.

use analysis::NotComparable;

use super::condition::{condition, kind};
use crate::strings::number::decimals;

/// Why two sets, or one measure of them, are not compared.
pub(crate) fn not_comparable(reason: &NotComparable) -> String {
    match reason {
        NotComparable::NoTrials => "Not compared: a set has no trial that can be measured".into(),
        NotComparable::UnknownMeasure { key } => format!("{key:?} is no measure"),
        NotComparable::NotAMagnitude { .. } => "no change is defined".into(),
        NotComparable::NotMeasured { kind: found } => format!(
            "Not compared: a {} trial is among them, and guidance or practice changes the sway",
            kind(*found)
        ),
        NotComparable::DifferentPeople => "Not compared: the sets are of two people".into(),
        NotComparable::MixedConditions { one, other } => format!(
            "Not compared: one set mixes two conditions ({}; {})",
            condition(one),
            condition(other)
        ),
        NotComparable::WrongConditions { quotient, before, after } => format!(
            "No {quotient} quotient of these conditions ({}; {})",
            condition(before),
            condition(after)
        ),
        NotComparable::DifferentBoards { one, other } => {
            format!("Not compared: two boards were used ({one}; {other})")
        }
        NotComparable::DifferentPlanes => {
            "Not compared: one set was found at the plate, the other at the sole".into()
        }
        NotComparable::DifferentHeights { one_mm, other_mm } => format!(
            "Not compared: the soles stood {} mm and {} mm above the cells",
            decimals(*one_mm, 0),
            decimals(*other_mm, 0)
        ),
        NotComparable::UnknownHeight => {
            "Not compared: the height of the sole above the cells is not known for every trial"
                .into()
        }
        NotComparable::DifferentProcessing { .. } => {
            "Not compared: the sets were processed in two ways".into()
        }
        NotComparable::DifferentBodyHeights => {
            "Not compared: two body heights are given for the person".into()
        }
        NotComparable::DifferentLengths { one_s, other_s } => format!(
            "Not compared: the trials last {} s and {} s",
            decimals(*one_s, 1),
            decimals(*other_s, 1)
        ),
        NotComparable::NoValue { source, .. } => format!("no value: {source}"),
        NotComparable::NotPositive { .. } => "a value is 0, of which there is no ratio".into(),
    }
}
