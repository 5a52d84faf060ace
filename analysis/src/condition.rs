//! A condition: surface, stance, vision, support and band.

use std::fmt;
use std::str::FromStr;

use crate::keyed::{UnknownKey, keyed_enum};

keyed_enum! {
    /// What the person stands on. Its loaded thickness belongs to the trial's [`Setup`](crate::Setup).
    pub enum Surface ("surface") {
        /// The bare plate, or a hard floor.
        Firm = "firm",
        /// A foam pad.
        Foam = "foam",
        /// Folded towels.
        Towels = "towels",
        /// Cushions.
        Cushions = "cushions",
    }
}

keyed_enum! {
    /// How the feet stand.
    pub enum Stance ("stance") {
        /// Wider than the hips.
        Wide = "wide",
        /// As wide as the hips.
        HipWidth = "hip-width",
        /// Side by side, touching.
        Together = "together",
        /// The heel of one foot beside the toes of the other.
        SemiTandem = "semi-tandem",
        /// The heel of one foot against the toes of the other.
        Tandem = "tandem",
        /// On the left leg.
        OneLegLeft = "one-leg-left",
        /// On the right leg.
        OneLegRight = "one-leg-right",
    }
}

impl Stance {
    /// Those with both feet down, from easy to hard: among these a stance is searched.
    pub const BOTH_FEET: [Self; 5] =
        [Self::Wide, Self::HipWidth, Self::Together, Self::SemiTandem, Self::Tandem];
}

keyed_enum! {
    /// Whether the person sees.
    pub enum Vision ("vision") {
        /// Eyes open.
        Open = "open",
        /// Eyes closed.
        Closed = "closed",
    }
}

keyed_enum! {
    /// Planned support by a hand; an unplanned touch is an event, not a condition.
    pub enum Support ("support") {
        /// No support.
        None = "none",
        /// One fingertip, lightly.
        Fingertip = "fingertip",
        /// A hand.
        Hand = "hand",
    }
}

keyed_enum! {
    /// Where a light elastic band pulls.
    pub enum Band ("band") {
        /// No band.
        None = "none",
        /// At the upper trunk.
        UpperTrunk = "upper-trunk",
        /// Below the buttocks.
        BelowButtocks = "below-buttocks",
    }
}

/// What a person was asked to stand on and how: two trials are repeats only if all five agree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Condition {
    /// What the person stands on.
    pub surface: Surface,
    /// How the feet stand.
    pub stance: Stance,
    /// Eyes open or closed.
    pub vision: Vision,
    /// Planned support by a hand.
    pub support: Support,
    /// Where a band pulls.
    pub band: Band,
}

impl Condition {
    /// A condition without support and without a band.
    pub const fn unaided(surface: Surface, stance: Stance, vision: Vision) -> Self {
        Self { surface, stance, vision, support: Support::None, band: Band::None }
    }
}

/// Five keys joined by slashes, as in `foam/hip-width/closed/none/none`.
impl fmt::Display for Condition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { surface, stance, vision, support, band } = self;
        write!(f, "{surface}/{stance}/{vision}/{support}/{band}")
    }
}

/// Reads what [`Display`](fmt::Display) writes; support and band may be left out together or alone.
impl FromStr for Condition {
    type Err = UnknownKey;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let parts: Vec<&str> = text.split('/').collect();
        if !(3..=5).contains(&parts.len()) {
            return Err(UnknownKey {
                what: "condition",
                found: text.chars().take(80).collect(),
                expected: "surface/stance/vision, optionally /support/band".to_owned(),
            });
        }
        Ok(Self {
            surface: parts[0].parse()?,
            stance: parts[1].parse()?,
            vision: parts[2].parse()?,
            support: parts.get(3).map_or(Ok(Support::None), |word| word.parse())?,
            band: parts.get(4).map_or(Ok(Band::None), |word| word.parse())?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_condition_reads_back() {
        for &surface in Surface::ALL {
            for &stance in Stance::ALL {
                for &vision in Vision::ALL {
                    for &support in Support::ALL {
                        for &band in Band::ALL {
                            let condition = Condition { surface, stance, vision, support, band };
                            assert_eq!(condition.to_string().parse(), Ok(condition));
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn support_and_band_may_be_left_out() {
        let short: Condition = "foam/together/closed".parse().unwrap();
        assert_eq!(short, Condition::unaided(Surface::Foam, Stance::Together, Vision::Closed));
    }

    #[test]
    fn an_unknown_word_is_named_with_those_that_would_do() {
        let message = "foam/together/shut".parse::<Condition>().unwrap_err().to_string();
        assert_eq!(message, "\"shut\" is not a vision; it is one of: open, closed");
        assert!("foam".parse::<Condition>().is_err());
        assert!("foam/wide/open/none/none/none".parse::<Condition>().is_err());
    }
}
