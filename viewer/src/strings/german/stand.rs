//! Standing, in German.

use acquisition::{Ending, Stage, ZeroTrouble};
use analysis::{Facing, MM_PER_INCH, Pull, QualityFlag};

use super::number::{decimals, significant};
use crate::sound::{Position, WobbleZone};
use crate::strings::stand::StandWords;

/// The screen on which somebody stands.
pub(super) const STAND: StandWords = StandWords {
    tab: "Stehen",
    nobody_chosen: "Wählen Sie eine Person, die stehen soll",
    title: |person| format!("{person} auf dem Board"),
    before_head: "Vor dem ersten Stand fragen",
    pain_now: "Schmerz jetzt, 0 bis 10",
    signs: [
        "Etwas Neues: Wasserlassen oder Stuhlgang gestört, Taubheit am Gesäß oder zwischen den \
         Beinen, schwache Beine?",
        "Ein Sturz seit dem letzten Mal?",
        "Beinschmerz weiter unten als vorher?",
        "Neue Taubheit oder Schwäche?",
    ],
    yes_no: ["Ja", "Nein"],
    answer: |question, answer| format!("{question} {answer}"),
    body: ["Größe, m", "Gewicht, kg"],
    begin_session: "Sitzung beginnen",
    bad_number: |field| format!("{field}: keine Zahl, die hier möglich ist"),
    stop_answered: "Stopp. Kein Stand, bis Sie angesehen haben, was geantwortet wurde. Störungen beim \
                    Wasserlassen oder Stuhlgang, Taubheit am Gesäß oder zwischen den Beinen oder \
                    zunehmende Schwäche der Beine sind ein Notfall: Rufen Sie jetzt die örtliche \
                    Notrufnummer an.",
    stop_latched: "Stopp und Überprüfung: Eine frühere Sitzung verlangt zuerst Ihre Entscheidung, auf \
                   der Seite „Verlauf“.",
    too_much_pain: "Kein Stand: Der Schmerz liegt über der Grenze, die der Plan setzt.",
    session_since: |time| format!("Sitzung seit {time}"),
    condition_field: "Bedingung",
    no_plan: "Noch kein Plan: Das sind übliche Bedingungen. Einen Plan machen Sie auf der Seite \
              „Plan“",
    errand_field: "Wofür?",
    errands: [
        "Gemessen",
        "Geführtes Halten",
        "Eingewöhnung",
        "Neutraler Bezug",
        "Fußstellung finden",
    ],
    errands_about: [
        "Nur Anfang und Ende sind zu sehen und zu hören: Nur das wird verglichen oder beurteilt",
        "Mit laufenden Hinweisen; dient dem Üben und wird nicht beurteilt",
        "Um sich an die Bedingung zu gewöhnen; nicht gewertet",
        "15 s, mit Band, wenn es eins gibt: wo das Gewicht liegt, nicht die Form der Wirbelsäule",
        "Kurz halten, von leicht bis schwer, bis das Wackeln im Fenster liegt",
    ],
    board_field: "Board",
    boards: ["das angeschlossene", "an einer Adresse", "simuliert"],
    simulated_about: "Eine virtuelle Person steht auf einem virtuellen Board. Was aufgezeichnet wird, \
                      bleibt unter diesem Kürzel wie jeder andere Stand",
    address_field: "Adresse des Boards",
    seconds_fields: ["Sekunden", "Vorher stehen, s"],
    sole_field: "Sohle über den Messzellen, mm",
    pull_field: "Das Band zieht",
    pull: |pull| match pull {
        Pull::Left => "nach links",
        Pull::Right => "nach rechts",
        Pull::Forward => "nach vorn",
        Pull::Backward => "nach hinten",
    },
    facing_field: "Die Person blickt",
    facing: |facing| match facing {
        Facing::Front => "zur Vorderseite des Boards",
        Facing::Back => "zur Rückseite des Boards",
        Facing::Left => "zur linken Seite des Boards",
        Facing::Right => "zur rechten Seite des Boards",
    },
    outlines_field: "Die Füße stehen auf ihren Umrissen und bleiben in dieser Sitzung dort",
    sound_head: "Tonprobe vor dem Schließen der Augen",
    play_notes: "Die fünf Töne spielen",
    notes_heard: "Die Person hat alle fünf gehört",
    not_heard: "Die Augen erst schließen, wenn die Person in dieser Sitzung die fünf Töne gehört hat",
    only_open: |why| format!("Kein Ton ({why}): Nur Bedingungen mit offenen Augen sind möglich"),
    position: |position| match position {
        Position::Unknown => "Position: noch nicht bekannt",
        Position::Held => "Position gehalten",
        Position::Lost => "Position verloren: zurück zur Mitte",
    },
    start: "Stand beginnen",
    start_key: "oder F5 drücken",
    stop: "Stand beenden",
    stop_key: "oder Esc drücken",
    somebody: |now| format!("Jemand steht: {now}"),
    to_the_stand: "Stand zeigen",
    same_person: ["Es ist dieselbe Person", "Es ist jemand anderes"],
    connecting: "Das Board wird gesucht",
    keeping: "Aufgezeichnet. Es wird abgelegt",
    stage,
    seconds_left: |seconds| format!("noch {} s", decimals(seconds, 0)),
    load: |kg| format!("{} kg", decimals(kg, 1)),
    wobble_head: "Wackeln der letzten 5 s",
    zone: |zone| match zone {
        WobbleZone::Unknown => "noch nicht bekannt",
        WobbleZone::Under => "zu wenig",
        WobbleZone::Inside => "im Fenster",
        WobbleZone::Over => "zu viel",
    },
    nothing_shown: "Mehr wird nicht gezeigt: Wer sein Schwanken sieht, verändert es",
    strip_about: "Wackeln der letzten 30 Sekunden, gegen sein Fenster",
    strip_time: ["vor 30 s", "jetzt"],
    wobble: |mm| format!("{} mm ({} in)", significant(mm, 3), decimals(mm / MM_PER_INCH, 2)),
    no_wobble: |why| format!("Wackeln nicht gemessen: {why}"),
    result_head: "Der letzte Stand",
    kept: |n| format!("gespeichert, {n} Werte"),
    no_doubt: "Gegen die Aufzeichnung ist nichts einzuwenden",
    flag,
    difficulty: "Wie schwer war es, 0 sehr leicht bis 10 unmöglich?",
    touched: "Etwas berührt?",
    answered: "Antworten gespeichert",
    reference_taken: "Das ist der neutrale Bezug dieser Sitzung. Die Füße bleiben, wo sie sind",
    find_next: |name| format!("Zu wenig Wackeln. Als Nächstes: {name}"),
    find_found: |name| format!("Gefunden: Das Wackeln liegt im Fenster ({name})"),
    find_ended: [
        "Schon zu viel Wackeln: zurück zur Bedingung davor",
        "Beendet: Der Stand wurde nicht ohne Hilfe bis zum Ende gehalten",
        "Hier gibt es nichts Schwereres mehr",
    ],
    make_start: "Als Planbeginn setzen (F6)",
    end_head: "Am Ende der Sitzung",
    end_pains: ["Stärkster Schmerz im Stehen, 0 bis 10", "Schmerz am Ende, 0 bis 10"],
    end_session: "Sitzung beenden",
    no_sound: |why| format!("Kein Ton ({why}): Sagen Sie Anfang und Ende an"),
    author_field: "Plan erstellt von",
};

fn stage(stage: &Stage) -> String {
    match stage {
        Stage::Zeroing { trouble: None } => "Bleiben Sie vom Board weg".to_owned(),
        Stage::Zeroing { trouble: Some(ZeroTrouble::Loaded { load_newtons }) } => {
            format!("Räumen Sie das Board frei: Es trägt {} N", decimals(*load_newtons, 0))
        }
        Stage::Zeroing { trouble: Some(ZeroTrouble::Unrest { .. }) } => {
            "Lassen Sie das Board in Ruhe: Es ist noch nicht ruhig".to_owned()
        }
        Stage::AwaitingLoad => "Steigen Sie auf".to_owned(),
        Stage::AwaitingStillness => "Stehen Sie still".to_owned(),
        Stage::ConfirmingPerson { measured_kg, recorded_kg } => format!(
            "Das Board zeigt {} kg, eingetragen sind {} kg. Ist es dieselbe Person?",
            decimals(*measured_kg, 1),
            decimals(*recorded_kg, 1)
        ),
        Stage::Settling => "Stehen Sie still, es beginnt gleich".to_owned(),
        Stage::Recording => "Bleiben Sie stehen".to_owned(),
        Stage::Ended(Ending::HoldReached) => "Fertig. Steigen Sie ab".to_owned(),
        Stage::Ended(Ending::StepOff) => "Abgestiegen".to_owned(),
        Stage::Ended(Ending::Stopped | Ending::StoppedByRule) => {
            "Abgebrochen. Steigen Sie ab".to_owned()
        }
        Stage::Ended(Ending::BoardLost | Ending::Recovered) => "Das Board ist weg".to_owned(),
    }
}

const fn flag(flag: QualityFlag) -> &'static str {
    match flag {
        QualityFlag::NotMeasurable => "zu viel fehlt, um es zu messen",
        QualityFlag::LostSamples => "Werte fehlen",
        QualityFlag::Split => "eine Lücke teilt es; der längste Teil wurde gemessen",
        QualityFlag::Saturated => "eine Messzelle war am Ende ihres Bereichs",
        QualityFlag::LowLoad => "die Last war zeitweise zu gering",
        QualityFlag::StepOff => "abgestiegen",
        QualityFlag::SupportUsed => "eine Hand nahm Gewicht ab",
        QualityFlag::LoadAdded => "Gewicht kam hinzu",
        QualityFlag::FootShift => "ein Fuß wurde versetzt",
        QualityFlag::NoisyBoard => "das Rauschen des Boards steckt darin",
        QualityFlag::TooNoisy => "das Rauschen des Boards hat einen zu großen Anteil",
        QualityFlag::ZeroMoved => "das leere Board zeigt einen anderen Wert als vorher",
        QualityFlag::ZeroLost => "der Nullpunkt hat sich zu weit verschoben",
    }
}
