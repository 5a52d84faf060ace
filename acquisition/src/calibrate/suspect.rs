//! A board that is wired or built wrongly, told from its first readings.

use thiserror::Error;

use super::placement::Placement;
use crate::calibration::{CORNER_NAMES, Calibration};

/// A fault of the board, or of the mass typed, that no fit should hide.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BoardFault {
    /// A cell that hardly answers.
    #[error("the {corner} cell does not answer: it reads {newtons:.1} N under a load of its own")]
    CellDead {
        /// Which corner.
        corner: &'static str,
        /// What it reads where the mass stands closest to it, in newtons.
        newtons: f64,
    },
    /// A cell whose reading falls when it is loaded.
    #[error(
        "the {corner} cell is wired backwards: it reads {newtons:.1} N under a load of its own"
    )]
    CellBackwards {
        /// Which corner.
        corner: &'static str,
        /// What it reads where the mass stands closest to it, in newtons.
        newtons: f64,
    },
    /// Two cells whose cables are exchanged.
    #[error("the {first} and {second} cells are exchanged: each answers at the other's corner")]
    CellsExchanged {
        /// One corner.
        first: &'static str,
        /// The other corner.
        second: &'static str,
    },
    /// The mass typed is not the one on the board.
    #[error("the board reads {read_kg:.1} kg where {typed_kg:.1} kg were typed")]
    MassTypedWrong {
        /// Mean of what the board reads, in kilograms.
        read_kg: f64,
        /// Mean of what was typed, in kilograms.
        typed_kg: f64,
    },
}

/// Share of the weight below which a cell under its own load does not answer: our own choice. With
/// the mass at 150 mm of 220 x 290 mm a cell carries about half of it.
const DEAD_SHARE: f64 = 0.05;

/// Relative difference of total weight that spread of gains cannot explain: gains spread by 5 % a
/// cell, so the mean of four hardly ever by 10 %.
const MASS_SHARE: f64 = 0.10;

/// Looks for a board that is wired wrongly, and for a wrong mass; `Ok` if a fit may be tried.
///
/// `start`: gains and positions from the drawing; `placements`: those read so far, the centre first.
/// Exchanged cells are seen once all four corners are among them.
///
/// # Errors
/// The first [`BoardFault`] found, wiring before mass.
pub fn suspect(start: &Calibration, placements: &[Placement]) -> Result<(), BoardFault> {
    let readings: Vec<[f64; 4]> = placements
        .iter()
        .map(|placement| std::array::from_fn(|i| placement.counts[i] * start.newtons_per_count[i]))
        .collect();
    let Some(mut closest) = closest_to_corners(start, placements) else { return Ok(()) };
    let central = most_central(placements);
    if closest.contains(&central) {
        // Not all corners were read yet: where one was, an exchanged cell reads as a dead one or
        // one that is wired backwards. In the middle every cell carries a quarter.
        closest = [central; 4];
    }
    if let Some((first, second)) = exchanged(&readings, closest, placements) {
        return Err(BoardFault::CellsExchanged {
            first: CORNER_NAMES[first],
            second: CORNER_NAMES[second],
        });
    }
    for corner in 0..4 {
        let newtons = readings[closest[corner]][corner];
        let least = DEAD_SHARE * placements[closest[corner]].weight_newtons();
        if newtons.abs() < least {
            return Err(BoardFault::CellDead { corner: CORNER_NAMES[corner], newtons });
        }
        if newtons < 0.0 {
            return Err(BoardFault::CellBackwards { corner: CORNER_NAMES[corner], newtons });
        }
    }
    let read_newtons: f64 = readings.iter().flatten().sum();
    let typed_newtons: f64 = placements.iter().map(Placement::weight_newtons).sum();
    if MASS_SHARE * typed_newtons < (read_newtons - typed_newtons).abs() {
        let typed_kg = placements.iter().map(|p| p.mass_kg).sum::<f64>() / placements.len() as f64;
        let read_kg = typed_kg * read_newtons / typed_newtons;
        return Err(BoardFault::MassTypedWrong { read_kg, typed_kg });
    }
    Ok(())
}

fn most_central(placements: &[Placement]) -> usize {
    let distance = |i: usize| placements[i].ml_mm.hypot(placements[i].ap_mm);
    (0..placements.len()).min_by(|&a, &b| distance(a).total_cmp(&distance(b))).unwrap_or(0)
}

/// For each corner the placement that lies closest to it.
fn closest_to_corners(start: &Calibration, placements: &[Placement]) -> Option<[usize; 4]> {
    let mut closest = [0; 4];
    for (corner, place) in start.corners.iter().enumerate() {
        let distance = |p: &Placement| (p.ml_mm - place.ml_mm).hypot(p.ap_mm - place.ap_mm);
        closest[corner] = (0..placements.len())
            .min_by(|a, b| distance(&placements[*a]).total_cmp(&distance(&placements[*b])))?;
    }
    Some(closest)
}

/// Two corners at each of which the other's cell answers most, and its own does not.
fn exchanged(
    readings: &[[f64; 4]],
    closest: [usize; 4],
    placements: &[Placement],
) -> Option<(usize, usize)> {
    let loudest = |corner: usize| {
        let reading = readings[closest[corner]];
        let channel = (0..4).max_by(|a, b| reading[*a].total_cmp(&reading[*b]))?;
        // More than an even share, or noise of an unloaded board would name a cell.
        let weight = placements[closest[corner]].weight_newtons();
        (0.3 * weight < reading[channel]).then_some(channel)
    };
    (0..4).find_map(|first| {
        let second = loudest(first)?;
        (second != first && loudest(second)? == first).then_some((first, second))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibrate::nine_places;

    /// Readings of 20 kg at the nine places on a plate that is soft in torsion: bilinear shares.
    fn placements() -> Vec<Placement> {
        let board = nominal();
        let read = |(ml_mm, ap_mm): (f64, f64)| {
            let mut placement = Placement { ml_mm, ap_mm, mass_kg: 20.0, counts: [0.0; 4] };
            for (i, corner) in board.corners.iter().enumerate() {
                let share = (1.0 + ml_mm / corner.ml_mm) * (1.0 + ap_mm / corner.ap_mm) / 4.0;
                placement.counts[i] =
                    share * placement.weight_newtons() / board.newtons_per_count[i];
            }
            placement
        };
        nine_places(150.0).into_iter().map(read).collect()
    }

    fn nominal() -> Calibration {
        Calibration::nominal("0123456789abcdef01234567", 128)
    }

    #[track_caller]
    fn check(change: impl Fn(&mut Placement), wanted: Result<(), &str>) {
        let mut placements = placements();
        placements.iter_mut().for_each(change);
        let found = suspect(&nominal(), &placements).map_err(|fault| fault.to_string());
        assert_eq!(found, wanted.map_err(str::to_owned));
    }

    #[test]
    fn a_sound_board_is_not_suspected() {
        check(|_| (), Ok(()));
        check(|placement| placement.counts[1] *= 1.05, Ok(()));
    }

    /// Front left and rear right exchanged, read at the centre and at the front left so far.
    #[test]
    fn exchanged_cells_are_not_called_dead_before_all_corners_were_read() {
        let mut placements = placements();
        for placement in &mut placements {
            placement.counts.swap(0, 3);
        }
        for n_read in 1..5 {
            assert_eq!(suspect(&nominal(), &placements[..n_read]), Ok(()), "{n_read} read");
        }
        assert!(suspect(&nominal(), &placements[..5]).is_err());
    }

    #[test]
    fn each_fault_is_named_with_its_corner() {
        check(
            |placement| placement.counts[2] = 12.0,
            Err("the rear left cell does not answer: it reads 0.0 N under a load of its own"),
        );
        check(
            |placement| placement.counts[3] = -placement.counts[3],
            Err(
                "the rear right cell is wired backwards: it reads -125.1 N under a load of its own",
            ),
        );
        check(
            |placement| placement.counts.swap(0, 3),
            Err("the front left and rear right cells are exchanged: \
                 each answers at the other's corner"),
        );
        check(
            |placement| placement.mass_kg = 25.0,
            Err("the board reads 20.0 kg where 25.0 kg were typed"),
        );
    }
}
