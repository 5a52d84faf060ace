//! The columns of the table of trials: what is known of each, then every measure.

use analysis::{MEASURES, MeasureDef, Processing};

use super::FORMAT_VERSION;
use super::partition::{Cells, ColumnHead, Kind, TableHead};
use crate::results::{self, MeasuredFile};

/// One fact of a trial.
struct FactColumn {
    name: &'static str,
    kind: Kind,
    unit: &'static str,
    about: &'static str,
    value: fn(&MeasuredFile) -> Cells,
}

const FACTS: &[FactColumn] = &[
    FactColumn {
        name: "trial",
        kind: Kind::Text,
        unit: "",
        about: "id of the trial, a UUID",
        value: |file| Cells::text(Some(&file.facts.id)),
    },
    FactColumn {
        name: "digest",
        kind: Kind::Text,
        unit: "",
        about: "digest of the trial file's content",
        value: |file| Cells::text(Some(&file.digest.to_string())),
    },
    FactColumn {
        name: "person",
        kind: Kind::Text,
        unit: "",
        about: "code of the person; never a name",
        value: |file| Cells::text(Some(file.facts.person.as_str())),
    },
    FactColumn {
        name: "session",
        kind: Kind::Text,
        unit: "",
        about: "id of the session; none for a lone trial",
        value: |file| Cells::text(file.facts.session.as_deref()),
    },
    FactColumn {
        name: "stance",
        kind: Kind::Text,
        unit: "",
        about: "how the feet stood",
        value: |file| Cells::text(Some(file.facts.condition.stance.key())),
    },
    FactColumn {
        name: "support",
        kind: Kind::Text,
        unit: "",
        about: "planned support of a hand",
        value: |file| Cells::text(Some(file.facts.condition.support.key())),
    },
    FactColumn {
        name: "band",
        kind: Kind::Text,
        unit: "",
        about: "where a band pulled",
        value: |file| Cells::text(Some(file.facts.condition.band.key())),
    },
    FactColumn {
        name: "kind",
        kind: Kind::Text,
        unit: "",
        about: "measured, guided or practice; only measured trials are compared",
        value: |file| Cells::text(Some(file.facts.kind.key())),
    },
    FactColumn {
        name: "started",
        kind: Kind::Instant,
        unit: "us since 1970 UTC",
        about: "when the record starts",
        value: |file| Cells::whole(Some(file.facts.started.unix_us)),
    },
    FactColumn {
        name: "utc_offset_s",
        kind: Kind::Whole,
        unit: "s",
        about: "local time minus UTC where it was recorded",
        value: |file| Cells::whole(Some(i64::from(file.facts.started.offset_s))),
    },
    FactColumn {
        name: "settled_s",
        kind: Kind::Real,
        unit: "s",
        about: "how long the person had been standing",
        value: |file| Cells::real(Some(file.facts.settled_s)),
    },
    FactColumn {
        name: "asked_s",
        kind: Kind::Real,
        unit: "s",
        about: "hold that was asked for; 0 if none",
        value: |file| Cells::real(Some(file.facts.asked_s)),
    },
    FactColumn {
        name: "board",
        kind: Kind::Text,
        unit: "",
        about: "board or plate; values of two boards are not compared",
        value: |file| Cells::text(Some(&file.facts.setup.board)),
    },
    FactColumn {
        name: "facing",
        kind: Kind::Text,
        unit: "",
        about: "which side of the board the person faces",
        value: |file| Cells::text(Some(file.facts.setup.facing.key())),
    },
    FactColumn {
        name: "sole_height_mm",
        kind: Kind::Real,
        unit: "mm",
        about: "height of the sole above the plane of the load cells",
        value: |file| Cells::real(file.facts.setup.sole_height_mm),
    },
    FactColumn {
        name: "body_height_m",
        kind: Kind::Real,
        unit: "m",
        about: "height of the person",
        value: |file| Cells::real(file.facts.body_height_m),
    },
    FactColumn {
        name: "body_mass_kg",
        kind: Kind::Real,
        unit: "kg",
        about: "mass of the person",
        value: |file| Cells::real(file.facts.body_mass_kg),
    },
    FactColumn {
        name: "recorded_by",
        kind: Kind::Text,
        unit: "",
        about: "program and version that recorded or imported the trial",
        value: |file| Cells::text(Some(&file.facts.program)),
    },
    FactColumn {
        name: "samples",
        kind: Kind::Whole,
        unit: "count",
        about: "samples in the trial file",
        value: |file| Cells::whole(i64::try_from(file.n_samples).ok()),
    },
    FactColumn {
        name: "true_rate_hz",
        kind: Kind::Real,
        unit: "Hz",
        about: "sample rate by the board's clock",
        value: |file| {
            Cells::real(file.found.as_ref().ok().map(|found| found.continuity.true_rate.hz()))
        },
    },
    FactColumn {
        name: "lost_samples",
        kind: Kind::Whole,
        unit: "count",
        about: "samples missing from the record",
        value: |file| {
            let n_lost = file.found.as_ref().ok().map(|found| found.continuity.n_lost);
            Cells::whole(n_lost.and_then(|n| i64::try_from(n).ok()))
        },
    },
    FactColumn {
        name: "quality",
        kind: Kind::Text,
        unit: "",
        about: "what has to be said beside every number, semicolons between; none if not known",
        value: |file| {
            let flags: Option<Vec<&str>> =
                file.flags().map(|flags| flags.iter().map(|flag| flag.key()).collect());
            Cells::text(flags.map(|flags| flags.join(";")).as_deref())
        },
    },
    FactColumn {
        name: "not_available",
        kind: Kind::Text,
        unit: "",
        about: "why nothing could be measured; none if something was",
        value: |file| Cells::text(file.found.as_ref().err().map(ToString::to_string).as_deref()),
    },
];

pub(super) fn head(processing: Processing) -> TableHead {
    let facts = FACTS.iter().map(|fact| ColumnHead {
        name: fact.name,
        kind: fact.kind,
        unit: fact.unit,
        about: fact.about,
        source: "",
    });
    let measures = MEASURES.iter().map(|measure| ColumnHead {
        name: measure.key,
        kind: Kind::Real,
        unit: measure.unit.key(),
        about: measure.definition,
        source: measure.source,
    });
    let columns: Vec<ColumnHead> = facts.chain(measures).collect();
    let told = told("footing research trials", processing, &columns);
    TableHead { columns, told }
}

/// What each file says of itself: the format, what computed it, and the unit of each column.
pub(super) fn told(
    format: &str,
    processing: Processing,
    columns: &[ColumnHead],
) -> Vec<(String, String)> {
    let version = FORMAT_VERSION.to_string();
    let itself = [
        ("format", format),
        ("format_version", &version),
        ("program", results::PROGRAM),
        ("processing", processing.key()),
        ("caution", results::CAUTION),
    ];
    let itself = itself.map(|(name, value)| (name.to_owned(), value.to_owned()));
    let with_unit = columns.iter().filter(|column| !column.unit.is_empty());
    let units =
        with_unit.map(|column| (format!("unit of {}", column.name), column.unit.to_owned()));
    itself.into_iter().chain(units).collect()
}

pub(super) fn row(file: &MeasuredFile) -> Vec<Cells> {
    let measures = file.found.as_ref().ok().map(|found| &found.measured.measures);
    let value = |measure: &MeasureDef| {
        Cells::real(measures.and_then(|measures| (measure.value)(measures).ok()))
    };
    FACTS.iter().map(|fact| (fact.value)(file)).chain(MEASURES.iter().map(value)).collect()
}
