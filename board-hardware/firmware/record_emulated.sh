#!/bin/sh
# Records the emulated board's image with the host's program, in the machine's own time: ten minutes
# by default. Prints how many frames were recorded and lost, and what the machine and the wall took.
#
#   board-hardware/firmware/record_emulated.sh [SECONDS] [MACHINE]
#
# Needs what build.sh needs, and qemu-system-arm.
set -eu
cd "$(dirname "$0")"
seconds=${1:-600}
machine=${2:-mps2-an385}

image=$(./build.sh | grep "/images/$machine$")
cargo build --quiet --locked --manifest-path ../../Cargo.toml -p viewer --bin footing
program=${CARGO_TARGET_DIR:-../../target}/debug/footing
folder=$(mktemp -d)
trap 'kill "$emulator" 2>/dev/null || true; rm -r "$folder"' EXIT

# The machine's time goes with its instructions, 2^8 ns each, and never waits for the wall.
qemu-system-arm -M "$machine" -display none -monitor none -kernel "$image" \
    -icount shift=8,sleep=off -serial "tcp:127.0.0.1:47162,server=on,wait=on" &
emulator=$!
began=$(date +%s)
tries=0
until "$program" --data "$folder/data" --quiet record --port tcp:127.0.0.1:47162 --person EMU \
    --kind practice --condition firm/hip-width/open --seconds "$seconds" --settle 2 --json \
    > "$folder/result" 2> "$folder/errors"; do
    tries=$((tries + 1))
    if [ "$tries" -ge 3 ]; then
        cat "$folder/errors" >&2
        exit 1
    fi
done
cat "$folder/result"
echo "recorded $seconds s of the machine's time in $(($(date +%s) - began)) s"
