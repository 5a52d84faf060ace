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

/// An error and its causes joined by `: `, the first letter a capital.
pub(crate) fn with_causes(error: &dyn std::error::Error) -> String {
    let chain = std::iter::successors(Some(error), |error| error.source())
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join(": ");
    let mut letters = chain.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn causes_follow_the_error() {
        #[derive(Debug, thiserror::Error)]
        #[error("it cannot be read")]
        struct Outer(#[source] std::fmt::Error);
        let text = with_causes(&Outer(std::fmt::Error));
        assert_eq!(text, format!("It cannot be read: {}", std::fmt::Error));
    }
}
