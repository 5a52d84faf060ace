//! Content that a paired sender signed, but that no program of ours would have made.

use std::io::Write as _;

use serde_json::{Value, json};

use super::scene::Scene;
use crate::package::hashing::digest_of;
use crate::package::manifest::{Manifest, Payload};
use crate::package::{MAX_TOTAL_BYTES, MemberEntry, OpenPackageError, signed_part};

/// One entry of a tar archive, as a forger may write it.
struct Entry<'a> {
    name: &'a [u8],
    data: &'a [u8],
    kind: tar::EntryType,
}

fn file<'a>(name: &'a str, data: &'a [u8]) -> Entry<'a> {
    Entry { name: name.as_bytes(), data, kind: tar::EntryType::Regular }
}

fn packed(entries: &[Entry<'_>], tail: &[u8]) -> Vec<u8> {
    let mut archive = tar::Builder::new(Vec::new());
    for Entry { name, data, kind } in entries {
        let mut header = tar::Header::new_ustar();
        // Written over the field itself: the library refuses such paths.
        header.as_old_mut().name[..name.len()].copy_from_slice(name);
        header.set_entry_type(*kind);
        header.set_size(data.len() as u64);
        header.set_mode(0o600);
        header.set_cksum();
        archive.append(&header, *data).unwrap();
    }
    let bytes = [archive.into_inner().unwrap().as_slice(), tail].concat();
    zstd::encode_all(&bytes[..], 3).unwrap()
}

/// A genuine manifest that declares these files, with this archive behind it.
fn content(scene: &Scene, declared: &[(&str, &[u8])], archive: &[u8]) -> Vec<u8> {
    let (mut manifest, _) = scene.parts_of(&scene.sealed_plan(1));
    manifest.payload = Payload { n_bytes: archive.len() as u64, digest: digest_of(archive) };
    let entry = |&(name, data): &(&str, &[u8])| MemberEntry {
        name: name.parse().unwrap(),
        n_bytes: data.len() as u64,
        digest: digest_of(data),
    };
    manifest.members = declared.iter().map(entry).collect();
    scene.signed_by_clinic(&manifest.to_bytes(), archive)
}

const DECLARED: &[(&str, &[u8])] = &[("a.txt", b"first"), ("b.txt", b"second")];

fn archive_refusal(entries: &[Entry<'_>], tail: &[u8]) -> OpenPackageError {
    let scene = Scene::new();
    scene.content_refusal(&content(&scene, DECLARED, &packed(entries, tail)))
}

#[test]
fn an_archive_that_is_not_as_declared_is_refused() {
    use OpenPackageError::{DuplicateMember, MissingMember, OtherMember, UndeclaredMember};
    let (a, b) = (|| file("a.txt", b"first"), || file("b.txt", b"second"));
    let missing = archive_refusal(&[a()], &[]);
    assert!(matches!(&missing, MissingMember { name } if name.as_str() == "b.txt"), "{missing}");
    let swapped = archive_refusal(&[b(), a()], &[]);
    assert!(matches!(&swapped, MissingMember { name } if name.as_str() == "a.txt"), "{swapped}");
    let twice = archive_refusal(&[a(), a()], &[]);
    assert!(matches!(&twice, DuplicateMember { name } if name.as_str() == "a.txt"), "{twice}");
    let once_more = archive_refusal(&[a(), b(), b()], &[]);
    assert!(matches!(once_more, DuplicateMember { .. }), "{once_more}");
    let extra = archive_refusal(&[a(), b(), file("c.txt", b"")], &[]);
    assert!(matches!(extra, UndeclaredMember), "{extra}");
    let bytes = archive_refusal(&[a(), file("b.txt", b"secomd")], &[]);
    assert!(matches!(&bytes, OtherMember { name } if name.as_str() == "b.txt"), "{bytes}");
    let longer = archive_refusal(&[a(), file("b.txt", b"second and more")], &[]);
    assert!(matches!(longer, OtherMember { .. }), "{longer}");
}

#[test]
fn names_in_the_archive_lead_nowhere() {
    let names: &[&[u8]] =
        &[b"../a.txt", b"/a.txt", b"./a.txt", b"a.txt/", b"sub/a.txt", b"a.txt\\..\\b", b"A.txt"];
    for name in names {
        let entry = Entry { name, data: b"first", kind: tar::EntryType::Regular };
        let refusal = archive_refusal(&[entry], &[]);
        let named = String::from_utf8_lossy(name);
        assert!(matches!(refusal, OpenPackageError::UndeclaredMember), "{named}: {refusal}");
    }
}

#[test]
fn only_plain_files_are_unpacked() {
    use tar::EntryType;
    for kind in [
        EntryType::Symlink,
        EntryType::Link,
        EntryType::Directory,
        EntryType::Char,
        EntryType::Fifo,
        EntryType::GNUSparse,
        EntryType::GNULongName,
        EntryType::XHeader,
        EntryType::XGlobalHeader,
    ] {
        let refusal = archive_refusal(&[Entry { name: b"a.txt", data: b"first", kind }], &[]);
        assert!(matches!(refusal, OpenPackageError::UndeclaredMember), "{kind:?}: {refusal}");
    }
}

/// A gigabyte of zeros takes some 30 kB; a paired sender's broken program could send that.
#[test]
fn an_archive_that_unpacks_to_more_than_declared_is_refused() {
    let scene = Scene::new();
    let entries = [file("a.txt", b"first"), file("b.txt", b"second")];
    let tail = packed_tail(1 << 30, &entries);
    assert!(tail.len() < 200_000, "{} bytes", tail.len());
    let refusal = scene.content_refusal(&content(&scene, DECLARED, &tail));
    // A header block and a data block for each of the two files, and two blocks at the end.
    assert!(matches!(refusal, OpenPackageError::Overflowing { declared_bytes: 3072 }), "{refusal}");
    // The same archive without the tail is taken.
    let good = content(&scene, DECLARED, &packed(&entries, &[]));
    assert!(matches!(scene.content_outcome(&good), Ok(())));
}

fn packed_tail(n_zeros: usize, entries: &[Entry<'_>]) -> Vec<u8> {
    let archive = zstd::decode_all(&packed(entries, &[])[..]).unwrap();
    let mut compressed = zstd::Encoder::new(Vec::new(), 3).unwrap();
    compressed.write_all(&archive).unwrap();
    for _ in 0..n_zeros >> 20 {
        compressed.write_all(&vec![0; 1 << 20]).unwrap();
    }
    compressed.finish().unwrap()
}

/// A window of 128 MiB would have to be kept in memory.
#[test]
fn an_archive_that_asks_for_much_memory_is_refused() {
    let mut compressed = zstd::Encoder::new(Vec::new(), 3).unwrap();
    compressed.window_log(27).unwrap();
    compressed.write_all(&vec![0; 1 << 20]).unwrap();
    let scene = Scene::new();
    let refusal = scene.content_refusal(&content(&scene, DECLARED, &compressed.finish().unwrap()));
    assert!(matches!(refusal, OpenPackageError::Archive(_)), "{refusal}");
}

#[test]
fn an_archive_other_than_the_one_signed_is_refused() {
    let scene = Scene::new();
    let entries = [file("a.txt", b"first"), file("b.txt", b"second")];
    let archive = packed(&entries, &[]);
    let whole = content(&scene, DECLARED, &archive);
    let mut flipped = whole.clone();
    *flipped.last_mut().unwrap() ^= 1;
    for other in [&flipped[..], &whole[..whole.len() - 1], &[&whole[..], b"!"].concat()] {
        assert!(matches!(scene.content_refusal(other), OpenPackageError::OtherPayload));
    }
}

/// The manifest of a genuine plan as JSON, changed and signed again.
fn manifest_refusal(change: impl FnOnce(&mut Value)) -> OpenPackageError {
    let scene = Scene::new();
    let (manifest, archive) = scene.parts_of(&scene.sealed_plan(1));
    let mut value: Value = serde_json::from_slice(&manifest.to_bytes()).unwrap();
    change(&mut value);
    let bytes = serde_json::to_vec(&value).unwrap();
    scene.content_refusal(&scene.signed_by_clinic(&bytes, &archive))
}

#[test]
fn ten_gigabytes_declared_are_refused_before_anything_is_written() {
    let n_declared = 10_000_000_000_u64;
    let member = manifest_refusal(|m| m["members"][0]["bytes"] = json!(n_declared));
    assert_eq!(
        member.to_string(),
        format!("it declares {n_declared} bytes, the limit is {MAX_TOTAL_BYTES}")
    );
    let sum = manifest_refusal(|m| {
        for k in 0..2 {
            m["members"][k]["bytes"] = json!(u64::MAX);
        }
    });
    assert!(matches!(sum, OpenPackageError::DeclaredTooLarge { n_bytes: u64::MAX, .. }), "{sum}");
    let payload = manifest_refusal(|m| m["payload_bytes"] = json!(n_declared));
    assert!(matches!(payload, OpenPackageError::DeclaredTooLarge { .. }), "{payload}");
}

#[test]
fn declared_names_must_be_safe_and_differ() {
    for name in ["../plan.toml", "/etc/passwd", "a/b", "..", "", "NUL", "pl\u{e4}ne"] {
        let refusal = manifest_refusal(|m| m["members"][0]["name"] = json!(name));
        assert!(matches!(refusal, OpenPackageError::UnsafeName(_)), "{name:?}: {refusal}");
    }
    for name in ["notes.txt", "Notes.TXT"] {
        let refusal = manifest_refusal(|m| m["members"][0]["name"] = json!(name));
        assert!(matches!(refusal, OpenPackageError::DuplicateMember { .. }), "{refusal}");
    }
    let many = manifest_refusal(|m| {
        let member = m["members"][0].clone();
        m["members"] = Value::Array(vec![member; 10_001]);
    });
    assert!(matches!(many, OpenPackageError::TooManyMembers { n_members: 10_001 }), "{many}");
}

#[test]
fn a_manifest_of_another_format_or_shape_is_refused() {
    let older = manifest_refusal(|m| m["format"] = json!(0));
    assert!(matches!(older, OpenPackageError::OlderFormat { found: 0 }), "{older}");
    // A newer one is named even if nothing else of it is known.
    let newer = manifest_refusal(|m| *m = json!({"format": 2, "contents": []}));
    assert!(matches!(newer, OpenPackageError::NewerFormat { found: 2 }), "{newer}");
    let unknown = manifest_refusal(|m| m["colour"] = json!("blue"));
    assert!(matches!(unknown, OpenPackageError::ManifestSyntax(_)), "{unknown}");
    for (field, value) in [
        ("package", json!("0198C0DE-0000-7000-8000-000000000000")),
        ("package", json!("9c5b94b1-35ad-49bb-b118-8e8fc24abf80")),
        ("kind", json!("letter")),
        ("created", json!("yesterday")),
        ("from", json!("00")),
        ("to", json!("x".repeat(64))),
        ("clinic", json!("clinic a")),
        ("person", json!("Demo Person")),
        ("board", json!("0123456789ABCDEF01234567")),
        ("personal_name", json!("line\nbreak")),
        ("payload_sha256", json!("")),
        ("members", json!([])),
    ] {
        let refusal = manifest_refusal(|m| m[field] = value);
        let told = matches!(refusal, OpenPackageError::ManifestField { what } if what == field);
        assert!(told, "{field}: {refusal}");
    }
}

#[test]
fn a_manifest_that_is_too_long_is_not_read() {
    let scene = Scene::new();
    let content = scene.content_of(&scene.sealed_plan(1));
    let mut line = content[..signed_part::LINE_BYTES].to_vec();
    for digits in ["0004194305", "9999999999", "-000000001", "+000000001"] {
        line[signed_part::LINE_BYTES - 11..][..10].copy_from_slice(digits.as_bytes());
        let refusal = scene.content_refusal(&line);
        assert!(matches!(refusal, OpenPackageError::Layout), "{digits}: {refusal}");
    }
    assert!(Manifest::from_bytes(&vec![b'['; 4 << 20]).is_err());
}
