//! The two sides a package travels between.

use std::fmt;
use std::str::FromStr;

use analysis::UnknownKey;

/// Which side a pair of keys belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Sets plans and receives sessions.
    Clinic,
    /// Receives plans and sends sessions.
    Home,
}

impl Role {
    /// Both sides.
    pub const ALL: &'static [Self] = &[Self::Clinic, Self::Home];

    /// The word for this side in files.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Clinic => "clinic",
            Self::Home => "home",
        }
    }

    /// The side this one exchanges packages with.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Clinic => Self::Home,
            Self::Home => Self::Clinic,
        }
    }
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key())
    }
}

impl FromStr for Role {
    type Err = UnknownKey;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL.iter().copied().find(|role| role.key() == text).ok_or_else(|| UnknownKey {
            what: "side",
            found: text.chars().take(40).collect(),
            expected: Self::ALL.iter().map(|role| role.key()).collect::<Vec<_>>().join(", "),
        })
    }
}
