//! What a cue would say in the stand under way, for who hears none.

use acquisition::Progress;
use acquisition::home::Stand;
use analysis::TrialKind;
use analysis::readiness::Thresholds;

use crate::sound::{Cue, CueMarks};
use crate::standing::Reference;
use crate::standing::cues::{guidance_of, progress_of};

/// The marks of one stand.
#[derive(Debug, Default)]
pub(super) struct StandMarks {
    guided: CueMarks,
}

impl StandMarks {
    /// The mark that is seen now; none for who hears the cues.
    pub(super) fn mark(
        &mut self,
        stand: &Stand,
        progress: &Progress,
        reference: Option<Reference>,
        limits: &Thresholds,
    ) -> Option<Cue> {
        if stand.heard {
            return None;
        }
        let told = progress_of(progress);
        if stand.kind() != TrialKind::Guided {
            return CueMarks::measured(told);
        }
        let window_mm = [limits.wobble_lower_mm, limits.wobble_upper_mm];
        self.guided.guided(told, guidance_of(progress.live.as_ref(), window_mm, reference))
    }
}

#[cfg(test)]
mod tests {
    use acquisition::home::Part;
    use acquisition::{Ending, LiveSway, LiveView, Stage};
    use analysis::{Cop, MeanPosition};

    use super::*;

    /// At the middle of the board, certain to the millimetre.
    fn reference() -> Reference {
        let (mean, uncertainty) = (Cop::new(0.0, 0.0), Cop::new(0.0, 0.0));
        Reference { position: MeanPosition { mean, uncertainty }, tolerance_mm: 10.0 }
    }

    /// After four seconds in the same state, a stand of 35 s at `elapsed_s`.
    fn marked(
        (part, heard): (Part, bool),
        stage: Stage,
        elapsed_s: f64,
        (wobble_mm, forward_mm): (f64, f64),
    ) -> Option<Cue> {
        let condition = "foam/hip-width/open".parse().unwrap();
        let (settle_s, hold_s) = (12.0, 35.0);
        let stand = Stand { condition, part, number: 1, of: 2, settle_s, hold_s, heard };
        let centre = Cop::new(0.0, forward_mm);
        let sway = LiveSway { body_centre: centre, mean_body_centre: centre, wobble_mm };
        let live = LiveView { time_us: 0, load_newtons: 600.0, cop: None, sway: Some(sway) };
        let mut marks = StandMarks::default();
        let mut mark = |stage, elapsed_s| {
            let progress = Progress { stage, elapsed_s, asked_s: Some(hold_s), live: Some(live) };
            marks.mark(&stand, &progress, Some(reference()), &Thresholds::default())
        };
        for quarter in 0..16 {
            mark(Stage::Recording, (elapsed_s - 4.0 + f64::from(quarter) / 4.0).max(0.0));
        }
        mark(stage, elapsed_s)
    }

    #[test]
    fn who_hears_nothing_sees_a_mark_for_each_cue_and_in_measured_stands_only_begin_and_end() {
        let (during, held) = (Stage::Recording, Stage::Ended(Ending::HoldReached));
        for (stage, elapsed_s, wobble_mm, forward_mm, guided, measured) in [
            (Stage::Settling, 1.0, 30.0, 0.0, None, None),
            (during, 1.0, 30.0, 0.0, Some(Cue::Start), Some(Cue::Start)),
            (during, 9.0, 12.0, 0.0, None, None),
            (during, 9.0, 30.0, 0.0, Some(Cue::TooMuch), None),
            (during, 9.0, 3.0, 0.0, Some(Cue::TooLittle), None),
            (during, 9.0, 12.0, 10.1, Some(Cue::PositionLost), None),
            (during, 9.0, 30.0, 10.1, Some(Cue::TooMuch), None),
            (during, 26.0, 12.0, 0.0, Some(Cue::TenSecondsLeft), None),
            (held, 35.0, 30.0, 0.0, Some(Cue::End), Some(Cue::End)),
            (Stage::Ended(Ending::StepOff), 9.0, 30.0, 0.0, Some(Cue::Stop), Some(Cue::Stop)),
        ] {
            let case = format!("{stage:?} {elapsed_s} {wobble_mm} {forward_mm}");
            for (part, wanted) in [(Part::Guided, guided), (Part::Measured, measured)] {
                let sway = (wobble_mm, forward_mm);
                let found = marked((part, false), stage, elapsed_s, sway);
                assert_eq!(found, wanted, "{part}: {case}");
                let heard = marked((part, true), stage, elapsed_s, sway);
                assert_eq!(heard, None, "who hears the cues needs no mark: {case}");
            }
        }
    }
}
