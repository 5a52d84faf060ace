//! `footing backup`, `verify`, `rebuild`, `erase`: looking after what is kept.

use std::io::{self, IsTerminal as _, Write as _};

use acquisition::WallTime;
use acquisition::exchange::KeyRing;
use acquisition::records::{Finding, rebuild as rebuild_records};

use super::arguments::{BackupArguments, EraseArguments};
use super::data_folder::DataFolder;
use super::output::{self, Talk};
use super::problem::Problem;
use crate::strings::with_causes;

/// Copies everything into a new folder.
pub(crate) fn backup(arguments: &BackupArguments, data: &DataFolder) -> Result<(), Problem> {
    let report = data.records()?.backup(&arguments.folder)?;
    output::result(&format!(
        "Backed up to {}: {} trials, the records, and the plain files of people ({}). It is not encrypted: keep \
         it where only you can read it.",
        arguments.folder.display(),
        report.n_trials,
        report.n_people
    ));
    Ok(())
}

/// Compares the records with the files, both ways.
pub(crate) fn verify(data: &DataFolder, talk: Talk) -> Result<(), Problem> {
    let bar = output::bar(talk, 0, "Reading every trial file");
    let report = data.records()?.verify_watched(data.reader(), &mut |n_read, n_files| {
        bar.set_length(n_files as u64);
        bar.set_position(n_read as u64);
    })?;
    bar.finish_and_clear();
    for finding in &report.findings {
        output::result(&finding_words(finding));
    }
    output::result(&format!(
        "Compared {} trials in the records with {} trial files, and the plain files of people ({}).",
        report.n_trials, report.n_files, report.n_people
    ));
    match report.findings.len() {
        0 => {
            output::result("Everything agrees.");
            Ok(())
        }
        n_findings => Err(Problem::Findings { n_findings }),
    }
}

/// Makes the records anew from the files.
pub(crate) fn rebuild(data: &DataFolder) -> Result<(), Problem> {
    let report = rebuild_records(data.library(), data.reader(), WallTime::now())?;
    for (path, error) in &report.refused_people {
        output::remark(&format!("Not used: {} ({})", path.display(), with_causes(error)));
    }
    for (path, error) in &report.refused_trials {
        output::remark(&format!("Not used: {} ({})", path.display(), with_causes(error)));
    }
    output::result(&format!(
        "The records are made anew: {} trials; people: {}.",
        report.n_trials, report.n_people
    ));
    if let Some(kept) = report.replaced {
        output::remark(&format!("The records that were there before are in {}.", kept.display()));
    }
    Ok(())
}

/// Erases everything of one person, after a second yes.
pub(crate) fn erase(arguments: &EraseArguments, data: &DataFolder) -> Result<(), Problem> {
    let mut records = data.records()?;
    let person = &arguments.person;
    if records.person(person)?.is_none() {
        return Err(Problem::NoPerson { person: person.clone() });
    }
    if arguments.confirm.as_ref() != Some(person) && !typed(person.as_str())? {
        return Err(Problem::NotConfirmed { person: person.clone() });
    }
    let erased = records.erase(person, &arguments.author, data.reader(), WallTime::now())?;
    let mut keys = KeyRing::open(data.library())?;
    if keys.pairing(person).is_ok() {
        keys.part(person)?;
    }
    output::result(&format!(
        "Everything of {person} is erased: {} trials, plans, sessions, decisions and the pairing. \
         That it was done, by {} on {}, stays in the records. Copies made earlier, such as \
         backups, are not touched.",
        erased.n_trials,
        erased.author,
        erased.begun.date()
    ));
    Ok(())
}

/// Asks for the person's code once more, where there is somebody to ask.
fn typed(person: &str) -> Result<bool, Problem> {
    if !io::stdin().is_terminal() {
        return Ok(false);
    }
    output::remark(&format!(
        "This erases every stand, plan, session and decision of {person}, for ever. `footing backup` \
         or `footing export` keep a copy; do that first if anybody may need it.\n\
         Type {person} to go on:"
    ));
    io::stderr().flush().map_err(Problem::Print)?;
    let mut line = String::new();
    io::stdin().read_line(&mut line).map_err(Problem::Print)?;
    Ok(line.trim() == person)
}

fn finding_words(finding: &Finding) -> String {
    match finding {
        Finding::Database(text) => format!("The records are damaged: {text}"),
        Finding::Library(error) => format!("The trials cannot be listed: {}", with_causes(error)),
        Finding::FileMissing { id } => format!("Trial {id} has no file."),
        Finding::FileRefused { path, error } => {
            format!("{} cannot be opened: {}", path.display(), with_causes(error))
        }
        Finding::OtherDigest { id, .. } => {
            format!("The file of trial {id} is not the one that was recorded.")
        }
        Finding::OtherFacts { id } => {
            format!("The records say something else of trial {id} than its file.")
        }
        Finding::NotRecorded { path } => {
            format!("{} is not in the records; `footing rebuild` brings it in.", path.display())
        }
        Finding::PersonFile { person } => {
            format!("The plain file of {person} is missing, or not what the records say.")
        }
    }
}
