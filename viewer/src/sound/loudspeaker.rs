//! A loudspeaker that is counted on: whether it plays, and whether a stand was heard to its end.

use super::device::{OpenSoundError, SoundOutput, SoundState};
use super::live::LiveFeed;

/// Opens the device that plays a feed.
type Open = Box<dyn FnMut(&LiveFeed) -> Result<SoundOutput, OpenSoundError>>;

/// Plays what is published in its feed, once it was opened.
pub(crate) struct Loudspeaker {
    feed: LiveFeed,
    open: Open,
    /// `None` until it is opened.
    device: Option<Result<SoundOutput, OpenSoundError>>,
    before: Before,
    /// What the device has to take until the end of the stand has sounded; known once that is over.
    ends: Option<u64>,
}

/// How the device was when the stand was begun.
#[derive(Debug, Clone, Copy, Default)]
struct Before {
    played: bool,
    n_interruptions: u32,
}

impl Loudspeaker {
    /// Not opened yet.
    pub(crate) fn new() -> Self {
        Self::opened_by(SoundOutput::open)
    }

    pub(crate) fn opened_by(
        open: impl FnMut(&LiveFeed) -> Result<SoundOutput, OpenSoundError> + 'static,
    ) -> Self {
        Self {
            feed: LiveFeed::new(),
            open: Box::new(open),
            device: None,
            before: Before::default(),
            ends: None,
        }
    }

    /// What it plays.
    pub(crate) fn feed(&self) -> &LiveFeed {
        &self.feed
    }

    /// Whether there is a device that plays.
    pub(crate) fn plays(&self) -> bool {
        self.output().is_some_and(|output| output.state() == SoundState::Playing)
    }

    /// Opens the device, or opens it anew. Whoever heard it before may not hear it now.
    pub(crate) fn open_anew(&mut self) {
        // One that is still open may keep the device from being opened anew.
        self.device = None;
        self.device = Some((self.open)(&self.feed));
    }

    /// Why it could not be opened, if that is so.
    pub(crate) fn not_opened(&self) -> Option<&OpenSoundError> {
        self.device.as_ref()?.as_ref().err()
    }

    /// A stand begins: from now on it matters whether it is heard.
    pub(crate) fn begin_stand(&mut self) {
        let n_interruptions = self.output().map_or(0, SoundOutput::n_interruptions);
        self.before = Before { played: self.plays(), n_interruptions };
        self.ends = None;
    }

    /// Whether nobody can tell yet whether the stand, which is over, was heard to the end of its last
    /// cue; ask again. Known in a few seconds at most.
    pub(crate) fn is_in_doubt(&mut self) -> bool {
        let Some(Ok(output)) = &self.device else { return false };
        let ends = *self.ends.get_or_insert_with(|| output.end_of_last_cue());
        output.is_in_doubt(ends)
    }

    /// How the sound of the stand was lost; `None` if it was heard as a whole until now.
    pub(crate) fn lost(&self) -> Option<SoundState> {
        let Some(output) = self.output() else { return Some(SoundState::Stalled) };
        let n_before = self.before.n_interruptions;
        match output.state() {
            SoundState::Playing if !self.before.played || output.n_interruptions() != n_before => {
                Some(SoundState::Interrupted)
            }
            SoundState::Playing => None,
            lost => Some(lost),
        }
    }

    fn output(&self) -> Option<&SoundOutput> {
        self.device.as_ref()?.as_ref().ok()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::VecDeque;
    use std::time::{Duration, Instant};

    use super::super::device::PretendedDevice;
    use super::*;

    /// Opens these devices one after the other, and then none.
    fn loudspeaker(devices: &[&PretendedDevice]) -> Loudspeaker {
        let mut devices: VecDeque<_> = devices.iter().map(|device| device.output()).collect();
        Loudspeaker::opened_by(move |_| devices.pop_front().ok_or(OpenSoundError::NoDevice))
    }

    #[test]
    fn it_is_in_doubt_until_the_end_of_the_last_cue_has_sounded() {
        let device = PretendedDevice::new();
        let mut loudspeaker = loudspeaker(&[&device]);
        loudspeaker.open_anew();
        device.takes(Duration::from_millis(40));
        loudspeaker.begin_stand();
        assert!(loudspeaker.is_in_doubt(), "nothing of the last cue was taken yet");
        device.takes(Duration::from_millis(1_500));
        assert!(loudspeaker.is_in_doubt(), "the last cue lasts 1.6 s at most");
        device.takes(Duration::from_millis(200));
        assert!(!loudspeaker.is_in_doubt());
        assert_eq!(loudspeaker.lost(), None);
    }

    #[test]
    fn a_device_that_goes_away_after_the_stand_and_before_its_last_cue_is_lost() {
        let device = PretendedDevice::new();
        let mut loudspeaker = loudspeaker(&[&device]);
        loudspeaker.open_anew();
        loudspeaker.begin_stand();
        assert!(loudspeaker.is_in_doubt());
        device.goes_away("unplugged");
        assert!(!loudspeaker.is_in_doubt(), "it is known now");
        let reason = "unplugged".to_owned();
        assert_eq!(loudspeaker.lost(), Some(SoundState::Lost { reason }));
    }

    #[test]
    fn a_complaint_from_before_the_stand_that_ends_within_it_is_a_loss() {
        let device = PretendedDevice::new();
        let mut loudspeaker = loudspeaker(&[&device]);
        loudspeaker.open_anew();
        let from = Instant::now();
        for ms in (0..3_400).step_by(20) {
            device.refuses(from + Duration::from_millis(ms));
        }
        assert!(!loudspeaker.plays());
        loudspeaker.begin_stand();
        // Another complaint, a moment long, takes the place of the one that lasted.
        device.refuses(from + Duration::from_mins(1));
        assert!(loudspeaker.plays());
        assert_eq!(loudspeaker.lost(), Some(SoundState::Interrupted));
    }

    #[test]
    fn a_stand_without_any_device_is_not_heard() {
        let mut loudspeaker = loudspeaker(&[]);
        loudspeaker.begin_stand();
        assert_eq!(loudspeaker.lost(), Some(SoundState::Stalled), "it was never opened");
        loudspeaker.open_anew();
        assert!(loudspeaker.not_opened().is_some());
        assert!(!loudspeaker.is_in_doubt() && !loudspeaker.plays());
        assert_eq!(loudspeaker.lost(), Some(SoundState::Stalled));
    }
}
