//! Why the records forbid a stand, in German.

use acquisition::records::Forbidden;

/// The end of a sentence.
pub(super) const fn forbidden(forbidden: Forbidden) -> &'static str {
    match forbidden {
        Forbidden::StopAndReview => {
            "es wurde etwas gemeldet, das die Fachperson zuerst überprüfen muss (`footing next-step` \
             sagt, was; `footing decide` hält die Überprüfung fest)"
        }
        Forbidden::NotInPlan => {
            "diese Bedingung steht nicht im Plan, und eine neue wird zuerst in der Praxis versucht"
        }
        Forbidden::ClinicOnly => "der Plan behält diese Bedingung der Praxis vor",
        Forbidden::Alone => {
            "der Plan verlangt, dass eine zweite Person dabei ist (`--accompanied` sagt, dass es so \
             ist)"
        }
    }
}
