//! Pages and files for others, through the built program, as general-purpose libraries read them
//! (`tests/peer/open_formats.py`: pikepdf, jsonschema, pyarrow, fhir.resources).

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::bench::Bench;

const HERE: &str = "foam/hip-width/open";
const CLOSED: &str = "foam/hip-width/closed";

/// One person with three stands on foam on each of two days, eyes open and closed.
pub(crate) fn a_bench_with_stands() -> Bench {
    let bench = Bench::new();
    let named = ["people", "set", "P-01", "--height", "1.575", "--name", "Invented Name"];
    bench.footing(named).well();
    for (day, hour) in [("02", 9), ("04", 10)] {
        for (condition, stands) in [
            (HERE, ["BDS00103", "BDS00104", "BDS00105"]),
            (CLOSED, ["BDS00106", "BDS00107", "BDS00108"]),
        ] {
            for stand in stands {
                let when = format!("2026-03-{day}T{hour:02}:00:00+01:00");
                let facts = ["--person", "P-01", "--condition", condition, "--asked", "60"];
                let facts = [&facts[..], &["--started", &when]].concat();
                bench.import_recording(stand, &facts).well();
            }
        }
    }
    bench
}

pub(crate) fn peer(arguments: &[&Path]) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/peer");
    let python = folder.join(".venv/bin/python");
    assert!(python.exists(), "run tests/peer/setup.sh first");
    let script = folder.join("open_formats.py");
    let output = Command::new(python).arg(script).args(arguments).output().unwrap();
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{text}\n{}", String::from_utf8_lossy(&output.stderr));
    text
}

fn docs(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../acquisition/docs").join(name)
}

pub(crate) fn report(bench: &Bench, name: &str, options: &[&str]) -> PathBuf {
    let path = bench.path(name);
    let asked = ["report", "P-01", path.to_str().unwrap(), "--as-of", "2026-03-05"];
    let written = bench.footing([&asked[..], options].concat()).well();
    assert_eq!((written.stdout.as_str(), written.stderr.as_str()), ("", ""), "--quiet");
    path
}

pub(crate) fn text_of(pdf: &Path) -> String {
    let output = Command::new("pdftotext").arg("-raw").arg(pdf).arg("-").output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_report_tells_the_records_and_is_the_same_each_time() {
    let bench = a_bench_with_stands();
    let one = report(&bench, "one.pdf", &[]);
    let again = report(&bench, "again.pdf", &[]);
    assert_eq!(fs::read(&one).unwrap(), fs::read(&again).unwrap());
    let letter = report(&bench, "letter.pdf", &["--paper", "letter"]);
    let plain = report(&bench, "plain.pdf", &["--patient", "--emergency-number", "000"]);
    let named = report(&bench, "named.pdf", &["--with-name"]);
    peer(&[Path::new("pdf"), &one, &letter, &plain, &named]);
    let text = text_of(&one);
    for sentence in [
        "Standing sway: P-01",
        "trials from 2026-03-02 to 2026-03-04, as at 2026-03-05",
        "3 measured trials of 60 s on 2026-03-04, the latest of 2 days here",
        "Vision quotient",
        "No decision recorded.",
        "Not a diagnosis and not a substitute",
    ] {
        assert!(text.contains(sentence), "{sentence:?} is missing in:\n{text}");
    }
    assert!(!text.contains("Invented"), "a name that nobody asked for");
    assert!(text_of(&named).contains("Invented Name"));
    assert!(text_of(&plain).contains("In an emergency call 000"));
    // The page's mean is the geometric mean of the day's trials, as `footing analyse` gives them.
    let results = bench.footing(["analyse", "--json"]).json();
    let velocities: Vec<f64> = results["trials"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|trial| trial["condition"].as_str().unwrap().starts_with(HERE))
        .filter(|trial| trial["started"].as_str().unwrap().starts_with("2026-03-04"))
        .map(|trial| trial["measures"]["mean_velocity"]["value"].as_f64().unwrap())
        .collect();
    assert_eq!(velocities.len(), 3);
    let mean = velocities.iter().product::<f64>().cbrt();
    assert!(text.contains(&format!("Mean velocity {mean:.1} mm/s")), "{mean}: {text}");
}

#[test]
fn a_page_of_nobody_is_refused() {
    let bench = Bench::new();
    let path = bench.path("page.pdf");
    bench.footing(["report", "P-99", path.to_str().unwrap()]).refused(&["P-99"]);
    bench.footing(["people", "set", "P-99"]).well();
    let nowhere = bench.path("none").join("page.pdf");
    bench.footing(["report", "P-99", nowhere.to_str().unwrap()]).refused(&["was not written"]);
    bench.footing(["report", "P-99", path.to_str().unwrap()]).well();
    peer(&[Path::new("pdf"), &path]);
}

#[test]
fn what_is_exported_holds_in_general_purpose_libraries() {
    let bench = a_bench_with_stands();
    let sealed = bench.sealed();
    let file = |name: &str, arguments: &[&str]| {
        let printed = bench.footing(arguments).well();
        bench.file(name, printed.stdout)
    };
    let trials = bench.path("data").join("trials");
    let trials = trials.to_str().unwrap();
    let first = sealed[0].to_str().unwrap();
    let results = file("results.json", &["analyse", "--json"]);
    let compared = ["compare", "--person", "P-01", "--a", HERE, "--b", CLOSED, "--json"];
    let compared = file("compared.json", &compared);
    let facts = file("facts.jsonl", &["export", "--facts", trials]);
    let schema = |name: &str, file: &Path| {
        peer(&[Path::new("schema"), &docs(&format!("schemas/{name}.schema.json")), file]);
    };
    schema("results", &results);
    schema("comparison", &compared);
    schema("trial-facts", &facts);
    let observations = file("observations.json", &["export", "--fhir", trials]);
    let found = peer(&[Path::new("fhir"), &observations, &docs("fhir-codes.json")]);
    assert_eq!(found, "12 observations\n");
    assert!(!fs::read_to_string(&observations).unwrap().contains("Invented"));
    let set = bench.path("set");
    let export = ["export", "--parquet", set.to_str().unwrap(), "--samples"];
    let said = bench.footing(export).well().stdout;
    assert!(said.starts_with("12 trials with 72000 samples in 4 Parquet files"), "{said}");
    bench.footing(export).refused(&["is there already"]);
    peer(&[Path::new("parquet"), &set, &results]);
    let samples = file("samples.csv", &["export", first]);
    let id = sealed[0].file_stem().unwrap();
    let found = peer(&[Path::new("samples"), &set, Path::new(id), &samples]);
    assert_eq!(found, "6000 samples\n");
}

/// A trial as CSV, and the CSV as a trial again by the map that was guessed for it: the same
/// samples to the last digit.
#[test]
fn a_trial_goes_out_as_csv_and_comes_back_the_same() {
    let bench = a_bench_with_stands();
    let first = bench.sealed()[0].clone();
    let csv = bench.footing(["export", first.to_str().unwrap()]).well().stdout;
    let path = bench.file("stand.csv", &csv);
    let path = path.to_str().unwrap();
    let map = bench.path("map.toml");
    let map = map.to_str().unwrap();
    let guessed = bench.footing(["import", "--guess", path, "--save-map", map]).well().stdout;
    assert!(guessed.contains("cop_ml [mm]:mm"), "{guessed}");
    assert_eq!(bench.sealed().len(), 12, "a guess imports nothing");
    bench.footing(["import", "--guess", path, "--save-map", map]).refused(&["was not written"]);
    let facts = ["--person", "P-02", "--condition", HERE];
    bench.footing([&["import", path, "--map", map][..], &facts].concat()).well();
    let again = bench.sealed().into_iter().find(|trial| {
        let facts = bench.footing(["export", "--facts", trial.to_str().unwrap()]).json();
        facts["person"] == "P-02"
    });
    let again = bench.footing(["export", again.unwrap().to_str().unwrap()]).well().stdout;
    assert_eq!(again, csv);
}

#[test]
fn a_c3d_file_becomes_a_trial() {
    let bench = Bench::new();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../acquisition/tests/c3d");
    let path = folder.join("type-3.c3d");
    let facts = ["--person", "P-01", "--condition", "firm/hip-width/open"];
    let import = ["import", path.to_str().unwrap(), "--forward", "-x"];
    bench.footing([&import[..], &facts].concat()).well();
    let csv = bench.footing(["export", bench.sealed()[0].to_str().unwrap()]).well().stdout;
    let told: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(folder.join("type-3.json")).unwrap()).unwrap();
    for (line, place) in csv.lines().skip(1).zip(told["put_in_mm"].as_array().unwrap()) {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        // Who faces against x has y to the right.
        let error = (cells[2] - place[1].as_f64().unwrap()).abs();
        assert!(error < 2e-5, "{line} {place}");
        assert!((cells[3] + place[0].as_f64().unwrap()).abs() < 2e-5, "{line} {place}");
    }
    let text = bench.file("no.c3d", "t,x,y\n");
    let import = ["import", text.to_str().unwrap()];
    bench.footing([&import[..], &facts].concat()).refused(&["It is not a C3D file"]);
}

/// Exit codes as `viewer/docs/command-line.md` tells them; completions and manual pages need no
/// data folder.
#[test]
fn the_program_can_be_installed_and_scripted() {
    let bench = Bench::new();
    for shell in ["bash", "zsh", "fish"] {
        let script = bench.footing(["completions", shell]).well().stdout;
        assert!(script.contains("next-step") && script.contains("report"), "{shell}");
    }
    let folder = bench.path("man1");
    fs::create_dir(&folder).unwrap();
    bench.footing(["manual", folder.to_str().unwrap()]).well();
    let page = fs::read_to_string(folder.join("footing-report.1")).unwrap();
    assert!(
        page.contains(".TH footing-report 1") || page.contains(".TH footing\\-report 1"),
        "{page}"
    );
    assert!(!bench.path("data").exists(), "nothing was asked for that needs a data folder");
    assert_eq!(bench.footing(["people"]).code, Some(0));
    assert_eq!(bench.footing(["trials", "P-01"]).code, Some(1));
    assert_eq!(bench.footing(["no-such-command"]).code, Some(2));
    assert_eq!(bench.footing(["import", "x.csv"]).code, Some(2), "who and how are missing");
}
