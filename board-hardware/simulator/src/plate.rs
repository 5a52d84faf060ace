//! How a stiff plate shares a load among four cells.

use board_wire::NOMINAL;

use crate::scene::{Load, Place};

/// Weight of plate and pad, in newtons; always on the cells, in the middle.
const DEAD_LOAD_NEWTONS: f64 = 50.0;

/// A stiff plate on four equally stiff cells.
///
/// Force and moments about both axes fix three numbers; the fourth, the twist, depends on how
/// uneven floor and feet are, and carries neither force nor moment.
#[derive(Debug, Clone)]
pub struct Plate {
    contacts: [Place; 4],
    /// Twist as a share of a quarter of the load.
    twist: f64,
    /// Which way a twist loads the cells: orthogonal to force and moments.
    twist_shape: [f64; 4],
}

impl Plate {
    /// A plate whose cells touch it where drawn, off by `errors`; `twist` is a share of a quarter
    /// of the load.
    pub fn new(errors: [Place; 4], twist: f64) -> Self {
        let mut contacts = [Place::default(); 4];
        for ((contact, drawn), error) in contacts.iter_mut().zip(NOMINAL.corners).zip(errors) {
            contact.ml_mm = drawn.ml_mm + error.ml_mm;
            contact.ap_mm = drawn.ap_mm + error.ap_mm;
        }
        let mut plate = Self { contacts, twist, twist_shape: [0.0; 4] };
        let diagonal = [1.0, -1.0, -1.0, 1.0];
        // What a flat tilt of the plate can take up of the diagonal pattern is not twist.
        let moment = |of: fn(&Place) -> f64| -> f64 {
            diagonal.iter().zip(&plate.contacts).map(|(d, contact)| d * of(contact)).sum()
        };
        let flat = plate.flat_share([0.0, moment(|c| c.ml_mm), moment(|c| c.ap_mm)]);
        let mut shape = [0.0; 4];
        for ((twisted, diagonal), flat) in shape.iter_mut().zip(diagonal).zip(flat) {
            *twisted = diagonal - flat;
        }
        plate.twist_shape = shape;
        plate
    }

    /// Where the cells really touch the plate, in the order of the corners.
    pub const fn contacts(&self) -> [Place; 4] {
        self.contacts
    }

    /// Force on each cell in newtons, plate and pad included, in the order of the corners.
    pub fn corner_newtons(&self, load: Load) -> [f64; 4] {
        let person = load.force_newtons;
        let total = person + DEAD_LOAD_NEWTONS;
        let mut newtons =
            self.flat_share([total, person * load.plate.ml_mm, person * load.plate.ap_mm]);
        for (newtons, shape) in newtons.iter_mut().zip(self.twist_shape) {
            *newtons += shape * self.twist * total / 4.0;
        }
        newtons
    }

    /// Cell forces that vary linearly over the plate and sum to this force, moment of ML places
    /// and moment of AP places.
    fn flat_share(&self, [force, ml_moment, ap_moment]: [f64; 3]) -> [f64; 4] {
        let mut sums = [[0.0; 3]; 3];
        for contact in &self.contacts {
            let basis = [1.0, contact.ml_mm, contact.ap_mm];
            for (row, a) in sums.iter_mut().zip(basis) {
                for (sum, b) in row.iter_mut().zip(basis) {
                    *sum += a * b;
                }
            }
        }
        let [base, per_ml, per_ap] = solved(sums, [force, ml_moment, ap_moment]);
        self.contacts.map(|contact| base + per_ml * contact.ml_mm + per_ap * contact.ap_mm)
    }
}

/// Three equations in three unknowns, by Cramer's rule; the corners of a plate are never in line.
fn solved(matrix: [[f64; 3]; 3], right: [f64; 3]) -> [f64; 3] {
    let determinant = |m: [[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1])
            - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let whole = determinant(matrix);
    [0, 1, 2].map(|column| {
        let mut replaced = matrix;
        for (row, value) in replaced.iter_mut().zip(right) {
            row[column] = value;
        }
        determinant(replaced) / whole
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn load(force_newtons: f64, ml_mm: f64, ap_mm: f64) -> Load {
        Load { force_newtons, plate: Place { ml_mm, ap_mm }, ..Load::default() }
    }

    /// Over the centre every cell carries a quarter; straight over the right edge the two right
    /// cells carry half each.
    #[test]
    fn loads_worked_by_hand() {
        let plate = Plate::new([Place::default(); 4], 0.0);
        for newtons in plate.corner_newtons(load(600.0, 0.0, 0.0)) {
            assert!((newtons - 162.5).abs() < 1e-9);
        }
        let [front_left, front_right, rear_left, rear_right] =
            plate.corner_newtons(load(600.0, 220.0, 0.0));
        for (newtons, wanted) in
            [(front_left, 12.5), (rear_left, 12.5), (front_right, 312.5), (rear_right, 312.5)]
        {
            assert!((newtons - wanted).abs() < 1e-9, "{newtons} {wanted}");
        }
    }

    #[test]
    fn twist_and_misplaced_cells_change_neither_force_nor_moments() {
        let errors = [(1.0, -2.0), (0.5, 0.0), (-1.5, 1.0), (2.0, 0.3)]
            .map(|(ml_mm, ap_mm)| Place { ml_mm, ap_mm });
        let plate = Plate::new(errors, 0.2);
        let newtons = plate.corner_newtons(load(600.0, 31.0, -47.0));
        let sum = |of: fn(&Place) -> f64| -> f64 {
            newtons.iter().zip(plate.contacts()).map(|(f, contact)| f * of(&contact)).sum()
        };
        assert!((sum(|_| 1.0) - 650.0).abs() < 1e-9);
        assert!((sum(|contact| contact.ml_mm) - 600.0 * 31.0).abs() < 1e-6);
        assert!((sum(|contact| contact.ap_mm) + 600.0 * 47.0).abs() < 1e-6);
        let without = Plate::new(errors, 0.0).corner_newtons(load(600.0, 31.0, -47.0));
        assert!((newtons[0] - without[0] - 32.5).abs() < 0.5, "twist must show in a corner");
    }
}
