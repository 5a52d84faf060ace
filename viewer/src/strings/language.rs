//! What a language must have words for.

/// The words of one language.
#[derive(Debug)]
pub struct Language {
    /// Words of more than one screen.
    pub common: CommonWords,
    /// Words of the first screen.
    pub home: HomeWords,
}

/// Words of more than one screen.
#[derive(Debug)]
pub struct CommonWords {
    /// Name of the program.
    pub program: &'static str,
    /// Sentence about what this is not, shown before anything is measured.
    pub caution: &'static str,
    /// Button that switches to light colours.
    pub to_light: &'static str,
    /// Button that switches to dark colours.
    pub to_dark: &'static str,
    /// Button that takes a message away.
    pub dismiss: &'static str,
    /// Shown while a file is being read.
    pub reading: &'static str,
}

/// Words of the first screen.
#[derive(Debug)]
pub struct HomeWords {
    /// Name of the screen where the program's screens are listed.
    pub tab: &'static str,
    /// What the program is for, in one line.
    pub purpose: &'static str,
    /// Choice: try without a board.
    pub simulated: ChoiceWords,
    /// Choice: measure.
    pub real: ChoiceWords,
    /// Choice: look at what was recorded.
    pub open: ChoiceWords,
    /// Name of the field for a file or folder.
    pub path_label: &'static str,
    /// What to type in the field, shown while it is empty.
    pub path_hint: &'static str,
    /// Button that opens what the field names.
    pub open_button: &'static str,
}

/// One of the three ways to begin.
#[derive(Debug)]
pub struct ChoiceWords {
    /// Name of the choice.
    pub name: &'static str,
    /// What it does, in one or two sentences.
    pub about: &'static str,
    /// Command to type, if that is how it is done.
    pub command: Option<&'static str>,
}
