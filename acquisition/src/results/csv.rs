//! Results as CSV: one row a trial, units in the header.

use analysis::{MEASURES, Processing};

use super::measured_file::MeasuredFile;

/// Columns that say which trial a row is, before those of the measures.
const FACTS: [&str; 11] = [
    "file",
    "id",
    "person",
    "condition",
    "kind",
    "started",
    "board",
    "processing",
    "program",
    "quality",
    "not available",
];

/// Measures of trials as CSV text (RFC 4180, lines end in LF); a cell without a value is empty.
///
/// # Panics
/// Never: rows of one length written to memory cannot be refused.
pub fn results_csv(files: &[MeasuredFile], processing: Processing) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let header = FACTS
        .iter()
        .map(|name| (*name).to_owned())
        .chain(MEASURES.iter().map(|measure| format!("{} [{}]", measure.key, measure.unit)));
    let in_memory = "rows of one length written to memory";
    writer.write_record(header).expect(in_memory);
    for file in files {
        writer.write_record(row(file, processing)).expect(in_memory);
    }
    let bytes = writer.into_inner().expect(in_memory);
    String::from_utf8(bytes).expect("made of text")
}

fn row(file: &MeasuredFile, processing: Processing) -> Vec<String> {
    let facts = &file.facts;
    let mut cells = vec![
        file.path.display().to_string(),
        facts.id.clone(),
        facts.person.to_string(),
        facts.condition.to_string(),
        facts.kind.to_string(),
        facts.started.to_string(),
        facts.setup.board.clone(),
        processing.to_string(),
        super::PROGRAM.to_owned(),
        quality_words(file),
        file.found.as_ref().err().map(ToString::to_string).unwrap_or_default(),
    ];
    let value = |measure: &analysis::MeasureDef| {
        let found = file.found.as_ref().ok()?;
        (measure.value)(&found.measured.measures).ok().map(|value| value.to_string())
    };
    cells.extend(MEASURES.iter().map(|measure| value(measure).unwrap_or_default()));
    cells
}

/// The quality flags with semicolons between; "not known" without the load they are judged by.
fn quality_words(file: &MeasuredFile) -> String {
    match file.flags() {
        None => "not known".to_owned(),
        Some([]) => "nothing to note".to_owned(),
        Some(flags) => flags.iter().map(|flag| flag.key()).collect::<Vec<_>>().join(";"),
    }
}
