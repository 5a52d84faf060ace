//! What a person reads when the records refuse, in English.

use acquisition::home::BadHomeSettings;
use acquisition::records::{OpenRecordsError, RecordsError};

use crate::strings::clinic::ClinicMessages;
use crate::strings::message::{Message, with_causes};

/// Messages of the clinic's screens.
pub(crate) const MESSAGES: ClinicMessages = ClinicMessages {
    not_opened: |error| Message {
        what: "The records cannot be opened.".to_owned(),
        why: format!("{}.", with_causes(error)),
        what_to_do: open_advice(error).to_owned(),
    },
    not_taken_in: |path, error, n_more| Message {
        what: match n_more {
            0 => "A file among your trials is not in the records.".to_owned(),
            n_more => format!("{} files among your trials are not in the records.", n_more + 1),
        },
        why: format!(
            "{}. {}: {}",
            with_causes(error),
            if n_more == 0 { "File" } else { "The first of them" },
            path.display()
        ),
        what_to_do: "It was left as it is, and its numbers are used nowhere. Put a whole copy in \
                     its place, or move it out of the folder."
            .to_owned(),
    },
    not_up_to_date: |error| Message {
        what: "The records may lack the newest trials.".to_owned(),
        why: format!("{}.", with_causes(error)),
        what_to_do: "Nothing is lost: the next start tries again. `footing verify` tells what is \
                     missing."
            .to_owned(),
    },
    refused: |error| Message {
        what: "The records refuse; nothing was changed.".to_owned(),
        why: format!("{}.", with_causes(error)),
        what_to_do: refused_advice(error).to_owned(),
    },
    bad_code: |error| Message {
        what: "Nobody was added.".to_owned(),
        why: format!("{}.", with_causes(error)),
        what_to_do: "Type a code such as P-07; a name can be recorded beside it.".to_owned(),
    },
    taken: |person| Message {
        what: "Nobody was added.".to_owned(),
        why: format!("{person} is in the records already."),
        what_to_do: "Choose another code, or open the course of this person.".to_owned(),
    },
    gone: |person| Message {
        what: format!("{person} is not in the records any more."),
        why: "They were erased, or another data folder is open.".to_owned(),
        what_to_do: "Go back to the list of people.".to_owned(),
    },
    not_in_plan: |error| Message {
        what: "The decision was not stored.".to_owned(),
        why: format!("{}.", with_causes(error)),
        what_to_do: "Choose one of the plan's conditions, or add it to the plan first.".to_owned(),
    },
    needs_plan: |person| Message {
        what: "The decision was not stored.".to_owned(),
        why: format!("{person} has no plan."),
        what_to_do: "Make a plan on the screen Plan, then decide.".to_owned(),
    },
};

/// The message for settings that could not be remembered.
pub(crate) fn settings_not_kept(error: &BadHomeSettings) -> Message {
    Message {
        what: "The choice holds for now, but will not be remembered.".to_owned(),
        why: format!("{}.", with_causes(error)),
        what_to_do: "Set it again with `footing home-settings`.".to_owned(),
    }
}

const fn open_advice(error: &OpenRecordsError) -> &'static str {
    match error {
        OpenRecordsError::RebuildFirst => {
            "Close the window if it is open and run `footing rebuild`: it makes the records from the \
             files."
        }
        OpenRecordsError::NotADatabase | OpenRecordsError::Migrate(_) => {
            "The file is left as it is. Restore it from a backup, or run `footing rebuild`."
        }
        OpenRecordsError::File { .. } | OpenRecordsError::Sqlite(_) => {
            "Check that you may write to the data folder and that its disk is not full."
        }
    }
}

const fn refused_advice(error: &RecordsError) -> &'static str {
    match error {
        RecordsError::UnknownPerson { .. } | RecordsError::OtherPerson { .. } => {
            "Go back to the list of people and choose again."
        }
        RecordsError::Plan(_) => "Correct the plan, then store it again.",
        RecordsError::PlanVersion { .. } => {
            "Somebody stored another version meanwhile: look at it first, then do it again."
        }
        RecordsError::ClinicOnly => {
            "Ask the clinic: it sends plans and decisions as a sealed file for `footing take`."
        }
        RecordsError::Sqlite(_)
        | RecordsError::PersonFile(_)
        | RecordsError::Keys(_)
        | RecordsError::Export { .. } => "Check that the disk is not full, then do it again.",
    }
}
