//! Measures how long a published value takes to become samples handed to an audio callback.
//!
//! `cargo run --release -p viewer --example cue_latency`
//!
//! A thread calls the player every 10 ms, as a device with blocks of 10 ms would, while another
//! publishes at moments that bear no relation to it. The delay of a real sound card comes on top and
//! is not known here.

#![expect(clippy::print_stdout, reason = "a program for the terminal")]

use std::sync::mpsc::{Receiver, RecvTimeoutError, SyncSender, TryRecvError, sync_channel};
use std::thread;
use std::time::{Duration, Instant};

use viewer::sound::{CuePlayer, Guidance, LiveFeed, Position, Progress, WobbleZone};

const RATE_HZ: u32 = 48_000;
const BLOCK: Duration = Duration::from_millis(10);
const N_STARTS: u32 = 2_000;
const N_ADVICE: u32 = 200;

/// How long "too much" must last before it is said; not a delay of the machinery.
const PATIENCE: Duration = Duration::from_millis(400);

/// A sound that did not come in this time does not come.
const LATEST: Duration = Duration::from_secs(3);

fn main() -> Result<(), RecvTimeoutError> {
    let (players, to_device) = sync_channel(1);
    let (from_device, sounds) = sync_channel(1);
    let device = thread::spawn(move || device(&to_device, &from_device));
    let bench = Bench { players, sounds };
    let starts: Result<Vec<_>, _> = (0..N_STARTS).map(|i| bench.start(i)).collect();
    report("start, published to samples", starts?);
    let advice: Result<Vec<_>, _> = (0..N_ADVICE).map(|i| bench.advice(i)).collect();
    report("too much, published to samples, less 400 ms of patience", advice?);
    drop(bench);
    if let Ok(busy) = device.join() {
        report("work for one block of 10 ms", busy);
    }
    Ok(())
}

/// Takes a block from the newest player every 10 ms and tells when its first sound is handed over.
/// Gives the time that each block took.
fn device(players: &Receiver<CuePlayer>, sounds: &SyncSender<Instant>) -> Vec<Duration> {
    let mut block = [0.0_f32; 480];
    let mut due = Instant::now();
    let mut player = None;
    let mut busy = Vec::new();
    loop {
        due += BLOCK;
        thread::sleep(due.saturating_duration_since(Instant::now()));
        match players.try_recv() {
            Ok(newest) => player = Some(newest),
            Err(TryRecvError::Empty) => {}
            Err(TryRecvError::Disconnected) => return busy,
        }
        let Some(playing) = &mut player else { continue };
        let called = Instant::now();
        playing.fill(&mut block);
        let handed = Instant::now();
        busy.push(handed - called);
        if block.iter().any(|sample| *sample != 0.0) {
            player = None;
            if sounds.send(handed).is_err() {
                return busy;
            }
        }
    }
}

struct Bench {
    players: SyncSender<CuePlayer>,
    sounds: Receiver<Instant>,
}

impl Bench {
    fn start(&self, round: u32) -> Result<Duration, RecvTimeoutError> {
        let feed = LiveFeed::new();
        let trial = feed.begin_measured();
        self.listen_to(&feed, round)?;
        let published = Instant::now();
        trial.publish(Progress::Holding { elapsed: Duration::ZERO, left: Duration::from_mins(1) });
        Ok(self.sounds.recv_timeout(LATEST)?.saturating_duration_since(published))
    }

    fn advice(&self, round: u32) -> Result<Duration, RecvTimeoutError> {
        let feed = LiveFeed::new();
        let trial = feed.begin_guided();
        let holding =
            Progress::Holding { elapsed: Duration::from_secs(20), left: Duration::from_mins(1) };
        trial.publish(holding, Guidance::default());
        self.listen_to(&feed, round)?;
        let published = Instant::now();
        trial.publish(holding, Guidance { wobble: WobbleZone::Over, position: Position::Held });
        let heard = self.sounds.recv_timeout(LATEST)?.saturating_duration_since(published);
        Ok(heard.saturating_sub(PATIENCE))
    }

    /// Gives the device a player of this feed, and waits for a moment that falls on every phase of
    /// its blocks in turn.
    fn listen_to(&self, feed: &LiveFeed, round: u32) -> Result<(), RecvTimeoutError> {
        let player = CuePlayer::new(feed.clone(), RATE_HZ);
        self.players.send(player).map_err(|_gone| RecvTimeoutError::Disconnected)?;
        thread::sleep(2 * BLOCK + Duration::from_micros(u64::from(round) * 7_919 % 10_000));
        Ok(())
    }
}

fn report(what: &str, mut delays: Vec<Duration>) {
    delays.sort_unstable();
    let at = |share: usize| {
        let index = (delays.len() * share).div_ceil(100).saturating_sub(1);
        delays.get(index).map_or(f64::NAN, |delay| delay.as_secs_f64() * 1e3)
    };
    println!(
        "{what}: n {}, median {:.3} ms, p99 {:.3} ms, largest {:.3} ms",
        delays.len(),
        at(50),
        at(99),
        at(100)
    );
}
