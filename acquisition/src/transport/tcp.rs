//! A board behind a TCP connection.

use std::io::{self, Read as _, Write as _};
use std::net::{TcpStream, ToSocketAddrs as _};
use std::time::Duration;

use super::Transport;
use super::serial::nothing_yet;

/// How long the other side may take to accept; boards are on the same desk.
const CONNECT_LIMIT: Duration = Duration::from_secs(2);

/// How long a write may block before the board counts as gone.
const WRITE_LIMIT: Duration = Duration::from_millis(500);

/// A TCP connection to a board or a simulator.
pub struct TcpTransport {
    name: String,
    stream: TcpStream,
    timeout: Option<Duration>,
}

impl TcpTransport {
    /// Connects to `host:port`, trying each address the name stands for.
    ///
    /// # Errors
    /// The last address's error; [`io::ErrorKind::NotFound`] if the name stands for none.
    pub fn connect(host_and_port: &str) -> io::Result<Self> {
        let mut outcome = Err(io::ErrorKind::NotFound.into());
        for address in host_and_port.to_socket_addrs()? {
            outcome = TcpStream::connect_timeout(&address, CONNECT_LIMIT);
            if outcome.is_ok() {
                break;
            }
        }
        let stream = outcome?;
        stream.set_nodelay(true)?;
        stream.set_write_timeout(Some(WRITE_LIMIT))?;
        Ok(Self { name: format!("tcp:{host_and_port}"), stream, timeout: None })
    }
}

impl Transport for TcpTransport {
    fn port(&self) -> &str {
        &self.name
    }

    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize> {
        if self.timeout != Some(timeout) {
            self.stream.set_read_timeout(Some(timeout))?;
            self.timeout = Some(timeout);
        }
        match self.stream.read(buffer) {
            Ok(0) => Err(io::ErrorKind::UnexpectedEof.into()),
            Err(error) if nothing_yet(&error) => Ok(0),
            read => read,
        }
    }

    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.stream.write_all(bytes)
    }
}
