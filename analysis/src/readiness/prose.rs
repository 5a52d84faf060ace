//! Words for a verdict, made from the structure that decided and from nothing else.

use super::criterion::{Criterion, Which};
use super::next_step::{NextStep, Note};
use super::{clinical_words, patient_words};

/// For whom the words are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Audience {
    /// The person who stands: plain words, no probabilities.
    Patient,
    /// The chart: numbers, limits and where the limits come from.
    Clinician,
}

/// One sentence or two, and what they tell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// What the line tells.
    pub about: About,
    /// The text, in full sentences.
    pub text: String,
}

/// What a line of words tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// A criterion that was evaluated.
    Reason(Which),
    /// A note beside the verdict.
    Note(Note),
    /// The estimate of the wobble.
    Wobble,
    /// The wobble expected at the next condition.
    NextWobble,
    /// What was scored and what was left out.
    Evidence,
}

/// Everything said about one verdict.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    /// The verdict in a sentence.
    pub headline: String,
    /// The reasons first, then what else is to be said.
    pub lines: Vec<Line>,
}

impl NextStep {
    /// The words for this verdict. Every reason told is one of [`Self::reasons`].
    pub fn words(&self, audience: Audience) -> Words {
        let (headline, reason): (_, fn(&Criterion) -> String) = match audience {
            Audience::Patient => (patient_words::headline(self.verdict), patient_words::reason),
            Audience::Clinician => (clinical_words::headline(self.verdict), clinical_words::reason),
        };
        let mut lines: Vec<Line> = self
            .reasons()
            .into_iter()
            .map(|found| Line { about: About::Reason(found.which), text: reason(found) })
            .filter(|line| !line.text.is_empty())
            .collect();
        match audience {
            Audience::Patient => {
                lines.extend(self.notes.iter().filter_map(|&note| {
                    let text = patient_words::note(note)?;
                    Some(Line { about: About::Note(note), text: text.to_owned() })
                }));
            }
            Audience::Clinician => lines.extend(clinical_words::beside(self)),
        }
        Words { headline: headline.to_owned(), lines }
    }
}
