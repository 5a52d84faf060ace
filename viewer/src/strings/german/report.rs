//! The printed pages in German.

use acquisition::records::AffectedSide;
use analysis::QualityFlag;

use super::number::decimals;
use super::{counted, trials};
use crate::strings::report::{FactWords, ReportWords};

pub(super) const REPORT: ReportWords = ReportWords {
    language_tag: "de-DE",
    chart_title: |person| format!("Schwankung im Stand: {person}"),
    subtitle: |period, software| {
        if period.is_empty() { software.to_owned() } else { format!("{period} · {software}") }
    },
    board_head: "Wer und womit",
    results_head: "Ergebnisse",
    measure_head: "Messgröße",
    value_head: "Wert",
    interval_head: "95-%-Intervall",
    note_head: "Dazu",
    from_to: |low, high| format!("{low} bis {high}"),
    doubt: |doubt| format!("Vorbehalt: {doubt}"),
    no_value: "–",
    nothing_recorded: "Nichts aufgezeichnet",
    next_step_head: "Nächster Schritt, vom Programm vorgeschlagen",
    no_next_step: "Das Programm wurde nicht gefragt oder hat keinen Plan, nach dem es urteilt.",
    decision_head: "Entscheidung der Fachperson",
    decided_by: |author, date| format!("Entschieden von {author}, {date}"),
    no_decision: "Keine Entscheidung festgehalten.",
    sway_head: "Schwankungswege",
    sway_about: "Druckmittelpunkt (Centre of Pressure, CoP) um sein eigenes Mittel, von oben gesehen: \
                 oben ist vorn, rechts ist die rechte Seite der Person. Gestrichelt: \
                 95-%-Vorhersageellipsen. Alle Zeichnungen im selben Maßstab.",
    sway_axes: "quer ML, hoch AP; mm",
    paths_drawn: |drawn, all| {
        if drawn == all {
            trials(all)
        } else {
            format!("die letzten {drawn} von {}", counted(all, "Versuch", "Versuchen"))
        }
    },
    sway_alternative: |title, n_paths, reach_mm| {
        format!(
            "Schwankungswege mit 95-%-Vorhersageellipsen, {title}: {}, innerhalb von {} mm nach jeder \
             Seite.",
            trials(n_paths),
            decimals(reach_mm, 0)
        )
    },
    course_head: "Verlauf",
    course_alternative: |title, n_days, ends| {
        let values = format!("{title} über die Tage; {}.", counted(n_days, "Wert", "Werte"));
        match ends {
            [Some(first), Some(last)] => format!("{values} Erster {first}; letzter {last}."),
            _ => values,
        }
    },
    definitions_head: "Definitionen",
    measures_only: "Verglichen werden nur gemessene Versuche, aufgezeichnet ohne jede Rückmeldung. Die \
                    Grenzen des vorgeschlagenen Schritts sind die des Plans oder Vorgaben dieses \
                    Programms.",
    page_of: |page, n_pages| format!("Seite {page} von {n_pages}"),
    patient_title: |person| format!("Ihre Übungen, {person}"),
    your_next_head: "Wie es weitergeht",
    your_practice_head: "Was Sie getan haben",
    stand_head: "Wie Sie standen",
    done_head: "Getan",
    planned_head: "Geplant",
    stop_head: "Hören Sie auf und fragen Sie, wenn",
    contact: |contact| format!("Fragen Sie: {contact}"),
    emergency: |number| {
        format!("Rufen Sie im Notfall {number} an, sofort. Warten Sie nicht auf dieses Programm.")
    },
    facts: FACTS,
    period: |days, today| match days {
        None => format!("noch keine Versuche, Stand {today}"),
        Some([first, last]) if first == last => format!("Versuche vom {first}, Stand {today}"),
        Some([first, last]) => format!("Versuche vom {first} bis {last}, Stand {today}"),
    },
    basis: |n_trials, seconds, date, n_days| {
        let length = if seconds == "0" { String::new() } else { format!(" von {seconds} s") };
        let others = match n_days {
            0 | 1 => "dem bisher einzigen Tag hier".to_owned(),
            _ => format!("dem letzten von {n_days} Tagen hier"),
        };
        let n = counted(n_trials, "gemessener Versuch", "gemessene Versuche");
        format!("{n}{length} am {date}, {others}. Mittel des Tages und sein 95-%-Intervall.")
    },
    interval_of_table: "Intervall aus veröffentlichten Wiederholungen",
    chance_up_to: |ratio| format!("zufällig bis \u{d7}{ratio}"),
    change_of_course: |ratio, is_real| {
        let real = if is_real { "mehr als Zufall" } else { "im Bereich des Zufalls" };
        format!("Verlauf \u{d7}{ratio}, {real}")
    },
    vision_quotient: "Quotient Augen zu / auf",
    vision_quotient_of: "mittlere Geschwindigkeit, Augen zu / Augen auf, am selben Tag",
    flag,
    not_opened: |n| match n {
        1 => "1 Versuchsdatei dieses Tages ließ sich nicht öffnen".to_owned(),
        n => format!("{n} Versuchsdateien dieses Tages ließen sich nicht öffnen"),
    },
    not_beside: |why| format!("ein Versuch dieses Tages bleibt außen vor: {why}"),
    step_at: |headline, condition| format!("{headline} Beurteilt bei: {condition}."),
    left_out: |line| format!("Nicht berücksichtigt: {line}."),
    go_on_with: |condition, advice| {
        format!("Weiter mit: {condition}. Die Empfehlung war: {advice}.")
    },
    wobble_course: |condition| format!("Wackeln, {condition}"),
    difficulty_course: "Empfundene Schwierigkeit, 0 sehr leicht bis 10 unmöglich",
    pain_course: "Stärkster Schmerz einer Sitzung, 0 bis 10",
    about_definitions: &[
        "Alle Messgrößen: Druckmittelpunkt in der Ebene der Platte, Tiefpass 10 Hz vorwärts und \
         rückwärts, die ersten 5 s weggelassen. ML ist quer, AP in der Richtung, in die die Person \
         blickt. Versuche eines Tages sind auf der logarithmischen Skala gemittelt, Anteile so, wie \
         sie sind.",
        "Das Wackelfenster ist übliche Praxis im Fach, ohne veröffentlichte Quelle. Intervalle gelten \
         für einen Tag: Zwischen Tagen sind sie breiter. Zufällig: worin sich Wiederholungen einer \
         Person unterscheiden (veröffentlicht). Verlauf: die letzten Tage durch die ersten, gemessen \
         daran, wie Tage sich unterscheiden.",
    ],
    about_picture: "Das Bild zeigt Ihr Wackeln, Tag für Tag. Das helle Band ist der nützliche Bereich.",
    stop_when: |points| {
        let rise = if points == "1" { "1 Punkt".to_owned() } else { format!("{points} Punkte") };
        vec![
            format!("Ihr Schmerz um {rise} oder mehr steigt, dabei oder am nächsten Morgen"),
            "Schmerz weiter das Bein hinunterzieht, oder Taubheit oder Schwäche neu ist".to_owned(),
            "Sie stürzen, Ihnen schwindlig oder schwarz vor Augen wird oder Sie sich nicht mehr \
             festhalten können"
                .to_owned(),
            "Sie Mühe haben, Wasser zu lassen oder den Stuhl zu halten, sich das Gesäß, der Bereich \
             zwischen den Beinen oder die Innenseiten der Oberschenkel taub anfühlen oder Ihre Beine \
             schwächer werden: Das ist ein Notfall, wählen Sie sofort den Notruf"
                .to_owned(),
        ]
    },
    you_go_on_with: |condition, date| {
        format!("Ihre Praxis hat am {date} entschieden, womit es weitergeht: {condition}.")
    },
    on_days: |n| format!("an {}", counted(n, "Tag", "Tagen")),
    planned_dose: |sessions, holds, seconds| {
        let a_day = match sessions {
            1 => "einmal am Tag".to_owned(),
            2 => "zweimal am Tag".to_owned(),
            _ => format!("{sessions}-mal am Tag"),
        };
        format!("{a_day}, {holds} \u{d7} {seconds} s")
    },
};

const FACTS: FactWords = FactWords {
    person: "Person",
    board: "Board",
    calibration: "Kalibrierung",
    noise: "Rauschen des Boards",
    plane: "Ebene der Zahlen",
    plan: "Plan",
    no_trial: "noch kein Versuch",
    born: |year| format!("geboren {year}"),
    side: |side| match side {
        AffectedSide::None => "Beschwerden auf keiner Seite",
        AffectedSide::Left => "Beschwerden links",
        AffectedSide::Right => "Beschwerden rechts",
        AffectedSide::Both => "Beschwerden auf beiden Seiten",
    },
    imported: |plate, file| format!("{plate}; letzter Versuch eingelesen aus {file}"),
    foreign_calibration: "die eigene jener Platte; dieses Programm kennt sie nicht",
    own_board: |id, firmware| format!("{id}, Firmware {firmware}"),
    nominal_calibration: "nie kalibriert: Kräfte nach den Zahlen des Entwurfs, nicht zum Vergleich mit \
                          einem anderen Board",
    fitted_calibration: |version, made, largest_mm| {
        let places =
            largest_mm.map(|mm| format!("; Orte um höchstens {mm} mm ungenau")).unwrap_or_default();
        format!("Version {version} vom {made}, mit bekannter Masse{places}")
    },
    newer_calibration: |version| {
        format!("Version {version} ist neuer und wurde für den letzten Versuch nicht benutzt")
    },
    no_dead_weight: "noch keine Kontrolle mit Prüfgewicht",
    dead_weight: |rate, newtons| {
        format!("{rate} mm/s Weg unter {newtons} N, letzte Kontrolle mit Prüfgewicht")
    },
    plate_plane: |height| match height {
        Some(mm) => format!("Messzellen; die Sohle stand {mm} mm höher"),
        None => "Messzellen; Höhe der Sohle nicht festgehalten".to_owned(),
    },
    plan_made: |version, author, date| format!("Version {version}, von {author} am {date}"),
};

const fn flag(flag: QualityFlag) -> &'static str {
    match flag {
        QualityFlag::NotMeasurable => "zu viel fehlt, nichts ist gemessen",
        QualityFlag::LostSamples => "mehr Werte fehlen, als ein Board verlieren darf",
        QualityFlag::Split => "eine Lücke teilt die Aufzeichnung, ihr längster Teil ist gemessen",
        QualityFlag::Saturated => "einige Zählwerte waren am Ende des Bereichs",
        QualityFlag::LowLoad => "in einigen Werten war die Last zu gering",
        QualityFlag::StepOff => "die Person stieg ab",
        QualityFlag::SupportUsed => "die Last fiel: Eine Hand nahm Gewicht ab",
        QualityFlag::LoadAdded => "die Last stieg währenddessen",
        QualityFlag::FootShift => "ein Fuß wurde umgesetzt",
        QualityFlag::NoisyBoard => {
            "das Rauschen des Boards macht mehr als ein Zehntel des Wegs aus"
        }
        QualityFlag::TooNoisy => "zu verrauscht, um zu zählen",
        QualityFlag::ZeroMoved => "das leere Board zeigte danach einen anderen Wert",
        QualityFlag::ZeroLost => {
            "der Nullpunkt hat sich zu weit verschoben: Der Versuch zählt nicht"
        }
    }
}
