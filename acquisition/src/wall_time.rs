//! Time of day as a trial carries it: an instant and the offset that was local then.

use std::fmt;
use std::str::FromStr;

use analysis::readiness::Moment;
use jiff::tz::Offset;
use jiff::{Timestamp, ZonedDateTime};
use thiserror::Error;

/// A calendar day, leap seconds not counted.
const SECONDS_PER_DAY: i64 = 86_400;

/// An instant with the local offset from UTC at which it was noted.
///
/// The instant orders trials; the offset is kept so that "in the morning" can still be told after a
/// journey or a change of the clocks. In range by construction of [`Self::new`], [`Self::now`] and
/// [`FromStr`]; a value built from its fields that is out of range prints as its bare numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WallTime {
    /// Microseconds since 1970-01-01 00:00 UTC, leap seconds not counted.
    pub unix_us: i64,
    /// Local time minus UTC, in seconds.
    pub offset_s: i32,
}

impl WallTime {
    /// A time from microseconds since 1970 and the local offset in seconds.
    ///
    /// # Errors
    /// [`BadWallTime`] outside the years -9999 to 9999, or for an offset of 26 hours or more.
    pub fn new(unix_us: i64, offset_s: i32) -> Result<Self, BadWallTime> {
        let time = Self { unix_us, offset_s };
        time.zoned().map(|_| time).ok_or_else(|| BadWallTime { found: time.numbers() })
    }

    /// The time the computer's clock shows, with the offset of its time zone.
    pub fn now() -> Self {
        Self::of(&ZonedDateTime::now())
    }

    fn of(time: &ZonedDateTime) -> Self {
        Self { unix_us: time.timestamp().as_microsecond(), offset_s: time.offset().seconds() }
    }

    /// The last microsecond of a day, as in `2026-03-01`, where local time is `offset_s` ahead of
    /// UTC.
    ///
    /// # Errors
    /// [`BadWallTime`] for text that is no date.
    pub fn end_of(date: &str, offset_s: i32) -> Result<Self, BadWallTime> {
        let bad = || BadWallTime { found: date.chars().take(40).collect() };
        let date: jiff::civil::Date = date.parse().ok().ok_or_else(bad)?;
        let zone = Offset::from_seconds(offset_s).ok().ok_or_else(bad)?.to_time_zone();
        let next = date.tomorrow().ok().ok_or_else(bad)?;
        let midnight =
            next.to_zoned_datetime(zone).ok().ok_or_else(bad)?.timestamp().as_microsecond();
        Self::new(midnight - 1, offset_s)
    }

    /// The local calendar day, counted from 1970-01-01, by this time's own offset.
    pub fn local_day(self) -> i32 {
        let local_s = self.unix_us.div_euclid(1_000_000).saturating_add(i64::from(self.offset_s));
        i32::try_from(local_s.div_euclid(SECONDS_PER_DAY)).unwrap_or(i32::MAX)
    }

    /// The date of a local calendar day as [`local_day`](Self::local_day) counts it; a day that no
    /// calendar has is given as its number.
    pub fn date_of_day(day: i32) -> String {
        Self::new(i64::from(day).saturating_mul(SECONDS_PER_DAY * 1_000_000), 0)
            .map_or_else(|_| day.to_string(), |time| time.date())
    }

    /// This moment for the judgement: the local calendar day, and universal time.
    pub fn moment(self) -> Moment {
        Moment { day: self.local_day(), at_us: self.unix_us }
    }

    /// The local calendar date, as in `2026-03-01`.
    pub fn date(&self) -> String {
        self.zoned().map_or_else(|| self.numbers(), |zoned| zoned.date().to_string())
    }

    fn zoned(&self) -> Option<ZonedDateTime> {
        let instant = Timestamp::from_microsecond(self.unix_us).ok()?;
        Some(instant.to_zoned_datetime(Offset::from_seconds(self.offset_s).ok()?.to_time_zone()))
    }

    fn numbers(&self) -> String {
        format!("{} us after 1970 at offset {} s", self.unix_us, self.offset_s)
    }
}

/// RFC 3339 with microseconds, as in `2026-03-01T09:30:00.000000+01:00`.
impl fmt::Display for WallTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.zoned() {
            Some(zoned) => write!(f, "{}", zoned.strftime("%Y-%m-%dT%H:%M:%S.%6f%:z")),
            None => f.write_str(&self.numbers()),
        }
    }
}

/// Reads RFC 3339 with an offset or `Z`.
impl FromStr for WallTime {
    type Err = BadWallTime;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bad = || BadWallTime { found: text.chars().take(60).collect() };
        let pieces = jiff::fmt::temporal::DateTimeParser::new()
            .parse_pieces(text)
            .ok()
            .filter(|pieces| pieces.time_zone_annotation().is_none())
            .ok_or_else(bad)?;
        let offset = match pieces.offset().ok_or_else(bad)? {
            jiff::fmt::temporal::PiecesOffset::Numeric(numeric) => numeric.offset(),
            _ => Offset::UTC,
        };
        let civil = pieces.date().to_datetime(pieces.time().ok_or_else(bad)?);
        let instant = offset.to_timestamp(civil).ok().ok_or_else(bad)?;
        Self::new(instant.as_microsecond(), offset.seconds())
    }
}

/// Text or numbers that are no time.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a date and time with an offset, as in 2026-03-01T09:30:00+01:00")]
pub struct BadWallTime {
    /// What was offered, at most 60 characters of it.
    pub found: String,
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn noted(text: &str) -> WallTime {
        text.parse().unwrap()
    }

    /// In the United States clocks go back from 2 to 1 in the morning of the first Sunday in
    /// November (Energy Policy Act of 2005, section 110), from 4 to 5 hours behind UTC on the east
    /// coast; the zone is written as POSIX.1 has it.
    #[test]
    fn half_past_one_comes_twice_in_the_night_the_clocks_go_back() {
        let zone = jiff::tz::TimeZone::posix("EST5EDT,M3.2.0,M11.1.0").unwrap();
        let at = |utc: &str| {
            let instant: Timestamp = utc.parse().unwrap();
            WallTime::of(&instant.to_zoned_datetime(zone.clone()))
        };
        let (first, second) = (at("2026-11-01T05:30:00Z"), at("2026-11-01T06:30:00Z"));
        assert_eq!(first.to_string(), "2026-11-01T01:30:00.000000-04:00");
        assert_eq!(second.to_string(), "2026-11-01T01:30:00.000000-05:00");
        assert_eq!(second.unix_us - first.unix_us, 3_600_000_000);
        assert!(first < second);
        assert_eq!((first.date(), first.local_day()), (second.date(), second.local_day()));
        // That day has 25 hours, each of them of its own date.
        let days = |utc: &str| at(utc).local_day() - first.local_day();
        assert_eq!(days("2026-11-01T03:59:59Z"), -1);
        assert_eq!(days("2026-11-01T04:00:00Z"), 0);
        assert_eq!(days("2026-11-02T04:59:59Z"), 0);
        assert_eq!(days("2026-11-02T05:00:00Z"), 1);
    }

    #[test]
    fn the_examples_of_rfc_3339_read_as_they_are_explained_there() {
        // RFC 3339, section 5.8: both denote the same instant, and so do the two after them.
        let a: WallTime = "1996-12-19T16:39:57-08:00".parse().unwrap();
        let b: WallTime = "1996-12-20T00:39:57Z".parse().unwrap();
        assert_eq!((a.unix_us, a.offset_s, b.offset_s), (b.unix_us, -8 * 3600, 0));
        assert_eq!(a.to_string(), "1996-12-19T16:39:57.000000-08:00");
        assert_eq!(a.date(), "1996-12-19");
        let c: WallTime = "1937-01-01T12:00:27.87+00:20".parse().unwrap();
        assert_eq!(c.to_string(), "1937-01-01T12:00:27.870000+00:20");
    }

    /// RFC 3339 offsets: half past eleven at night in one place is the next day by universal time.
    #[test]
    fn a_day_is_the_local_calendar_day_where_the_time_was_noted() {
        let late = noted("2026-03-01T23:30:00-05:00").moment();
        let noon = noted("2026-03-01T12:00:00+00:00").moment();
        assert_eq!(late.day, noon.day);
        assert_eq!(noted("1970-01-01T00:00:00+01:00").moment().day, 0);
        assert_eq!(noted("1970-01-01T00:00:00+00:00").moment().day, 0);
    }

    #[test]
    fn days_are_counted_from_1970() {
        assert_eq!(WallTime::date_of_day(0), "1970-01-01");
        // 2024 is a leap year; `date -d 2024-02-29 +%s` gives 19782 days of 86,400 s (UTC).
        assert_eq!(WallTime::date_of_day(19_782), "2024-02-29");
    }

    #[test]
    fn what_is_not_a_full_time_is_refused() {
        for bad in ["", "2026-03-01", "2026-03-01T09:30:00", "09:30", "2026-02-30T00:00:00Z", "x"] {
            assert!(bad.parse::<WallTime>().is_err(), "{bad:?}");
        }
        assert!(WallTime::new(i64::MAX, 0).is_err());
        assert!(WallTime::new(0, 200_000).is_err());
        assert!(!WallTime { unix_us: i64::MAX, offset_s: 0 }.to_string().is_empty());
    }

    proptest! {
        #[test]
        fn every_time_reads_back(
            unix_us in -62_000_000_000_000_000_i64..250_000_000_000_000_000,
            offset_min in -1439_i32..=1439,
        ) {
            let time = WallTime::new(unix_us, offset_min * 60).unwrap();
            prop_assert_eq!(time.to_string().parse(), Ok(time));
        }

        #[test]
        fn no_text_panics(text in "\\PC{0,60}") {
            if let Ok(time) = text.parse::<WallTime>() {
                prop_assert!(!time.to_string().is_empty());
            }
        }
    }
}
