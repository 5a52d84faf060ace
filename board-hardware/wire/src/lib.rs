//! What crosses the cable between the board and the host, defined once for both ends.
//!
//! The board sends one [`Frame`] per conversion, and a [`Header`], an [`Answer`] or a
//! [`SelfTestReport`] when asked; the host sends [`Command`]s. Every message carries a CRC and
//! travels as a COBS block that ends with a zero byte, so a receiver that joins late or meets
//! damage is in step again at the next zero. `board-hardware/PROTOCOL.md` shows every byte.
//!
//! Nothing here reads, writes, waits or allocates: bytes go in, values come out, and back.
//!
//! ```
//! use board_wire::{BoardId, Counts, Decoder, Event, Frame, Sequence, Status, Ticks};
//!
//! let frame = Frame {
//!     board: BoardId(7),
//!     sequence: Sequence(41),
//!     time: Ticks::from_us(164_000),
//!     counts: [Counts::saturating(-3); 4],
//!     status: Status::CLEAR,
//! };
//! let mut decoder = Decoder::new();
//! decoder.push(frame.encode().as_bytes(), |event| assert_eq!(event, Event::Frame(frame)));
//! ```
#![no_std]
#![forbid(unsafe_code)]
#![warn(clippy::indexing_slicing)]

mod answer;
mod board_id;
mod command;
mod counts;
mod decoder;
mod frame;
mod frame_rate;
mod header;
mod nominal;
mod packet;
mod self_test;
mod sequence;
mod status;
mod ticks;

pub use answer::{Answer, Outcome};
pub use board_id::{BoardId, UniqueId};
pub use command::{Command, CommandCode};
pub use counts::{Corner, Counts};
pub use decoder::{CommandDecoder, CommandEvent, Damage, DamageCause, Decoder, Event};
pub use frame::Frame;
pub use frame_rate::FrameRate;
pub use header::{Converter, FirmwareVersion, Gain, Header};
pub use nominal::{CornerPosition, NOMINAL, Nominal};
pub use packet::{MAX_PACKET_BYTES, MAX_PAYLOAD_BYTES, Packet, VERSION};
pub use self_test::SelfTestReport;
pub use sequence::{Sequence, SequenceStep, SequenceTracker};
pub use status::Status;
pub use ticks::{Ticks, TimeUnwrapper};
