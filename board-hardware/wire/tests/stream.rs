//! Streams cut anywhere, damaged anywhere, or made of nothing sensible.

use board_wire::{
    BoardId, CommandDecoder, Counts, DamageCause, Decoder, Event, Frame, MAX_PACKET_BYTES,
    Sequence, Status, Ticks,
};
use proptest::prelude::*;

fn any_frame() -> impl Strategy<Value = Frame> {
    (any::<u8>(), any::<u32>(), any::<u32>(), any::<[i32; 4]>(), any::<u16>()).prop_map(
        |(board, sequence, time, counts, status)| Frame {
            board: BoardId(board),
            sequence: Sequence(sequence),
            time: Ticks::from_us(time),
            counts: counts.map(|value| Counts::saturating(value >> 8)),
            status: Status::from_bits(status),
        },
    )
}

fn stream_of(frames: &[Frame]) -> Vec<u8> {
    frames.iter().flat_map(|frame| frame.encode().as_bytes().to_vec()).collect()
}

fn events_of<'a>(pieces: impl IntoIterator<Item = &'a [u8]>) -> Vec<Event> {
    let mut decoder = Decoder::new();
    let mut events = Vec::new();
    for piece in pieces {
        decoder.push(piece, |event| events.push(event));
    }
    events
}

fn frames_of(events: &[Event]) -> Vec<Frame> {
    let frame = |event: &Event| if let Event::Frame(frame) = event { Some(*frame) } else { None };
    events.iter().filter_map(frame).collect()
}

fn n_damaged_bytes(events: &[Event]) -> usize {
    let n = |event: &Event| if let Event::Damage(damage) = event { damage.n_bytes } else { 0 };
    events.iter().map(n).sum()
}

proptest! {
    #[test]
    fn any_cutting_gives_the_same_frames(
        frames in prop::collection::vec(any_frame(), 1..20),
        cuts in prop::collection::vec(1_usize..70, 1..40),
    ) {
        let stream = stream_of(&frames);
        let mut pieces = Vec::new();
        let mut rest = &stream[..];
        for length in cuts.iter().cycle() {
            if rest.is_empty() {
                break;
            }
            let (piece, tail) = rest.split_at((*length).min(rest.len()));
            pieces.push(piece);
            rest = tail;
        }
        let whole: Vec<Event> = frames.into_iter().map(Event::Frame).collect();
        prop_assert_eq!(&events_of(pieces), &whole);
        prop_assert_eq!(&events_of([&stream[..]]), &whole);
    }

    /// And what is lost is told: whole frames only, each of their bytes counted as damage.
    #[test]
    fn one_damaged_byte_costs_at_most_two_frames(
        frames in prop::collection::vec(any_frame(), 1..20),
        place in any::<prop::sample::Index>(),
        flip in 1_u8..,
    ) {
        let mut stream = stream_of(&frames);
        *place.get_mut(&mut stream) ^= flip;
        // A delimiter after it, so that nothing is left waiting.
        stream.push(0);
        let events = events_of([&stream[..]]);
        let arrived = frames_of(&events);
        prop_assert!(frames.len() <= arrived.len() + 2);
        prop_assert!(arrived.iter().all(|frame| frames.contains(frame)));
        let n_lost_bytes = (frames.len() - arrived.len()) * Frame::PACKET_BYTES;
        // A delimiter alone is no damage, and a hit last delimiter takes the one behind it along.
        prop_assert!(n_damaged_bytes(&events).abs_diff(n_lost_bytes) <= 1);
    }

    #[test]
    fn random_bytes_neither_panic_nor_go_uncounted(
        bytes in prop::collection::vec(any::<u8>(), 0..2000),
    ) {
        let events = events_of([&bytes[..]]);
        prop_assert_eq!(frames_of(&events).len(), 0);
        let n_waiting_or_idle = bytes.len() - n_damaged_bytes(&events);
        let n_delimiters = bytes.split(|&byte| byte == 0).count() - 1;
        prop_assert!(n_waiting_or_idle <= n_delimiters + MAX_PACKET_BYTES);
        CommandDecoder::new().push(&bytes, |_event| ());
    }

    #[test]
    fn frames_after_any_noise_are_all_found_but_the_first(
        noise in prop::collection::vec(any::<u8>(), 0..200),
        frames in prop::collection::vec(any_frame(), 1..5),
    ) {
        let mut stream = noise;
        stream.extend(stream_of(&frames));
        let arrived = frames_of(&events_of([&stream[..]]));
        prop_assert!(arrived.ends_with(&frames[1..]));
    }
}

/// The place of every byte in turn, so that no unlucky position is left to chance.
#[test]
fn each_byte_lost_costs_at_most_two_frames() {
    let frames: Vec<Frame> = (0..4)
        .map(|i| Frame {
            board: BoardId(1),
            sequence: Sequence(i),
            time: Ticks::from_us(4000 * i),
            counts: [Counts::saturating(1000); 4],
            status: Status::CLEAR,
        })
        .collect();
    let stream = stream_of(&frames);
    for lost in 0..stream.len() {
        let kept: Vec<u8> =
            stream.iter().enumerate().filter(|&(i, _)| i != lost).map(|(_, &byte)| byte).collect();
        let n_arrived = frames_of(&events_of([&kept[..]])).len();
        assert!(2 <= n_arrived, "byte {lost}");
    }
}

#[test]
fn a_stream_without_delimiters_is_reported_while_it_lasts() {
    let events = events_of([&[0x55; 1000][..]]);
    let causes = events.iter().map(|event| match event {
        Event::Damage(damage) => damage.cause,
        other => panic!("{other:?}"),
    });
    assert!(causes.into_iter().all(|cause| cause == DamageCause::TooLong));
    assert!(1000 - MAX_PACKET_BYTES <= n_damaged_bytes(&events));
}

#[test]
fn another_version_is_told_apart_from_damage() {
    // First byte 0x02, board 7, and the CRC-16/IBM-SDLC of those two bytes, worked out bit by bit.
    let mut crc = 0xFFFF_u16;
    for byte in [0x02_u8, 0x07] {
        crc ^= u16::from(byte);
        for _bit in 0..8 {
            crc = if crc & 1 == 1 { (crc >> 1) ^ 0x8408 } else { crc >> 1 };
        }
    }
    let [low, high] = (!crc).to_le_bytes();
    assert!(low != 0 && high != 0, "a zero would need another COBS stretch");
    let events = events_of([&[5, 0x02, 0x07, low, high, 0][..]]);
    let [Event::Damage(damage)] = events[..] else { panic!("{events:?}") };
    assert_eq!(damage.cause, DamageCause::OtherVersion { version: 2 });
    assert_eq!(damage.n_bytes, 6);
}
