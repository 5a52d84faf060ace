//! Why the records forbid a stand, in English.

use acquisition::records::Forbidden;

/// The end of a sentence.
pub(crate) const fn forbidden(forbidden: Forbidden) -> &'static str {
    match forbidden {
        Forbidden::StopAndReview => {
            "something was reported that the clinician has to review first (`footing next-step` says \
             what, `footing decide` records the review)"
        }
        Forbidden::NotInPlan => {
            "this condition is not in the plan, and a new one is first tried in the clinic"
        }
        Forbidden::ClinicOnly => "the plan keeps this condition for the clinic",
        Forbidden::Alone => {
            "the plan asks for a second person to be there (`--accompanied` says that one is)"
        }
    }
}
