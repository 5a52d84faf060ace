//! What each test of a board is called and what it needs.

use acquisition::board_test::{BoardTest, Finding, Limit};

use crate::strings::significant;

/// The name of a test.
pub(crate) const fn name(test: BoardTest) -> &'static str {
    match test {
        BoardTest::Noise => "Noise under a dead weight",
        BoardTest::CornerLoad => "Corner load",
        BoardTest::HoldOut => "Spots not used in the calibration",
        BoardTest::Repeatability => "Repeatability",
        BoardTest::UpAndDown => "Weights up and down",
        BoardTest::SmallSwing => "Small swing",
        BoardTest::Creep => "Creep",
        BoardTest::Drift => "Drift of the empty board",
        BoardTest::Clock => "Clock and missing frames",
        BoardTest::Skew => "Channels at the same moment",
        BoardTest::ContactPlane => "Depth of the contact plane",
        BoardTest::Resonance => "Resonance",
        BoardTest::Overload => "Overload",
        BoardTest::Software => "The program itself",
    }
}

/// What to have at hand and what to do.
pub(crate) const fn instruction(test: BoardTest) -> &'static str {
    match test {
        BoardTest::Noise => {
            "Put 20 kg in the middle, then keep everybody away for a minute and a half."
        }
        BoardTest::CornerLoad => "Put 20 kg on the four outer corner spots in turn.",
        BoardTest::HoldOut => {
            "Put 20 kg on eight spots between those of the calibration, marked with a ruler of their \
             own, each to 0.5 mm."
        }
        BoardTest::Repeatability => {
            "Put 20 kg in the middle against stops, five times; lift it off each time."
        }
        BoardTest::UpAndDown => {
            "Stack 20, 40 and 60 kg in the middle, then take them off the same way; lower weights \
             stay where they are."
        }
        BoardTest::SmallSwing => {
            "With 59 kg in the middle, move 1 kg between two marks 100 mm apart: eleven positions from \
             left to right and back, then eleven from back to front."
        }
        BoardTest::Creep => "Put 60 kg in the middle for ten minutes, then clear the board.",
        BoardTest::Drift => "From a cold start, leave the board empty and alone for half an hour.",
        BoardTest::Clock => {
            "Leave the board connected for ten minutes; what is on it does not matter."
        }
        BoardTest::Skew => "Within 20 s, drop a soft bag of about 5 kg into the middle, once.",
        BoardTest::ContactPlane => {
            "With 40 kg in the middle, pull it forward with a spring balance at 20 N: first level with \
             the plate, then 100 mm above it. Hold each pull until it was read."
        }
        BoardTest::Resonance => {
            "Tap the plate once with a knuckle when asked, with 20 kg in the middle and then with \
             nothing. Take 1000 frames a second."
        }
        BoardTest::Overload => {
            "Load one corner with 150 kg through a pad, take it off, then put 20 kg on the four outer \
             corner spots in turn."
        }
        BoardTest::Software => "Needs no board: made-up counts of a known path are measured.",
    }
}

/// A limit as a person reads it.
pub(crate) fn limit_words(limit: &Limit) -> String {
    match limit {
        Limit::AtMost(limit) => format!("at most {}", significant(*limit, 3)),
        Limit::AtLeast(limit) => format!("at least {}", significant(*limit, 3)),
        Limit::Near { wanted, tolerance } => {
            format!("{} ± {}", significant(*wanted, 4), significant(*tolerance, 2))
        }
    }
}

/// Within or outside.
pub(crate) fn verdict_words(finding: &Finding) -> &'static str {
    if finding.is_within() { "within limit" } else { "outside limit" }
}
