//! Holds the figures of a design that is read back against what a design can have: the file may have been damaged or made by hand since.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};

/// No figure of a design comes near: (k S)² of parallel conductors is some 1e12 A²s, a margin to a limit of almost nothing some 1e16 per
/// cent.
const MOST: f64 = 1e30;

/// Units at the end of a key whose quantities are never below zero.
const MAGNITUDES: [&str; 12] = ["_a", "_ka", "_v", "_mm2", "_mm", "_w", "_kw", "_va", "_kva", "_ohm", "_s", "_hz"];

/// Reads a design as text once, for its figures alone.
///
/// # Errors
/// The words of the first figure that no design has, with its place; or the text is no JSON.
pub(super) fn hold(bytes: &[u8]) -> Result<(), serde_json::Error> {
    let mut text = serde_json::Deserializer::from_slice(bytes);
    Held { key: "" }.deserialize(&mut text)
}

/// What stands behind a key, at any depth.
#[derive(Clone, Copy)]
struct Held<'k> {
    key: &'k str,
}

impl Held<'_> {
    fn figure<E: Error>(self, figure: f64) -> Result<(), E> {
        let below = figure < 0.0 && MAGNITUDES.iter().any(|unit| self.key.ends_with(unit));
        if below {
            return Err(E::custom(format_args!("{} is {figure:e}, which no design has: it is never below zero", self.key)));
        }
        if figure.abs() > MOST {
            return Err(E::custom(format_args!("{} is {figure:e}, which no design has", self.key)));
        }
        Ok(())
    }
}

impl<'de> DeserializeSeed<'de> for Held<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, text: D) -> Result<(), D::Error> {
        text.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Held<'_> {
    type Value = ();

    fn expecting(&self, words: &mut fmt::Formatter<'_>) -> fmt::Result {
        words.write_str("JSON")
    }

    fn visit_unit<E: Error>(self) -> Result<(), E> {
        Ok(())
    }

    fn visit_bool<E: Error>(self, _: bool) -> Result<(), E> {
        Ok(())
    }

    fn visit_str<E: Error>(self, _: &str) -> Result<(), E> {
        Ok(())
    }

    fn visit_f64<E: Error>(self, figure: f64) -> Result<(), E> {
        self.figure(figure)
    }

    fn visit_i64<E: Error>(self, figure: i64) -> Result<(), E> {
        self.figure(figure as f64)
    }

    fn visit_u64<E: Error>(self, figure: u64) -> Result<(), E> {
        self.figure(figure as f64)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        while list.next_element_seed(self)?.is_some() {}
        Ok(())
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<(), A::Error> {
        while let Some(key) = entries.next_key::<String>()? {
            entries.next_value_seed(Held { key: &key })?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A current, a length of time or a section is never below zero; a margin, a reactive power and a temperature may be. Nothing comes
    /// near 1e300.
    #[rstest::rstest]
    #[case::ordinary(
        r#"{"circuits": [{"tag": "P-1", "currents": {"full_load_a": 29.5, "table_a": null}, "quantity": 3}]}"#,
        None
    )]
    #[case::may_be_below(r#"{"margin_pct": -3.5, "reactive_kvar": -25, "ambient_c": -20, "numbers": [-1.5]}"#, None)]
    #[case::current(r#"{"currents": {"full_load_a": -29.5}}"#, Some("full_load_a is -2.95e1"))]
    #[case::of_a_list(r#"{"phase_currents_a": [1, 2, -3]}"#, Some("phase_currents_a is -3e0"))]
    #[case::far_below(r#"{"margin_pct": -1e308}"#, Some("margin_pct is -1e308"))]
    #[case::far_above(r#"{"numbers": [[1e300]]}"#, Some("numbers is 1e300"))]
    fn a_figure_that_no_design_has_is_named(#[case] text: &str, #[case] told: Option<&str>) {
        let found = hold(text.as_bytes()).err().map(|error| error.to_string());
        assert_eq!(found.is_some(), told.is_some(), "{found:?}");
        assert!(told.is_none_or(|words| found.as_ref().is_some_and(|found| found.contains(words))), "{found:?}");
    }
}
