//! Prints the code system of the FHIR export, as it stands in `acquisition/docs/fhir-codes.json`.
//!
//! `cargo run -p acquisition --example fhir_codes > acquisition/docs/fhir-codes.json`

#![expect(clippy::print_stdout, reason = "printing is all it does")]

fn main() {
    println!("{}", acquisition::export::code_system_json());
}
