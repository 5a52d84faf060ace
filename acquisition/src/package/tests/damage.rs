//! Damage on the way, by accident and on purpose.

use proptest::prelude::*;

use super::scene::{Scene, taken, with_corrected_line, wrapped};
use crate::package::{FORMAT_VERSION, MAX_PACKAGE_BYTES, OpenPackageError, Opened, envelope};

#[test]
fn every_altered_byte_is_found() {
    let scene = Scene::new();
    let sealed = scene.sealed_plan(1);
    for position in 0..sealed.len() {
        for change in [0x01, 0x80, 0xff] {
            let mut altered = sealed.clone();
            altered[position] ^= change;
            let refusal = scene.refusal(&altered);
            if envelope::LINE_BYTES <= position {
                assert!(matches!(refusal, OpenPackageError::Damaged), "{position}: {refusal}");
            }
        }
    }
    taken(scene.home_opens(&sealed));
}

/// Whoever alters a package can correct its first line; then the encryption finds it.
#[test]
fn every_byte_altered_on_purpose_is_found() {
    use OpenPackageError::{Altered, Layout, WrongKey};
    let scene = Scene::new();
    let sealed = scene.sealed_plan(1);
    let encrypted = &sealed[envelope::LINE_BYTES..];
    for position in 0..encrypted.len() {
        let mut altered = encrypted.to_vec();
        altered[position] ^= 0x01;
        let refusal = scene.refusal(&with_corrected_line(&altered));
        assert!(matches!(refusal, Altered | Layout | WrongKey), "{position}: {refusal}");
    }
    let mut last = encrypted.to_vec();
    *last.last_mut().unwrap() ^= 0x01;
    assert!(matches!(scene.refusal(&with_corrected_line(&last)), Altered));
}

#[test]
fn every_length_but_the_whole_is_refused() {
    use OpenPackageError::{Altered, Damaged, Layout, NotAPackage, Truncated};
    let scene = Scene::new();
    let sealed = scene.sealed_plan(1);
    assert!(matches!(scene.refusal(&[]), NotAPackage));
    for n_bytes in 1..sealed.len() {
        let refusal = scene.refusal(&sealed[..n_bytes]);
        assert!(matches!(refusal, Truncated { .. }), "{n_bytes}: {refusal}");
    }
    for n_bytes in envelope::LINE_BYTES..sealed.len() {
        let cut = with_corrected_line(&sealed[envelope::LINE_BYTES..n_bytes]);
        let refusal = scene.refusal(&cut);
        assert!(matches!(refusal, Altered | Layout), "{n_bytes}: {refusal}");
    }
    let longer = [&sealed[..], b"!"].concat();
    assert!(matches!(scene.refusal(&longer), Damaged));
    let longer = with_corrected_line(&longer[envelope::LINE_BYTES..]);
    assert!(matches!(scene.refusal(&longer), Altered));
}

/// age encrypts in pieces of 64 KiB; a package cut between two must not pass for a shorter one.
#[test]
fn a_cut_between_encrypted_pieces_is_found() {
    let scene = Scene::new();
    let (manifest, archive) = scene.parts_of(&scene.sealed_plan(1));
    let padded = [archive, vec![0; 200_000]].concat();
    let content = scene.signed_by_clinic(&manifest.to_bytes(), &padded);
    let whole = wrapped(&content, &scene.home.public());
    assert!(matches!(scene.refusal(&whole), OpenPackageError::OtherPayload));
    let encrypted = &whole[envelope::LINE_BYTES..];
    let pieces_bytes = 64 * 1024 + 16;
    let n_header = encrypted.len() - content.len() - 16 * content.len().div_ceil(64 * 1024);
    for n_pieces in 0..content.len() / (64 * 1024) {
        let cut = with_corrected_line(&encrypted[..n_header + n_pieces * pieces_bytes]);
        let refusal = scene.refusal(&cut);
        let told = matches!(refusal, OpenPackageError::Altered | OpenPackageError::OtherPayload);
        assert!(told, "{n_pieces}: {refusal}");
    }
}

#[test]
fn other_formats_are_named_before_anything_else_is_judged() {
    let scene = Scene::new();
    let sealed = scene.sealed_plan(1);
    let of_format = |format: u64| {
        let digits = format!("{format:010}");
        let mut other = sealed.clone();
        let start = "Footing package, format ".len();
        other[start..start + 10].copy_from_slice(digits.as_bytes());
        // A newer format may well be something else altogether after its number.
        other.truncate(start + 40);
        scene.refusal(&other)
    };
    assert!(matches!(of_format(0), OpenPackageError::OlderFormat { found: 0 }));
    assert_eq!(of_format(0).to_string(), "it is of format 0, the oldest this program reads is 1");
    let newer = u64::from(FORMAT_VERSION) + 1;
    assert!(matches!(of_format(newer), OpenPackageError::NewerFormat { found } if found == newer));
    assert_eq!(of_format(2).to_string(), "it is of format 2, the newest this program reads is 1");
}

#[test]
fn what_is_no_package_says_so() {
    let scene = Scene::new();
    for other in [&b"PK\x03\x04"[..], b"age-encryption.org/v1\n", b"\x89HDF\r\n\x1a\n", b"foot"] {
        assert!(matches!(scene.refusal(other), OpenPackageError::NotAPackage), "{other:?}");
    }
}

#[test]
fn a_header_without_end_is_not_read_to_its_end() {
    let scene = Scene::new();
    let stanza = b"-> X25519 AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA\nAAAA\n";
    let endless = [b"age-encryption.org/v1\n".as_slice(), &stanza.repeat(20_000)].concat();
    let refusal = scene.refusal(&with_corrected_line(&endless));
    assert!(matches!(refusal, OpenPackageError::Layout), "{refusal}");
}

/// A sparse file: the limit must be judged from its length, not by reading it.
#[test]
fn a_file_over_the_limit_is_not_read() {
    let scene = Scene::new();
    let path = scene.folder.path().join("large.footing");
    std::fs::write(&path, scene.sealed_plan(1)).unwrap();
    let file = std::fs::File::options().write(true).open(&path).unwrap();
    file.set_len(MAX_PACKAGE_BYTES + 1).unwrap();
    let imported = scene.imported();
    let pairings = [scene.of_clinic.clone()];
    let receiver =
        crate::package::Receiver { own: &scene.home, pairings: &pairings, imported: &imported };
    let open = |path: &std::path::Path| {
        crate::package::open_package(path, receiver, &scene.staging()).unwrap_err()
    };
    let n_bytes = MAX_PACKAGE_BYTES + 1;
    assert!(
        matches!(open(&path), OpenPackageError::FileTooLarge { n_bytes: n, .. } if n == n_bytes)
    );
    assert!(matches!(open(&path.join("..")), OpenPackageError::Unreadable(_)));
    assert!(matches!(open(scene.folder.path()), OpenPackageError::NotAFile));
    assert!(matches!(open(&scene.folder.path().join("absent")), OpenPackageError::Missing));
    assert!(scene.is_untouched());
}

/// Some bytes set to others, then a cut; both at random. The same as before is left alone.
fn damaged(sealed: &[u8], changes: &[(prop::sample::Index, u8)], keep: f64) -> Vec<u8> {
    let mut bytes = sealed.to_vec();
    for (position, value) in changes {
        let position = position.index(bytes.len());
        bytes[position] = *value;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a length"
    )]
    bytes.truncate((bytes.len() as f64 * keep) as usize);
    bytes
}

fn changes() -> impl Strategy<Value = Vec<(prop::sample::Index, u8)>> {
    prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6)
}

fn share() -> impl Strategy<Value = f64> {
    prop_oneof![3 => Just(1.0), 1 => 0.0..1.0]
}

#[test]
fn random_damage_is_never_accepted() {
    let scene = Scene::new();
    let sealed = scene.sealed_plan(1);
    let content = scene.content_of(&sealed);
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig::with_cases(2000));
    let outcome = runner.run(&(changes(), share(), 0..3_usize), |(changes, keep, layer)| {
        let encrypted = &sealed[envelope::LINE_BYTES..];
        let original = [&sealed[..], encrypted, &content][layer];
        let bytes = damaged(original, &changes, keep);
        let is_whole = bytes == original;
        let package = match layer {
            0 => bytes,
            1 => with_corrected_line(&bytes),
            _ => wrapped(&bytes, &scene.home.public()),
        };
        // `home_opens` itself checks that a refusal leaves nothing behind.
        let opened = scene.home_opens(&package);
        prop_assert_eq!(matches!(opened, Ok(Opened::New(_))), is_whole, "{:?}", opened.err());
        Ok(())
    });
    outcome.unwrap();
}
