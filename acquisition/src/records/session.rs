//! Sessions: the occasions on which trials are stood, and what the person answered.

use analysis::readiness::{Answers, NextMorning, Rating};
use analysis::{PersonCode, keyed_enum};
use rusqlite::{Connection, OptionalExtension as _, Row, named_params, params};

use super::columns::{parsed, rating, wall_time};
use super::database::{Records, RecordsError};
use super::exercise::{self, ExerciseAnswers};
use super::person;
use crate::wall_time::WallTime;

/// One occasion with its answers.
#[derive(Debug, Clone, PartialEq)]
pub struct SessionRecord {
    /// Unique id, a UUID.
    pub id: String,
    /// Who came.
    pub person: PersonCode,
    /// The version of the plan it followed; `None` without a plan.
    pub plan: Option<String>,
    /// Where it took place.
    pub place: Place,
    /// When it began.
    pub started: WallTime,
    /// When it ended, in microseconds since 1970 (UTC); `None` while it lasts.
    pub ended_unix_us: Option<i64>,
    /// The session's own questions.
    pub answers: Answers,
    /// The questions after each exercise, at most one set a condition.
    pub exercises: Vec<ExerciseAnswers>,
}

keyed_enum! {
    /// Where a session takes place.
    pub enum Place ("place") {
        /// In the clinic.
        Clinic = "clinic",
        /// At home.
        Home = "home",
    }
}

/// How long a session that nobody ended is taken to last: our own choice, longer than any day of
/// practice and shorter than a night between two.
const LONGEST_OPEN_US: u64 = 12 * 3_600_000_000;

impl Records {
    /// The session a person is in the middle of at `now`: their last one, not ended, begun within
    /// 12 hours.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn open_session(
        &self,
        person: &PersonCode,
        now: WallTime,
    ) -> Result<Option<SessionRecord>, RecordsError> {
        open(&self.connection, person, now)
    }

    /// A session by its id; `None` if there is none.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn session(&self, id: &str) -> Result<Option<SessionRecord>, RecordsError> {
        let mut query =
            self.connection.prepare_cached("SELECT person FROM sessions WHERE id = ?1")?;
        let person = query.query_row([id], |row| parsed(row, "person")).optional()?;
        let Some(person) = person else { return Ok(None) };
        Ok(self.sessions(&person)?.into_iter().find(|session| session.id == id))
    }

    /// Records a session, or what has become known of it since.
    ///
    /// # Errors
    /// [`RecordsError`]; `OtherPerson` if the id is that of someone else's session, `ClinicOnly` for
    /// one in clinic at home.
    pub fn put_session(&mut self, session: &SessionRecord) -> Result<(), RecordsError> {
        if session.place == Place::Clinic {
            self.only_the_clinic()?;
        }
        self.change(&session.person, |connection| put(connection, session))
    }

    /// A person's sessions, the earliest first.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn sessions(&self, person: &PersonCode) -> Result<Vec<SessionRecord>, RecordsError> {
        all(&self.connection, person)
    }
}

pub(super) fn open(
    connection: &Connection,
    person: &PersonCode,
    now: WallTime,
) -> Result<Option<SessionRecord>, RecordsError> {
    let last = all(connection, person)?.pop();
    let age_us = |session: &SessionRecord| now.unix_us.abs_diff(session.started.unix_us);
    Ok(last.filter(|session| session.ended_unix_us.is_none() && age_us(session) < LONGEST_OPEN_US))
}

pub(super) fn put(connection: &Connection, session: &SessionRecord) -> Result<(), RecordsError> {
    person::ensure(connection, &session.person)?;
    refuse_other_person(connection, &session.id, &session.person)?;
    connection.execute(
        "INSERT INTO sessions VALUES (:id, :person, :plan, :place, :unix_us, :offset_s, :ended)
         ON CONFLICT (id) DO UPDATE SET plan = excluded.plan, place = excluded.place,
             started_unix_us = excluded.started_unix_us,
             started_offset_s = excluded.started_offset_s, ended_unix_us = excluded.ended_unix_us",
        named_params! {
            ":id": session.id,
            ":person": session.person.as_str(),
            ":plan": session.plan,
            ":place": session.place.key(),
            ":unix_us": session.started.unix_us,
            ":offset_s": session.started.offset_s,
            ":ended": session.ended_unix_us,
        },
    )?;
    put_answers(connection, &session.id, &session.answers)?;
    Ok(exercise::put_all(connection, &session.id, &session.exercises)?)
}

fn put_answers(connection: &Connection, session: &str, answers: &Answers) -> rusqlite::Result<()> {
    connection.execute(
        "INSERT OR REPLACE INTO answers VALUES (:session, :at_start, :during, :after, :morning,
             :morning_us, :fall, :warning, :leg_pain, :numbness)",
        named_params! {
            ":session": session,
            ":at_start": answers.pain_at_start.map(Rating::points),
            ":during": answers.worst_pain_during.map(Rating::points),
            ":after": answers.pain_after.map(Rating::points),
            ":morning": answers.next_morning.map(|morning| morning.pain.points()),
            ":morning_us": answers.next_morning.map(|morning| morning.answered_us),
            ":fall": answers.fall,
            ":warning": answers.warning_sign,
            ":leg_pain": answers.leg_pain_further_down,
            ":numbness": answers.numbness_or_weakness,
        },
    )?;
    Ok(())
}

/// Records that there was a session of which only a trial tells; false if it is known.
pub(super) fn ensure(
    connection: &Connection,
    id: &str,
    person: &PersonCode,
    started: WallTime,
) -> Result<bool, RecordsError> {
    refuse_other_person(connection, id, person)?;
    let mut insert = connection.prepare_cached(
        "INSERT INTO sessions (id, person, place, started_unix_us, started_offset_s)
         VALUES (?1, ?2, 'home', ?3, ?4) ON CONFLICT DO NOTHING",
    )?;
    Ok(insert.execute(params![id, person.as_str(), started.unix_us, started.offset_s])? == 1)
}

fn refuse_other_person(
    connection: &Connection,
    id: &str,
    person: &PersonCode,
) -> Result<(), RecordsError> {
    let mut query = connection.prepare_cached("SELECT person FROM sessions WHERE id = ?1")?;
    let owner: Option<String> = query.query_row([id], |row| row.get(0)).optional()?;
    if owner.is_some_and(|owner| owner != person.as_str()) {
        return Err(RecordsError::OtherPerson { session: id.to_owned(), person: person.clone() });
    }
    Ok(())
}

pub(super) fn all(
    connection: &Connection,
    person: &PersonCode,
) -> Result<Vec<SessionRecord>, RecordsError> {
    let mut query = connection.prepare_cached(
        "SELECT * FROM sessions LEFT JOIN answers ON answers.session = sessions.id
         WHERE person = ?1 ORDER BY started_unix_us, id",
    )?;
    let mut exercises = connection
        .prepare_cached("SELECT * FROM exercise_answers WHERE session = ?1 ORDER BY condition")?;
    let sessions = query.query_map([person.as_str()], from_row)?;
    sessions
        .map(|session| {
            let mut session = session?;
            let rows = exercises.query_map([&session.id], exercise::from_row)?;
            session.exercises = rows.collect::<Result<_, _>>()?;
            Ok(session)
        })
        .collect()
}

fn from_row(row: &Row<'_>) -> rusqlite::Result<SessionRecord> {
    let morning = (rating(row, "pain_next_morning")?, row.get("next_morning_answered_us")?);
    Ok(SessionRecord {
        id: row.get("id")?,
        person: parsed(row, "person")?,
        plan: row.get("plan")?,
        place: parsed(row, "place")?,
        started: wall_time(row, "started")?,
        ended_unix_us: row.get("ended_unix_us")?,
        answers: Answers {
            pain_at_start: rating(row, "pain_at_start")?,
            worst_pain_during: rating(row, "worst_pain_during")?,
            pain_after: rating(row, "pain_after")?,
            next_morning: match morning {
                (Some(pain), Some(answered_us)) => Some(NextMorning { pain, answered_us }),
                _ => None,
            },
            fall: row.get("fall")?,
            warning_sign: row.get("warning_sign")?,
            leg_pain_further_down: row.get("leg_pain_further_down")?,
            numbness_or_weakness: row.get("numbness_or_weakness")?,
        },
        exercises: Vec::new(),
    })
}
