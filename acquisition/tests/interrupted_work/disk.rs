//! What a disk may hold after a power cut: all that was synced, and any part of the rest.
//!
//! The bytes of a file are safe if a sync of that file began after they were written and returned
//! before the cut. Of the others any pages may be there, in any order, whole, torn or as zeros. The
//! names in a folder are safe if a sync of the folder began after they changed; of later changes the
//! first few may be there, as on a file system that keeps its changes of names in order. A file that
//! was synced but not its folder may have no name.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use rand::RngExt as _;
use rand_chacha::ChaCha8Rng;

use crate::system_calls::{Asked, Call};

/// What reaches a disk together, or not.
const PAGE: usize = 4096;
const SECTOR: usize = 512;

/// A change of a file's bytes.
#[derive(Debug)]
enum Change {
    Write { offset: usize, bytes: Vec<u8> },
    Truncate { n_bytes: usize },
}

/// A change of the names in a folder.
#[derive(Debug)]
enum Naming {
    Name { path: PathBuf, file: usize },
    Unname { path: PathBuf },
}

/// Something that happened between two moments.
#[derive(Debug)]
struct Timed<T> {
    begun_ns: u64,
    ended_ns: u64,
    what: T,
}

#[derive(Debug, Default)]
struct File {
    before: Vec<u8>,
    changes: Vec<Timed<Change>>,
    syncs: Vec<Timed<()>>,
}

#[derive(Debug, Default)]
struct Folder {
    changes: Vec<Timed<Naming>>,
    syncs: Vec<Timed<()>>,
}

/// A data folder over time.
#[derive(Debug, Default)]
pub(crate) struct Disk {
    root: PathBuf,
    files: Vec<File>,
    /// Names at the beginning, which are safe.
    before: BTreeMap<PathBuf, usize>,
    /// Names as the process saw them last.
    names: BTreeMap<PathBuf, usize>,
    folders: BTreeMap<PathBuf, Folder>,
}

impl Disk {
    /// What lies in `root` and below, all of it safe.
    pub(crate) fn of(root: &Path) -> io::Result<Self> {
        let mut disk = Self { root: root.to_owned(), ..Self::default() };
        disk.take_in(root)?;
        disk.names = disk.before.clone();
        Ok(disk)
    }

    fn take_in(&mut self, folder: &Path) -> io::Result<()> {
        self.folders.insert(folder.to_owned(), Folder::default());
        for entry in fs::read_dir(folder)? {
            let path = entry?.path();
            if path.is_dir() {
                self.take_in(&path)?;
            } else {
                self.before.insert(path.clone(), self.files.len());
                self.files.push(File { before: fs::read(path)?, ..File::default() });
            }
        }
        Ok(())
    }

    /// Takes the next call in order; gives whether it was a sync of something here.
    pub(crate) fn take(&mut self, call: Call) -> bool {
        let (begun_ns, ended_ns) = (call.begun_ns, call.ended_ns);
        match call.what {
            Asked::Open { path, create, empty } if path.starts_with(&self.root) => {
                if create && !self.names.contains_key(&path) {
                    self.files.push(File::default());
                    let file = self.files.len() - 1;
                    self.rename(begun_ns, ended_ns, Naming::Name { path, file });
                } else if empty {
                    self.change(&path, begun_ns, ended_ns, Change::Truncate { n_bytes: 0 });
                }
            }
            Asked::Write { path, offset, bytes } => {
                let offset = usize::try_from(offset).expect("a small file");
                self.change(&path, begun_ns, ended_ns, Change::Write { offset, bytes });
            }
            Asked::Truncate { path, n_bytes } => {
                let n_bytes = usize::try_from(n_bytes).expect("a small file");
                self.change(&path, begun_ns, ended_ns, Change::Truncate { n_bytes });
            }
            Asked::Rename { from, to } => {
                if let Some(&file) = self.names.get(&from) {
                    self.rename(begun_ns, ended_ns, Naming::Name { path: to, file });
                    self.rename(begun_ns, ended_ns, Naming::Unname { path: from });
                }
            }
            Asked::Remove { path } => {
                if self.names.contains_key(&path) {
                    self.rename(begun_ns, ended_ns, Naming::Unname { path });
                }
            }
            Asked::Sync { path } => {
                let sync = Timed { begun_ns, ended_ns, what: () };
                if let Some(folder) = self.folders.get_mut(&path) {
                    folder.syncs.push(sync);
                } else if let Some(&file) = self.names.get(&path) {
                    self.files[file].syncs.push(sync);
                } else {
                    return false;
                }
                return true;
            }
            Asked::Open { .. } | Asked::Say(_) => {}
        }
        false
    }

    fn change(&mut self, path: &Path, begun_ns: u64, ended_ns: u64, what: Change) {
        if let Some(&file) = self.names.get(path) {
            self.files[file].changes.push(Timed { begun_ns, ended_ns, what });
        }
    }

    fn rename(&mut self, begun_ns: u64, ended_ns: u64, what: Naming) {
        let (Naming::Name { path, .. } | Naming::Unname { path }) = &what;
        let folder = path.parent().unwrap_or(&self.root).to_owned();
        match &what {
            Naming::Name { path, file } => self.names.insert(path.clone(), *file),
            Naming::Unname { path } => self.names.remove(path),
        };
        let changes = &mut self.folders.entry(folder).or_default().changes;
        changes.push(Timed { begun_ns, ended_ns, what });
    }

    /// Lays out in `to` what may be there if the power fails at `cut_ns`.
    pub(crate) fn lay_out(
        &self,
        cut_ns: u64,
        random: &mut ChaCha8Rng,
        to: &Path,
    ) -> io::Result<()> {
        let mut names = self.before.clone();
        for folder in self.folders.values() {
            let n_safe = n_safe(&folder.changes, &folder.syncs, cut_ns);
            let n_begun =
                folder.changes.iter().take_while(|change| change.begun_ns < cut_ns).count();
            let n_there = random.random_range(n_safe..=n_begun.max(n_safe));
            for change in &folder.changes[..n_there] {
                match &change.what {
                    Naming::Name { path, file } => names.insert(path.clone(), *file),
                    Naming::Unname { path } => names.remove(path),
                };
            }
        }
        for folder in self.folders.keys() {
            fs::create_dir_all(self.place(folder, to))?;
        }
        for (path, file) in names {
            // Shared memory: a new beginning after every power cut.
            if path.extension() != Some(OsStr::new("sqlite-shm")) {
                fs::write(self.place(&path, to), self.files[file].at(cut_ns, random))?;
            }
        }
        Ok(())
    }

    fn place(&self, path: &Path, to: &Path) -> PathBuf {
        to.join(path.strip_prefix(&self.root).expect("all of it lies below the root"))
    }
}

impl File {
    /// The bytes that may be there after a cut.
    fn at(&self, cut_ns: u64, random: &mut ChaCha8Rng) -> Vec<u8> {
        let n_safe = n_safe(&self.changes, &self.syncs, cut_ns);
        let mut bytes = self.before.clone();
        for change in &self.changes[..n_safe] {
            change.what.apply(&mut bytes);
        }
        let share_kept = [0.0, 0.5, 0.9, 1.0][random.random_range(0..4)];
        let unsynced = self.changes[n_safe..].iter().take_while(|change| change.begun_ns < cut_ns);
        for change in unsynced {
            change.what.apply_some(&mut bytes, share_kept, random);
        }
        bytes
    }
}

impl Change {
    fn apply(&self, bytes: &mut Vec<u8>) {
        match self {
            Self::Truncate { n_bytes } => bytes.resize(*n_bytes, 0),
            Self::Write { offset, bytes: written } => put(bytes, *offset, written),
        }
    }

    /// Applies any of its pages, some of them torn.
    fn apply_some(&self, bytes: &mut Vec<u8>, share_kept: f64, random: &mut ChaCha8Rng) {
        let Self::Write { offset, bytes: written } = self else {
            if random.random_bool(share_kept) {
                self.apply(bytes);
            }
            return;
        };
        // The length of the file may be known before what stands there.
        if random.random_bool(share_kept) && bytes.len() < offset + written.len() {
            bytes.resize(offset + written.len(), 0);
        }
        let mut position = 0;
        while position < written.len() {
            let end = ((offset + position) / PAGE + 1) * PAGE - offset;
            let page = &written[position..end.min(written.len())];
            if random.random_bool(share_kept) {
                let torn = random.random_bool(0.1).then(|| random.random_range(0..PAGE / SECTOR));
                let n_bytes =
                    torn.map_or(page.len(), |n_sectors| page.len().min(n_sectors * SECTOR));
                put(bytes, offset + position, &page[..n_bytes]);
            }
            position += page.len();
        }
    }
}

fn put(bytes: &mut Vec<u8>, offset: usize, written: &[u8]) {
    if written.is_empty() {
        return;
    }
    let end = offset + written.len();
    if bytes.len() < end {
        bytes.resize(end, 0);
    }
    bytes[offset..end].copy_from_slice(written);
}

/// How many changes came to an end before a sync began that was over before the cut.
fn n_safe<T>(changes: &[Timed<T>], syncs: &[Timed<()>], cut_ns: u64) -> usize {
    let synced = syncs.iter().filter(|sync| sync.ended_ns <= cut_ns).map(|sync| sync.begun_ns);
    let last_ns = synced.max().unwrap_or(0);
    changes.iter().take_while(|change| change.ended_ns <= last_ns).count()
}
