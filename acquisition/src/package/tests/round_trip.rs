//! What is sealed comes out, and only what is sealed.

use std::fs;
use std::os::unix::fs::PermissionsExt as _;

use proptest::prelude::*;

use super::scene::{Scene, contents_of, document, plan, taken};
use crate::keys::Role;
use crate::package::{
    Contents, Member, MemberSource, PackageKind, SealPackageError, remove_abandoned, seal_package,
};

#[test]
fn a_plan_reaches_the_home_and_sessions_come_back() {
    let scene = Scene::new();
    let package = taken(scene.home_opens(&scene.sealed_plan(1)));
    let expected = [("plan.toml", "holds = 3\n"), ("notes.txt", "")];
    let expected = expected.map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec()));
    assert_eq!(contents_of(&package), expected);
    assert_eq!(package.manifest().from, scene.clinic.public().fingerprint());
    assert_eq!(package.manifest().assignment, *scene.of_home.assignment());

    let trial = scene.folder.path().join("trial.h5");
    let bytes: Vec<u8> =
        (0..200_000_u32).map(|k| k.wrapping_mul(2_654_435_761).to_le_bytes()[3]).collect();
    fs::write(&trial, &bytes).unwrap();
    let member = Member { name: "trial.h5".parse().unwrap(), source: MemberSource::File(trial) };
    let sessions = Contents { kind: PackageKind::Sessions, members: vec![member], ..plan(1) };
    let sealed =
        seal_package(&sessions, &scene.of_clinic, &scene.home, scene.folder.path()).unwrap();
    assert_eq!(sealed.n_bytes, fs::metadata(&sealed.path).unwrap().len());
    let pairings = [scene.of_home.clone()];
    let package = taken(scene.opens(&fs::read(&sealed.path).unwrap(), &scene.clinic, &pairings));
    assert_eq!(contents_of(&package), [("trial.h5".to_owned(), bytes)]);
    assert_eq!(*package.manifest(), sealed.manifest);
}

#[test]
fn files_are_for_their_owner_alone_and_vanish_with_the_package() {
    let scene = Scene::new();
    let sealed =
        seal_package(&plan(1), &scene.of_home, &scene.clinic, scene.folder.path()).unwrap();
    let mode = |path: &std::path::Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&sealed.path), 0o600);
    let package = taken(scene.home_opens(&fs::read(&sealed.path).unwrap()));
    let folder = fs::read_dir(scene.staging()).unwrap().next().unwrap().unwrap().path();
    assert_eq!(mode(&folder), 0o700);
    assert!(package.members().iter().all(|member| mode(&member.path) == 0o600));
    assert_eq!(remove_abandoned(&scene.staging()).unwrap(), 0, "it is in use");
    drop(package);
    assert!(scene.is_untouched());
}

#[test]
fn what_a_power_cut_left_behind_is_removed() {
    let scene = Scene::new();
    let package = taken(scene.home_opens(&scene.sealed_plan(1)));
    let folder = fs::read_dir(scene.staging()).unwrap().next().unwrap().unwrap().path();
    let left = scene.staging().join(".opening-left");
    fs::create_dir_all(left.join("members")).unwrap();
    fs::copy(folder.join("lock"), left.join("lock")).unwrap();
    fs::write(left.join("members").join("plan.toml"), "holds = 3\n").unwrap();
    fs::write(scene.staging().join("unrelated"), "").unwrap();
    assert_eq!(remove_abandoned(&scene.staging()).unwrap(), 1);
    assert!(!left.exists() && folder.exists() && scene.staging().join("unrelated").exists());
    drop(package);
}

#[test]
fn a_name_travels_only_if_it_is_given() {
    let scene = Scene::new();
    let without = scene.content_of(&scene.sealed_plan(1));
    assert!(!String::from_utf8_lossy(&without).contains("personal_name"));
    let named = Contents { personal_name: Some("Demo Person".into()), ..plan(2) };
    let sealed = seal_package(&named, &scene.of_home, &scene.clinic, scene.folder.path()).unwrap();
    let bytes = fs::read(&sealed.path).unwrap();
    assert!(!String::from_utf8_lossy(&bytes).contains("Demo"), "names are never in the clear");
    let package = taken(scene.home_opens(&bytes));
    assert_eq!(package.manifest().personal_name.as_deref(), Some("Demo Person"));
}

#[test]
fn what_no_receiver_would_take_is_not_sealed() {
    use SealPackageError::{
        DuplicateMember, NoMembers, PersonalName, SameSide, Source, TooManyMembers, WrongDirection,
    };
    let scene = Scene::new();
    let seal = |contents: &Contents| {
        seal_package(contents, &scene.of_home, &scene.clinic, scene.folder.path()).unwrap_err()
    };
    let with = |members| Contents { members, ..plan(1) };
    assert!(matches!(seal(&with(vec![])), NoMembers));
    let twice = vec![document("plan.toml", "a"), document("PLAN.toml", "b")];
    assert!(matches!(seal(&with(twice)), DuplicateMember { .. }));
    let many = (0..10_001).map(|k| document(&format!("m{k}"), "")).collect();
    assert!(matches!(seal(&with(many)), TooManyMembers { n_members: 10_001 }));
    for path in [scene.folder.path().join("absent"), scene.folder.path().to_owned()] {
        let name = "trial.h5".parse().unwrap();
        let absent = Member { name, source: MemberSource::File(path) };
        assert!(matches!(seal(&with(vec![absent])), Source { .. }));
    }
    for name in ["", "a\nb", &"n".repeat(101)] {
        let named = Contents { personal_name: Some(name.into()), ..plan(1) };
        assert!(matches!(seal(&named), PersonalName));
    }
    let sessions = Contents { kind: PackageKind::Sessions, ..plan(1) };
    assert!(matches!(seal(&sessions), WrongDirection { role: Role::Clinic, .. }));
    let to_itself = seal_package(&plan(1), &scene.of_clinic, &scene.clinic, scene.folder.path());
    assert!(matches!(to_itself.unwrap_err(), SameSide { role: Role::Clinic }));
    let left: Vec<_> = fs::read_dir(scene.folder.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "only the staging folder is there: {left:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_files_come_out_as_they_went_in(
        files in prop::collection::vec(prop::collection::vec(any::<u8>(), 0..3000), 1..8),
    ) {
        let scene = Scene::new();
        let members = files.iter().enumerate().map(|(k, bytes)| Member {
            name: format!("file-{k}.bin").parse().unwrap(),
            source: MemberSource::Bytes(bytes.clone()),
        });
        let contents = Contents { members: members.collect(), ..plan(1) };
        let sealed =
            seal_package(&contents, &scene.of_home, &scene.clinic, scene.folder.path()).unwrap();
        let package = taken(scene.home_opens(&fs::read(&sealed.path).unwrap()));
        let read: Vec<_> = contents_of(&package).into_iter().map(|(_, bytes)| bytes).collect();
        prop_assert_eq!(read, files);
    }
}
