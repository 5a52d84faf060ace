//! Ways in for the fuzz targets, past the checks no fuzzer can pass: compiled for them alone.

use std::io::{BufReader, Cursor};
use std::path::PathBuf;
use std::sync::LazyLock;

use super::hashing::digest_of;
use super::imported::ImportedPackagesFile;
use super::manifest::{Manifest, Payload};
use super::open::{Opened, Receiver, open_content, open_sealed};
use super::{MemberEntry, OpenPackageError, PackageId, PackageKind, envelope, signed_part};
use crate::keys::{Assignment, KeyPair, Pairing, Role};
use crate::wall_time::WallTime;

struct Sides {
    clinic: KeyPair,
    home: KeyPair,
    of_clinic: Pairing,
    imported: ImportedPackagesFile,
    staging: PathBuf,
}

/// The test keys published by RFC 8032 (tests 2 and 1) and by the age crate: secrets of nobody.
static SIDES: LazyLock<Sides> = LazyLock::new(|| {
    let encryption = "AGE-SECRET-KEY-1GQ9778VQXMMJVE8SK7J6VT8UJ4HDQAJUVSFCWCM02D8GEWQ72PVQ2Y5J33";
    let keys = |role, signing| KeyPair::from_secrets(role, encryption, signing).expect("keys");
    let clinic =
        keys(Role::Clinic, "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb");
    let home = keys(Role::Home, "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60");
    let heard = clinic.public().spoken_code();
    let of_clinic = Pairing::new(Role::Home, clinic.public(), heard, assignment()).expect("code");
    // Memory, where there is such a folder: each run makes and removes some files.
    let memory = PathBuf::from("/dev/shm");
    let parent = if memory.is_dir() { memory } else { std::env::temp_dir() };
    let staging = parent.join(format!("footing-fuzz-{}", std::process::id()));
    std::fs::create_dir_all(&staging).expect("a folder");
    let imported = ImportedPackagesFile::load(&staging.join("none.json")).expect("an empty list");
    Sides { clinic, home, of_clinic, imported, staging }
});

fn assignment() -> Assignment {
    Assignment {
        clinic: "clinic-a".parse().expect("a code"),
        person: "p-01".parse().expect("a code"),
        board: "0123456789abcdef01234567".parse().expect("an id"),
    }
}

/// What became of a package; nothing may be left of one that was refused.
fn judge(outcome: Result<Opened, OpenPackageError>) -> bool {
    let taken = outcome.is_ok();
    drop(outcome);
    let left = std::fs::read_dir(&SIDES.staging).expect("a folder").next();
    assert!(left.is_none(), "something was left behind");
    taken
}

fn receiver() -> Receiver<'static> {
    let pairings = std::slice::from_ref(&SIDES.of_clinic);
    Receiver { own: &SIDES.home, pairings, imported: &SIDES.imported }
}

/// Opens a whole file, as it came.
pub fn open_file(sealed: &[u8]) -> bool {
    judge(open_sealed(BufReader::new(Cursor::new(sealed)), receiver(), &SIDES.staging))
}

/// Opens a file with these encrypted bytes, behind a first line that fits them.
pub fn open_encrypted(encrypted: &[u8]) -> bool {
    let line = envelope::line(encrypted.len() as u64, digest_of(encrypted));
    open_file(&[line.as_bytes(), encrypted].concat())
}

/// Opens what is decrypted, as it comes: the line of the signature is the fuzzer's.
pub fn open_decrypted(content: &[u8]) -> bool {
    judge(open_content(content, receiver(), &SIDES.staging))
}

/// Opens a manifest with a genuine signature over it, and an archive.
pub fn open_signed(manifest: &[u8], archive: &[u8]) -> bool {
    open_decrypted(&[&signed_part::to_bytes(manifest, &SIDES.clinic), archive].concat())
}

/// Opens a genuine manifest that names this archive, and two files of one and of 600 bytes in it.
pub fn open_archive(archive: &[u8]) -> bool {
    let members = [("a.txt", vec![b'a']), ("b.bin", vec![b'b'; 600])];
    let members = members.map(|(name, bytes)| MemberEntry {
        name: name.parse().expect("a name"),
        n_bytes: bytes.len() as u64,
        digest: digest_of(&bytes),
    });
    let manifest = Manifest {
        id: PackageId::unique(),
        kind: PackageKind::Plan,
        serial: 1,
        created: WallTime { unix_us: 0, offset_s: 0 },
        from: SIDES.clinic.public().fingerprint(),
        to: SIDES.home.public().fingerprint(),
        assignment: assignment(),
        personal_name: None,
        payload: Payload { n_bytes: archive.len() as u64, digest: digest_of(archive) },
        members: members.into(),
    };
    open_signed(&manifest.to_bytes(), archive)
}

/// Opens an archive with these bytes before compression.
pub fn open_tar(tar: &[u8]) -> bool {
    open_archive(&zstd::encode_all(tar, 1).expect("memory is enough"))
}
