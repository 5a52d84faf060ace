"""What general-purpose libraries find in the files this program writes for others.

    open_formats.py schema SCHEMA JSON...       jsonschema, draft 2020-12
    open_formats.py parquet FOLDER RESULTS      pyarrow; every number as in the results, bit for bit
    open_formats.py samples FOLDER TRIAL CSV    pyarrow; the samples of one trial as in the CSV
    open_formats.py fhir BUNDLE CODES           fhir.resources; R4B and R5, and every code is told
    open_formats.py pdf FILE...                 pikepdf: no structural error, and every page is read

Ends with an error at the first thing that does not hold.
"""

import csv
import json
import sys


def schema(schema_path, *paths):
    import jsonschema

    with open(schema_path) as file:
        rules = json.load(file)
    jsonschema.Draft202012Validator.check_schema(rules)
    for path in paths:
        with open(path) as file:
            for line in file if path.endswith(".jsonl") else [file.read()]:
                jsonschema.Draft202012Validator(rules).validate(json.loads(line))


def parquet(folder, results_path):
    import pyarrow.dataset as dataset

    table = dataset.dataset(f"{folder}/trials", partitioning="hive").to_table()
    told = {name.decode(): value.decode() for name, value in table.schema.metadata.items()}
    rows = {row["trial"]: row for row in table.to_pylist()}
    with open(results_path) as file:
        results = json.load(file)
    assert told["program"] == results["program"], told
    assert told["processing"] == results["processing"], told
    assert len(rows) == len(results["trials"]) > 0, len(rows)
    n_values = 0
    for trial in results["trials"]:
        row = rows[trial["id"]]
        surface, vision = trial["condition"].split("/")[0], trial["condition"].split("/")[2]
        assert (row["surface"], row["vision"]) == (surface, vision), row
        assert row["person"] == trial["person"]
        for key, measure in trial["measures"].items():
            assert row[key] == measure.get("value"), (key, row[key], measure)
            assert told[f"unit of {key}"] == measure["unit"]
            n_values += 1
    print(len(rows), "trials,", n_values, "values")


def samples(folder, trial, csv_path):
    import pyarrow.dataset as dataset

    table = dataset.dataset(f"{folder}/samples", partitioning="hive")
    table = table.to_table(filter=dataset.field("trial") == trial)
    with open(csv_path, newline="") as file:
        rows = list(csv.DictReader(file))
    pairs = {"time [us]": "time_us", "cop_ml [mm]": "cop_ml_mm", "cop_ap [mm]": "cop_ap_mm"}
    for in_csv, in_parquet in pairs.items():
        number = int if in_parquet == "time_us" else float
        wanted = [number(row[in_csv]) if row[in_csv] else None for row in rows]
        assert table.column(in_parquet).to_pylist() == wanted, in_csv
    print(len(rows), "samples")


def fhir(bundle_path, codes_path):
    from fhir.resources.bundle import Bundle as BundleR5
    from fhir.resources.codesystem import CodeSystem as CodeSystemR5
    from fhir.resources.R4B.bundle import Bundle as BundleR4
    from fhir.resources.R4B.codesystem import CodeSystem as CodeSystemR4

    text, codes = open(bundle_path).read(), open(codes_path).read()
    for of_codes in CodeSystemR4, CodeSystemR5:
        of_codes.model_validate_json(codes)
    for of_bundles in BundleR4, BundleR5:
        bundle = of_bundles.model_validate_json(text)
    codes = json.loads(codes)
    told = {concept["code"] for concept in codes["concept"]}
    assert len(bundle.entry) > 0
    for entry in bundle.entry:
        used = [entry.resource.code] + [part.code for part in entry.resource.component]
        for concept in used:
            for coding in concept.coding:
                assert coding.system == codes["url"] and coding.code in told, coding
        for part in entry.resource.component:
            given = [part.valueQuantity, part.valueString, part.dataAbsentReason]
            assert sum(value is not None for value in given) == 1, part
            if part.valueQuantity is not None:
                assert part.valueQuantity.system == "http://unitsofmeasure.org"
    print(len(bundle.entry), "observations")


def pdf(*paths):
    import pikepdf

    for path in paths:
        with pikepdf.open(path) as file:
            problems = file.check_pdf_syntax()
            assert not problems, (path, problems)
            assert file.Root.MarkInfo.Marked, path
            for page in file.pages:
                assert len(pikepdf.parse_content_stream(page)) > 10, path
            print(path, len(file.pages), "pages,", file.Root.Lang)


if __name__ == "__main__":
    {"schema": schema, "parquet": parquet, "samples": samples, "fhir": fhir, "pdf": pdf}[
        sys.argv[1]
    ](*sys.argv[2:])
