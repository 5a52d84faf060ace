//! Enums whose values have a fixed key in files and commands.

use thiserror::Error;

/// A word that is none of the keys it should be one of.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a {what}; it is one of: {expected}")]
pub struct UnknownKey {
    /// What was being read, such as `"stance"`.
    pub what: &'static str,
    /// The word found.
    pub found: String,
    /// The words that would do, separated by commas.
    pub expected: String,
}

/// Defines an enum together with the one key of each value.
///
/// Gives `ALL` (in order of difficulty or of report), `key`, `Display` (the key) and `FromStr`, which
/// refuses another word with [`UnknownKey`] and the words that would do.
#[macro_export]
macro_rules! keyed_enum {
    (
        $(#[$meta:meta])*
        pub enum $name:ident ($what:literal) {
            $($(#[$variant_meta:meta])* $variant:ident = $key:literal,)+
        }
    ) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $($(#[$variant_meta])* $variant,)+
        }

        impl $name {
            /// Every value, in the order of its definition.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];

            /// The word for this value in files and commands.
            pub const fn key(self) -> &'static str {
                match self {
                    $(Self::$variant => $key,)+
                }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.key())
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::UnknownKey;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                match text {
                    $($key => Ok(Self::$variant),)+
                    _ => Err($crate::UnknownKey {
                        what: $what,
                        found: text.chars().take(40).collect(),
                        expected: [$($key,)+].join(", "),
                    }),
                }
            }
        }
    };
}
pub(crate) use keyed_enum;
