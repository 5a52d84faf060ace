//! A board on a serial port, or on a pseudo-terminal.

use std::io::{self, Read as _, Write as _};
use std::time::Duration;

use serialport::{ClearBuffer, SerialPort};

use super::Transport;

/// Bits a second: what an 8N1 line needs for 1000 frames of 28 bytes, with the next usual step above.
/// USB and pseudo-terminals ignore it.
const BAUD_RATE: u32 = 921_600;

/// How long a write may block before the board counts as gone: commands are a few bytes.
const WRITE_LIMIT: Duration = Duration::from_millis(500);

/// A serial port, held exclusively.
pub struct SerialTransport {
    path: String,
    port: Box<dyn SerialPort>,
    timeout: Duration,
}

impl SerialTransport {
    /// Opens the port at `path` and throws away what had been waiting in it.
    ///
    /// # Errors
    /// The system's error if there is no such port, another program holds it, or it is not permitted.
    pub fn open(path: &str) -> io::Result<Self> {
        let port = serialport::new(path, BAUD_RATE).timeout(WRITE_LIMIT).open()?;
        // Best effort: a pseudo-terminal may not know how, and old bytes only cost a resynchronisation.
        drop(port.clear(ClearBuffer::Input));
        Ok(Self { path: path.to_owned(), port, timeout: WRITE_LIMIT })
    }

    fn wait_at_most(&mut self, timeout: Duration) -> io::Result<()> {
        if self.timeout != timeout {
            self.port.set_timeout(timeout)?;
            self.timeout = timeout;
        }
        Ok(())
    }
}

impl Transport for SerialTransport {
    fn port(&self) -> &str {
        &self.path
    }

    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize> {
        self.wait_at_most(timeout)?;
        match self.port.read(buffer) {
            // The end of a terminal's stream: some systems say so instead of an error.
            Ok(0) => Err(io::ErrorKind::UnexpectedEof.into()),
            Err(error) if nothing_yet(&error) => Ok(0),
            read => read,
        }
    }

    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.wait_at_most(WRITE_LIMIT)?;
        self.port.write_all(bytes)
    }
}

/// Everything else a read can say (broken pipe, no such device, input/output error) is an unplug.
pub(super) fn nothing_yet(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::TimedOut | io::ErrorKind::WouldBlock | io::ErrorKind::Interrupted
    )
}
