//! Definitions of the measures in German, word by word those of the table of measures.

use analysis::MeasureDef;

/// Definition of a measure in a line; that of the table where there are no German words.
pub(super) fn definition(measure: &MeasureDef) -> &'static str {
    match measure.key {
        "duration_s" => "Zeit vom ersten gemessenen Wert bis zum letzten, (N - 1) / Rate",
        "path_length" => "Summe der Abstände von Wert zu Wert",
        "path_length_ml" => "Summe der medio-lateralen Schritte ohne Vorzeichen",
        "path_length_ap" => "Summe der antero-posterioren Schritte ohne Vorzeichen",
        "mean_velocity" => "Weglänge durch die verstrichene Zeit",
        "mean_velocity_ml" => "Weglänge ML durch die verstrichene Zeit",
        "mean_velocity_ap" => "Weglänge AP durch die verstrichene Zeit",
        "mean_distance" => "mittlerer Abstand vom mittleren Ort",
        "rms_distance" => "Wurzel aus dem mittleren Quadrat des Abstands vom mittleren Ort",
        "rms_ml" => "medio-laterale Standardabweichung (mit Teiler N)",
        "rms_ap" => "antero-posteriore Standardabweichung (mit Teiler N)",
        "range_ml" => "medio-laterales Maximum minus Minimum",
        "range_ap" => "antero-posteriores Maximum minus Minimum",
        "range_max" => "größter Abstand zwischen zwei beliebigen Werten",
        "ellipse_area" => "Fläche der 95-%-Vorhersageellipse",
        "ellipse_semi_major" => "halbe große Achse der 95-%-Vorhersageellipse",
        "ellipse_semi_minor" => "halbe kleine Achse der 95-%-Vorhersageellipse",
        "ellipse_angle_deg" => "Winkel der großen Achse zur Richtung nach rechts, in [0, 180)",
        "hull_area" => "Fläche der konvexen Hülle aller Werte",
        "sway_area_rate" => {
            "Fläche der Dreiecke zwischen dem mittleren Ort und je zwei aufeinanderfolgenden Werten, \
             durch die verstrichene Zeit"
        }
        "rotation_frequency" => {
            "mittlere Geschwindigkeit durch den Umfang eines Kreises mit dem mittleren Abstand als \
             Radius"
        }
        "power_ml" => "medio-laterale Leistung zwischen 0,15 und 5 Hz, m0",
        "mean_frequency_ml" => "medio-lateral m1 / m0, m_k ist das Integral von f^k mal der Dichte",
        "median_frequency_ml" => "unter ihr liegt die Hälfte der medio-lateralen Leistung",
        "f95_ml" => "unter ihr liegen 95 % der medio-lateralen Leistung",
        "centroidal_frequency_ml" => "medio-lateral sqrt(m2 / m0)",
        "frequency_dispersion_ml" => "medio-lateral sqrt(1 - m1^2 / (m0 m2))",
        "power_ap" => "antero-posteriore Leistung zwischen 0,15 und 5 Hz, m0",
        "mean_frequency_ap" => {
            "antero-posterior m1 / m0, m_k ist das Integral von f^k mal der Dichte"
        }
        "median_frequency_ap" => "unter ihr liegt die Hälfte der antero-posterioren Leistung",
        "f95_ap" => "unter ihr liegen 95 % der antero-posterioren Leistung",
        "centroidal_frequency_ap" => "antero-posterior sqrt(m2 / m0)",
        "frequency_dispersion_ap" => "antero-posterior sqrt(1 - m1^2 / (m0 m2))",
        "mean_frequency" => {
            "Mittel der mittleren Frequenzen ML und AP, je gewichtet mit ihrer Leistung"
        }
        "mean_frequency_full_band" => {
            "mittlere Frequenz über alle Stufen, 0 Hz eingeschlossen, jede Achse gewichtet mit der \
             Summe ihrer Stufen"
        }
        "body_rms_ml" => {
            "medio-laterale Standardabweichung des geschätzten Körperschwerpunkts (mit Teiler N)"
        }
        "body_rms_ap" => {
            "antero-posteriore Standardabweichung des geschätzten Körperschwerpunkts (mit Teiler N)"
        }
        "cop_body_rms_ml" => {
            "medio-laterale Standardabweichung von Druckmittelpunkt minus Körperschwerpunkt"
        }
        "cop_body_rms_ap" => {
            "antero-posteriore Standardabweichung von Druckmittelpunkt minus Körperschwerpunkt"
        }
        "wobble_median" => {
            "Median über Abschnitte von 5 s des größten Abstands zweier Orte des Körperschwerpunkts"
        }
        "wobble_p95" => "95. Perzentil desselben Abstands über Abschnitte von 5 s",
        "wobble_windows" => "Anzahl vollständiger Abschnitte von 5 s, je eine Sekunde versetzt",
        "share_under" => "Anteil der Abschnitte unter 6,35 mm",
        "share_inside" => "Anteil der Abschnitte von 6,35 bis 25,4 mm",
        "share_over" => "Anteil der Abschnitte über 25,4 mm",
        _ => measure.definition,
    }
}

/// Who defined a measure: publications by their reference, the rest in words.
pub(super) fn source(measure: &MeasureDef) -> &'static str {
    match measure.source {
        "common practice, no published source" => "übliche Praxis, keine veröffentlichte Quelle",
        "definition of this project" => "Festlegung dieses Projekts",
        "handbook geometry" => "Geometrie aus dem Handbuch",
        published => published,
    }
}

#[cfg(test)]
mod tests {
    use analysis::MEASURES;

    use super::*;

    #[test]
    fn every_measure_is_defined_in_german() {
        for measure in MEASURES {
            // A pure formula of one axis reads the same in both languages.
            let is_formula = measure.definition.contains("sqrt");
            let is_english = definition(measure) == measure.definition;
            assert_eq!(is_english, is_formula, "{}", measure.key);
        }
    }

    #[test]
    fn a_source_without_a_year_is_no_publication_and_is_told_in_german() {
        for measure in MEASURES {
            let is_published = measure.source.chars().any(|c| c.is_ascii_digit());
            assert_eq!(source(measure) == measure.source, is_published, "{}", measure.source);
        }
    }
}
