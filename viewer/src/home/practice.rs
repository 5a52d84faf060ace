//! A session at home with its records: what is asked, and every answer kept before the next thing.

use acquisition::WallTime;
use acquisition::exchange::{KeyRing, KeyRingError};
use acquisition::home::{Answer, Ask, Deed, HomeSession, HomeSettings, NotAsked, open};
use acquisition::keys::{BoardId, Role};
use acquisition::library::Library;
use acquisition::records::Records;
use analysis::PersonCode;

use super::session_sound::SessionSound;
use crate::command_line::Problem;
use crate::sound::Volume;
use crate::strings::Language;

/// A session of one person, and where it is kept.
pub(crate) struct Practice {
    pub(crate) records: Records,
    pub(crate) board: BoardId,
    session: HomeSession,
    volume: Volume,
    opened: WallTime,
}

/// A session that was begun so long ago is not gone on with: as long as the records take one for open.
const LONGEST_OPEN_US: i64 = 12 * 3_600_000_000;

impl Practice {
    /// Begins, or goes on with, the session of `person`, or of the one person paired here.
    ///
    /// # Errors
    /// [`Problem`] without the keys of a home or a pairing, or where records or settings refuse.
    pub(crate) fn open(
        library: &Library,
        records: Records,
        person: Option<&PersonCode>,
        now: WallTime,
    ) -> Result<Self, Problem> {
        let keys = KeyRing::open(library)?;
        if keys.own()?.role() != Role::Home {
            return Err(KeyRingError::OtherRole { role: Role::Clinic }.into());
        }
        let pairing = match (person, keys.pairings()) {
            (Some(person), _) => keys.pairing(person)?,
            (None, [only]) => only,
            (None, _) => return Err(Problem::WhoPractises),
        };
        let about = pairing.assignment();
        let session = open(&records, &about.person, now)?;
        let volume = Volume::of(session.settings());
        Ok(Self { board: about.board.clone(), records, session, volume, opened: now })
    }

    /// Begins anew where the program was left open until another day.
    ///
    /// # Errors
    /// As [`open`](Self::open).
    pub(crate) fn renew(&mut self, now: WallTime) -> Result<(), Problem> {
        let under_way = self.session.record().filter(|record| record.ended_unix_us.is_none());
        let is_stale = match under_way {
            Some(record) => LONGEST_OPEN_US < now.unix_us.saturating_sub(record.started.unix_us),
            None => now.local_day() != self.opened.local_day(),
        };
        if is_stale {
            self.session = open(&self.records, &self.person().clone(), now)?;
            self.opened = now;
        }
        Ok(())
    }

    /// What is asked.
    pub(crate) fn ask(&self, now: WallTime) -> Ask {
        self.session.ask(now)
    }

    /// The session, as a stand needs it.
    pub(crate) fn session(&self) -> &HomeSession {
        &self.session
    }

    /// Takes an answer and records what follows from it.
    ///
    /// # Errors
    /// [`Problem`] if the records refuse. An answer that does not fit changes nothing and is
    /// `Ok(false)`.
    pub(crate) fn answer(&mut self, answer: Answer, now: WallTime) -> Result<bool, Problem> {
        match self.session.answer(answer, now) {
            Err(NotAsked) => return Ok(false),
            Ok(Deed::Nothing) => {}
            Ok(Deed::Save(session)) => self.records.put_session(&session)?,
            Ok(Deed::SaveMorning { session, morning }) => {
                let person = self.person().clone();
                self.records.amend_session(&person, &session, |session| {
                    session.answers.next_morning = Some(morning);
                })?;
            }
        }
        Ok(true)
    }

    /// How loud this computer plays.
    pub(crate) fn volume(&self) -> Volume {
        self.volume
    }

    /// Sets how loud this computer plays, now and at the next starts.
    ///
    /// # Errors
    /// [`Problem`] if the settings cannot be written.
    pub(crate) fn set_volume(&mut self, volume: Volume) -> Result<(), Problem> {
        self.volume = volume;
        let folder = self.records.library().folder();
        let mut settings = HomeSettings::load(folder)?;
        settings.volume = Some(volume.step());
        Ok(settings.save(folder)?)
    }

    /// The loudspeaker, opened to speak a language; none for who is guided by sight.
    pub(crate) fn sound(&self, words: &'static Language) -> SessionSound {
        if self.session.is_guided_by_sight() {
            SessionSound::none(self.volume, words)
        } else {
            SessionSound::open(self.volume, words)
        }
    }

    /// Who practises.
    pub(crate) fn person(&self) -> &PersonCode {
        self.session.person()
    }
}
