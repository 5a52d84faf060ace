//! What a person reads when a picture was saved, or not.

use std::path::Path;

use crate::picture::PictureError;
use crate::strings::message::{Message, with_causes};

/// The message for a picture that is saved.
pub(crate) fn saved(path: &Path) -> Message {
    Message {
        what: "The picture is saved.".to_owned(),
        why: format!("It shows the paths that are drawn here. File: {}", path.display()),
        what_to_do: "Save it under another name to keep both.".to_owned(),
    }
}

/// The message for a picture that is not saved.
pub(crate) fn failed(error: &PictureError) -> Message {
    let what_to_do = match error {
        PictureError::UnknownEnding { .. } => "Give the file a name that ends in .svg or .png.",
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
