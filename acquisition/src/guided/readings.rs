//! The state machine: what is asked for, what the frames say, what is asked for next.

use super::events::{GuidedEvent, MOST_TRIES, PATIENCE_S, Request, Stuck};
use super::glance::Glance;
use super::reading::Reading;
use super::station::{Course, Station};
use crate::board_session::BoardFrame;
use crate::calibrate::{CaptureFault, CaptureLimits, capture};
use crate::recorder::ZeroKeeper;
use crate::zero::{Zero, ZeroLine};

/// Above this load the board is not empty, in newtons: 2 kg, far above drift and below any mass
/// used here (our own choice).
const EMPTY_NEWTONS: f64 = 20.0;

/// A cell that moves by this much more than before says that something else lies there, in newtons.
/// A fifth of what moving 1 kg by 100 mm does to a cell, ten times the noise of half a second.
const CHANGED_NEWTONS: f64 = 0.2;

/// A reading may miss this share of its frames; what is missing shows in the frame numbers.
const LEAST_SHARE_OF_FRAMES: f64 = 0.9;

/// Reads loads one after the other. It knows no clock but the board's and touches nothing.
#[derive(Debug)]
pub struct GuidedReadings {
    course: Course,
    station: usize,
    state: State,
    /// Since when this state lasts, by the board's clock.
    since_us: u64,
    now_us: u64,
    entered_us: u64,
    keeper: ZeroKeeper,
    zero: Option<Zero>,
    /// What the cells read at rest at the last station, in counts.
    at_rest: [f64; 4],
    on_board: OnBoard,
    glance: Glance,
    readings: Vec<Reading>,
    zeros: Vec<Zero>,
    arrived_us: Vec<u64>,
    n_tries: u32,
}

/// What `at_rest` was read of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum OnBoard {
    Nothing,
    Mass,
}

#[derive(Debug)]
enum State {
    Unborn,
    /// Waiting for the load to leave.
    Leaving,
    /// Empty, resting.
    Resting,
    /// Empty, being read.
    Zeroing,
    /// Waiting for the load.
    Awaiting,
    Settling,
    Reading(Vec<BoardFrame>),
    Exercising {
        reached: bool,
    },
    Finished,
}

impl GuidedReadings {
    /// A course that waits for its first frame.
    ///
    /// # Panics
    /// If the course does not begin with an empty board.
    pub fn new(course: Course) -> Self {
        assert!(
            matches!(course.stations.first(), Some(Station::Empty { .. })),
            "a course begins with an empty board"
        );
        Self {
            course,
            station: 0,
            state: State::Unborn,
            since_us: 0,
            now_us: 0,
            entered_us: 0,
            keeper: ZeroKeeper::default(),
            zero: None,
            at_rest: [0.0; 4],
            on_board: OnBoard::Nothing,
            glance: Glance::default(),
            readings: Vec::new(),
            zeros: Vec::new(),
            arrived_us: Vec::new(),
            n_tries: 0,
        }
    }

    /// What the person should do now.
    pub fn request(&self) -> Request {
        match (&self.state, self.course.stations.get(self.station)) {
            (State::Finished, _) | (_, None) => Request::Done,
            (State::Settling, _) => Request::Settle,
            (State::Reading(_), Some(Station::Watch { .. })) => Request::Watch,
            (State::Reading(_), _) => Request::Read,
            (_, Some(Station::Empty { .. })) => Request::Empty { trouble: self.keeper.trouble() },
            (_, Some(&Station::Mass { mass_kg, ml_mm, ap_mm, .. })) => {
                Request::PutDown { mass_kg, ml_mm, ap_mm }
            }
            (_, Some(Station::Watch { .. })) => Request::Watch,
            (_, Some(Station::Exercise { .. })) => Request::Exercise,
        }
    }

    /// Which station is being worked on, from 0.
    pub fn station(&self) -> usize {
        self.station
    }

    /// How long the present request has lasted, and how long it takes where that is known, in
    /// seconds.
    pub fn progress_s(&self) -> (f64, Option<f64>) {
        let asked_s = match (&self.state, self.course.stations.get(self.station)) {
            (State::Settling, Some(Station::Mass { settle_s, .. })) => Some(*settle_s),
            (State::Reading(_), Some(Station::Mass { read_s, .. })) => Some(*read_s),
            (State::Reading(_), Some(Station::Watch { seconds })) => Some(*seconds),
            (State::Resting, Some(Station::Empty { rest_s })) => Some(*rest_s),
            (State::Zeroing, _) => Some(5.0),
            _ => None,
        };
        (seconds(self.now_us - self.since_us), asked_s)
    }

    /// What was read so far, in order of stations.
    pub fn readings(&self) -> &[Reading] {
        &self.readings
    }

    /// Every zero that was read, in order.
    pub fn zeros(&self) -> &[Zero] {
        &self.zeros
    }

    /// Takes the next frame and when it had arrived, in microseconds of a steady clock.
    ///
    /// # Errors
    /// [`Stuck`] if the course cannot be brought to an end.
    pub fn push(
        &mut self,
        frame: &BoardFrame,
        arrived_us: u64,
    ) -> Result<Option<GuidedEvent>, Stuck> {
        self.now_us = frame.time_us;
        if matches!(self.state, State::Unborn) {
            self.enter_station(0);
        }
        if PATIENCE_S + self.longest_s() < seconds(self.now_us - self.entered_us) {
            return Err(Stuck::Waited { station: self.station });
        }
        let glanced = self.glance.push(frame);
        match &mut self.state {
            State::Reading(frames) => {
                frames.push(*frame);
                self.arrived_us.push(arrived_us);
                self.read_on()
            }
            State::Leaving => Ok(self.leave(glanced)),
            State::Resting => Ok(self.rest(frame)),
            State::Zeroing => self.zero_on(frame),
            State::Awaiting => Ok(self.await_load(glanced)),
            State::Settling => Ok(self.settle(frame)),
            State::Exercising { .. } => Ok(self.exercise(frame)),
            State::Unborn | State::Finished => Ok(None),
        }
    }

    fn leave(&mut self, glanced: Option<[f64; 4]>) -> Option<GuidedEvent> {
        let load = glanced.map(|mean| self.load_newtons(mean));
        if load.is_some_and(|load| load < EMPTY_NEWTONS) {
            self.enter(State::Resting);
        }
        None
    }

    fn rest(&mut self, frame: &BoardFrame) -> Option<GuidedEvent> {
        if EMPTY_NEWTONS <= self.load_newtons(frame.counts.map(f64::from)) {
            self.enter(State::Leaving);
            return None;
        }
        let Some(Station::Empty { rest_s }) = self.course.stations.get(self.station) else {
            return None;
        };
        if *rest_s <= seconds(self.now_us - self.since_us) {
            self.keeper = ZeroKeeper::default();
            self.enter(State::Zeroing);
        }
        None
    }

    fn zero_on(&mut self, frame: &BoardFrame) -> Result<Option<GuidedEvent>, Stuck> {
        let loaded = EMPTY_NEWTONS <= self.load_newtons(frame.counts.map(f64::from));
        if self.zero.is_some() && loaded {
            self.keeper = ZeroKeeper::default();
            self.enter(State::Leaving);
            return Ok(None);
        }
        self.keeper.push(frame, &self.course.calibration);
        let Some(zero) = self.keeper.zero() else { return Ok(None) };
        self.take_zero(zero)
    }

    fn take_zero(&mut self, zero: Zero) -> Result<Option<GuidedEvent>, Stuck> {
        let line = self.zero.map(|before| ZeroLine { before, after: Some(zero) });
        let moved =
            line.and_then(|line| line.moved_newtons(&self.course.calibration.newtons_per_count));
        self.zero = Some(zero);
        self.zeros.push(zero);
        (self.at_rest, self.on_board) = (zero.counts, OnBoard::Nothing);
        let most = moved.map(|moved| {
            let corner = (0..4).max_by(|&a, &b| moved[a].abs().total_cmp(&moved[b].abs()));
            let corner = corner.unwrap_or(0);
            (corner, moved[corner].abs())
        });
        let open = self.readings.iter().position(|reading| reading.zero.after.is_none());
        if let (Some((corner, newtons)), Some(open)) = (most, open)
            && self.course.zero_moved_newtons < newtons
        {
            let first = self.readings[open].station;
            self.readings.truncate(open);
            self.n_tries += 1;
            if MOST_TRIES <= self.n_tries {
                return Err(Stuck::ZeroMoved { corner, newtons });
            }
            self.enter_station(first);
            return Ok(Some(GuidedEvent::ZeroMoved { corner, newtons }));
        }
        for reading in self.readings.iter_mut().filter(|reading| reading.zero.after.is_none()) {
            reading.zeroed_after(zero);
            self.n_tries = 0;
        }
        let moved_newtons = most.map(|(_, newtons)| newtons);
        self.enter_station(self.station + 1);
        Ok(Some(match self.state {
            State::Finished => GuidedEvent::Finished,
            _ => GuidedEvent::Zeroed { moved_newtons },
        }))
    }

    /// Waits until the cells read something else than at the last station.
    fn await_load(&mut self, glanced: Option<[f64; 4]>) -> Option<GuidedEvent> {
        let mean = glanced?;
        let gains = self.course.calibration.newtons_per_count;
        let change = |i: usize| ((mean[i] - self.at_rest[i]) * gains[i]).abs();
        let changed = match self.on_board {
            OnBoard::Nothing => EMPTY_NEWTONS <= (0..4).map(change).sum(),
            OnBoard::Mass => (0..4).any(|i| CHANGED_NEWTONS <= change(i)),
        };
        if changed {
            self.enter(State::Settling);
        }
        None
    }

    fn settle(&mut self, frame: &BoardFrame) -> Option<GuidedEvent> {
        if self.pressed_newtons(frame)? < EMPTY_NEWTONS {
            (self.at_rest, self.on_board) = (self.zero?.counts, OnBoard::Nothing);
            self.enter(State::Awaiting);
            return None;
        }
        let Some(Station::Mass { settle_s, .. }) = self.course.stations.get(self.station) else {
            return None;
        };
        if *settle_s <= seconds(self.now_us - self.since_us) {
            self.enter(State::Reading(Vec::new()));
        }
        None
    }

    fn read_on(&mut self) -> Result<Option<GuidedEvent>, Stuck> {
        let read_s = match self.course.stations.get(self.station) {
            Some(&Station::Mass { read_s, .. }) => read_s,
            Some(&Station::Watch { seconds }) => seconds,
            _ => return Ok(None),
        };
        if seconds(self.now_us - self.since_us) < read_s {
            return Ok(None);
        }
        let State::Reading(frames) = std::mem::replace(&mut self.state, State::Awaiting) else {
            return Ok(None);
        };
        let Some(before) = self.zero else { return Ok(None) };
        let station = self.station;
        if let Some(Station::Mass { .. }) = self.course.stations.get(station) {
            match self.judge(&frames, &before, read_s) {
                Ok(net) => {
                    self.at_rest = std::array::from_fn(|i| net[i] + before.counts[i]);
                    self.on_board = OnBoard::Mass;
                }
                Err(fault) => return self.again(station, fault),
            }
        }
        let arrived_us = std::mem::take(&mut self.arrived_us);
        let zero = ZeroLine { before, after: None };
        self.readings.push(Reading { station, frames, arrived_us, zero });
        self.enter_station(station + 1);
        Ok(Some(match self.state {
            State::Finished => GuidedEvent::Finished,
            _ => GuidedEvent::Read { station },
        }))
    }

    /// Asks for the loading once more, from the empty board on.
    fn again(&mut self, station: usize, fault: CaptureFault) -> Result<Option<GuidedEvent>, Stuck> {
        self.n_tries += 1;
        if MOST_TRIES <= self.n_tries {
            return Err(Stuck::Disturbed { station, source: fault });
        }
        self.readings.retain(|reading| reading.zero.after.is_some());
        self.enter_station(self.last_empty());
        Ok(Some(GuidedEvent::Disturbed { station, fault }))
    }

    fn judge(
        &self,
        frames: &[BoardFrame],
        zero: &Zero,
        read_s: f64,
    ) -> Result<[f64; 4], CaptureFault> {
        let counts: Vec<[i32; 4]> = frames.iter().map(|frame| frame.counts).collect();
        let mut limits = CaptureLimits::at_rate(self.course.frames_per_s);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a rate of at most a few thousand times a time of at most some hours"
        )]
        let needed = (LEAST_SHARE_OF_FRAMES * read_s * self.course.frames_per_s) as usize;
        limits.n_samples = needed;
        capture(&counts, zero, &self.course.calibration, &limits)
    }

    fn exercise(&mut self, frame: &BoardFrame) -> Option<GuidedEvent> {
        let load = self.pressed_newtons(frame)?;
        let Some(&Station::Exercise { least_newtons }) = self.course.stations.get(self.station)
        else {
            return None;
        };
        let State::Exercising { reached } = &mut self.state else { return None };
        if least_newtons <= load {
            *reached = true;
        }
        if *reached && load < EMPTY_NEWTONS {
            self.enter_station(self.station + 1);
        }
        None
    }

    /// The station of the empty board that came before this one.
    fn last_empty(&self) -> usize {
        let is_empty = |station: &Station| matches!(station, Station::Empty { .. });
        self.course.stations[..self.station].iter().rposition(is_empty).unwrap_or(0)
    }

    fn enter_station(&mut self, station: usize) {
        self.station = station;
        self.entered_us = self.now_us;
        self.enter(match self.course.stations.get(station) {
            // The first zero has nothing to be compared with and no load to recover from.
            Some(Station::Empty { .. }) if self.zero.is_none() => State::Zeroing,
            Some(Station::Empty { .. }) => State::Leaving,
            Some(Station::Mass { .. }) => State::Awaiting,
            Some(Station::Watch { .. }) => State::Reading(Vec::new()),
            Some(Station::Exercise { .. }) => State::Exercising { reached: false },
            None => State::Finished,
        });
    }

    fn enter(&mut self, state: State) {
        self.state = state;
        self.arrived_us.clear();
        self.since_us = self.now_us;
    }

    /// How long the present station takes by itself, in seconds.
    fn longest_s(&self) -> f64 {
        match self.course.stations.get(self.station) {
            Some(Station::Empty { rest_s }) => *rest_s,
            Some(Station::Mass { settle_s, read_s, .. }) => settle_s + read_s,
            Some(Station::Watch { seconds }) => *seconds,
            _ => 0.0,
        }
    }

    /// What the cells read, each taken as pressed: a cell that is wired backwards counts too.
    fn pressed_newtons(&self, frame: &BoardFrame) -> Option<f64> {
        let (zero, gains) = (self.zero?, self.course.calibration.newtons_per_count);
        let pressed = |i: usize| ((f64::from(frame.counts[i]) - zero.counts[i]) * gains[i]).abs();
        Some((0..4).map(pressed).sum())
    }

    /// Load above the last zero; above nothing at all before the first.
    fn load_newtons(&self, counts: [f64; 4]) -> f64 {
        let Some(zero) = self.zero else { return 0.0 };
        let gains = self.course.calibration.newtons_per_count;
        (0..4).map(|i| (counts[i] - zero.counts[i]) * gains[i]).sum::<f64>().abs()
    }
}

fn seconds(us: u64) -> f64 {
    us as f64 / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibration::tests::square_board;
    use crate::test_stand::Stand;

    const EMPTY: Station = Station::Empty { rest_s: 10.0 };

    fn mass(settle_s: f64) -> Station {
        Station::Mass { mass_kg: 20.0, ml_mm: 0.0, ap_mm: 0.0, settle_s, read_s: 5.0 }
    }

    /// Feeds a stand; gives the machine, what happened in order, and how it ended.
    fn run(
        stations: Vec<Station>,
        stand: &Stand,
    ) -> (GuidedReadings, Vec<GuidedEvent>, Option<Stuck>) {
        let mut readings = GuidedReadings::new(Course {
            stations,
            calibration: square_board(),
            frames_per_s: 250.0,
            zero_moved_newtons: 1.0,
        });
        let mut events = Vec::new();
        for frame in &stand.frames {
            match readings.push(frame, 0) {
                Ok(happened) => events.extend(happened),
                Err(stuck) => return (readings, events, Some(stuck)),
            }
        }
        (readings, events, None)
    }

    #[track_caller]
    fn check_net_newtons(reading: &Reading, wanted: [f64; 4]) {
        for (net, wanted) in reading.net_counts().into_iter().zip(wanted) {
            assert!((net * 0.001 - wanted).abs() < 1e-3, "{net} counts, {wanted} N");
        }
    }

    /// The zero of the first cell is 0.2 N higher afterwards; the reading lies half way between.
    #[test]
    fn a_mass_at_rest_is_read_against_the_line_between_both_zeros() {
        let stand = Stand::at(250)
            .empty(7.0)
            .carries(20.0, |_| [60.0, 50.0, 40.0, 46.0])
            .carries(30.0, |_| [0.2, 0.0, 0.0, 0.0]);
        let (readings, events, stuck) = run(vec![EMPTY, mass(10.0), EMPTY], &stand);
        assert_eq!(stuck, None);
        assert!(matches!(events[0], GuidedEvent::Zeroed { moved_newtons: None }), "{events:?}");
        assert_eq!(events[1..], [GuidedEvent::Read { station: 1 }, GuidedEvent::Finished]);
        let reading = &readings.readings()[0];
        let share = (reading.middle_us() - reading.zero.before.board_time_us) as f64
            / (reading.zero.after.unwrap().board_time_us - reading.zero.before.board_time_us)
                as f64;
        check_net_newtons(reading, [60.0 - 0.2 * share, 50.0, 40.0, 46.0]);
        assert_eq!(readings.request(), Request::Done);
    }

    #[test]
    fn a_mass_lifted_before_it_settled_is_waited_for_again() {
        let stand = Stand::at(250)
            .empty(7.0)
            .carries(4.0, |_| [50.0; 4])
            .empty(3.0)
            .carries(18.0, |_| [49.0; 4])
            .empty(20.0);
        let (readings, _, stuck) = run(vec![EMPTY, mass(10.0), EMPTY], &stand);
        assert_eq!((readings.readings().len(), stuck), (1, None));
        check_net_newtons(&readings.readings()[0], [49.0; 4]);
    }

    /// 1 kg moved from the left to the right of 60 kg: 2.45 N from one pair of cells to the other.
    #[test]
    fn a_small_mass_that_is_moved_is_another_load() {
        let stand = Stand::at(250)
            .empty(7.0)
            .carries(12.0, |_| [150.0; 4])
            .carries(12.0, |_| [148.775, 151.225, 148.775, 151.225])
            .empty(20.0);
        let (readings, _, stuck) = run(vec![EMPTY, mass(3.0), mass(3.0), EMPTY], &stand);
        assert_eq!((readings.readings().len(), stuck), (2, None));
        check_net_newtons(&readings.readings()[0], [150.0; 4]);
        check_net_newtons(&readings.readings()[1], [148.775, 151.225, 148.775, 151.225]);
    }

    #[test]
    fn a_zero_that_jumps_over_a_loading_has_it_done_again() {
        let stand = Stand::at(250)
            .empty(7.0)
            .carries(18.0, |_| [50.0; 4])
            .carries(20.0, |_| [0.0, 0.0, 1.5, 0.0])
            .carries(18.0, |_| [50.0, 50.0, 51.5, 50.0])
            .carries(20.0, |_| [0.0, 0.0, 1.5, 0.0]);
        let (readings, events, stuck) = run(vec![EMPTY, mass(10.0), EMPTY], &stand);
        assert_eq!(stuck, None);
        let jumped =
            |event: &&GuidedEvent| matches!(event, GuidedEvent::ZeroMoved { corner: 2, .. });
        assert_eq!(events.iter().filter(jumped).count(), 1, "{events:?}");
        assert_eq!(readings.readings().len(), 1);
        check_net_newtons(&readings.readings()[0], [50.0; 4]);
    }

    #[test]
    fn nobody_is_waited_for_for_ever() {
        let stuck = run(vec![EMPTY, mass(10.0), EMPTY], &Stand::at(250).empty(950.0)).2;
        assert_eq!(stuck, Some(Stuck::Waited { station: 1 }));
    }
}
