//! Names that are safe as file names on every system.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

const MAX_BYTES: usize = 100;

/// Names Windows gives to devices, with or without an extension.
const DEVICES: &[&str] = &["con", "prn", "aux", "nul"];

/// The name of a package's member: 1 to 100 letters, digits, dots, hyphens or underscores.
///
/// It begins with a letter or a digit and does not end with a dot, so that it is neither a path nor
/// hidden nor an option; names of Windows devices are refused. 100 is what a tar header holds.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MemberName(String);

impl MemberName {
    /// The name as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// What no two members may share: file systems may take capitals and small letters as one.
    pub(super) fn folded(&self) -> String {
        self.0.to_ascii_lowercase()
    }
}

impl fmt::Display for MemberName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl FromStr for MemberName {
    type Err = BadMemberName;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bad = |fault| Err(BadMemberName { found: text.chars().take(120).collect(), fault });
        let allowed = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_');
        if text.is_empty() || MAX_BYTES < text.len() {
            return bad(NameFault::Length);
        }
        if !text.chars().all(allowed) {
            return bad(NameFault::Character);
        }
        if !text.starts_with(|c: char| c.is_ascii_alphanumeric()) || text.ends_with('.') {
            return bad(NameFault::Dots);
        }
        if is_device(text) { bad(NameFault::Device) } else { Ok(Self(text.to_owned())) }
    }
}

fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or_default().to_ascii_lowercase();
    let numbered = stem.strip_prefix("com").or_else(|| stem.strip_prefix("lpt"));
    DEVICES.contains(&stem.as_str())
        || numbered.is_some_and(|rest| rest.len() == 1 && rest.as_bytes()[0].is_ascii_digit())
}

/// Text that cannot be a member's name.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} cannot be the name of a file in a package: {fault}")]
pub struct BadMemberName {
    /// What was offered, at most 120 characters of it.
    pub found: String,
    /// What is wrong with it.
    pub fault: NameFault,
}

/// What is wrong with a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum NameFault {
    /// Empty or too long.
    #[error("it must have 1 to {MAX_BYTES} characters")]
    Length,
    /// A character that is none of those allowed, such as a slash.
    #[error("only letters, digits, dots, hyphens and underscores are allowed")]
    Character,
    /// It would be hidden, an option, or lose its end.
    #[error("it must begin with a letter or a digit and not end with a dot")]
    Dots,
    /// Windows would take it for a device.
    #[error("it is the name of a device on some systems")]
    Device,
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn names_that_lead_elsewhere_are_refused() {
        use NameFault::{Character, Device, Dots, Length};
        // Reserved device names: Microsoft, "Naming Files, Paths, and Namespaces".
        for (name, fault) in [
            ("", Length),
            (&"a".repeat(101), Length),
            ("..", Dots),
            (".", Dots),
            (".hidden", Dots),
            ("-rf", Dots),
            ("plan.", Dots),
            ("../plan.toml", Character),
            ("/etc/passwd", Character),
            ("a/b", Character),
            ("a\\b", Character),
            ("C:plan", Character),
            ("plan\0.toml", Character),
            ("plan ", Character),
            ("pl\u{e4}ne", Character),
            ("plan\u{202e}lmot", Character),
            ("NUL", Device),
            ("con.toml", Device),
            ("Com1.h5", Device),
            ("lpt9", Device),
        ] {
            let refused = name.parse::<MemberName>().unwrap_err();
            assert_eq!(refused.fault, fault, "{name:?}");
        }
    }

    #[test]
    fn ordinary_names_are_kept() {
        for name in ["plan.toml", "0198c0de.h5", "a", "com10", "console", &"a".repeat(100)] {
            assert_eq!(name.parse::<MemberName>().unwrap().as_str(), name);
        }
    }

    proptest! {
        #[test]
        fn an_accepted_name_is_one_ordinary_path_component(text in "\\PC{0,8}|[.a-z0-9/_-]{0,12}") {
            if let Ok(name) = text.parse::<MemberName>() {
                let path = std::path::Path::new(name.as_str());
                let components: Vec<_> = path.components().collect();
                prop_assert!(matches!(components[..], [std::path::Component::Normal(_)]));
                prop_assert_eq!(path.file_name(), Some(name.as_str().as_ref()));
            }
        }
    }
}
