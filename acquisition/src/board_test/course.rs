//! What each test asks for, and how what was read becomes findings.

use super::clock::{ClockRecord, clock};
use super::creep::{creep, zero_return};
use super::drift::drift;
use super::finding::Finding;
use super::frequency::resonance;
use super::load::Load;
use super::noise::{dead_weight, noise};
use super::overload::overload;
use super::placing::{Marked, corner_load, hold_out, repeatability};
use super::pull::{Pull, contact_plane};
use super::skew::skew;
use super::software::software;
use super::steps::{small_swing, up_and_down};
use super::test::BoardTest;
use crate::board_session::BoardFrame;
use crate::calibrate::{GRAVITY_M_PER_S2, HOLD_OUTS, REACH_MM};
use crate::calibration::Calibration;
use crate::forces::forces_from_counts;
use crate::guided::{Course, GuidedReadings, REST_S, Reading, Station};
use crate::zero::ZeroLine;

/// Moves of the small mass on each axis.
const N_SWINGS: usize = 10;

/// The horizontal pull, in newtons, and the two heights at which it is made, in millimetres.
const PULL_NEWTONS: f64 = 20.0;
const PULL_HEIGHTS_MM: (f64, f64) = (0.0, 100.0);

/// Depth of the contact plane below the plate's top as drawn, in millimetres.
const DRAWN_DEPTH_MM: f64 = 35.0;

/// Least force of the overload over one corner, in newtons: 150 kg, a tenth of it allowed for what
/// the stops take.
const OVERLOAD_NEWTONS: f64 = 0.9 * 150.0 * GRAVITY_M_PER_S2;

/// The stations of a test; `None` for one that needs no board.
pub fn course(test: BoardTest, calibration: &Calibration, frames_per_s: f64) -> Option<Course> {
    let stations = stations(test)?;
    // How far the zero moves is what several tests ask about, so nothing is refused for it.
    let zero_moved_newtons = f64::INFINITY;
    Some(Course { stations, calibration: calibration.clone(), frames_per_s, zero_moved_newtons })
}

fn mass(mass_kg: f64, ml_mm: f64, ap_mm: f64, settle_s: f64, read_s: f64) -> Station {
    Station::Mass { mass_kg, ml_mm, ap_mm, settle_s, read_s }
}

/// One mass put down on each of these places, the empty board before, between and after.
fn one_by_one(places: &[(f64, f64)]) -> Vec<Station> {
    let mut stations = vec![Station::Empty { rest_s: 0.0 }];
    for &(ml_mm, ap_mm) in places {
        stations.extend([mass(20.0, ml_mm, ap_mm, 10.0, 5.0), Station::Empty { rest_s: REST_S }]);
    }
    stations
}

const CORNERS: [(f64, f64); 4] =
    [(-REACH_MM, REACH_MM), (REACH_MM, REACH_MM), (-REACH_MM, -REACH_MM), (REACH_MM, -REACH_MM)];

fn stations(test: BoardTest) -> Option<Vec<Station>> {
    let empty = Station::Empty { rest_s: REST_S };
    Some(match test {
        // The standard processing drops the first 5 s.
        BoardTest::Noise => vec![empty, mass(20.0, 0.0, 0.0, 10.0, 65.0), empty],
        BoardTest::CornerLoad => one_by_one(&CORNERS),
        BoardTest::HoldOut => one_by_one(&HOLD_OUTS),
        BoardTest::Repeatability => one_by_one(&[(0.0, 0.0); 5]),
        BoardTest::UpAndDown => {
            let steps = [20.0, 40.0, 60.0, 40.0, 20.0];
            let loads = steps.map(|mass_kg| mass(mass_kg, 0.0, 0.0, 10.0, 5.0));
            [vec![empty], loads.to_vec(), vec![empty]].concat()
        }
        BoardTest::SmallSwing => {
            let end = |i: usize| (if i.is_multiple_of(2) { -0.5 } else { 0.5 }) * 100.0 / 60.0;
            let side = (0..=N_SWINGS).map(|i| mass(60.0, end(i), 0.0, 3.0, 4.0));
            let forward = (0..=N_SWINGS).map(|i| mass(60.0, 0.0, end(i), 3.0, 4.0));
            std::iter::once(empty).chain(side).chain(forward).chain([empty]).collect()
        }
        // Five seconds of zero end a minute after the mass was taken off.
        BoardTest::Creep => {
            vec![empty, mass(60.0, 0.0, 0.0, 30.0, 570.0), Station::Empty { rest_s: 55.0 }]
        }
        BoardTest::Drift => vec![empty, Station::Watch { seconds: 1_800.0 }],
        BoardTest::Clock => vec![empty, Station::Watch { seconds: 600.0 }],
        BoardTest::Skew => vec![empty, Station::Watch { seconds: 20.0 }],
        BoardTest::ContactPlane => {
            let loaded = mass(40.0, 0.0, 0.0, 3.0, 5.0);
            vec![empty, loaded, loaded, loaded, empty]
        }
        BoardTest::Resonance => {
            let tap = Station::Watch { seconds: 10.0 };
            vec![empty, mass(20.0, 0.0, 0.0, 5.0, 3.0), tap, empty, tap]
        }
        BoardTest::Overload => {
            let heavy = Station::Exercise { least_newtons: OVERLOAD_NEWTONS };
            let again = one_by_one(&CORNERS);
            [vec![empty, heavy, empty], again[1..].to_vec()].concat()
        }
        BoardTest::Software => return None,
    })
}

/// What the readings of a test's course give; a test without a course needs none.
///
/// Readings that are missing are values that could not be measured, which are outside any limit.
pub fn judge(
    test: BoardTest,
    read: Option<&GuidedReadings>,
    calibration: &Calibration,
) -> Vec<Finding> {
    let readings = read.map_or(&[][..], GuidedReadings::readings);
    let loads: Vec<Load> = readings
        .iter()
        .map(|reading| Load::from_counts(reading.net_counts(), calibration))
        .collect();
    let nothing = Load { newtons: f64::NAN, ml_mm: f64::NAN, ap_mm: f64::NAN };
    let load = |i: usize| loads.get(i).copied().unwrap_or(nothing);
    let moved = |line: Option<ZeroLine>| {
        line.and_then(|line| line.moved_newtons(&calibration.newtons_per_count))
            .unwrap_or([f64::INFINITY; 4])
    };
    match test {
        BoardTest::Noise => readings
            .first()
            .and_then(|reading| dead_weight(&reading.frames, &reading.zero, calibration).ok())
            .map_or_else(Vec::new, |shown| noise(&shown, calibration)),
        BoardTest::CornerLoad => corner_load(&loads),
        BoardTest::HoldOut => {
            let marked = |(&(ml_mm, ap_mm), load): (&(f64, f64), &Load)| Marked {
                ml_mm,
                ap_mm,
                load: *load,
            };
            hold_out(&HOLD_OUTS.iter().zip(&loads).map(marked).collect::<Vec<_>>())
        }
        BoardTest::Repeatability => repeatability(&loads),
        BoardTest::UpAndDown => up_and_down(&std::array::from_fn(load)),
        BoardTest::SmallSwing => {
            let (side, forward) = loads.split_at(loads.len().min(N_SWINGS + 1));
            let places = |loads: &[Load], of: fn(&Load) -> f64| -> Vec<f64> {
                loads.iter().map(of).collect()
            };
            small_swing(
                &places(side, |load| load.ml_mm),
                &places(forward, |load| load.ap_mm),
                load(0).newtons,
            )
        }
        BoardTest::Creep => {
            let mut found = creep(&places_every(readings.first(), 5.0, calibration));
            found.extend(zero_return(moved(readings.first().map(|reading| reading.zero))));
            found
        }
        BoardTest::Drift => drift(&minute_means(readings.first(), calibration)),
        BoardTest::Clock => {
            clock(&readings.first().map_or_else(ClockRecord::default, clock_record))
        }
        BoardTest::Skew => {
            let (forces, rate) = forces(readings.first(), calibration);
            skew(&forces, rate)
        }
        BoardTest::ContactPlane => {
            let pull =
                |i: usize, height_mm: f64| Pull { newtons: PULL_NEWTONS, height_mm, load: load(i) };
            let (low, high) = PULL_HEIGHTS_MM;
            contact_plane(&load(0), &pull(1, low), &pull(2, high), DRAWN_DEPTH_MM)
        }
        BoardTest::Resonance => {
            let (loaded, rate) = after_the_tap(readings.get(1), calibration);
            let (bare, _) = after_the_tap(readings.get(2), calibration);
            resonance(&loaded, &bare, rate)
        }
        BoardTest::Overload => {
            let zeros = read.map_or(&[][..], GuidedReadings::zeros);
            let line = match *zeros {
                [before, after, ..] => Some(ZeroLine { before, after: Some(after) }),
                _ => None,
            };
            overload(moved(line), &loads)
        }
        BoardTest::Software => software(),
    }
}

/// Loads of successive pieces of one reading.
fn places_every(reading: Option<&Reading>, piece_s: f64, calibration: &Calibration) -> Vec<Load> {
    let Some(reading) = reading else { return Vec::new() };
    pieces(reading, piece_s)
        .map(|piece| {
            let zero = reading.zero.at(piece[piece.len() / 2].time_us);
            let mean = mean_counts(piece);
            let net = std::array::from_fn(|i| mean[i] - zero.counts[i]);
            Load::from_counts(net, calibration)
        })
        .collect()
}

fn minute_means(reading: Option<&Reading>, calibration: &Calibration) -> Vec<[f64; 4]> {
    let Some(reading) = reading else { return Vec::new() };
    let newtons = |piece: &[BoardFrame]| {
        let mean = mean_counts(piece);
        std::array::from_fn(|i| mean[i] * calibration.newtons_per_count[i])
    };
    pieces(reading, 60.0).map(newtons).collect()
}

/// Whole pieces of `piece_s` seconds of board time.
fn pieces(reading: &Reading, piece_s: f64) -> impl Iterator<Item = &[BoardFrame]> {
    let begun_us = reading.frames.first().map_or(0, |frame| frame.time_us);
    let number =
        move |frame: &BoardFrame| ((frame.time_us - begun_us) as f64 / 1e6 / piece_s).floor();
    let last = reading.frames.last().map_or(0.0, number);
    reading
        .frames
        .chunk_by(move |a, b| (number(a) - number(b)).abs() < 0.5)
        // The last piece is whole only if the reading ends with it.
        .filter(move |piece| {
            let span_s = (piece[piece.len() - 1].time_us - piece[0].time_us) as f64 / 1e6;
            number(&piece[0]) < last || 0.95 * piece_s <= span_s
        })
}

fn mean_counts(frames: &[BoardFrame]) -> [f64; 4] {
    std::array::from_fn(|i| {
        frames.iter().map(|frame| f64::from(frame.counts[i])).sum::<f64>() / frames.len() as f64
    })
}

fn clock_record(reading: &Reading) -> ClockRecord {
    ClockRecord {
        board_us: reading.frames.iter().map(|frame| frame.time_us).collect(),
        host_us: reading.arrived_us.clone(),
        sequence: reading.frames.iter().map(|frame| frame.sequence).collect(),
    }
}

/// Forces of each frame, and the frames per second by the board's clock.
fn forces(reading: Option<&Reading>, calibration: &Calibration) -> (Vec<[f64; 4]>, f64) {
    let Some(reading) = reading else { return (Vec::new(), f64::NAN) };
    let zero = reading.zero.before;
    let forces = reading
        .frames
        .iter()
        .map(|frame| forces_from_counts(frame.counts, &zero, calibration))
        .collect();
    let rate = match (reading.frames.first(), reading.frames.last()) {
        (Some(first), Some(last)) if first.time_us < last.time_us => {
            (last.sequence - first.sequence) as f64 * 1e6 / (last.time_us - first.time_us) as f64
        }
        _ => f64::NAN,
    };
    (forces, rate)
}

/// The total force for a second after its largest jump.
fn after_the_tap(reading: Option<&Reading>, calibration: &Calibration) -> (Vec<f64>, f64) {
    let (forces, rate) = forces(reading, calibration);
    let totals: Vec<f64> = forces.iter().map(|forces| forces.iter().sum()).collect();
    let jump = |i: usize| (totals[i + 1] - totals[i]).abs();
    let tap = (0..totals.len().saturating_sub(1))
        .max_by(|&a, &b| jump(a).total_cmp(&jump(b)))
        .unwrap_or(0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a second of frames; a rate that is no number gives none"
    )]
    let second = rate as usize;
    let end = (tap + 1 + second).min(totals.len());
    (totals.get(tap + 1..end).unwrap_or_default().to_vec(), rate)
}
