//! A trial's samples as CSV: one row a sample, units in the header.

use std::io::{self, Write};

use crate::stored_trial::Samples;

/// Writes `samples` as CSV (RFC 4180, lines end in LF).
///
/// Numbers are written so that they read back to the same bits. A centre of pressure that is
/// undefined leaves its two cells empty. Counts and forces have columns only if the trial has them.
///
/// # Errors
/// What `writer` says.
pub fn write_samples_csv(samples: &Samples, writer: impl Write) -> io::Result<()> {
    let mut csv = csv::Writer::from_writer(writer);
    let mut row: Vec<String> = ["time [us]", "sequence"].map(str::to_owned).into();
    if samples.raw.is_some() {
        row.extend((1..=4).map(|corner| format!("corner {corner} [counts]")));
        row.push("status [bits]".to_owned());
    }
    if samples.forces_newtons.is_some() {
        row.extend((1..=4).map(|corner| format!("corner {corner} [N]")));
    }
    row.extend(["cop_ml [mm]", "cop_ap [mm]"].map(str::to_owned));
    csv.write_record(&row)?;
    for index in 0..samples.n_samples() {
        row.clear();
        row.push(samples.time_us[index].to_string());
        row.push(samples.sequence[index].to_string());
        if let Some(raw) = &samples.raw {
            row.extend(raw.counts[index].map(|count| count.to_string()));
            row.push(raw.status[index].to_string());
        }
        if let Some(forces) = &samples.forces_newtons {
            row.extend(forces[index].map(|force| force.to_string()));
        }
        let cop = samples.cop[index].map_or([None; 2], |cop| [Some(cop.ml_mm), Some(cop.ap_mm)]);
        row.extend(cop.map(|mm| mm.map(|mm| mm.to_string()).unwrap_or_default()));
        csv.write_record(&row)?;
    }
    csv.flush()
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::import::{ColumnMap, read_delimited};
    use crate::trial_file::tests::{board_trial, imported_trial};

    fn csv(samples: &Samples) -> String {
        let mut text = Vec::new();
        write_samples_csv(samples, &mut text).unwrap();
        String::from_utf8(text).unwrap()
    }

    #[test]
    fn the_header_names_units_and_an_undefined_centre_is_empty() {
        let text = csv(&board_trial(2).samples);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(
            lines[0],
            "time [us],sequence,corner 1 [counts],corner 2 [counts],corner 3 [counts],\
             corner 4 [counts],status [bits],corner 1 [N],corner 2 [N],corner 3 [N],corner 4 [N],\
             cop_ml [mm],cop_ap [mm]"
        );
        assert!(lines[1].starts_with("1099511627776,0,-8388608,"), "{}", lines[1]);
        assert!(lines[1].ends_with(",0,-0"), "{}", lines[1]);
        assert!(lines[2].ends_with(",,"), "{}", lines[2]);
        assert_eq!(lines.len(), 3);
    }

    #[test]
    fn what_is_exported_imports_to_the_same_bits() {
        let mut trial = imported_trial(500);
        trial.samples.cop[1] = trial.samples.cop[2];
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("stand.csv");
        fs::write(&path, csv(&trial.samples)).unwrap();
        let map = "[time]\nrate_hz = 1000\n[cop]\nml = \"cop_ml:mm\"\nap = \"cop_ap:mm\"\n";
        let map = ColumnMap::from_toml(map).unwrap();
        let again = read_delimited(&path, &map, trial.facts.clone()).unwrap();
        assert_eq!(again.samples.cop, trial.samples.cop);
    }
}
