//! The window's main path in a real window: a virtual display, synthetic mouse and keys, and names as
//! a screen reader hears them.

use std::path::Path;
use std::process::Command;

use crate::built_simulator;

#[test]
fn the_main_path_is_gone_through_with_mouse_and_keys() {
    // The window starts the simulator from beside the program.
    built_simulator::program();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/real_window/run.sh");
    let pictures = Path::new(env!("CARGO_TARGET_TMPDIR")).join("real_window");
    let gone = Command::new(script)
        .args([Path::new(env!("CARGO_BIN_EXE_footing")), &pictures])
        .output()
        .expect("bash runs");
    let told = [gone.stdout, gone.stderr].map(|text| String::from_utf8_lossy(&text).into_owned());
    assert!(gone.status.success(), "{}", told.concat());
    assert!(told[0].contains("The whole path was gone through"), "{}", told.concat());
}
