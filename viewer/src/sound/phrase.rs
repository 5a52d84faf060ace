//! Phrases that are spoken in a session, each a short clip that is part of the program.
//!
//! `clips/README.md` tells how the clips were made; their texts stand in `phrases.tsv` of each
//! language's folder.

use acquisition::home::LanguageKey;
use analysis::{Stance, keyed_enum};

/// Samples a second of every clip.
pub(super) const CLIP_RATE_HZ: u32 = 8_000;

keyed_enum! {
    /// Something that is said aloud.
    pub enum Phrase ("phrase") {
        /// "Something has to be set up first", by its own clip.
        Missing = "missing",
        /// "Stop", by its own clip.
        Emergency = "emergency",
        /// "Stop", by its own clip.
        Stop = "stop",
        /// "No exercise is released for now", by its own clip.
        NothingReleased = "nothing-released",
        /// "Today is done already", by its own clip.
        MoreThanPlanned = "more-than-planned",
        /// "The last session was cut off", by its own clip.
        Kept = "kept",
        /// "How much pain was there on the morning after the last session", by its own clip.
        NextMorning = "next-morning",
        /// "Anything new", by its own clip.
        SignWarning = "sign-warning",
        /// "New numbness or weakness anywhere", by its own clip.
        SignNumbness = "sign-numbness",
        /// "Leg pain further down than before", by its own clip.
        SignLegPain = "sign-leg-pain",
        /// "Have you fallen since the last session", by its own clip.
        SignFall = "sign-fall",
        /// "How much pain is there now", by its own clip.
        PainBefore = "pain-before",
        /// "Is everything ready", by its own clip.
        Room = "room",
        /// "Is a second person with you", by its own clip.
        Company = "company",
        /// "Louder or quieter", by its own clip.
        Volume = "volume",
        /// "Did you hear five notes", by its own clip.
        SoundCheck = "sound-check",
        /// "Keep the board empty", by its own clip.
        BoardCheck = "board-check",
        /// "Do you want to find today's stance first", by its own clip.
        FindStance = "find-stance",
        /// "Did you hold on", by its own clip.
        HeldOnOrHurt = "held-on",
        /// "To find the stance", by its own clip.
        Find = "find",
        /// "Where your weight is today", by its own clip.
        Reference = "reference",
        /// "To get used to it", by its own clip.
        Practice = "practice",
        /// "Measured", by its own clip.
        Measured = "measured",
        /// "Guided", by its own clip.
        Guided = "guided",
        /// "Rest", by its own clip.
        Rest = "rest",
        /// "The sound went away during the stand", by its own clip.
        SoundLost = "sound-lost",
        /// "Did you touch anything while standing", by its own clip.
        Touched = "touched",
        /// "How hard did it feel", by its own clip.
        Difficulty = "difficulty",
        /// "What was the worst pain while practising", by its own clip.
        WorstPain = "worst-pain",
        /// "How much pain is there now, after it", by its own clip.
        PainAfter = "pain-after",
        /// "Done, thank you", by its own clip.
        Done = "done",
        /// "The board needs a look", by its own clip.
        Trouble = "trouble",
        /// "Feet wide apart", by its own clip.
        StanceWide = "stance-wide",
        /// "Feet as wide as your hips", by its own clip.
        StanceHipWidth = "stance-hip-width",
        /// "Feet together", by its own clip.
        StanceTogether = "stance-together",
        /// "One foot half in front of the other", by its own clip.
        StanceSemiTandem = "stance-semi-tandem",
        /// "One foot right in front of the other", by its own clip.
        StanceTandem = "stance-tandem",
        /// "On your left leg", by its own clip.
        StanceOneLegLeft = "stance-one-leg-left",
        /// "On your right leg", by its own clip.
        StanceOneLegRight = "stance-one-leg-right",
        /// "Step on", by its own clip.
        StepOn = "step-on",
        /// "Stand still", by its own clip.
        StandStill = "stand-still",
        /// "Stand still, it begins soon", by its own clip.
        Soon = "soon",
        /// "Over", by its own clip.
        StepOff = "step-off",
        /// "Close your eyes when the first tone sounds", by its own clip.
        EyesClosed = "eyes-closed",
        /// "Zero", by its own clip.
        Points0 = "points-0",
        /// "One", by its own clip.
        Points1 = "points-1",
        /// "Two", by its own clip.
        Points2 = "points-2",
        /// "Three", by its own clip.
        Points3 = "points-3",
        /// "Four", by its own clip.
        Points4 = "points-4",
        /// "Five", by its own clip.
        Points5 = "points-5",
        /// "Six", by its own clip.
        Points6 = "points-6",
        /// "Seven", by its own clip.
        Points7 = "points-7",
        /// "Eight", by its own clip.
        Points8 = "points-8",
        /// "Nine", by its own clip.
        Points9 = "points-9",
        /// "Ten", by its own clip.
        Points10 = "points-10",
    }
}

/// The clip of a phrase in the folder of a language.
macro_rules! clip {
    ($phrase:expr, $folder:literal) => {
        match $phrase {
            Self::Missing => include_bytes!(concat!("clips/", $folder, "/missing.ulaw")),
            Self::Emergency => include_bytes!(concat!("clips/", $folder, "/emergency.ulaw")),
            Self::Stop => include_bytes!(concat!("clips/", $folder, "/stop.ulaw")),
            Self::NothingReleased => {
                include_bytes!(concat!("clips/", $folder, "/nothing-released.ulaw"))
            }
            Self::MoreThanPlanned => {
                include_bytes!(concat!("clips/", $folder, "/more-than-planned.ulaw"))
            }
            Self::Kept => include_bytes!(concat!("clips/", $folder, "/kept.ulaw")),
            Self::NextMorning => include_bytes!(concat!("clips/", $folder, "/next-morning.ulaw")),
            Self::SignWarning => include_bytes!(concat!("clips/", $folder, "/sign-warning.ulaw")),
            Self::SignNumbness => include_bytes!(concat!("clips/", $folder, "/sign-numbness.ulaw")),
            Self::SignLegPain => include_bytes!(concat!("clips/", $folder, "/sign-leg-pain.ulaw")),
            Self::SignFall => include_bytes!(concat!("clips/", $folder, "/sign-fall.ulaw")),
            Self::PainBefore => include_bytes!(concat!("clips/", $folder, "/pain-before.ulaw")),
            Self::Room => include_bytes!(concat!("clips/", $folder, "/room.ulaw")),
            Self::Company => include_bytes!(concat!("clips/", $folder, "/company.ulaw")),
            Self::Volume => include_bytes!(concat!("clips/", $folder, "/volume.ulaw")),
            Self::SoundCheck => include_bytes!(concat!("clips/", $folder, "/sound-check.ulaw")),
            Self::BoardCheck => include_bytes!(concat!("clips/", $folder, "/board-check.ulaw")),
            Self::FindStance => include_bytes!(concat!("clips/", $folder, "/find-stance.ulaw")),
            Self::HeldOnOrHurt => include_bytes!(concat!("clips/", $folder, "/held-on.ulaw")),
            Self::Find => include_bytes!(concat!("clips/", $folder, "/find.ulaw")),
            Self::Reference => include_bytes!(concat!("clips/", $folder, "/reference.ulaw")),
            Self::Practice => include_bytes!(concat!("clips/", $folder, "/practice.ulaw")),
            Self::Measured => include_bytes!(concat!("clips/", $folder, "/measured.ulaw")),
            Self::Guided => include_bytes!(concat!("clips/", $folder, "/guided.ulaw")),
            Self::Rest => include_bytes!(concat!("clips/", $folder, "/rest.ulaw")),
            Self::SoundLost => include_bytes!(concat!("clips/", $folder, "/sound-lost.ulaw")),
            Self::Touched => include_bytes!(concat!("clips/", $folder, "/touched.ulaw")),
            Self::Difficulty => include_bytes!(concat!("clips/", $folder, "/difficulty.ulaw")),
            Self::WorstPain => include_bytes!(concat!("clips/", $folder, "/worst-pain.ulaw")),
            Self::PainAfter => include_bytes!(concat!("clips/", $folder, "/pain-after.ulaw")),
            Self::Done => include_bytes!(concat!("clips/", $folder, "/done.ulaw")),
            Self::Trouble => include_bytes!(concat!("clips/", $folder, "/trouble.ulaw")),
            Self::StanceWide => include_bytes!(concat!("clips/", $folder, "/stance-wide.ulaw")),
            Self::StanceHipWidth => {
                include_bytes!(concat!("clips/", $folder, "/stance-hip-width.ulaw"))
            }
            Self::StanceTogether => {
                include_bytes!(concat!("clips/", $folder, "/stance-together.ulaw"))
            }
            Self::StanceSemiTandem => {
                include_bytes!(concat!("clips/", $folder, "/stance-semi-tandem.ulaw"))
            }
            Self::StanceTandem => include_bytes!(concat!("clips/", $folder, "/stance-tandem.ulaw")),
            Self::StanceOneLegLeft => {
                include_bytes!(concat!("clips/", $folder, "/stance-one-leg-left.ulaw"))
            }
            Self::StanceOneLegRight => {
                include_bytes!(concat!("clips/", $folder, "/stance-one-leg-right.ulaw"))
            }
            Self::StepOn => include_bytes!(concat!("clips/", $folder, "/step-on.ulaw")),
            Self::StandStill => include_bytes!(concat!("clips/", $folder, "/stand-still.ulaw")),
            Self::Soon => include_bytes!(concat!("clips/", $folder, "/soon.ulaw")),
            Self::StepOff => include_bytes!(concat!("clips/", $folder, "/step-off.ulaw")),
            Self::EyesClosed => include_bytes!(concat!("clips/", $folder, "/eyes-closed.ulaw")),
            Self::Points0 => include_bytes!(concat!("clips/", $folder, "/points-0.ulaw")),
            Self::Points1 => include_bytes!(concat!("clips/", $folder, "/points-1.ulaw")),
            Self::Points2 => include_bytes!(concat!("clips/", $folder, "/points-2.ulaw")),
            Self::Points3 => include_bytes!(concat!("clips/", $folder, "/points-3.ulaw")),
            Self::Points4 => include_bytes!(concat!("clips/", $folder, "/points-4.ulaw")),
            Self::Points5 => include_bytes!(concat!("clips/", $folder, "/points-5.ulaw")),
            Self::Points6 => include_bytes!(concat!("clips/", $folder, "/points-6.ulaw")),
            Self::Points7 => include_bytes!(concat!("clips/", $folder, "/points-7.ulaw")),
            Self::Points8 => include_bytes!(concat!("clips/", $folder, "/points-8.ulaw")),
            Self::Points9 => include_bytes!(concat!("clips/", $folder, "/points-9.ulaw")),
            Self::Points10 => include_bytes!(concat!("clips/", $folder, "/points-10.ulaw")),
        }
    };
}

impl Phrase {
    /// The clip in a language: G.711 mu-law, [`CLIP_RATE_HZ`].
    pub(super) const fn clip(self, language: LanguageKey) -> &'static [u8] {
        match language {
            LanguageKey::English => clip!(self, "english"),
            LanguageKey::German => clip!(self, "german"),
        }
    }

    /// The phrase that says how to stand.
    pub const fn of_stance(stance: Stance) -> Self {
        match stance {
            Stance::Wide => Self::StanceWide,
            Stance::HipWidth => Self::StanceHipWidth,
            Stance::Together => Self::StanceTogether,
            Stance::SemiTandem => Self::StanceSemiTandem,
            Stance::Tandem => Self::StanceTandem,
            Stance::OneLegLeft => Self::StanceOneLegLeft,
            Stance::OneLegRight => Self::StanceOneLegRight,
        }
    }

    /// The phrase of a number of points, from 0 to 10.
    pub const fn of_points(points: u8) -> Self {
        match points {
            0 => Self::Points0,
            1 => Self::Points1,
            2 => Self::Points2,
            3 => Self::Points3,
            4 => Self::Points4,
            5 => Self::Points5,
            6 => Self::Points6,
            7 => Self::Points7,
            8 => Self::Points8,
            9 => Self::Points9,
            _ => Self::Points10,
        }
    }

    /// How long it takes to say in a language, in seconds.
    pub fn lasts_s(self, language: LanguageKey) -> f64 {
        self.clip(language).len() as f64 / f64::from(CLIP_RATE_HZ)
    }
}
