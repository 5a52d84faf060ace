//! Packages for others, from others, and about others.

use super::scene::{Scene, assignment, paired, taken, wrapped};
use crate::keys::{Assignment, Role, generate};
use crate::package::manifest::Manifest;
use crate::package::{OpenPackageError, PackageKind, signed_part};

#[test]
fn a_package_for_another_home_does_not_open() {
    let scene = Scene::new();
    let neighbour = generate(Role::Home);
    let refusal = scene
        .opens(&scene.sealed_plan(1), &neighbour, std::slice::from_ref(&scene.of_clinic))
        .expect_err("it is for another");
    assert!(matches!(refusal, OpenPackageError::WrongKey), "{refusal}");
    assert_eq!(refusal.to_string(), "no key of this side opens it");
}

/// The receiver of a package holds its signed content, and can encrypt it for anyone.
#[test]
fn a_package_wrapped_again_for_another_home_is_refused_there() {
    let scene = Scene::new();
    let content = scene.content_of(&scene.sealed_plan(1));
    let neighbour = generate(Role::Home);
    let again = wrapped(&content, &neighbour.public());
    let pairings = [paired(Role::Home, scene.clinic.public(), assignment("p-01"))];
    let refusal = scene.opens(&again, &neighbour, &pairings).expect_err("it is for another");
    let to = scene.home.public().fingerprint();
    assert!(matches!(refusal, OpenPackageError::OtherReceiver { to: t } if t == to), "{refusal}");
    // Wrapped again for the same home it is the same package.
    taken(scene.home_opens(&wrapped(&content, &scene.home.public())));
}

#[test]
fn an_unknown_signer_is_refused() {
    let scene = Scene::new();
    let impostor = generate(Role::Clinic);
    let (mut manifest, archive) = scene.parts_of(&scene.sealed_plan(1));
    manifest.from = impostor.public().fingerprint();
    let content = [signed_part::to_bytes(&manifest.to_bytes(), &impostor), archive].concat();
    let refusal = scene.refusal(&wrapped(&content, &scene.home.public()));
    assert!(matches!(refusal, OpenPackageError::UnknownSigner { .. }), "{refusal}");
    let refusal = scene.opens(&scene.sealed_plan(1), &scene.home, &[]).expect_err("no pairing");
    assert!(matches!(refusal, OpenPackageError::UnknownSigner { .. }), "{refusal}");
}

/// An impostor who names the clinic's key must still sign with it.
#[test]
fn a_signature_of_another_is_refused() {
    let scene = Scene::new();
    let impostor = generate(Role::Clinic);
    let (mut manifest, archive) = scene.parts_of(&scene.sealed_plan(1));
    manifest.serial = 99;
    let forged = signed_part::to_bytes(&manifest.to_bytes(), &impostor);
    let genuine = signed_part::to_bytes(&manifest.to_bytes(), &scene.clinic);
    let content = [&genuine[..64], &forged[64..], &archive].concat();
    assert!(matches!(scene.content_refusal(&content), OpenPackageError::BadSignature));
}

fn refusal_of(scene: &Scene, change: impl FnOnce(&mut Manifest)) -> OpenPackageError {
    let (mut manifest, archive) = scene.parts_of(&scene.sealed_plan(1));
    change(&mut manifest);
    scene.content_refusal(&scene.signed_by_clinic(&manifest.to_bytes(), &archive))
}

#[test]
fn a_genuine_package_about_others_is_refused() {
    let scene = Scene::new();
    let told = |change: fn(&mut Assignment)| {
        refusal_of(&scene, |manifest| change(&mut manifest.assignment)).to_string()
    };
    assert_eq!(
        told(|a| a.person = "p-02".parse().unwrap()),
        "it is for person p-02, and its sender is not paired for that person"
    );
    assert_eq!(
        told(|a| a.clinic = "clinic-b".parse().unwrap()),
        "it is for clinic clinic-b, and its sender is paired for clinic-a"
    );
    assert_eq!(
        told(|a| a.board = "ffffffffffffffffffffffff".parse().unwrap()),
        "it is for board ffffffffffffffffffffffff, and its sender is paired for \
         0123456789abcdef01234567"
    );
}

/// A new board is paired anew; packages that were on their way for the old one still come.
#[test]
fn a_home_may_have_two_boards() {
    let scene = Scene::new();
    let mut of_new = assignment("p-01");
    of_new.board = "ffffffffffffffffffffffff".parse().unwrap();
    let pairings = [paired(Role::Home, scene.clinic.public(), of_new), scene.of_clinic.clone()];
    taken(scene.opens(&scene.sealed_plan(1), &scene.home, &pairings));
}

#[test]
fn a_clinic_of_two_people_in_one_home_is_told_apart_by_person() {
    let scene = Scene::new();
    let mut of_other = assignment("p-02");
    of_other.board = "ffffffffffffffffffffffff".parse().unwrap();
    let pairings = [paired(Role::Home, scene.clinic.public(), of_other), scene.of_clinic.clone()];
    taken(scene.opens(&scene.sealed_plan(1), &scene.home, &pairings));
}

#[test]
fn a_genuine_signature_on_the_wrong_claim_is_refused() {
    let scene = Scene::new();
    let kind = |manifest: &mut Manifest| manifest.kind = PackageKind::Sessions;
    let refusal = refusal_of(&scene, kind);
    assert!(matches!(refusal, OpenPackageError::WrongDirection { .. }), "{refusal}");
    let home = scene.home.public().fingerprint();
    let refusal = refusal_of(&scene, |manifest| manifest.from = home);
    assert!(matches!(refusal, OpenPackageError::OtherSender { from } if from == home), "{refusal}");
}

/// A home that signs a plan, for another home that trusts it as if it were a clinic's partner.
#[test]
fn a_plan_signed_by_a_home_is_refused_by_the_clinic() {
    let scene = Scene::new();
    let (mut manifest, archive) = scene.parts_of(&scene.sealed_plan(1));
    manifest.from = scene.home.public().fingerprint();
    manifest.to = scene.clinic.public().fingerprint();
    let content = [signed_part::to_bytes(&manifest.to_bytes(), &scene.home), archive].concat();
    let sealed = wrapped(&content, &scene.clinic.public());
    let refusal = scene.opens(&sealed, &scene.clinic, std::slice::from_ref(&scene.of_home));
    let refusal = refusal.expect_err("plans come from clinics");
    assert!(matches!(refusal, OpenPackageError::WrongDirection { .. }), "{refusal}");
}
