//! Cues that guide a stand with closed eyes: what is heard, when, and through which device.
//!
//! ```text
//! publisher --LiveFeed (atomics)--> CuePlayer: trial_cues decide, Mixer sounds --> SoundOutput
//! ```
//!
//! Whoever runs a trial publishes its state; the audio callback takes the newest, decides and
//! synthesises. Nothing in the callback allocates, locks or waits.

mod cue;
mod device;
mod flow;
mod guidance;
mod live;
mod loudspeaker;
mod marks;
mod mixer;
mod phrase;
mod player;
mod score;
mod speech;
mod timbre;
mod trial_cues;
mod volume;

pub use cue::{Cue, GuidedCue, MeasuredCue, SessionCue};
#[cfg(test)]
pub(crate) use device::PretendedDevice;
pub use device::{OpenSoundError, SoundOutput, SoundState};
pub use guidance::{Guidance, Position, WobbleZone};
pub use live::{GuidedFeed, LiveFeed, MeasuredFeed};
pub(crate) use loudspeaker::Loudspeaker;
pub(crate) use marks::CueMarks;
pub use mixer::{Mixer, PEAK};
pub use phrase::Phrase;
pub use player::CuePlayer;
pub use trial_cues::{GuidedTrial, MeasuredTrial, Progress};
pub use volume::Volume;
