//! `footing keep-safe` and `footing bring-back`: everything in one file under a passphrase.

use acquisition::WallTime;
use acquisition::exchange::{KeyRing, bring_back, keep_safe};

use super::arguments::{BringBackArguments, KeepSafeArguments};
use super::passphrase::passphrase;
use crate::command_line::data_folder::DataFolder;
use crate::command_line::output;
use crate::command_line::problem::Problem;

pub(super) fn keep(arguments: &KeepSafeArguments, data: &DataFolder) -> Result<(), Problem> {
    // What lies in journals is sealed by now, and what is sealed is recorded before it is copied.
    drop(data.records()?);
    let keys = KeyRing::open(data.library())?;
    keys.own()?;
    let secret = passphrase(
        arguments.passphrase_file.as_deref(),
        "Choose a passphrase of at least 16 characters, four or five words, then Enter:",
    )?;
    let kept = keep_safe(data.library(), &keys, &secret, &arguments.file)?;
    output::result(&format!(
        "Kept: the keys, {} pairings and {} files, in {}.",
        kept.n_pairings,
        kept.n_files,
        arguments.file.display()
    ));
    output::remark("Without the passphrase nobody can open it, you neither. Keep it elsewhere.");
    Ok(())
}

pub(super) fn bring(arguments: &BringBackArguments, data: &DataFolder) -> Result<(), Problem> {
    let secret = passphrase(arguments.passphrase_file.as_deref(), "The passphrase, then Enter:")?;
    let back =
        bring_back(data.library(), data.reader(), &arguments.file, &secret, WallTime::now())?;
    output::result(&format!(
        "Brought back: the keys, {} pairings, {} people, {} stands.",
        back.n_pairings, back.records.n_people, back.records.n_trials
    ));
    for (path, _) in &back.records.refused_trials {
        output::remark(&format!("Not used, left as it is: {}", path.display()));
    }
    Ok(())
}
