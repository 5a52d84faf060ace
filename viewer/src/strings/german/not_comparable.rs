//! Why two sets are not compared, in German.

use analysis::NotComparable;

use super::condition::{condition, kind};
use super::not_available::not_available;
use super::number::decimals;
use super::quoted;

/// Why two sets, or one measure of them, are not compared.
pub(super) fn not_comparable(reason: &NotComparable) -> String {
    match reason {
        NotComparable::NoTrials => {
            "Nicht verglichen: Eine Gruppe hat keinen auswertbaren Versuch".into()
        }
        NotComparable::UnknownMeasure { key } => format!("{} ist keine Messgröße", quoted(key)),
        NotComparable::NotAMagnitude { .. } => "eine Änderung ist nicht definiert".into(),
        NotComparable::NotMeasured { kind: found } => format!(
            "Nicht verglichen: Ein Versuch der Art „{}“ ist dabei, und Rückmeldung oder Eingewöhnung \
             verändert die Schwankung",
            kind(*found)
        ),
        NotComparable::DifferentPeople => {
            "Nicht verglichen: Die Gruppen sind von zwei Personen".into()
        }
        NotComparable::MixedConditions { one, other } => format!(
            "Nicht verglichen: Eine Gruppe mischt zwei Bedingungen ({}; {})",
            condition(one),
            condition(other)
        ),
        NotComparable::WrongConditions { quotient, before, after } => format!(
            "Kein Quotient ({}) aus diesen Bedingungen ({}; {})",
            quotient_name(quotient),
            condition(before),
            condition(after)
        ),
        NotComparable::DifferentBoards { one, other } => {
            format!("Nicht verglichen: Zwei Boards wurden benutzt ({one}; {other})")
        }
        NotComparable::DifferentPlanes => {
            "Nicht verglichen: Eine Gruppe gilt für die Platte, die andere für die Sohle".into()
        }
        NotComparable::DifferentHeights { one_mm, other_mm } => format!(
            "Nicht verglichen: Die Sohlen standen {} mm und {} mm über den Messzellen",
            decimals(*one_mm, 0),
            decimals(*other_mm, 0)
        ),
        NotComparable::UnknownHeight => {
            "Nicht verglichen: Die Höhe der Sohle über den Messzellen ist nicht für jeden Versuch \
             bekannt"
                .into()
        }
        NotComparable::DifferentProcessing { .. } => {
            "Nicht verglichen: Die Gruppen wurden auf zwei Arten verarbeitet".into()
        }
        NotComparable::DifferentBodyHeights => {
            "Nicht verglichen: Für die Person sind zwei Körpergrößen angegeben".into()
        }
        NotComparable::DifferentLengths { one_s, other_s } => format!(
            "Nicht verglichen: Die Versuche dauern {} s und {} s",
            decimals(*one_s, 1),
            decimals(*other_s, 1)
        ),
        NotComparable::NoValue { source, .. } => format!("kein Wert: {}", not_available(source)),
        NotComparable::NotPositive { .. } => "ein Wert ist 0, davon gibt es kein Verhältnis".into(),
    }
}

/// What is divided by what; the quotient's own name where there are no German words.
fn quotient_name(quotient: &str) -> &str {
    match quotient {
        "vision" => "Augen zu / auf",
        "surface" => "Schaumstoff / fest",
        other => other,
    }
}
