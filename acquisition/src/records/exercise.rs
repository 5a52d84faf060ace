//! What is known of one condition stood in one session, besides its trials.

use analysis::readiness::Rating;
use analysis::{Condition, Pull};
use rusqlite::{Connection, Row, named_params};

use super::columns::{parsed, parsed_option, rating};

/// What was answered and written down about an exercise. `None` is "not asked or not answered".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExerciseAnswers {
    /// The condition of the exercise.
    pub condition: Condition,
    /// How hard it felt.
    pub difficulty: Option<Rating>,
    /// "Did you touch anything?"
    pub touched_something: Option<bool>,
    /// Which pad, towels or cushions, by the clinic's own name.
    pub pad: Option<String>,
    /// The stand against which the neutral offset is told.
    pub reference: Option<Reference>,
    /// Trials during which the sound that guides closed eyes went away, by their ids.
    pub sound_lost: Vec<String>,
}

/// A stand at the start of a session that shows where the weight is, band included.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reference {
    /// Its trial.
    pub trial: String,
    /// Which way the band pulls; `None` without a band, or if nobody told.
    pub pull: Option<Pull>,
}

impl ExerciseAnswers {
    /// An exercise of which nothing is known yet.
    pub const fn new(condition: Condition) -> Self {
        let (difficulty, touched_something, pad, reference) = (None, None, None, None);
        Self { condition, difficulty, touched_something, pad, reference, sound_lost: Vec::new() }
    }
}

/// Puts these in the place of whatever the session's exercises were.
pub(super) fn put_all(
    connection: &Connection,
    session: &str,
    exercises: &[ExerciseAnswers],
) -> rusqlite::Result<()> {
    connection.execute("DELETE FROM exercise_answers WHERE session = ?1", [session])?;
    let mut insert = connection.prepare_cached(
        "INSERT INTO exercise_answers (session, condition, difficulty, touched_something, pad,
             reference, pull, reference_without_pull, sound_lost)
         VALUES (:session, :condition, :difficulty, :touched, :pad, :reference, :pull,
             :reference_without_pull, :sound_lost)",
    )?;
    exercises.iter().try_for_each(|exercise| {
        let reference = exercise.reference.as_ref();
        let pulled = reference.filter(|reference| reference.pull.is_some());
        let unpulled = reference.filter(|reference| reference.pull.is_none());
        insert
            .execute(named_params! {
                ":session": session,
                ":condition": exercise.condition.to_string(),
                ":difficulty": exercise.difficulty.map(Rating::points),
                ":touched": exercise.touched_something,
                ":pad": exercise.pad,
                ":reference": pulled.map(|reference| &reference.trial),
                ":pull": pulled.and_then(|reference| reference.pull).map(Pull::key),
                ":reference_without_pull": unpulled.map(|reference| &reference.trial),
                ":sound_lost": exercise.sound_lost.join(" "),
            })
            .map(drop)
    })
}

pub(super) fn from_row(row: &Row<'_>) -> rusqlite::Result<ExerciseAnswers> {
    let sound_lost: String = row.get("sound_lost")?;
    let (pulled, unpulled) = (row.get("reference")?, row.get("reference_without_pull")?);
    let trial: Option<String> = Option::or(pulled, unpulled);
    let pull = parsed_option(row, "pull")?;
    Ok(ExerciseAnswers {
        condition: parsed(row, "condition")?,
        difficulty: rating(row, "difficulty")?,
        touched_something: row.get("touched_something")?,
        pad: row.get("pad")?,
        reference: trial.map(|trial| Reference { trial, pull }),
        sound_lost: sound_lost.split_whitespace().map(str::to_owned).collect(),
    })
}
