//! The two sides a package travels between.

use analysis::keyed_enum;

keyed_enum! {
    /// Which side a pair of keys belongs to.
    pub enum Role ("side") {
        /// Sets plans and receives sessions.
        Clinic = "clinic",
        /// Receives plans and sends sessions.
        Home = "home",
    }
}

impl Role {
    /// The side this one exchanges packages with.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Clinic => Self::Home,
            Self::Home => Self::Clinic,
        }
    }
}
