//! The two sides, clinic and home: pairing, packages to and fro, review and answer, a safe copy.

mod answer;
pub(crate) mod arguments;
mod home;
pub(crate) mod message;
mod pair;
mod passphrase;
mod review;
mod safe_copy;
mod send;
mod take;

use acquisition::exchange::KeyRing;
use acquisition::keys::Role;

use super::data_folder::DataFolder;
use super::problem::Problem;
use arguments::SidesCommand;

/// Does one of these commands.
pub(crate) fn run(command: &SidesCommand, data: &DataFolder) -> Result<(), Problem> {
    match command {
        SidesCommand::Pair(arguments) => pair::run(arguments, data),
        SidesCommand::Send(arguments) => send::run(arguments, data),
        SidesCommand::Take(arguments) => take::run(arguments, data),
        SidesCommand::Review(arguments) => review::run(arguments, data),
        SidesCommand::Answer(arguments) => answer::run(arguments, data),
        SidesCommand::KeepSafe(arguments) => safe_copy::keep(arguments, data),
        SidesCommand::BringBack(arguments) => safe_copy::bring(arguments, data),
        SidesCommand::Home(arguments) => home::run(arguments, data),
        SidesCommand::HomeSettings(arguments) => home::settings(arguments, data),
    }
}

/// Refuses what only a clinic may do where the keys are those of a home.
pub(crate) fn only_in_clinic(data: &DataFolder) -> Result<(), Problem> {
    match KeyRing::open(data.library())?.role() {
        Some(Role::Home) => Err(Problem::AtHome),
        Some(Role::Clinic) | None => Ok(()),
    }
}
