//! The station against a converter that can be told to fail.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;

use board_firmware::{Bridge, BridgeFault, Conversion, Edge, Identity, Input, ResetCause, Station};
use board_wire::{
    BoardId, Command, CommandCode, Converter, Corner, Counts, Decoder, Event, Frame, FrameRate,
    Gain, Outcome, Status, Ticks, UniqueId,
};

/// What the test tells the converter to do, and what it was asked.
#[derive(Debug, Default)]
struct Script {
    /// Faults of the next readings; once they are used up, readings succeed.
    readings: VecDeque<Option<BridgeFault>>,
    silent: bool,
    open_corner: Option<Corner>,
    inputs: Vec<Input>,
    n_starts: u32,
    n_readings: i32,
}

#[derive(Debug, Clone, Default)]
struct ToldBridge(Rc<RefCell<Script>>);

impl Bridge for ToldBridge {
    const CONVERTER: Converter = Converter::FourBridges;
    const GAIN: Gain = Gain(128);

    fn start(&mut self, rate: FrameRate) -> Result<FrameRate, BridgeFault> {
        let mut script = self.0.borrow_mut();
        script.n_starts += 1;
        if script.silent { Err(BridgeFault::Silent) } else { Ok(rate) }
    }

    fn connect(&mut self, input: Input) -> Result<(), BridgeFault> {
        let mut script = self.0.borrow_mut();
        script.inputs.push(input);
        if script.silent { Err(BridgeFault::Silent) } else { Ok(()) }
    }

    fn read(&mut self) -> Result<Conversion, BridgeFault> {
        let mut script = self.0.borrow_mut();
        if let Some(Some(fault)) = script.readings.pop_front() {
            return Err(fault);
        }
        script.n_readings += 1;
        let value = script.n_readings;
        let burnt_out = script.inputs.last() == Some(&Input::BurnOut);
        let counts = Corner::ALL.map(|corner| {
            if burnt_out && script.open_corner == Some(corner) {
                Counts::MAX
            } else {
                Counts::saturating(1000 * value + i32::try_from(corner.index()).expect("0 to 3"))
            }
        });
        Ok(Conversion { counts })
    }
}

struct Bench {
    script: Rc<RefCell<Script>>,
    station: Station<ToldBridge>,
    decoder: Decoder,
    now_us: u32,
}

impl Bench {
    fn new(reset: ResetCause) -> Self {
        Self::with(Script::default(), reset)
    }

    fn with(script: Script, reset: ResetCause) -> Self {
        let bridge = ToldBridge(Rc::new(RefCell::new(script)));
        let script = Rc::clone(&bridge.0);
        let identity = Identity { board: BoardId(7), unique_id: UniqueId([9; 12]) };
        let station = Station::new(bridge, identity, reset);
        Self { script, station, decoder: Decoder::new(), now_us: 0 }
    }

    fn say(&mut self, command: Command) -> Vec<Event> {
        self.station.receive(command.encode().as_bytes(), Ticks::from_us(self.now_us));
        self.heard()
    }

    /// An edge after one interval of 250 frames/s.
    fn edge(&mut self) -> Vec<Event> {
        self.edge_after(4000, 0)
    }

    fn edge_after(&mut self, us: u32, n_missed: u32) -> Vec<Event> {
        self.now_us = self.now_us.wrapping_add(us);
        self.station.data_ready(Edge { time: Ticks::from_us(self.now_us), n_missed });
        self.heard()
    }

    fn heard(&mut self) -> Vec<Event> {
        let mut events = Vec::new();
        while !self.station.to_send().is_empty() {
            let bytes = self.station.to_send().to_vec();
            self.decoder.push(&bytes, |event| events.push(event));
            self.station.sent(bytes.len());
        }
        events
    }

    fn frame(&mut self) -> Frame {
        let events = self.edge();
        let [Event::Frame(frame)] = events[..] else { panic!("{events:?}") };
        frame
    }
}

fn outcome(events: &[Event]) -> (CommandCode, Outcome) {
    let [Event::Answer(answer), ..] = events else { panic!("{events:?}") };
    (answer.command, answer.outcome)
}

#[test]
fn frames_carry_number_time_and_raw_counts() {
    let mut bench = Bench::new(ResetCause::PowerOn);
    assert!(bench.edge().is_empty(), "silent until asked");
    let events = bench.say(Command::Start);
    assert_eq!(outcome(&events), (CommandCode::Start, Outcome::Done));
    let Event::Header(header) = events[1] else { panic!("{events:?}") };
    assert_eq!((header.unique_id, header.gain), (UniqueId([9; 12]), Gain(128)));
    let first = bench.frame();
    assert_eq!((first.sequence.0, first.time.us(), first.board), (0, 8000, BoardId(7)));
    // The second reading of the converter: the edge before the start was read and thrown away.
    assert_eq!(first.counts.map(Counts::value), [2000, 2001, 2002, 2003]);
    assert_eq!(first.status, Status::CONFIG_CHANGED);
    let second = bench.frame();
    assert_eq!((second.sequence.0, second.time.us()), (1, 12_000));
    assert!(second.status.is_clear());
    assert_eq!(outcome(&bench.say(Command::Stop)), (CommandCode::Stop, Outcome::Done));
    assert!(bench.edge().is_empty());
}

#[test]
fn a_header_comes_every_ten_seconds_even_over_the_wrap_of_time() {
    let mut bench = Bench::new(ResetCause::PowerOn);
    bench.now_us = u32::MAX - 15_000_000;
    bench.say(Command::Start);
    let mut places = Vec::new();
    for place in 1..=8000_u32 {
        if bench.edge().iter().any(|event| matches!(event, Event::Header(_))) {
            places.push(place);
        }
    }
    assert_eq!(places, [2500, 5000, 7500]);
}

#[test]
fn edges_that_were_never_read_leave_a_hole_and_a_flag() {
    let mut bench = Bench::new(ResetCause::PowerOn);
    bench.say(Command::Start);
    bench.frame();
    let events = bench.edge_after(12_000, 2);
    let [Event::Frame(frame)] = events[..] else { panic!("{events:?}") };
    assert_eq!(frame.sequence.0, 3);
    assert_eq!(frame.status, Status::MISSED_CONVERSION);
}

#[test]
fn a_damaged_reading_repeats_the_counts_and_says_so() {
    let mut bench = Bench::new(ResetCause::PowerOn);
    bench.say(Command::Start);
    let good = bench.frame();
    bench.script.borrow_mut().readings.push_back(Some(BridgeFault::Damaged));
    let bad = bench.frame();
    assert_eq!((bad.counts, bad.status), (good.counts, Status::NOT_READY));
    assert_eq!(bad.sequence.0, 1);
    assert!(bench.frame().status.is_clear());
}

#[test]
fn saturated_corners_are_flagged() {
    let conversion =
        Conversion { counts: [Counts::MIN, Counts::default(), Counts::MAX, Counts::default()] };
    let wanted = Status::saturated(Corner::FrontLeft) | Status::saturated(Corner::RearLeft);
    assert_eq!(conversion.status(), wanted);
}

#[test]
fn a_converter_without_edges_is_reported_set_up_again_and_at_last_given_up() {
    let mut bench = Bench::new(ResetCause::PowerOn);
    bench.say(Command::Start);
    let good = bench.frame();
    let starts_before = bench.script.borrow().n_starts;
    bench.script.borrow_mut().silent = true;
    let mut numbers = Vec::new();
    while bench.station.is_well() {
        bench.now_us += 1000;
        bench.station.poll(Ticks::from_us(bench.now_us));
        for event in bench.heard() {
            let Event::Frame(frame) = event else { continue };
            assert_eq!((frame.counts, frame.status), (good.counts, Status::NOT_READY));
            assert_eq!(frame.time.us(), 4000 + 4000 * frame.sequence.0);
            numbers.push(frame.sequence.0);
        }
    }
    // 250 intervals without an edge: one second.
    assert_eq!(numbers, (1..=250).collect::<Vec<_>>());
    assert_eq!(bench.script.borrow().n_starts - starts_before, 10);
}

#[test]
fn a_converter_that_comes_back_says_that_it_was_set_up_again() {
    let mut bench = Bench::new(ResetCause::PowerOn);
    bench.say(Command::Start);
    bench.frame();
    bench.script.borrow_mut().readings.extend([Some(BridgeFault::SettingsLost); 25]);
    for _reading in 0..24 {
        assert_eq!(bench.frame().status, Status::NOT_READY);
    }
    assert_eq!(bench.frame().status, Status::NOT_READY | Status::CONFIG_CHANGED);
    assert!(bench.frame().status.is_clear());
    assert!(bench.station.is_well());
}

#[test]
fn why_the_board_began_is_on_the_first_frame_and_in_the_first_header_only() {
    for (reset, flag) in [
        (ResetCause::Watchdog, Status::WATCHDOG_RESTART),
        (ResetCause::BrownOut, Status::BROWN_OUT),
    ] {
        let mut bench = Bench::new(reset);
        let events = bench.say(Command::Start);
        let Event::Header(header) = events[1] else { panic!("{events:?}") };
        assert!(header.status.contains(flag));
        assert!(bench.frame().status.contains(flag));
        assert!(!bench.frame().status.contains(flag));
        let events = bench.say(Command::Identify);
        let [Event::Header(header)] = events[..] else { panic!("{events:?}") };
        assert!(header.status.is_clear());
    }
}

#[test]
fn a_late_host_loses_whole_frames_and_sees_it_in_the_numbers() {
    let mut bench = Bench::new(ResetCause::PowerOn);
    bench.say(Command::Start);
    for _frame in 0..100 {
        bench.now_us += 4000;
        bench.station.data_ready(Edge { time: Ticks::from_us(bench.now_us), n_missed: 0 });
    }
    let numbers: Vec<u32> =
        bench
            .heard()
            .iter()
            .map(|event| {
                if let Event::Frame(frame) = event { frame.sequence.0 } else { panic!("{event:?}") }
            })
            .collect();
    assert_eq!(numbers, (0..73).collect::<Vec<_>>());
    assert_eq!(bench.frame().sequence.0, 100);
}

#[test]
fn a_self_test_shorts_looks_for_open_wires_and_reports_within_two_seconds_at_80_frames_per_s() {
    let script = Script { open_corner: Some(Corner::FrontRight), ..Script::default() };
    let mut bench = Bench::with(script, ResetCause::PowerOn);
    let slow = FrameRate::MIN;
    bench.say(Command::Rate(slow));
    assert!(bench.say(Command::SelfTest).is_empty());
    let busy = outcome(&bench.say(Command::Start));
    assert_eq!(busy, (CommandCode::Start, Outcome::Busy));
    let begun_us = bench.now_us;
    let report = loop {
        if let [Event::SelfTest(report)] = bench.edge_after(12_500, 0)[..] {
            break report;
        }
    };
    assert!(bench.now_us - begun_us < 2_000_000);
    assert_eq!(bench.script.borrow().inputs, [Input::Shorted, Input::BurnOut, Input::Cells]);
    assert_eq!(report.status, Status::open_bridge(Corner::FrontRight));
    // Readings 9 to 72, in thousands: mean 40,500; deviation of 64 whole numbers, times 1000.
    assert_eq!(report.shorted_mean.map(Counts::value), [40_500, 40_501, 40_502, 40_503]);
    assert_eq!(report.shorted_rms_counts, [18_472; 4]);
    assert!(!bench.station.is_converting());
}

#[test]
fn a_self_test_of_a_silent_converter_ends_with_an_answer() {
    let mut bench = Bench::new(ResetCause::PowerOn);
    bench.say(Command::SelfTest);
    let mut events = Vec::new();
    while events.is_empty() {
        bench.now_us += 1000;
        bench.station.poll(Ticks::from_us(bench.now_us));
        events = bench.heard();
    }
    assert_eq!(outcome(&events), (CommandCode::SelfTest, Outcome::ConverterSilent));
    assert!(bench.now_us < 500_000);
}

#[test]
fn a_board_whose_converter_is_silent_says_so_and_recovers_when_it_answers() {
    let script = Script { silent: true, ..Script::default() };
    let mut bench = Bench::with(script, ResetCause::PowerOn);
    let silent = outcome(&bench.say(Command::Start));
    assert_eq!(silent, (CommandCode::Start, Outcome::ConverterSilent));
    bench.script.borrow_mut().silent = false;
    assert_eq!(outcome(&bench.say(Command::Start)), (CommandCode::Start, Outcome::Done));
}

/// A command the wire knows but this board cannot meet, and one of another kind.
#[test]
fn what_is_not_understood_is_answered_and_damage_is_not() {
    let mut bench = Bench::new(ResetCause::PowerOn);
    // Command code 9, argument 0, with its CRC: made with the wire crate's own rules by hand.
    let payload = [0x81_u8, 9, 0, 0];
    let mut crc = 0xFFFF_u16;
    for byte in payload {
        crc ^= u16::from(byte);
        for _bit in 0..8 {
            crc = if crc & 1 == 1 { (crc >> 1) ^ 0x8408 } else { crc >> 1 };
        }
    }
    let [low, high] = (!crc).to_le_bytes();
    let packet = [3, 0x81, 9, 1, 3, low, high, 0];
    assert!(low != 0 && high != 0);
    bench.station.receive(&packet, Ticks::from_us(0));
    let unknown = (CommandCode::Unknown(9), Outcome::NotUnderstood);
    assert_eq!(outcome(&bench.heard()), unknown);
    bench.station.receive(&[5, 4, 3, 2, 1, 0], Ticks::from_us(0));
    assert!(bench.heard().is_empty());
}
