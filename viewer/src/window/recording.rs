//! The stand under way in this window, and what is heard of it.

use std::io;
use std::time::Duration;

use acquisition::library::Library;
use acquisition::{BoardPlaces, Wish};
use analysis::PersonCode;

use crate::sound::{Loudspeaker, OpenSoundError, SessionCue, SoundState};
use crate::standing::{
    KeptStand, Reference, SimulatedBoard, Stand, StandBoard, StandError, StandNow, StandRequest,
};
use crate::strings::Language;
use crate::window::stand::{BoardPick, StandAsk};

/// How often it is looked whether a silence is a loss.
const LOOK_AGAIN: Duration = Duration::from_millis(100);

/// One stand at a time.
pub(crate) struct Recording {
    stand: Option<Stand>,
    /// What became of the stand, while nobody can tell yet whether it was heard.
    outcome: Option<Result<KeptStand, StandError>>,
    simulated: SimulatedBoard,
    /// Opened with the first stand or check.
    loudspeaker: Loudspeaker,
    check: SoundCheck,
}

/// What the sound check has come to. Another device, or the same one opened anew, is checked anew.
#[derive(Debug, Clone, PartialEq, Eq)]
enum SoundCheck {
    NotMade,
    /// The notes went to a device that plays.
    Played,
    /// The person of this session said that they heard them.
    HeardIn(String),
}

/// Who stands, where it is kept, and by which rules.
pub(crate) struct Occasion<'a> {
    pub(crate) words: &'static Language,
    pub(crate) person: &'a PersonCode,
    pub(crate) library: &'a Library,
    pub(crate) wobble_window_mm: [f64; 2],
    pub(crate) forbidden: Option<&'static str>,
}

impl Recording {
    /// Nobody stands yet.
    pub(crate) fn new(simulated: SimulatedBoard) -> Self {
        Self::heard_from(simulated, Loudspeaker::new())
    }

    fn heard_from(simulated: SimulatedBoard, loudspeaker: Loudspeaker) -> Self {
        let check = SoundCheck::NotMade;
        Self { stand: None, outcome: None, simulated, loudspeaker, check }
    }

    /// Begins a stand, unless one is under way.
    ///
    /// # Errors
    /// If the system gives no thread.
    pub(crate) fn begin(
        &mut self,
        ctx: &egui::Context,
        ask: &StandAsk,
        occasion: &Occasion<'_>,
    ) -> io::Result<()> {
        if self.stand.is_some() {
            return Ok(());
        }
        self.open_sound();
        let forbidden = occasion.forbidden.or(self.unheard(ask, occasion.words));
        self.loudspeaker.begin_stand();
        let board = match ask.board {
            BoardPick::Plugged => StandBoard::Real(BoardPlaces::System),
            BoardPick::Address => match ask.address.parse() {
                Ok(address) => StandBoard::Real(BoardPlaces::At(address)),
                Err(never) => match never {},
            },
            BoardPick::Simulated => {
                // Another stand of the same virtual person.
                self.simulated.seed = self.simulated.seed.wrapping_add(1);
                StandBoard::Simulated(self.simulated.clone())
            }
        };
        let request = StandRequest {
            board,
            library: occasion.library.clone(),
            person: occasion.person.clone(),
            condition: ask.condition,
            kind: ask.errand.kind(),
            sole_height_mm: ask.sole_height_mm,
            facing: ask.facing,
            settle_s: ask.settle_s,
            record_s: ask.record_s,
            wobble_window_mm: occasion.wobble_window_mm,
            forbidden,
            words: occasion.words,
        };
        let ctx = ctx.clone();
        let wake = move || ctx.request_repaint();
        self.stand = Some(Stand::begin(request, Some(self.loudspeaker.feed()), wake)?);
        Ok(())
    }

    /// Where the stand is; `None` while nobody stands.
    pub(crate) fn now(&self) -> Option<StandNow> {
        self.stand.as_ref().map(Stand::now)
    }

    /// Where the weight is to be in the stand under way, if that is known.
    pub(crate) fn reference(&self) -> Option<Reference> {
        self.stand.as_ref().and_then(Stand::reference)
    }

    /// Opens the sound device, or opens it anew if it was lost.
    fn open_sound(&mut self) {
        if !self.loudspeaker.plays() {
            self.check = SoundCheck::NotMade;
            self.loudspeaker.open_anew();
        }
    }

    /// Why this stand is not begun: its eyes would close, and nothing that was checked would tell
    /// them to open.
    fn unheard(&self, ask: &StandAsk, words: &Language) -> Option<&'static str> {
        let is_heard = self.counts_on_sound() && self.loudspeaker.plays();
        (ask.closes_eyes() && !is_heard).then_some(words.stand.not_heard)
    }

    /// Plays the notes of the sound check.
    pub(crate) fn play_notes(&mut self) {
        self.open_sound();
        self.loudspeaker.feed().ask(SessionCue::SoundCheck);
        if self.loudspeaker.plays() && self.check == SoundCheck::NotMade {
            self.check = SoundCheck::Played;
        }
    }

    /// The person of this session hears the sound, or does not.
    pub(crate) fn notes_heard(&mut self, session: &str, heard: bool) {
        if self.notes_played() {
            let heard = heard.then(|| SoundCheck::HeardIn(session.to_owned()));
            self.check = heard.unwrap_or(SoundCheck::Played);
        }
    }

    /// Whether notes went to a device that plays still: only then can they have been heard.
    pub(crate) fn notes_played(&self) -> bool {
        self.check != SoundCheck::NotMade && self.loudspeaker.plays()
    }

    /// Whether the person confirmed in this session that they hear the sound, and it plays still.
    pub(crate) fn is_heard_in(&self, session: &str) -> bool {
        matches!(&self.check, SoundCheck::HeardIn(known) if known == session)
            && self.loudspeaker.plays()
    }

    /// Whether the stand under way counts on its sound.
    fn counts_on_sound(&self) -> bool {
        matches!(self.check, SoundCheck::HeardIn(_))
    }

    /// How the sound was lost during the stand that has just ended, if it was counted on; it has to
    /// be checked again then.
    pub(crate) fn sound_lost(&mut self) -> Option<SoundState> {
        let lost = self.counts_on_sound().then(|| self.loudspeaker.lost())??;
        self.check = SoundCheck::NotMade;
        Some(lost)
    }

    /// Why nothing is heard, if that is so.
    pub(crate) fn no_sound(&self) -> Option<&OpenSoundError> {
        self.loudspeaker.not_opened()
    }

    /// Says something to the stand under way.
    pub(crate) fn wish(&self, wish: Wish) {
        if let Some(stand) = &self.stand {
            stand.wish(wish);
        }
    }

    /// What became of the stand, once it is over.
    pub(crate) fn outcome(&mut self, ctx: &egui::Context) -> Option<Result<KeptStand, StandError>> {
        if self.outcome.is_none() {
            self.outcome = Some(self.stand.as_mut()?.outcome()?);
        }
        if self.counts_on_sound() && self.loudspeaker.is_in_doubt() {
            ctx.request_repaint_after(LOOK_AGAIN);
            return None;
        }
        self.stand = None;
        self.outcome.take()
    }

    /// As [`outcome`](Self::outcome), waiting for it.
    pub(crate) fn finish(&mut self) -> Option<Result<KeptStand, StandError>> {
        let mut stand = self.stand.take()?;
        self.outcome.take().or_else(|| stand.wait())
    }
}

impl std::fmt::Debug for Recording {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Recording").field("stand", &self.stand).finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::VecDeque;

    use analysis::Facing;

    use super::*;
    use crate::sound::PretendedDevice;
    use crate::strings::ENGLISH;
    use crate::window::stand::Errand;

    /// Opens these devices one after the other, and then none.
    fn recording(devices: &[&PretendedDevice]) -> Recording {
        let mut devices: VecDeque<_> = devices.iter().map(|device| device.output()).collect();
        let open = move |_: &_| devices.pop_front().ok_or(OpenSoundError::NoDevice);
        Recording::heard_from(SimulatedBoard::default(), Loudspeaker::opened_by(open))
    }

    fn closed_eyes() -> StandAsk {
        StandAsk {
            condition: "foam/hip-width/closed".parse().unwrap(),
            errand: Errand::Measured,
            board: BoardPick::Plugged,
            address: String::new(),
            sole_height_mm: None,
            facing: Facing::Front,
            record_s: 60.0,
            settle_s: 12.0,
        }
    }

    #[test]
    fn notes_are_heard_only_after_they_went_to_a_device_that_plays() {
        let device = PretendedDevice::new();
        let mut recording = recording(&[&device]);
        recording.notes_heard("session", true);
        assert!(!recording.notes_played() && !recording.is_heard_in("session"));
        recording.play_notes();
        assert!(recording.notes_played() && !recording.is_heard_in("session"));
        recording.notes_heard("session", true);
        assert!(recording.is_heard_in("session") && !recording.is_heard_in("another"));
        assert_eq!(recording.unheard(&closed_eyes(), &ENGLISH), None);
        recording.notes_heard("session", false);
        assert!(recording.notes_played() && !recording.is_heard_in("session"));
    }

    #[test]
    fn a_device_that_died_between_two_stands_is_checked_anew_before_eyes_close() {
        let [first, second] = [PretendedDevice::new(), PretendedDevice::new()];
        let mut recording = recording(&[&first, &second]);
        recording.play_notes();
        recording.notes_heard("session", true);
        first.goes_away("unplugged");
        assert!(!recording.is_heard_in("session"));
        for _ in 0..2 {
            // As a stand opens it: another device first, then none at all.
            recording.open_sound();
            assert!(!recording.is_heard_in("session"));
            let why = recording.unheard(&closed_eyes(), &ENGLISH);
            assert_eq!(why, Some(ENGLISH.stand.not_heard));
            second.goes_away("unplugged as well");
        }
        let virtual_person = StandAsk { board: BoardPick::Simulated, ..closed_eyes() };
        assert_eq!(recording.unheard(&virtual_person, &ENGLISH), None);
    }

    #[test]
    fn sound_that_was_counted_on_and_is_gone_is_told_once_and_checked_anew() {
        let device = PretendedDevice::new();
        let mut recording = recording(&[&device]);
        recording.play_notes();
        recording.notes_heard("session", true);
        recording.loudspeaker.begin_stand();
        device.goes_away("unplugged");
        let reason = "unplugged".to_owned();
        assert_eq!(recording.sound_lost(), Some(SoundState::Lost { reason }));
        assert_eq!(recording.sound_lost(), None);
    }
}
