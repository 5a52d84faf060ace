//! Nothing but tests: the images that `build.sh` makes, run in QEMU.
