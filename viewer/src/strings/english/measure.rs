//! Names of the measures in English.

/// Name of the measure with this key; `None` for a key without words.
pub(crate) fn measure(key: &str) -> Option<&'static str> {
    let name = match key {
        "duration_s" => "Time measured",
        "path_length" => "Path length",
        "path_length_ml" => "Path length, ML",
        "path_length_ap" => "Path length, AP",
        "mean_velocity" => "Mean velocity",
        "mean_velocity_ml" => "Mean velocity, ML",
        "mean_velocity_ap" => "Mean velocity, AP",
        "mean_distance" => "Mean distance",
        "rms_distance" => "RMS distance",
        "rms_ml" => "RMS, ML",
        "rms_ap" => "RMS, AP",
        "range_ml" => "Range, ML",
        "range_ap" => "Range, AP",
        "range_max" => "Largest range",
        "ellipse_area" => "95 % ellipse area",
        "ellipse_semi_major" => "Ellipse, half the long axis",
        "ellipse_semi_minor" => "Ellipse, half the short axis",
        "ellipse_angle_deg" => "Ellipse, angle of the long axis",
        "hull_area" => "Hull area",
        "sway_area_rate" => "Sway area rate",
        "rotation_frequency" => "Rotation frequency",
        "power_ml" => "Power, ML",
        "power_ap" => "Power, AP",
        "mean_frequency" => "Mean frequency",
        "mean_frequency_ml" => "Mean frequency, ML",
        "mean_frequency_ap" => "Mean frequency, AP",
        "mean_frequency_full_band" => "Mean frequency, full band",
        "centroidal_frequency_ml" => "Centroidal frequency, ML",
        "centroidal_frequency_ap" => "Centroidal frequency, AP",
        "frequency_dispersion_ml" => "Frequency dispersion, ML",
        "frequency_dispersion_ap" => "Frequency dispersion, AP",
        "median_frequency_ml" => "Median frequency, ML",
        "median_frequency_ap" => "Median frequency, AP",
        "f95_ml" => "95 % power frequency, ML",
        "f95_ap" => "95 % power frequency, AP",
        "body_rms_ml" => "Body centre RMS, ML",
        "body_rms_ap" => "Body centre RMS, AP",
        "cop_body_rms_ml" => "CoP minus body centre RMS, ML",
        "cop_body_rms_ap" => "CoP minus body centre RMS, AP",
        "wobble_median" => "Wobble",
        "wobble_p95" => "Wobble, 95th percentile",
        "wobble_windows" => "Wobble windows",
        "share_under" => "Time under the wobble window",
        "share_inside" => "Time in the wobble window",
        "share_over" => "Time over the wobble window",
        _ => return None,
    };
    Some(name)
}

#[cfg(test)]
mod tests {
    use analysis::MEASURES;

    use super::*;

    #[test]
    fn every_measure_has_a_name_of_its_own() {
        let names: Vec<&str> = MEASURES
            .iter()
            .map(|def| measure(def.key).unwrap_or_else(|| panic!("{}", def.key)))
            .collect();
        let distinct: std::collections::BTreeSet<&&str> = names.iter().collect();
        assert_eq!(distinct.len(), names.len());
    }
}
