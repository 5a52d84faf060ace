//! A clinic and a home that are paired, and a workshop for packages neither of them would make.

use std::fs;
use std::io::{BufReader, Cursor, Write as _};
use std::iter;
use std::path::{Path, PathBuf};

use age::Encryptor;
use tempfile::TempDir;

use crate::WallTime;
use crate::keys::{Assignment, KeyPair, Pairing, PublicKeys, Role, generate};
use crate::package::hashing::digest_of;
use crate::package::manifest::Manifest;
use crate::package::open::{open_content, open_sealed};
use crate::package::{
    Contents, ImportedPackages as _, ImportedPackagesFile, Member, MemberSource, OpenPackageError,
    Opened, PackageKind, Receiver, VerifiedPackage, envelope, seal_package, signed_part,
};

pub(super) struct Scene {
    pub(super) folder: TempDir,
    pub(super) clinic: KeyPair,
    pub(super) home: KeyPair,
    /// What the clinic keeps of the home.
    pub(super) of_home: Pairing,
    /// What the home keeps of the clinic.
    pub(super) of_clinic: Pairing,
}

pub(super) fn assignment(person: &str) -> Assignment {
    Assignment {
        clinic: "clinic-a".parse().unwrap(),
        person: person.parse().unwrap(),
        board: "0123456789abcdef01234567".parse().unwrap(),
    }
}

pub(super) fn paired(own: Role, other: PublicKeys, assignment: Assignment) -> Pairing {
    let heard = other.spoken_code();
    Pairing::new(own, other, heard, assignment).unwrap()
}

pub(super) fn document(name: &str, text: &str) -> Member {
    Member { name: name.parse().unwrap(), source: MemberSource::Bytes(text.into()) }
}

pub(super) fn plan(serial: u64) -> Contents {
    Contents {
        kind: PackageKind::Plan,
        serial,
        created: "2026-03-01T09:30:00+01:00".parse::<WallTime>().unwrap(),
        personal_name: None,
        members: vec![document("plan.toml", "holds = 3\n"), document("notes.txt", "")],
    }
}

impl Scene {
    pub(super) fn new() -> Self {
        let (clinic, home) = (generate(Role::Clinic), generate(Role::Home));
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("staging")).unwrap();
        Self {
            folder,
            of_home: paired(Role::Clinic, home.public(), assignment("p-01")),
            of_clinic: paired(Role::Home, clinic.public(), assignment("p-01")),
            clinic,
            home,
        }
    }

    pub(super) fn staging(&self) -> PathBuf {
        self.folder.path().join("staging")
    }

    pub(super) fn is_untouched(&self) -> bool {
        fs::read_dir(self.staging()).unwrap().next().is_none()
    }

    pub(super) fn imported(&self) -> ImportedPackagesFile {
        ImportedPackagesFile::load(&self.folder.path().join("imported.json")).unwrap()
    }

    /// The bytes of a plan the clinic sealed for the home.
    pub(super) fn sealed_plan(&self, serial: u64) -> Vec<u8> {
        let sealed =
            seal_package(&plan(serial), &self.of_home, &self.clinic, self.folder.path()).unwrap();
        let bytes = fs::read(&sealed.path).unwrap();
        fs::remove_file(sealed.path).unwrap();
        bytes
    }

    /// What the home makes of a file with these bytes. A refusal must leave nothing behind.
    pub(super) fn home_opens(&self, sealed: &[u8]) -> Result<Opened, OpenPackageError> {
        self.opens(sealed, &self.home, std::slice::from_ref(&self.of_clinic))
    }

    pub(super) fn opens(
        &self,
        sealed: &[u8],
        own: &KeyPair,
        pairings: &[Pairing],
    ) -> Result<Opened, OpenPackageError> {
        let imported = self.imported();
        let receiver = Receiver { own, pairings, imported: &imported };
        let opened = open_sealed(BufReader::new(Cursor::new(sealed)), receiver, &self.staging());
        assert!(opened.is_ok() || self.is_untouched(), "a refused package left something behind");
        opened
    }

    pub(super) fn refusal(&self, sealed: &[u8]) -> OpenPackageError {
        self.home_opens(sealed).expect_err("the package must be refused")
    }

    /// What the home makes of content as it would come out of the decryption. Whatever is taken is
    /// let go again, so that in any case nothing may be left behind.
    pub(super) fn content_outcome(&self, content: &[u8]) -> Result<(), OpenPackageError> {
        let imported = self.imported();
        let pairings = std::slice::from_ref(&self.of_clinic);
        let receiver = Receiver { own: &self.home, pairings, imported: &imported };
        let outcome = open_content(content, receiver, &self.staging()).map(drop);
        assert!(self.is_untouched(), "something was left behind");
        outcome
    }

    pub(super) fn content_refusal(&self, content: &[u8]) -> OpenPackageError {
        self.content_outcome(content).expect_err("the content must be refused")
    }

    pub(super) fn record(&self, package: &VerifiedPackage) {
        self.imported().record(&package.receipt()).unwrap();
    }

    /// What is encrypted in a sealed package, for those who hold the key.
    pub(super) fn content_of(&self, sealed: &[u8]) -> Vec<u8> {
        age::decrypt(self.home.identity(), &sealed[envelope::LINE_BYTES..]).unwrap()
    }

    /// The manifest and the archive of a sealed package.
    pub(super) fn parts_of(&self, sealed: &[u8]) -> (Manifest, Vec<u8>) {
        let content = self.content_of(sealed);
        let line = std::str::from_utf8(&content[..signed_part::LINE_BYTES]).unwrap();
        let n_manifest: usize = line.trim_end().rsplit(' ').next().unwrap().parse().unwrap();
        let (manifest, archive) = content[signed_part::LINE_BYTES..].split_at(n_manifest);
        (Manifest::from_bytes(manifest).unwrap(), archive.to_vec())
    }

    /// Content with the clinic's own signature over whatever manifest this is.
    pub(super) fn signed_by_clinic(&self, manifest: &[u8], archive: &[u8]) -> Vec<u8> {
        [signed_part::to_bytes(manifest, &self.clinic).as_slice(), archive].concat()
    }
}

/// A package file around any content, for anyone: what somebody without secrets can make.
pub(super) fn wrapped(content: &[u8], to: &PublicKeys) -> Vec<u8> {
    let recipient = to.recipient() as &dyn age::Recipient;
    let encryptor = Encryptor::with_recipients(iter::once(recipient)).unwrap();
    let mut writer = encryptor.wrap_output(Vec::new()).unwrap();
    writer.write_all(content).unwrap();
    with_corrected_line(&writer.finish().unwrap())
}

/// The first line that fits these encrypted bytes, and the bytes.
pub(super) fn with_corrected_line(encrypted: &[u8]) -> Vec<u8> {
    let line = envelope::line(encrypted.len() as u64, digest_of(encrypted));
    [line.as_bytes(), encrypted].concat()
}

pub(super) fn taken(opened: Result<Opened, OpenPackageError>) -> Box<VerifiedPackage> {
    match opened.unwrap() {
        Opened::New(package) => package,
        Opened::NothingNew { id } => panic!("package {id} was taken for an old one"),
    }
}

pub(super) fn contents_of(package: &VerifiedPackage) -> Vec<(String, Vec<u8>)> {
    let read = |path: &Path| fs::read(path).unwrap();
    package.members().iter().map(|m| (m.name.to_string(), read(&m.path))).collect()
}
