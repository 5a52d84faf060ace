//! When a report was made.

use std::str::FromStr;

use krilla::metadata::DateTime;
use thiserror::Error;

/// When a report was made, by local time. It is given, so that the same input gives the same bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MadeAt {
    /// Year.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, from 1.
    pub day: u8,
    /// Hour, 0 to 23.
    pub hour: u8,
    /// Minute.
    pub minute: u8,
    /// Local time minus UTC, in minutes.
    pub offset_minutes: i16,
}

/// Text that is no time.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{found:?} is not a date and time with an offset, as in 2026-03-01T09:30:00+01:00")]
pub struct BadMadeAt {
    /// What was offered, at most 60 characters of it.
    pub found: String,
}

/// Reads RFC 3339 with a numeric offset; seconds and what follows them are dropped.
impl FromStr for MadeAt {
    type Err = BadMadeAt;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        read(text).ok_or_else(|| BadMadeAt { found: text.chars().take(60).collect() })
    }
}

fn read(text: &str) -> Option<MadeAt> {
    let (date, time) = text.split_once('T')?;
    let (sign, (time, offset)) = match time.split_once('+') {
        Some(parts) => (1, parts),
        None => (-1, time.split_once('-')?),
    };
    let [year, month, day] = numbers(date, '-')?[..] else { return None };
    let [hour, minute] = numbers(time.get(..5)?, ':')?[..] else { return None };
    let [offset_hours, offset_minutes] = numbers(offset, ':')?[..] else { return None };
    let byte = |number: u16, most: u16| u8::try_from(number).ok().filter(|_| number <= most);
    // Checked before it is multiplied: 23:59 is the largest offset that RFC 3339 can write.
    let offset_hours = Some(offset_hours).filter(|hours| *hours <= 23)?;
    let offset = i16::try_from(offset_hours * 60 + offset_minutes).ok()?;
    Some(MadeAt {
        year,
        month: byte(month, 12)?,
        day: byte(day, 31)?,
        hour: byte(hour, 23)?,
        minute: byte(minute, 59)?,
        offset_minutes: sign * offset,
    })
}

/// Numbers of at most four digits.
fn numbers(text: &str, between: char) -> Option<Vec<u16>> {
    let digits = |part: &str| {
        (part.len() <= 4 && part.bytes().all(|c| c.is_ascii_digit())).then(|| part.parse().ok())?
    };
    let numbers: Option<Vec<u16>> = text.split(between).map(digits).collect();
    numbers.filter(|numbers| numbers.iter().skip(1).all(|number| *number <= 59))
}

impl MadeAt {
    pub(super) fn pdf(self) -> DateTime {
        let whole_hours = self.offset_minutes / 60;
        DateTime::new(self.year)
            .month(self.month)
            .day(self.day)
            .hour(self.hour)
            .minute(self.minute)
            .second(0)
            .utc_offset_hour(i8::try_from(whole_hours).unwrap_or(0))
            .utc_offset_minute(u8::try_from((self.offset_minutes % 60).abs()).unwrap_or(0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_with_their_offset() {
        let made =
            MadeAt { year: 2026, month: 3, day: 1, hour: 9, minute: 30, offset_minutes: 330 };
        assert_eq!("2026-03-01T09:30:00.000000+05:30".parse(), Ok(made));
        let west = MadeAt { offset_minutes: -60, ..made };
        assert_eq!("2026-03-01T09:30:59-01:00".parse(), Ok(west));
    }

    #[test]
    fn other_text_is_refused() {
        for bad in [
            "",
            "2026-03-01",
            "2026-03-01T09:30",
            "2026-13-01T09:30:00+01:00",
            "2026-03-01T24:30:00+01:00",
            "2026-03-01T09:30:00+01",
            "2026-+3-01T09:30:00+01:00",
            "99999-03-01T09:30:00+01:00",
            "2026-03-01T09:3é:00+01:00",
            "2026-03-01T09:30:00+9999:00",
        ] {
            assert!(bad.parse::<MadeAt>().is_err(), "{bad}");
        }
    }
}
