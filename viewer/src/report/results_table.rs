//! What was measured, as tables: one for each condition, or many conditions side by side.

use super::chart::{ConditionPart, HeadlineValue};
use super::table::Column;
use crate::strings::Language;

/// From so many conditions on they stand side by side, so that the pages stay two.
const FROM: usize = 3;

/// Conditions beside one another at most: each needs room for a value with its interval.
const MOST: usize = 4;

/// Titles that are longer make no head of a column, in characters.
const LONGEST_HEAD: usize = 100;

/// The share of the width that names of measures take.
const NAMES: f32 = 0.2;

/// The conditions that share a table.
pub(super) fn groups(conditions: &[ConditionPart]) -> std::slice::Chunks<'_, ConditionPart> {
    let fit = conditions.iter().all(|part| part.title.chars().count() <= LONGEST_HEAD);
    conditions.chunks(if fit && FROM <= conditions.len() { MOST } else { 1 })
}

/// One condition: a row for each measure, a column for each thing known of it.
pub(super) fn columns_of_one(language: &Language) -> [Column<'static>; 4] {
    let words = &language.report;
    [
        Column { head: words.measure_head, share: 0.25 },
        Column { head: words.value_head, share: 0.17 },
        Column { head: words.interval_head, share: 0.15 },
        Column { head: words.note_head, share: 0.43 },
    ]
}

/// The cells of one condition's row.
pub(super) fn row_of_one(value: &HeadlineValue, language: &Language) -> Vec<String> {
    let none = || language.report.no_value.to_owned();
    let number = number(value, language);
    let number = number.map_or_else(none, |number| format!("{number} {}", value.unit));
    let interval = interval(value, language).unwrap_or_else(none);
    vec![value.name.clone(), number, interval, value.note.clone()]
}

/// Several conditions: a column for each.
pub(super) fn columns_of_many<'a>(
    parts: &'a [ConditionPart],
    language: &Language,
) -> Vec<Column<'a>> {
    let share = (1.0 - NAMES) / MOST as f32;
    let names = Column { head: language.report.measure_head, share: NAMES };
    let conditions = parts.iter().map(|part| Column { head: &part.title, share });
    std::iter::once(names).chain(conditions).collect()
}

/// The rows of several conditions: a measure that one of them has, with what is known of it in each.
pub(super) fn rows_of_many(parts: &[ConditionPart], language: &Language) -> Vec<Vec<String>> {
    let mut names: Vec<&str> = Vec::new();
    for value in parts.iter().flat_map(|part| &part.values) {
        if !names.contains(&value.name.as_str()) {
            names.push(&value.name);
        }
    }
    names.into_iter().map(|name| row_of_many(name, parts, language)).collect()
}

fn row_of_many(name: &str, parts: &[ConditionPart], language: &Language) -> Vec<String> {
    let found: Vec<Option<&HeadlineValue>> =
        parts.iter().map(|part| part.values.iter().find(|value| value.name == name)).collect();
    let unit = found.iter().flatten().map(|value| value.unit.as_str()).find(|it| !it.is_empty());
    let name = unit.map_or_else(|| name.to_owned(), |unit| format!("{name}, {unit}"));
    let cells =
        found.into_iter().map(|value| value.map_or_else(String::new, |it| cell(it, language)));
    std::iter::once(name).chain(cells).collect()
}

/// A value, its interval in brackets, and its note.
fn cell(value: &HeadlineValue, language: &Language) -> String {
    let number = number(value, language).unwrap_or_else(|| language.report.no_value.to_owned());
    let interval = interval(value, language).map(|ends| format!("({ends})"));
    let note = Some(&value.note).filter(|note| !note.is_empty()).cloned();
    [Some(number), interval, note].into_iter().flatten().collect::<Vec<_>>().join(" ")
}

fn number(value: &HeadlineValue, language: &Language) -> Option<String> {
    let number = value.value.filter(|number| number.is_finite())?;
    Some((language.significant)(number, 3))
}

fn interval(value: &HeadlineValue, language: &Language) -> Option<String> {
    let ends = value.interval.filter(|ends| ends.iter().all(|end| end.is_finite()))?;
    let [low, high] = ends.map(|end| (language.significant)(end, 3));
    Some((language.report.from_to)(&low, &high))
}
