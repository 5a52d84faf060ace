//! The sound card: opened if there is one, watched while it plays.

use std::io;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use cpal::traits::{DeviceTrait as _, HostTrait as _, StreamTrait as _};
use cpal::{
    BufferSize, ErrorKind, FromSample, SampleFormat, SizedSample, StreamConfig,
    SupportedBufferSize, SupportedStreamConfig,
};
use thiserror::Error;

use super::live::LiveFeed;
use super::player::CuePlayer;

/// Blocks of 10 ms are asked for: half of what may pass between a value and its sound.
const BLOCKS_PER_S: u32 = 100;

/// A device that takes no samples for so long is lost (our own choice; blocks last 10 to 50 ms).
const STALLED_AFTER: Duration = Duration::from_millis(500);

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
}

/// An open sound device playing the cues of a [`LiveFeed`]; dropping it closes the device.
///
/// The delay of the device itself is not known to this program.
pub struct SoundOutput {
    /// Plays for as long as it is kept.
    _stream: cpal::Stream,
    feed: LiveFeed,
    lost: Arc<Mutex<Option<String>>>,
    stall: StallWatch,
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
            .spawn(move || open_here(feed))
            .map_err(OpenSoundError::Thread)?;
        opening.join().unwrap_or(Err(OpenSoundError::NoDevice))
    }

    /// Whether the device still plays; to be asked about twice a second, and at the end of a trial.
    ///
    /// Once lost it stays lost: open it anew, and repeat the sound check.
    pub fn state(&mut self) -> SoundState {
        if let Some(reason) = &*self.lost.lock().unwrap_or_else(PoisonError::into_inner) {
            return SoundState::Lost { reason: reason.clone() };
        }
        if self.stall.is_stalled(self.feed.n_blocks(), Instant::now()) {
            return SoundState::Stalled;
        }
        SoundState::Playing
    }
}

fn open_here(feed: LiveFeed) -> Result<SoundOutput, OpenSoundError> {
    silence_system_library();
    let device = cpal::default_host().default_output_device().ok_or(OpenSoundError::NoDevice)?;
    let supported = device.default_output_config().map_err(OpenSoundError::NotAvailable)?;
    let lost = Arc::new(Mutex::new(None));
    let stream = match supported.sample_format() {
        SampleFormat::F32 => build::<f32>(&device, &supported, &feed, &lost),
        SampleFormat::F64 => build::<f64>(&device, &supported, &feed, &lost),
        SampleFormat::I16 => build::<i16>(&device, &supported, &feed, &lost),
        SampleFormat::I32 => build::<i32>(&device, &supported, &feed, &lost),
        SampleFormat::U8 => build::<u8>(&device, &supported, &feed, &lost),
        SampleFormat::U16 => build::<u16>(&device, &supported, &feed, &lost),
        other => return Err(OpenSoundError::SampleForm(other)),
    };
    let stream = stream.map_err(OpenSoundError::Open)?;
    stream.play().map_err(OpenSoundError::Open)?;
    let stall = StallWatch { n_blocks: feed.n_blocks(), since: Instant::now() };
    Ok(SoundOutput { _stream: stream, feed, lost, stall })
}

fn build<T: SizedSample + FromSample<f32>>(
    device: &cpal::Device,
    supported: &SupportedStreamConfig,
    feed: &LiveFeed,
    lost: &Arc<Mutex<Option<String>>>,
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
    let lost = Arc::clone(lost);
    device.build_output_stream(
        config,
        move |samples: &mut [T], _: &cpal::OutputCallbackInfo| {
            for part in samples.chunks_mut(mono.len() * n_channels) {
                let mono = &mut mono[..part.len().div_ceil(n_channels)];
                player.fill(mono);
                for (frame, sample) in part.chunks_mut(n_channels).zip(mono) {
                    frame.fill(T::from_sample(*sample));
                }
            }
        },
        move |error| {
            if is_fatal(error.kind()) {
                let mut lost = lost.lock().unwrap_or_else(PoisonError::into_inner);
                lost.get_or_insert_with(|| error.to_string());
            }
        },
        None,
    )
}

/// Whether nothing more will be heard. A moment's gap or another loudspeaker is not the end.
fn is_fatal(kind: ErrorKind) -> bool {
    !matches!(kind, ErrorKind::DeviceChanged | ErrorKind::Xrun | ErrorKind::RealtimeDenied)
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

/// Notices a device that takes no more samples.
#[derive(Debug, Clone, Copy)]
struct StallWatch {
    n_blocks: u64,
    since: Instant,
}

impl StallWatch {
    fn is_stalled(&mut self, n_blocks: u64, now: Instant) -> bool {
        if n_blocks != self.n_blocks {
            *self = Self { n_blocks, since: now };
        }
        STALLED_AFTER <= now.saturating_duration_since(self.since)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_device_that_takes_nothing_for_half_a_second_is_stalled() {
        let begin = Instant::now();
        let after = |ms| begin + Duration::from_millis(ms);
        let mut watch = StallWatch { n_blocks: 0, since: begin };
        for (n_blocks, at_ms, stalled) in
            [(1, 10, false), (1, 500, false), (1, 510, true), (2, 600, false), (2, 1100, true)]
        {
            assert_eq!(watch.is_stalled(n_blocks, after(at_ms)), stalled, "{n_blocks} {at_ms}");
        }
    }

    #[test]
    fn a_gap_is_not_the_end_but_a_device_that_went_away_is() {
        assert!(!is_fatal(ErrorKind::Xrun));
        assert!(!is_fatal(ErrorKind::DeviceChanged));
        assert!(is_fatal(ErrorKind::DeviceNotAvailable));
        assert!(is_fatal(ErrorKind::BackendError));
    }
}
