//! Where trials are kept, and what a crash left there.

use std::path::{Path, PathBuf};

use acquisition::board_folder::BoardFolder;
use acquisition::home::{HomeSettings, LanguageKey};
use acquisition::journal::{RecoverError, Recovered, recover_all};
use acquisition::library::Library;
use acquisition::records::Records;
use acquisition::trial_file::TrialReader;
use acquisition::{BoardIdentity, Ending};
use directories::ProjectDirs;

use super::output;
use super::problem::Problem;
use super::strangers;
use crate::strings::{ENGLISH, Language};

/// The folder with everything that is kept.
#[derive(Debug, Clone)]
pub(crate) struct DataFolder {
    library: Library,
    reader: TrialReader,
}

impl DataFolder {
    /// The folder asked for, or the system's own place for a user's data; it is made if need be.
    pub(crate) fn open(asked: Option<&Path>) -> Result<Self, Problem> {
        let folder = match asked {
            Some(path) => path.to_owned(),
            None => ProjectDirs::from("", "", "footing")
                .ok_or(Problem::NoDataFolder)?
                .data_dir()
                .to_owned(),
        };
        let library = Library::open(&folder)?;
        let reader = TrialReader::with_children(strangers::child(), &library);
        Ok(Self { library, reader })
    }

    /// The records of this folder, with every sealed trial in them; made if there are none.
    pub(crate) fn records(&self) -> Result<Records, Problem> {
        let (records, caught_up) = Records::open_up_to_date(&self.library, &self.reader)?;
        match caught_up {
            Ok(caught_up) => {
                let mut refused = caught_up.refused.into_iter();
                if let Some((path, source)) = refused.next() {
                    let n_more = refused.len();
                    output::say(&Problem::NotTakenIn { path, source: Box::new(source), n_more });
                }
            }
            Err(error) => output::say(&Problem::CatchUp(error)),
        }
        Ok(records)
    }

    /// What reads trial files.
    pub(crate) fn reader(&self) -> &TrialReader {
        &self.reader
    }

    pub(crate) fn library(&self) -> &Library {
        &self.library
    }

    pub(crate) fn trials(&self) -> PathBuf {
        self.library.trials_folder()
    }

    pub(crate) fn journals(&self) -> PathBuf {
        self.library.journals_folder()
    }

    /// The words asked for, or those that the settings of this folder name; English otherwise.
    pub(crate) fn words(&self, asked: Option<LanguageKey>) -> Result<&'static Language, Problem> {
        let key = match asked {
            Some(key) => Some(key),
            None => HomeSettings::load(self.library.folder())?.language,
        };
        Ok(key.map_or(&ENGLISH, Language::of))
    }

    /// What is kept of a board.
    pub(crate) fn board(&self, identity: &BoardIdentity) -> Result<BoardFolder, Problem> {
        Ok(BoardFolder::new(self.library.folder(), &identity.board_id)?)
    }

    /// Seals what a crash or a power cut left, and says so; what cannot be read is left as it is.
    pub(crate) fn bring_in_interrupted(&self) -> Result<(), Problem> {
        let journals = self.journals();
        for recovered in recover_all(&journals).map_err(Problem::list(&journals))? {
            match recovered {
                Ok(recovered) => self.seal_interrupted(recovered),
                // Another program is recording at this moment: nothing of ours.
                Err(RecoverError::InUse { .. }) => {}
                Err(error) => output::say(&Problem::Recover(error)),
            }
        }
        Ok(())
    }

    fn seal_interrupted(&self, recovered: Recovered) {
        let facts = recovered.trial.facts.clone();
        let n_samples = recovered.trial.samples.n_samples();
        let whole = recovered.complete;
        match recovered.seal(&self.trials()) {
            Ok(sealed) if sealed.trial_file.is_some() => {
                let condition = (ENGLISH.condition)(&facts.condition);
                let rest = if whole { "" } else { "; its last moments were not written" };
                output::remark(&format!(
                    "A stand that was interrupted is kept: {} on {}, {condition}, \
                     {n_samples} samples{rest}.",
                    facts.person,
                    facts.started.date(),
                ));
            }
            Ok(_) => {}
            Err(error) => output::say(&Problem::SealJournal(error)),
        }
    }
}

/// Why a record ends, as said at its end.
pub(crate) fn ending_words(ended: Ending) -> &'static str {
    match ended {
        Ending::HoldReached => "held to the end",
        Ending::StepOff => "ended early: stepped off",
        Ending::Stopped => "ended early: stopped by the person",
        Ending::StoppedByRule => "ended early: stopped by a rule of the plan",
        Ending::BoardLost => "ended early: the board was lost",
        Ending::Recovered => "ended early: interrupted",
    }
}
