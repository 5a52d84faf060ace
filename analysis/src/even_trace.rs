//! From timed samples to an evenly spaced trace.

use crate::cop::{Cop, Plane};
use crate::not_available::NotAvailable;
use crate::sample_rate::SampleRate;
use crate::trace::Trace;

/// Stretches without samples up to this long are bridged by straight lines, in milliseconds.
pub const LONGEST_BRIDGED_GAP_MS: f64 = 40.0;

/// A longer stretch without samples makes a record unfit for measures, in milliseconds.
pub const LONGEST_GAP_MS: f64 = 200.0;

/// A greater share of lost samples makes a record unfit for measures.
pub const MOST_LOST_SHARE: f64 = 0.01;

/// Gap lengths are compared with this much grace, in milliseconds: time stamps are whole
/// microseconds, and the rate found from them is off by less.
const GRACE_MS: f64 = 0.01;

/// The centre of pressure at one instant of the board's clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimedCop {
    /// Time on the board's own clock, in microseconds from any origin, already unwrapped.
    pub time_us: u64,
    /// Where the centre of pressure is; `None` where the load was too low for one to exist.
    pub cop: Option<Cop>,
}

/// An evenly spaced trace and how whole the record was that it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct EvenTrace {
    /// The longest stretch without a gap over [`LONGEST_BRIDGED_GAP_MS`].
    pub trace: Trace,
    /// How whole the record was.
    pub continuity: Continuity,
}

/// How whole a record was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Continuity {
    /// Samples per second by the board's clock, before a rate close to 100 is taken for 100.
    pub true_rate: SampleRate,
    /// Samples there would be had none been lost.
    pub n_expected: usize,
    /// Samples that are missing or carry no centre of pressure.
    pub n_lost: usize,
    /// Those of `n_lost` that arrived with too low a load.
    pub n_unloaded: usize,
    /// Gaps that were bridged.
    pub n_bridged: usize,
    /// Gaps that were too long to bridge and split the record.
    pub n_splits: usize,
    /// The longest gap, bridged or not, in milliseconds.
    pub longest_gap_ms: f64,
    /// Root mean square distance of the time stamps from an even grid, in milliseconds.
    pub jitter_ms: f64,
}

impl Continuity {
    /// Share of samples lost, from 0 to 1.
    pub fn lost_share(&self) -> f64 {
        self.n_lost as f64 / self.n_expected as f64
    }
}

/// An even trace from the samples of a recording, in order of time.
///
/// The rate is that of the board's clock, by a straight line through all time stamps; within 100 ppm
/// of 100 Hz it counts as 100 Hz. A gap is as long as the time its missing samples would have
/// filled; a sample without a centre of pressure is missing too. Gaps up to
/// [`LONGEST_BRIDGED_GAP_MS`] are bridged by straight lines and counted; longer ones split the
/// record, and the longest stretch is kept. Missing samples at either end are lost but not made up.
///
/// # Errors
/// Fewer than two samples, times that do not grow or fit no even grid, no loaded sample, a gap over
/// [`LONGEST_GAP_MS`], or a share over [`MOST_LOST_SHARE`] lost: such a record is not measured.
pub fn even_trace(samples: &[TimedCop], plane: Plane) -> Result<EvenTrace, NotAvailable> {
    let grid = Grid::through(samples)?;
    let mut slots: Vec<Option<Cop>> = vec![None; grid.n_slots];
    for (sample, &slot) in samples.iter().zip(&grid.slot_of_sample) {
        slots[slot] = sample.cop.filter(|cop| cop.ml_mm.is_finite() && cop.ap_mm.is_finite());
    }
    let gaps = gaps(&slots);
    if gaps.first().is_some_and(|gap| gap.n_slots == slots.len()) {
        return Err(NotAvailable::NoLoad);
    }
    let gap_ms = |gap: &Gap| gap.n_slots as f64 * grid.interval_ms();
    let longest_gap_ms = gaps.iter().map(gap_ms).fold(0.0, f64::max);
    if LONGEST_GAP_MS + GRACE_MS < longest_gap_ms {
        return Err(NotAvailable::GapTooLong { gap_ms: longest_gap_ms, limit_ms: LONGEST_GAP_MS });
    }
    let n_lost: usize = gaps.iter().map(|gap| gap.n_slots).sum();
    let lost_share = n_lost as f64 / slots.len() as f64;
    if MOST_LOST_SHARE < lost_share {
        return Err(NotAvailable::TooManyLost {
            lost_percent: 100.0 * lost_share,
            limit_percent: 100.0 * MOST_LOST_SHARE,
        });
    }

    let (mut n_bridged, mut n_splits) = (0, 0);
    let mut stretch = Stretch::default();
    let mut longest = Stretch::default();
    for gap in &gaps {
        let at_an_end = gap.from == 0 || gap.from + gap.n_slots == slots.len();
        if !at_an_end && gap_ms(gap) <= LONGEST_BRIDGED_GAP_MS + GRACE_MS {
            bridge(&mut slots, *gap);
            n_bridged += 1;
            continue;
        }
        n_splits += usize::from(!at_an_end);
        stretch.to = gap.from;
        longest = longest.longer(stretch);
        stretch.from = gap.from + gap.n_slots;
    }
    stretch.to = slots.len();
    longest = longest.longer(stretch);

    let points = slots[longest.from..longest.to].iter().flatten().copied().collect();
    let rate = if grid.rate.counts_as_standard() { SampleRate::STANDARD } else { grid.rate };
    Ok(EvenTrace {
        trace: Trace::from_finite(rate, plane, points),
        continuity: Continuity {
            true_rate: grid.rate,
            n_expected: grid.n_slots,
            n_lost,
            n_unloaded: n_lost + samples.len() - grid.n_slots,
            n_bridged,
            n_splits,
            longest_gap_ms,
            jitter_ms: grid.jitter_ms,
        },
    })
}

/// Where each sample belongs on an even grid.
struct Grid {
    rate: SampleRate,
    slot_of_sample: Vec<usize>,
    n_slots: usize,
    jitter_ms: f64,
}

impl Grid {
    fn interval_ms(&self) -> f64 {
        1e3 / self.rate.hz()
    }

    fn through(samples: &[TimedCop]) -> Result<Self, NotAvailable> {
        const NEEDED: usize = 2;
        if samples.len() < NEEDED {
            return Err(NotAvailable::TooFewSamples { n_samples: samples.len(), needed: NEEDED });
        }
        let mut intervals_us = Vec::with_capacity(samples.len() - 1);
        for (index, pair) in samples.windows(2).enumerate() {
            let interval = pair[1].time_us.checked_sub(pair[0].time_us).filter(|&us| 0 < us);
            let Some(interval) = interval else {
                return Err(NotAvailable::TimeNotIncreasing { index: index + 1 });
            };
            intervals_us.push(interval as f64);
        }
        let mut sorted = intervals_us.clone();
        let middle = sorted.len() / 2;
        let usual_us = *sorted.select_nth_unstable_by(middle, f64::total_cmp).1;

        let mut slot = 0;
        let mut slot_of_sample = Vec::with_capacity(samples.len());
        slot_of_sample.push(slot);
        for interval_us in intervals_us {
            if interval_us <= 0.5 * usual_us {
                let deviation_ms = (usual_us - interval_us) / 1e3;
                return Err(NotAvailable::UnevenTimes { deviation_ms });
            }
            let gap_ms = (interval_us - usual_us) / 1e3;
            // Looked at before the slots are made: a leap in time must not ask for their memory.
            if LONGEST_GAP_MS + 0.5 * usual_us / 1e3 < gap_ms {
                return Err(NotAvailable::GapTooLong { gap_ms, limit_ms: LONGEST_GAP_MS });
            }
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "not negative, and bounded by the longest gap"
            )]
            let steps = (interval_us / usual_us).round() as usize;
            slot += steps;
            slot_of_sample.push(slot);
        }
        Self::fit(samples, slot_of_sample)
    }

    /// The straight line of time over slot that is nearest to the time stamps.
    fn fit(samples: &[TimedCop], slot_of_sample: Vec<usize>) -> Result<Self, NotAvailable> {
        let start_us = samples[0].time_us;
        let time_us = |sample: &TimedCop| (sample.time_us - start_us) as f64;
        let n = samples.len() as f64;
        let mean_slot = slot_of_sample.iter().map(|&slot| slot as f64).sum::<f64>() / n;
        let mean_us = samples.iter().map(time_us).sum::<f64>() / n;
        let (mut slot_us, mut slot_slot) = (0.0, 0.0);
        for (sample, &slot) in samples.iter().zip(&slot_of_sample) {
            let slot = slot as f64 - mean_slot;
            slot_us += slot * (time_us(sample) - mean_us);
            slot_slot += slot * slot;
        }
        let interval_us = slot_us / slot_slot;
        let (mut squares, mut largest): (f64, f64) = (0.0, 0.0);
        for (sample, &slot) in samples.iter().zip(&slot_of_sample) {
            let off = (time_us(sample) - mean_us) - (slot as f64 - mean_slot) * interval_us;
            squares += off * off;
            largest = largest.max(off.abs());
        }
        if 0.5 * interval_us < largest {
            return Err(NotAvailable::UnevenTimes { deviation_ms: largest / 1e3 });
        }
        Ok(Self {
            rate: SampleRate::from_hz(1e6 / interval_us).expect("times and slots both grow"),
            n_slots: slot_of_sample.last().expect("at least two samples") + 1,
            slot_of_sample,
            jitter_ms: (squares / n).sqrt() / 1e3,
        })
    }
}

/// A run of slots without a value.
#[derive(Clone, Copy)]
struct Gap {
    from: usize,
    n_slots: usize,
}

fn gaps(slots: &[Option<Cop>]) -> Vec<Gap> {
    let mut gaps: Vec<Gap> = Vec::new();
    for (i, slot) in slots.iter().enumerate() {
        if slot.is_some() {
            continue;
        }
        match gaps.last_mut() {
            Some(gap) if gap.from + gap.n_slots == i => gap.n_slots += 1,
            _ => gaps.push(Gap { from: i, n_slots: 1 }),
        }
    }
    gaps
}

/// Fills a gap with the straight line between its two neighbours.
fn bridge(slots: &mut [Option<Cop>], gap: Gap) {
    let (Some(before), Some(after)) = (slots[gap.from - 1], slots[gap.from + gap.n_slots]) else {
        unreachable!("a gap ends where values begin");
    };
    for i in 0..gap.n_slots {
        let part = (i + 1) as f64 / (gap.n_slots + 1) as f64;
        slots[gap.from + i] = Some(Cop::new(
            before.ml_mm + part * (after.ml_mm - before.ml_mm),
            before.ap_mm + part * (after.ap_mm - before.ap_mm),
        ));
    }
}

/// Slots from one up to, not including, another.
#[derive(Clone, Copy, Default)]
struct Stretch {
    from: usize,
    to: usize,
}

impl Stretch {
    /// The longer of two, the earlier of two that are equally long.
    fn longer(self, other: Self) -> Self {
        if self.to - self.from < other.to.saturating_sub(other.from) { other } else { self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Samples at `rate_hz` on the line ml = t, ap = -2 t (t in seconds), without those in `lost`.
    fn line(rate_hz: f64, n: usize, lost: &[usize]) -> Vec<TimedCop> {
        (0..n)
            .filter(|i| !lost.contains(i))
            .map(|i| {
                let t = i as f64 / rate_hz;
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "small"
                )]
                let time_us = 5_000_000 + (1e6 * t).round() as u64;
                TimedCop { time_us, cop: Some(Cop::new(t, -2.0 * t)) }
            })
            .collect()
    }

    #[test]
    fn a_whole_record_keeps_every_sample() {
        let EvenTrace { trace, continuity } =
            even_trace(&line(250.0, 500, &[]), Plane::Plate).unwrap();
        assert_eq!(trace.points().len(), 500);
        assert!((trace.rate().hz() - 250.0).abs() < 1e-6);
        assert_eq!((continuity.n_lost, continuity.n_bridged, continuity.n_splits), (0, 0, 0));
        assert_eq!(continuity.n_expected, 500);
    }

    #[test]
    fn a_rate_within_100_ppm_of_100_counts_as_100() {
        for (rate_hz, wanted_hz) in [(100.009, 100.0), (99.991, 100.0), (100.02, 100.02)] {
            let even = even_trace(&line(rate_hz, 6000, &[]), Plane::Plate).unwrap();
            assert!((even.trace.rate().hz() - wanted_hz).abs() < 1e-5, "{rate_hz}");
            assert!((even.continuity.true_rate.hz() - rate_hz).abs() < 1e-5, "{rate_hz}");
        }
    }

    #[test]
    fn short_gaps_are_bridged_on_the_straight_line() {
        // 4 samples at 100 Hz are 40 ms.
        let even = even_trace(&line(100.0, 1000, &[3, 10, 11, 12, 13]), Plane::Plate).unwrap();
        let points = even.trace.points();
        assert_eq!(points.len(), 1000);
        for (i, point) in points.iter().enumerate() {
            let t = i as f64 / 100.0;
            assert!((point.ml_mm - t).hypot(point.ap_mm + 2.0 * t) < 1e-9, "{i}");
        }
        let continuity = even.continuity;
        assert_eq!((continuity.n_lost, continuity.n_bridged, continuity.n_splits), (5, 2, 0));
        assert!((continuity.longest_gap_ms - 40.0).abs() < 1e-3);
        assert!((continuity.lost_share() - 0.005).abs() < 1e-12);
    }

    #[test]
    fn a_longer_gap_splits_and_the_longer_part_stays() {
        let even =
            even_trace(&line(100.0, 1000, &[400, 401, 402, 403, 404]), Plane::Plate).unwrap();
        assert_eq!(even.trace.points().len(), 595);
        assert!((even.trace.points()[0].ml_mm - 4.05).abs() < 1e-12);
        assert_eq!((even.continuity.n_bridged, even.continuity.n_splits), (0, 1));
    }

    #[test]
    fn unloaded_samples_are_gaps_too() {
        let mut samples = line(100.0, 1000, &[]);
        samples[500].cop = None;
        samples[999].cop = Some(Cop::new(f64::NAN, 0.0));
        let even = even_trace(&samples, Plane::Plate).unwrap();
        assert_eq!(even.trace.points().len(), 999);
        let continuity = even.continuity;
        assert_eq!((continuity.n_lost, continuity.n_unloaded, continuity.n_bridged), (2, 2, 1));
    }

    #[test]
    fn what_cannot_be_measured_says_why() {
        let check = |samples: &[TimedCop], wanted: &str| {
            assert_eq!(even_trace(samples, Plane::Plate).unwrap_err().to_string(), wanted);
        };
        check(&line(100.0, 1, &[]), "1 samples are too few, at least 2 are needed");
        let long: Vec<usize> = (50..71).collect();
        check(&line(100.0, 5000, &long), "210 ms are missing in one stretch, the limit is 200 ms");
        let every_fiftieth: Vec<usize> = (1..1000).filter(|i| i % 50 == 0).collect();
        check(
            &line(100.0, 1000, &every_fiftieth),
            "1.90 % of the samples are missing, the limit is 1 %",
        );
        let mut twice = line(100.0, 10, &[]);
        twice[4].time_us = twice[3].time_us;
        check(&twice, "the time of sample 4 is not later than the one before");
        let mut unloaded = line(100.0, 10, &[]);
        for sample in &mut unloaded {
            sample.cop = None;
        }
        check(&unloaded, "no sample carries a load");
        let mut late = line(100.0, 1000, &[]);
        late[500].time_us += 7_000;
        assert!(matches!(
            even_trace(&late, Plane::Plate),
            Err(NotAvailable::UnevenTimes { deviation_ms }) if 6.9 < deviation_ms && deviation_ms < 7.1
        ));
    }

    #[test]
    fn a_leap_in_time_asks_for_no_memory() {
        let mut samples = line(100.0, 10, &[]);
        samples[9].time_us = u64::MAX;
        assert!(matches!(even_trace(&samples, Plane::Plate), Err(NotAvailable::GapTooLong { .. })));
    }
}
