//! Everything about one person that no trial file holds, as plain JSON beside the database.

use std::fs::{self, File};
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use analysis::readiness::{Answers, NextMorning, Rating, Verdict};
use analysis::{BadPersonCode, PersonCode, UnknownKey};
use rusqlite::Connection;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::database::{PEOPLE_NAME, RecordsError, write_whole};
use super::decision::{self, DecisionRecord};
use super::exercise::{ExerciseAnswers, Reference};
use super::person::{self, AffectedSide, PersonRecord};
use super::plan::{self, BadPlan, Plan};
use super::plan_file::PlanShape;
use super::session::{self, SessionRecord};
use crate::library::Library;
use crate::wall_time::{BadWallTime, WallTime};

const FORMAT: &str = "footing person";

/// Version of this shape; it grows when a name goes or changes its meaning.
const FORMAT_VERSION: u32 = 1;

/// Largest file that is read: some 20,000 sessions. Our own limit.
const MAX_BYTES: u64 = 32 * 1024 * 1024;

/// Why a person's file cannot be used.
#[derive(Debug, Error)]
pub enum BadPersonFile {
    /// Not the shape it should have.
    #[error("it is not a person's file")]
    Shape(#[from] serde_json::Error),
    /// JSON of another kind.
    #[error("it is of format {found:?}, not {FORMAT:?}")]
    OtherFormat {
        /// The format it states, at most 40 characters of it.
        found: String,
    },
    /// Written by a later program.
    #[error("it is of format version {version}, this program reads up to {known}")]
    Newer {
        /// The version of the file.
        version: u32,
        /// The highest version that can be read.
        known: u32,
    },
    /// More than any person's.
    #[error("it has more than the limit of {limit_bytes} bytes")]
    TooLarge {
        /// How many bytes it may have.
        limit_bytes: u64,
    },
    /// It cannot be read.
    #[error("it cannot be read")]
    Unreadable(#[source] io::Error),
    /// A word that means nothing here.
    #[error(transparent)]
    Word(#[from] UnknownKey),
    /// A code that is none.
    #[error(transparent)]
    Person(#[from] BadPersonCode),
    /// A time that is none.
    #[error(transparent)]
    Time(#[from] BadWallTime),
    /// A plan nobody can follow.
    #[error(transparent)]
    Plan(#[from] BadPlan),
    /// A rating above 10.
    #[error("a rating is a whole number from 0 to 10, not {points}")]
    Rating {
        /// The number found.
        points: u8,
    },
    /// A plan, session or decision of someone else.
    #[error("it belongs to {person}, but holds something of another person")]
    OtherPerson {
        /// Whose file it is.
        person: PersonCode,
    },
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FileShape {
    format: String,
    format_version: u32,
    person: PersonShape,
    plans: Vec<PlanShape>,
    sessions: Vec<SessionShape>,
    decisions: Vec<DecisionShape>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PersonShape {
    code: String,
    name: Option<String>,
    birth_year: Option<u16>,
    height_m: Option<f64>,
    mass_kg: Option<f64>,
    affected_side: Option<String>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SessionShape {
    id: String,
    plan: Option<String>,
    place: String,
    started: String,
    ended_unix_us: Option<i64>,
    pain_at_start: Option<u8>,
    worst_pain_during: Option<u8>,
    pain_after: Option<u8>,
    pain_next_morning: Option<MorningShape>,
    fall: Option<bool>,
    warning_sign: Option<bool>,
    leg_pain_further_down: Option<bool>,
    numbness_or_weakness: Option<bool>,
    exercises: Vec<ExerciseShape>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MorningShape {
    pain: u8,
    answered_unix_us: i64,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ExerciseShape {
    condition: String,
    difficulty: Option<u8>,
    touched_something: Option<bool>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pad: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    reference: Option<ReferenceShape>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    sound_lost: Vec<String>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ReferenceShape {
    trial: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pull: Option<String>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct DecisionShape {
    id: String,
    made: String,
    author: String,
    condition: String,
    advice: Option<String>,
    note: String,
}

/// What a person's file holds.
pub(super) struct PersonFile {
    pub(super) person: PersonRecord,
    pub(super) plans: Vec<Plan>,
    pub(super) sessions: Vec<SessionRecord>,
    pub(super) decisions: Vec<DecisionRecord>,
}

/// Where the file of a person lies.
pub(super) fn path(library: &Library, person: &PersonCode) -> PathBuf {
    library.folder().join(PEOPLE_NAME).join(format!("{person}.json"))
}

/// The files of all people, in the order of their codes; none if the folder is not there yet.
pub(super) fn list(library: &Library) -> io::Result<Vec<PathBuf>> {
    let entries = match fs::read_dir(library.folder().join(PEOPLE_NAME)) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let mut paths = Vec::new();
    for entry in entries {
        let path = entry?.path();
        if path.extension().is_some_and(|extension| extension == "json") {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths)
}

/// Writes a person's file, whole or not at all.
pub(super) fn write(path: &Path, text: &str) -> io::Result<()> {
    write_whole(path, text.as_bytes())
}

/// The file's text for a person as the database knows them.
pub(super) fn compose(connection: &Connection, code: &PersonCode) -> Result<String, RecordsError> {
    let person = person::get(connection, code)?
        .ok_or_else(|| RecordsError::UnknownPerson { person: code.clone() })?;
    let file = PersonFile {
        person,
        plans: plan::all(connection, code)?,
        sessions: session::all(connection, code)?,
        decisions: decision::all(connection, code)?,
    };
    Ok(text(file)?)
}

/// The file's text for what is to stand in it.
pub(super) fn text(file: PersonFile) -> Result<String, BadPersonFile> {
    let shape = FileShape {
        format: FORMAT.to_owned(),
        format_version: FORMAT_VERSION,
        person: file.person.into(),
        plans: file.plans.iter().map(PlanShape::from).collect(),
        sessions: file.sessions.into_iter().map(SessionShape::from).collect(),
        decisions: file.decisions.into_iter().map(DecisionShape::from).collect(),
    };
    let mut text = serde_json::to_string_pretty(&shape)?;
    text.push('\n');
    Ok(text)
}

/// Reads and checks a person's file.
pub(super) fn read(path: &Path) -> Result<PersonFile, BadPersonFile> {
    let mut text = String::new();
    let file = File::open(path).map_err(BadPersonFile::Unreadable)?;
    file.take(MAX_BYTES + 1).read_to_string(&mut text).map_err(BadPersonFile::Unreadable)?;
    if MAX_BYTES < text.len() as u64 {
        return Err(BadPersonFile::TooLarge { limit_bytes: MAX_BYTES });
    }
    parse(&text)
}

/// Checks the text of a person's file.
pub(super) fn parse(text: &str) -> Result<PersonFile, BadPersonFile> {
    /// What every version of the shape has.
    #[derive(Deserialize)]
    struct Head {
        format: String,
        format_version: u32,
    }
    let head: Head = serde_json::from_str(text)?;
    if head.format != FORMAT {
        let found = head.format.chars().take(40).collect();
        return Err(BadPersonFile::OtherFormat { found });
    }
    if FORMAT_VERSION < head.format_version {
        let (version, known) = (head.format_version, FORMAT_VERSION);
        return Err(BadPersonFile::Newer { version, known });
    }
    let shape: FileShape = serde_json::from_str(text)?;
    let person = shape.person.into_record()?;
    let code = person.code.clone();
    let plans: Vec<Plan> = shape.plans.into_iter().map(Plan::try_from).collect::<Result<_, _>>()?;
    if plans.iter().any(|plan| plan.person != code) {
        return Err(BadPersonFile::OtherPerson { person: code });
    }
    let sessions = shape.sessions.into_iter().map(|session| session.into_record(&code));
    let decisions = shape.decisions.into_iter().map(|decision| decision.into_record(&code));
    Ok(PersonFile {
        sessions: sessions.collect::<Result<_, _>>()?,
        decisions: decisions.collect::<Result<_, _>>()?,
        plans,
        person,
    })
}

impl PersonFile {
    /// Puts everything into a database that knows nothing of the person yet.
    pub(super) fn restore(&self, connection: &Connection) -> Result<(), RecordsError> {
        person::put(connection, &self.person)?;
        self.plans.iter().try_for_each(|plan| plan::put(connection, plan))?;
        self.sessions.iter().try_for_each(|session| session::put(connection, session))?;
        self.decisions.iter().try_for_each(|decision| decision::put(connection, decision))
    }
}

impl From<PersonRecord> for PersonShape {
    fn from(person: PersonRecord) -> Self {
        Self {
            code: person.code.to_string(),
            name: person.name,
            birth_year: person.birth_year,
            height_m: person.height_m,
            mass_kg: person.mass_kg,
            affected_side: person.affected_side.map(|side| side.key().to_owned()),
        }
    }
}

impl PersonShape {
    fn into_record(self) -> Result<PersonRecord, BadPersonFile> {
        let side = self.affected_side.map(|side| side.parse::<AffectedSide>()).transpose()?;
        Ok(PersonRecord {
            code: self.code.parse()?,
            name: self.name,
            birth_year: self.birth_year,
            height_m: self.height_m,
            mass_kg: self.mass_kg,
            affected_side: side,
        })
    }
}

impl From<SessionRecord> for SessionShape {
    fn from(session: SessionRecord) -> Self {
        let points = |rating: Option<Rating>| rating.map(Rating::points);
        let answers = session.answers;
        Self {
            id: session.id,
            plan: session.plan,
            place: session.place.key().to_owned(),
            started: session.started.to_string(),
            ended_unix_us: session.ended_unix_us,
            pain_at_start: points(answers.pain_at_start),
            worst_pain_during: points(answers.worst_pain_during),
            pain_after: points(answers.pain_after),
            pain_next_morning: answers.next_morning.map(|morning| MorningShape {
                pain: morning.pain.points(),
                answered_unix_us: morning.answered_us,
            }),
            fall: answers.fall,
            warning_sign: answers.warning_sign,
            leg_pain_further_down: answers.leg_pain_further_down,
            numbness_or_weakness: answers.numbness_or_weakness,
            exercises: session
                .exercises
                .into_iter()
                .map(|exercise| ExerciseShape {
                    condition: exercise.condition.to_string(),
                    difficulty: points(exercise.difficulty),
                    touched_something: exercise.touched_something,
                    pad: exercise.pad,
                    reference: exercise.reference.map(|reference| ReferenceShape {
                        trial: reference.trial,
                        pull: reference.pull.map(|pull| pull.key().to_owned()),
                    }),
                    sound_lost: exercise.sound_lost,
                })
                .collect(),
        }
    }
}

impl SessionShape {
    fn into_record(self, person: &PersonCode) -> Result<SessionRecord, BadPersonFile> {
        let exercise = |shape: ExerciseShape| -> Result<ExerciseAnswers, BadPersonFile> {
            Ok(ExerciseAnswers {
                condition: shape.condition.parse()?,
                difficulty: rating(shape.difficulty)?,
                touched_something: shape.touched_something,
                pad: shape.pad,
                reference: shape.reference.map(ReferenceShape::into_record).transpose()?,
                sound_lost: shape.sound_lost,
            })
        };
        let next_morning = match self.pain_next_morning {
            Some(MorningShape { pain, answered_unix_us }) => {
                rating(Some(pain))?.map(|pain| NextMorning { pain, answered_us: answered_unix_us })
            }
            None => None,
        };
        Ok(SessionRecord {
            id: self.id,
            person: person.clone(),
            plan: self.plan,
            place: self.place.parse()?,
            started: self.started.parse()?,
            ended_unix_us: self.ended_unix_us,
            answers: Answers {
                pain_at_start: rating(self.pain_at_start)?,
                worst_pain_during: rating(self.worst_pain_during)?,
                pain_after: rating(self.pain_after)?,
                next_morning,
                fall: self.fall,
                warning_sign: self.warning_sign,
                leg_pain_further_down: self.leg_pain_further_down,
                numbness_or_weakness: self.numbness_or_weakness,
            },
            exercises: self.exercises.into_iter().map(exercise).collect::<Result<_, _>>()?,
        })
    }
}

impl ReferenceShape {
    fn into_record(self) -> Result<Reference, BadPersonFile> {
        Ok(Reference { trial: self.trial, pull: self.pull.as_deref().map(str::parse).transpose()? })
    }
}

fn rating(points: Option<u8>) -> Result<Option<Rating>, BadPersonFile> {
    let rating = |points| Rating::new(points).ok_or(BadPersonFile::Rating { points });
    points.map(rating).transpose()
}

impl From<DecisionRecord> for DecisionShape {
    fn from(decision: DecisionRecord) -> Self {
        Self {
            id: decision.id,
            made: decision.made.to_string(),
            author: decision.author,
            condition: decision.condition.to_string(),
            advice: decision.advice.map(|advice| advice.key().to_owned()),
            note: decision.note,
        }
    }
}

impl DecisionShape {
    fn into_record(self, person: &PersonCode) -> Result<DecisionRecord, BadPersonFile> {
        let made: WallTime = self.made.parse()?;
        Ok(DecisionRecord {
            id: self.id,
            person: person.clone(),
            made,
            author: self.author,
            condition: self.condition.parse()?,
            advice: self.advice.map(|advice| advice.parse::<Verdict>()).transpose()?,
            note: self.note,
        })
    }
}
