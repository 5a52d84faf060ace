//! Why a trial has no value of a measure, in German.

use analysis::NotAvailable;

use super::number::{decimals, significant};

/// The reason as a part of a sentence.
pub(super) fn not_available(reason: &NotAvailable) -> String {
    match *reason {
        NotAvailable::TooFewSamples { n_samples, needed } => {
            let few = match n_samples {
                1 => "1 Wert ist zu wenig".to_owned(),
                n => format!("{n} Werte sind zu wenige"),
            };
            format!("{few}, mindestens {needed} sind nötig")
        }
        NotAvailable::TooShort { duration_s, needed_s } => format!(
            "{} s sind zu kurz, mehr als {} s sind nötig",
            decimals(duration_s, 2),
            decimals(needed_s, 2)
        ),
        NotAvailable::RateTooLow { rate_hz, needed_hz } => format!(
            "{} Werte je Sekunde sind zu wenige, mindestens {} sind nötig",
            significant(rate_hz, 4),
            significant(needed_hz, 4)
        ),
        NotAvailable::RateTooHigh { rate_hz, limit_hz } => format!(
            "{} Werte je Sekunde sind zu viele, höchstens {} sind erlaubt",
            significant(rate_hz, 4),
            significant(limit_hz, 4)
        ),
        NotAvailable::OffTheBoard { distance_mm, limit_mm } => format!(
            "ein Punkt in {} mm Entfernung kann nicht auf einem Board liegen, die Grenze ist {} mm",
            decimals(distance_mm, 0),
            decimals(limit_mm, 0)
        ),
        NotAvailable::BodyHeightOutOfRange { height_m, lowest_m, highest_m } => format!(
            "eine Körpergröße von {} m liegt außerhalb von {} bis {} m",
            significant(height_m, 3),
            significant(lowest_m, 3),
            significant(highest_m, 3)
        ),
        NotAvailable::NoMovement => "der Druckmittelpunkt bewegt sich nicht".to_owned(),
        NotAvailable::NoDirection => "die Schwankung hat keine Hauptrichtung".to_owned(),
        NotAvailable::NoPower { low_hz, high_hz } => format!(
            "zwischen {} und {} Hz gibt es keine Bewegung",
            significant(low_hz, 2),
            significant(high_hz, 2)
        ),
        NotAvailable::NoRepeats => "kein Muster der Schwankung kommt zweimal vor".to_owned(),
        NotAvailable::NoCrossing => {
            "die Geraden der kurzen und der langen Zeiten schneiden sich nicht".to_owned()
        }
        NotAvailable::NoReference => {
            "es gibt keinen neutralen Bezug dieser Sitzung unter dieser Bedingung".to_owned()
        }
        NotAvailable::TimeNotIncreasing { index } => {
            format!("die Zeit des Wertes {index} ist nicht später als die davor")
        }
        NotAvailable::UnevenTimes { deviation_ms } => format!(
            "die Werte stehen in ungleichen Abständen: Einer liegt {} ms neben seinem Platz",
            decimals(deviation_ms, 2)
        ),
        NotAvailable::NoLoad => "kein Wert trägt eine Last".to_owned(),
        NotAvailable::GapTooLong { gap_ms, limit_ms } => format!(
            "{} ms fehlen am Stück, die Grenze ist {} ms",
            decimals(gap_ms, 0),
            decimals(limit_ms, 0)
        ),
        NotAvailable::TooManyLost { lost_percent, limit_percent } => format!(
            "{} % der Werte fehlen, die Grenze ist {} %",
            decimals(lost_percent, 2),
            significant(limit_percent, 2)
        ),
    }
}
