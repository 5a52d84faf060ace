#!/bin/sh
# Everything that must hold for the firmware: form, lints, the logic on the host, every image built,
# and the emulated board's bytes the same as the host's.
set -eu
cd "$(dirname "$0")"

cargo fmt --all --check
cargo clippy --locked -p board-firmware --all-targets -- -D warnings
cargo test --locked -p board-firmware
./build.sh
cargo test --locked -p board-emulation -- --nocapture
