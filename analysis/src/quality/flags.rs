//! Everything that is known about a trial's worth, and what of it has to be said.

use crate::board_noise::NoiseShare;
use crate::even_trace::{Continuity, LONGEST_BRIDGED_GAP_MS, LONGEST_GAP_MS, MOST_LOST_SHARE};
use crate::keyed::keyed_enum;
use crate::quality::events::{
    FootShift, LoadChange, LoadedCop, foot_shifts, load_changes, step_off_s, usual_load_newtons,
};
use crate::sample_rate::SampleRate;

keyed_enum! {
    /// What has to be said beside every number of a trial.
    pub enum QualityFlag ("flag") {
        /// The record could not be made even, so that nothing is measured.
        NotMeasurable = "not-measurable",
        /// More than 0.1 % of the samples are missing, the most a board may lose.
        LostSamples = "lost-samples",
        /// A gap over 40 ms split the record; its longest part was measured.
        Split = "split",
        /// Some counts were at the end of the converter's range.
        Saturated = "saturated",
        /// In some samples the load was too low for a centre of pressure.
        LowLoad = "low-load",
        /// The person stepped off.
        StepOff = "step-off",
        /// The load fell by more than 2 % for a second or more: a hand took weight.
        SupportUsed = "support-used",
        /// The load rose by more than 2 % for a second or more.
        LoadAdded = "load-added",
        /// The centre of pressure jumped and stayed: a foot was put elsewhere.
        FootShift = "foot-shift",
        /// The board's noise makes more than a tenth of the path.
        NoisyBoard = "noisy-board",
        /// The board's noise makes more than three tenths of the path: the trial is rejected.
        TooNoisy = "too-noisy",
        /// The empty board read otherwise after than before: a cell moved by more than 30 g.
        ZeroMoved = "zero-moved",
        /// A cell's zero moved by more than 100 g: the trial is rejected.
        ZeroLost = "zero-lost",
    }
}

impl QualityFlag {
    /// Whether a trial with this flag is rejected for measures: shown, and evidence of nothing.
    pub const fn rejects(self) -> bool {
        matches!(self, Self::NotMeasurable | Self::TooNoisy | Self::ZeroLost)
    }

    /// Whether a stand with this flag was not held to its end without help, as far as can be told.
    pub const fn spoils_a_hold(self) -> bool {
        self.rejects() || matches!(self, Self::LowLoad | Self::StepOff | Self::SupportUsed)
    }
}

/// A board may lose this share of its samples unnoticed: the demand on the recommended board.
const UNNOTICED_LOST_SHARE: f64 = 0.001;

/// A share of noise in the path that is worth a word; our own choice. At a tenth the path is 0.5 %
/// too long.
const NOTICED_NOISE_SHARE: f64 = 0.1;

/// Changes of a cell's zero over a trial that are worth a word, and that reject it: 30 g and 100 g.
///
/// # Source
/// Our own error budget: 30 g on all four cells move the centre of pressure by 0.2 mm per axis at
/// 60 kg.
const ZERO_MOVED_NEWTONS: f64 = 0.03 * 9.806_65;
const ZERO_LOST_NEWTONS: f64 = 0.1 * 9.806_65;

/// What is known of a recording beside its samples.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RecordFacts {
    /// How whole the record was; `None` if it could not be made even.
    pub continuity: Option<Continuity>,
    /// Samples with a count at the end of the converter's range.
    pub n_saturated: usize,
    /// How much of the path the board's noise explains; `None` without a dead-weight check.
    pub noise: Option<NoiseShare>,
    /// Largest change of a cell's zero from before to after, in newtons; `None` if the empty board
    /// was not read afterwards.
    pub zero_moved_newtons: Option<f64>,
}

/// Everything that is known about a trial's worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Quality {
    /// Samples per second by the board's clock.
    pub true_rate: Option<SampleRate>,
    /// Samples that are missing or carry no centre of pressure.
    pub n_lost: usize,
    /// The longest gap, in milliseconds.
    pub longest_gap_ms: f64,
    /// Samples with a count at the end of the converter's range.
    pub n_saturated: usize,
    /// Samples with a load too low for a centre of pressure.
    pub n_unloaded: usize,
    /// Median load, in newtons; `None` if nobody stood there.
    pub usual_load_newtons: Option<f64>,
    /// Mean load of the loaded samples, in newtons.
    pub mean_load_newtons: Option<f64>,
    /// Greatest less smallest load of the loaded samples, in newtons.
    pub load_range_newtons: Option<f64>,
    /// When the person stepped off, in seconds from the first sample.
    pub step_off_s: Option<f64>,
    /// Stretches of sustained load change.
    pub load_changes: Vec<LoadChange>,
    /// Moments at which a foot was put elsewhere.
    pub foot_shifts: Vec<FootShift>,
    /// How much of the path the board's noise explains.
    pub noise: Option<NoiseShare>,
    /// What has to be said, in the order of [`QualityFlag::ALL`].
    pub flags: Vec<QualityFlag>,
}

impl Quality {
    /// Judges the samples of a trial, in order of time.
    pub fn of(samples: &[LoadedCop], facts: &RecordFacts) -> Self {
        let loaded = samples.iter().filter(|s| s.cop.is_some() && s.load_newtons.is_finite());
        let loads = loaded.map(|s| s.load_newtons);
        let n_loaded = loads.clone().count();
        let some = |value: f64| (0 < n_loaded).then_some(value);
        let (low, high) =
            loads.clone().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), load| {
                (low.min(load), high.max(load))
            });
        let mut quality = Self {
            true_rate: facts.continuity.map(|c| c.true_rate),
            n_lost: facts.continuity.map_or(0, |c| c.n_lost),
            longest_gap_ms: facts.continuity.map_or(0.0, |c| c.longest_gap_ms),
            n_saturated: facts.n_saturated,
            n_unloaded: samples.iter().filter(|s| s.cop.is_none()).count(),
            usual_load_newtons: usual_load_newtons(samples),
            mean_load_newtons: some(loads.sum::<f64>() / n_loaded.max(1) as f64),
            load_range_newtons: some(high - low),
            step_off_s: step_off_s(samples),
            load_changes: load_changes(samples),
            foot_shifts: foot_shifts(samples),
            noise: facts.noise,
            flags: Vec::new(),
        };
        let raised = |flag: &QualityFlag| quality.raises(*flag, facts);
        quality.flags = QualityFlag::ALL.iter().copied().filter(raised).collect();
        quality
    }

    fn raises(&self, flag: QualityFlag, facts: &RecordFacts) -> bool {
        let continuity = facts.continuity;
        match flag {
            QualityFlag::NotMeasurable => continuity.is_none_or(|c| {
                MOST_LOST_SHARE < c.lost_share() || LONGEST_GAP_MS < c.longest_gap_ms
            }),
            QualityFlag::LostSamples => {
                continuity.is_some_and(|c| UNNOTICED_LOST_SHARE < c.lost_share())
            }
            QualityFlag::Split => continuity
                .is_some_and(|c| 0 < c.n_splits || LONGEST_BRIDGED_GAP_MS < c.longest_gap_ms),
            QualityFlag::Saturated => 0 < self.n_saturated,
            QualityFlag::LowLoad => 0 < self.n_unloaded,
            QualityFlag::StepOff => self.step_off_s.is_some(),
            QualityFlag::SupportUsed => self.load_changes.iter().any(|c| c.share < 0.0),
            QualityFlag::LoadAdded => self.load_changes.iter().any(|c| 0.0 < c.share),
            QualityFlag::FootShift => !self.foot_shifts.is_empty(),
            QualityFlag::NoisyBoard => self.noise.is_some_and(|n| NOTICED_NOISE_SHARE < n.share),
            QualityFlag::TooNoisy => self.noise.is_some_and(|n| n.corrected.is_err()),
            QualityFlag::ZeroMoved => {
                facts.zero_moved_newtons.is_some_and(|moved| ZERO_MOVED_NEWTONS < moved)
            }
            QualityFlag::ZeroLost => {
                facts.zero_moved_newtons.is_some_and(|moved| ZERO_LOST_NEWTONS < moved)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cop::{Cop, Plane};
    use crate::even_trace::{TimedCop, even_trace};

    fn stand(n: u32) -> Vec<LoadedCop> {
        let sample = |i: u32| LoadedCop {
            time_us: u64::from(i) * 10_000,
            load_newtons: 600.0 + f64::from(i % 3) - 1.0,
            cop: Some(Cop::new(f64::from(i % 5), 0.0)),
        };
        (0..n).map(sample).collect()
    }

    #[test]
    fn a_zero_that_moved_by_30_g_is_told_and_one_by_100_g_rejects() {
        let samples = stand(3_000);
        for (grams, wanted) in [
            (0.0, &[][..]),
            (29.0, &[]),
            (31.0, &[QualityFlag::ZeroMoved]),
            (101.0, &[QualityFlag::ZeroMoved, QualityFlag::ZeroLost]),
        ] {
            let zero_moved_newtons = Some(grams * 9.806_65e-3);
            let quality =
                Quality::of(&samples, &RecordFacts { zero_moved_newtons, ..facts(&samples) });
            assert_eq!(quality.flags, wanted, "{grams} g");
        }
    }

    fn facts(samples: &[LoadedCop]) -> RecordFacts {
        let timed: Vec<TimedCop> =
            samples.iter().map(|s| TimedCop { time_us: s.time_us, cop: s.cop }).collect();
        let even = even_trace(&timed, Plane::Plate).ok();
        RecordFacts { continuity: even.map(|even| even.continuity), ..RecordFacts::default() }
    }

    #[test]
    fn a_clean_trial_raises_nothing() {
        let samples = stand(6000);
        let quality = Quality::of(&samples, &facts(&samples));
        assert!(quality.flags.is_empty(), "{:?}", quality.flags);
        assert!((quality.mean_load_newtons.unwrap() - 600.0).abs() < 1e-9);
        assert!((quality.load_range_newtons.unwrap() - 2.0).abs() < 1e-9);
        assert!((quality.true_rate.unwrap().hz() - 100.0).abs() < 1e-6);
    }

    #[test]
    fn each_fault_raises_its_flag() {
        let flags_after = |change: fn(&mut Vec<LoadedCop>)| {
            let mut samples = stand(6000);
            change(&mut samples);
            Quality::of(&samples, &facts(&samples)).flags
        };
        assert_eq!(
            flags_after(|s| {
                s.drain(3000..3006);
            }),
            [QualityFlag::Split]
        );
        assert_eq!(
            flags_after(|s| {
                s.drain(3000..3003);
                s.drain(4000..4004);
            }),
            [QualityFlag::LostSamples]
        );
        assert_eq!(
            flags_after(|s| s[3000..].iter_mut().for_each(|sample| sample.cop = None)),
            [QualityFlag::NotMeasurable, QualityFlag::LowLoad, QualityFlag::StepOff]
        );
        assert_eq!(
            flags_after(|s| s[3000..3300]
                .iter_mut()
                .for_each(|sample| sample.load_newtons = 560.0)),
            [QualityFlag::SupportUsed]
        );
        assert_eq!(
            flags_after(|s| s[3000..3300]
                .iter_mut()
                .for_each(|sample| sample.load_newtons = 660.0)),
            [QualityFlag::LoadAdded]
        );
        assert_eq!(
            flags_after(|s| s[3000..].iter_mut().for_each(|s| s.cop = Some(Cop::new(50.0, 0.0)))),
            [QualityFlag::FootShift]
        );
    }

    #[test]
    fn an_empty_record_is_not_measurable_and_has_no_load() {
        let quality = Quality::of(&[], &RecordFacts::default());
        assert_eq!(quality.flags, [QualityFlag::NotMeasurable]);
        assert_eq!((quality.usual_load_newtons, quality.mean_load_newtons), (None, None));
    }
}
