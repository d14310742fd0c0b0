//! The meanings of texts that a column held before: most columns of a schedule say the same few things over and over.

use std::sync::Arc;

use crate::load::{Entry, Field, Text};

/// Places for texts at first, and at most; a text has one of them and takes it from what stands there.
const PLACES: [usize; 2] = [16, 1_024];
/// Texts that were not known before it is asked whether the column repeats itself at all.
const TRIED: u32 = 1_024;

/// Texts of one column and the values that they gave, where nothing else was to be said of them.
#[derive(Debug, Default)]
pub(super) struct Known {
    places: Vec<Option<Said>>,
    /// How many texts were known, and how many were not.
    found: u32,
    learnt: u32,
}

#[derive(Debug)]
struct Said {
    text: Text,
    values: Values,
}

/// Values of a text with their fields.
pub(super) type Values = Box<[(Field, Arc<Entry>)]>;

impl Known {
    /// The meaning that a text had before.
    #[inline]
    pub(super) fn find(&mut self, text: &str) -> Option<&Values> {
        let place = place(text, self.places.len())?;
        let said = self.places.get(place)?.as_ref().filter(|said| said.text == text)?;
        self.found = self.found.saturating_add(1);
        Some(&said.values)
    }

    /// Keeps what a text said.
    pub(super) fn learn(&mut self, text: &str, values: impl FnOnce() -> Values) {
        // A column of names or remarks never says the same again.
        if self.learnt >= TRIED && self.found < self.learnt {
            self.places = Vec::new();
            return;
        }
        if self.learnt as usize >= self.places.len() && self.places.len() < PLACES[1] {
            self.grow();
        }
        self.learnt = self.learnt.saturating_add(1);
        self.keep(Said { text: text.into(), values: values() });
    }

    fn keep(&mut self, said: Said) {
        if let Some(place) = place(&said.text, self.places.len()).and_then(|place| self.places.get_mut(place)) {
            *place = Some(said);
        }
    }

    fn grow(&mut self) {
        let places = (self.places.len() * 4).clamp(PLACES[0], PLACES[1]);
        let mut more = Vec::new();
        more.resize_with(places, || None);
        let said = std::mem::replace(&mut self.places, more);
        said.into_iter().flatten().for_each(|said| self.keep(said));
    }
}

/// Place of a text among so many, a power of two, by its length and its first and last bytes, which tell most values of a column
/// from each other.
#[inline]
fn place(text: &str, places: usize) -> Option<usize> {
    let bits = places.checked_ilog2()?;
    let bytes = text.as_bytes();
    let ends = if let (Some(first), Some(last)) = (bytes.first_chunk::<4>(), bytes.last_chunk::<4>()) {
        u64::from(u32::from_le_bytes(*first)) << 32 | u64::from(u32::from_le_bytes(*last))
    } else {
        bytes.iter().fold(0, |all, byte| all << 8 | u64::from(*byte))
    };
    // The multiplier is the golden ratio in 64 bits: it spreads what lies close.
    let hash = (ends ^ (bytes.len() as u64) << 56).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    usize::try_from(hash >> (u64::BITS - bits)).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Value;

    fn values(number: f64) -> Values {
        let entry = Entry { value: Value::Number(number), column: 0, text: Text::default() };
        [(Field::VoltageV, Arc::new(entry))].into()
    }

    #[test]
    fn a_text_says_what_it_said_and_nothing_that_another_did() {
        let mut known = Known::default();
        assert!(known.find("400").is_none());
        for round in 0..2 {
            for number in 0..2_000 {
                let text = number.to_string();
                // Texts take each other's places; one that stands there still is its own.
                if let Some(found) = known.find(&text) {
                    assert!(round > 0 && found[0].1.value == Value::Number(f64::from(number)));
                }
                known.learn(&text, || values(f64::from(number)));
            }
        }
        assert!(known.find("1").is_none(), "a column that never repeats itself is no longer kept");
    }

    #[test]
    fn a_column_that_repeats_itself_is_kept() {
        let mut known = Known::default();
        for number in 0..10_000 {
            let text = (number % 7).to_string();
            if known.find(&text).is_none() {
                known.learn(&text, || values(1.0));
            }
        }
        assert_eq!((known.found, known.learnt), (9_993, 7));
    }
}
