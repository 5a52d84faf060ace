//! Numbers and texts as bytes, least significant first, and back.

use std::fmt::Display;
use std::str::FromStr;

/// Bytes being put together.
#[derive(Debug, Default)]
pub(super) struct Packer {
    bytes: Vec<u8>,
}

/// A number of fixed length.
pub(super) trait Number: Copy {
    fn put(self, bytes: &mut Vec<u8>);
    fn take(from: &mut &[u8]) -> Option<Self>;
}

macro_rules! numbers {
    ($($number:ty)*) => {$(
        impl Number for $number {
            fn put(self, bytes: &mut Vec<u8>) {
                bytes.extend_from_slice(&self.to_le_bytes());
            }

            fn take(from: &mut &[u8]) -> Option<Self> {
                let (first, rest) = from.split_first_chunk()?;
                *from = rest;
                Some(Self::from_le_bytes(*first))
            }
        }
    )*};
}

numbers!(u8 u16 u32 i32 u64 i64 f64);

impl<T: Number, const N: usize> Number for [T; N] {
    fn put(self, bytes: &mut Vec<u8>) {
        for number in self {
            number.put(bytes);
        }
    }

    fn take(from: &mut &[u8]) -> Option<Self> {
        let first = T::take(from)?;
        let mut all = [first; N];
        for place in &mut all[1..] {
            *place = T::take(from)?;
        }
        Some(all)
    }
}

impl Packer {
    pub(super) fn number(&mut self, number: impl Number) {
        number.put(&mut self.bytes);
    }

    /// A list whose length the reader knows.
    pub(super) fn list<T: Number>(&mut self, numbers: impl IntoIterator<Item = T>) {
        for number in numbers {
            number.put(&mut self.bytes);
        }
    }

    pub(super) fn text(&mut self, text: &str) {
        // A text is an attribute, a column map or a message: far below 4 GiB.
        self.number(u32::try_from(text.len()).unwrap_or(u32::MAX));
        self.bytes.extend_from_slice(text.as_bytes());
    }

    /// A word of a fixed set, or a code, by its printed form.
    pub(super) fn word(&mut self, word: impl Display) {
        self.text(&word.to_string());
    }

    pub(super) fn option<T>(&mut self, value: Option<T>, put: impl FnOnce(&mut Self, T)) {
        self.number(u8::from(value.is_some()));
        if let Some(value) = value {
            put(self, value);
        }
    }

    pub(super) fn reserve(&mut self, n_bytes: usize) {
        self.bytes.reserve(n_bytes);
    }

    pub(super) fn into_bytes(self) -> Vec<u8> {
        self.bytes
    }
}

/// Bytes being taken apart; everything is `None` as soon as they do not fit.
#[derive(Debug)]
pub(super) struct Unpacker<'a> {
    bytes: &'a [u8],
}

impl<'a> Unpacker<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        Self { bytes }
    }

    pub(super) fn number<T: Number>(&mut self) -> Option<T> {
        T::take(&mut self.bytes)
    }

    /// A list of `n` numbers, which must all be there before memory is taken for them.
    pub(super) fn list<T: Number>(&mut self, n: usize) -> Option<Vec<T>> {
        if self.bytes.len() < n.checked_mul(size_of::<T>())? {
            return None;
        }
        (0..n).map(|_| self.number()).collect()
    }

    pub(super) fn text(&mut self) -> Option<String> {
        let n_bytes = usize::try_from(self.number::<u32>()?).ok()?;
        let (text, rest) = self.bytes.split_at_checked(n_bytes)?;
        self.bytes = rest;
        String::from_utf8(text.to_vec()).ok()
    }

    pub(super) fn word<T: FromStr>(&mut self) -> Option<T> {
        self.text()?.parse().ok()
    }

    #[expect(clippy::option_option, reason = "outside: do the bytes fit; inside: is there a value")]
    pub(super) fn option<T>(
        &mut self,
        take: impl FnOnce(&mut Self) -> Option<T>,
    ) -> Option<Option<T>> {
        match self.number::<u8>()? {
            0 => Some(None),
            1 => take(self).map(Some),
            _ => None,
        }
    }

    /// Nothing must be left over.
    pub(super) fn finished(&self) -> bool {
        self.bytes.is_empty()
    }
}
