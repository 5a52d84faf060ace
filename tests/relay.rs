//! A relay between the simulated board and the program that knows which frames have passed.

use std::io::{Read as _, Write as _};
use std::net::{TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread;

/// Bytes from the board pass to one program that connects, and commands pass back.
pub(crate) struct Relay {
    pub(crate) port: String,
    delimiters: Arc<AtomicU64>,
}

impl Relay {
    /// A relay in front of the board at `port`, which reads `tcp:HOST:PORT`.
    pub(crate) fn to(port: &str) -> Self {
        let board = port.strip_prefix("tcp:").expect("the board is reached over TCP").to_owned();
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port is free");
        let port = format!("tcp:{}", listener.local_addr().expect("it is bound"));
        let delimiters = Arc::new(AtomicU64::new(0));
        let passed = Arc::clone(&delimiters);
        thread::spawn(move || {
            let (program, _) = listener.accept().expect("the program connects");
            let board = TcpStream::connect(board).expect("the board listens");
            let (commands, answers) =
                (program.try_clone().expect("a handle"), board.try_clone().expect("a handle"));
            thread::spawn(move || pass(commands, answers, None));
            pass(board, program, Some(&passed));
        });
        Self { port, delimiters }
    }

    /// The last frame number that can have reached the program: frames count from 0, and each
    /// header or answer on the line only makes this figure larger, so the test stricter.
    pub(crate) fn last_sequence(&self) -> u64 {
        self.delimiters.load(Ordering::SeqCst).saturating_sub(1)
    }
}

/// Passes bytes on until either side closes; every packet on the line ends with one zero byte.
fn pass(mut from: TcpStream, mut to: TcpStream, delimiters: Option<&AtomicU64>) {
    let mut bytes = [0; 4096];
    while let Ok(n_bytes) = from.read(&mut bytes) {
        if n_bytes == 0 || to.write_all(&bytes[..n_bytes]).is_err() {
            return;
        }
        if let Some(delimiters) = delimiters {
            let n_ends = bytes[..n_bytes].split(|byte| *byte == 0).count() - 1;
            delimiters.fetch_add(n_ends as u64, Ordering::SeqCst);
        }
    }
}
