//! Why two sets are not compared, in German.

use analysis::NotComparable;

use super::condition::{condition, kind};
use super::not_available::not_available;
use super::number::decimals;

/// Why two sets, or one measure of them, are not compared.
pub(super) fn not_comparable(reason: &NotComparable) -> String {
    match reason {
        NotComparable::NoTrials => {
            "Nicht verglichen: eine Gruppe hat keinen auswertbaren Versuch".into()
        }
        NotComparable::UnknownMeasure { key } => format!("{key:?} ist keine Messgröße"),
        NotComparable::NotAMagnitude { .. } => "eine Änderung ist nicht definiert".into(),
        NotComparable::NotMeasured { kind: found } => format!(
            "Nicht verglichen: ein Versuch der Art „{}“ ist dabei, und Rückmeldung oder Eingewöhnung \
             verändert die Schwankung",
            kind(*found)
        ),
        NotComparable::DifferentPeople => {
            "Nicht verglichen: die Gruppen sind von zwei Personen".into()
        }
        NotComparable::MixedConditions { one, other } => format!(
            "Nicht verglichen: eine Gruppe mischt zwei Bedingungen ({}; {})",
            condition(one),
            condition(other)
        ),
        NotComparable::WrongConditions { quotient, before, after } => format!(
            "Kein Quotient ({quotient}) aus diesen Bedingungen ({}; {})",
            condition(before),
            condition(after)
        ),
        NotComparable::DifferentBoards { one, other } => {
            format!("Nicht verglichen: zwei Boards wurden benutzt ({one}; {other})")
        }
        NotComparable::DifferentPlanes => {
            "Nicht verglichen: eine Gruppe gilt für die Platte, die andere für die Sohle".into()
        }
        NotComparable::DifferentHeights { one_mm, other_mm } => format!(
            "Nicht verglichen: die Sohlen standen {} mm und {} mm über den Messzellen",
            decimals(*one_mm, 0),
            decimals(*other_mm, 0)
        ),
        NotComparable::UnknownHeight => {
            "Nicht verglichen: die Höhe der Sohle über den Messzellen ist nicht für jeden Versuch \
             bekannt"
                .into()
        }
        NotComparable::DifferentProcessing { .. } => {
            "Nicht verglichen: die Gruppen wurden auf zwei Arten verarbeitet".into()
        }
        NotComparable::DifferentBodyHeights => {
            "Nicht verglichen: für die Person sind zwei Körpergrößen angegeben".into()
        }
        NotComparable::DifferentLengths { one_s, other_s } => format!(
            "Nicht verglichen: die Versuche dauern {} s und {} s",
            decimals(*one_s, 1),
            decimals(*other_s, 1)
        ),
        NotComparable::NoValue { source, .. } => format!("kein Wert: {}", not_available(source)),
        NotComparable::NotPositive { .. } => "ein Wert ist 0, davon gibt es kein Verhältnis".into(),
    }
}
