//! The parent's side: children that read files, kept from file to file, and ended when they err.

use std::ffi::OsString;
use std::io::{self, Read};
use std::os::unix::process::ExitStatusExt as _;
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, ExitStatus, Stdio};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use rustix::event::{PollFd, PollFlags, Timespec, poll};
use thiserror::Error;

use super::answer::{Found, MAX_ANSWER_BYTES, Wanted, ask, unpacked};
use super::limits::Limits;
use super::pipe::{receive, send};
use crate::results::PROGRAM;

/// Signals by which a system ends a process; POSIX names them, Linux gives the numbers.
const SIGKILL: i32 = 9;
const SIGXCPU: i32 = 24;

/// How a child is started.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChildCommand {
    /// The program; it must call [`serve`](super::serve) when given these arguments.
    pub program: PathBuf,
    /// What it is given.
    pub arguments: Vec<OsString>,
    /// What it may take. The program puts them on itself; the time is watched from outside as well.
    pub limits: Limits,
}

/// Why a child gave no trial; the file was never opened in this process.
#[derive(Debug, Error)]
pub enum ApartError {
    /// The system starts no process, or it is not this program.
    #[error("the process that reads files of unknown origin did not start")]
    NotStarted(#[source] io::Error),
    /// The child ended before it answered.
    #[error("the process that read it {}", ended_words(*.ended))]
    Died {
        /// How.
        ended: ExitStatus,
    },
    /// It took too long and was ended.
    #[error("the process that read it had not finished after {limit_s} s and was ended")]
    TooLong {
        /// How long it had.
        limit_s: u64,
    },
    /// What it answered is no answer.
    #[error("the process that read it gave no proper answer")]
    Garbled,
}

fn ended_words(ended: ExitStatus) -> String {
    match (ended.signal(), ended.code()) {
        (Some(SIGKILL), _) => "was ended by the system, as happens when memory is short".to_owned(),
        (Some(signal), _) => {
            format!("crashed or needed more memory than it may have (signal {signal})")
        }
        (None, Some(code)) => format!("ended with code {code}"),
        (None, None) => "ended".to_owned(),
    }
}

/// Children that wait for the next file.
#[derive(Debug)]
pub(super) struct Room {
    command: ChildCommand,
    idle: Mutex<Vec<Reading>>,
}

impl Room {
    pub(super) fn new(command: ChildCommand) -> Self {
        Self { command, idle: Mutex::new(Vec::new()) }
    }

    /// Has a child read the file at `path`, which has `n_bytes`.
    pub(super) fn read(
        &self,
        wanted: Wanted,
        path: &Path,
        n_bytes: u64,
    ) -> Result<Found, ApartError> {
        let limit = self.command.limits.time_for(n_bytes);
        let mut child = match self.waiting() {
            Some(child) => child,
            None => Reading::start(&self.command)?,
        };
        let found = child.read(&ask(wanted, path), limit)?;
        child.n_files += 1;
        let spent = self.command.limits.files_per_child <= child.n_files;
        // What the library choked on may have left its marks in the child.
        let doubtful = matches!(&found, Found::Refused(error) if error.is_of_content());
        if !spent && !doubtful {
            self.idle.lock().unwrap_or_else(PoisonError::into_inner).push(child);
        }
        Ok(found)
    }

    /// A child that waits and is still alive.
    fn waiting(&self) -> Option<Reading> {
        let mut idle = self.idle.lock().unwrap_or_else(PoisonError::into_inner);
        while let Some(mut child) = idle.pop() {
            if matches!(child.process.try_wait(), Ok(None)) {
                return Some(child);
            }
        }
        None
    }
}

/// One child. Dropped, it is ended.
#[derive(Debug)]
struct Reading {
    process: Child,
    input: ChildStdin,
    output: ChildStdout,
    n_files: u32,
}

impl Reading {
    fn start(command: &ChildCommand) -> Result<Self, ApartError> {
        let mut process = Command::new(&command.program)
            .args(&command.arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(ApartError::NotStarted)?;
        let pipes = process.stdin.take().zip(process.stdout.take());
        let (input, output) = pipes.expect("both were asked for");
        let mut child = Self { process, input, output, n_files: 0 };
        let greeting = child.answer(command.limits.patience)?;
        if greeting == PROGRAM.as_bytes() {
            Ok(child)
        } else {
            let other = "it is another program, or another version of this one";
            Err(ApartError::NotStarted(io::Error::other(other)))
        }
    }

    fn read(&mut self, ask: &[u8], limit: Duration) -> Result<Found, ApartError> {
        if send(&mut self.input, ask).is_err() {
            return Err(self.death());
        }
        unpacked(&self.answer(limit)?).ok_or(ApartError::Garbled)
    }

    /// The next packet, if it comes in time.
    fn answer(&mut self, limit: Duration) -> Result<Vec<u8>, ApartError> {
        let mut input = Timed { output: &mut self.output, deadline: Instant::now() + limit };
        match receive(&mut input, MAX_ANSWER_BYTES) {
            Ok(Some(packet)) => Ok(packet),
            Err(error) if error.kind() == io::ErrorKind::TimedOut => {
                Err(ApartError::TooLong { limit_s: limit.as_secs() })
            }
            Err(error) if error.kind() == io::ErrorKind::InvalidData => Err(ApartError::Garbled),
            Ok(None) | Err(_) => Err(match self.death() {
                ApartError::Died { ended } if ended.signal() == Some(SIGXCPU) => {
                    ApartError::TooLong { limit_s: limit.as_secs() }
                }
                death => death,
            }),
        }
    }

    /// How a child ended that says nothing more.
    fn death(&mut self) -> ApartError {
        // One that only closed its pipe would otherwise be waited for.
        let ended = self.process.kill().and_then(|()| self.process.wait());
        match ended {
            Ok(ended) => ApartError::Died { ended },
            Err(error) => ApartError::NotStarted(error),
        }
    }
}

impl Drop for Reading {
    fn drop(&mut self) {
        // It is gone already, or it waits for a file, or it hangs: there is nothing to lose.
        self.process.kill().ok();
        self.process.wait().ok();
    }
}

/// A pipe that is read until a deadline.
struct Timed<'a> {
    output: &'a mut ChildStdout,
    deadline: Instant,
}

impl Read for Timed<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let left = self.deadline.saturating_duration_since(Instant::now());
        let left = Timespec::try_from(left).map_err(io::Error::other)?;
        match poll(&mut [PollFd::new(&*self.output, PollFlags::IN)], Some(&left)) {
            Ok(0) => Err(io::ErrorKind::TimedOut.into()),
            Ok(_) => self.output.read(buffer),
            Err(error) => Err(error.into()),
        }
    }
}
