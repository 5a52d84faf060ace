//! Keys are kept, handed over, compared, and brought back.

use std::fs;
use std::os::unix::fs::PermissionsExt as _;
use std::path::Path;

use age::secrecy::SecretString;
use proptest::prelude::*;
use tempfile::TempDir;

use super::*;

/// Two secrets that others publish with their public halves. Signing: RFC 8032, section 7.1, test 2.
/// Encryption: the test key in the sources of the age crate, `src/native/x25519.rs`.
const SIGNING: &str = "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb";
const ENCRYPTION: &str =
    "AGE-SECRET-KEY-1GQ9778VQXMMJVE8SK7J6VT8UJ4HDQAJUVSFCWCM02D8GEWQ72PVQ2Y5J33";

fn published() -> KeyPair {
    KeyPair::from_secrets(Role::Clinic, ENCRYPTION, SIGNING).unwrap()
}

fn assignment() -> Assignment {
    Assignment {
        clinic: "clinic-a".parse().unwrap(),
        person: "p-01".parse().unwrap(),
        board: "0123456789abcdef01234567".parse().unwrap(),
    }
}

fn folder() -> TempDir {
    tempfile::tempdir().unwrap()
}

fn mode(path: &Path) -> u32 {
    fs::metadata(path).unwrap().permissions().mode() & 0o777
}

#[test]
fn published_secrets_have_their_published_public_halves() {
    let expected = "Footing public keys, version 1\n\
        side: clinic\n\
        encryption: age1t7rxyev2z3rw82stdlrrepyc39nvn86l5078zqkf5uasdy86jp6svpy7pa\n\
        signing: 3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c\n";
    assert_eq!(published().public().to_string(), expected);
    // What `sha256sum` gives for these four lines, and Python's integers for its first 32 digits.
    let public = published().public();
    assert_eq!(public.fingerprint().to_string(), FINGERPRINT);
    assert_eq!(public.spoken_code().to_string(), SPOKEN);
}

const FINGERPRINT: &str = "d56bbbdee4c44a7f5617c95e918a7721230d10b416a38f47b6ae67cf4000fea0";
const SPOKEN: &str = "81520 17786 91197 17707 91713";

#[test]
fn a_published_message_has_its_published_signature() {
    // RFC 8032, section 7.1, test 2: the message is the one byte 0x72.
    let signature = "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da\
        085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00";
    assert_eq!(hex(&published().sign(&[0x72])), signature);
    let signature = bytes_from_hex(signature).unwrap();
    assert!(published().public().signed(&[0x72], &signature));
    assert!(!published().public().signed(&[0x73], &signature));
    assert!(!generate(Role::Clinic).public().signed(&[0x72], &signature));
}

#[test]
fn keys_are_kept_for_their_owner_and_never_overwritten() {
    let folder = folder();
    let path = folder.path().join("keys.toml");
    let keys = generate(Role::Home);
    save_keys(&keys, &path).unwrap();
    assert_eq!(mode(&path), 0o600);
    assert_eq!(load_keys(&path).unwrap(), keys);
    let again = save_keys(&generate(Role::Home), &path).unwrap_err();
    assert!(matches!(again, SaveKeysError::AlreadyThere));
    assert_eq!(load_keys(&path).unwrap(), keys);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside it");
}

#[test]
fn keys_others_may_read_are_not_used() {
    let folder = folder();
    let path = folder.path().join("keys.toml");
    save_keys(&generate(Role::Home), &path).unwrap();
    for open in [0o640, 0o604, 0o620, 0o666] {
        fs::set_permissions(&path, fs::Permissions::from_mode(open)).unwrap();
        let refused = load_keys(&path).unwrap_err();
        let LoadKeysError::File(ReadOwnerFileError::OpenToOthers { mode }) = refused else {
            panic!("{refused}");
        };
        assert_eq!(mode, open);
    }
}

#[test]
fn what_holds_no_keys_is_refused_without_telling_what_it_holds() {
    let folder = folder();
    let path = folder.path().join("keys.toml");
    save_keys(&generate(Role::Home), &path).unwrap();
    let whole = fs::read_to_string(&path).unwrap();
    for other in [
        String::new(),
        whole.replace("footing_keys = 1", "footing_keys = 2"),
        whole.replace("\"home\"", "\"shop\""),
        whole.replace("AGE-SECRET-KEY-1", "AGE-SECRET-KEY-2"),
        whole.lines().take(3).collect::<Vec<_>>().join("\n"),
        "x".repeat(5000),
    ] {
        fs::write(&path, &other).unwrap();
        let refused = load_keys(&path).unwrap_err();
        let shown = format!("{refused:?} {refused}");
        assert!(!shown.contains("SECRET"), "{shown}");
    }
    fs::remove_file(&path).unwrap();
    assert!(matches!(load_keys(&path), Err(LoadKeysError::File(ReadOwnerFileError::Missing))));
}

#[test]
fn secrets_are_not_printed() {
    let shown = format!("{:?}", published());
    assert!(!shown.contains(SIGNING) && !shown.contains("SECRET"), "{shown}");
}

#[test]
fn public_keys_survive_the_mail() {
    let public = generate(Role::Home).public();
    let text = public.to_string();
    assert_eq!(text.parse::<PublicKeys>(), Ok(public.clone()));
    let mailed = format!("\r\n  {}\r\n", text.replace('\n', "  \r\n\r\n"));
    assert_eq!(mailed.parse::<PublicKeys>(), Ok(public));
}

#[test]
fn what_holds_no_public_keys_says_what_is_wrong() {
    let text = published().public().to_string();
    let check = |text: &str, expected: &str| {
        assert_eq!(text.parse::<PublicKeys>().unwrap_err().to_string(), expected, "{text}");
    };
    let line = |name: &str| format!("the line {name:?} is missing or holds no usable key");
    check(
        "",
        "the text does not begin with the line \"Footing public keys, version \" and a number",
    );
    check(
        &text.replace("version 1", "version 2"),
        "the public keys are of version \"2\", this program reads version 1",
    );
    check(&text.replace("clinic", "shop"), &line("side"));
    check(&text.replace("age1t", "age1x"), &line("encryption"));
    check(&text.replace("3d4017", "3D4017"), &line("signing"));
    // The neutral element as a key: a signature by it would fit any message.
    let neutral = format!("01{}", "00".repeat(31));
    let weak = text.replace(&hex(&published().public().verifying_bytes()), &neutral);
    check(&weak, &line("signing"));
    check(&format!("{text}more"), "there is more text after the four lines");
    check(&" ".repeat(3000), "public keys have at most 2048 bytes, these have 3000");
}

#[test]
fn a_pairing_needs_the_code_that_was_heard() {
    let (clinic, home) = (generate(Role::Clinic), generate(Role::Home));
    let (heard, impostor) = (home.public().spoken_code(), generate(Role::Home));
    let came = impostor.public().spoken_code();
    let refused = Pairing::new(Role::Clinic, impostor.public(), heard, assignment()).unwrap_err();
    assert_eq!(refused, PairError::OtherCode { heard, came });
    let same = Pairing::new(Role::Home, home.public(), heard, assignment()).unwrap_err();
    assert_eq!(same, PairError::SameSide { role: Role::Home });

    let pairing = Pairing::new(clinic.role(), home.public(), heard, assignment()).unwrap();
    let folder = folder();
    let path = folder.path().join("p-01.toml");
    save_pairing(&pairing, &path).unwrap();
    assert_eq!((load_pairing(&path).unwrap(), mode(&path)), (pairing, 0o600));
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("p-01", "p 01")).unwrap();
    assert!(matches!(load_pairing(&path), Err(LoadPairingError::NotAPairing)));
    fs::set_permissions(&path, fs::Permissions::from_mode(0o622)).unwrap();
    assert!(matches!(load_pairing(&path), Err(LoadPairingError::File(_))));
}

#[test]
fn a_backup_brings_everything_back() {
    let folder = folder();
    let path = folder.path().join("backup.age");
    let heard = published().public().spoken_code();
    let pairing = Pairing::new(Role::Home, published().public(), heard, assignment()).unwrap();
    let backup = Backup {
        keys: vec![generate(Role::Home), generate(Role::Home)],
        pairings: vec![pairing],
        extra: b"any\nbytes\0\xff".to_vec(),
    };
    let passphrase = SecretString::from("four words and more");
    back_up(&backup, &passphrase, &path).unwrap();
    assert_eq!(mode(&path), 0o600);
    // On a stick without owners everybody may read it.
    fs::set_permissions(&path, fs::Permissions::from_mode(0o755)).unwrap();
    assert_eq!(restore(&path, &passphrase).unwrap(), backup);
    let whole = fs::read(&path).unwrap();
    assert!(!String::from_utf8_lossy(&whole).contains("SECRET"));

    let refused = restore(&path, &SecretString::from("four words and less")).unwrap_err();
    assert!(matches!(refused, RestoreError::WrongPassphrase), "{refused}");
    let mut altered = whole.clone();
    *altered.last_mut().unwrap() ^= 1;
    for damaged in [&altered[..], &whole[..whole.len() - 1]] {
        fs::write(&path, damaged).unwrap();
        let refused = restore(&path, &passphrase).unwrap_err();
        assert!(matches!(refused, RestoreError::Damaged), "{refused}");
    }
    // The work is stated in the clear, as a power of two: 2^40 would take a petabyte.
    let text = String::from_utf8_lossy(&whole[..80]).into_owned();
    let stated = text.lines().nth(1).unwrap();
    assert!(stated.starts_with("-> scrypt ") && stated.ends_with(" 18"), "{stated}");
    let costly = stated.replace(" 18", " 40");
    let costly = [whole[..22].to_vec(), costly.into_bytes(), whole[22 + stated.len()..].to_vec()];
    fs::write(&path, costly.concat()).unwrap();
    let refused = restore(&path, &passphrase).unwrap_err();
    assert!(matches!(refused, RestoreError::TooMuchWork), "{refused}");
}

#[test]
fn what_is_no_backup_says_so() {
    let folder = folder();
    let path = folder.path().join("backup.age");
    let passphrase = SecretString::from("four words and more");
    let for_a_key = age::encrypt(published().public().recipient(), b"x").unwrap();
    for other in [&b""[..], b"age-encryption.org/v1\n", &for_a_key, &[b'-'; 10_000]] {
        fs::write(&path, other).unwrap();
        let refused = restore(&path, &passphrase).unwrap_err();
        assert!(matches!(refused, RestoreError::NotABackup), "{refused}");
    }
}

#[test]
fn a_backup_is_not_made_where_it_would_be_weak_or_in_the_way() {
    let folder = folder();
    let path = folder.path().join("backup.age");
    let backup = Backup { keys: vec![], pairings: vec![], extra: vec![] };
    let short = back_up(&backup, &SecretString::from("\u{e4}\u{f6}\u{fc}456789012345"), &path);
    assert!(matches!(short, Err(BackUpError::ShortPassphrase { n_characters: 15 })));
    assert!(!path.exists());
    fs::write(&path, "mine").unwrap();
    let taken = back_up(&backup, &SecretString::from("four words and more"), &path);
    assert!(matches!(taken, Err(BackUpError::AlreadyThere)));
    assert_eq!(fs::read(&path).unwrap(), b"mine");
}

proptest! {
    #[test]
    fn no_text_makes_public_keys_panic_and_other_keys_have_another_code(
        text in "\\PC{0,80}",
        cut in 0..220_usize,
    ) {
        let genuine = published().public().to_string();
        let mixed = format!("{}{text}", &genuine[..cut.min(genuine.len())]);
        if let Ok(keys) = mixed.parse::<PublicKeys>() {
            prop_assert_eq!(keys.to_string().parse(), Ok(keys.clone()));
            // Half of all numbers are keys: what was mistyped is found when the code is compared.
            if keys != published().public() {
                prop_assert_ne!(keys.spoken_code(), published().public().spoken_code());
            }
        }
    }
}
