//! What a child is asked and what it answers.

use std::ffi::OsStr;
use std::io;
use std::os::unix::ffi::OsStrExt as _;
use std::path::{Path, PathBuf};

use super::handover::{SAMPLE_BYTES, put_facts, put_trial, take_facts, take_trial};
use super::pack::{Packer, Unpacker};
use crate::stored_trial::StoredTrial;
use crate::trial_file::layout::{FORMAT_VERSION, MAX_FILE_BYTES, MAX_SAMPLES};
use crate::trial_file::open::{OpenTrialError, TrialOutline};
use crate::trial_file::{Digest, DigestError, ReadTrialError};

/// Longest packet from a child: the samples of the largest trial, and a mebibyte for the rest.
pub(super) const MAX_ANSWER_BYTES: u64 = (MAX_SAMPLES * SAMPLE_BYTES) as u64 + 1024 * 1024;

/// Longest packet to a child: a path is at most a few kilobytes long.
pub(super) const MAX_ASK_BYTES: u64 = 64 * 1024;

/// Which part of a file is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    Trial,
    Outline,
}

pub(super) fn ask(wanted: Wanted, path: &Path) -> Vec<u8> {
    let which = match wanted {
        Wanted::Trial => 0,
        Wanted::Outline => 1,
    };
    [&[which], path.as_os_str().as_bytes()].concat()
}

pub(super) fn asked(packet: &[u8]) -> Option<(Wanted, PathBuf)> {
    let (which, path) = packet.split_first()?;
    let wanted = match which {
        0 => Wanted::Trial,
        1 => Wanted::Outline,
        _ => return None,
    };
    Some((wanted, PathBuf::from(OsStr::from_bytes(path))))
}

/// What was found in a file.
#[derive(Debug)]
pub(super) enum Found {
    Trial(Box<StoredTrial>, Digest),
    Outline(Box<TrialOutline>),
    Refused(OpenTrialError),
}

pub(super) fn packed(found: &Found) -> Vec<u8> {
    let mut out = Packer::default();
    match found {
        Found::Trial(trial, digest) => {
            out.number(0_u8);
            out.word(digest);
            put_trial(&mut out, trial);
        }
        Found::Outline(outline) => {
            out.number(1_u8);
            out.word(outline.digest);
            put_facts(&mut out, &outline.facts);
            out.number(outline.n_samples as u64);
        }
        Found::Refused(error) => {
            out.number(2_u8);
            put_refusal(&mut out, error);
        }
    }
    out.into_bytes()
}

/// `None` if that is no answer.
pub(super) fn unpacked(packet: &[u8]) -> Option<Found> {
    let mut from = Unpacker::new(packet);
    let found = match from.number::<u8>()? {
        0 => {
            let digest = from.word()?;
            Found::Trial(Box::new(take_trial(&mut from)?), digest)
        }
        1 => Found::Outline(Box::new(TrialOutline {
            digest: from.word()?,
            facts: take_facts(&mut from)?,
            n_samples: usize::try_from(from.number::<u64>()?).ok()?,
        })),
        2 => Found::Refused(take_refusal(&mut from)?),
        _ => return None,
    };
    from.finished().then_some(found)
}

fn put_refusal(out: &mut Packer, error: &OpenTrialError) {
    let mut kind = |code: u8| out.number(code);
    match error {
        OpenTrialError::Missing => kind(0),
        OpenTrialError::NotAFile => kind(1),
        OpenTrialError::TooLarge { n_bytes, .. } => {
            kind(2);
            out.number(*n_bytes);
        }
        OpenTrialError::Unreadable(source) => {
            kind(3);
            out.word(source);
        }
        OpenTrialError::Digest(DigestError::NotATrialFile) => kind(4),
        OpenTrialError::Digest(DigestError::Truncated { n_bytes, sealed_bytes }) => {
            kind(5);
            out.number([*n_bytes, *sealed_bytes]);
        }
        OpenTrialError::Digest(DigestError::Damaged) => kind(6),
        OpenTrialError::Digest(DigestError::Read(source)) => {
            kind(7);
            out.word(source);
        }
        OpenTrialError::Content(ReadTrialError::Newer { version, .. }) => {
            kind(8);
            out.number(*version);
        }
        OpenTrialError::Content(ReadTrialError::OtherContent) => kind(9),
        OpenTrialError::Content(error) => {
            kind(10);
            out.text(&with_causes(error));
        }
        // A child has none of its own.
        OpenTrialError::Apart(error) => {
            kind(10);
            out.word(error);
        }
    }
}

fn take_refusal(from: &mut Unpacker<'_>) -> Option<OpenTrialError> {
    Some(match from.number::<u8>()? {
        0 => OpenTrialError::Missing,
        1 => OpenTrialError::NotAFile,
        2 => OpenTrialError::TooLarge { n_bytes: from.number()?, limit_bytes: MAX_FILE_BYTES },
        3 => OpenTrialError::Unreadable(io::Error::other(from.text()?)),
        4 => DigestError::NotATrialFile.into(),
        5 => {
            let [n_bytes, sealed_bytes] = from.number()?;
            DigestError::Truncated { n_bytes, sealed_bytes }.into()
        }
        6 => DigestError::Damaged.into(),
        7 => DigestError::Read(io::Error::other(from.text()?)).into(),
        8 => ReadTrialError::Newer { version: from.number()?, known: FORMAT_VERSION }.into(),
        9 => ReadTrialError::OtherContent.into(),
        10 => ReadTrialError::Told { what: from.text()? }.into(),
        _ => return None,
    })
}

/// An error and what caused it, in one line.
fn with_causes(error: &dyn std::error::Error) -> String {
    let mut line = error.to_string();
    let mut cause = error.source();
    while let Some(source) = cause {
        line.push_str(": ");
        line.push_str(&source.to_string());
        cause = source.source();
    }
    line
}
