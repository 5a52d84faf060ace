//! What goes wrong on demand.

use board_wire::{Corner, Counts};

use crate::randomness::Randomness;

/// A pause in what arrives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stall {
    /// When it begins, in seconds of board time after the start command.
    pub after_s: f64,
    /// How long it lasts, in seconds of board time.
    pub for_s: f64,
}

/// Every fault that can be asked for; the default has none.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Faults {
    /// Share of frames after which a loss begins, in percent.
    pub lost_percent: f64,
    /// How many frames each loss takes; 0 counts as 1.
    pub lost_burst: u32,
    /// Share of frames sent twice, in percent.
    pub doubled_percent: f64,
    /// Share of packets with one byte damaged, in percent.
    pub damaged_percent: f64,
    /// Share of frames that arrive late, and those behind them with them, in percent.
    pub delayed_percent: f64,
    /// How late such a frame is, in seconds of board time.
    pub delay_s: f64,
    /// A pause in what arrives.
    pub stall: Option<Stall>,
    /// The cable is pulled after this long, in seconds of board time after the start command;
    /// once.
    pub unplug_after_s: Option<f64>,
    /// The watchdog restarts the board after this long, in seconds of board time; once.
    pub restart_after_s: Option<f64>,
    /// How fast the zeros wander, in newtons per minute; each corner its own share of it.
    pub zero_drift_newtons_per_min: f64,
    /// A corner whose cell has come off.
    pub dead_corner: Option<Corner>,
    /// A corner whose two signal wires are exchanged: its counts fall when it is pressed.
    pub reversed_corner: Option<Corner>,
    /// Two corners whose cables are exchanged at the converter.
    pub exchanged_corners: Option<(Corner, Corner)>,
    /// A corner under which something carries part of the load, such as a stop set too high.
    pub touching_corner: Option<Corner>,
    /// How far the converter's clock is off, in percent; the board's own stamps stay right.
    pub rate_off_percent: f64,
}

/// Force on a corner from which a stop that is set too high touches, in newtons; beyond it the
/// stop takes [`TOUCHING_SHARE`] of what is added. Both are invented.
const TOUCHING_NEWTONS: f64 = 60.0;
const TOUCHING_SHARE: f64 = 0.6;

impl Faults {
    /// Force on the cells when something else carries part of a corner.
    pub(crate) fn beside_the_stop(&self, mut corner_newtons: [f64; 4]) -> [f64; 4] {
        if let Some(corner) = self.touching_corner {
            let newtons = &mut corner_newtons[corner.index()];
            *newtons -= TOUCHING_SHARE * (*newtons - TOUCHING_NEWTONS).max(0.0);
        }
        corner_newtons
    }

    /// Counts as they arrive over cables that are wired wrongly.
    pub(crate) fn wired(&self, mut counts: [Counts; 4]) -> [Counts; 4] {
        if let Some(corner) = self.reversed_corner {
            let count = &mut counts[corner.index()];
            *count = Counts::saturating(-count.value());
        }
        if let Some((one, other)) = self.exchanged_corners {
            counts.swap(one.index(), other.index());
        }
        counts
    }

    pub(crate) fn zero_drift_newtons(&self, corner: Corner, time_s: f64) -> f64 {
        let share = match corner {
            Corner::FrontLeft => 1.0,
            Corner::FrontRight => -0.4,
            Corner::RearLeft => 0.7,
            Corner::RearRight => -0.9,
        };
        share * self.zero_drift_newtons_per_min * time_s / 60.0
    }
}

/// State of the faults on the cable during one stand.
#[derive(Debug, Clone)]
pub(crate) struct CableFaults {
    random: Randomness,
    n_left_to_lose: u32,
}

impl CableFaults {
    pub(crate) const fn new(random: Randomness) -> Self {
        Self { random, n_left_to_lose: 0 }
    }

    /// Whether the frame made now arrives late.
    pub(crate) fn is_late(&mut self, faults: &Faults) -> bool {
        0.0 < faults.delayed_percent && self.random.happens(faults.delayed_percent / 100.0)
    }

    /// Appends what is left of a frame's packet: nothing, the packet, or the packet twice.
    pub(crate) fn send_frame(&mut self, packet: &[u8], faults: &Faults, sent: &mut Vec<u8>) {
        if self.n_left_to_lose == 0 && self.random.happens(faults.lost_percent / 100.0) {
            self.n_left_to_lose = faults.lost_burst.max(1);
        }
        if 0 < self.n_left_to_lose {
            self.n_left_to_lose -= 1;
            return;
        }
        let n_times = if self.random.happens(faults.doubled_percent / 100.0) { 2 } else { 1 };
        for _time in 0..n_times {
            let start = sent.len();
            sent.extend_from_slice(packet);
            if self.random.happens(faults.damaged_percent / 100.0) {
                let place = start + self.random.below(packet.len());
                // Any change but none.
                let flip = 1 + self.random.below(255);
                sent[place] ^= u8::try_from(flip).expect("1 to 255");
            }
        }
    }
}
