//! Where a value lies among the people of one laboratory.

use crate::condition::{Condition, Stance, Support, Surface, Vision};
use crate::keyed::keyed_enum;

keyed_enum! {
    /// Age bands of the reference people; only four of them were 45 to 59, too few for a band.
    pub enum AgeBand ("age band") {
        /// Under 30 years.
        Under30 = "under-30",
        /// 30 to 44 years.
        From30 = "30-44",
        /// 60 to 69 years.
        From60 = "60-69",
        /// 70 to 79 years.
        From70 = "70-79",
        /// 80 years and more.
        From80 = "80-and-more",
    }
}

impl AgeBand {
    /// The band of an age in years, if the set has people of it.
    pub fn of_age(years: f64) -> Option<Self> {
        match years {
            y if (0.0..30.0).contains(&y) => Some(Self::Under30),
            y if (30.0..45.0).contains(&y) => Some(Self::From30),
            y if (60.0..70.0).contains(&y) => Some(Self::From60),
            y if (70.0..80.0).contains(&y) => Some(Self::From70),
            y if (80.0..120.0).contains(&y) => Some(Self::From80),
            _ => None,
        }
    }
}

/// Percentiles that the table holds, as shares.
pub const REFERENCE_SHARES: [f64; 7] = [0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95];

/// What the set says of one measure, condition and age band.
///
/// One laboratory's volunteers, not a norm: 163 people, 60 s at 100 Hz, nothing trimmed, low-passed
/// at 10 Hz by the authors, each person the geometric mean of up to three trials.
///
/// # Source
/// Santos & Duarte 2016, `PeerJ` 4:e2648, published table, CC BY 4.0.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceGroup {
    /// People in the group.
    pub n_people: usize,
    /// Values at [`REFERENCE_SHARES`], in the unit of the measure.
    pub percentiles: [f64; 7],
}

/// Where a value lies in a group.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferencePlace {
    /// Share of the group with a lower value, from 0.05 to 0.95; beyond these the table ends.
    pub share: f64,
    /// Lower end of the 95 % interval of that share, given so few people.
    pub low: f64,
    /// Upper end of the 95 % interval of that share.
    pub high: f64,
    /// People in the group.
    pub n_people: usize,
}

/// Columns: age band, surface, vision, measure, people, percentiles. Written by a test from the
/// published table.
const TABLE: &str = include_str!("reference_people.tsv");

/// The group of a measure, condition and age, in years.
///
/// `None` for measures, ages and conditions that the set does not have: it has `mean_velocity`,
/// `ellipse_area` and `mean_frequency_full_band`, standing unaided on both feet side by side near
/// their natural width, on a firm plate or on foam.
pub fn reference_group(
    measure_key: &str,
    condition: &Condition,
    age_years: f64,
) -> Option<ReferenceGroup> {
    let natural = matches!(condition.stance, Stance::Wide | Stance::HipWidth);
    let plain = condition.support == Support::None && condition.band == crate::Band::None;
    if !natural || !plain {
        return None;
    }
    group(AgeBand::of_age(age_years)?, condition.surface, condition.vision, measure_key)
}

fn group(band: AgeBand, surface: Surface, vision: Vision, key: &str) -> Option<ReferenceGroup> {
    let wanted = [band.key(), surface.key(), vision.key(), key];
    TABLE.lines().find_map(|line| {
        let mut cells = line.split('\t');
        if !wanted.iter().all(|word| cells.next() == Some(*word)) {
            return None;
        }
        let n_people = cells.next()?.parse().ok()?;
        let mut percentiles = [0.0; 7];
        for percentile in &mut percentiles {
            *percentile = cells.next()?.parse().ok()?;
        }
        Some(ReferenceGroup { n_people, percentiles })
    })
}

impl ReferenceGroup {
    /// Where a value lies, linear on the logarithm between the percentiles. `None` unless it is a
    /// finite number above zero.
    pub fn place(&self, value: f64) -> Option<ReferencePlace> {
        if !value.is_finite() || value <= 0.0 {
            return None;
        }
        let above = self.percentiles.partition_point(|&percentile| percentile < value);
        let share = match above {
            0 => REFERENCE_SHARES[0],
            7 => REFERENCE_SHARES[6],
            _ => {
                let (low, high) = (self.percentiles[above - 1].ln(), self.percentiles[above].ln());
                let part = (value.ln() - low) / (high - low);
                let (from, to) = (REFERENCE_SHARES[above - 1], REFERENCE_SHARES[above]);
                from + part * (to - from)
            }
        };
        let (low, high) = wilson_interval(share, self.n_people as f64);
        Some(ReferencePlace { share, low, high, n_people: self.n_people })
    }
}

/// 95 % interval of a share seen among n people (Wilson 1927, J Am Stat Assoc 22:209).
fn wilson_interval(share: f64, n: f64) -> (f64, f64) {
    let z = crate::compare::TWO_SIDED_95;
    let middle = (share + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (share * (1.0 - share) / n + z * z / (4.0 * n * n)).sqrt();
    (middle - half, middle + half)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FOAM_OPEN: Condition = Condition::unaided(Surface::Foam, Stance::HipWidth, Vision::Open);

    #[test]
    fn every_group_of_the_table_reads_back() {
        let mut n_groups = 0;
        for &band in AgeBand::ALL {
            for surface in [Surface::Firm, Surface::Foam] {
                for &vision in Vision::ALL {
                    for key in ["mean_velocity", "ellipse_area", "mean_frequency_full_band"] {
                        let group = group(band, surface, vision, key).unwrap();
                        assert!(group.percentiles.is_sorted(), "{group:?}");
                        n_groups += 1;
                    }
                }
            }
        }
        assert_eq!(n_groups, TABLE.lines().filter(|line| !line.starts_with('#')).count());
    }

    #[test]
    fn a_value_lies_between_its_percentiles() {
        let group = reference_group("mean_velocity", &FOAM_OPEN, 25.0).unwrap();
        let place = group.place(group.percentiles[3]).unwrap();
        assert!((place.share - 0.5).abs() < 1e-12);
        assert!(place.low < 0.5 && 0.5 < place.high);
        let between = (group.percentiles[3] * group.percentiles[4]).sqrt();
        assert!((group.place(between).unwrap().share - 0.625).abs() < 1e-12);
        assert!((group.place(0.001).unwrap().share - 0.05).abs() < 1e-12);
        assert!((group.place(1e9).unwrap().share - 0.95).abs() < 1e-12);
        assert_eq!(group.place(f64::NAN), None);
        assert_eq!(group.place(0.0), None);
    }

    /// Wilson's interval of 81 in 263 (Newcombe 1998, Stat Med 17:857, table I, method 3).
    #[test]
    fn the_interval_agrees_with_a_printed_example() {
        let (low, high) = wilson_interval(81.0 / 263.0, 263.0);
        assert!((low - 0.2553).abs() < 5e-5 && (high - 0.3662).abs() < 5e-5, "{low} {high}");
    }

    #[test]
    fn what_the_set_does_not_have_is_not_made_up() {
        assert_eq!(reference_group("mean_velocity", &FOAM_OPEN, 50.0), None);
        assert_eq!(reference_group("range_max", &FOAM_OPEN, 25.0), None);
        let one_leg = Condition { stance: Stance::OneLegLeft, ..FOAM_OPEN };
        assert_eq!(reference_group("mean_velocity", &one_leg, 25.0), None);
    }
}
