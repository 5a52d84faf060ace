//! The sound card: opened if there is one, watched while it plays.

use std::io;
use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use cpal::traits::{DeviceTrait as _, HostTrait as _, StreamTrait as _};
use cpal::{
    BufferSize, ErrorKind, FromSample, SampleFormat, SizedSample, StreamConfig,
    SupportedBufferSize, SupportedStreamConfig,
};
use thiserror::Error;

use super::flow::SoundFlow;
use super::live::LiveFeed;
use super::player::CuePlayer;
use super::score::longest_end;

/// Blocks of 40 ms are asked for, of which a device holds two. With 10 ms a sound server on a busy
/// machine of two cores ran empty 7 to 21 times in 30 s, and was silent up to 2 s each time; with 40 ms
/// never.
const BLOCKS_PER_S: u32 = 25;

/// Why there is no sound.
#[derive(Debug, Error)]
pub enum OpenSoundError {
    /// The system names no device to play on.
    #[error("this computer has no sound device")]
    NoDevice,
    /// The device is named but cannot be used, as on a computer without a sound card.
    #[error("the sound device is not available")]
    NotAvailable(#[source] cpal::Error),
    /// The device takes samples of a form that is not supported here.
    #[error("the sound device takes samples of the form {0}, which is not supported")]
    SampleForm(SampleFormat),
    /// The device refused to play.
    #[error("the sound device cannot be opened")]
    Open(#[source] cpal::Error),
    /// No thread could be started to open it.
    #[error("the sound device could not be looked for")]
    Thread(#[source] io::Error),
}

/// Whether cues can be heard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SoundState {
    /// The device takes samples.
    Playing,
    /// The device reported that it cannot go on.
    Lost {
        /// What it said.
        reason: String,
    },
    /// The device has stopped taking samples without a word.
    Stalled,
    /// The device takes samples, but took none for a while.
    Interrupted,
}

/// An open sound device playing the cues of a [`LiveFeed`]; dropping it closes the device.
///
/// The delay of the device itself is not known to this program.
pub struct SoundOutput {
    /// Plays for as long as it is kept; `None` for a pretended device.
    _stream: Option<cpal::Stream>,
    flow: Arc<SoundFlow>,
}

impl SoundOutput {
    /// Opens the system's default device; it plays silence until a cue is due.
    ///
    /// Blocks until the device has answered.
    ///
    /// # Errors
    /// [`OpenSoundError`] if there is no device, or none that can be used.
    pub fn open(feed: &LiveFeed) -> Result<Self, OpenSoundError> {
        let feed = feed.clone();
        // A thread of its own, because it silences the system library for the thread it is on.
        let opening = thread::Builder::new()
            .name("sound device".to_owned())
            .spawn(move || open_here(&feed))
            .map_err(OpenSoundError::Thread)?;
        opening.join().unwrap_or(Err(OpenSoundError::NoDevice))
    }

    /// Whether the device plays at this moment.
    ///
    /// Once lost it stays lost: open it anew, and repeat the sound check.
    pub fn state(&self) -> SoundState {
        self.flow.state(Instant::now())
    }

    /// The end of the last cue of a stand that is over, for [`is_in_doubt`](Self::is_in_doubt).
    pub(super) fn end_of_last_cue(&self) -> u64 {
        self.flow.end_of(Instant::now(), longest_end())
    }

    /// Whether nobody can tell yet whether it is lost, or was before this end has sounded; ask again.
    pub(super) fn is_in_doubt(&self, ends: u64) -> bool {
        !self.flow.has_sounded(ends) && self.state() == SoundState::Playing
            || self.flow.is_in_doubt(Instant::now())
    }

    /// How often the sound has broken off for longer than a moment and come back, since it was
    /// opened. A trial during which this grew was not heard as a whole.
    pub fn n_interruptions(&self) -> u32 {
        self.flow.n_interruptions()
    }
}

fn open_here(feed: &LiveFeed) -> Result<SoundOutput, OpenSoundError> {
    silence_system_library();
    let device = cpal::default_host().default_output_device().ok_or(OpenSoundError::NoDevice)?;
    let supported = device.default_output_config().map_err(OpenSoundError::NotAvailable)?;
    let flow = Arc::new(SoundFlow::new(Instant::now()));
    let stream = match supported.sample_format() {
        SampleFormat::F32 => build::<f32>(&device, &supported, feed, &flow),
        SampleFormat::F64 => build::<f64>(&device, &supported, feed, &flow),
        SampleFormat::I16 => build::<i16>(&device, &supported, feed, &flow),
        SampleFormat::I32 => build::<i32>(&device, &supported, feed, &flow),
        SampleFormat::U8 => build::<u8>(&device, &supported, feed, &flow),
        SampleFormat::U16 => build::<u16>(&device, &supported, feed, &flow),
        other => return Err(OpenSoundError::SampleForm(other)),
    };
    let stream = stream.map_err(OpenSoundError::Open)?;
    stream.play().map_err(OpenSoundError::Open)?;
    Ok(SoundOutput { _stream: Some(stream), flow })
}

fn build<T: SizedSample + FromSample<f32>>(
    device: &cpal::Device,
    supported: &SupportedStreamConfig,
    feed: &LiveFeed,
    flow: &Arc<SoundFlow>,
) -> Result<cpal::Stream, cpal::Error> {
    let mut config: StreamConfig = (*supported).into();
    let block = config.sample_rate / BLOCKS_PER_S;
    if let SupportedBufferSize::Range { min, max } = *supported.buffer_size()
        && min <= max
    {
        config.buffer_size = BufferSize::Fixed(block.clamp(min, max));
    }
    let n_channels = usize::from(config.channels).max(1);
    let mut player = CuePlayer::new(feed.clone(), config.sample_rate);
    let mut mono = vec![0.0_f32; 1024];
    let sample_rate = config.sample_rate;
    let (taking, refusing) = (Arc::clone(flow), Arc::clone(flow));
    device.build_output_stream(
        config,
        move |samples: &mut [T], _: &cpal::OutputCallbackInfo| {
            let n_frames = samples.len() / n_channels;
            let lasts = Duration::from_secs_f64(n_frames as f64 / f64::from(sample_rate.max(1)));
            taking.hand_over(Instant::now(), lasts);
            for part in samples.chunks_mut(mono.len() * n_channels) {
                let mono = &mut mono[..part.len().div_ceil(n_channels)];
                player.fill(mono);
                for (frame, sample) in part.chunks_mut(n_channels).zip(mono) {
                    frame.fill(T::from_sample(*sample));
                }
            }
        },
        move |error| {
            if is_gone(error.kind()) {
                refusing.lose(&error.to_string());
            } else {
                refusing.refuse(Instant::now(), &error);
            }
        },
        None,
    )
}

/// Whether the device says itself that nothing more will be heard. Of everything else only what it
/// does tells: a device that is busy, or was interrupted, mostly goes on.
fn is_gone(kind: ErrorKind) -> bool {
    matches!(
        kind,
        ErrorKind::DeviceNotAvailable | ErrorKind::HostUnavailable | ErrorKind::StreamInvalidated
    )
}

/// Keeps the lines that the system's library prints of its own accord off the terminal. They tell
/// a person nothing, and what went wrong is reported by this module.
#[cfg(target_os = "linux")]
fn silence_system_library() {
    // For this thread only. If it cannot be had, lines are printed, which does no harm.
    drop(alsa::Output::local_error_handler());
}

#[cfg(not(target_os = "linux"))]
fn silence_system_library() {}

/// A device of which a test tells what it does.
#[cfg(test)]
#[derive(Debug)]
pub(crate) struct PretendedDevice {
    flow: Arc<SoundFlow>,
}

#[cfg(test)]
impl PretendedDevice {
    pub(crate) fn new() -> Self {
        Self { flow: Arc::new(SoundFlow::new(Instant::now())) }
    }

    /// Its end on the side of the program.
    pub(crate) fn output(&self) -> SoundOutput {
        SoundOutput { _stream: None, flow: Arc::clone(&self.flow) }
    }

    pub(crate) fn takes(&self, lasts: Duration) {
        self.flow.hand_over(Instant::now(), lasts);
    }

    pub(crate) fn refuses(&self, at: Instant) {
        self.flow.refuse(at, &"no room left");
    }

    pub(crate) fn goes_away(&self, why: &str) {
        self.flow.lose(why);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gap_is_not_the_end_but_a_device_that_went_away_is() {
        assert!(!is_gone(ErrorKind::Xrun));
        assert!(!is_gone(ErrorKind::DeviceBusy));
        assert!(!is_gone(ErrorKind::BackendError));
        assert!(is_gone(ErrorKind::DeviceNotAvailable));
    }
}
