//! The advice on the next step in German: the same structure, in the same order, as the English
//! words of `analysis::readiness`.

use analysis::readiness::{
    About, Audience, Criterion, Finding, Line, NextStep, Note, Origin, RatioSource, Settle,
    Threshold, Verdict, Which, Words,
};

use super::advice_for_patient as patient;
use super::number::decimals;

/// The advice with its reasons, for whom it is meant.
pub(super) fn next_step(step: &NextStep, audience: Audience) -> Words {
    let (headline, reason): (_, fn(&Criterion) -> String) = match audience {
        Audience::Patient => (patient::headline(step.verdict), patient::reason),
        Audience::Clinician => (headline(step.verdict), reason),
    };
    let mut lines: Vec<Line> = step
        .reasons()
        .into_iter()
        .map(|found| Line { about: About::Reason(found.which), text: reason(found) })
        .filter(|line| !line.text.is_empty())
        .collect();
    match audience {
        Audience::Patient => lines.extend(step.notes.iter().filter_map(|&note| {
            let text = patient::note(note)?.to_owned();
            Some(Line { about: About::Note(note), text })
        })),
        Audience::Clinician => lines.extend(beside(step)),
    }
    Words { headline: headline.to_owned(), lines }
}

fn headline(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Advance => {
            "Nächster Schritt: zur nächsten, schwereren Bedingung. Die Fachperson entscheidet."
        }
        Verdict::Stay => {
            "Nächster Schritt: bei dieser Bedingung bleiben. Die Fachperson entscheidet."
        }
        Verdict::StepBack => {
            "Nächster Schritt: zurück zur leichteren Bedingung. Die Fachperson entscheidet."
        }
        Verdict::StopAndReview => {
            "Nächster Schritt: Stopp und Überprüfung. Das Üben bleibt gesperrt, bis eine \
             Überprüfung vorliegt, die neuer ist als die Meldung."
        }
        Verdict::NotEnoughData => "Nächster Schritt: zu wenig Daten.",
        Verdict::PlanComplete => {
            "Nächster Schritt: Plan abgeschlossen, Überprüfung. Die Fachperson entscheidet."
        }
    }
}

/// What was found, the limit, and what would settle it.
fn reason(found: &Criterion) -> String {
    let mut text = statement(found);
    if let Some(settle) = found.settle {
        text.push(' ');
        text.push_str(&settling(settle));
    }
    text
}

fn statement(found: &Criterion) -> String {
    let name = name(found.which);
    let outcome = match found.finding {
        Finding::Met => "ja",
        Finding::NotMet => "nein",
        Finding::NotKnown => "nicht bekannt",
        Finding::NotJudged => "nicht beurteilt",
        Finding::NotApplicable => "trifft hier nicht zu",
    };
    let value = match (found.value, found.threshold) {
        (Some(value), Some(limit)) => format!(
            "; {}, Grenze {}{}",
            quantity(found.which, value),
            quantity(found.which, limit.value),
            origin(limit)
        ),
        (Some(value), None) => format!("; {}", quantity(found.which, value)),
        (None, _) => String::new(),
    };
    let probability = match (found.probability, found.needed_probability) {
        (Some(probability), Some(needed)) => format!(
            "; Wahrscheinlichkeit {}, nötig {}{}",
            percent(probability),
            percent(needed.value),
            origin(needed)
        ),
        _ => String::new(),
    };
    format!("{name} {outcome}{value}{probability}.")
}

fn name(which: Which) -> &'static str {
    match which {
        Which::WarningSign => "Warnzeichen gemeldet:",
        Which::LegPainFurtherDown => "Beinschmerz weiter unten:",
        Which::NumbnessOrWeakness => "Neue Taubheit oder Schwäche:",
        Which::Fall => "Sturz gemeldet:",
        Which::PainDuring => "Mehr Schmerz während des Übens:",
        Which::PainAfter => "Mehr Schmerz am Ende:",
        Which::PainNextMorning => "Mehr Schmerz am nächsten Morgen:",
        Which::PainAtStart => "Schmerz zu Beginn über der Obergrenze:",
        Which::NoEasierCondition => "Zurückstufen angezeigt, und der Plan hat nichts Leichteres:",
        Which::Events => "Absteigen oder nicht geplante Hilfe in den letzten Sitzungen:",
        Which::TooWide => "Wackeln über dem Fenster:",
        Which::OffsetBeyond => "Verlagerung in Zugrichtung des Bands über der Toleranz:",
        Which::ScoredSessions => "Genug gewertete Sitzungen an verschiedenen Tagen:",
        Which::ScoredTrials => "Genug gewertete Versuche:",
        Which::InWindow => "Wackeln im Fenster oder darunter:",
        Which::ShareOver => "Median des Anteils über dem Fenster klein:",
        Which::FeltEasy => "In den letzten Sitzungen als leicht empfunden:",
        Which::Steady => {
            "Keine Verschlechterung über die Unterschiede zwischen Tagen hinaus (Verhältnis, letzte \
             zu erster von drei):"
        }
        Which::NoEvents => "Kein Absteigen, keine nicht geplante Hilfe in den letzten Sitzungen:",
        Which::OffsetWithin => "Verlagerung in Zugrichtung des Bands in der Toleranz:",
        Which::NextInReach => "Nächste Bedingung in Reichweite:",
        Which::AnswersKnown => {
            "Antworten zu Schmerz und Warnzeichen der letzten Sitzungen bekannt:"
        }
        Which::Agreeing => "Urteile verschiedener Tage in Folge stimmen überein:",
    }
}

fn quantity(which: Which, value: f64) -> String {
    match which {
        Which::TooWide | Which::InWindow | Which::NextInReach => {
            format!("{} mm", decimals(value, 1))
        }
        Which::OffsetBeyond | Which::OffsetWithin => format!("{} mm", signed(value, 1)),
        Which::ShareOver => percent(value),
        Which::Steady => format!("\u{d7}{}", decimals(value, 2)),
        Which::PainDuring | Which::PainAfter | Which::PainNextMorning => signed(value, 0),
        _ => decimals(value, 0),
    }
}

fn signed(value: f64, digits: usize) -> String {
    let text = decimals(value, digits);
    if value < 0.0 { text } else { format!("+{text}") }
}

/// A probability or share; the ends are never rounded to certainty.
fn percent(share: f64) -> String {
    if 0.999 < share && share < 1.0 {
        "über 99,9 %".to_owned()
    } else if 0.0 < share && share < 0.001 {
        "unter 0,1 %".to_owned()
    } else {
        format!("{} %", decimals(100.0 * share, 1))
    }
}

fn origin(limit: Threshold) -> String {
    match limit.origin {
        Origin::Published(source) => format!(" ({source})"),
        Origin::CommonPractice => " (übliche Praxis, keine veröffentlichte Quelle)".to_owned(),
        Origin::OwnChoice => {
            " (Vorgabe dieses Programms, nicht aus einer veröffentlichten Studie)".to_owned()
        }
        Origin::Plan => " (im Plan gesetzt)".to_owned(),
    }
}

fn settling(settle: Settle) -> String {
    let text = match settle {
        Settle::Review => {
            "Eine Überprüfung durch die Fachperson, neuer als die Meldung, hebt die Sperre auf."
        }
        Settle::MoreSessions(n) | Settle::AgreeAgain(n) => {
            return format!("Weitere Sitzungen an anderen Tagen, die es klären würden: {n}.");
        }
        Settle::MoreTrials(n) => {
            return format!("Weitere Versuche, die es klären würden: {n}.");
        }
        Settle::LessWobble => {
            "Weniger Wackeln, oder mehr Tage bei breiter Schätzung, würden es klären."
        }
        Settle::FewerOver => "Versuche mit weniger Abschnitten über dem Bereich würden es klären.",
        Settle::EasierRatings => {
            "Leichtere Bewertungen in jeder der letzten drei Sitzungen würden es klären."
        }
        Settle::LookForBracing => "Wenig Wackeln, als schwer empfunden: auf Versteifen achten.",
        Settle::RateDifficulty => "Eine Bewertung nach jeder Übung würde es klären.",
        Settle::SteadySession => "Eine weitere Sitzung ohne Verschlechterung würde es klären.",
        Settle::SimilarPain => {
            "Eine Sitzung mit ähnlichem Schmerz wie in der verglichenen würde es klären."
        }
        Settle::SessionsWithoutEvent => "Drei Sitzungen ohne Ereignis würden es klären.",
        Settle::AnswerTouched => {
            "In jeder Sitzung fragen: „Haben Sie sich irgendwo festgehalten oder etwas berührt?“"
        }
        Settle::TakeReference => {
            "Zu Beginn jeder Sitzung einen Bezug aufnehmen, mit Band; ohne ihn gibt es keine \
             Verlagerung."
        }
        Settle::CloserToReference => "Gewicht näher am Bezug würde es klären.",
        Settle::TryNextInClinic => {
            "Die nächste Bedingung in der Praxis zu versuchen würde es klären."
        }
        Settle::AnswerQuestions => {
            "Antworten auf die Fragen nach Schmerz und Warnzeichen würden es klären."
        }
        Settle::EasierCondition => {
            "Eine leichtere Bedingung in den Plan aufnehmen, oder den Plan überprüfen."
        }
    };
    text.to_owned()
}

/// What stands beside the reasons: notes, the estimate, the next condition, the evidence.
fn beside(step: &NextStep) -> Vec<Line> {
    let note = |&note: &Note| Line { about: About::Note(note), text: note_text(note).to_owned() };
    let mut lines: Vec<Line> = step.notes.iter().map(note).collect();
    if let Some(wobble) = step.wobble {
        let text = format!(
            "Wackeln unter dieser Bedingung: {} mm, 95-%-Intervall {} bis {} mm.",
            decimals(wobble.median_mm, 1),
            decimals(wobble.lower_mm, 1),
            decimals(wobble.upper_mm, 1)
        );
        lines.push(Line { about: About::Wobble, text });
    }
    if let Some(next) = step.next_wobble {
        let source = match next.source {
            RatioSource::OwnTrials { n_days, n_trials } => {
                format!("aus eigenen Versuchen der Person dort ({n_trials}, an Tagen: {n_days})")
            }
            RatioSource::OpenRecordings => {
                "aus offenen Aufzeichnungen von 17 Personen ohne Rückenschmerz, deren Streuung \
                 verdoppelt"
                    .to_owned()
            }
        };
        let text = format!(
            "Erwartetes Wackeln unter der nächsten Bedingung: {} mm, 95-%-Intervall {} bis {} mm, \
             {source}.",
            decimals(next.median_mm, 1),
            decimals(next.lower_mm, 1),
            decimals(next.upper_mm, 1)
        );
        lines.push(Line { about: About::NextWobble, text });
    }
    let text = format!(
        "Gewertete Versuche: {}; an Tagen: {}.",
        step.used.trials.len(),
        step.used.days.len()
    );
    lines.push(Line { about: About::Evidence, text });
    lines
}

fn note_text(note: Note) -> &'static str {
    match note {
        Note::LittleWobbleFeltHard => "Wenig Wackeln, als schwer empfunden: auf Versteifen achten.",
        Note::WiderButNotWorse => {
            "Das Wackeln wurde größer, aber weder Geschwindigkeit noch Ereignisse noch empfundene \
             Schwierigkeit bestätigen das: Nicht als schlechter gewertet."
        }
        Note::PainDiffers => {
            "Der Schmerz unterscheidet sich zwischen den verglichenen Sitzungen um so viel, dass es \
             zählt: Die Schwankung wird nicht als Gleichgewicht gelesen."
        }
        Note::FirstSessionIsLearning => {
            "Die erste Sitzung unter dieser Bedingung dient dem Lernen: nicht gewertet."
        }
        Note::FirstTimeSupervised => "Erstes Mal unter einer neuen Bedingung: unter Aufsicht.",
    }
}
