//! The headline measures of each condition, with their intervals and what stands against them.

use acquisition::WallTime;
use analysis::readiness::{Change, Thresholds, trend};
use analysis::{
    IntervalBasis, MEASURES, MeasureDef, MeasuredTrial, Unit, Vision, WOBBLE, repeatability,
    summarise, vision_quotient,
};

use super::{LatestSet, PersonMaterial};
use crate::report::{ConditionPart, HeadlineValue, SwayPlot};
use crate::strings::Language;
use crate::window::compare::ComparedTrial;

/// Points of an ellipse's outline: on paper a corner turns by less than a hair.
const OUTLINE_POINTS: usize = 120;

impl LatestSet {
    /// Trials whose values count: measured, and not rejected by their quality.
    fn scored(&self) -> Vec<&MeasuredTrial> {
        self.trials
            .iter()
            .filter(|trial| !rejected(trial))
            .filter_map(ComparedTrial::measured)
            .collect()
    }
}

fn rejected(trial: &ComparedTrial) -> bool {
    trial.file.flags().unwrap_or_default().iter().any(|flag| flag.rejects())
}

impl PersonMaterial {
    pub(super) fn condition_parts(&self, words: &Language) -> Vec<ConditionPart> {
        self.sets.iter().map(|set| self.condition_part(words, set)).collect()
    }

    fn condition_part(&self, words: &Language, set: &LatestSet) -> ConditionPart {
        let scored = set.scored();
        let mut values: Vec<HeadlineValue> = MEASURES
            .iter()
            .filter(|measure| measure.headline && !scored.is_empty())
            .map(|measure| self.value(words, set, measure, &scored))
            .collect();
        values.extend(self.quotient(words, set, &scored));
        let lengths_s = set.trials.iter().map(|trial| trial.file.facts.asked_s);
        let length_s = lengths_s.fold(0.0, f64::max);
        let date = WallTime::date_of_day(set.day);
        ConditionPart {
            title: (words.condition)(&set.condition),
            basis: (words.report.basis)(
                scored.len(),
                &(words.decimals)(length_s, 0),
                &date,
                set.n_days,
            ),
            values,
            doubts: doubts(words, set),
        }
    }

    fn value(
        &self,
        words: &Language,
        set: &LatestSet,
        measure: &MeasureDef,
        scored: &[&MeasuredTrial],
    ) -> HeadlineValue {
        let name = (words.measure)(measure.key).unwrap_or(measure.key).to_owned();
        let unit = (words.unit)(measure.unit).to_owned();
        match summarise(scored, measure.key) {
            Ok(found) => {
                let shown = |value: f64| as_shown(measure.unit, value);
                let of_table =
                    found.interval.is_some_and(|ends| ends.basis == IntervalBasis::OpenTable);
                HeadlineValue {
                    name,
                    unit,
                    value: Some(shown(found.mean)),
                    interval: found.interval.map(|ends| [shown(ends.low), shown(ends.high)]),
                    note: self.note(words, set, measure, scored.len(), of_table),
                }
            }
            Err(reason) => HeadlineValue {
                name,
                unit,
                value: None,
                interval: None,
                note: (words.not_comparable)(&reason),
            },
        }
    }

    fn note(
        &self,
        words: &Language,
        set: &LatestSet,
        measure: &MeasureDef,
        n_trials: usize,
        of_table: bool,
    ) -> String {
        let report = &words.report;
        let detectable = repeatability(measure.key, &set.condition)
            .and_then(|table| table.detectable_ratio(n_trials, n_trials));
        let mut notes: Vec<String> = Vec::new();
        notes.extend(of_table.then(|| report.interval_of_table.to_owned()));
        notes.extend(detectable.map(|ratio| (report.chance_up_to)(&(words.decimals)(ratio, 2))));
        notes.extend(self.change(set, measure).map(|change| {
            (report.change_of_course)(&(words.decimals)(change.ratio, 2), change.real)
        }));
        notes.join("; ")
    }

    /// How the measure changed over the course; only wobble and velocity are followed.
    fn change(&self, set: &LatestSet, measure: &MeasureDef) -> Option<Change> {
        let limits = self.plan.as_ref().map_or_else(Thresholds::default, |plan| plan.thresholds);
        let trend = trend(&self.known.course, set.condition, &limits, self.until.moment())?;
        match measure.key {
            WOBBLE => trend.wobble,
            "mean_velocity" => trend.velocity,
            _ => None,
        }
    }

    /// Eyes closed over eyes open of the same stand and the same day.
    fn quotient(
        &self,
        words: &Language,
        set: &LatestSet,
        closed: &[&MeasuredTrial],
    ) -> Option<HeadlineValue> {
        if set.condition.vision != Vision::Closed {
            return None;
        }
        let open = analysis::Condition { vision: Vision::Open, ..set.condition };
        let open =
            self.sets.iter().find(|other| other.condition == open && other.day == set.day)?;
        let found = vision_quotient(&open.scored(), closed, "mean_velocity").ok()?;
        Some(HeadlineValue {
            name: words.report.vision_quotient.to_owned(),
            unit: String::new(),
            value: Some(found.change),
            interval: found.interval.map(|ends| [ends.low, ends.high]),
            note: words.report.vision_quotient_of.to_owned(),
        })
    }

    /// One drawing a condition, every path around its own mean.
    pub(super) fn sway_plots(&self, words: &Language) -> Vec<SwayPlot> {
        let plot = |set: &LatestSet| {
            let mut plot = SwayPlot { title: (words.condition)(&set.condition), ..<_>::default() };
            for trial in set.trials.iter().filter(|trial| !rejected(trial)) {
                let Some(drawn) = centred(trial) else { continue };
                plot.paths.push(drawn.0);
                plot.ellipses.push(drawn.1);
            }
            plot
        };
        self.sets.iter().map(plot).filter(|plot| !plot.paths.is_empty()).collect()
    }
}

/// Path and ellipse of a trial around its mean.
fn centred(trial: &ComparedTrial) -> Option<(Vec<analysis::Cop>, Vec<analysis::Cop>)> {
    let measures = &trial.measured()?.measures;
    let centre = measures.mean_cop.ok()?;
    let around = |points: &[analysis::Cop]| -> Vec<analysis::Cop> {
        let moved = |point: &analysis::Cop| {
            analysis::Cop::new(point.ml_mm - centre.ml_mm, point.ap_mm - centre.ap_mm)
        };
        points.iter().map(moved).collect()
    };
    let path = around(trial.drawn.as_ref().ok()?.path.points());
    let outline = measures.ellipse.ok().map(|ellipse| ellipse.outline(OUTLINE_POINTS));
    let mut outline = around(&outline.unwrap_or_default());
    // Closed by its first point.
    outline.extend(outline.first().copied());
    Some((path, outline))
}

/// A share is told in per cent.
fn as_shown(unit: Unit, value: f64) -> f64 {
    if unit == Unit::Share { 100.0 * value } else { value }
}

fn doubts(words: &Language, set: &LatestSet) -> Vec<String> {
    let report = &words.report;
    let mut doubts = Vec::new();
    for (index, trial) in set.trials.iter().enumerate() {
        let mut of_trial: Vec<String> = (words.doubts)(&trial.file);
        let flags = trial.file.flags().unwrap_or_default();
        of_trial.extend(flags.iter().map(|flag| (report.flag)(*flag).to_owned()));
        let said = of_trial.into_iter();
        doubts.extend(said.map(|doubt| (words.compare.doubt_of_trial)(index + 1, &doubt)));
    }
    if 0 < set.n_not_opened {
        doubts.push((report.not_opened)(set.n_not_opened));
    }
    doubts.extend(set.left_out.iter().map(|why| (report.not_beside)(&(words.not_comparable)(why))));
    doubts
}
