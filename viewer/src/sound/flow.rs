//! Whether samples go on flowing to a sound device, told from what it takes and not from what it says.

use std::fmt::Display;
use std::sync::atomic::{AtomicU32, AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use super::device::SoundState;

/// So long after the last sample has sounded, a device that took no more is lost (our own choice). A
/// shorter silence only delays a cue. Sound servers on a busy machine of two cores were silent for up
/// to 2 s, and went on.
const LOST_AFTER: Duration = Duration::from_secs(3);

/// A silence or a complaint of such a length may become a loss; nobody can tell before it has.
const DOUBT_AFTER: Duration = Duration::from_millis(500);

/// Refusals that come closer together than so many blocks, or than so long, are one lasting complaint
/// (our own choice): a device that refuses each block says so once a block, not always on time.
const COMPLAINT_GAP_BLOCKS: u64 = 3;
const COMPLAINT_GAP: Duration = Duration::from_millis(50);

/// No device is thought to hold more sound than this. One that takes without measure, as those of
/// tests do, would otherwise seem to have hours of it.
const MOST_HELD: Duration = Duration::from_secs(2);

/// What a device has taken.
///
/// The device's thread hands over and never waits, but for a report, which is rare; anybody may ask,
/// as seldom as they like, and gets the same answer however late they ask.
#[derive(Debug)]
pub(super) struct SoundFlow {
    opened: Instant,
    /// Until when what was taken sounds, in microseconds since it was opened.
    sounds_until_us: AtomicU64,
    /// Length of the last block, in microseconds.
    block_us: AtomicU64,
    /// How much sound was taken in all, in microseconds.
    taken_us: AtomicU64,
    n_interruptions: AtomicU32,
    report: Mutex<Report>,
}

/// What the device said of its own accord.
#[derive(Debug, Default)]
struct Report {
    /// It is gone for good, and why.
    gone: Option<String>,
    /// The complaint that it made last.
    complaint: Option<Complaint>,
}

/// Refusals without a break. One alone means nothing: a sound server says so of each buffer that ran
/// empty, and of its own first moments.
#[derive(Debug)]
struct Complaint {
    /// What was said first.
    reason: String,
    since_us: u64,
    until_us: u64,
}

impl Complaint {
    fn has_lasted(&self, at_least: Duration) -> bool {
        micros(at_least) <= self.until_us - self.since_us
    }

    fn is_going_on(&self, now_us: u64, gap_us: u64) -> bool {
        now_us.saturating_sub(self.until_us) <= micros(DOUBT_AFTER).max(gap_us)
    }
}

impl SoundFlow {
    /// Nothing taken yet.
    pub(super) fn new(opened: Instant) -> Self {
        Self {
            opened,
            sounds_until_us: AtomicU64::new(0),
            block_us: AtomicU64::new(0),
            taken_us: AtomicU64::new(0),
            n_interruptions: AtomicU32::new(0),
            report: Mutex::default(),
        }
    }

    /// The device takes a block that lasts so long.
    pub(super) fn hand_over(&self, now: Instant, lasts: Duration) {
        let now_us = self.micros(now);
        let until_us = self.sounds_until_us.load(Ordering::Relaxed);
        if micros(LOST_AFTER) <= now_us.saturating_sub(until_us) {
            self.n_interruptions.fetch_add(1, Ordering::Relaxed);
        }
        let most_us = now_us + micros(MOST_HELD);
        let next_us = (until_us.max(now_us) + micros(lasts)).min(most_us);
        self.sounds_until_us.store(next_us, Ordering::Release);
        self.block_us.store(micros(lasts), Ordering::Relaxed);
        self.taken_us.fetch_add(micros(lasts), Ordering::Release);
    }

    /// How much will have been taken in all when something that is handed over from now on, and lasts
    /// so long, has sounded. A device plays in the order in which it takes: it has room for more only
    /// as what it holds now is played.
    pub(super) fn end_of(&self, now: Instant, lasts: Duration) -> u64 {
        let until_us = self.sounds_until_us.load(Ordering::Acquire);
        let held_us = until_us.saturating_sub(self.micros(now));
        self.taken_us.load(Ordering::Acquire) + held_us + micros(lasts)
    }

    /// Whether as much was taken in all.
    pub(super) fn has_sounded(&self, end_us: u64) -> bool {
        end_us <= self.taken_us.load(Ordering::Acquire)
    }

    /// The device says that it could not do something just now.
    pub(super) fn refuse(&self, now: Instant, why: &dyn Display) {
        let now_us = self.micros(now);
        let gap_us = self.complaint_gap_us();
        let begins_to_count = self.reported(|report| {
            let lasting = report
                .complaint
                .as_mut()
                .filter(|complaint| now_us.saturating_sub(complaint.until_us) <= gap_us);
            let Some(complaint) = lasting else {
                let (reason, since_us) = (why.to_string(), now_us);
                report.complaint = Some(Complaint { reason, since_us, until_us: now_us });
                return false;
            };
            let counted = complaint.has_lasted(LOST_AFTER);
            complaint.until_us = now_us.max(complaint.until_us);
            complaint.has_lasted(LOST_AFTER) && !counted
        });
        if begins_to_count {
            self.n_interruptions.fetch_add(1, Ordering::Relaxed);
        }
    }

    /// The device is gone for good.
    pub(super) fn lose(&self, why: &str) {
        self.reported(|report| {
            report.gone.get_or_insert_with(|| why.to_owned());
        });
    }

    /// Whether it plays at this moment.
    pub(super) fn state(&self, now: Instant) -> SoundState {
        let now_us = self.micros(now);
        let is_silent = self.is_silent(now_us, LOST_AFTER);
        let gap_us = self.complaint_gap_us();
        self.reported(|report| {
            let lasting = report.complaint.as_ref().filter(|complaint| {
                complaint.is_going_on(now_us, gap_us) && complaint.has_lasted(LOST_AFTER)
            });
            match (&report.gone, lasting) {
                (Some(reason), _) => SoundState::Lost { reason: reason.clone() },
                (None, Some(lasting)) => SoundState::Lost { reason: lasting.reason.clone() },
                (None, None) if is_silent => SoundState::Stalled,
                (None, None) => SoundState::Playing,
            }
        })
    }

    /// Whether it is silent, or complains, and nobody can tell yet whether it is lost: a few seconds
    /// later one can.
    pub(super) fn is_in_doubt(&self, now: Instant) -> bool {
        let now_us = self.micros(now);
        let gap_us = self.complaint_gap_us();
        let complains = self.reported(|report| {
            report.complaint.as_ref().is_some_and(|complaint| {
                complaint.is_going_on(now_us, gap_us) && complaint.has_lasted(DOUBT_AFTER)
            })
        });
        self.state(now) == SoundState::Playing && (complains || self.is_silent(now_us, DOUBT_AFTER))
    }

    fn complaint_gap_us(&self) -> u64 {
        let blocks_us = COMPLAINT_GAP_BLOCKS * self.block_us.load(Ordering::Relaxed);
        blocks_us.max(micros(COMPLAINT_GAP))
    }

    fn is_silent(&self, now_us: u64, for_at_least: Duration) -> bool {
        let until_us = self.sounds_until_us.load(Ordering::Acquire);
        micros(for_at_least) <= now_us.saturating_sub(until_us)
    }

    /// How often it was silent for so long, or complained for so long, that it could not be counted on.
    pub(super) fn n_interruptions(&self) -> u32 {
        self.n_interruptions.load(Ordering::Relaxed)
    }

    fn reported<T>(&self, look: impl FnOnce(&mut Report) -> T) -> T {
        look(&mut self.report.lock().unwrap_or_else(PoisonError::into_inner))
    }

    fn micros(&self, now: Instant) -> u64 {
        micros(now.saturating_duration_since(self.opened))
    }
}

fn micros(time: Duration) -> u64 {
    u64::try_from(time.as_micros()).unwrap_or(u64::MAX / 4)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A device and the time, both made up.
    struct Bench {
        opened: Instant,
        now_ms: u64,
        flow: SoundFlow,
    }

    impl Bench {
        fn new() -> Self {
            let opened = Instant::now();
            Self { opened, now_ms: 0, flow: SoundFlow::new(opened) }
        }

        fn now(&self) -> Instant {
            self.opened + Duration::from_millis(self.now_ms)
        }

        fn take(&self, lasts_ms: u64) {
            self.flow.hand_over(self.now(), Duration::from_millis(lasts_ms));
        }

        fn refuse(&self, why: &str) {
            self.flow.refuse(self.now(), &why);
        }

        fn state(&self) -> SoundState {
            self.flow.state(self.now())
        }

        /// Every `every_ms` the device takes `n_blocks` of 10 ms, for so long.
        fn plays(&mut self, every_ms: u64, n_blocks: u64, for_ms: u64) {
            for _ in 0..for_ms / every_ms {
                for _ in 0..n_blocks {
                    self.take(10);
                }
                self.now_ms += every_ms;
                assert_eq!(self.state(), SoundState::Playing, "at {} ms", self.now_ms);
            }
        }
    }

    fn lost(reason: &str) -> SoundState {
        SoundState::Lost { reason: reason.to_owned() }
    }

    #[test]
    fn a_device_plays_whatever_the_size_of_its_bursts() {
        for (every_ms, n_blocks) in [(10, 1), (50, 5), (1_000, 100), (2_000, 200), (10, 500)] {
            let mut bench = Bench::new();
            bench.plays(every_ms, n_blocks, 40_000);
            assert_eq!(bench.flow.n_interruptions(), 0, "{every_ms} ms");
        }
    }

    #[test]
    fn a_device_that_takes_no_more_is_found_silent_however_seldom_it_is_asked() {
        for asked_after_ms in [3_000, 35_000] {
            let mut bench = Bench::new();
            bench.plays(10, 1, 5_000);
            bench.now_ms += asked_after_ms;
            assert_eq!(bench.state(), SoundState::Stalled);
        }
    }

    #[test]
    fn a_device_that_was_silent_in_between_is_known_for_it_afterwards() {
        let mut bench = Bench::new();
        bench.plays(10, 1, 5_000);
        bench.now_ms += 3_000;
        bench.plays(10, 1, 5_000);
        assert_eq!(bench.flow.n_interruptions(), 1);
    }

    #[test]
    fn a_silence_is_in_doubt_until_it_is_a_loss_or_over() {
        let mut bench = Bench::new();
        bench.plays(10, 1, 5_000);
        for (after_ms, in_doubt) in
            [(0, false), (490, false), (500, true), (2_990, true), (3_000, false)]
        {
            let now = bench.now() + Duration::from_millis(after_ms);
            assert_eq!(bench.flow.is_in_doubt(now), in_doubt, "{after_ms} ms");
        }
        bench.now_ms += 2_000;
        assert!(bench.flow.is_in_doubt(bench.now()));
        bench.plays(10, 1, 100);
        assert!(!bench.flow.is_in_doubt(bench.now()));
    }

    #[test]
    fn a_computer_that_is_busy_for_two_seconds_loses_no_sound() {
        let mut bench = Bench::new();
        for _ in 0..20 {
            bench.plays(10, 1, 300);
            // The blocks that were due come late, and the device says so.
            bench.now_ms += 2_000;
            bench.refuse("a buffer ran empty");
            assert_eq!(bench.state(), SoundState::Playing);
        }
        bench.plays(10, 1, 300);
        assert_eq!(bench.flow.n_interruptions(), 0);
    }

    #[test]
    fn what_a_device_says_in_passing_is_no_loss() {
        let mut bench = Bench::new();
        for _ in 0..50 {
            bench.plays(10, 1, 100);
            bench.refuse("interrupted");
            assert_eq!(bench.state(), SoundState::Playing);
        }
    }

    /// As a sound server did under load (alsa-lib's `pulse` plugin): hundreds of "I/O error" within
    /// a few milliseconds, at its beginning and at each buffer that ran empty, and sound all the while.
    #[test]
    fn a_burst_of_complaints_is_no_loss() {
        let mut bench = Bench::new();
        for _ in 0..20 {
            for n in 0..700 {
                bench.refuse("I/O error");
                bench.now_ms += u64::from(n % 100 == 0);
            }
            bench.plays(40, 4, 2_000);
        }
        assert_eq!(bench.flow.n_interruptions(), 0);
    }

    #[test]
    fn a_device_that_is_given_samples_and_refuses_each_of_them_is_lost_with_its_reason() {
        let mut bench = Bench::new();
        bench.plays(10, 1, 5_000);
        for _ in 0..310 {
            bench.take(10);
            bench.refuse("no room left");
            bench.now_ms += 10;
        }
        assert_eq!(bench.state(), lost("no room left"));
        // It goes on, and is known for it.
        bench.now_ms += 600;
        bench.take(10);
        bench.plays(10, 1, 1_000);
        assert_ne!(bench.flow.n_interruptions(), 0);
    }

    /// Blocks of 40 ms are asked for, and longer ones may be all that a device has; what it says of
    /// each comes up to 10 ms early or late.
    #[test]
    fn a_device_that_refuses_each_block_is_lost_whatever_their_length() {
        for block_ms in [10, 40, 100] {
            let mut bench = Bench::new();
            for n in 0..=3_200 / block_ms {
                let late_ms = [0, 10, 5][usize::try_from(n % 3).unwrap()];
                bench.now_ms = n * block_ms + late_ms;
                bench.take(block_ms);
                bench.refuse("no room left");
            }
            assert_eq!(bench.state(), lost("no room left"), "{block_ms} ms");
            assert_eq!(bench.flow.n_interruptions(), 1, "{block_ms} ms");
        }
    }

    #[test]
    fn a_device_that_went_away_is_lost_at_once_and_for_good() {
        let mut bench = Bench::new();
        bench.plays(10, 1, 1_000);
        bench.flow.lose("unplugged");
        bench.flow.lose("still unplugged");
        assert_eq!(bench.state(), lost("unplugged"));
        bench.take(10);
        assert_eq!(bench.state(), lost("unplugged"));
    }
}
