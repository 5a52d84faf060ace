//! Conditions and kinds of trial in German.

use analysis::{Band, Condition, Stance, Support, Surface, TrialKind, Vision};

/// A condition in words: what is underfoot, the feet, the eyes, and help or a band only where there
/// is any.
#[expect(clippy::trivially_copy_pass_by_ref, reason = "the type of the field of `Language`")]
pub(super) fn condition(condition: &Condition) -> String {
    let Condition { surface, stance, vision, support: hand, band } = *condition;
    let mut parts = vec![surface_word(surface), stance_words(stance), vision_words(vision)];
    parts.extend(support(hand));
    parts.extend(band_words(band));
    parts.join(", ")
}

pub(super) const fn surface_word(surface: Surface) -> &'static str {
    match surface {
        Surface::Firm => "feste Fläche",
        Surface::Foam => "Schaumstoff",
        Surface::Towels => "Handtücher",
        Surface::Cushions => "Kissen",
    }
}

pub(super) const fn stance_words(stance: Stance) -> &'static str {
    match stance {
        Stance::Wide => "Füße weit auseinander",
        Stance::HipWidth => "hüftbreit",
        Stance::Together => "Füße geschlossen",
        Stance::SemiTandem => "Semitandem",
        Stance::Tandem => "Tandem",
        Stance::OneLegLeft => "linkes Bein",
        Stance::OneLegRight => "rechtes Bein",
    }
}

pub(super) const fn vision_words(vision: Vision) -> &'static str {
    match vision {
        Vision::Open => "Augen auf",
        Vision::Closed => "Augen zu",
    }
}

const fn support(support: Support) -> Option<&'static str> {
    match support {
        Support::None => None,
        Support::Fingertip => Some("Fingerspitze am Halt"),
        Support::Hand => Some("Hand am Halt"),
    }
}

const fn band_words(band: Band) -> Option<&'static str> {
    match band {
        Band::None => None,
        Band::UpperTrunk => Some("Band am Oberkörper"),
        Band::BelowButtocks => Some("Band unter dem Gesäß"),
    }
}

/// What a trial is for, in a word.
pub(super) const fn kind(kind: TrialKind) -> &'static str {
    match kind {
        TrialKind::Measured => "gemessen",
        TrialKind::Guided => "geführt",
        TrialKind::Practice => "Eingewöhnung",
    }
}
