//! What only the clinic may do: a home takes plans, releases and decisions from its sealed packages
//! alone.

use super::database::{Records, RecordsError};
use super::session::Place;
use crate::exchange::KeyRing;
use crate::keys::Role;

impl Records {
    /// Whether this data folder is a home's, by its keys.
    pub(super) fn are_a_homes(&self) -> Result<bool, RecordsError> {
        Ok(KeyRing::role_of(&self.library).map_err(Box::new)? == Some(Role::Home))
    }

    /// # Errors
    /// `ClinicOnly` in a home's data folder, or keys that cannot be read.
    pub(super) fn only_the_clinic(&self) -> Result<(), RecordsError> {
        if self.are_a_homes()? { Err(RecordsError::ClinicOnly) } else { Ok(()) }
    }

    /// Where a stand takes place if nobody said so: a home's data folder is at home.
    pub(super) fn place_or_own(&self, said: Option<Place>) -> Result<Option<Place>, RecordsError> {
        match said {
            None if self.are_a_homes()? => Ok(Some(Place::Home)),
            _ => Ok(said),
        }
    }
}

#[cfg(test)]
mod tests {
    use analysis::PersonCode;
    use analysis::readiness::{Answers, Verdict};

    use super::super::{
        DecisionRecord, Forbidden, PlanDraft, Records, RecordsError, SessionRecord, Whereabouts,
    };
    use super::*;
    use crate::WallTime;
    use crate::library::Library;
    use crate::new_record_id;

    const PLAN: &str = r#"
sessions_per_day = 1

[[conditions]]
condition = "foam/hip-width/open"
holds = 2
hold_s = 35.0
rest_s = 30.0
release = "accompanied"
"#;

    fn time(text: &str) -> WallTime {
        text.parse().unwrap()
    }

    fn session(person: &PersonCode, place: Place) -> SessionRecord {
        SessionRecord {
            id: new_record_id(),
            person: person.clone(),
            plan: None,
            place,
            started: time("2026-03-05T18:00:00+01:00"),
            ended_unix_us: None,
            answers: Answers { warning_sign: Some(true), ..Answers::default() },
            exercises: Vec::new(),
        }
    }

    /// A warning sign at home locks; nothing that can be done there unlocks.
    #[test]
    fn a_home_makes_no_plan_no_decision_and_no_session_in_clinic() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::open(folder.path()).unwrap();
        let mut records = Records::open(&library).unwrap();
        let person: PersonCode = "P-01".parse().unwrap();
        let draft = || PlanDraft::from_toml(PLAN).unwrap();
        let made = time("2026-03-01T09:00:00+01:00");
        let plan = records.put_next_plan(&person, draft(), "clinician-1", made).unwrap();
        let here = |records: &Records| {
            let at = Whereabouts { place: None, accompanied: false };
            let now = time("2026-03-06T09:00:00+01:00");
            records.forbids(&person, "foam/hip-width/open".parse().unwrap(), at, now).unwrap()
        };
        assert_eq!(here(&records), None);

        KeyRing::open(&library).unwrap().make(Role::Home).unwrap();
        assert_eq!(here(&records), Some(Forbidden::Alone), "a home's folder is at home");
        records.put_session(&session(&person, Place::Home)).unwrap();
        assert_eq!(here(&records), Some(Forbidden::StopAndReview));
        let decision = DecisionRecord {
            id: new_record_id(),
            person: person.clone(),
            made: time("2026-03-06T08:00:00+01:00"),
            author: "clinician-1".to_owned(),
            condition: "foam/hip-width/open".parse().unwrap(),
            note: String::new(),
            advice: Some(Verdict::StopAndReview),
        };
        let next = records.put_next_plan(&person, draft(), "clinician-1", made).map(drop);
        let version = records.put_plan(&plan);
        let in_clinic = records.put_session(&session(&person, Place::Clinic));
        for refused in [records.put_decision(&decision), next, version, in_clinic] {
            assert!(matches!(refused, Err(RecordsError::ClinicOnly)), "{refused:?}");
        }
        assert_eq!(here(&records), Some(Forbidden::StopAndReview));
    }
}
