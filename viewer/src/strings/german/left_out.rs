//! Why trials and sessions are no evidence, in German.

use acquisition::records::WhyOutside;
use analysis::readiness::WhyLeftOut;

/// Why a trial or session of the condition was not scored.
pub(super) const fn left_out(why: WhyLeftOut) -> &'static str {
    match why {
        WhyLeftOut::SameIdTwice => "dieselbe Sitzung oder derselbe Versuch ein zweites Mal",
        WhyLeftOut::BeforeWindow => "älter als der Zeitraum, der zählt",
        WhyLeftOut::BeforeDecision => "älter als die Entscheidung, die die Bedingung änderte",
        WhyLeftOut::AfterToday => "mit einem Datum nach dem Tag der Frage",
        WhyLeftOut::Learning => "die erste Sitzung unter dieser Bedingung, die dem Lernen dient",
        WhyLeftOut::Guided => "geführt: Rückmeldung verändert die Schwankung",
        WhyLeftOut::Practice => "Eingewöhnung",
        WhyLeftOut::SteppedOff => "abgestiegen",
        WhyLeftOut::UnplannedSupport => "nicht geplantes Festhalten oder Abstützen",
        WhyLeftOut::NoMeasures => "die Aufzeichnung war nicht auswertbar",
        WhyLeftOut::NotANumber => "ein Messwert liegt außerhalb seines Bereichs",
        WhyLeftOut::FewWindows => "zu kurz für genügend Wackel-Abschnitte",
        WhyLeftOut::OtherSetup => {
            "andere Länge, anderes Board, andere Unterlage, Höhe oder Blickrichtung"
        }
    }
}

/// Why a trial can be no evidence at all.
pub(super) const fn outside(why: WhyOutside) -> &'static str {
    match why {
        WhyOutside::NoSession => {
            "in keiner Sitzung, also ohne Fragen nach Schmerzen und nach Neuem"
        }
        WhyOutside::Length => "die Haltezeit war weder 35 s noch 60 s",
        WhyOutside::Reference => "ein Bezug dafür, wo das Gewicht liegt, keine Übung im Halten",
    }
}
