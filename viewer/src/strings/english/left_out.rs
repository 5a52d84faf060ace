//! Why trials and sessions are no evidence, in English.

use acquisition::records::WhyOutside;
use analysis::readiness::WhyLeftOut;

/// Why a trial or session of the condition was not scored.
pub(crate) const fn left_out(why: WhyLeftOut) -> &'static str {
    match why {
        WhyLeftOut::SameIdTwice => "the same session or trial a second time",
        WhyLeftOut::BeforeWindow => "older than the window of evidence",
        WhyLeftOut::BeforeDecision => "older than the decision that changed the condition",
        WhyLeftOut::AfterToday => "dated after the day of the question",
        WhyLeftOut::Learning => "the first session at this condition, which is learning",
        WhyLeftOut::Guided => "guided: feedback changes the sway",
        WhyLeftOut::Practice => "practice",
        WhyLeftOut::SteppedOff => "stepped off",
        WhyLeftOut::UnplannedSupport => "support was used that is not planned",
        WhyLeftOut::NoMeasures => "the recording could not be measured",
        WhyLeftOut::NotANumber => "a measure is out of its range",
        WhyLeftOut::FewWindows => "too short for enough wobble windows",
        WhyLeftOut::OtherSetup => "another length, board, pad, height or way of facing",
    }
}

/// Why a trial can be no evidence at all.
pub(crate) const fn outside(why: WhyOutside) -> &'static str {
    match why {
        WhyOutside::NoSession => "in no session, so nobody was asked about pain or anything new",
        WhyOutside::Length => "the hold was neither 35 s nor 60 s",
        WhyOutside::Reference => "a reference of where the weight stands, not a hold",
    }
}
