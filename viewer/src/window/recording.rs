//! The stand under way in this window, and what is heard of it.

use std::io;

use acquisition::library::Library;
use acquisition::{BoardPlaces, Wish};
use analysis::{Facing, PersonCode};

use crate::sound::{LiveFeed, SoundOutput};
use crate::standing::{
    KeptStand, SimulatedBoard, Stand, StandBoard, StandError, StandNow, StandRequest,
};
use crate::strings::with_causes;
use crate::window::stand::{BoardPick, StandAsk};

/// One stand at a time.
pub(crate) struct Recording {
    stand: Option<Stand>,
    simulated: SimulatedBoard,
    feed: LiveFeed,
    /// Opened with the first stand.
    output: Option<SoundOutput>,
    no_sound: Option<String>,
}

/// Who stands, where it is kept, and by which rules.
pub(crate) struct Occasion<'a> {
    pub(crate) person: &'a PersonCode,
    pub(crate) library: &'a Library,
    pub(crate) wobble_window_mm: [f64; 2],
    pub(crate) forbidden: Option<&'static str>,
}

impl Recording {
    /// Nobody stands yet.
    pub(crate) fn new(simulated: SimulatedBoard) -> Self {
        let feed = LiveFeed::new();
        Self { stand: None, simulated, feed, output: None, no_sound: None }
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
        if self.output.is_none() {
            match SoundOutput::open(&self.feed) {
                Ok(output) => (self.output, self.no_sound) = (Some(output), None),
                Err(error) => self.no_sound = Some(with_causes(&error)),
            }
        }
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
            facing: Facing::Front,
            settle_s: ask.settle_s,
            record_s: ask.record_s,
            wobble_window_mm: occasion.wobble_window_mm,
            forbidden: occasion.forbidden,
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

    /// Why nothing is heard, if that is so.
    pub(crate) fn no_sound(&self) -> Option<&str> {
        self.no_sound.as_deref()
    }

    /// Says something to the stand under way.
    pub(crate) fn wish(&self, wish: Wish) {
        if let Some(stand) = &self.stand {
            stand.wish(wish);
        }
    }

    /// What became of the stand, once it is over.
    pub(crate) fn outcome(&mut self) -> Option<Result<KeptStand, StandError>> {
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
