//! A package that was made by other programs, from the documentation alone.

use super::scene::{assignment, contents_of, paired, taken};
use crate::keys::{KeyPair, Role};
use crate::package::{ImportedPackagesFile, Receiver, open_package};

/// Made by `acquisition/tests/package/make.sh` with the age command, GNU tar, zstd and OpenSSL.
#[test]
fn a_package_made_with_other_tools_opens() {
    // The keys of that script: RFC 8032, section 7.1, and the age crate's own tests.
    let encryption = "AGE-SECRET-KEY-1GQ9778VQXMMJVE8SK7J6VT8UJ4HDQAJUVSFCWCM02D8GEWQ72PVQ2Y5J33";
    let keys = |role, signing| KeyPair::from_secrets(role, encryption, signing).unwrap();
    let clinic =
        keys(Role::Clinic, "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb");
    let home = keys(Role::Home, "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60");
    let pairings = [paired(Role::Home, clinic.public(), assignment("p-01"))];
    let folder = tempfile::tempdir().unwrap();
    let imported = ImportedPackagesFile::load(&folder.path().join("none.json")).unwrap();
    let receiver = Receiver { own: &home, pairings: &pairings, imported: &imported };
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/package/made-by-other-tools.footing");
    let package = taken(open_package(file.as_ref(), receiver, folder.path()));
    let expected = [
        ("plan.toml", "holds = 3\nhold_s = 20\n"),
        ("notes.txt", "The same stance as last week.\n"),
    ];
    let expected = expected.map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec()));
    assert_eq!(contents_of(&package), expected);
    assert_eq!(package.manifest().serial, 12);
    assert_eq!(package.manifest().created, "2026-03-01T09:30:00+01:00".parse().unwrap());
}
