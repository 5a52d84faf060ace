//! Whole runs of the acceptance tests on boards that are good, and on boards with one fault.
//!
//! Forces and counts come from [`RandomBoard`], which shares no formula with the tests. A good board
//! keeps each demanded limit: errors are spread evenly up to it, noise up to 95 % of it, because
//! a builder keeps something in hand for what is judged by its own measurement.

use acquisition::board_test::{
    BoardTest, ClockRecord, Finding, Load, Marked, Pull, clock, contact_plane, corner_load, creep,
    dead_weight, drift, hold_out, noise, overload, repeatability, resonance, skew, small_swing,
    software, up_and_down, zero_return,
};
use acquisition::calibrate::{GRAVITY_M_PER_S2, Knowledge, joint_fit};
use acquisition::{BoardFrame, Calibration, Zero, ZeroLine};

use crate::random_board::RandomBoard;

const RATE_HZ: f64 = 250.0;
const CORNERS: [(f64, f64); 4] =
    [(-150.0, 150.0), (150.0, 150.0), (-150.0, -150.0), (150.0, -150.0)];
const HOLD_OUTS: [(f64, f64); 8] = [
    (60.0, 110.0),
    (110.0, -60.0),
    (-60.0, -110.0),
    (-110.0, 60.0),
    (110.0, 60.0),
    (60.0, -110.0),
    (-110.0, -60.0),
    (-60.0, 110.0),
];

/// One thing that is wrong with a board, and how much.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Fault {
    None,
    /// Gain of one cell since the calibration, relative.
    Gain(f64),
    /// One contact moved to the side since the calibration, in millimetres.
    Position(f64),
    /// Noise of every cell, in newtons rms at 250 frames a second.
    Noise(f64),
    /// Creep of one cell in 30 minutes, as a share of its load.
    Creep(f64),
    /// One channel late, in milliseconds.
    Skew(f64),
    /// Width of the loop of one cell, as a share of its load.
    Hysteresis(f64),
    /// The board's clock, in parts per million.
    Clock(f64),
}

/// Findings outside their limit in one whole run; `None` if the board could not even be calibrated.
pub(crate) fn outside(seed: u64, fault: Fault) -> Option<Vec<Finding>> {
    let mut run = Run::on_calibrated(seed, fault)?;
    let found = BoardTest::ALL.iter().flat_map(|test| run.findings(*test));
    Some(found.filter(|finding| !finding.is_within()).collect())
}

/// Whether a whole run finds something; it ends with the first test that does, the quick ones first.
pub(crate) fn is_found(seed: u64, fault: Fault) -> bool {
    let Some(mut run) = Run::on_calibrated(seed, fault) else { return true };
    let is_slow = |test: &&BoardTest| matches!(test, BoardTest::Noise | BoardTest::Clock);
    let (slow, quick): (Vec<&BoardTest>, Vec<&BoardTest>) =
        BoardTest::ALL.iter().partition(is_slow);
    quick
        .into_iter()
        .chain(slow)
        .any(|test| run.findings(*test).iter().any(|finding| !finding.is_within()))
}

struct Run {
    board: RandomBoard,
    calibration: Calibration,
    fault: Fault,
}

impl Run {
    /// A good board, calibrated, to which the fault then happened; `None` if it was refused.
    fn on_calibrated(seed: u64, fault: Fault) -> Option<Self> {
        let mut board = RandomBoard::within_limits(seed);
        let knowledge = Knowledge::PRINTED_JIG;
        let placements = board.placements(20.0, &knowledge);
        let drawn = board.drawn().clone();
        let fit = joint_fit(&drawn, &placements, &knowledge).ok()?;
        let calibration = fit.into_calibration(&drawn, "fitted".to_owned(), 0);
        board.move_elsewhere();
        match fault {
            Fault::Gain(gain) => board.wear(1, gain, 0.0, 0.0),
            Fault::Position(mm) => board.wear(1, 0.0, mm, 0.0),
            Fault::Creep(share) => board.wear(1, 0.0, 0.0, share),
            _ => {}
        }
        Some(Self { board, calibration, fault })
    }

    fn findings(&mut self, test: BoardTest) -> Vec<Finding> {
        match test {
            BoardTest::Noise => self.noise(),
            BoardTest::CornerLoad => corner_load(&self.corners()),
            BoardTest::HoldOut => {
                let spots = HOLD_OUTS.map(|(ml_mm, ap_mm)| Marked {
                    ml_mm,
                    ap_mm,
                    load: self.put_down(20.0, ml_mm, ap_mm, 0.5),
                });
                hold_out(&spots)
            }
            BoardTest::Repeatability => {
                repeatability(&[(); 5].map(|()| self.put_down(20.0, 0.0, 0.0, 0.03)))
            }
            BoardTest::UpAndDown => self.up_and_down(),
            BoardTest::SmallSwing => self.small_swing(),
            BoardTest::Creep => self.creep(),
            BoardTest::Drift => self.drift(),
            BoardTest::Clock => self.clock(),
            BoardTest::Skew => self.skew(),
            BoardTest::ContactPlane => self.contact_plane(),
            BoardTest::Resonance => self.resonance(),
            BoardTest::Overload => {
                let moved = [(); 4].map(|()| 0.03 * self.board.normal());
                let corners = self.corners();
                overload(moved, &corners)
            }
            BoardTest::Software => software(),
        }
    }

    fn load(&mut self, mass_kg: f64, ml_mm: f64, ap_mm: f64, seconds: f64) -> Load {
        let counts = self.board.counts(mass_kg * GRAVITY_M_PER_S2, ml_mm, ap_mm, seconds);
        Load::from_counts(counts, &self.calibration)
    }

    fn put_down(&mut self, mass_kg: f64, ml_mm: f64, ap_mm: f64, sd_mm: f64) -> Load {
        let (right, forward) = (sd_mm * self.board.normal(), sd_mm * self.board.normal());
        self.load(mass_kg, ml_mm + right, ap_mm + forward, 15.0)
    }

    fn corners(&mut self) -> [Load; 4] {
        CORNERS.map(|(ml_mm, ap_mm)| self.put_down(20.0, ml_mm, ap_mm, 0.5))
    }

    /// 65 s of 20 kg: white noise on every cell.
    fn noise(&mut self) -> Vec<Finding> {
        let share = self.even(0.5, 0.95);
        let rms_newtons = if let Fault::Noise(rms) = self.fault { rms } else { 0.05 * share };
        let still = self.board.counts(20.0 * GRAVITY_M_PER_S2, 0.0, 0.0, 40.0);
        let gains = self.calibration.newtons_per_count;
        let frames: Vec<BoardFrame> = (0..16_250)
            .map(|sequence| BoardFrame {
                time_us: 4_000 * sequence,
                sequence,
                counts: std::array::from_fn(|i| {
                    counts(still[i] + rms_newtons * self.board.normal() / gains[i])
                }),
                status: 0,
            })
            .collect();
        let before = Zero { counts: [0.0; 4], board_time_us: 0 };
        let line = ZeroLine { before, after: None };
        match dead_weight(&frames, &line, &self.calibration) {
            Ok(shown) => noise(&shown, &self.calibration),
            Err(error) => panic!("{error}"),
        }
    }

    /// Loads in steps; each cell reads less going up and more coming down by half its loop.
    fn up_and_down(&mut self) -> Vec<Finding> {
        let mut loops = [(); 4].map(|()| self.even(0.0, 3e-4));
        if let Fault::Hysteresis(share) = self.fault {
            loops[1] = share;
        }
        let drawn = self.board.drawn().newtons_per_count;
        let steps = [20.0, 40.0, 60.0, 40.0, 20.0];
        up_and_down(&std::array::from_fn(|i| {
            let share = steps[i] / 60.0;
            let branch = if i < 2 { -0.5 } else { 0.5 } * 4.0 * share * (1.0 - share);
            let mut read = self.board.counts(steps[i] * GRAVITY_M_PER_S2, 0.0, 0.0, 15.0);
            for (cell, counts) in read.iter_mut().enumerate() {
                let largest = 60.0 * GRAVITY_M_PER_S2 / 4.0;
                *counts += loops[cell] * branch * largest / drawn[cell];
            }
            Load::from_counts(read, &self.calibration)
        }))
    }

    /// 1 kg to and fro on 60 kg; marks are good to 0.3 mm.
    fn small_swing(&mut self) -> Vec<Finding> {
        let history = self.board.history();
        let mut places = |forward: bool| -> Vec<f64> {
            (0..11)
                .map(|i| {
                    let end = if i % 2 == 0 { -50.0 } else { 50.0 } + 0.3 * self.board.normal();
                    let place = end / 60.0;
                    let (ml_mm, ap_mm) = if forward { (0.0, place) } else { (place, 0.0) };
                    let newtons = 60.0 * GRAVITY_M_PER_S2;
                    let counts = self.board.counts_since(newtons, ml_mm, ap_mm, 60.0, &history);
                    let load = Load::from_counts(counts, &self.calibration);
                    if forward { load.ap_mm } else { load.ml_mm }
                })
                .collect()
        };
        let (side, forward) = (places(false), places(true));
        small_swing(&side, &forward, 60.0 * GRAVITY_M_PER_S2)
    }

    /// Ten minutes of 60 kg, 5 s means from 30 s on; the room changes by a tenth of a kelvin.
    fn creep(&mut self) -> Vec<Finding> {
        let still = self.board.counts(60.0 * GRAVITY_M_PER_S2, 0.0, 0.0, 0.0);
        let (creeps, drifts) = self.board.slow_errors();
        let drawn = self.board.drawn().newtons_per_count;
        let on_cell = 60.0 * GRAVITY_M_PER_S2 / 4.0;
        let crept = |s: f64| 0.3 * (1.0 - (-s / 15.0).exp()) + 0.7 * (1.0 - (-s / 300.0).exp());
        let places: Vec<Load> = (6..120)
            .map(|piece| {
                let s = 5.0 * f64::from(piece) + 2.5;
                let net = std::array::from_fn(|i| {
                    let slow = creeps[i] * on_cell * crept(s) + drifts[i] * 0.1 * s / 600.0;
                    still[i] + slow / drawn[i]
                });
                Load::from_counts(net, &self.calibration)
            })
            .collect();
        let left = |tau: f64| (1.0 - (-600.0 / tau).exp()) * (-57.5_f64 / tau).exp();
        let moved = std::array::from_fn(|i| {
            creeps[i] * on_cell * (0.3 * left(15.0) + 0.7 * left(300.0)) + drifts[i] * 0.1
        });
        let mut found = creep(&places);
        found.extend(zero_return(moved));
        found
    }

    /// The electronics warm by 3 K with a time constant of ten minutes.
    fn drift(&mut self) -> Vec<Finding> {
        let (_, drifts) = self.board.slow_errors();
        let means: Vec<[f64; 4]> = (0..30)
            .map(|minute| {
                let kelvin = 3.0 * (1.0 - (-f64::from(minute) / 10.0).exp());
                std::array::from_fn(|i| drifts[i] * kelvin + 0.0005 * self.board.normal())
            })
            .collect();
        drift(&means)
    }

    /// Ten minutes; a crystal of 50 ppm, stamps good to 5 us, arrival within 4 ms.
    fn clock(&mut self) -> Vec<Finding> {
        let good = self.even(-50.0, 50.0);
        let ppm = if let Fault::Clock(ppm) = self.fault { ppm } else { good };
        let mut record = ClockRecord::default();
        for sequence in 0..150_000_u64 {
            if self.even(0.0, 1.0) < 0.000_2 {
                continue;
            }
            let us = 4_000.0 * sequence as f64;
            record.sequence.push(sequence);
            record.board_us.push(whole_us(us + 100.0 + 5.0 * self.board.normal()));
            record.host_us.push(whole_us(us * (1.0 + ppm * 1e-6) + self.even(0.0, 4_000.0)));
        }
        clock(&record)
    }

    /// A bag dropped softly in the middle, a thud of 0.1 s that rings out.
    fn skew(&mut self) -> Vec<Finding> {
        let mut late_ms = [(); 4].map(|()| self.even(0.0, 0.3));
        if let Fault::Skew(ms) = self.fault {
            late_ms = [0.0, ms, 0.0, 0.0];
        }
        let fall = |t: f64| {
            let since = t - 2.0;
            let rise = (since / 0.1).clamp(0.0, 1.0);
            let ring = if since < 0.0 { 0.0 } else { (-4.0 * since).exp() * (19.0 * since).sin() };
            40.0 * rise * rise * (3.0 - 2.0 * rise) + 15.0 * ring
        };
        let channels: Vec<[f64; 4]> = (0..5_000)
            .map(|i| {
                let t = f64::from(i) / RATE_HZ;
                std::array::from_fn(|cell| {
                    fall(t - late_ms[cell] / 1e3) + 0.05 * self.board.normal()
                })
            })
            .collect();
        skew(&channels, RATE_HZ)
    }

    /// A plane within 2 mm of the drawing, a spring balance good to 1 %.
    fn contact_plane(&mut self) -> Vec<Finding> {
        let depth_mm = 35.0 + self.even(-2.0, 2.0);
        let weight = 40.0 * GRAVITY_M_PER_S2;
        let mut pulled = |height_mm: f64| {
            let newtons = 20.0 * (1.0 + 0.01 * self.board.normal());
            let shift = (height_mm + depth_mm) * newtons / weight;
            Pull { newtons: 20.0, height_mm, load: self.load(40.0, 0.0, shift, 30.0) }
        };
        let (low, high) = (pulled(0.0), pulled(100.0));
        let rest = self.load(40.0, 0.0, 0.0, 30.0);
        contact_plane(&rest, &low, &high, 35.0)
    }

    fn resonance(&mut self) -> Vec<Finding> {
        let mut ringing = |hz: f64| -> Vec<f64> {
            (0..1_000)
                .map(|i| {
                    let t = f64::from(i) / 1e3;
                    let swing = 5.0 * (-15.0 * t).exp() * (std::f64::consts::TAU * hz * t).sin();
                    swing + 0.2 * self.board.normal()
                })
                .collect()
        };
        let (loaded, bare) = (ringing(55.0), ringing(85.0));
        resonance(&loaded, &bare, 1_000.0)
    }

    fn even(&mut self, low: f64, high: f64) -> f64 {
        // The normal distribution's own share below a normal number is even.
        let below = statrs::distribution::ContinuousCDF::cdf(
            &statrs::distribution::Normal::standard(),
            self.board.normal(),
        );
        low + (high - low) * below
    }
}

#[expect(clippy::cast_possible_truncation, reason = "forces of 20 kg fit 24 bits")]
fn counts(value: f64) -> i32 {
    value.round() as i32
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "ten minutes")]
fn whole_us(us: f64) -> u64 {
    us.round().max(0.0) as u64
}
