//! Protection of transformers between boards by rated current and inrush.

use crate::load::ProtectionKind;
use crate::quantity::{Amperes, Seconds};
use crate::record::{Formula, Record};
use crate::rules::feeders::TransformerProtection;
use crate::rules::iec::{feeder, protection};
use crate::rules::table::Figure;

table! {
    /// Figures of practice.
    PRACTICE, PRACTICE_ROWS: Figure, "transformer-practice"
}

formula! {
    /// Device on the primary.
    PRIMARY_DEVICE: "smallest device on the primary of the transformer", "A", "common practice, no source";
    "I = f Ir"; "f*Ir"; |f, Ir| f * Ir
}
formula! {
    /// Inrush.
    INRUSH: "inrush of the transformer", "A", "common practice, no source";
    "Ii = m Ir"; "m*Ir"; |m, Ir| m * Ir
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&PRIMARY_DEVICE, &INRUSH];

fn figure(name: &str) -> f64 {
    PRACTICE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// The smallest usual device in front of a transformer, which its inrush does not open.
pub(super) fn primary(current: Amperes, kind: ProtectionKind, record: &mut Record) -> Option<Amperes> {
    let least = Amperes(record.step(&PRIMARY_DEVICE, &[figure("primary-over-rated"), current.0]));
    if kind.is_fuse() {
        let inrush = Amperes(record.step(&INRUSH, &[figure("inrush-multiple"), current.0]));
        protection::smallest_gg_for_start(record, least, inrush, Seconds(figure("inrush-s")))
    } else {
        feeder::ratings(kind).into_iter().find(|rating| least.fits(*rating))
    }
}

/// Inrush of a transformer of a rated current.
pub(super) fn inrush(current: Amperes) -> Amperes {
    current * figure("inrush-multiple")
}

/// Usual devices of both windings: on the primary the smallest that the inrush does not open, on the secondary the next rating that
/// carries the rated current.
pub(super) fn protection(
    primary: Option<Amperes>,
    secondary: Amperes,
    kind: ProtectionKind,
    record: &mut Record,
) -> TransformerProtection {
    TransformerProtection {
        primary: primary.and_then(|current| self::primary(current, kind, record)),
        secondary: feeder::ratings(kind).into_iter().find(|rating| secondary.fits(*rating)),
        largest: false,
        reference: "rated current and inrush: common practice, no source",
    }
}
