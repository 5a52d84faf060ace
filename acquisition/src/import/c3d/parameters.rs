//! The section of a C3D file that names and describes everything in it.

use std::collections::BTreeMap;

use super::C3dError;
use super::bytes::Processor;

/// Most parameters that are read: our own limit, some ten times what recordings hold.
const MAX_PARAMETERS: usize = 4096;

/// One parameter: its values in the file's own order, first index fastest.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Parameter {
    pub(super) dimensions: Vec<usize>,
    pub(super) values: Values,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) enum Values {
    Text(Vec<u8>),
    Numbers(Vec<f64>),
}

/// Every parameter, by the names of its group and its own, in capitals.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Parameters {
    pub(super) processor: Processor,
    by_name: BTreeMap<(String, String), Parameter>,
}

impl Parameters {
    /// Reads the section that begins with the first byte of `section`.
    pub(super) fn read(section: &[u8]) -> Result<Self, C3dError> {
        let damaged = |what| C3dError::Damaged { what };
        let sign = *section.get(3).ok_or(damaged("its parameters begin beyond its end"))?;
        let processor = Processor::from_sign(sign)
            .ok_or(damaged("its numbers are of no computer the format knows"))?;
        let mut groups: BTreeMap<u8, String> = BTreeMap::new();
        let mut found: Vec<(u8, String, Parameter)> = Vec::new();
        let mut at = 4;
        while let Some((record, next)) = record(section, at, processor)? {
            match record {
                Record::Group(id, name) => {
                    groups.insert(id, name);
                }
                Record::Parameter(id, name, parameter) => found.push((id, name, parameter)),
            }
            if MAX_PARAMETERS < found.len() + groups.len() {
                return Err(damaged("it has more parameters than any recording"));
            }
            // Each step goes forward, so that no section can be read for ever.
            match next {
                Some(next) if at < next => at = next,
                _ => break,
            }
        }
        let named = |(id, name, parameter): (u8, String, Parameter)| {
            Some(((groups.get(&id)?.clone(), name), parameter))
        };
        Ok(Self { processor, by_name: found.into_iter().filter_map(named).collect() })
    }

    pub(super) fn get(&self, group: &str, name: &str) -> Option<&Parameter> {
        self.by_name.get(&(group.to_owned(), name.to_owned()))
    }

    /// The numbers of a parameter; none if there is no such parameter of numbers.
    pub(super) fn numbers(&self, group: &str, name: &str) -> &[f64] {
        match self.get(group, name).map(|parameter| &parameter.values) {
            Some(Values::Numbers(numbers)) => numbers,
            _ => &[],
        }
    }

    pub(super) fn number(&self, group: &str, name: &str) -> Option<f64> {
        self.numbers(group, name).first().copied()
    }

    /// The texts of a parameter, blanks at their ends taken off.
    pub(super) fn texts(&self, group: &str, name: &str) -> Vec<String> {
        let Some(Parameter { dimensions, values: Values::Text(bytes) }) = self.get(group, name)
        else {
            return Vec::new();
        };
        let width = dimensions.first().copied().unwrap_or(1).max(1);
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).trim().to_owned();
        bytes.chunks(width).map(text).collect()
    }
}

enum Record {
    Group(u8, String),
    Parameter(u8, String, Parameter),
}

/// The record at `at`, and where the next one begins; `None` where the section ends.
fn record(
    section: &[u8],
    at: usize,
    processor: Processor,
) -> Result<Option<(Record, Option<usize>)>, C3dError> {
    let cut = || C3dError::Damaged { what: "its parameters are cut short" };
    let (Some(&length), Some(&id)) = (section.get(at), section.get(at + 1)) else {
        return Ok(None);
    };
    // A name's length is negative where the parameter is locked.
    let length = usize::from(length.cast_signed().unsigned_abs());
    if length == 0 || id == 0 {
        return Ok(None);
    }
    let name = section.get(at + 2..at + 2 + length).ok_or_else(cut)?;
    let name = String::from_utf8_lossy(name).trim().to_uppercase();
    let after = at + 2 + length;
    let offset = usize::from(processor.u16_at(section, after).ok_or_else(cut)?);
    let next = (offset != 0).then_some(after + offset);
    let id = id.cast_signed();
    let record = if id < 0 {
        Record::Group(id.unsigned_abs(), name)
    } else {
        Record::Parameter(id.unsigned_abs(), name, parameter(section, after + 2, processor)?)
    };
    Ok(Some((record, next)))
}

fn parameter(section: &[u8], at: usize, processor: Processor) -> Result<Parameter, C3dError> {
    let cut = || C3dError::Damaged { what: "its parameters are cut short" };
    let kind = section.get(at).ok_or_else(cut)?.cast_signed();
    let n_dimensions = usize::from(*section.get(at + 1).ok_or_else(cut)?);
    let dimensions = section.get(at + 2..at + 2 + n_dimensions).ok_or_else(cut)?;
    let dimensions: Vec<usize> = dimensions.iter().map(|size| usize::from(*size)).collect();
    let n_values =
        dimensions.iter().try_fold(1_usize, |n, size| n.checked_mul(*size)).ok_or_else(cut)?;
    let start = at + 2 + n_dimensions;
    let width = match kind {
        -1 | 1 => 1,
        2 => 2,
        4 => 4,
        _ => return Err(C3dError::Damaged { what: "a parameter is of no kind the format knows" }),
    };
    let n_bytes = n_values.checked_mul(width).ok_or_else(cut)?;
    // Taken from the section, so that what is read is never longer than the file.
    let end = start.checked_add(n_bytes).ok_or_else(cut)?;
    let bytes = section.get(start..end).ok_or_else(cut)?;
    let values = match kind {
        -1 => Values::Text(bytes.to_vec()),
        1 => Values::Numbers(bytes.iter().map(|byte| f64::from(*byte)).collect()),
        2 => Values::Numbers(
            (0..n_values).filter_map(|i| processor.i16_at(bytes, 2 * i)).map(f64::from).collect(),
        ),
        _ => Values::Numbers(
            (0..n_values).filter_map(|i| processor.f32_at(bytes, 4 * i)).map(f64::from).collect(),
        ),
    };
    Ok(Parameter { dimensions, values })
}
