//! The attributes of one group of an HDF5 file, of types and sizes that are checked.

use std::str::FromStr;

use analysis::UnknownKey;
use hdf5::types::{FixedUnicode, TypeDescriptor};
use hdf5::{H5Type, Location};

use super::layout::MAX_TEXT_BYTES;
use super::read::{ReadTrialError, form};

/// A group and the names of its attributes, which the library finds only by going through them all.
pub(super) struct Attributes<'a> {
    place: &'a Location,
    names: Vec<String>,
}

impl<'a> Attributes<'a> {
    /// Those of `place`.
    pub(super) fn of(place: &'a Location) -> Result<Self, ReadTrialError> {
        let failed = |source| ReadTrialError::Library { what: "the attributes", source };
        Ok(Self { place, names: place.attr_names().map_err(failed)? })
    }

    /// A word of a fixed set.
    pub(super) fn word<T>(&self, name: &'static str) -> Result<T, ReadTrialError>
    where
        T: FromStr<Err = UnknownKey>,
    {
        Ok(self.required_text(name)?.parse()?)
    }

    pub(super) fn required_text(&self, name: &'static str) -> Result<String, ReadTrialError> {
        self.text(name)?.ok_or_else(|| form(name, "there"))
    }

    /// A text, or `None` if there is none. Its bytes are checked here: the library hands on anything.
    pub(super) fn text(&self, name: &'static str) -> Result<Option<String>, ReadTrialError> {
        let Some(fixed) = self.scalar::<FixedUnicode<MAX_TEXT_BYTES>>(name)? else {
            return Ok(None);
        };
        let text =
            std::str::from_utf8(fixed.as_bytes()).ok().ok_or_else(|| form(name, "UTF-8 text"))?;
        Ok(Some(text.to_owned()))
    }

    pub(super) fn required<T: H5Type>(&self, name: &'static str) -> Result<T, ReadTrialError> {
        self.scalar(name)?.ok_or_else(|| form(name, "there"))
    }

    /// A single value, or `None` if there is no attribute of that name.
    pub(super) fn scalar<T: H5Type>(
        &self,
        name: &'static str,
    ) -> Result<Option<T>, ReadTrialError> {
        let failed = |source| ReadTrialError::Library { what: name, source };
        if !self.names.iter().any(|found| found == name) {
            return Ok(None);
        }
        let attribute = self.place.attr(name).map_err(failed)?;
        let expected: TypeDescriptor = T::type_descriptor();
        let found = attribute.dtype().and_then(|found| found.to_descriptor()).map_err(failed)?;
        if found != expected || !attribute.is_scalar() {
            return Err(form(name, &format!("a single {expected}")));
        }
        attribute.read_scalar().map(Some).map_err(failed)
    }
}
