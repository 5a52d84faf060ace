//! The advice, by every reason with everything that can be found of it.

use analysis::readiness::{
    Audience, Criterion, Finding, NextStep, NextWobble, Note, Origin, RatioSource, Settle,
    Threshold, Used, Verdict, Which, WobbleEstimate, Words,
};

use super::Said;

const FINDINGS: [Finding; 5] =
    [Finding::Met, Finding::NotMet, Finding::NotKnown, Finding::NotJudged, Finding::NotApplicable];

const SETTLES: [Settle; 20] = [
    Settle::Review,
    Settle::MoreSessions(1),
    Settle::MoreSessions(2),
    Settle::MoreTrials(1),
    Settle::MoreTrials(2),
    Settle::LessWobble,
    Settle::FewerOver,
    Settle::EasierRatings,
    Settle::LookForBracing,
    Settle::RateDifficulty,
    Settle::SteadySession,
    Settle::SimilarPain,
    Settle::SessionsWithoutEvent,
    Settle::AnswerTouched,
    Settle::TakeReference,
    Settle::CloserToReference,
    Settle::TryNextInClinic,
    Settle::AnswerQuestions,
    Settle::AgreeAgain(2),
    Settle::EasierCondition,
];

const ORIGINS: [Origin; 4] =
    [Origin::Published("x"), Origin::CommonPractice, Origin::OwnChoice, Origin::Plan];

fn criteria() -> Vec<Criterion> {
    let mut all = Vec::new();
    for &which in Which::ALL {
        for finding in FINDINGS {
            for (index, settle) in SETTLES.into_iter().enumerate() {
                let limit = |value| Threshold { value, origin: ORIGINS[index % ORIGINS.len()] };
                all.push(Criterion {
                    which,
                    finding,
                    value: [Some(1.5), Some(-2.5), None][index % 3],
                    threshold: Some(limit(2.0)),
                    probability: [Some(0.9995), Some(0.5), Some(0.0005)][index % 3],
                    needed_probability: Some(limit(0.95)),
                    days: vec![1],
                    settle: (finding != Finding::Met).then_some(settle),
                });
            }
        }
    }
    all
}

pub(super) fn advice(said: &mut Said, next_step: fn(&NextStep, Audience) -> Words) {
    let condition = "foam/hip-width/open".parse().expect("a condition");
    let wobble = WobbleEstimate {
        median_mm: 12.5,
        lower_mm: 10.5,
        upper_mm: 14.5,
        at_most_upper: 0.9,
        at_most_lower: 0.1,
    };
    for &verdict in Verdict::ALL {
        for source in
            [RatioSource::OpenRecordings, RatioSource::OwnTrials { n_days: 2, n_trials: 6 }]
        {
            let next = NextWobble {
                median_mm: 15.5,
                lower_mm: 9.5,
                upper_mm: 25.5,
                source,
                in_reach_probability: 0.8,
            };
            let step = NextStep {
                verdict,
                condition,
                easier: None,
                harder: None,
                criteria: criteria(),
                used: Used::default(),
                left_out: Vec::new(),
                wobble: Some(wobble),
                next_wobble: Some(next),
                notes: Note::ALL.to_vec(),
            };
            for (audience, name) in
                [(Audience::Patient, "advice to the person"), (Audience::Clinician, "advice")]
            {
                let words = next_step(&step, audience);
                said.add(name, words.headline);
                said.all(name, words.lines.into_iter().map(|line| line.text));
            }
        }
    }
}

/// Both languages tell the same reasons in the same order.
#[test]
fn every_language_gives_the_same_reasons() {
    let step = |verdict| NextStep {
        verdict,
        condition: "foam/hip-width/open".parse().expect("a condition"),
        easier: None,
        harder: None,
        criteria: criteria(),
        used: Used::default(),
        left_out: Vec::new(),
        wobble: None,
        next_wobble: None,
        notes: Note::ALL.to_vec(),
    };
    for &verdict in Verdict::ALL {
        for audience in [Audience::Patient, Audience::Clinician] {
            let told = super::LANGUAGES.map(|words| {
                let said = (words.next_step)(&step(verdict), audience);
                said.lines.into_iter().map(|line| line.about).collect::<Vec<_>>()
            });
            assert_eq!(told[0], told[1], "{verdict}");
        }
    }
}
