//! A horizontal pull: how deep below its top the plate rests on its cells.

use super::finding::{Finding, Limit};
use super::load::Load;
use super::test::BoardTest;

/// How well the shift follows height and force, in millimetres.
const FOLLOWS_MM: f64 = 0.3;

/// How far the depth may be from the drawing, in millimetres.
const DEPTH_MM: f64 = 8.0;

/// A pull forward at some height above the plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pull {
    /// The force, in newtons.
    pub newtons: f64,
    /// The height of its line above the plate, in millimetres.
    pub height_mm: f64,
    /// What the board reads meanwhile.
    pub load: Load,
}

/// Shifts of the centre of pressure under two pulls at different heights, against `rest` without.
///
/// The shift is (height + depth) x force / weight; `drawn_depth_mm` is that of the drawing.
pub fn contact_plane(rest: &Load, low: &Pull, high: &Pull, drawn_depth_mm: f64) -> Vec<Finding> {
    let test = BoardTest::ContactPlane;
    let share = |pull: &Pull| pull.newtons / rest.newtons;
    let shift = |pull: &Pull| pull.load.ap_mm - rest.ap_mm;
    // Depth that fits both best, both pulls being known equally well.
    let depth = f64::midpoint(
        shift(low) / share(low) - low.height_mm,
        shift(high) / share(high) - high.height_mm,
    );
    let off = |pull: &Pull| (shift(pull) - (pull.height_mm + depth) * share(pull)).abs();
    vec![
        Finding::at_most(
            test,
            "shift against height and force",
            off(low).max(off(high)),
            FOLLOWS_MM,
            "mm",
        ),
        Finding {
            test,
            quantity: "depth of the contact plane",
            value: depth,
            limit: Limit::Near { wanted: drawn_depth_mm, tolerance: DEPTH_MM },
            unit: "mm",
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 20 N on 40 kg at 0 and 100 mm over a plane 35 mm deep: 1.785 and 6.883 mm.
    #[test]
    fn two_pulls_by_hand() {
        let load = |ap_mm: f64| Load { newtons: 392.266, ml_mm: 0.0, ap_mm };
        let pull =
            |height_mm: f64, ap_mm: f64| Pull { newtons: 20.0, height_mm, load: load(ap_mm) };
        let found = contact_plane(&load(2.0), &pull(0.0, 3.784_5), &pull(100.0, 8.883_1), 35.0);
        assert!((found[1].value - 35.0).abs() < 0.01, "{found:?}");
        assert!(found[0].value < 0.001 && found.iter().all(Finding::is_within), "{found:?}");
        let bent = contact_plane(&load(2.0), &pull(0.0, 3.784_5), &pull(100.0, 9.6), 35.0);
        assert!(!bent[0].is_within(), "{bent:?}");
    }
}
