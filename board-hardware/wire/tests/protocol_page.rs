//! The tables of `board-hardware/PROTOCOL.md` are the test vectors of this crate.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use board_wire::{
    Answer, BoardId, Command, CommandCode, CommandDecoder, CommandEvent, Converter, Corner, Counts,
    Decoder, Event, FirmwareVersion, Frame, FrameRate, Gain, Header, NOMINAL, Outcome,
    SelfTestReport, Sequence, Status, Ticks, UniqueId,
};

/// One byte table of the page: the numbers of its example column, and its bytes.
struct Table {
    examples: BTreeMap<String, String>,
    bytes: Vec<u8>,
}

impl Table {
    /// The byte table under the heading `## {title}`.
    fn under(title: &str) -> Self {
        let mut examples = BTreeMap::new();
        let mut bytes = Vec::new();
        for cells in rows_under(title).into_iter().filter(|cells| cells.len() == 6) {
            let [offset, field, _type, _meaning, example, hex] = &cells[..] else { unreachable!() };
            let Ok(offset) = offset.parse::<usize>() else { continue };
            assert_eq!(offset, bytes.len(), "{title}: offset of {field}");
            bytes.extend(hex.split(' ').map(|byte| u8::from_str_radix(byte, 16).expect(field)));
            examples.insert(field.clone(), example.clone());
        }
        assert!(!bytes.is_empty(), "no byte table under {title:?}");
        Self { examples, bytes }
    }

    fn number<T: std::str::FromStr<Err: std::fmt::Debug>>(&self, field: &str) -> T {
        self.examples[field].parse().expect(field)
    }

    fn counts(&self, field: &str) -> Counts {
        Counts::new(self.number(field)).expect(field)
    }

    /// The field of each corner, in the order of `Corner::ALL`.
    fn corners<T>(&self, prefix: &str, read: impl Fn(&Self, &str) -> T) -> [T; 4] {
        Corner::ALL.map(|corner| {
            let place = match corner {
                Corner::FrontLeft => "front left",
                Corner::FrontRight => "front right",
                Corner::RearLeft => "rear left",
                Corner::RearRight => "rear right",
            };
            read(self, &format!("{prefix}{place}"))
        })
    }

    fn ticks(&self) -> Ticks {
        Ticks::from_us(self.number("time"))
    }

    fn board(&self) -> BoardId {
        BoardId(self.number("board"))
    }

    fn status(&self) -> Status {
        Status::from_bits(self.number("status"))
    }

    /// The bytes on the cable, by the definition of COBS and not by the crate under test.
    fn packet(&self) -> Vec<u8> {
        let mut packet = Vec::new();
        for stretch in self.bytes.split(|&byte| byte == 0) {
            packet.push(u8::try_from(stretch.len() + 1).expect("messages are short"));
            packet.extend(stretch);
        }
        packet.push(0);
        packet
    }
}

fn rows_under(title: &str) -> Vec<Vec<String>> {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../PROTOCOL.md");
    let text = fs::read_to_string(page).expect("the page stands beside the crate");
    let heading = format!("\n## {title}\n");
    let (_, section) = text.split_once(&heading).expect(title);
    let section = section.split_once("\n## ").map_or(section, |(section, _)| section);
    section
        .lines()
        .filter_map(|line| line.strip_prefix("| ")?.strip_suffix(" |"))
        .map(|row| row.split(" | ").map(|cell| cell.trim().to_owned()).collect())
        .collect()
}

/// Both ways: the page's bytes decode to the message, the message encodes to the page's bytes.
fn check(table: &Table, message: Event, encoded: &[u8]) {
    assert_eq!(encoded, table.packet());
    let mut events = Vec::new();
    Decoder::new().push(&table.packet(), |event| events.push(event));
    assert_eq!(events, [message]);
}

#[test]
fn a_frame_is_as_the_page_says() {
    let table = Table::under("Frame");
    let frame = Frame {
        board: table.board(),
        sequence: Sequence(table.number("sequence")),
        time: table.ticks(),
        counts: table.corners("", Table::counts),
        status: table.status(),
    };
    check(&table, Event::Frame(frame), frame.encode().as_bytes());
    assert_eq!(table.packet().len(), Frame::PACKET_BYTES);
    let flags = Status::saturated(Corner::RearLeft)
        | Status::saturated(Corner::RearRight)
        | Status::CONFIG_CHANGED;
    assert_eq!(frame.status, flags);
}

#[test]
fn a_header_is_as_the_page_says() {
    let table = Table::under("Header");
    let digits = &table.examples["unique id"];
    let unique_id = UniqueId(std::array::from_fn(|i| {
        u8::from_str_radix(&digits[2 * i..2 * i + 2], 16).unwrap()
    }));
    assert_eq!(&unique_id.to_string(), digits);
    let header = Header {
        board: table.board(),
        unique_id,
        firmware: FirmwareVersion {
            major: table.number("firmware major"),
            minor: table.number("firmware minor"),
            patch: table.number("firmware patch"),
        },
        converter: Converter::FourBridges,
        gain: Gain(table.number("gain")),
        rate: FrameRate::new(table.number("rate")).unwrap(),
        temperature_centidegrees: table.number("temperature"),
        time: table.ticks(),
        uptime_s: table.number("uptime"),
        status: table.status(),
    };
    check(&table, Event::Header(header), header.encode().as_bytes());
    assert_eq!(table.packet().len(), Header::PACKET_BYTES);
    assert_eq!(header.status, Status::WATCHDOG_RESTART);
}

#[test]
fn an_answer_is_as_the_page_says() {
    let table = Table::under("Answer");
    let answer = Answer {
        board: table.board(),
        command: CommandCode::Rate,
        outcome: Outcome::Busy,
        rate: FrameRate::new(table.number("rate")).unwrap(),
        time: table.ticks(),
    };
    check(&table, Event::Answer(answer), answer.encode().as_bytes());
}

#[test]
fn a_self_test_report_is_as_the_page_says() {
    let table = Table::under("Self-test report");
    let report = SelfTestReport {
        board: table.board(),
        time: table.ticks(),
        shorted_mean: table.corners("mean ", Table::counts),
        shorted_rms_counts: table.corners("rms ", Table::number),
        status: table.status(),
    };
    check(&table, Event::SelfTest(report), report.encode().as_bytes());
    assert_eq!(report.status, Status::open_bridge(Corner::RearRight));
}

#[test]
fn a_command_is_as_the_page_says() {
    let table = Table::under("Command");
    let command = Command::Rate(FrameRate::new(table.number("argument")).unwrap());
    assert_eq!(command.encode().as_bytes(), table.packet());
    let mut events = Vec::new();
    CommandDecoder::new().push(&table.packet(), |event| events.push(event));
    assert_eq!(events, [CommandEvent::Command(command)]);
}

/// The codes the page lists in words, over packets made by hand.
#[test]
fn every_command_has_the_code_the_page_gives_it() {
    for (command, code) in
        [(Command::Identify, 1), (Command::Start, 2), (Command::Stop, 3), (Command::SelfTest, 5)]
    {
        let mut payload = Vec::new();
        let packet = command.encode();
        let block = packet.as_bytes().strip_suffix(&[0]).unwrap();
        let mut rest = block;
        while let Some((&n, tail)) = rest.split_first() {
            let (stretch, tail) = tail.split_at(usize::from(n) - 1);
            payload.extend(stretch);
            rest = tail;
            if !rest.is_empty() {
                payload.push(0);
            }
        }
        assert_eq!(&payload[..4], [0x81, code, 0, 0], "{command:?}");
    }
}

#[test]
fn lengths_and_first_bytes_are_those_of_the_overview() {
    let overview = rows_under("Layers");
    for (name, title) in [
        ("frame", "Frame"),
        ("header", "Header"),
        ("answer", "Answer"),
        ("self-test report", "Self-test report"),
        ("command", "Command"),
    ] {
        let row = overview.iter().find(|row| row[1] == name).expect(name);
        let table = Table::under(title);
        assert_eq!(row[0], format!("0x{:02x}", table.bytes[0]));
        assert_eq!(row[3], table.bytes.len().to_string());
        assert_eq!(row[4], table.packet().len().to_string());
    }
}

#[test]
fn the_nominal_scale_is_that_of_the_page() {
    let rows = rows_under("Nominal scale and geometry");
    let scale = rows.iter().find(|row| row[0].starts_with("newtons per count")).unwrap();
    let printed: f64 = scale[1].split(' ').next().unwrap().parse().unwrap();
    assert!((printed - NOMINAL.newtons_per_count).abs() < 5e-10);
    for place in NOMINAL.corners {
        let text = format!("ML ±{} mm, AP ±{} mm", place.ml_mm.abs(), place.ap_mm.abs());
        assert!(rows.iter().any(|row| row[1].starts_with(&text)), "{text}");
    }
}
