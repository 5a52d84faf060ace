//! What the board's screen shows.

use acquisition::cop_from_forces;

use crate::strings::BoardWords;
use crate::window::board::link::BoardNow;

/// What the board's screen shows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BoardView {
    /// Whether there is a board.
    pub link: LinkState,
    /// Name and value of what is known of the board.
    pub facts: Vec<(&'static str, String)>,
    /// The four corners; empty without a board.
    pub corners: Vec<CornerView>,
    /// The load of all corners.
    pub total: String,
    /// Where the weight is: medio-lateral, antero-posterior, in millimetres; `None` without a load.
    pub weight_mm: Option<[f64; 2]>,
}

/// Whether there is a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LinkState {
    /// There is none.
    #[default]
    None,
    /// One is being connected.
    Connecting,
    /// One is there.
    Connected,
}

/// One corner of the board.
#[derive(Debug, Clone, PartialEq)]
pub struct CornerView {
    /// Which corner.
    pub name: &'static str,
    /// Its place, in millimetres to the right and to the front.
    pub place_mm: [f64; 2],
    /// Its load, or its raw reading before there is a zero.
    pub reading: String,
}

impl BoardView {
    /// The screen for what is known of the board.
    pub(crate) fn new(words: &BoardWords, now: Option<&BoardNow>, connecting: bool) -> Self {
        let Some(now) = now else {
            let link = if connecting { LinkState::Connecting } else { LinkState::None };
            return Self { link, ..Self::default() };
        };
        let identity = &now.identity;
        let mut facts = vec![
            (words.id, identity.board_id.clone()),
            (words.firmware, identity.firmware.clone()),
            (words.rate, format!("{} Hz", identity.frames_per_s)),
            (words.temperature, (words.celsius)(identity.temperature_c)),
        ];
        if let Some(frame) = now.frame {
            facts.push((words.frames, frame.sequence.to_string()));
        }
        let corners = (0..4)
            .filter_map(|i| {
                let frame = now.frame?;
                let reading = match now.forces_newtons {
                    Some(forces) => (words.newtons)(forces[i]),
                    None => (words.counts)(frame.counts[i]),
                };
                let place = now.calibration.corners[i];
                let place_mm = [place.ml_mm, place.ap_mm];
                Some(CornerView { name: words.corners[i], place_mm, reading })
            })
            .collect();
        let weight = now
            .forces_newtons
            .and_then(|forces| cop_from_forces(forces, &now.calibration.corners))
            .map(|cop| [cop.ml_mm, cop.ap_mm]);
        let total = match now.forces_newtons {
            Some(forces) => (words.newtons)(forces.iter().sum()),
            None => words.no_zero.to_owned(),
        };
        Self { link: LinkState::Connected, facts, corners, total, weight_mm: weight }
    }
}

#[cfg(test)]
mod tests {
    use acquisition::{BoardFrame, BoardIdentity, Calibration};

    use super::*;
    use crate::strings::ENGLISH;

    fn now(forces_newtons: Option<[f64; 4]>) -> BoardNow {
        let board_id = "0123456789abcdef01234567";
        BoardNow {
            identity: BoardIdentity {
                board_id: board_id.to_owned(),
                firmware: "1.2.3".to_owned(),
                converter: "simulated".to_owned(),
                gain: 128,
                frames_per_s: 100,
                temperature_c: 21.46,
            },
            frame: Some(BoardFrame { time_us: 10, sequence: 1, counts: [1, 2, 3, -4], status: 0 }),
            forces_newtons,
            calibration: Calibration::nominal(board_id, 128),
        }
    }

    #[test]
    fn before_a_zero_raw_readings_are_shown_and_no_load() {
        let view = BoardView::new(&ENGLISH.board, Some(&now(None)), false);
        assert_eq!(view.corners[3].reading, "\u{2212}4 counts");
        assert_eq!(view.weight_mm, None);
        assert!(view.facts.iter().any(|(_, value)| value == "21.5 °C"));
    }

    #[test]
    fn the_weight_lies_towards_the_corner_that_carries_most() {
        let view =
            BoardView::new(&ENGLISH.board, Some(&now(Some([100.0, 300.0, 100.0, 100.0]))), false);
        let [ml_mm, ap_mm] = view.weight_mm.unwrap();
        assert!(0.0 < ml_mm && 0.0 < ap_mm, "front right");
        assert_eq!(
            (view.corners[1].name, view.corners[1].reading.as_str()),
            ("front right", "300.0 N")
        );
        assert_eq!(view.total, "600.0 N");
    }

    #[test]
    fn without_a_board_only_the_state_is_known() {
        assert_eq!(BoardView::new(&ENGLISH.board, None, true).link, LinkState::Connecting);
        assert_eq!(BoardView::new(&ENGLISH.board, None, false), BoardView::default());
    }
}
