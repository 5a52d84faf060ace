//! `footing send`: what the other side needs, sealed.

use std::path::Path;

use acquisition::WallTime;
use acquisition::exchange::{KeyRing, Sent, send};
use acquisition::package::PackageKind;
use acquisition::records::Records;
use analysis::PersonCode;

use super::arguments::SendArguments;
use crate::command_line::data_folder::DataFolder;
use crate::command_line::output;
use crate::command_line::problem::Problem;

const DAY_US: i64 = 24 * 3_600_000_000;

pub(super) fn run(arguments: &SendArguments, data: &DataFolder) -> Result<(), Problem> {
    let records = data.records()?;
    let now = arguments.sealed.unwrap_or_else(WallTime::now);
    let since = days_before(now, arguments.days);
    seal(&records, &arguments.person, since, arguments.with_name, now, &arguments.into)
}

/// The moment so many days earlier.
pub(super) fn days_before(now: WallTime, days: u16) -> WallTime {
    let unix_us = now.unix_us.saturating_sub(i64::from(days) * DAY_US);
    WallTime { unix_us, ..now }
}

/// Seals and says what is in it.
pub(super) fn seal(
    records: &Records,
    person: &PersonCode,
    since: WallTime,
    with_name: bool,
    now: WallTime,
    into: &Path,
) -> Result<(), Problem> {
    let keys = KeyRing::open(records.library())?;
    let sent = send(records, &keys, person, since, with_name, now, into)?;
    output::result(&sent.sealed.path.display().to_string());
    output::remark(&format!(
        "Sealed for {person}: {}. Only the other side can open it.",
        content_words(&sent)
    ));
    Ok(())
}

fn content_words(sent: &Sent) -> String {
    match sent.sealed.manifest.kind {
        PackageKind::Plan => "the plan and every decision".to_owned(),
        PackageKind::Sessions => {
            format!("{} sessions with {} stands", sent.n_sessions, sent.n_trials)
        }
    }
}
