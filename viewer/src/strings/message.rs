//! What a person reads when something did not work.

/// Three sentences about one thing that did not work: what, why, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Message {
    /// What did not work, as the person sees it.
    pub what: String,
    /// Why, with the names and numbers that matter.
    pub why: String,
    /// What the person can do next.
    pub what_to_do: String,
}

/// The causes of an error behind its first sentence, joined by `: `; empty if there are none.
pub(crate) fn causes(error: &dyn std::error::Error) -> String {
    std::iter::successors(error.source(), |cause| cause.source())
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join(": ")
}
