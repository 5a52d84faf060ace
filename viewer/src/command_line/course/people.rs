//! `footing people`: who is in the records.

use acquisition::records::{AffectedSide, PersonRecord, Records};
use serde_json::json;

use super::arguments::{PeopleAction, PeopleArguments, PersonArguments};
use crate::command_line::output;
use crate::command_line::problem::Problem;
use crate::command_line::stand_facts::{HEIGHT_M, MASS_KG, within};
use crate::command_line::text_table::{Side, text_table};
use crate::strings::significant;

pub(super) fn run(arguments: &PeopleArguments, records: &mut Records) -> Result<(), Problem> {
    if let Some(PeopleAction::Set(person)) = &arguments.action {
        let person = set(person, records)?;
        output::result(&format!("{} is recorded.", person.code));
        return Ok(());
    }
    let people = records.people()?;
    output::result(&if arguments.json {
        serde_json::Value::Array(people.iter().map(shape).collect()).to_string()
    } else if people.is_empty() {
        "Nobody is recorded yet. `footing people set P-01` adds somebody.".to_owned()
    } else {
        table(&people)
    });
    Ok(())
}

fn set(arguments: &PersonArguments, records: &mut Records) -> Result<PersonRecord, Problem> {
    within("height in metres", arguments.height, HEIGHT_M)?;
    within("mass in kilograms", arguments.mass, MASS_KG)?;
    Ok(records.amend_person(&arguments.person, |known| {
        known.name = arguments.name.clone().or(known.name.take());
        known.birth_year = arguments.birth_year.or(known.birth_year);
        known.height_m = arguments.height.or(known.height_m);
        known.mass_kg = arguments.mass.or(known.mass_kg);
        known.affected_side = arguments.side.or(known.affected_side);
    })?)
}

fn table(people: &[PersonRecord]) -> String {
    let unknown = || "–".to_owned();
    let number = |value: Option<f64>| value.map_or_else(unknown, |value| significant(value, 3));
    let mut rows: Vec<Vec<String>> =
        vec![["code", "born", "height [m]", "mass [kg]", "side", "name"].map(str::to_owned).into()];
    rows.extend(people.iter().map(|person| {
        vec![
            person.code.to_string(),
            person.birth_year.map_or_else(unknown, |year| year.to_string()),
            number(person.height_m),
            number(person.mass_kg),
            person.affected_side.map_or_else(unknown, |side| side.to_string()),
            person.name.clone().unwrap_or_else(unknown),
        ]
    }));
    let (left, right) = (Side::Left, Side::Right);
    text_table(&[left, right, right, right, left, left], &rows)
}

fn shape(person: &PersonRecord) -> serde_json::Value {
    json!({
        "code": person.code.as_str(),
        "name": person.name,
        "birth_year": person.birth_year,
        "height_m": person.height_m,
        "mass_kg": person.mass_kg,
        "affected_side": person.affected_side.map(AffectedSide::key),
    })
}
