//! English.

use crate::strings::language::{ChoiceWords, CommonWords, HomeWords, Language};

/// The words in English.
pub static ENGLISH: Language = Language {
    common: CommonWords {
        program: "Footing",
        caution: "Not a diagnosis and not a substitute for the treating licensed clinician; \
                  local rules come first.",
        to_light: "Light",
        to_dark: "Dark",
        dismiss: "Close this message",
        reading: "Reading",
    },
    home: HomeWords {
        tab: "Start",
        purpose: "How steady is this stand, and has it changed?",
        simulated: ChoiceWords {
            name: "Simulated board",
            about: "Try everything without a board: a virtual person stands on a virtual board. \
                    In a terminal, from the program's folder:",
            command: Some("./demo"),
        },
        real: ChoiceWords {
            name: "Real board",
            about: "Plug the board in, then record a stand from a terminal. The stand appears \
                    in the list of trials:",
            command: Some("footing record --help"),
        },
        open: ChoiceWords {
            name: "Open recordings",
            about: "A trial file, or a folder of them. You can also drop files on this window.",
            command: None,
        },
        path_label: "File or folder",
        path_hint: "/home/me/stands",
        open_button: "Open",
    },
};
