//! What a person reads when the records refuse, in German.

use acquisition::home::BadHomeSettings;
use acquisition::records::{OpenRecordsError, RecordsError};
use analysis::readiness::NotInPlan;

use super::cause::technical;
use super::condition::condition;
use super::quoted;
use crate::strings::clinic::ClinicMessages;
use crate::strings::message::Message;

/// Messages of the clinic's screens.
pub(super) const MESSAGES: ClinicMessages = ClinicMessages {
    not_opened: |error| Message {
        what: "Die Unterlagen lassen sich nicht öffnen.".to_owned(),
        why: technical(error),
        what_to_do: open_advice(error).to_owned(),
    },
    not_taken_in: |path, error, n_more| Message {
        what: match n_more {
            0 => "Eine Datei unter Ihren Versuchen ist nicht in den Unterlagen.".to_owned(),
            n_more => format!(
                "{} Dateien unter Ihren Versuchen sind nicht in den Unterlagen.",
                n_more + 1
            ),
        },
        why: format!(
            "{} {}: {}",
            technical(error),
            if n_more == 0 { "Datei" } else { "Die erste davon" },
            path.display()
        ),
        what_to_do: "Sie wurde gelassen, wie sie ist, und ihre Zahlen werden nirgends verwendet. \
                     Legen Sie eine heile Kopie an ihre Stelle, oder nehmen Sie sie aus dem Ordner."
            .to_owned(),
    },
    not_up_to_date: |error| Message {
        what: "In den Unterlagen fehlen vielleicht die neuesten Versuche.".to_owned(),
        why: technical(error),
        what_to_do: "Nichts ist verloren: Der nächste Start versucht es noch einmal. `footing \
                     verify` sagt, was fehlt."
            .to_owned(),
    },
    refused: |error| Message {
        what: "Die Unterlagen nehmen das nicht an; nichts wurde geändert.".to_owned(),
        why: refused_why(error),
        what_to_do: refused_advice(error).to_owned(),
    },
    bad_code: |error| Message {
        what: "Niemand wurde angelegt.".to_owned(),
        why: format!(
            "{} ist kein Kürzel einer Person: 1 bis 32 Buchstaben, Ziffern, Bindestriche oder \
             Unterstriche.",
            quoted(&error.found)
        ),
        what_to_do: "Geben Sie ein Kürzel wie P-07 ein; ein Name kann daneben festgehalten werden."
            .to_owned(),
    },
    taken: |person| Message {
        what: "Niemand wurde angelegt.".to_owned(),
        why: format!("{person} steht schon in den Unterlagen."),
        what_to_do: "Wählen Sie ein anderes Kürzel, oder öffnen Sie den Verlauf dieser Person."
            .to_owned(),
    },
    gone: |person| Message {
        what: format!("{person} steht nicht mehr in den Unterlagen."),
        why: "Die Person wurde gelöscht, oder ein anderer Datenordner ist offen.".to_owned(),
        what_to_do: "Gehen Sie zurück zur Liste der Personen.".to_owned(),
    },
    not_in_plan: |error| Message {
        what: "Die Entscheidung wurde nicht gespeichert.".to_owned(),
        why: match error {
            NotInPlan::Empty => "Der Plan hat keine Bedingung.".to_owned(),
            NotInPlan::Condition { condition: missing } => {
                format!("Diese Bedingung steht nicht im Plan: {}.", condition(missing))
            }
        },
        what_to_do:
            "Wählen Sie eine Bedingung des Plans, oder nehmen Sie sie erst in den Plan auf."
                .to_owned(),
    },
    needs_plan: |person| Message {
        what: "Die Entscheidung wurde nicht gespeichert.".to_owned(),
        why: format!("{person} hat keinen Plan."),
        what_to_do: "Machen Sie auf der Seite „Plan“ einen Plan, und entscheiden Sie dann."
            .to_owned(),
    },
};

/// The message for settings that could not be remembered.
pub(super) fn settings_not_kept(error: &BadHomeSettings) -> Message {
    Message {
        what: "Die Wahl gilt jetzt, wird aber nicht gespeichert.".to_owned(),
        why: technical(error),
        what_to_do: "Stellen Sie es mit `footing home-settings` neu ein.".to_owned(),
    }
}

const fn open_advice(error: &OpenRecordsError) -> &'static str {
    match error {
        OpenRecordsError::RebuildFirst => {
            "Schließen Sie das Fenster, falls es offen ist, und rufen Sie `footing rebuild` auf: Es \
             macht die Unterlagen aus den Dateien neu."
        }
        OpenRecordsError::NotADatabase | OpenRecordsError::Migrate(_) => {
            "Die Datei bleibt, wie sie ist. Holen Sie sie aus einem Backup zurück, oder rufen Sie \
             `footing rebuild` auf."
        }
        OpenRecordsError::File { .. } | OpenRecordsError::Sqlite(_) => {
            "Prüfen Sie, ob Sie in den Datenordner schreiben dürfen und sein Laufwerk nicht voll ist."
        }
    }
}

fn refused_why(error: &RecordsError) -> String {
    match error {
        RecordsError::UnknownPerson { .. } => {
            "Diese Person steht nicht in den Unterlagen.".to_owned()
        }
        RecordsError::OtherPerson { .. } => "Das gehört zu einer anderen Person.".to_owned(),
        RecordsError::PlanVersion { .. } => {
            "Inzwischen gibt es eine andere Version des Plans.".to_owned()
        }
        RecordsError::ClinicOnly => "Dieser Datenordner gehört zum Üben zu Hause; Pläne und \
                                     Entscheidungen kommen aus der Praxis."
            .to_owned(),
        RecordsError::Plan(_)
        | RecordsError::Keys(_)
        | RecordsError::Sqlite(_)
        | RecordsError::PersonFile(_)
        | RecordsError::Export { .. } => technical(error),
    }
}

const fn refused_advice(error: &RecordsError) -> &'static str {
    match error {
        RecordsError::UnknownPerson { .. } | RecordsError::OtherPerson { .. } => {
            "Gehen Sie zurück zur Liste der Personen, und wählen Sie noch einmal."
        }
        RecordsError::Plan(_) => "Verbessern Sie den Plan, und speichern Sie ihn dann noch einmal.",
        RecordsError::PlanVersion { .. } => {
            "Jemand hat inzwischen eine andere Version gespeichert: Sehen Sie sie zuerst an, und \
             machen Sie es dann noch einmal."
        }
        RecordsError::ClinicOnly => {
            "Fragen Sie die Praxis: Sie schickt Pläne und Entscheidungen als versiegelte Datei für \
             `footing take`."
        }
        RecordsError::Sqlite(_)
        | RecordsError::PersonFile(_)
        | RecordsError::Keys(_)
        | RecordsError::Export { .. } => {
            "Prüfen Sie, ob das Laufwerk nicht voll ist, und machen Sie es dann noch einmal."
        }
    }
}
