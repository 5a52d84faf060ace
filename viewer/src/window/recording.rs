//! The stand under way in this window, and what is heard of it.

use std::io;
use std::time::Duration;

use acquisition::library::Library;
use acquisition::{BoardPlaces, Wish};
use analysis::PersonCode;

use crate::sound::{LiveFeed, OpenSoundError, SessionCue, SoundOutput, SoundState};
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
    simulated: SimulatedBoard,
    feed: LiveFeed,
    /// Opened with the first stand.
    output: Option<SoundOutput>,
    no_sound: Option<OpenSoundError>,
    /// The session in which the person confirmed that they hear the sound.
    heard_in: Option<String>,
    /// How often the sound had broken off when the stand under way was begun.
    n_before: u32,
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
        let feed = LiveFeed::new();
        Self {
            stand: None,
            simulated,
            feed,
            output: None,
            no_sound: None,
            heard_in: None,
            n_before: 0,
        }
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
        self.n_before = self.output.as_ref().map_or(0, SoundOutput::n_interruptions);
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
            forbidden: occasion.forbidden,
            words: occasion.words,
        };
        let ctx = ctx.clone();
        let wake = move || ctx.request_repaint();
        self.stand = Some(Stand::begin(request, Some(&self.feed), wake)?);
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
        let plays = |output: &SoundOutput| output.state() == SoundState::Playing;
        if self.output.as_ref().is_some_and(plays) {
            return;
        }
        // One that is still open may keep the device from being opened anew.
        self.output = None;
        match SoundOutput::open(&self.feed) {
            Ok(output) => (self.output, self.no_sound) = (Some(output), None),
            Err(error) => self.no_sound = Some(error),
        }
    }

    /// Plays the notes of the sound check.
    pub(crate) fn play_notes(&mut self) {
        self.open_sound();
        self.feed.ask(SessionCue::SoundCheck);
    }

    /// The person of this session hears the sound, or does not.
    pub(crate) fn notes_heard(&mut self, session: &str, heard: bool) {
        self.heard_in = heard.then(|| session.to_owned());
    }

    /// Whether the person confirmed in this session that they hear the sound.
    pub(crate) fn is_heard_in(&self, session: &str) -> bool {
        self.heard_in.as_deref() == Some(session)
    }

    /// How the sound was lost during the stand that has just ended, if it was counted on; it has to
    /// be checked again then.
    pub(crate) fn sound_lost(&mut self) -> Option<SoundState> {
        let output = self.output.as_ref()?;
        let lost = match output.state() {
            SoundState::Playing if output.n_interruptions() == self.n_before => return None,
            SoundState::Playing => SoundState::Interrupted,
            lost => lost,
        };
        self.heard_in.take().map(|_| lost)
    }

    /// Why nothing is heard, if that is so.
    pub(crate) fn no_sound(&self) -> Option<&OpenSoundError> {
        self.no_sound.as_ref()
    }

    /// Says something to the stand under way.
    pub(crate) fn wish(&self, wish: Wish) {
        if let Some(stand) = &self.stand {
            stand.wish(wish);
        }
    }

    /// What became of the stand, once it is over.
    pub(crate) fn outcome(&mut self, ctx: &egui::Context) -> Option<Result<KeptStand, StandError>> {
        let in_doubt = self.output.as_ref().is_some_and(SoundOutput::is_in_doubt);
        if self.stand.is_some() && self.heard_in.is_some() && in_doubt {
            // Whether the stand was heard to its end is known in a few seconds at most.
            ctx.request_repaint_after(LOOK_AGAIN);
            return None;
        }
        let outcome = self.stand.as_mut()?.outcome()?;
        self.stand = None;
        Some(outcome)
    }

    /// As [`outcome`](Self::outcome), waiting for it.
    pub(crate) fn finish(&mut self) -> Option<Result<KeptStand, StandError>> {
        self.stand.take()?.wait()
    }
}

impl std::fmt::Debug for Recording {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Recording").field("stand", &self.stand).finish_non_exhaustive()
    }
}
