//! Changes that rest on what is recorded: read and written in one step, so that two programs at once
//! do not undo each other.

use analysis::PersonCode;

use super::database::{Records, RecordsError};
use super::person::{self, PersonRecord};
use super::session::{self, SessionRecord};

impl Records {
    /// Changes what is recorded of a person, who is recorded first if need be.
    ///
    /// # Errors
    /// As [`put_person`](Self::put_person).
    pub fn amend_person(
        &mut self,
        code: &PersonCode,
        amend: impl FnOnce(&mut PersonRecord),
    ) -> Result<PersonRecord, RecordsError> {
        self.change(code, |connection| {
            let known = person::get(connection, code)?;
            let mut person = known.unwrap_or_else(|| PersonRecord::new(code.clone()));
            amend(&mut person);
            person::put(connection, &person)?;
            Ok(person)
        })
    }

    /// Changes what is recorded of a session; `None` if this person has no such session.
    ///
    /// # Errors
    /// As [`put_session`](Self::put_session).
    pub fn amend_session(
        &mut self,
        person: &PersonCode,
        id: &str,
        amend: impl FnOnce(&mut SessionRecord),
    ) -> Result<Option<SessionRecord>, RecordsError> {
        self.change(person, |connection| {
            let known = session::all(connection, person)?;
            let Some(mut session) = known.into_iter().find(|session| session.id == id) else {
                return Ok(None);
            };
            amend(&mut session);
            session::put(connection, &session)?;
            Ok(Some(session))
        })
    }

    /// Records a session that begins, unless its person is in the middle of another one, which is
    /// then returned.
    ///
    /// # Errors
    /// As [`put_session`](Self::put_session).
    pub fn begin_session(
        &mut self,
        begun: &SessionRecord,
    ) -> Result<Option<SessionRecord>, RecordsError> {
        self.change(&begun.person, |connection| {
            let open = session::open(connection, &begun.person, begun.started)?;
            if open.is_none() {
                session::put(connection, begun)?;
            }
            Ok(open)
        })
    }
}
