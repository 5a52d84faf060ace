//! The two kinds of cable: a pseudo-terminal and a TCP connection.

use std::fs;
use std::io;
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::os::fd::{AsFd, BorrowedFd, OwnedFd};
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rustix::event::{PollFd, PollFlags, Timespec, poll};
use rustix::fs::{Mode, OFlags};
use rustix::io::{Errno, ioctl_fionbio};
use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{OptionalActions, QueueSelector, tcflush, tcgetattr, tcsetattr};

/// How long to wait before looking again whether somebody has opened the pseudo-terminal.
const LOOK_AGAIN: Duration = Duration::from_millis(5);

/// Bytes the kernel may hold for a TCP reader: little, so that a stop is soon felt.
const TCP_SEND_BYTES: usize = 8192;

/// A cable with at most one host at its other end.
pub(crate) trait Line {
    /// Where to connect.
    fn name(&self) -> &str;

    /// Waits until bytes arrive, until some can be sent if `to_send`, until a host comes or goes,
    /// or for `timeout`; it may return early.
    fn wait(&mut self, to_send: bool, timeout: Option<Duration>) -> io::Result<()>;

    /// Whether a host is connected.
    fn is_open(&self) -> bool;

    /// Appends what has arrived.
    fn read(&mut self, into: &mut Vec<u8>) -> io::Result<()>;

    /// Sends what fits; gives how many bytes that was.
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize>;
}

/// A pseudo-terminal in raw mode.
#[derive(Debug)]
pub(crate) struct PtyLine {
    master: OwnedFd,
    name: String,
    open: bool,
    link: Option<PathBuf>,
}

impl PtyLine {
    /// A new pseudo-terminal; `link` is made to point to it and goes with it.
    pub(crate) fn open(link: Option<&Path>) -> io::Result<Self> {
        let master = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY | OpenptFlags::CLOEXEC)?;
        grantpt(&master)?;
        unlockpt(&master)?;
        let path = ptsname(&master, Vec::new())?;
        // A terminal starts out echoing and translating; set raw before anybody connects, it
        // stays so. The handle is closed again, because a host is noticed by its opening.
        let slave =
            rustix::fs::open(path.as_c_str(), OFlags::RDWR | OFlags::NOCTTY, Mode::empty())?;
        let mut mode = tcgetattr(&slave)?;
        mode.make_raw();
        tcsetattr(&slave, OptionalActions::Now, &mode)?;
        drop(slave);
        ioctl_fionbio(&master, true)?;
        let name = path.to_string_lossy().into_owned();
        if let Some(link) = link {
            symlink(&name, link)?;
        }
        Ok(Self { master, name, open: false, link: link.map(Path::to_owned) })
    }
}

impl Drop for PtyLine {
    fn drop(&mut self) {
        // A link that somebody has removed already is gone all the same.
        drop(self.link.as_ref().map(fs::remove_file));
    }
}

impl Line for PtyLine {
    fn name(&self) -> &str {
        &self.name
    }

    fn wait(&mut self, to_send: bool, timeout: Option<Duration>) -> io::Result<()> {
        if !self.open {
            // The kernel offers nothing to wait for, so it is asked again and again.
            wait_for_nothing(timeout.map_or(LOOK_AGAIN, |timeout| timeout.min(LOOK_AGAIN)))?;
            let ready = wait_for(self.master.as_fd(), false, Some(Duration::ZERO))?;
            self.open = !ready.contains(PollFlags::HUP);
        } else if wait_for(self.master.as_fd(), to_send, timeout)?.contains(PollFlags::HUP) {
            self.open = false;
            // What the last host left unread is not for the next.
            tcflush(&self.master, QueueSelector::OFlush)?;
        }
        Ok(())
    }

    fn is_open(&self) -> bool {
        self.open
    }

    fn read(&mut self, into: &mut Vec<u8>) -> io::Result<()> {
        let mut buffer = [0; 512];
        match rustix::io::read(&self.master, &mut buffer) {
            Ok(n_bytes) => {
                into.extend_from_slice(&buffer[..n_bytes]);
                // A host may have come and spoken since the last look.
                self.open = true;
            }
            // With nobody connected a pseudo-terminal answers with an I/O error.
            Err(Errno::AGAIN | Errno::INTR | Errno::IO) => (),
            Err(error) => return Err(error.into()),
        }
        Ok(())
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match rustix::io::write(&self.master, bytes) {
            Ok(n_bytes) => Ok(n_bytes),
            Err(Errno::AGAIN | Errno::INTR | Errno::IO) => Ok(0),
            Err(error) => Err(error.into()),
        }
    }
}

/// A TCP port that serves one host at a time.
#[derive(Debug)]
pub(crate) struct TcpLine {
    listener: TcpListener,
    host: Option<TcpStream>,
    name: String,
}

impl TcpLine {
    pub(crate) fn listen(address: SocketAddr) -> io::Result<Self> {
        let listener = TcpListener::bind(address)?;
        listener.set_nonblocking(true)?;
        let name = format!("tcp:{}", listener.local_addr()?);
        Ok(Self { listener, host: None, name })
    }

    fn accept(&mut self) -> io::Result<()> {
        match self.listener.accept() {
            Ok((host, _address)) => {
                host.set_nonblocking(true)?;
                host.set_nodelay(true)?;
                rustix::net::sockopt::set_socket_send_buffer_size(&host, TCP_SEND_BYTES)?;
                self.host = Some(host);
                Ok(())
            }
            Err(error) if may_be_ignored(&error) => Ok(()),
            Err(error) => Err(error),
        }
    }
}

impl Line for TcpLine {
    fn name(&self) -> &str {
        &self.name
    }

    fn wait(&mut self, to_send: bool, timeout: Option<Duration>) -> io::Result<()> {
        if let Some(host) = &self.host {
            wait_for(host.as_fd(), to_send, timeout)?;
            return Ok(());
        }
        wait_for(self.listener.as_fd(), false, timeout)?;
        self.accept()
    }

    fn is_open(&self) -> bool {
        self.host.is_some()
    }

    fn read(&mut self, into: &mut Vec<u8>) -> io::Result<()> {
        let mut buffer = [0; 512];
        let Some(host) = &mut self.host else { return Ok(()) };
        match io::Read::read(host, &mut buffer) {
            Ok(0) => self.host = None,
            Ok(n_bytes) => into.extend_from_slice(&buffer[..n_bytes]),
            Err(error) if may_be_ignored(&error) => (),
            Err(_hung_up) => self.host = None,
        }
        Ok(())
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let Some(host) = &mut self.host else { return Ok(0) };
        match io::Write::write(host, bytes) {
            Ok(n_bytes) => Ok(n_bytes),
            Err(error) if may_be_ignored(&error) => Ok(0),
            Err(_hung_up) => {
                self.host = None;
                Ok(0)
            }
        }
    }
}

fn may_be_ignored(error: &io::Error) -> bool {
    matches!(error.kind(), io::ErrorKind::WouldBlock | io::ErrorKind::Interrupted)
}

fn wait_for(
    handle: BorrowedFd<'_>,
    to_send: bool,
    timeout: Option<Duration>,
) -> io::Result<PollFlags> {
    let wanted = if to_send { PollFlags::IN | PollFlags::OUT } else { PollFlags::IN };
    let mut handles = [PollFd::from_borrowed_fd(handle, wanted)];
    match poll(&mut handles, timespec(timeout).as_ref()) {
        Ok(_n_ready) => Ok(handles[0].revents()),
        Err(Errno::INTR) => Ok(PollFlags::empty()),
        Err(error) => Err(error.into()),
    }
}

fn wait_for_nothing(timeout: Duration) -> io::Result<()> {
    match poll(&mut [], timespec(Some(timeout)).as_ref()) {
        Ok(_) | Err(Errno::INTR) => Ok(()),
        Err(error) => Err(error.into()),
    }
}

fn timespec(timeout: Option<Duration>) -> Option<Timespec> {
    let timeout = timeout?;
    Some(Timespec {
        tv_sec: i64::try_from(timeout.as_secs()).unwrap_or(i64::MAX),
        tv_nsec: i64::from(timeout.subsec_nanos()),
    })
}
