//! What a child did to the disk, call by call, as the system saw it; and what a power cut leaves.
//!
//! The calls are taken from `strace`, so nothing that writes goes unseen, whatever library it is in.
//! After a power cut only what was synced is certain: bytes of a file after a sync of that file, a
//! name after a sync of its folder. Everything else may be there, in any combination, or in part.

use std::collections::BTreeMap;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};

use rand::RngExt as _;
use rand_chacha::ChaCha8Rng;

/// The disk forgets or keeps bytes in pieces of this size.
const SECTOR: usize = 512;

/// A change to the disk, in order of completion.
#[derive(Debug)]
enum Change {
    /// Bytes at a place of a file.
    Write { file: usize, at: u64, bytes: Vec<u8> },
    /// A file cut or grown.
    Length { file: usize, n_bytes: u64 },
    /// A name that points to a file, in place of what it pointed to.
    Name { path: PathBuf, file: usize, instead_of: Option<PathBuf> },
    /// A name taken away.
    Unname { path: PathBuf },
    /// A new folder.
    Folder { path: PathBuf },
}

#[derive(Debug)]
struct Logged {
    change: Change,
    /// Number of the call after which it is certain.
    certain_from: usize,
}

/// Everything one child did.
#[derive(Debug, Default)]
pub(crate) struct OpLog {
    changes: Vec<(usize, Logged)>,
    /// What it had said by which call.
    said: Vec<(usize, String)>,
    /// How often it waited for the disk.
    pub(crate) n_syncs: usize,
    n_calls: usize,
}

/// An open file: which, and where the next write goes.
#[derive(Debug, Clone)]
struct Open {
    what: Target,
    at: usize,
}

#[derive(Debug, Clone)]
enum Target {
    File(usize),
    Folder(PathBuf),
}

/// Reads the log while keeping track of what is open.
#[derive(Debug, Default)]
struct Reader {
    log: OpLog,
    root: PathBuf,
    /// By file descriptor; descriptors that were duplicated share the place.
    open: BTreeMap<i64, Open>,
    places: Vec<u64>,
    names: BTreeMap<PathBuf, usize>,
    n_files: usize,
    /// Calls that one thread began and another interrupted, by thread; a sync covers what had
    /// completed when it began.
    begun: BTreeMap<String, (String, usize)>,
}

impl OpLog {
    /// Reads `strace -f -xx` of a child that worked in `root`.
    pub(crate) fn read(text: &str, root: &Path) -> Result<Self, Box<dyn Error>> {
        let mut reader = Reader { root: root.to_owned(), ..Reader::default() };
        for line in text.lines() {
            reader.take_line(line).map_err(|error| {
                format!("{error} in {}", line.chars().take(300).collect::<String>())
            })?;
        }
        Ok(reader.log)
    }

    /// A random call in the phase that the child announced with this word.
    pub(crate) fn moment_in(&self, phase: &str, random: &mut ChaCha8Rng) -> usize {
        let line = format!("phase {phase}\n");
        let begin = self.said.iter().find(|(_, said)| *said == line).map_or(0, |(call, _)| *call);
        let end = self.said.iter().find(|(call, said)| begin < *call && said.starts_with("phase "));
        let end = end.map_or(self.n_calls + 1, |(call, _)| *call);
        random.random_range(begin..end)
    }

    /// All that the child had said by this call.
    pub(crate) fn said_by(&self, moment: usize) -> String {
        self.said
            .iter()
            .filter(|(call, _)| *call <= moment)
            .map(|(_, said)| said.as_str())
            .collect()
    }

    /// Makes in `folder` what the disk may hold after a power cut at this call.
    pub(crate) fn cut_power(
        &self,
        moment: usize,
        random: &mut ChaCha8Rng,
        folder: &Path,
    ) -> Result<(), Box<dyn Error>> {
        let mut files: BTreeMap<usize, Vec<u8>> = BTreeMap::new();
        let mut names: BTreeMap<&Path, usize> = BTreeMap::new();
        let mut folders = Vec::new();
        // Sometimes the disk forgets all it may, sometimes nothing, mostly a part.
        let share_kept = *[0.0, 0.3, 0.7, 1.0].get(random.random_range(0..4)).unwrap_or(&0.5);
        for (call, Logged { change, certain_from }) in &self.changes {
            if moment < *call {
                break;
            }
            let certain = *certain_from <= moment;
            if !certain && !random.random_bool(share_kept) {
                continue;
            }
            match change {
                Change::Write { file, at, bytes } => {
                    let at = usize::try_from(*at)?;
                    let content = files.entry(*file).or_default();
                    let whole = certain || random.random_bool(0.8);
                    for (index, sector) in bytes.chunks(SECTOR).enumerate() {
                        let from = at + index * SECTOR;
                        if whole || random.random_bool(0.5) {
                            let end = content.len().max(from + sector.len());
                            content.resize(end, 0);
                            content[from..from + sector.len()].copy_from_slice(sector);
                        }
                    }
                }
                Change::Length { file, n_bytes } => {
                    files.entry(*file).or_default().resize(usize::try_from(*n_bytes)?, 0);
                }
                Change::Name { path, file, instead_of } => {
                    if let Some(before) = instead_of {
                        names.remove(before.as_path());
                    }
                    names.insert(path, *file);
                }
                Change::Unname { path } => {
                    names.remove(path.as_path());
                }
                Change::Folder { path } => folders.push(path),
            }
        }
        for path in folders {
            fs::create_dir_all(folder.join(path))?;
        }
        for (path, file) in names {
            // A name in a folder that was forgotten is forgotten with it.
            let place = folder.join(path);
            if place.parent().is_some_and(Path::is_dir) {
                fs::write(place, files.get(&file).map_or(&[][..], Vec::as_slice))?;
            }
        }
        Ok(())
    }
}

impl Reader {
    fn take_line(&mut self, line: &str) -> Result<(), Box<dyn Error>> {
        let (thread, rest) = line.split_once(' ').ok_or("no thread")?;
        let rest = rest.trim_start();
        let now = self.log.n_calls;
        if let Some(begun) = rest.strip_suffix("<unfinished ...>") {
            self.begun.insert(thread.to_owned(), (begun.trim_end().to_owned(), now));
            return Ok(());
        }
        if let Some(resumed) = rest.strip_prefix("<... ") {
            let (_, tail) = resumed.split_once("resumed>").ok_or("no end")?;
            let Some((begun, since)) = self.begun.remove(thread) else { return Ok(()) };
            return self.take_call(&format!("{begun}{tail}"), since);
        }
        if rest.starts_with("+++") || rest.starts_with("---") {
            return Ok(());
        }
        self.take_call(rest, now)
    }

    /// One call; `since` is how many had completed when it began.
    fn take_call(&mut self, text: &str, since: usize) -> Result<(), Box<dyn Error>> {
        let (name, rest) = text.split_once('(').ok_or("no call")?;
        let (arguments, result) = rest.rsplit_once(" = ").ok_or("no result")?;
        let arguments = arguments.trim_end().strip_suffix(')').ok_or("no end of arguments")?;
        let result: i64 = result.split_whitespace().next().unwrap_or("?").parse().unwrap_or(-1);
        if result < 0 {
            return Ok(());
        }
        self.log.n_calls += 1;
        let texts: Vec<Vec<u8>> = arguments.split('"').skip(1).step_by(2).map(unescape).collect();
        let path = |index: usize| -> Option<PathBuf> {
            let text = String::from_utf8(texts.get(index)?.clone()).ok()?;
            Path::new(&text).strip_prefix(&self.root).ok().map(Path::to_owned)
        };
        let numbers: Vec<i64> =
            arguments.split(", ").map(|word| word.trim().parse().unwrap_or(-1)).collect();
        let number = |index: usize| numbers.get(index).copied().unwrap_or(-1);
        match name {
            "openat" => {
                if let Some(path) = path(0) {
                    self.take_open(path, arguments, result);
                }
            }
            "close" => drop(self.open.remove(&number(0))),
            "dup" | "fcntl" | "dup2" | "dup3" => {
                let copies = name != "fcntl" || arguments.contains("F_DUPFD");
                if let Some(open) = self.open.get(&number(0)).cloned().filter(|_| copies) {
                    self.open.insert(result, open);
                }
            }
            "lseek" => {
                if let Some(open) = self.open.get(&number(0)) {
                    self.places[open.at] = u64::try_from(result)?;
                }
            }
            "read" => {
                if let Some(open) = self.open.get(&number(0)) {
                    self.places[open.at] += u64::try_from(result)?;
                }
            }
            "write" | "pwrite64" => self.take_write(name, number(0), &texts, &numbers, result)?,
            "ftruncate" => {
                if let Some(Target::File(file)) = self.open.get(&number(0)).map(|o| o.what.clone())
                {
                    self.change(Change::Length { file, n_bytes: u64::try_from(number(1))? });
                }
            }
            "fsync" | "fdatasync" => self.take_sync(number(0), since),
            "rename" | "renameat" | "renameat2" => {
                if let (Some(from), Some(to)) = (path(0), path(1)) {
                    let file = self.names.remove(&from).ok_or("renames what was not made")?;
                    self.names.insert(to.clone(), file);
                    self.change(Change::Name { path: to, file, instead_of: Some(from) });
                }
            }
            "link" | "linkat" => {
                if let (Some(from), Some(to)) = (path(0), path(1)) {
                    let file = *self.names.get(&from).ok_or("links what was not made")?;
                    self.names.insert(to.clone(), file);
                    self.change(Change::Name { path: to, file, instead_of: None });
                }
            }
            "unlink" | "unlinkat" => {
                if let Some(path) = path(0) {
                    self.names.remove(&path);
                    self.change(Change::Unname { path });
                }
            }
            "mkdir" | "mkdirat" => {
                if let Some(path) = path(0) {
                    self.change(Change::Folder { path });
                }
            }
            // A call that writes and is not understood would make the check a lie.
            "writev" | "pwritev" | "fallocate" | "copy_file_range" | "sendfile"
                if self.open.contains_key(&number(0)) =>
            {
                return Err("a call that is not followed".into());
            }
            _ => {}
        }
        Ok(())
    }

    fn take_open(&mut self, path: PathBuf, arguments: &str, descriptor: i64) {
        let is_folder = arguments.contains("O_DIRECTORY")
            || (!self.names.contains_key(&path) && !arguments.contains("O_CREAT"));
        let what = if is_folder {
            Target::Folder(path)
        } else if let Some(&file) = self.names.get(&path) {
            if arguments.contains("O_TRUNC") {
                self.change(Change::Length { file, n_bytes: 0 });
            }
            Target::File(file)
        } else {
            let file = self.n_files;
            self.n_files += 1;
            self.names.insert(path.clone(), file);
            self.change(Change::Name { path, file, instead_of: None });
            Target::File(file)
        };
        self.places.push(0);
        self.open.insert(descriptor, Open { what, at: self.places.len() - 1 });
    }

    fn take_write(
        &mut self,
        name: &str,
        descriptor: i64,
        texts: &[Vec<u8>],
        numbers: &[i64],
        n_written: i64,
    ) -> Result<(), Box<dyn Error>> {
        let n_written = usize::try_from(n_written)?;
        let bytes = texts.first().and_then(|t| t.get(..n_written)).ok_or("bytes are missing")?;
        let Some(open) = self.open.get(&descriptor).cloned() else {
            if descriptor == 1 {
                let said = String::from_utf8(bytes.to_vec())?;
                self.log.said.push((self.log.n_calls, said));
            }
            return Ok(());
        };
        let Target::File(file) = open.what else { return Err("writes to a folder".into()) };
        let at = if name == "write" {
            let at = self.places[open.at];
            self.places[open.at] += n_written as u64;
            at
        } else {
            u64::try_from(*numbers.last().ok_or("no place")?)?
        };
        self.change(Change::Write { file, at, bytes: bytes.to_vec() });
        Ok(())
    }

    fn change(&mut self, change: Change) {
        let logged = Logged { change, certain_from: usize::MAX };
        self.log.changes.push((self.log.n_calls, logged));
    }

    /// What had been done to this file or folder before the sync began is certain after it.
    fn take_sync(&mut self, descriptor: i64, since: usize) {
        let Some(open) = self.open.get(&descriptor) else { return };
        self.log.n_syncs += 1;
        for (call, logged) in &mut self.log.changes {
            let covered = match (&open.what, &logged.change) {
                (
                    Target::File(synced),
                    Change::Write { file, .. } | Change::Length { file, .. },
                ) => synced == file,
                (
                    Target::Folder(folder),
                    Change::Name { path, .. } | Change::Unname { path } | Change::Folder { path },
                ) => path.parent() == Some(folder),
                _ => false,
            };
            if covered && *call <= since {
                logged.certain_from = logged.certain_from.min(self.log.n_calls);
            }
        }
    }
}

/// Bytes from their form `\x66\x6f`.
fn unescape(text: &str) -> Vec<u8> {
    text.split("\\x").skip(1).filter_map(|digits| u8::from_str_radix(digits, 16).ok()).collect()
}
