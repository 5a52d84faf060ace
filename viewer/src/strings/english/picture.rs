//! Pictures in English: what stands in them, and what a person reads when one was saved, or not.

use std::path::Path;

use crate::picture::PictureError;
use crate::strings::message::{Message, with_causes};
use crate::strings::picture::PictureWords;

pub(crate) const PICTURE: PictureWords = PictureWords {
    label: "Picture file (.svg or .png)",
    save: "Save picture",
    differences_label: "Picture of the differences",
    save_differences: "Save differences",
    already_there: |path| {
        format!("There is a file of this name already: {}. Replace it?", path.display())
    },
    replace: "Replace the file",
    keep: "Keep the file",
    paths: "Sway paths",
    over_time: "Centre of pressure over time",
    spectra: "Power of the sway over frequency",
    differences: "Differences of two sets",
    set: |letter, what| format!("{letter}: {what}"),
    paths_note: "Each path around its own mean, with its 95 % prediction ellipse.",
    differences_key: ["B / A", "95 % interval", "changes that repeats show by chance"],
    from_table: "* interval from published repeats, for want of trials",
    differences_axis: |change| format!("{change}, on a logarithmic scale"),
    difference: |change, interval, verdict| {
        format!("{change} ({interval}); beyond chance: {verdict}")
    },
    wobble_of_day: "wobble of a day",
    dates: "date",
    stand: |person| format!("{person}: wobble at the end of a guided stand"),
    before_end: "time before the end of the stand, s",
    saved,
    failed,
};

fn saved(path: &Path) -> Message {
    Message {
        what: "The picture is saved.".to_owned(),
        why: format!("It shows what is drawn here. File: {}", path.display()),
        what_to_do: "Save it under another name to keep both.".to_owned(),
    }
}

fn failed(error: &PictureError) -> Message {
    let what_to_do = match error {
        PictureError::UnknownEnding { .. } => "Give the file a name that ends in .svg or .png.",
        PictureError::AlreadyThere { .. } => {
            "Choose another name, or say that the file is to be replaced."
        }
        PictureError::Write { .. } => "Choose a folder you may write to, and check its disk.",
        PictureError::Draw(_) | PictureError::Size { .. } | PictureError::Encode { .. } => {
            "Save it as .svg instead, and please report this."
        }
    };
    Message {
        what: "The picture was not saved.".to_owned(),
        why: format!("{}.", with_causes(error)),
        what_to_do: what_to_do.to_owned(),
    }
}
