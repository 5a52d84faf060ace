//! What is shown and sounded while somebody stands: load, centre of pressure, body centre, wobble.
//!
//! Live numbers are a guide, not a result: what is stored and compared is measured afterwards, on
//! the whole record.

use std::collections::VecDeque;

use analysis::{Analyser, Cop, Plane, SampleRate, Settings, Trace};

/// Live numbers as of one frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiveView {
    /// Board time of the frame, in microseconds.
    pub time_us: u64,
    /// Total load, in newtons.
    pub load_newtons: f64,
    /// Centre of pressure in the plate's plane; `None` below the load threshold.
    pub cop: Option<Cop>,
    /// How the body sways; `None` until somebody has stood for 5.4 s without a gap.
    pub sway: Option<LiveSway>,
}

/// Sway of 5 s, by the body-centre model of the measures.
///
/// The measures know what comes after each moment; live, nothing does. Here the model's filter runs
/// over the last 7 s and a guess at the next 2 s or more: that the centre of pressure goes back to its mean
/// of the last 5 s, by a factor e each second. A guess matters less the longer ago a moment is, so
/// the window ends 0.4 s ago. Over the 36 open recordings in `tests/open-data` the live wobble
/// differs from that of the same 5 s measured afterwards by 0.3 % (median) and 4.8 % (95th
/// percentile); without the 0.4 s it would be about 0.6 % and 13 %. A steady
/// circle, which never goes back to its mean, reads up to 10 % too wide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiveSway {
    /// Where the body centre is now, in millimetres: the least certain of the three.
    pub body_centre: Cop,
    /// Mean of the body centre over the window, in millimetres.
    pub mean_body_centre: Cop,
    /// Largest distance between two body centres of the window, in millimetres.
    pub wobble_mm: f64,
}

/// Points a second that the filter runs on: the body centre moves at 0.5 Hz and less.
const RATE_HZ: usize = 50;
const BIN_US: u64 = 1_000_000 / RATE_HZ as u64;

/// Length of a wobble window.
const WINDOW_S: usize = 5;
const WINDOW_POINTS: usize = WINDOW_S * RATE_HZ;

/// What the filter runs on besides the last moments: two seconds more than the window, for it
/// forgets by a factor e in a third of a second.
const MEMORY_S: usize = 7;

/// How long ago the window ends: 0.4 s.
const LAG_POINTS: usize = 20;

/// How fast the centre of pressure is thought to go back to its mean. Of 0.3, 1, 2 and 3 s, and of
/// standing still, this came closest on the open recordings.
const RETURN_S: f64 = 1.0;

/// Points kept and guessed together: at least two seconds are guessed, and a transform of 2^5 x 3 x 5
/// points is quick.
const FILTERED_POINTS: usize = 480;

/// The most points that are kept, besides the newest.
const MOST_POINTS: usize = MEMORY_S * RATE_HZ + LAG_POINTS - 1;

/// A gap of so many points is bridged by holding the last one: 40 ms, as in the measures. After a
/// longer one the window begins anew.
const LONGEST_BRIDGE: u64 = 2;

/// The sway is worked out again when it is older than this; the load and the centre of pressure are
/// those of every frame.
const RENEW_US: u64 = 4_000;

/// Follows the sway of somebody who stands, frame by frame.
pub(crate) struct SwayFollower {
    settings: Settings,
    analyser: Analyser,
    points: VecDeque<Cop>,
    under_way: Option<Bin>,
    newest: Option<(u64, LiveSway)>,
}

/// Mean of the points of one fiftieth of a second.
#[derive(Debug, Clone, Copy)]
struct Bin {
    index: u64,
    n_points: u32,
    sum: Cop,
}

impl SwayFollower {
    /// For a person of this height in metres, if it is known.
    pub(crate) fn new(body_height_m: Option<f64>) -> Self {
        Self {
            settings: Settings::as_recorded(body_height_m),
            analyser: Analyser::new(),
            points: VecDeque::with_capacity(MOST_POINTS),
            under_way: None,
            newest: None,
        }
    }

    /// Takes the next frame's centre of pressure; gives the sway up to there.
    pub(crate) fn push(&mut self, time_us: u64, cop: Option<Cop>) -> Option<LiveSway> {
        let Some(cop) = cop else {
            self.begin_anew();
            return None;
        };
        self.collect(time_us / BIN_US, cop);
        let fresh = self.newest.filter(|(made_us, _)| time_us < made_us + RENEW_US);
        if fresh.is_none() {
            self.newest = self.sway().map(|sway| (time_us, sway));
        }
        self.newest.map(|(_, sway)| sway)
    }

    fn begin_anew(&mut self) {
        self.points.clear();
        self.under_way = None;
        self.newest = None;
    }

    fn collect(&mut self, index: u64, cop: Cop) {
        if let Some(bin) = self.under_way.take_if(|bin| bin.index != index) {
            let n_missing = index.saturating_sub(bin.index + 1);
            if LONGEST_BRIDGE < n_missing {
                self.begin_anew();
            } else {
                for _ in 0..=n_missing {
                    self.keep(bin.mean());
                }
            }
        }
        let bin = self.under_way.get_or_insert(Bin { index, n_points: 0, sum: Cop::default() });
        bin.n_points += 1;
        bin.sum = Cop::new(bin.sum.ml_mm + cop.ml_mm, bin.sum.ap_mm + cop.ap_mm);
    }

    fn keep(&mut self, point: Cop) {
        if self.points.len() == MOST_POINTS {
            self.points.pop_front();
        }
        self.points.push_back(point);
    }

    /// The sway of the points kept, with those of the bin under way as the newest.
    fn sway(&mut self) -> Option<LiveSway> {
        let newest = self.under_way?.mean();
        // Whole seconds and the lag, so that one window of the measures ends where ours does.
        let n_seconds = (self.points.len() + 1).checked_sub(LAG_POINTS)? / RATE_HZ;
        let n_kept = n_seconds * RATE_HZ + LAG_POINTS;
        let from = self.points.len() + 1 - n_kept;
        let mut points: Vec<Cop> = self.points.range(from..).copied().chain([newest]).collect();
        let mean_cop = mean(points.last_chunk::<WINDOW_POINTS>()?);
        points.extend((1..=FILTERED_POINTS - n_kept).map(|ahead| {
            let share = (-(ahead as f64) / (RATE_HZ as f64 * RETURN_S)).exp();
            let between = |mean: f64, newest: f64| mean + (newest - mean) * share;
            let ml_mm = between(mean_cop.ml_mm, newest.ml_mm);
            Cop::new(ml_mm, between(mean_cop.ap_mm, newest.ap_mm))
        }));
        let rate = SampleRate::from_hz(RATE_HZ as f64).ok()?;
        let trace = Trace::new(rate, Plane::Plate, points)?;
        let windows_mm = self.analyser.wobble_windows_mm(&trace, &self.settings).ok()?;
        let body = self.analyser.body_centre(&trace, &self.settings).ok()?;
        let body = &body.points()[..n_kept];
        Some(LiveSway {
            body_centre: *body.last()?,
            mean_body_centre: mean(body[..n_kept - LAG_POINTS].last_chunk::<WINDOW_POINTS>()?),
            wobble_mm: *windows_mm.get(n_seconds.checked_sub(WINDOW_S)?)?,
        })
    }
}

impl Bin {
    fn mean(&self) -> Cop {
        let n_points = f64::from(self.n_points);
        Cop::new(self.sum.ml_mm / n_points, self.sum.ap_mm / n_points)
    }
}

fn mean(points: &[Cop]) -> Cop {
    let n_points = points.len() as f64;
    let sum = |axis: fn(&Cop) -> f64| points.iter().map(axis).sum::<f64>();
    Cop::new(sum(|cop| cop.ml_mm) / n_points, sum(|cop| cop.ap_mm) / n_points)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{PI, TAU};
    use std::fs;
    use std::io::Read as _;
    use std::path::Path;

    use flate2::read::GzDecoder;

    use super::*;

    /// Pushes a path and gives the sway after its last frame.
    fn follow(
        frames_per_s: u64,
        seconds: f64,
        path: impl Fn(f64) -> Option<Cop>,
    ) -> Option<LiveSway> {
        let mut follower = SwayFollower::new(Some(1.7));
        let (mut time_us, mut sway) = (0, None);
        while time_us as f64 / 1e6 < seconds {
            sway = follower.push(time_us, path(time_us as f64 / 1e6));
            time_us += 1_000_000 / frames_per_s;
        }
        sway
    }

    /// How much of a sway at this frequency the body centre of a person of 1.70 m follows
    /// (Caron et al. 1997, J Biomech 30:1169, with a pendulum of 0.66 x height).
    fn gain(hz: f64) -> f64 {
        1.0 / (1.0 + (TAU * hz).powi(2) / (9.81 / (0.66 * 1.7)))
    }

    #[test]
    fn a_slow_circle_wobbles_by_its_diameter_as_the_pendulum_follows_it() {
        // A steady circle is the worst case for the guess that the path goes back to its mean.
        for (frames_per_s, hz, most) in [(80, 0.25, 0.03), (250, 0.25, 0.03), (1000, 0.5, 0.1)] {
            let circle = |t: f64| {
                let angle = TAU * hz * t;
                Some(Cop::new(3.0 + 10.0 * angle.cos(), -5.0 + 10.0 * angle.sin()))
            };
            let sway = follow(frames_per_s, 12.0, circle).unwrap();
            let error = sway.wobble_mm / (20.0 * gain(hz)) - 1.0;
            assert!(error.abs() < most, "{frames_per_s}/s {hz} Hz: {error:+.4}");
        }
    }

    #[test]
    fn somebody_who_stands_like_a_statue_does_not_wobble() {
        let sway = follow(250, 9.0, |_| Some(Cop::new(12.0, -7.0))).unwrap();
        assert!(sway.wobble_mm < 1e-9);
        for place in [sway.body_centre, sway.mean_body_centre] {
            assert!((place.ml_mm - 12.0).abs() < 1e-9 && (place.ap_mm + 7.0).abs() < 1e-9);
        }
    }

    #[test]
    fn there_is_no_sway_before_a_window_is_full_nor_after_a_gap() {
        let still = Cop::new(0.0, 0.0);
        assert_eq!(follow(250, 5.38, |_| Some(still)), None);
        assert!(follow(250, 5.4, |_| Some(still)).is_some());
        // Off the board for a moment at 6 s.
        let hop = |t: f64| (!(5.9..6.0).contains(&t)).then_some(still);
        assert_eq!(follow(250, 11.3, hop), None);
        assert!(follow(250, 11.5, hop).is_some());
    }

    #[test]
    fn lost_frames_are_bridged_up_to_forty_milliseconds() {
        let mut follower = SwayFollower::new(None);
        let mut sway_after = |gap_us: u64| {
            follower.begin_anew();
            let times = (0..1_750).map(|k| k * 4_000);
            times.filter(|us| !(6_000_000..6_000_000 + gap_us).contains(us)).fold(None, |_, us| {
                let angle = PI * us as f64 * 1e-6;
                follower.push(us, Some(Cop::new(angle.cos(), angle.sin())))
            })
        };
        assert!(sway_after(40_000).is_some());
        assert!(sway_after(80_000).is_none());
    }

    /// Centre of pressure of every open recording (Santos and Duarte 2016, `PeerJ` 4:e2648, CC BY 4.0),
    /// 100 a second; the files give antero-posterior before medio-lateral, in centimetres.
    fn open_recordings() -> Vec<Vec<Cop>> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/open-data");
        let mut paths: Vec<_> =
            fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        paths.retain(|path| path.extension().is_some_and(|extension| extension == "gz"));
        paths.sort();
        paths.iter().map(|path| open_recording(path)).collect()
    }

    fn open_recording(path: &Path) -> Vec<Cop> {
        let mut text = String::new();
        GzDecoder::new(fs::File::open(path).unwrap()).read_to_string(&mut text).unwrap();
        let point = |line: &str| {
            let mut numbers = line.split('\t').map(|word| word.trim().parse::<f64>().unwrap());
            let ap_cm = numbers.nth(7).unwrap();
            Cop::new(10.0 * numbers.next().unwrap(), 10.0 * ap_cm)
        };
        text.lines().skip(1).map(point).collect()
    }

    /// Relative difference of the live wobble from that of the same 5 s measured on the whole
    /// record, for every window from the third on.
    fn differences(path: &[Cop]) -> Vec<f64> {
        let trace = Trace::new(SampleRate::STANDARD, Plane::Plate, path.to_vec()).unwrap();
        let settings = Settings::as_recorded(Some(1.7));
        let measured_mm = Analyser::new().wobble_windows_mm(&trace, &settings).unwrap();
        let mut follower = SwayFollower::new(Some(1.7));
        let mut differences = Vec::new();
        for (k, &cop) in path.iter().enumerate() {
            let sway = follower.push(k as u64 * 10_000, Some(cop));
            let Some(n_samples) = (k + 1).checked_sub(100 * LAG_POINTS / RATE_HZ) else { continue };
            let n_seconds = n_samples / 100;
            if n_samples % 100 == 0 && MEMORY_S <= n_seconds {
                let wobble_mm = sway.unwrap().wobble_mm;
                differences.push(wobble_mm / measured_mm[n_seconds - WINDOW_S] - 1.0);
            }
        }
        differences
    }

    #[test]
    fn the_live_wobble_of_real_people_is_close_to_the_measured_one() {
        let mut differences: Vec<f64> =
            open_recordings().iter().flat_map(|path| differences(path)).collect();
        assert_eq!(differences.len(), 36 * 53);
        differences.sort_by(f64::total_cmp);
        let bias = differences[differences.len() / 2];
        let mut sizes: Vec<f64> = differences.iter().map(|difference| difference.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        let at = |share: usize| sizes[sizes.len() * share / 100];
        assert!(bias.abs() <= 0.001, "{bias:+.4}");
        assert!(at(50) <= 0.003 && at(95) <= 0.05, "{:.4} {:.4}", at(50), at(95));
    }
}
