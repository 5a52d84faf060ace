//! `footing report`: a page for the chart or for the person who stands.

use std::fs;
use std::io;
use std::path::Path;

use acquisition::WallTime;

use super::data_folder::DataFolder;
use super::interchange_arguments::ReportArguments;
use super::output;
use super::problem::Problem;
use crate::report::{Calls, PersonMaterial, ReadPersonError, chart, patient};
use crate::strings::ENGLISH;

pub(crate) fn run(arguments: &ReportArguments, data: &DataFolder) -> Result<(), Problem> {
    let now = WallTime::now();
    let date = arguments.as_of.clone().unwrap_or_else(|| now.date());
    let until = WallTime::end_of(&date, now.offset_s)?;
    let records = data.records()?;
    let material =
        PersonMaterial::read(&records, data.library(), data.reader(), &arguments.person, until)
            .map_err(|error| match error {
                ReadPersonError::NoPerson { person } => Problem::NoPerson { person },
                ReadPersonError::Records(source) => Problem::Records(source),
                ReadPersonError::Board(source) => Problem::BoardFolder(source),
            })?;
    let pdf = if arguments.patient {
        let calls = Calls {
            contact: arguments.contact.clone(),
            emergency_number: arguments.emergency.clone(),
        };
        let page = material.patient(&ENGLISH, arguments.with_name, calls);
        patient(&page, arguments.paper, &ENGLISH)?
    } else {
        let report = material.chart(&ENGLISH, arguments.with_name);
        chart(&report, arguments.paper, &ENGLISH)?
    };
    let out = &arguments.out;
    write_whole(out, &pdf).map_err(|source| Problem::WriteFile { path: out.clone(), source })?;
    output::aside(&format!("Written: {}", out.display()));
    Ok(())
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
