//! Conditions and kinds of trial in English.

use analysis::{Band, Condition, Stance, Support, Surface, TrialKind, Vision};

/// A condition in words, ML before AP as everywhere: what is underfoot, the feet, the eyes, and
/// help or a band only where there is any.
#[expect(clippy::trivially_copy_pass_by_ref, reason = "the type of the field of `Language`")]
pub(crate) fn condition(condition: &Condition) -> String {
    let Condition { surface, stance, vision, support: hand, band } = *condition;
    let mut parts = vec![surface_word(surface), stance_words(stance), vision_words(vision)];
    parts.extend(support(hand));
    parts.extend(band_words(band));
    parts.join(", ")
}

pub(crate) const fn surface_word(surface: Surface) -> &'static str {
    match surface {
        Surface::Firm => "firm",
        Surface::Foam => "foam",
        Surface::Towels => "towels",
        Surface::Cushions => "cushions",
    }
}

pub(crate) const fn stance_words(stance: Stance) -> &'static str {
    match stance {
        Stance::Wide => "feet wide",
        Stance::HipWidth => "hip width",
        Stance::Together => "feet together",
        Stance::SemiTandem => "semi-tandem",
        Stance::Tandem => "tandem",
        Stance::OneLegLeft => "left leg",
        Stance::OneLegRight => "right leg",
    }
}

pub(crate) const fn vision_words(vision: Vision) -> &'static str {
    match vision {
        Vision::Open => "eyes open",
        Vision::Closed => "eyes closed",
    }
}

const fn support(support: Support) -> Option<&'static str> {
    match support {
        Support::None => None,
        Support::Fingertip => Some("fingertip"),
        Support::Hand => Some("hand held"),
    }
}

const fn band_words(band: Band) -> Option<&'static str> {
    match band {
        Band::None => None,
        Band::UpperTrunk => Some("band at the upper trunk"),
        Band::BelowButtocks => Some("band below the buttocks"),
    }
}

/// What a trial is for, in a word.
pub(crate) const fn kind(kind: TrialKind) -> &'static str {
    match kind {
        TrialKind::Measured => "measured",
        TrialKind::Guided => "guided",
        TrialKind::Practice => "practice",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn help_and_band_are_named_only_where_there_is_any() {
        let bare: Condition = "foam/together/closed".parse().unwrap();
        assert_eq!(condition(&bare), "foam, feet together, eyes closed");
        let helped: Condition = "firm/tandem/open/fingertip/upper-trunk".parse().unwrap();
        assert_eq!(
            condition(&helped),
            "firm, tandem, eyes open, fingertip, band at the upper trunk"
        );
    }
}
