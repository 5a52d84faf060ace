//! Who is on the other end.

use std::io;
use std::time::{Duration, Instant};

use board_wire::{Command, DamageCause, Decoder, Event, Header, VERSION};
use thiserror::Error;

use crate::transport::{PortHolder, Transport};

/// How long a board may take to say who it is: one that has just got its power starts in this time.
const IDENTIFY_LIMIT: Duration = Duration::from_secs(2);

/// How often it is asked again meanwhile.
const ASK_EVERY: Duration = Duration::from_millis(250);

/// How long one read waits.
const READ_WAIT: Duration = Duration::from_millis(20);

/// Ends whatever half a command an earlier program left in the board's receiver.
const DELIMITER: [u8; 1] = [0];

/// A board by its header.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardIdentity {
    /// The 96-bit unique id, 24 hexadecimal digits.
    pub board_id: String,
    /// Version of the firmware.
    pub firmware: String,
    /// Which converter turns the bridges into counts, in the wire format's words.
    pub converter: String,
    /// Gain ahead of the converter.
    pub gain: u8,
    /// Frames per second the board is set to; the true rate comes from the frames' times.
    pub frames_per_s: u16,
    /// Temperature beside the converter, in degrees Celsius.
    pub temperature_c: f64,
}

impl BoardIdentity {
    pub(super) fn from_header(header: &Header) -> Self {
        Self {
            board_id: header.unique_id.to_string(),
            firmware: header.firmware.to_string(),
            converter: format!("{:?}", header.converter),
            gain: header.gain.0,
            frames_per_s: header.rate.frames_per_s(),
            temperature_c: f64::from(header.temperature_centidegrees) / 100.0,
        }
    }
}

/// No board could be connected.
#[derive(Debug, Error)]
pub enum ConnectError {
    /// The port is not there, in use, or not permitted.
    #[error("cannot open {port:?}")]
    Open {
        /// Which port.
        port: String,
        /// What the system said.
        source: io::Error,
    },
    /// Another program uses the port.
    #[error("{port:?} is in use by {}", holder.as_ref().map_or("another program".to_owned(), ToString::to_string))]
    InUse {
        /// Which port.
        port: String,
        /// Which program, where the system tells.
        holder: Option<PortHolder>,
    },
    /// The port opened, but nothing came.
    #[error("nothing answered on {port:?} within {waited:?}")]
    Silent {
        /// Which port.
        port: String,
        /// How long was waited.
        waited: Duration,
    },
    /// Bytes came, but none of a board.
    #[error("what is on {port:?} is not a board: {n_bytes} bytes came, none of them a header")]
    NotABoard {
        /// Which port.
        port: String,
        /// How many bytes came.
        n_bytes: u64,
    },
    /// A board that speaks another version of the protocol.
    #[error("the board on {port:?} speaks version {found} of the protocol, not {expected}")]
    OtherVersion {
        /// Which port.
        port: String,
        /// The version it speaks.
        found: u8,
        /// The version this program speaks.
        expected: u8,
    },
    /// The board went away while it was being asked.
    #[error("the board on {port:?} went away while it was asked who it is")]
    Lost {
        /// Which port.
        port: String,
        /// What the system said.
        source: io::Error,
    },
}

/// Asks until a header comes.
pub(super) fn identify(transport: &mut dyn Transport) -> Result<Header, ConnectError> {
    let port = transport.port().to_owned();
    let lost = |source| ConnectError::Lost { port: port.clone(), source };
    let begun = Instant::now();
    let mut heard = Heard::default();
    let mut decoder = Decoder::new();
    let mut buffer = [0; 4096];
    let mut n_asked = 0;
    while begun.elapsed() < IDENTIFY_LIMIT {
        if begun.elapsed() >= ASK_EVERY * n_asked {
            transport.write_all(&DELIMITER).map_err(lost)?;
            transport.write_all(Command::Identify.encode().as_bytes()).map_err(lost)?;
            n_asked += 1;
        }
        let n_bytes = match transport.read(&mut buffer, READ_WAIT) {
            Ok(n_bytes) => n_bytes,
            // A recording of something that is no board ends; that it is no board says more.
            Err(_) if heard.n_bytes > 0 => break,
            Err(source) => return Err(lost(source)),
        };
        heard.n_bytes += n_bytes as u64;
        decoder.push(&buffer[..n_bytes], |event| heard.note(event));
        if let Some(header) = heard.header {
            return Ok(header);
        }
    }
    Err(if let Some(found) = heard.other_version {
        ConnectError::OtherVersion { port, found, expected: VERSION }
    } else if heard.n_bytes > 0 {
        ConnectError::NotABoard { port, n_bytes: heard.n_bytes }
    } else {
        ConnectError::Silent { port, waited: IDENTIFY_LIMIT }
    })
}

/// What came while the board was asked.
#[derive(Debug, Default)]
struct Heard {
    n_bytes: u64,
    header: Option<Header>,
    other_version: Option<u8>,
}

impl Heard {
    fn note(&mut self, event: Event) {
        match event {
            Event::Header(header) => self.header = Some(header),
            Event::Damage(damage) => {
                if let DamageCause::OtherVersion { version } = damage.cause {
                    self.other_version = Some(version);
                }
            }
            Event::Frame(_) | Event::Answer(_) | Event::SelfTest(_) => {}
        }
    }
}
