#!/bin/bash
# Makes made-by-other-tools.footing as acquisition/docs/package.md tells it, with GNU tar, zstd,
# OpenSSL, coreutils and the age command (Go, by another author than the age crate used here).
# The committed file was made with tar 1.34, zstd 1.5.4, OpenSSL 3.0 and age 1.1.1.
#
# The keys are published ones: signing keys of RFC 8032, section 7.1 (test 2 clinic, test 1 home);
# encryption key of the age crate's own tests. They protect nothing.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"

recipient=age1t7rxyev2z3rw82stdlrrepyc39nvn86l5078zqkf5uasdy86jp6svpy7pa
clinic_secret=4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb
clinic_public=3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c
home_public=d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a

fingerprint() { # side, signing key
    printf 'Footing public keys, version 1\nside: %s\nencryption: %s\nsigning: %s\n' \
        "$1" "$recipient" "$2" | sha256sum | cut -d' ' -f1
}
digest() { sha256sum "$1" | cut -d' ' -f1; }
bytes() { stat -c %s "$1"; }

printf 'holds = 3\nhold_s = 20\n' > plan.toml
printf 'The same stance as last week.\n' > notes.txt
tar --format=ustar --blocking-factor=1 --owner=0 --group=0 --numeric-owner --mode=0600 --mtime=@0 \
    -cf members.tar plan.toml notes.txt
zstd -q -3 members.tar -o archive

cat > manifest <<END
{"format": 1, "package": "0198c0de-0000-7000-8000-000000000001", "kind": "plan", "serial": 12,
 "created": "2026-03-01T09:30:00.000000+01:00",
 "from": "$(fingerprint clinic $clinic_public)", "to": "$(fingerprint home $home_public)",
 "clinic": "clinic-a", "person": "p-01", "board": "0123456789abcdef01234567",
 "payload_bytes": $(bytes archive), "payload_sha256": "$(digest archive)",
 "members": [
  {"name": "plan.toml", "bytes": $(bytes plan.toml), "sha256": "$(digest plan.toml)"},
  {"name": "notes.txt", "bytes": $(bytes notes.txt), "sha256": "$(digest notes.txt)"}]}
END
(printf 'Footing package manifest, format 1\n'; cat manifest) > message
# An Ed25519 secret in PKCS #8 (RFC 8410, section 10.3) is this prefix and the 32 bytes.
printf "302e020100300506032b657004220420$clinic_secret" | xxd -r -p > secret.der
openssl pkeyutl -sign -rawin -inkey secret.der -keyform DER -in message -out signature
(printf '%s %s %010d\n' $clinic_public "$(xxd -p -c 64 signature)" "$(bytes manifest)"
 cat manifest archive) > content
age -r $recipient -o encrypted content
(printf 'Footing package, format %010d %020d %s\n' 1 "$(bytes encrypted)" "$(digest encrypted)"
 cat encrypted) > "$here/made-by-other-tools.footing"
