//! What the person stands on and how, as far as it changes the sway.

use std::str::FromStr;

use thiserror::Error;

/// What is under the feet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// The bare plate.
    Firm,
    /// A foam pad.
    Foam,
    /// Folded towels.
    Towels,
    /// Cushions.
    Cushions,
}

/// How the feet stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stance {
    /// Wider than the hips.
    Wide,
    /// As wide as the hips.
    HipWidth,
    /// Side by side, touching.
    Together,
    /// The heel of one foot beside the toes of the other.
    SemiTandem,
    /// The heel of one foot against the toes of the other.
    Tandem,
    /// On the left leg.
    OneLegLeft,
    /// On the right leg.
    OneLegRight,
}

/// Whether the person sees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Vision {
    /// Eyes open.
    Open,
    /// Eyes closed.
    Closed,
}

/// Surface, stance and vision together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Condition {
    /// What is under the feet.
    pub surface: Surface,
    /// How the feet stand.
    pub stance: Stance,
    /// Whether the person sees.
    pub vision: Vision,
}

/// What happens between one start and the next stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stand {
    /// A person steps on and stands.
    Person(Condition),
    /// A weight is put down, as for a check or a calibration.
    Weight {
        /// Its mass in kilograms.
        mass_kg: f64,
        /// Where its centre lies, millimetres to the right of the board's centre.
        ml_mm: f64,
        /// Where its centre lies, millimetres forward of the board's centre.
        ap_mm: f64,
    },
}

impl Default for Stand {
    fn default() -> Self {
        Self::Person(Condition {
            surface: Surface::Firm,
            stance: Stance::HipWidth,
            vision: Vision::Open,
        })
    }
}

/// Text that says no stand.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error(
    "{found:?} is no stand; write surface/stance/vision (firm, foam, towels, cushions / wide, \
     hip-width, together, semi-tandem, tandem, one-leg-left, one-leg-right / open, closed), or \
     weight/KG/ML_MM/AP_MM with 0 < KG <= 300 inside the corners"
)]
pub struct UnknownStand {
    found: String,
}

/// Reads `foam/together/closed` or `weight/20/-150/150`.
impl FromStr for Stand {
    type Err = UnknownStand;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let words: Vec<&str> = text.split('/').collect();
        let stand = match words[..] {
            [surface, stance, vision] => condition(surface, stance, vision).map(Self::Person),
            ["weight", mass_kg, ml_mm, ap_mm] => weight(mass_kg, ml_mm, ap_mm),
            _ => None,
        };
        stand.ok_or_else(|| UnknownStand { found: text.chars().take(60).collect() })
    }
}

fn condition(surface: &str, stance: &str, vision: &str) -> Option<Condition> {
    Some(Condition {
        surface: match surface {
            "firm" => Surface::Firm,
            "foam" => Surface::Foam,
            "towels" => Surface::Towels,
            "cushions" => Surface::Cushions,
            _ => return None,
        },
        stance: match stance {
            "wide" => Stance::Wide,
            "hip-width" => Stance::HipWidth,
            "together" => Stance::Together,
            "semi-tandem" => Stance::SemiTandem,
            "tandem" => Stance::Tandem,
            "one-leg-left" => Stance::OneLegLeft,
            "one-leg-right" => Stance::OneLegRight,
            _ => return None,
        },
        vision: match vision {
            "open" => Vision::Open,
            "closed" => Vision::Closed,
            _ => return None,
        },
    })
}

fn weight(mass_kg: &str, ml_mm: &str, ap_mm: &str) -> Option<Stand> {
    let (mass_kg, ml_mm, ap_mm): (f64, f64, f64) =
        (mass_kg.parse().ok()?, ml_mm.parse().ok()?, ap_mm.parse().ok()?);
    let [corner, ..] = board_wire::NOMINAL.corners;
    let inside = ml_mm.abs() <= corner.ml_mm.abs() && ap_mm.abs() <= corner.ap_mm.abs();
    (0.0 < mass_kg && mass_kg <= 300.0 && inside).then_some(Stand::Weight { mass_kg, ml_mm, ap_mm })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stands_are_read_and_anything_else_is_refused_with_the_words_that_would_do() {
        let condition =
            Condition { surface: Surface::Foam, stance: Stance::Together, vision: Vision::Closed };
        assert_eq!("foam/together/closed".parse(), Ok(Stand::Person(condition)));
        let weight = Stand::Weight { mass_kg: 20.0, ml_mm: -150.0, ap_mm: 150.0 };
        assert_eq!("weight/20/-150/150".parse(), Ok(weight));
        for bad in
            ["", "foam", "foam/together/shut", "weight/0/0/0", "weight/20/400/0", "weight/NaN/0/0"]
        {
            let message = bad.parse::<Stand>().unwrap_err().to_string();
            assert!(message.contains("hip-width"), "{bad:?}: {message}");
        }
    }
}
