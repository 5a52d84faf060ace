//! A whole trial as bytes, bit for bit, on its way from a child to its parent.
//!
//! Both ends are the same build of the same program, which the greeting shows: the form carries no
//! version of its own and is never kept.

use analysis::{Condition, Cop, Setup};

use super::pack::{Packer, Unpacker};
use crate::calibration::{Calibration, CornerPosition};
use crate::stored_trial::{
    BoardOrigin, ImportOrigin, LinkCounts, Origin, RawSamples, Recomputed, Samples, StoredTrial,
    TrialFacts,
};
use crate::trial_file::layout::MAX_SAMPLES;
use crate::wall_time::WallTime;
use crate::zero::Zero;

/// Bytes of one sample of a board: time, number, counts, status, forces, centre of pressure.
pub(super) const SAMPLE_BYTES: usize = 8 + 8 + 16 + 2 + 32 + 16;

pub(super) fn put_trial(out: &mut Packer, trial: &StoredTrial) {
    put_facts(out, &trial.facts);
    match &trial.origin {
        Origin::Board(board) => {
            out.number(0_u8);
            put_board(out, board);
        }
        Origin::Imported(import) => {
            out.number(1_u8);
            for text in [&import.file_name, &import.sha256, &import.column_map] {
                out.text(text);
            }
        }
    }
    put_samples(out, &trial.samples);
}

pub(super) fn take_trial(from: &mut Unpacker<'_>) -> Option<StoredTrial> {
    let facts = take_facts(from)?;
    let origin = match from.number::<u8>()? {
        0 => Origin::Board(Box::new(take_board(from)?)),
        1 => Origin::Imported(ImportOrigin {
            file_name: from.text()?,
            sha256: from.text()?,
            column_map: from.text()?,
        }),
        _ => return None,
    };
    Some(StoredTrial { facts, origin, samples: take_samples(from)? })
}

pub(super) fn put_facts(out: &mut Packer, facts: &TrialFacts) {
    out.text(&facts.id);
    out.word(&facts.person);
    out.option(facts.session.as_deref(), Packer::text);
    out.option(facts.plan.as_deref(), Packer::text);
    out.word(facts.condition);
    out.word(facts.kind);
    out.text(&facts.setup.board);
    out.option(facts.setup.sole_height_mm, Packer::number);
    out.word(facts.setup.facing);
    out.option(facts.body_height_m, Packer::number);
    out.option(facts.body_mass_kg, Packer::number);
    out.number(facts.started.unix_us);
    out.number(facts.started.offset_s);
    out.number(facts.settled_s);
    out.number(facts.asked_s);
    out.text(&facts.program);
}

pub(super) fn take_facts(from: &mut Unpacker<'_>) -> Option<TrialFacts> {
    Some(TrialFacts {
        id: from.text()?,
        person: from.word()?,
        session: from.option(Unpacker::text)?,
        plan: from.option(Unpacker::text)?,
        condition: from.word::<Condition>()?,
        kind: from.word()?,
        setup: Setup {
            board: from.text()?,
            sole_height_mm: from.option(Unpacker::number)?,
            facing: from.word()?,
        },
        body_height_m: from.option(Unpacker::number)?,
        body_mass_kg: from.option(Unpacker::number)?,
        started: WallTime::new(from.number()?, from.number()?).ok()?,
        settled_s: from.number()?,
        asked_s: from.number()?,
        program: from.text()?,
    })
}

fn put_board(out: &mut Packer, board: &BoardOrigin) {
    out.text(&board.board_id);
    out.text(&board.firmware);
    out.number(board.frames_per_s);
    out.option(board.temperature_c, Packer::number);
    put_calibration(out, &board.calibration);
    put_zero(out, board.zero);
    out.option(board.zero_after, put_zero);
    let LinkCounts { lost_frames, damaged_frames, repeated_frames } = board.link;
    out.number([lost_frames, damaged_frames, repeated_frames]);
    out.word(board.ended);
    out.option(board.recomputed.as_ref(), |out, original| {
        out.text(&original.original_id);
        out.text(&original.original_digest);
    });
}

fn take_board(from: &mut Unpacker<'_>) -> Option<BoardOrigin> {
    Some(BoardOrigin {
        board_id: from.text()?,
        firmware: from.text()?,
        frames_per_s: from.number()?,
        temperature_c: from.option(Unpacker::number)?,
        calibration: take_calibration(from)?,
        zero: take_zero(from)?,
        zero_after: from.option(take_zero)?,
        link: {
            let [lost_frames, damaged_frames, repeated_frames] = from.number()?;
            LinkCounts { lost_frames, damaged_frames, repeated_frames }
        },
        ended: from.word()?,
        recomputed: from.option(|from| {
            Some(Recomputed { original_id: from.text()?, original_digest: from.text()? })
        })?,
    })
}

fn put_zero(out: &mut Packer, zero: Zero) {
    out.number(zero.counts);
    out.number(zero.board_time_us);
}

fn take_zero(from: &mut Unpacker<'_>) -> Option<Zero> {
    Some(Zero { counts: from.number()?, board_time_us: from.number()? })
}

fn put_calibration(out: &mut Packer, calibration: &Calibration) {
    out.text(&calibration.id);
    out.number(calibration.version);
    out.number(calibration.made_at_unix_us);
    out.text(&calibration.board_id);
    out.word(calibration.kind);
    out.number(calibration.newtons_per_count);
    out.number(calibration.corners.map(|corner| [corner.ml_mm, corner.ap_mm]));
    out.option(calibration.covariance.as_deref(), |out, covariance| out.number(*covariance));
}

fn take_calibration(from: &mut Unpacker<'_>) -> Option<Calibration> {
    Some(Calibration {
        id: from.text()?,
        version: from.number()?,
        made_at_unix_us: from.number()?,
        board_id: from.text()?,
        kind: from.word()?,
        newtons_per_count: from.number()?,
        corners: from
            .number::<[[f64; 2]; 4]>()?
            .map(|[ml_mm, ap_mm]| CornerPosition { ml_mm, ap_mm }),
        covariance: from.option(|from| from.number().map(Box::new))?,
    })
}

fn put_samples(out: &mut Packer, samples: &Samples) {
    out.reserve(samples.n_samples() * SAMPLE_BYTES + 64);
    out.number(samples.n_samples() as u64);
    out.list(samples.time_us.iter().copied());
    out.list(samples.sequence.iter().copied());
    out.option(samples.raw.as_ref(), |out, raw| {
        out.list(raw.counts.iter().copied());
        out.list(raw.status.iter().copied());
    });
    out.option(samples.forces_newtons.as_ref(), |out, forces| out.list(forces.iter().copied()));
    // As in the file: not-a-number in both where there is no centre of pressure.
    let undefined = Cop { ml_mm: f64::NAN, ap_mm: f64::NAN };
    out.list(samples.cop.iter().map(|cop| cop.unwrap_or(undefined)).map(|at| [at.ml_mm, at.ap_mm]));
}

fn take_samples(from: &mut Unpacker<'_>) -> Option<Samples> {
    let n = usize::try_from(from.number::<u64>()?).ok().filter(|&n| n <= MAX_SAMPLES)?;
    Some(Samples {
        time_us: from.list(n)?,
        sequence: from.list(n)?,
        raw: from
            .option(|from| Some(RawSamples { counts: from.list(n)?, status: from.list(n)? }))?,
        forces_newtons: from.option(|from| from.list(n))?,
        cop: from
            .list::<[f64; 2]>(n)?
            .into_iter()
            .map(|[ml_mm, ap_mm]| {
                (!ml_mm.is_nan() || !ap_mm.is_nan()).then_some(Cop { ml_mm, ap_mm })
            })
            .collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial_file::tests::{board_trial, imported_trial};

    fn packed(trial: &StoredTrial) -> Vec<u8> {
        let mut out = Packer::default();
        put_trial(&mut out, trial);
        out.into_bytes()
    }

    #[test]
    fn a_trial_comes_over_bit_for_bit() {
        for trial in [board_trial(50), imported_trial(7)] {
            let bytes = packed(&trial);
            let mut from = Unpacker::new(&bytes);
            assert_eq!(take_trial(&mut from), Some(trial));
            assert!(from.finished());
        }
    }

    #[test]
    fn bytes_that_are_cut_anywhere_are_no_trial() {
        let bytes = packed(&board_trial(3));
        for n_bytes in 0..bytes.len() {
            assert_eq!(take_trial(&mut Unpacker::new(&bytes[..n_bytes])), None, "{n_bytes}");
        }
    }

    #[test]
    fn a_length_that_lies_takes_no_memory() {
        let mut trial = imported_trial(3);
        trial.samples = Samples::default();
        let mut bytes = packed(&trial);
        // The number of samples stands before two flags: no counts, no forces.
        let at = bytes.len() - 10;
        bytes[at..at + 8].copy_from_slice(&4_000_000_u64.to_le_bytes());
        assert_eq!(take_trial(&mut Unpacker::new(&bytes)), None);
    }
}
