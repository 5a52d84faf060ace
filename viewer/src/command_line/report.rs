//! `footing report`: a page for the chart or for the person who stands.

use std::fs;
use std::io;
use std::path::Path;

use acquisition::WallTime;
use acquisition::home::HomeSettings;

use super::data_folder::DataFolder;
use super::interchange_arguments::ReportArguments;
use super::output;
use super::problem::Problem;
use crate::report::{Calls, PersonMaterial, ReadPersonError, chart, patient};

pub(crate) fn run(arguments: &ReportArguments, data: &DataFolder) -> Result<(), Problem> {
    let now = WallTime::now();
    let date = arguments.as_of.clone().unwrap_or_else(|| now.date());
    let until = WallTime::end_of(&date, now.offset_s)?;
    let words = data.words(arguments.language)?;
    let records = data.records()?;
    let material =
        PersonMaterial::read(&records, data.library(), data.reader(), &arguments.person, until)
            .map_err(|error| match error {
                ReadPersonError::NoPerson { person } => Problem::NoPerson { person },
                ReadPersonError::Records(source) => Problem::Records(source),
                ReadPersonError::Board(source) => Problem::BoardFolder(source),
            })?;
    let pdf = if arguments.patient {
        let calls = calls(arguments, data)?;
        let page = material.patient(words, arguments.with_name, calls);
        patient(&page, arguments.paper, words)?
    } else {
        let report = material.chart(words, arguments.with_name);
        chart(&report, arguments.paper, words)?
    };
    let out = &arguments.out;
    write_whole(out, &pdf).map_err(|source| Problem::WriteFile { path: out.clone(), source })?;
    output::aside(&format!("Written: {}", out.display()));
    Ok(())
}

/// Whom to call, as typed or as the settings of a home say. A page without the emergency number is
/// made, but not without a word.
fn calls(arguments: &ReportArguments, data: &DataFolder) -> Result<Calls, Problem> {
    let settings = HomeSettings::load(data.library().folder())?;
    let emergency_number = arguments.emergency_number.clone().or(settings.emergency_number);
    if emergency_number.is_none() {
        output::remark(
            "The page names no emergency number. Give it with --emergency-number, or set it with \
             `footing home-settings`.",
        );
    }
    Ok(Calls {
        contact: arguments.clinic_contact.clone().or(settings.clinic_contact).unwrap_or_default(),
        emergency_number: emergency_number.unwrap_or_default(),
    })
}

/// The file appears whole or not at all.
fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut name = path.file_name().ok_or(io::ErrorKind::InvalidInput)?.to_owned();
    name.push(".part");
    let part = path.with_file_name(name);
    let written = fs::write(&part, bytes).and_then(|()| fs::rename(&part, path));
    if written.is_err() && part.is_file() {
        fs::remove_file(&part)?;
    }
    written
}
