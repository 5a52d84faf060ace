//! The advice on the next step in plain German, for the person who stands.

use analysis::readiness::{Criterion, Finding, Note, Settle, Verdict, Which};

use super::number::decimals;

pub(super) fn headline(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Advance => {
            "Vorschlag für Ihre Praxis: Die letzten Sitzungen erfüllen die Regel für die nächste, \
             schwerere Übung. Bleiben Sie bei dieser, bis Ihre Praxis Ja sagt."
        }
        Verdict::Stay => "Machen Sie mit dieser Übung weiter.",
        Verdict::StepBack => {
            "Vorschlag für Ihre Praxis: zurück zur leichteren Übung. Fragen Sie, bevor Sie \
             weitermachen."
        }
        Verdict::StopAndReview => {
            "Stopp. Üben Sie nicht auf dem Board, bis Ihre Praxis sich das angesehen hat."
        }
        Verdict::NotEnoughData => {
            "Es ist zu früh, etwas zu sagen. Machen Sie mit dieser Übung weiter."
        }
        Verdict::PlanComplete => {
            "Sie haben die Regel für die letzte Übung Ihres Plans erfüllt. Ihre Praxis entscheidet, \
             was als Nächstes kommt."
        }
    }
}

/// The reason in a sentence; empty for a criterion that asks for nothing here.
pub(super) fn reason(found: &Criterion) -> String {
    let text = match found.which {
        Which::WarningSign => {
            "Sie haben etwas gemeldet, das jetzt ärztlich untersucht werden muss. Warten Sie nicht \
             auf dieses Programm."
        }
        Which::LegPainFurtherDown => {
            "Sie haben gesagt, dass der Beinschmerz weiter nach unten reicht. Melden Sie sich bei \
             Ihrer Praxis."
        }
        Which::NumbnessOrWeakness => {
            "Sie haben neue Taubheit oder Schwäche gemeldet. Melden Sie sich heute bei Ihrer Praxis."
        }
        Which::Fall => "Sie haben einen Sturz gemeldet.",
        Which::PainDuring => return pain(found, "Ihr Schmerz nahm während des Übens zu"),
        Which::PainAfter => return pain(found, "Ihr Schmerz war am Ende höher als zu Beginn"),
        Which::PainNextMorning => {
            return pain(found, "Ihr Schmerz war am nächsten Morgen höher als vor der Sitzung");
        }
        Which::PainAtStart => {
            "Ihr Schmerz lag vor Beginn über der Grenze, die Ihre Praxis gesetzt hat."
        }
        Which::NoEasierCondition => {
            "Diese Übung ist zurzeit zu schwer, und Ihr Plan hat keine leichtere."
        }
        Which::Events => return events(found),
        Which::TooWide => "Sie wackeln mehr, als diese Übung bewirken soll.",
        Which::OffsetBeyond => "Das Band zieht Ihr Gewicht zu weit von seinem Platz weg.",
        Which::ScoredSessions | Which::ScoredTrials => return evidence(found),
        Which::AnswersKnown => match found.finding {
            Finding::Met => "Alle Fragen wurden beantwortet.",
            _ => "Einige Fragen nach Schmerzen oder nach Neuem wurden nicht beantwortet.",
        },
        Which::InWindow | Which::ShareOver | Which::FeltEasy | Which::Steady => sway(found),
        Which::NoEvents => match found.finding {
            Finding::Met => "Sie sind weder abgestiegen, noch haben Sie sich festgehalten.",
            Finding::NotKnown => {
                "Es ist nicht bekannt, ob Sie etwas berührt haben. Bitte beantworten Sie diese Frage \
                 jedes Mal."
            }
            _ => return events(found),
        },
        Which::OffsetWithin => match found.finding {
            Finding::Met => "Ihr Gewicht blieb trotz des Bands an seinem Platz.",
            Finding::NotKnown => {
                "Nehmen Sie zu Beginn jeder Sitzung den Bezug mit angelegtem Band auf."
            }
            Finding::NotApplicable => "",
            _ => "Das Band verschiebt Ihr Gewicht noch.",
        },
        Which::NextInReach => match found.finding {
            Finding::Met => "Die nächste Übung liegt wahrscheinlich in Ihrer Reichweite.",
            Finding::NotApplicable => "",
            _ => "Die nächste Übung liegt wahrscheinlich noch nicht in Ihrer Reichweite.",
        },
        Which::Agreeing => match found.finding {
            Finding::Met => "Sitzungen an verschiedenen Tagen stimmen überein.",
            _ => "Heute war die Regel erfüllt. Ein weiterer Tag muss es zeigen.",
        },
    };
    text.to_owned()
}

fn events(found: &Criterion) -> String {
    format!(
        "Letzte Sitzungen, in denen Sie abgestiegen sind oder sich festgehalten haben: {}.",
        count(found.value)
    )
}

fn pain(found: &Criterion, what: &str) -> String {
    match found.value {
        Some(value) if (value - 1.0).abs() < 0.5 => format!("{what}, um 1 Punkt."),
        value => format!("{what}, um {} Punkte.", count(value)),
    }
}

fn count(value: Option<f64>) -> String {
    value.map_or_else(|| "einige".to_owned(), |value| decimals(value, 0))
}

fn evidence(found: &Criterion) -> String {
    match found.settle {
        Some(Settle::MoreSessions(1)) => {
            "Eine weitere Sitzung an einem anderen Tag wird es zeigen.".to_owned()
        }
        Some(Settle::MoreSessions(n)) => {
            format!("{n} weitere Sitzungen an anderen Tagen werden es zeigen.")
        }
        Some(Settle::MoreTrials(1)) => {
            "Ein weiterer Durchgang ohne Rückmeldung wird es zeigen.".to_owned()
        }
        Some(Settle::MoreTrials(n)) => {
            format!("{n} weitere Durchgänge ohne Rückmeldung werden es zeigen.")
        }
        _ => format!("Es waren genug: {}.", count(found.value)),
    }
}

fn sway(found: &Criterion) -> &'static str {
    match (found.which, found.finding, found.settle) {
        (Which::InWindow, Finding::Met, _) => "Ihr Wackeln war klein genug.",
        (Which::InWindow, ..) => "Es steht noch nicht fest, dass Ihr Wackeln klein genug ist.",
        (Which::ShareOver, Finding::Met, _) => "Sie haben selten zu viel gewackelt.",
        (Which::ShareOver, ..) => "Hin und wieder haben Sie zu viel gewackelt.",
        (Which::FeltEasy, Finding::Met, _) => "Es fühlte sich leicht genug an.",
        (Which::FeltEasy, Finding::NotKnown, _) => {
            "Bitte sagen Sie jedes Mal, wie schwer es sich angefühlt hat."
        }
        (Which::FeltEasy, _, Some(Settle::LookForBracing)) => {
            "Sie wackeln wenig, und es fühlt sich schwer an. Ihre Praxis wird sehen wollen, wie Sie \
             stehen."
        }
        (Which::FeltEasy, _, Some(Settle::SimilarPain)) => {
            "Sie wackeln wenig, aber Ihr Schmerz hat sich verändert. Eine weitere Sitzung wird es \
             zeigen."
        }
        (Which::FeltEasy, ..) => "Es fühlt sich noch nicht leicht an.",
        (_, Finding::Met, _) => "Sie standen so ruhig wie zuvor.",
        (_, Finding::NotJudged, _) => {
            "Ihr Schmerz war in den Sitzungen verschieden, deshalb lassen sie sich nicht vergleichen."
        }
        (_, Finding::NotKnown, _) => "Es gibt zu wenige Sitzungen zum Vergleichen.",
        _ => "Sie standen weniger ruhig als zuvor.",
    }
}

pub(super) fn note(note: Note) -> Option<&'static str> {
    match note {
        Note::FirstSessionIsLearning => {
            Some("Die erste Sitzung mit einer Übung dient dem Lernen; sie zählt nicht.")
        }
        Note::FirstTimeSupervised => Some(
            "Machen Sie eine neue Übung das erste Mal in der Praxis, zusammen mit Ihrer \
                 Fachperson.",
        ),
        Note::LittleWobbleFeltHard | Note::WiderButNotWorse | Note::PainDiffers => None,
    }
}
