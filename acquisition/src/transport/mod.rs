//! The ways to a board: a serial port, a TCP connection, a recorded byte stream.
//!
//! A transport moves bytes and nothing else. The simulator stands behind the same trait as hardware.

mod holder;
mod replay;
mod serial;
mod tcp;

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};
use std::str::FromStr;
use std::time::Duration;

pub use holder::PortHolder;
pub use replay::Replay;
pub use serial::SerialTransport;
pub use tcp::TcpTransport;

pub(crate) use holder::other_holder;

/// A stream of bytes to and from a board. One thread owns it.
pub trait Transport: Send {
    /// Where the board is, in words a person recognises: a device path, an address.
    fn port(&self) -> &str;

    /// Reads what has arrived, waiting at most `timeout` for the first byte; 0 means that nothing
    /// came in time, which is no error.
    ///
    /// # Errors
    /// Any error means that the board is gone; reading again is pointless.
    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize>;

    /// Writes all of `bytes`.
    ///
    /// # Errors
    /// Any error means that the board is gone.
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()>;
}

/// Where to find a board, as a person writes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BoardAddress {
    /// The path of a serial device, or the name of a port, such as `/dev/ttyACM0` or `COM3`.
    Serial(String),
    /// Host and port of a TCP connection, written `tcp:host:port`.
    Tcp(String),
    /// A file with the recorded bytes of a board, written `replay:path`.
    Replay(PathBuf),
}

impl FromStr for BoardAddress {
    type Err = std::convert::Infallible;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Ok(if let Some(host_and_port) = text.strip_prefix("tcp:") {
            Self::Tcp(host_and_port.to_owned())
        } else if let Some(path) = text.strip_prefix("replay:") {
            Self::Replay(PathBuf::from(path))
        } else {
            Self::Serial(text.to_owned())
        })
    }
}

impl fmt::Display for BoardAddress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Serial(path) => f.write_str(path),
            Self::Tcp(host_and_port) => write!(f, "tcp:{host_and_port}"),
            Self::Replay(path) => write!(f, "replay:{}", path.display()),
        }
    }
}

/// Opens the way to a board; nothing is sent yet.
///
/// # Errors
/// The system's error if it is not there, in use, or not permitted.
pub(crate) fn open(address: &BoardAddress) -> io::Result<Box<dyn Transport>> {
    Ok(match address {
        BoardAddress::Serial(path) => Box::new(SerialTransport::open(path)?),
        BoardAddress::Tcp(address) => Box::new(TcpTransport::connect(address)?),
        BoardAddress::Replay(path) => Box::new(Replay::open(path)?),
    })
}

/// Whether a port could not be opened because somebody holds it: the port is there, yet the system
/// calls it busy, or the serial library found it locked, which it reports as a device that is not
/// there.
pub(crate) fn is_in_use(address: &BoardAddress, error: &io::Error) -> bool {
    let BoardAddress::Serial(path) = address else { return false };
    matches!(error.kind(), io::ErrorKind::NotFound | io::ErrorKind::ResourceBusy)
        && Path::new(path).exists()
}
