//! The rows of the table: one a measure, and why some have no change.

use analysis::{
    Comparison, IntervalBasis, MEASURES, MeasureDef, MeasuredTrial, Scale, Unit, check_comparable,
    compare,
};

use crate::strings::Language;
use crate::window::compare::view::{ChangeView, MeasureRow, Strip, VerdictMark};

/// The rows of two sets, those that lead first, and why the sets as a whole are not compared.
pub(crate) fn rows(
    words: &Language,
    sets: [&[&MeasuredTrial]; 2],
) -> (Vec<MeasureRow>, Option<String>) {
    let refusal = check_comparable(sets[0], sets[1]).err();
    let mut rows: Vec<MeasureRow> = MEASURES
        .iter()
        .map(|measure| {
            let common = row(words, measure, sets);
            // One reason for all measures is told once, above the table.
            if refusal.is_some() {
                return common;
            }
            match compare(sets[0], sets[1], measure.key) {
                Ok(comparison) => changed(words, measure, &comparison, common),
                Err(reason) => MeasureRow { verdict: (words.not_comparable)(&reason), ..common },
            }
        })
        .collect();
    rows.sort_by_key(|row| !row.leads);
    (rows, refusal.as_ref().map(words.not_comparable))
}

/// A row without a change.
fn row(words: &Language, measure: &MeasureDef, sets: [&[&MeasuredTrial]; 2]) -> MeasureRow {
    MeasureRow {
        name: (words.measure)(measure.key).unwrap_or(measure.key).to_owned(),
        unit: (words.unit)(measure.unit).to_owned(),
        definition: (words.definition)(measure),
        leads: measure.headline,
        values: sets.map(|set| set_value(words, measure, set)),
        change: None,
        detectable: String::new(),
        verdict: String::new(),
        mark: VerdictMark::Unknown,
    }
}

fn changed(
    words: &Language,
    measure: &MeasureDef,
    comparison: &Comparison,
    common: MeasureRow,
) -> MeasureRow {
    let ends = comparison.interval.map(|interval| [interval.low, interval.high]);
    let (text, strip) = match comparison.scale {
        Scale::Ratio => (
            (words.compare.ratio)(comparison.change),
            Some(Strip {
                ratio: comparison.change,
                interval: ends,
                detectable: comparison.detectable.map(|detectable| detectable.ratio),
            }),
        ),
        Scale::Difference => ((words.difference)(measure.unit, comparison.change), None),
    };
    let end = |value: f64| match comparison.scale {
        Scale::Ratio => (words.value)(Unit::One, value),
        Scale::Difference => (words.difference)(measure.unit, value),
    };
    let interval = comparison.interval.map_or_else(
        || words.compare.no_interval.to_owned(),
        |interval| {
            let from_table = interval.basis == IntervalBasis::OpenTable;
            (words.compare.interval)(&end(interval.low), &end(interval.high), from_table)
        },
    );
    let (mark, verdict, detectable) = match comparison.detectable {
        None => (
            VerdictMark::Unknown,
            words.compare.verdict_unknown,
            words.compare.detectable_unknown.to_owned(),
        ),
        Some(detectable) => {
            let (mark, verdict) = if detectable.exceeded {
                (VerdictMark::Exceeds, words.compare.verdict_exceeds)
            } else {
                (VerdictMark::Within, words.compare.verdict_within)
            };
            (mark, verdict, (words.compare.detectable_from)(detectable.ratio))
        }
    };
    MeasureRow {
        change: Some(ChangeView { text, interval, strip }),
        detectable,
        verdict: verdict.to_owned(),
        mark,
        ..common
    }
}

/// The value of one set: its mean, or where a mean means nothing each trial's own.
fn set_value(words: &Language, measure: &MeasureDef, set: &[&MeasuredTrial]) -> String {
    // A set beside itself: the summary is that of the comparison, and not made twice.
    if let Ok(comparison) = compare(set, set, measure.key) {
        return (words.value)(measure.unit, comparison.before.mean);
    }
    let each: Vec<String> = set
        .iter()
        .map(|trial| match (measure.value)(&trial.measures) {
            Ok(value) => (words.value)(measure.unit, value),
            Err(_) => words.compare.no_value.to_owned(),
        })
        .collect();
    if each.is_empty() { words.compare.no_value.to_owned() } else { each.join(", ") }
}
