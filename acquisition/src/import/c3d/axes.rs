//! How the person faces in the room of a C3D file.

use std::fmt;
use std::str::FromStr;

use analysis::Cop;
use thiserror::Error;

/// One direction of the room's floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoomAxis {
    /// Along x.
    PlusX,
    /// Against x.
    MinusX,
    /// Along y.
    PlusY,
    /// Against y.
    MinusY,
}

/// Text that is no direction.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a direction of the room; it is one of: +x, -x, +y, -y")]
pub struct UnknownAxis {
    /// What was offered, at most 20 characters of it.
    pub found: String,
}

impl FromStr for RoomAxis {
    type Err = UnknownAxis;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text {
            "+x" | "x" => Ok(Self::PlusX),
            "-x" => Ok(Self::MinusX),
            "+y" | "y" => Ok(Self::PlusY),
            "-y" => Ok(Self::MinusY),
            _ => Err(UnknownAxis { found: text.chars().take(20).collect() }),
        }
    }
}

impl fmt::Display for RoomAxis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::PlusX => "+x",
            Self::MinusX => "-x",
            Self::PlusY => "+y",
            Self::MinusY => "-y",
        })
    }
}

impl RoomAxis {
    const fn vector(self) -> [f64; 3] {
        match self {
            Self::PlusX => [1.0, 0.0, 0.0],
            Self::MinusX => [-1.0, 0.0, 0.0],
            Self::PlusY => [0.0, 1.0, 0.0],
            Self::MinusY => [0.0, -1.0, 0.0],
        }
    }

    /// The direction to the right of a person who faces along this one, seen from above, z up.
    const fn right(self) -> Self {
        match self {
            Self::PlusX => Self::MinusY,
            Self::MinusX => Self::PlusY,
            Self::PlusY => Self::PlusX,
            Self::MinusY => Self::MinusX,
        }
    }
}

/// Forward and right of the person in the room.
#[derive(Debug, Clone, Copy)]
pub(super) struct RoomAxes {
    forward: [f64; 3],
    right: [f64; 3],
}

impl RoomAxes {
    pub(super) const fn facing(forward: RoomAxis) -> Self {
        Self { forward: forward.vector(), right: forward.right().vector() }
    }

    pub(super) fn cop(&self, place_mm: [f64; 3]) -> Cop {
        Cop::new(dot(place_mm, self.right), dot(place_mm, self.forward))
    }
}

pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(super) fn sum(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(super) fn difference(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn scaled(a: [f64; 3], by: f64) -> [f64; 3] {
    a.map(|value| value * by)
}
