//! Ten million random and mutated streams through the decoder, counted.
//!
//! `cargo run --release -p board-wire --example hostile_streams` (a number after `--` takes fewer).
//! A message that is accepted though nobody sent it is a fault that the CRC let pass: of all wrong
//! messages that come as far as the CRC, 2^-16 should.

#![expect(clippy::print_stdout, reason = "printing the counts is what this is for")]

use board_wire::{BoardId, Counts, DamageCause, Decoder, Event, Frame, Sequence, Status, Ticks};

const N_STREAMS: u64 = 10_000_000;

/// Fixed before the first run.
const SEED: u64 = 0x0F00_7176;

const N_FRAMES: u32 = 6;

/// The frame whose bytes are mutated; the one after it may be joined to it.
const MUTATED: u32 = 2;

/// First byte of a frame's payload and its length, CRC included: PROTOCOL.md.
const FRAME_FIRST_BYTE: u8 = 0x01;
const FRAME_PAYLOAD_BYTES: usize = 26;

/// A generator of 64-bit numbers.
///
/// # Source
/// `SplitMix64`: Steele, Lea, Flood 2014, OOPSLA, "Fast splittable pseudorandom number generators".
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, bound: usize) -> usize {
        usize::try_from(self.next() % bound as u64).expect("below a usize")
    }

    fn byte(&mut self) -> u8 {
        self.next().to_le_bytes()[0]
    }
}

/// What came of all streams of one kind.
#[derive(Default)]
#[expect(clippy::struct_field_names, reason = "counts are called n_ everywhere")]
struct Tally {
    n_streams: u64,
    n_bytes: u64,
    /// Blocks that reached the CRC and were refused by it.
    n_refused_by_crc: u64,
    /// Messages that were accepted though nobody sent them.
    n_wrong: u64,
    /// Streams in which a frame outside the mutated one and the next was not found.
    n_lost_beyond_two: u64,
}

fn frame(sequence: u32, random: &mut Random) -> Frame {
    Frame {
        board: BoardId(random.byte()),
        sequence: Sequence(sequence),
        time: Ticks::from_us(4_000 * sequence),
        counts: std::array::from_fn(|_| {
            let value = i32::try_from(random.next() & 0xFF_FFFF).expect("24 bits");
            Counts::saturating(value - 0x80_0000)
        }),
        status: Status::CLEAR,
    }
}

/// Sent frames, the bytes of one of them changed, lost or joined by others.
fn mutated_stream(sent: &[Frame], random: &mut Random) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(256);
    for frame in sent {
        let packet = frame.encode();
        let start = bytes.len();
        bytes.extend_from_slice(packet.as_bytes());
        if frame.sequence.0 != MUTATED {
            continue;
        }
        let length = bytes.len() - start;
        match random.below(4) {
            0 => {
                for _change in 0..=random.below(8) {
                    let place = start + random.below(length);
                    bytes[place] = random.byte();
                }
            }
            1 => {
                for _loss in 0..=random.below(5) {
                    let place = start + random.below(bytes.len() - start);
                    bytes.remove(place);
                }
            }
            2 => {
                for _more in 0..=random.below(10) {
                    let place = start + random.below(bytes.len() - start);
                    bytes.insert(place, random.byte());
                }
            }
            // A whole packet of random fields and a random CRC: the CRC alone judges it.
            _ => {
                let mut payload = [FRAME_FIRST_BYTE; FRAME_PAYLOAD_BYTES];
                for byte in &mut payload[1..] {
                    *byte = random.byte();
                }
                let mut block = [0; FRAME_PAYLOAD_BYTES + 2];
                let n_bytes = cobs::encode(&payload, &mut block);
                bytes.splice(start..start + length - 1, block[..n_bytes].iter().copied());
            }
        }
    }
    bytes
}

fn decode(bytes: &[u8], random: &mut Random, mut take: impl FnMut(Event)) {
    let mut decoder = Decoder::new();
    let mut rest = bytes;
    while !rest.is_empty() {
        let (piece, after) = rest.split_at(1 + random.below(rest.len()));
        decoder.push(piece, &mut take);
        rest = after;
    }
}

fn mutated(n_streams: u64, random: &mut Random) -> Tally {
    let mut tally = Tally { n_streams, ..Tally::default() };
    for _stream in 0..n_streams {
        let sent: Vec<Frame> = (0..N_FRAMES).map(|sequence| frame(sequence, random)).collect();
        let bytes = mutated_stream(&sent, random);
        tally.n_bytes += bytes.len() as u64;
        let mut found = [false; N_FRAMES as usize];
        decode(&bytes, random, |event| match event {
            Event::Frame(frame) => match sent.iter().position(|other| *other == frame) {
                Some(which) => found[which] = true,
                None => tally.n_wrong += 1,
            },
            Event::Damage(damage) if damage.cause == DamageCause::Crc => {
                tally.n_refused_by_crc += 1;
            }
            Event::Damage(_) => {}
            Event::Header(_) | Event::Answer(_) | Event::SelfTest(_) => tally.n_wrong += 1,
        });
        let spared = |which: usize| which != MUTATED as usize && which != MUTATED as usize + 1;
        let lost = (0..found.len()).any(|which| spared(which) && !found[which]);
        tally.n_lost_beyond_two += u64::from(lost);
    }
    tally
}

fn random_bytes(n_streams: u64, random: &mut Random) -> Tally {
    let mut tally = Tally { n_streams, ..Tally::default() };
    let mut bytes = Vec::new();
    for _stream in 0..n_streams {
        bytes.clear();
        let length = 1 + random.below(96);
        // Zeros often enough that blocks of every length are closed.
        let byte = |random: &mut Random| if random.below(24) == 0 { 0 } else { random.byte() };
        bytes.extend((0..length).map(|_| byte(random)));
        tally.n_bytes += length as u64;
        decode(&bytes, random, |event| match event {
            Event::Damage(damage) if damage.cause == DamageCause::Crc => {
                tally.n_refused_by_crc += 1;
            }
            Event::Damage(_) => {}
            _ => tally.n_wrong += 1,
        });
    }
    tally
}

fn print(name: &str, tally: &Tally) {
    let n_judged = tally.n_refused_by_crc + tally.n_wrong;
    let expected = n_judged as f64 / 65_536.0;
    println!(
        "{name}: {} streams, {} bytes; {n_judged} wrong messages reached the CRC, {} were accepted \
         ({expected:.0} ± {:.0} expected of 16 bits); {} streams lost more than two frames",
        tally.n_streams,
        tally.n_bytes,
        tally.n_wrong,
        2.0 * expected.sqrt(),
        tally.n_lost_beyond_two,
    );
}

fn main() {
    let n_streams = std::env::args().nth(1).and_then(|text| text.parse().ok()).unwrap_or(N_STREAMS);
    let mut random = Random(SEED);
    print("mutated", &mutated(n_streams / 2, &mut random));
    print("random", &random_bytes(n_streams - n_streams / 2, &mut random));
}
