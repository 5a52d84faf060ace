//! Which phrase is said for what is asked, so that a session can be followed by ear alone.

use acquisition::Stage;
use acquisition::home::{Ask, Part, Sign, Stand};
use analysis::Vision;

use crate::sound::Phrase;

/// What is said when this is asked.
pub(crate) fn of_ask(ask: &Ask) -> Phrase {
    match ask {
        Ask::Missing(_) => Phrase::Missing,
        Ask::Locked(lock) if lock.is_emergency() => Phrase::Emergency,
        Ask::Locked(_) => Phrase::Stop,
        Ask::NothingReleased => Phrase::NothingReleased,
        Ask::MoreThanPlanned { .. } => Phrase::MoreThanPlanned,
        Ask::Kept { .. } => Phrase::Kept,
        Ask::NextMorning => Phrase::NextMorning,
        Ask::Sign(Sign::Warning) => Phrase::SignWarning,
        Ask::Sign(Sign::NumbnessOrWeakness) => Phrase::SignNumbness,
        Ask::Sign(Sign::LegPain) => Phrase::SignLegPain,
        Ask::Sign(Sign::Fall) => Phrase::SignFall,
        Ask::PainBefore => Phrase::PainBefore,
        Ask::Room => Phrase::Room,
        Ask::Company => Phrase::Company,
        Ask::Volume => Phrase::Volume,
        Ask::SoundCheck => Phrase::SoundCheck,
        Ask::BoardCheck => Phrase::BoardCheck,
        Ask::FindStance => Phrase::FindStance,
        Ask::HeldOnOrHurt => Phrase::HeldOnOrHurt,
        Ask::Stand(stand) => of_part(stand.part),
        Ask::Rest { .. } => Phrase::Rest,
        Ask::SoundWasLost => Phrase::SoundLost,
        Ask::Touched => Phrase::Touched,
        Ask::Difficulty => Phrase::Difficulty,
        Ask::WorstPain => Phrase::WorstPain,
        Ask::PainAfter => Phrase::PainAfter,
        Ask::Done(_) => Phrase::Done,
    }
}

/// What is said right after it; `None` where that is all.
pub(crate) fn of_ask_further(ask: &Ask) -> Option<Phrase> {
    match ask {
        Ask::Stand(stand) => Some(Phrase::of_stance(stand.condition.stance)),
        _ => None,
    }
}

const fn of_part(part: Part) -> Phrase {
    match part {
        Part::Find => Phrase::Find,
        Part::Reference => Phrase::Reference,
        Part::Practice => Phrase::Practice,
        Part::Measured => Phrase::Measured,
        Part::Guided => Phrase::Guided,
    }
}

/// What is said at a stage of a stand; `None` while it is recorded, which is without words.
pub(crate) fn of_stage(stage: &Stage, stand: &Stand) -> Option<Phrase> {
    match stage {
        Stage::AwaitingLoad => Some(Phrase::StepOn),
        Stage::AwaitingStillness => Some(Phrase::StandStill),
        Stage::Settling if stand.condition.vision == Vision::Closed => Some(Phrase::EyesClosed),
        Stage::Settling => Some(Phrase::Soon),
        Stage::Ended(_) => Some(Phrase::StepOff),
        Stage::Zeroing { trouble: Some(_) } => Some(Phrase::BoardCheck),
        Stage::Zeroing { trouble: None } | Stage::ConfirmingPerson { .. } | Stage::Recording => {
            None
        }
    }
}

/// What was said of the stages of one stand.
#[derive(Debug, Default)]
pub(crate) struct ToldStages {
    last: Option<Phrase>,
}

impl ToldStages {
    /// What is to be said now; each stage is told once, and again only after another.
    pub(crate) fn phrase(&mut self, stage: &Stage, stand: &Stand) -> Option<Phrase> {
        let phrase = of_stage(stage, stand).filter(|phrase| self.last != Some(*phrase))?;
        self.last = Some(phrase);
        Some(phrase)
    }
}

#[cfg(test)]
mod tests {
    use acquisition::ZeroTrouble;
    use acquisition::home::LanguageKey;

    use super::*;

    #[test]
    fn a_board_that_is_not_empty_is_told_though_its_zero_is_under_way_already() {
        let condition = "foam/hip-width/closed".parse().unwrap();
        let (part, settle_s, hold_s) = (Part::Measured, 12.0, 35.0);
        let stand = Stand { condition, part, number: 1, of: 2, settle_s, hold_s, heard: true };
        let zeroing = |trouble| Stage::Zeroing { trouble };
        let mut told = ToldStages::default();
        let stages = [
            (zeroing(None), None),
            (zeroing(Some(ZeroTrouble::Loaded { load_newtons: 80.0 })), Some(Phrase::BoardCheck)),
            (zeroing(None), None),
            (zeroing(Some(ZeroTrouble::Loaded { load_newtons: 80.0 })), None),
            (Stage::AwaitingLoad, Some(Phrase::StepOn)),
            (Stage::AwaitingStillness, Some(Phrase::StandStill)),
            (Stage::Settling, Some(Phrase::EyesClosed)),
            (Stage::AwaitingStillness, Some(Phrase::StandStill)),
            (Stage::Settling, Some(Phrase::EyesClosed)),
            (Stage::Recording, None),
        ];
        for (stage, phrase) in stages {
            assert_eq!(told.phrase(&stage, &stand), phrase, "{stage:?}");
        }
    }

    /// What is spoken is listed with its words in every language, each once, in the order of the
    /// phrases.
    #[test]
    fn every_phrase_has_its_words_in_the_lists_the_clips_are_made_from() {
        for language in LanguageKey::ALL {
            let list = match language {
                LanguageKey::English => include_str!("../sound/clips/english/phrases.tsv"),
                LanguageKey::German => include_str!("../sound/clips/german/phrases.tsv"),
            };
            let keys: Vec<&str> =
                list.lines().map(|line| line.split_once('\t').expect("key and words").0).collect();
            let phrases: Vec<&str> = Phrase::ALL.iter().map(|phrase| phrase.key()).collect();
            assert_eq!(keys, phrases, "{language}");
            // A second holds two or three words; a clip of another length was made from other words.
            for (line, phrase) in list.lines().zip(Phrase::ALL) {
                let n_words = line.split_whitespace().count() - 1;
                let words_a_second = n_words as f64 / phrase.lasts_s(*language);
                assert!((1.0..4.5).contains(&words_a_second), "{phrase}: {words_a_second}");
            }
        }
    }
}
