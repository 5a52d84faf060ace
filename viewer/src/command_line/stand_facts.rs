//! From what was typed about a stand to the facts of a trial.

use acquisition::records::{Records, SessionRecord};
use acquisition::results::PROGRAM;
use acquisition::{TrialFacts, WallTime};
use analysis::{Condition, PersonCode, Setup};

use super::arguments::StandDetails;
use super::problem::Problem;

/// Heights of people the program takes, in metres, and masses, in kilograms: our own limits, wide
/// enough for everybody and narrow enough to catch centimetres and pounds.
pub(crate) const HEIGHT_M: (f64, f64) = (0.8, 2.5);
pub(crate) const MASS_KG: (f64, f64) = (10.0, 250.0);
/// A sole higher than this above the cells is a mistake.
const SOLE_HEIGHT_MM: (f64, f64) = (0.0, 500.0);

/// The facts typed, checked; `board` names the plate.
pub(crate) fn stand_facts(
    person: &PersonCode,
    condition: Condition,
    stand: &StandDetails,
    board: &str,
) -> Result<TrialFacts, Problem> {
    within("height in metres", stand.height, HEIGHT_M)?;
    within("mass in kilograms", stand.mass, MASS_KG)?;
    within("sole height in millimetres", stand.sole_height, SOLE_HEIGHT_MM)?;
    Ok(TrialFacts {
        id: acquisition::new_trial_id(),
        person: person.clone(),
        session: None,
        plan: None,
        condition,
        kind: stand.kind,
        setup: Setup {
            board: board.to_owned(),
            sole_height_mm: stand.sole_height,
            facing: stand.facing,
        },
        body_height_m: stand.height,
        body_mass_kg: stand.mass,
        started: WallTime::now(),
        settled_s: 0.0,
        asked_s: 0.0,
        program: PROGRAM.to_owned(),
    })
}

/// Fills in what the records know of the person and was not typed.
pub(crate) fn complete(facts: &mut TrialFacts, records: &Records) -> Result<(), Problem> {
    if let Some(person) = records.person(&facts.person)? {
        facts.body_height_m = facts.body_height_m.or(person.height_m);
        facts.body_mass_kg = facts.body_mass_kg.or(person.mass_kg);
    }
    Ok(())
}

/// The session of this id, which must be this person's: found out before anything is recorded.
pub(crate) fn known_session(
    records: &Records,
    person: &PersonCode,
    id: &str,
) -> Result<SessionRecord, Problem> {
    let session = records.session(id)?.filter(|session| session.person == *person);
    session.ok_or_else(|| Problem::UnknownSession { id: id.to_owned() })
}

/// Refuses a number outside its range; one that is not given is not outside.
pub(crate) fn within(
    what: &'static str,
    given: Option<f64>,
    (low, high): (f64, f64),
) -> Result<(), Problem> {
    match given {
        Some(given) if !(low..=high).contains(&given) => {
            Err(Problem::OutOfRange { what, given, low, high })
        }
        _ => Ok(()),
    }
}
