//! Writes what is heard in a guided hold, in a measured trial and in a sound check as WAV files.
//!
//! `cargo run -p viewer --example cue_track -- FOLDER`

#![expect(clippy::print_stdout, reason = "a program for the terminal")]

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use viewer::sound::{CuePlayer, Guidance, LiveFeed, Position, Progress, SessionCue, WobbleZone};

const RATE_HZ: u32 = 48_000;
const BLOCK: usize = 480;

fn main() -> anyhow::Result<()> {
    let folder = std::env::args_os().nth(1).map_or_else(|| PathBuf::from("."), PathBuf::from);
    write_wav(&folder.join("guided.wav"), &guided())?;
    write_wav(&folder.join("measured.wav"), &measured())?;
    write_wav(&folder.join("sound-check.wav"), &sound_check())?;
    Ok(())
}

/// A hold of 30 s: too much at 5 s, too little from 10 s on, the position lost at 16 s.
fn guided() -> Vec<f32> {
    let feed = LiveFeed::new();
    let trial = feed.begin_guided();
    render(&feed, 34_000, |at_ms| {
        let wobble = match at_ms {
            0..4_000 => WobbleZone::Unknown,
            6_000..8_000 => WobbleZone::Over,
            11_000..15_000 => WobbleZone::Under,
            _ => WobbleZone::Inside,
        };
        let position =
            if (17_000..19_000).contains(&at_ms) { Position::Lost } else { Position::Held };
        trial.publish(hold(at_ms, 30_000), Guidance { wobble, position });
    })
}

fn measured() -> Vec<f32> {
    let feed = LiveFeed::new();
    let trial = feed.begin_measured();
    render(&feed, 38_000, |at_ms| trial.publish(hold(at_ms, 35_000)))
}

fn sound_check() -> Vec<f32> {
    let feed = LiveFeed::new();
    render(&feed, 6_000, |at_ms| match at_ms {
        0 => feed.ask(SessionCue::SoundCheck),
        3_000 => feed.ask(SessionCue::Stop),
        _ => {}
    })
}

/// A hold that begins one second after the first sample.
fn hold(at_ms: u64, hold_ms: u64) -> Progress {
    let ms = Duration::from_millis;
    match at_ms.checked_sub(1_000) {
        None => Progress::Waiting,
        Some(into) if into < hold_ms => {
            Progress::Holding { elapsed: ms(into), left: ms(hold_ms - into) }
        }
        Some(_) => Progress::Ended,
    }
}

fn render(feed: &LiveFeed, lasts_ms: u64, mut publish: impl FnMut(u64)) -> Vec<f32> {
    let mut player = CuePlayer::new(feed.clone(), RATE_HZ);
    let mut track = Vec::new();
    for at_ms in (0..lasts_ms).step_by(10) {
        publish(at_ms);
        let mut block = [0.0; BLOCK];
        player.fill(&mut block);
        track.extend(block);
    }
    track
}

/// Writes one channel as 16-bit PCM.
///
/// # Source
/// Multimedia Programming Interface and Data Specifications 1.0 (1991), waveform audio file format.
fn write_wav(path: &Path, samples: &[f32]) -> anyhow::Result<()> {
    let n_bytes = u32::try_from(2 * samples.len())?;
    let mut bytes = Vec::with_capacity(44 + 2 * samples.len());
    bytes.extend(b"RIFF");
    bytes.extend((36 + n_bytes).to_le_bytes());
    bytes.extend(b"WAVEfmt ");
    bytes.extend(16_u32.to_le_bytes());
    // Linear PCM, one channel; bytes a second, bytes a frame, bits a sample.
    bytes.extend(1_u16.to_le_bytes());
    bytes.extend(1_u16.to_le_bytes());
    bytes.extend(RATE_HZ.to_le_bytes());
    bytes.extend((2 * RATE_HZ).to_le_bytes());
    bytes.extend(2_u16.to_le_bytes());
    bytes.extend(16_u16.to_le_bytes());
    bytes.extend(b"data");
    bytes.extend(n_bytes.to_le_bytes());
    for sample in samples {
        #[expect(clippy::cast_possible_truncation, reason = "clamped to the range of i16")]
        let sample = (sample.clamp(-1.0, 1.0) * f32::from(i16::MAX)).round() as i16;
        bytes.extend(sample.to_le_bytes());
    }
    fs::write(path, bytes)?;
    println!("{}", path.display());
    Ok(())
}
