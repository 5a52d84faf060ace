//! What a person did on the board, read off load and centre of pressure.
//!
//! The limits are our own choice, unless said otherwise. They were held against 36 recordings of
//! quiet standing on firm ground and on foam, eyes open and closed (Santos & Duarte 2016), in which
//! nobody did any of these things: none is reported in them.

use std::ops::Range;

use crate::cop::Cop;

/// Load and centre of pressure at one instant of the board's clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadedCop {
    /// Time on the board's own clock, in microseconds, already unwrapped.
    pub time_us: u64,
    /// Vertical force of all corners, in newtons.
    pub load_newtons: f64,
    /// Where the centre of pressure is; `None` where the load was too low for one to exist.
    pub cop: Option<Cop>,
}

/// A load that stayed away from the usual one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadChange {
    /// When it began, in seconds from the first sample.
    pub from_s: f64,
    /// When it ended, in seconds from the first sample.
    pub to_s: f64,
    /// The mean change as a share of the usual load, below zero for a drop.
    pub share: f64,
}

/// A sudden move of the centre of pressure to a place where it then stayed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FootShift {
    /// When it happened, in seconds from the first sample.
    pub at_s: f64,
    /// How far the mean position lies from where it was, in millimetres.
    pub distance_mm: f64,
}

/// A person who stays on the board for this long has stepped on, in seconds.
const STANDING_S: f64 = 1.0;
/// Standing still: the load keeps within this share of its mean for [`STANDING_S`] ...
const STILL_LOAD_SHARE: f64 = 0.05;
/// ... and the centre of pressure within this range on each axis, in millimetres.
const STILL_RANGE_MM: f64 = 40.0;
/// Below this share of the usual load for [`OFF_S`] a foot at least has left the board.
const OFF_SHARE: f64 = 0.5;
const OFF_S: f64 = 0.1;
/// A support takes more than this share of the body's weight: the rule of this project.
const SUPPORT_SHARE: f64 = 0.02;
/// The load is judged by its means over this time, twice in a row, so that neither breath nor a
/// heart beat counts, in seconds.
const BLOCK_S: f64 = 0.5;
/// A foot that moves drives the centre of pressure faster than this, in millimetres per second,
/// over [`SPEED_STEP_S`] (catching one's balance on foam reached 770 in one recording and 500 in
/// another, of an old person's first trials; quiet sway stays below 300) ...
const SHIFT_SPEED_MM_PER_S: f64 = 600.0;
const SPEED_STEP_S: f64 = 0.04;
/// ... and leaves its mean over [`SETTLED_S`] before and after this far apart, in millimetres.
const SHIFT_DISTANCE_MM: f64 = 15.0;
const SETTLED_S: f64 = 2.0;
/// Left out on each side of a shift, in seconds.
const SHIFT_S: f64 = 0.5;

fn seconds(samples: &[LoadedCop], i: usize) -> f64 {
    samples[i].time_us.saturating_sub(samples[0].time_us) as f64 / 1e6
}

/// When the person stepped on: the start of the first second of unbroken load, in seconds from the
/// first sample.
pub fn step_on_s(samples: &[LoadedCop]) -> Option<f64> {
    let mut from = None;
    for (i, sample) in samples.iter().enumerate() {
        if sample.cop.is_none() {
            from = None;
            continue;
        }
        let start_s = *from.get_or_insert_with(|| seconds(samples, i));
        if STANDING_S <= seconds(samples, i) - start_s {
            return Some(start_s);
        }
    }
    None
}

/// From when on the person stood still, in seconds from the first sample: one second in which the
/// load keeps within 5 % of its mean and the centre of pressure within 40 mm on each axis.
pub fn standing_still_s(samples: &[LoadedCop]) -> Option<f64> {
    let mut to = 0;
    for from in 0..samples.len() {
        let start_s = seconds(samples, from);
        while to < samples.len() && seconds(samples, to) - start_s < STANDING_S {
            to += 1;
        }
        if to == samples.len() {
            return None;
        }
        if is_still(&samples[from..to]) {
            return Some(start_s);
        }
    }
    None
}

fn is_still(samples: &[LoadedCop]) -> bool {
    let mean = samples.iter().map(|s| s.load_newtons).sum::<f64>() / samples.len() as f64;
    let near = |s: &LoadedCop| (s.load_newtons - mean).abs() <= STILL_LOAD_SHARE * mean;
    let range = |axis: fn(Cop) -> f64| {
        let places = samples.iter().filter_map(|s| s.cop).map(axis);
        places.clone().fold(f64::NEG_INFINITY, f64::max) - places.fold(f64::INFINITY, f64::min)
    };
    samples.iter().all(|s| s.cop.is_some() && near(s))
        && range(|cop| cop.ml_mm) <= STILL_RANGE_MM
        && range(|cop| cop.ap_mm) <= STILL_RANGE_MM
}

/// When the person stepped off, in seconds from the first sample: after having stood on the board
/// for a second, less than half the usual load for 0.1 s.
pub fn step_off_s(samples: &[LoadedCop]) -> Option<f64> {
    let on_s = step_on_s(samples)?;
    let usual = usual_load_newtons(samples)?;
    let mut from = None;
    for (i, sample) in samples.iter().enumerate() {
        let now_s = seconds(samples, i);
        let off = sample.cop.is_none() || sample.load_newtons < OFF_SHARE * usual;
        if now_s < on_s + STANDING_S || !off {
            from = None;
            continue;
        }
        let start_s = *from.get_or_insert(now_s);
        if OFF_S <= now_s - start_s {
            return Some(start_s);
        }
    }
    None
}

/// Stretches in which the load stayed more than 2 % of the usual one away from it for a second or
/// more: a support takes weight off, a thing picked up adds to it.
///
/// A fingertip is too light to be seen here: the person has to be asked.
pub fn load_changes(samples: &[LoadedCop]) -> Vec<LoadChange> {
    let Some(usual) = usual_load_newtons(samples) else { return Vec::new() };
    let mut changes = Vec::new();
    let mut run: Vec<(Range<f64>, f64)> = Vec::new();
    let mut finish = |run: &mut Vec<(Range<f64>, f64)>| {
        if let ([(first, _), .., (last, _)], n) = (run.as_slice(), run.len()) {
            let share = run.iter().map(|(_, share)| share).sum::<f64>() / n as f64;
            changes.push(LoadChange { from_s: first.start, to_s: last.end, share });
        }
        run.clear();
    };
    for block in blocks(samples) {
        let loads = samples[block.clone()].iter().filter(|s| s.cop.is_some());
        let n_loaded = loads.clone().count();
        let mean = loads.map(|s| s.load_newtons).sum::<f64>() / n_loaded.max(1) as f64;
        let share = mean / usual - 1.0;
        // A step off is another event.
        let changed =
            n_loaded == block.len() && OFF_SHARE <= 1.0 + share && SUPPORT_SHARE < share.abs();
        let other_way = run.last().is_some_and(|(_, last)| (*last < 0.0) != (share < 0.0));
        if !changed || other_way {
            finish(&mut run);
        }
        if changed {
            run.push((seconds(samples, block.start)..seconds(samples, block.end - 1), share));
        }
    }
    finish(&mut run);
    changes
}

/// Sudden moves of the centre of pressure to another place, as a foot makes that is put elsewhere.
pub fn foot_shifts(samples: &[LoadedCop]) -> Vec<FootShift> {
    let mut shifts = Vec::new();
    let mut quiet_from_s = 0.0;
    let mut before = 0;
    for i in 0..samples.len() {
        let now_s = seconds(samples, i);
        while SPEED_STEP_S < now_s - seconds(samples, before) {
            before += 1;
        }
        let (Some(from), Some(to)) = (samples[before].cop, samples[i].cop) else { continue };
        let elapsed_s = now_s - seconds(samples, before);
        let distance = distance_mm(from, to);
        if now_s < quiet_from_s || distance <= SHIFT_SPEED_MM_PER_S * elapsed_s || elapsed_s <= 0.0
        {
            continue;
        }
        let mean = |from_s: f64| {
            let from = samples.partition_point(|s| relative_s(samples, s) < from_s);
            let to = samples.partition_point(|s| relative_s(samples, s) < from_s + SETTLED_S);
            mean_cop(&samples[from..to])
        };
        let places = (mean(now_s - SHIFT_S - SETTLED_S), mean(now_s + SHIFT_S));
        if let (Some(was), Some(is)) = places {
            let distance_mm = distance_mm(was, is);
            if SHIFT_DISTANCE_MM < distance_mm {
                shifts.push(FootShift { at_s: now_s, distance_mm });
                quiet_from_s = now_s + SETTLED_S;
            }
        }
    }
    shifts
}

fn relative_s(samples: &[LoadedCop], sample: &LoadedCop) -> f64 {
    sample.time_us.saturating_sub(samples[0].time_us) as f64 / 1e6
}

fn distance_mm(from: Cop, to: Cop) -> f64 {
    (to.ml_mm - from.ml_mm).hypot(to.ap_mm - from.ap_mm)
}

/// Mean of a stretch that is loaded throughout.
fn mean_cop(samples: &[LoadedCop]) -> Option<Cop> {
    let mut sum = Cop::default();
    for sample in samples {
        let cop = sample.cop?;
        sum = Cop::new(sum.ml_mm + cop.ml_mm, sum.ap_mm + cop.ap_mm);
    }
    let n = samples.len() as f64;
    (!samples.is_empty()).then(|| Cop::new(sum.ml_mm / n, sum.ap_mm / n))
}

/// Complete blocks of [`BLOCK_S`], as positions in the samples.
fn blocks(samples: &[LoadedCop]) -> Vec<Range<usize>> {
    let mut blocks = Vec::new();
    let mut from = 0;
    for i in 0..samples.len() {
        if BLOCK_S <= seconds(samples, i) - seconds(samples, from) {
            blocks.push(from..i);
            from = i;
        }
    }
    blocks
}

/// Median of the loaded samples, in newtons.
pub(super) fn usual_load_newtons(samples: &[LoadedCop]) -> Option<f64> {
    let loaded = samples.iter().filter(|s| s.cop.is_some() && s.load_newtons.is_finite());
    let mut loads: Vec<f64> = loaded.map(|s| s.load_newtons).collect();
    let middle = loads.len() / 2;
    if loads.is_empty() {
        return None;
    }
    Some(*loads.select_nth_unstable_by(middle, f64::total_cmp).1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 20 s at 100 Hz of 600 N at one place, changed by `change` with the time in seconds.
    fn stand(change: impl Fn(f64, &mut LoadedCop)) -> Vec<LoadedCop> {
        (0..2000_u32)
            .map(|i| {
                let mut sample = LoadedCop {
                    time_us: 1_000_000 + u64::from(i) * 10_000,
                    load_newtons: 600.0,
                    cop: Some(Cop::new(5.0, -20.0)),
                };
                change(f64::from(i) / 100.0, &mut sample);
                sample
            })
            .collect()
    }

    fn near(got: Option<f64>, wanted: f64) {
        let got = got.unwrap();
        assert!((got - wanted).abs() < 0.011, "{got} instead of {wanted}");
    }

    #[test]
    fn quiet_standing_is_uneventful() {
        let samples = stand(|_, _| {});
        near(step_on_s(&samples), 0.0);
        near(standing_still_s(&samples), 0.0);
        assert_eq!(step_off_s(&samples), None);
        assert!(load_changes(&samples).is_empty());
        assert!(foot_shifts(&samples).is_empty());
    }

    #[test]
    fn stepping_on_and_settling_are_seen() {
        let samples = stand(|t, sample| {
            if t < 2.0 {
                sample.cop = None;
            } else if t < 4.0 {
                sample.load_newtons = 600.0 + 300.0 * (20.0 * t).sin();
            }
        });
        near(step_on_s(&samples), 2.0);
        near(standing_still_s(&samples), 4.0);
    }

    #[test]
    fn a_step_off_is_told_from_a_lost_sample() {
        let off = stand(|t, sample| {
            if 12.0 <= t {
                sample.cop = None;
            }
        });
        near(step_off_s(&off), 12.0);
        let lost = stand(|t, sample| {
            if (12.0..12.05).contains(&t) {
                sample.cop = None;
            }
        });
        assert_eq!(step_off_s(&lost), None);
    }

    #[test]
    fn a_hand_on_the_rail_is_a_sustained_drop() {
        let samples = stand(|t, sample| {
            if (8.0..11.0).contains(&t) {
                sample.load_newtons = 570.0;
            }
        });
        let changes = load_changes(&samples);
        assert_eq!(changes.len(), 1);
        near(Some(changes[0].from_s), 8.0);
        near(Some(changes[0].to_s), 11.0);
        assert!((changes[0].share + 0.05).abs() < 1e-9);
        let breathing = stand(|t, sample| sample.load_newtons += 15.0 * (20.0 * t).sin());
        assert!(load_changes(&breathing).is_empty());
        let fingertip = stand(|t, sample| {
            if 8.0 < t {
                sample.load_newtons = 595.0;
            }
        });
        assert!(load_changes(&fingertip).is_empty());
    }

    #[test]
    fn a_foot_put_elsewhere_is_a_jump_that_stays() {
        let jump = stand(|t, sample| {
            if 9.0 <= t {
                sample.cop = Some(Cop::new(35.0, -20.0));
            }
        });
        let shifts = foot_shifts(&jump);
        assert_eq!(shifts.len(), 1);
        near(Some(shifts[0].at_s), 9.0);
        assert!((shifts[0].distance_mm - 30.0).abs() < 1e-9);
        let there_and_back = stand(|t, sample| {
            if (9.0..9.3).contains(&t) {
                sample.cop = Some(Cop::new(60.0, -20.0));
            }
        });
        assert!(foot_shifts(&there_and_back).is_empty());
        let leaning = stand(|t, sample| sample.cop = Some(Cop::new(5.0 * t, 0.0)));
        assert!(foot_shifts(&leaning).is_empty());
    }

    #[test]
    fn nothing_at_all_has_no_events() {
        assert_eq!((step_on_s(&[]), standing_still_s(&[]), step_off_s(&[])), (None, None, None));
        assert!(load_changes(&[]).is_empty() && foot_shifts(&[]).is_empty());
        let unloaded = stand(|_, sample| sample.cop = None);
        assert_eq!((step_on_s(&unloaded), step_off_s(&unloaded)), (None, None));
    }
}
