//! The comparison in German.

use super::number::{decimals, significant};
use crate::strings::language::CompareWords;

pub(super) const COMPARE: CompareWords = CompareWords {
    tab: "Vergleich",
    nothing_yet: "Noch werden keine zwei Gruppen verglichen",
    choose_sets: "Zwei Gruppen wählen",
    path_tab: "Weg",
    time_tab: "Zeitverlauf",
    spectrum_tab: "Frequenz",
    path_about: "Schwankungswege beider Gruppen, jeder um sein eigenes Mittel, mit \
                 95-%-Vorhersageellipsen; A mit durchgezogenem, B mit gestricheltem Umriss. Die \
                 Zahlen stehen in der Tabelle.",
    time_about: "der Druckmittelpunkt beider Gruppen über der Zeit; A durchgezogen, B gestrichelt.",
    spectrum_about: "die Leistung der Schwankung beider Gruppen über der Frequenz; A durchgezogen, B \
                     gestrichelt.",
    ml_axis: "medio-lateral, mm (rechts ist positiv)",
    ap_axis: "antero-posterior, mm (vorn ist positiv)",
    time_axis: "Zeit, s",
    frequency_axis: "Frequenz, Hz (gezeichnet bis 2)",
    position_axes: ["medio-lateral, mm", "antero-posterior, mm"],
    power_axes: ["medio-lateral, mm\u{b2}/Hz", "antero-posterior, mm\u{b2}/Hz"],
    hover_path,
    hover_line,
    decimals,
    zoom_note: "Zoom: + und \u{2212}, 0 für alles, oder Strg und Mausrad. Ziehen verschiebt.",
    dense_note: "So weit weg sind beide Linien durchgezogen; B ist die dünne.",
    all_trials: "alle",
    every_trial: |letter| format!("Jeden Versuch der Gruppe {letter} zeichnen"),
    only_trial: |letter, n| format!("Nur Versuch {n} der Gruppe {letter} zeichnen"),
    mean: "mittlerer Ort",
    trial_of_set: |letter, n| format!("{letter}, Versuch {n}"),
    doubt_of_trial: |n, doubt| format!("Versuch {n}: {doubt}"),
    doubt: |doubt| format!("Vorbehalt: {doubt}"),
    measure_head: "Messgröße",
    change_head: "Änderung, B / A",
    vision_quotient_head: "Quotient Augen zu / auf",
    ratio: |ratio| format!("\u{d7}{}", significant(ratio, 3)),
    interval: |low, high, from_table| {
        format!("{low} bis {high}{}", if from_table { " *" } else { "" })
    },
    no_interval: "kein Intervall",
    no_value: "keiner",
    verdict_exceeds: "ja",
    verdict_within: "nein",
    verdict_unknown: "nicht bekannt",
    detectable_from: |ratio| format!("ab \u{d7}{}", significant(ratio, 3)),
    detectable_unknown: "",
    verdict_head: "mehr als Zufall?",
    no_change: "nicht verglichen",
    strip_about: |name, change, interval, verdict| {
        format!("{name}: {change}, 95-%-Intervall {interval}; {verdict}")
    },
    band_note: "Streifen: mittlere Linie, keine Änderung; Raute, B / A; Balken, 95-%-Intervall; Band, \
                Änderungen, die Wiederholungen einer Person zufällig zeigen (kleinste nachweisbare \
                Änderung). * Intervall aus veröffentlichten Wiederholungen, weil Versuche fehlen.",
    all_measures: "Alle Messgrößen zeigen",
    fewer_measures: "Nur führende Messgrößen",
};

fn hover_path(name: &str, ml_mm: f64, ap_mm: f64) -> String {
    let across = if ml_mm < 0.0 { "links" } else { "rechts" };
    let along = if ap_mm < 0.0 { "hinten" } else { "vorn" };
    format!(
        "{}\n{} mm {across}\n{} mm {along}",
        name.trim(),
        decimals(ml_mm.abs(), 1),
        decimals(ap_mm.abs(), 1)
    )
}

fn hover_line(name: &str, across: &str, x: f64, upward: &str, y: f64) -> String {
    format!("{}\n{across}: {}\n{upward}: {}", name.trim(), decimals(x, 2), significant(y, 3))
}
