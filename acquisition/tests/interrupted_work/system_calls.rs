//! What a process asked of the file system and when, as `strace` saw it.

use std::collections::BTreeMap;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// One call that changed or synced something, in the order in which calls returned.
#[derive(Debug)]
pub(crate) struct Call {
    /// When it was made and when it returned, in nanoseconds since 1970.
    pub(crate) begun_ns: u64,
    pub(crate) ended_ns: u64,
    pub(crate) what: Asked,
}

/// What was asked.
#[derive(Debug)]
pub(crate) enum Asked {
    /// Opened for writing: made if it was not there, emptied if so asked.
    Open {
        path: PathBuf,
        create: bool,
        empty: bool,
    },
    Write {
        path: PathBuf,
        offset: u64,
        bytes: Vec<u8>,
    },
    Truncate {
        path: PathBuf,
        n_bytes: u64,
    },
    Rename {
        from: PathBuf,
        to: PathBuf,
    },
    Remove {
        path: PathBuf,
    },
    Sync {
        path: PathBuf,
    },
    /// A line on standard output.
    Say(String),
}

const CALLS: &str = "openat,open,creat,write,pwrite64,writev,pwritev,lseek,ftruncate,fallocate,\
    rename,renameat,renameat2,link,linkat,unlink,unlinkat,mkdir,mkdirat,fsync,fdatasync,\
    sync_file_range,copy_file_range,sendfile";

/// Runs `command` to its end; gives its calls.
pub(crate) fn watch(command: &[&Path]) -> Result<Vec<Call>, Box<dyn Error>> {
    let place = tempfile::tempdir()?;
    let prefix = place.path().join("calls");
    let output = Command::new("strace")
        .args(["-ff", "-y", "--seccomp-bpf", "-qq", "-xx", "-T", "-s", "4194304", "-e"])
        .arg(format!("trace={CALLS}"))
        .arg("--absolute-timestamps=format:unix,precision:ns")
        .arg("-o")
        .arg(&prefix)
        .args(command)
        .output()
        .map_err(|error| format!("strace, which sees what is synced, cannot be run: {error}"))?;
    if !output.status.success() {
        return Err(format!("strace: {}", String::from_utf8_lossy(&output.stderr)).into());
    }
    let mut lines = Vec::new();
    for entry in fs::read_dir(place.path())? {
        let text = fs::read_to_string(entry?.path())?;
        for line in text.lines() {
            if let Some(line) = Line::parse(line) {
                lines.push(line);
            }
        }
    }
    lines.sort_by_key(|line| line.ended_ns);
    let mut offsets = BTreeMap::new();
    lines.into_iter().filter_map(|line| line.call(&mut offsets).transpose()).collect()
}

/// One line of strace: a call that succeeded.
struct Line {
    begun_ns: u64,
    ended_ns: u64,
    name: String,
    arguments: String,
    result: u64,
    /// The texts in quotes.
    texts: Vec<Vec<u8>>,
    /// The first descriptor and the path it stands for.
    descriptor: Option<(u64, PathBuf)>,
}

impl Line {
    fn parse(line: &str) -> Option<Self> {
        let (begun, rest) = line.split_once(' ')?;
        let (name, rest) = rest.split_once('(')?;
        let (arguments, rest) = rest.rsplit_once(") = ").or_else(|| rest.rsplit_once(')'))?;
        let rest = rest.trim_start_matches([' ', '=']);
        let digits = rest.split(|c: char| !c.is_ascii_digit()).next()?;
        let begun_ns = nanoseconds(begun)?;
        let lasted = rest.rsplit_once('<')?.1.strip_suffix('>')?;
        let descriptor = arguments.split_once('<').and_then(|(number, rest)| {
            Some((number.parse().ok()?, path(&unhex(rest.split_once('>')?.0))))
        });
        Some(Self {
            begun_ns,
            ended_ns: begun_ns + nanoseconds(lasted)?,
            name: name.to_owned(),
            result: digits.parse().ok()?,
            texts: arguments.split('"').skip(1).step_by(2).map(unhex).collect(),
            arguments: arguments.to_owned(),
            descriptor,
        })
    }

    /// What it asked; `None` if it changed nothing. `offsets` are those of open descriptors.
    fn call(self, offsets: &mut BTreeMap<u64, u64>) -> Result<Option<Call>, Box<dyn Error>> {
        let (begun_ns, ended_ns) = (self.begun_ns, self.ended_ns);
        let what = self.asked(offsets)?;
        Ok(what.map(|what| Call { begun_ns, ended_ns, what }))
    }

    fn asked(self, offsets: &mut BTreeMap<u64, u64>) -> Result<Option<Asked>, Box<dyn Error>> {
        let last = || self.arguments.rsplit([' ', ',']).next().unwrap_or_default().parse::<u64>();
        let texts = self.texts.iter().map(|text| path(text)).collect::<Vec<_>>();
        let asked = match (self.name.as_str(), self.descriptor, &texts[..]) {
            ("openat" | "open", _, [path, ..]) => {
                offsets.insert(self.result, 0);
                let has = |flag| self.arguments.contains(flag);
                let (create, empty) = (has("O_CREAT"), has("O_TRUNC"));
                (has("O_WRONLY") || has("O_RDWR")).then(|| Asked::Open {
                    path: path.clone(),
                    create,
                    empty,
                })
            }
            ("lseek", Some((number, _)), _) => {
                offsets.insert(number, self.result);
                None
            }
            ("write", Some((1, _)), _) => {
                Some(Asked::Say(String::from_utf8(self.texts.concat())?.trim_end().to_owned()))
            }
            ("write", Some((number, path)), _) => {
                let offset = offsets.entry(number).or_default();
                let mut bytes = self.texts.concat();
                bytes.truncate(usize::try_from(self.result)?);
                let asked = Asked::Write { path, offset: *offset, bytes };
                *offset += self.result;
                Some(asked)
            }
            ("pwrite64", Some((_, path)), _) => {
                let mut bytes = self.texts.concat();
                bytes.truncate(usize::try_from(self.result)?);
                Some(Asked::Write { path, offset: last()?, bytes })
            }
            ("ftruncate", Some((_, path)), _) => Some(Asked::Truncate { path, n_bytes: last()? }),
            ("rename" | "renameat" | "renameat2", _, [from, to]) => {
                Some(Asked::Rename { from: from.clone(), to: to.clone() })
            }
            ("unlink" | "unlinkat", _, [path]) => Some(Asked::Remove { path: path.clone() }),
            ("fsync" | "fdatasync", Some((_, path)), _) => Some(Asked::Sync { path }),
            ("mkdir" | "mkdirat", ..) => None,
            (name, descriptor, _) => {
                return Err(format!("a call that is not followed: {name} {descriptor:?}").into());
            }
        };
        Ok(asked)
    }
}

fn nanoseconds(text: &str) -> Option<u64> {
    let (seconds, fraction) = text.split_once('.')?;
    let fraction = format!("{fraction:0<9}");
    Some(seconds.parse::<u64>().ok()? * 1_000_000_000 + fraction.parse::<u64>().ok()?)
}

/// `\x41\x42` as bytes.
fn unhex(text: &str) -> Vec<u8> {
    let pairs = text.split("\\x").skip(1);
    pairs.filter_map(|pair| u8::from_str_radix(pair, 16).ok()).collect()
}

fn path(bytes: &[u8]) -> PathBuf {
    PathBuf::from(String::from_utf8_lossy(bytes).into_owned())
}
