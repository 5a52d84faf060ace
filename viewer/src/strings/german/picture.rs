//! Pictures in German: what stands in them, and what a person reads when one was saved, or not.

use std::path::Path;

use super::cause::technical;
use crate::picture::PictureError;
use crate::strings::message::Message;
use crate::strings::picture::PictureWords;

pub(super) const PICTURE: PictureWords = PictureWords {
    label: "Bilddatei (.svg oder .png)",
    save: "Bild speichern",
    differences_label: "Bild der Unterschiede",
    save_differences: "Unterschiede speichern",
    already_there: |path| {
        format!("Eine Datei dieses Namens gibt es schon: {}. Ersetzen?", path.display())
    },
    replace: "Datei ersetzen",
    keep: "Datei behalten",
    paths: "Schwankungswege",
    over_time: "Druckmittelpunkt über der Zeit",
    spectra: "Leistung der Schwankung über der Frequenz",
    differences: "Unterschiede zweier Gruppen",
    set: |letter, what| format!("{letter}: {what}"),
    paths_note: "Jeder Weg um sein eigenes Mittel, mit seiner 95-%-Vorhersageellipse.",
    differences_key: ["B / A", "95-%-Intervall", "Änderungen, die Wiederholungen zufällig zeigen"],
    from_table: "* Intervall aus veröffentlichten Wiederholungen, weil Versuche fehlen",
    differences_axis: |change| format!("{change}, auf logarithmischer Skala"),
    difference: |change, interval, verdict| {
        format!("{change} ({interval}); mehr als Zufall: {verdict}")
    },
    wobble_of_day: "Wackeln eines Tages",
    dates: "Datum",
    stand: |person| format!("{person}: Wackeln am Ende eines geführten Stands"),
    before_end: "Zeit vor dem Ende des Stands, s",
    saved,
    failed,
};

fn saved(path: &Path) -> Message {
    Message {
        what: "Das Bild ist gespeichert.".to_owned(),
        why: format!("Es zeigt, was hier gezeichnet ist. Datei: {}", path.display()),
        what_to_do: "Speichern Sie es unter einem anderen Namen, um beide zu behalten.".to_owned(),
    }
}

fn failed(error: &PictureError) -> Message {
    let what_to_do = match error {
        PictureError::UnknownEnding { .. } => {
            "Geben Sie der Datei einen Namen, der auf .svg oder .png endet."
        }
        PictureError::AlreadyThere { .. } => {
            "Wählen Sie einen anderen Namen, oder sagen Sie, dass die Datei ersetzt werden soll."
        }
        PictureError::Write { .. } => {
            "Wählen Sie einen Ordner, in den Sie schreiben dürfen, und prüfen Sie dessen Laufwerk."
        }
        PictureError::Draw(_) | PictureError::Size { .. } | PictureError::Encode { .. } => {
            "Speichern Sie es stattdessen als .svg, und melden Sie das bitte."
        }
    };
    Message {
        what: "Das Bild wurde nicht gespeichert.".to_owned(),
        why: technical(error),
        what_to_do: what_to_do.to_owned(),
    }
}
