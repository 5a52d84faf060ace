//! Whoever watches a stand at home for those who show it and let it sound.

use acquisition::home::StandObserver;
use acquisition::{LatestValue, LiveView, Progress, RecordObserver, Stage, Wish};
use analysis::MeanPosition;

use crate::standing::Reference;
use crate::standing::cues::Cues;

/// Hands on what the recorder tells, and what is wished.
pub(super) struct Watch<Tell> {
    /// Is told where the stand is, and wishes.
    pub(super) tell: Tell,
    /// Where the weight is to be, once that is known.
    pub(super) reference: LatestValue<Reference>,
    /// How far the weight may go from there, in millimetres.
    pub(super) tolerance_mm: f64,
    pub(super) sound: Box<Cues>,
}

impl<Tell: FnMut(&Progress) -> Wish> RecordObserver for Watch<Tell> {
    fn progress(&mut self, progress: &Progress) -> Wish {
        self.sound.progress(progress);
        let wish = (self.tell)(progress);
        // At home nobody decides in mid-stand who stands there: another load than the recorded one
        // is refused.
        match progress.stage {
            Stage::ConfirmingPerson { .. } => Wish::OtherPerson,
            _ => wish,
        }
    }

    fn live(&mut self, live: &LiveView) {
        self.sound.live(live);
    }
}

impl<Tell: FnMut(&Progress) -> Wish> StandObserver for Watch<Tell> {
    fn reference(&mut self, position: Option<MeanPosition>) {
        let tolerance_mm = self.tolerance_mm;
        let reference = position.map(|position| Reference { position, tolerance_mm });
        self.sound.set_reference(reference);
        if let Some(reference) = reference {
            self.reference.publish(reference);
        }
    }
}
