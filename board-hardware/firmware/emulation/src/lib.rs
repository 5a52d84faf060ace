//! The images that `build.sh` makes, run in QEMU; for tests.
//!
//! Needs `qemu-system-arm` and what `build.sh` needs.

use std::io::{ErrorKind, Read as _, Write as _};
use std::os::unix::net::{UnixListener, UnixStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command as Program, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

use board_wire::Command;
use object::{Object as _, ObjectSymbol as _};

/// A machine that QEMU plays, ended when the test ends.
#[derive(Debug)]
pub struct Machine {
    child: Child,
    cable: UnixStream,
    monitor: UnixStream,
    image: &'static Path,
    _folder: Folder,
}

/// A folder of this test's own, removed with it.
#[derive(Debug)]
struct Folder(PathBuf);

impl Drop for Folder {
    fn drop(&mut self) {
        if let Err(error) = std::fs::remove_dir_all(&self.0) {
            assert_eq!(error.kind(), ErrorKind::NotFound, "{error}");
        }
    }
}

impl Machine {
    /// Starts the image of a machine, which is built first if it is old, with more of QEMU's
    /// options.
    ///
    /// # Panics
    /// If QEMU or what `build.sh` needs is missing.
    pub fn start(name: &str, options: &[&str]) -> Self {
        static N_STARTED: AtomicU32 = AtomicU32::new(0);
        let number = N_STARTED.fetch_add(1, Ordering::Relaxed);
        let folder = format!("board-{name}-{}-{number}", std::process::id());
        let folder = Folder(std::env::temp_dir().join(folder));
        std::fs::create_dir_all(&folder.0).expect("a fresh folder");
        let [socket, monitor] = ["cable", "monitor"].map(|end| folder.0.join(end));
        let listener = UnixListener::bind(&socket).expect("a socket");
        let monitor_listener = UnixListener::bind(&monitor).expect("a socket");
        // QEMU connects to us, so nothing is sent before anybody listens.
        let child = Program::new("qemu-system-arm")
            .args(["-M", name, "-display", "none", "-kernel"])
            .arg(image(name))
            .args(["-serial", &format!("unix:{}", socket.display())])
            .args(["-monitor", &format!("unix:{}", monitor.display())])
            .args(options)
            .stdin(Stdio::null())
            .spawn()
            .expect("qemu-system-arm is installed");
        let (cable, _) = listener.accept().expect("QEMU connects");
        // Only a board that says nothing at all is waited for this long.
        cable.set_read_timeout(Some(Duration::from_mins(1))).expect("a timeout above 0");
        let (monitor, _) = monitor_listener.accept().expect("QEMU connects");
        monitor.set_read_timeout(Some(Duration::from_mins(1))).expect("a timeout above 0");
        Self { child, cable, monitor, image: image(name), _folder: folder }
    }

    /// Sends a command.
    ///
    /// # Panics
    /// If QEMU is gone.
    pub fn say(&mut self, command: Command) {
        self.cable.write_all(command.encode().as_bytes()).expect("the cable is sound");
    }

    /// Reads what has arrived, at least a byte.
    ///
    /// # Panics
    /// If QEMU is gone or the board says nothing for a minute.
    pub fn read(&mut self) -> Vec<u8> {
        let mut bytes = [0; 4096];
        let n_bytes = self.cable.read(&mut bytes).expect("the board says something in time");
        assert_ne!(n_bytes, 0, "QEMU hung up");
        bytes[..n_bytes].to_vec()
    }

    /// Reads until so many bytes have arrived.
    ///
    /// # Panics
    /// As [`read`](Self::read).
    pub fn read_at_least(&mut self, n_bytes: usize) -> Vec<u8> {
        let mut all = Vec::new();
        while all.len() < n_bytes {
            all.extend(self.read());
        }
        all
    }

    /// A word of the image's memory, by the name of its symbol.
    ///
    /// # Panics
    /// If there is no such symbol, or QEMU does not tell.
    pub fn word(&mut self, symbol: &str) -> u32 {
        let bytes = std::fs::read(self.image).expect("build.sh wrote it");
        let file = object::File::parse(&*bytes).expect("the image is an ELF file");
        let symbol = file.symbol_by_name(symbol).expect("the symbol is there");
        let address = format!("{:08x}", symbol.address());
        writeln!(self.monitor, "xp /1xw 0x{address}").expect("QEMU listens");
        // The answer reads `0000000020000000: 0x000000ff`, after an echo of what was asked.
        let mut heard = String::new();
        loop {
            let mut bytes = [0; 1024];
            let n_bytes = self.monitor.read(&mut bytes).expect("QEMU answers in time");
            assert_ne!(n_bytes, 0, "QEMU hung up");
            heard.push_str(&String::from_utf8_lossy(&bytes[..n_bytes]));
            let told = heard.split_once(&format!("{address}: 0x")).map(|(_, told)| told);
            if let Some((word, _)) = told.and_then(|told| told.split_once('\r')) {
                return u32::from_str_radix(word, 16).expect("QEMU prints a number");
            }
        }
    }
}

impl Drop for Machine {
    fn drop(&mut self) {
        self.child.kill().expect("a running child can be ended");
        self.child.wait().expect("an ended child can be waited for");
    }
}

/// The image of this name, built once for all tests of a file.
///
/// # Panics
/// If it cannot be built.
pub fn image(name: &str) -> &'static Path {
    static BUILT: OnceLock<String> = OnceLock::new();
    let printed = BUILT.get_or_init(|| {
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../build.sh");
        let output = Program::new(script).output().expect("build.sh runs");
        let errors = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "build.sh failed: {errors}");
        String::from_utf8(output.stdout).expect("paths are text")
    });
    let ending = format!("/images/{name}");
    Path::new(printed.lines().find(|line| line.ends_with(&ending)).expect("build.sh names it"))
}
