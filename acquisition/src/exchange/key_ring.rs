//! The keys of a data folder: its own, those it is paired with, and what went to and fro.

use std::collections::BTreeMap;
use std::fs::{self, DirBuilder};
use std::io;
use std::os::unix::fs::DirBuilderExt as _;
use std::path::{Path, PathBuf};

use analysis::PersonCode;
use thiserror::Error;

use crate::keys::{
    KeyPair, LoadKeysError, LoadPairingError, Pairing, ReadOwnerFileError, Role, SaveKeysError,
    generate, load_keys, load_pairing, read_owned, replace_owned, save_keys, save_pairing,
};
use crate::library::Library;
use crate::package::{ImportedPackagesFile, LoadImportedError, PackageKind};
use crate::wall_time::WallTime;

const FOLDER_NAME: &str = "keys";
const OWN_NAME: &str = "own.toml";
const PAIRED_PREFIX: &str = "with-";
const TAKEN_NAME: &str = "taken.json";
const SENT_NAME: &str = "sent.json";
const MAX_SENT_BYTES: u64 = 4 * 1024 * 1024;

/// What a data folder knows of keys.
#[derive(Debug)]
pub struct KeyRing {
    folder: PathBuf,
    own: Option<KeyPair>,
    pairings: Vec<Pairing>,
}

/// Why the keys of a data folder cannot be used.
#[derive(Debug, Error)]
pub enum KeyRingError {
    /// The folder cannot be made or read.
    #[error("the folder of the keys cannot be used")]
    Folder(#[source] io::Error),
    /// The own keys cannot be read.
    #[error(transparent)]
    Own(#[from] LoadKeysError),
    /// New keys cannot be written.
    #[error(transparent)]
    Save(#[from] SaveKeysError),
    /// There are keys, of the other side.
    #[error("this folder has the keys of a {role} already")]
    OtherRole {
        /// The side it is.
        role: Role,
    },
    /// No keys were made yet.
    #[error("this folder has no keys yet")]
    NoKeys,
    /// A pairing cannot be read.
    #[error("the pairing {name:?} cannot be used")]
    Pairing {
        /// Its file.
        name: String,
        /// Why.
        source: LoadPairingError,
    },
    /// Nobody is paired for that person.
    #[error("nobody is paired for {person}")]
    NotPaired {
        /// The person.
        person: PersonCode,
    },
    /// There is a pairing for that person, with other keys, another board or another clinic.
    #[error("{person} is paired already, otherwise")]
    PairedOtherwise {
        /// The person.
        person: PersonCode,
    },
    /// The list of packages that were taken cannot be used.
    #[error(transparent)]
    Taken(#[from] LoadImportedError),
    /// The list of packages that were sent cannot be read.
    #[error("the list of packages sent cannot be used")]
    Sent(#[from] ReadOwnerFileError),
    /// The list of packages that were sent holds something else.
    #[error("the list of packages sent is no such list")]
    SentShape,
}

impl KeyRing {
    /// What the folder of `library` holds; nothing is made.
    ///
    /// # Errors
    /// [`KeyRingError`].
    pub fn open(library: &Library) -> Result<Self, KeyRingError> {
        let folder = library.folder().join(FOLDER_NAME);
        let own = own_keys(&folder)?;
        let mut pairings = Vec::new();
        for path in paired_files(&folder).map_err(KeyRingError::Folder)? {
            pairings.push(load_pairing(&path).map_err(|source| KeyRingError::Pairing {
                name: path.file_name().unwrap_or_default().to_string_lossy().into_owned(),
                source,
            })?);
        }
        Ok(Self { folder, own, pairings })
    }

    /// The keys of this side, made now if there are none; whether they were made.
    ///
    /// # Errors
    /// [`KeyRingError`]; `OtherRole` if this is the other side.
    pub fn make(&mut self, role: Role) -> Result<bool, KeyRingError> {
        if let Some(own) = &self.own {
            let found = own.role();
            return if found == role {
                Ok(false)
            } else {
                Err(KeyRingError::OtherRole { role: found })
            };
        }
        self.put_own(generate(role))?;
        Ok(true)
    }

    pub(super) fn put_own(&mut self, own: KeyPair) -> Result<(), KeyRingError> {
        self.make_folder()?;
        save_keys(&own, &self.folder.join(OWN_NAME))?;
        self.own = Some(own);
        Ok(())
    }

    fn make_folder(&self) -> Result<(), KeyRingError> {
        let mut builder = DirBuilder::new();
        builder.recursive(true).mode(0o700).create(&self.folder).map_err(KeyRingError::Folder)
    }

    /// Keeps a pairing. The same one again changes nothing.
    ///
    /// # Errors
    /// [`KeyRingError`]; `PairedOtherwise` if there is another one for the same person.
    pub fn pair(&mut self, pairing: Pairing) -> Result<(), KeyRingError> {
        let person = pairing.assignment().person.clone();
        match self.pairings.iter().find(|known| known.assignment().person == person) {
            Some(known) if *known == pairing => return Ok(()),
            Some(_) => return Err(KeyRingError::PairedOtherwise { person }),
            None => {}
        }
        self.make_folder()?;
        save_pairing(&pairing, &self.paired_file(&person)).map_err(KeyRingError::Folder)?;
        self.pairings.push(pairing);
        Ok(())
    }

    /// Ends the pairing for a person: nothing of theirs is taken or sealed any more.
    ///
    /// # Errors
    /// [`KeyRingError`]; `NotPaired` if there is none.
    pub fn part(&mut self, person: &PersonCode) -> Result<(), KeyRingError> {
        self.pairing(person)?;
        fs::remove_file(self.paired_file(person)).map_err(KeyRingError::Folder)?;
        self.pairings.retain(|known| known.assignment().person != *person);
        Ok(())
    }

    fn paired_file(&self, person: &PersonCode) -> PathBuf {
        self.folder.join(format!("{PAIRED_PREFIX}{person}.toml"))
    }

    /// Which side the folder of `library` is, and nothing else of it; `None` before keys are made.
    ///
    /// # Errors
    /// [`KeyRingError`].
    pub fn role_of(library: &Library) -> Result<Option<Role>, KeyRingError> {
        Ok(own_keys(&library.folder().join(FOLDER_NAME))?.map(|own| own.role()))
    }

    /// Which side this is; `None` before its keys are made.
    pub fn role(&self) -> Option<Role> {
        self.own.as_ref().map(KeyPair::role)
    }

    /// The keys of this side.
    ///
    /// # Errors
    /// `NoKeys` before they are made.
    pub fn own(&self) -> Result<&KeyPair, KeyRingError> {
        self.own.as_ref().ok_or(KeyRingError::NoKeys)
    }

    /// The own keys once more from their file, for a backup; they are not copied in memory otherwise.
    pub(super) fn read_own(&self) -> Result<KeyPair, KeyRingError> {
        self.own()?;
        Ok(load_keys(&self.folder.join(OWN_NAME))?)
    }

    /// Everyone this side is paired with, by the person's code.
    pub fn pairings(&self) -> &[Pairing] {
        &self.pairings
    }

    /// The pairing for a person.
    ///
    /// # Errors
    /// `NotPaired` if there is none.
    pub fn pairing(&self, person: &PersonCode) -> Result<&Pairing, KeyRingError> {
        let found = self.pairings.iter().find(|known| known.assignment().person == *person);
        found.ok_or_else(|| KeyRingError::NotPaired { person: person.clone() })
    }

    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    pub(super) fn taken(&self) -> Result<ImportedPackagesFile, KeyRingError> {
        Ok(ImportedPackagesFile::load(&self.folder.join(TAKEN_NAME))?)
    }

    /// Uses up the next running number for a package of `kind` about `person`.
    ///
    /// It is the time in seconds, or one more than the last: so it goes on rising even where a
    /// backup that is older than the last package was brought back.
    pub(super) fn next_serial(
        &self,
        kind: PackageKind,
        person: &PersonCode,
        now: WallTime,
    ) -> Result<u64, KeyRingError> {
        let path = self.folder.join(SENT_NAME);
        let mut sent: BTreeMap<String, u64> = match read_owned(&path, MAX_SENT_BYTES) {
            Ok(bytes) => serde_json::from_slice(&bytes).ok().ok_or(KeyRingError::SentShape)?,
            Err(ReadOwnerFileError::Missing) => BTreeMap::new(),
            Err(error) => return Err(error.into()),
        };
        let last = sent.entry(format!("{}/{person}", kind.key())).or_default();
        let now_s = u64::try_from(now.unix_us.div_euclid(1_000_000)).unwrap_or(0);
        *last = now_s.max(last.saturating_add(1));
        let serial = *last;
        let bytes = serde_json::to_vec_pretty(&sent).expect("a map of numbers is JSON");
        replace_owned(&path, &bytes).map_err(KeyRingError::Folder)?;
        Ok(serial)
    }

    /// The lists of what was sent and taken, by the names of their files.
    pub(super) fn lists(&self) -> [PathBuf; 2] {
        [TAKEN_NAME, SENT_NAME].map(|name| self.folder.join(name))
    }
}

fn own_keys(folder: &Path) -> Result<Option<KeyPair>, KeyRingError> {
    match load_keys(&folder.join(OWN_NAME)) {
        Ok(own) => Ok(Some(own)),
        Err(LoadKeysError::File(ReadOwnerFileError::Missing)) => Ok(None),
        Err(error) => Err(error.into()),
    }
}

fn paired_files(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let mut paths = Vec::new();
    for entry in entries {
        let path = entry?.path();
        let stem = path.file_stem().unwrap_or_default().to_string_lossy();
        if stem.starts_with(PAIRED_PREFIX) && path.extension().is_some_and(|end| end == "toml") {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths)
}
