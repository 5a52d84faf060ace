//! What the records forbid a person: standing at all, or at one condition.

use analysis::readiness::{Verdict, next_step_in_any_plan};
use analysis::{Condition, PersonCode};

use super::database::{Records, RecordsError};
use super::plan::{Plan, Release};
use super::session::Place;
use crate::wall_time::WallTime;

/// Why a person with a plan may not stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Forbidden {
    /// Something was reported, or went so badly, that the clinician looks at it first: until a
    /// decision that is newer.
    StopAndReview,
    /// At home only conditions of the plan are stood; a new one is first tried in the clinic.
    NotInPlan,
    /// The plan keeps the condition for the clinic.
    ClinicOnly,
    /// The plan wants a second person at home, and nobody said that there is one.
    Alone,
}

/// Where somebody is to stand, and with whom.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Whereabouts {
    /// The place of the session; `None` for a stand outside any. That is at home in a home's data
    /// folder; elsewhere the place is not known and nothing about it is judged.
    pub place: Option<Place>,
    /// A second person is there.
    pub accompanied: bool,
}

impl Records {
    /// Why `person` may not stand at `condition`; `None` if the records say nothing against it, or
    /// there is no plan.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn forbids(
        &self,
        person: &PersonCode,
        condition: Condition,
        at: Whereabouts,
        now: WallTime,
    ) -> Result<Option<Forbidden>, RecordsError> {
        let Some(plan) = self.current_plan(person)? else { return Ok(None) };
        if self.is_stopped(&plan, now)? {
            return Ok(Some(Forbidden::StopAndReview));
        }
        Ok(match self.place_or_own(at.place)? {
            Some(Place::Home) => not_at_home(&plan, condition, at.accompanied),
            Some(Place::Clinic) | None => None,
        })
    }

    /// Whether a stop is latched: whatever condition the plan is at, and if it is no longer in it.
    fn is_stopped(&self, plan: &Plan, now: WallTime) -> Result<bool, RecordsError> {
        let course = self.course(&plan.person)?.course;
        let step = next_step_in_any_plan(&course, &plan.step_plan(), now.moment());
        Ok(step.is_ok_and(|step| step.verdict == Verdict::StopAndReview))
    }

    /// A number that differs once another program, or another part of this one, has changed the
    /// records; cheap enough to ask every second.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn changes_elsewhere(&self) -> Result<i64, RecordsError> {
        Ok(self.connection.pragma_query_value(None, "data_version", |row| row.get(0))?)
    }
}

fn not_at_home(plan: &Plan, condition: Condition, accompanied: bool) -> Option<Forbidden> {
    match plan.conditions.iter().find(|planned| planned.condition == condition) {
        None => Some(Forbidden::NotInPlan),
        Some(planned) => not_released(planned.release, accompanied),
    }
}

/// Why a release keeps a condition from being stood at home, with a second person there or not.
pub(crate) fn not_released(release: Release, accompanied: bool) -> Option<Forbidden> {
    match release {
        Release::Clinic => Some(Forbidden::ClinicOnly),
        Release::Accompanied => (!accompanied).then_some(Forbidden::Alone),
        Release::Alone => None,
    }
}

#[cfg(test)]
mod tests {
    use analysis::readiness::Answers;

    use super::super::{DecisionRecord, PlanDraft, SessionRecord};
    use super::*;
    use crate::library::Library;
    use crate::new_record_id;

    const PLAN: &str = r#"
sessions_per_day = 1
settle_s = 15.0

[[conditions]]
condition = "foam/hip-width/open"
holds = 2
hold_s = 35.0
rest_s = 30.0
release = "alone"

[[conditions]]
condition = "foam/together/open"
holds = 2
hold_s = 35.0
rest_s = 30.0
release = "accompanied"

[[conditions]]
condition = "foam/hip-width/closed"
holds = 2
hold_s = 35.0
rest_s = 30.0
release = "clinic"
"#;

    fn time(text: &str) -> WallTime {
        text.parse().unwrap()
    }

    fn person() -> PersonCode {
        "P-01".parse().unwrap()
    }

    fn planned() -> (tempfile::TempDir, Records) {
        let folder = tempfile::tempdir().unwrap();
        let mut records = Records::open(&Library::open(folder.path()).unwrap()).unwrap();
        let draft = PlanDraft::from_toml(PLAN).unwrap();
        let made = time("2026-03-01T09:00:00+01:00");
        let plan = records.put_next_plan(&person(), draft, "clinician-1", made).unwrap();
        assert_eq!(plan.settle_s, Some(15.0));
        assert_eq!(records.current_plan(&person()).unwrap(), Some(plan));
        (folder, records)
    }

    fn asked(records: &Records, condition: &str, at: Whereabouts) -> Option<Forbidden> {
        let now = time("2026-03-10T09:00:00+01:00");
        records.forbids(&person(), condition.parse().unwrap(), at, now).unwrap()
    }

    #[test]
    fn at_home_the_releases_of_the_plan_rule() {
        let (_folder, records) = planned();
        let home = |accompanied| Whereabouts { place: Some(Place::Home), accompanied };
        let clinic = Whereabouts { place: Some(Place::Clinic), accompanied: false };
        let nowhere = Whereabouts { place: None, accompanied: false };
        for (condition, alone, with_somebody) in [
            ("foam/hip-width/open", None, None),
            ("foam/together/open", Some(Forbidden::Alone), None),
            ("foam/hip-width/closed", Some(Forbidden::ClinicOnly), Some(Forbidden::ClinicOnly)),
            ("foam/tandem/open", Some(Forbidden::NotInPlan), Some(Forbidden::NotInPlan)),
        ] {
            assert_eq!(asked(&records, condition, home(false)), alone, "{condition}");
            assert_eq!(asked(&records, condition, home(true)), with_somebody, "{condition}");
            assert_eq!(asked(&records, condition, clinic), None, "{condition}");
            assert_eq!(asked(&records, condition, nowhere), None, "{condition}");
        }
        let stranger = "P-02".parse().unwrap();
        let condition = "foam/tandem/open".parse().unwrap();
        let now = time("2026-03-10T09:00:00+01:00");
        assert_eq!(records.forbids(&stranger, condition, home(false), now).unwrap(), None);
    }

    #[test]
    fn a_stop_holds_everywhere_until_a_newer_review() {
        let (_folder, mut records) = planned();
        let session = SessionRecord {
            id: new_record_id(),
            person: person(),
            plan: None,
            place: Place::Home,
            started: time("2026-03-05T18:00:00+01:00"),
            ended_unix_us: None,
            answers: Answers { warning_sign: Some(true), ..Answers::default() },
            exercises: Vec::new(),
        };
        let nowhere = Whereabouts { place: None, accompanied: false };
        let clinic = Whereabouts { place: Some(Place::Clinic), accompanied: true };
        let before = records.changes_elsewhere().unwrap();
        let library = records.library().clone();
        Records::open(&library).unwrap().put_session(&session).unwrap();
        assert_ne!(records.changes_elsewhere().unwrap(), before);
        for at in [nowhere, clinic] {
            let stop = Some(Forbidden::StopAndReview);
            assert_eq!(asked(&records, "foam/hip-width/open", at), stop);
        }
        let mut decide = |condition: &str, made: &str| {
            let decision = DecisionRecord {
                id: new_record_id(),
                person: person(),
                made: time(made),
                author: "clinician-1".to_owned(),
                condition: condition.parse().unwrap(),
                note: String::new(),
                advice: None,
            };
            records.put_decision(&decision).unwrap();
            asked(&records, "foam/hip-width/open", nowhere)
        };
        let older = decide("foam/hip-width/open", "2026-03-05T09:00:00+01:00");
        assert_eq!(older, Some(Forbidden::StopAndReview));
        // To a condition that the plan does not hold: a review all the same.
        assert_eq!(decide("firm/wide/open", "2026-03-06T09:00:00+01:00"), None);
    }
}
