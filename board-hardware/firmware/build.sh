#!/bin/sh
# Builds every image and prints its path, then its sizes in bytes; stops if one outgrows its budget.
#
# The toolchain has no core library for these targets, so core is built from Debian's sources:
#   apt-get install rustc-web rust-web-src
# Nothing is fetched but crates.
set -eu
cd "$(dirname "$0")"

export RUSTC=/usr/bin/rustc RUSTC_BOOTSTRAP=1
# Cargo has no other way to be told where rust-lld is.
PATH="$PATH:$(rustc --print sysroot)/lib/rustlib/x86_64-unknown-linux-gnu/bin"
target_dir=${CARGO_TARGET_DIR:-$PWD/target}

build() { # package, target, features, name of the image, most bytes of flash
    cargo build --quiet --release -Zbuild-std=core --target "$2" --package "$1" ${3:+--features "$3"}
    mkdir -p "$target_dir/images"
    cp "$target_dir/$2/release/$1" "$target_dir/images/$4"
    echo "$target_dir/images/$4"
    size "$target_dir/images/$4" | tail -n +2 | awk -v most="$5" '
        { print "  flash", $1 + $2, "of at most", most, " ram", $2 + $3; exit most < $1 + $2 }'
}

build board-emulated thumbv7m-none-eabi mps2-an385 mps2-an385 16384
build board-emulated thumbv7m-none-eabi mps2-an385,slow-converter mps2-an385-slow-converter 16384
build board-emulated thumbv6m-none-eabi microbit microbit 16384
build board-rp2040 thumbv6m-none-eabi "" rp2040 65536
