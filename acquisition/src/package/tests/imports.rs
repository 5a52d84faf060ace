//! What was imported before.

use std::fs;
use std::io;

use analysis::PersonCode;

use super::scene::{Scene, taken, wrapped};
use crate::keys::Fingerprint;
use crate::package::open::open_content;
use crate::package::{
    ImportedPackages, ImportedPackagesFile, LoadImportedError, OpenPackageError, Opened, PackageId,
    PackageKind, Receipt, Receiver,
};

#[test]
fn importing_twice_is_harmless() {
    let scene = Scene::new();
    let sealed = scene.sealed_plan(7);
    let package = taken(scene.home_opens(&sealed));
    let id = package.manifest().id;
    drop(taken(scene.home_opens(&sealed)));
    scene.record(&package);
    scene.record(&package);
    drop(package);
    let again = scene.home_opens(&sealed).unwrap();
    assert!(matches!(again, Opened::NothingNew { id: known } if known == id));
    assert!(scene.is_untouched());
}

#[test]
fn other_content_under_a_known_id_is_refused() {
    let scene = Scene::new();
    let sealed = scene.sealed_plan(1);
    scene.record(&taken(scene.home_opens(&sealed)));
    let (mut manifest, archive) = scene.parts_of(&sealed);
    let id = manifest.id;
    manifest.serial = 2;
    let content = scene.signed_by_clinic(&manifest.to_bytes(), &archive);
    let refusal = scene.refusal(&wrapped(&content, &scene.home.public()));
    assert!(matches!(refusal, OpenPackageError::SameIdOtherContent { id: i } if i == id));
}

#[test]
fn an_older_plan_never_takes_the_place_of_a_newer_one() {
    let scene = Scene::new();
    let older = [scene.sealed_plan(3), scene.sealed_plan(5)];
    scene.record(&taken(scene.home_opens(&scene.sealed_plan(5))));
    for (sealed, number) in older.iter().zip([3, 5]) {
        let refusal = scene.refusal(sealed);
        let OpenPackageError::Superseded { serial, latest } = refusal else {
            panic!("{refusal}");
        };
        assert_eq!((serial, latest), (number, 5));
    }
    taken(scene.home_opens(&scene.sealed_plan(6)));
}

#[test]
fn the_list_is_kept_whole_for_its_owner_alone() {
    use std::os::unix::fs::PermissionsExt as _;
    let scene = Scene::new();
    let path = scene.folder.path().join("imported.json");
    let package = taken(scene.home_opens(&scene.sealed_plan(4)));
    scene.record(&package);
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
    let list = scene.imported();
    let receipt = package.receipt();
    assert_eq!(list.find(receipt.id).unwrap(), Some(receipt.clone()));
    let latest = |kind, person: &str| {
        list.latest_serial(receipt.from, kind, &person.parse().unwrap()).unwrap()
    };
    assert_eq!(latest(PackageKind::Plan, "p-01"), Some(4));
    assert_eq!(latest(PackageKind::Plan, "p-02"), None);
    assert_eq!(latest(PackageKind::Sessions, "p-01"), None);

    let whole = fs::read_to_string(&path).unwrap();
    let newer =
        whole.replace("\"footing_imported_packages\": 1", "\"footing_imported_packages\": 2");
    let cut = whole[..whole.len() / 2].to_owned();
    for other in [newer, cut, String::new()] {
        fs::write(&path, other).unwrap();
        let refused = ImportedPackagesFile::load(&path).unwrap_err();
        assert!(matches!(refused, LoadImportedError::NotAList), "{refused}");
    }
    fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
    assert!(matches!(ImportedPackagesFile::load(&path), Err(LoadImportedError::File(_))));
}

struct Broken;

impl ImportedPackages for Broken {
    fn find(&self, _: PackageId) -> io::Result<Option<Receipt>> {
        Err(io::Error::other("no disk"))
    }

    fn latest_serial(
        &self,
        _: Fingerprint,
        _: PackageKind,
        _: &PersonCode,
    ) -> io::Result<Option<u64>> {
        Ok(None)
    }

    fn record(&mut self, _: &Receipt) -> io::Result<()> {
        Err(io::Error::other("no disk"))
    }
}

/// What cannot be looked up is not taken for new.
#[test]
fn without_the_list_nothing_is_taken() {
    let scene = Scene::new();
    let content = scene.content_of(&scene.sealed_plan(1));
    let pairings = [scene.of_clinic.clone()];
    let receiver = Receiver { own: &scene.home, pairings: &pairings, imported: &Broken };
    let refusal = open_content(&content[..], receiver, &scene.staging()).unwrap_err();
    assert!(matches!(refusal, OpenPackageError::Imported(_)));
    assert!(scene.is_untouched());
}
