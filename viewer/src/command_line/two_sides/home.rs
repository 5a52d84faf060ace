//! `footing home` and `footing home-settings`.

use acquisition::home::{HomeSettings, LanguageKey};

use super::arguments::{HomeArguments, HomeSettingsArguments};
use crate::command_line::BoardChoice;
use crate::command_line::data_folder::DataFolder;
use crate::command_line::output;
use crate::command_line::problem::Problem;
use crate::home::{Practice, SessionClock, plain, window};
use crate::sound::Volume;

pub(super) fn run(arguments: &HomeArguments, data: &DataFolder) -> Result<(), Problem> {
    let clock = SessionClock::new(arguments.now);
    let practice =
        Practice::open(data.library(), data.records()?, arguments.person.as_ref(), clock.now())?;
    let choice = BoardChoice::new(arguments.port.as_deref(), arguments.ports_in.as_deref());
    let words = data.words(arguments.language)?;
    if arguments.plain {
        plain::run(practice, &choice, clock, words)
    } else {
        window::run(practice, choice, words)
    }
}

pub(super) fn settings(
    arguments: &HomeSettingsArguments,
    data: &DataFolder,
) -> Result<(), Problem> {
    let folder = data.library().folder();
    let mut settings = HomeSettings::load(folder)?;
    let given = [
        (&arguments.emergency_number, &mut settings.emergency_number),
        (&arguments.clinic_contact, &mut settings.clinic_contact),
        (&arguments.pad, &mut settings.pad),
    ];
    let mut is_changed = false;
    for (given, kept) in given {
        if let Some(given) = given {
            *kept = Some(given.clone());
            is_changed = true;
        }
    }
    if let Some(volume) = arguments.volume {
        settings.volume = Some(volume);
        is_changed = true;
    }
    if let Some(language) = arguments.language {
        settings.language = Some(language);
        is_changed = true;
    }
    if is_changed {
        settings.save(folder)?;
    }
    if arguments.language == Some(LanguageKey::German) {
        output::remark(
            "A native speaker with clinical knowledge must check the German words before they are \
             used with patients.",
        );
    }
    let shown = |text: &Option<String>| text.clone().unwrap_or_else(|| "not set".to_owned());
    output::result(&format!(
        "Emergency number: {}\nClinic: {}\nPad: {}\nVolume: {} of {}\nLanguage: {}",
        shown(&settings.emergency_number),
        shown(&settings.clinic_contact),
        shown(&settings.pad),
        Volume::of(&settings).step(),
        HomeSettings::LOUDEST,
        settings.language.map_or("not set", LanguageKey::key)
    ));
    Ok(())
}
