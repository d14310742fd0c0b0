//! Protection of transformers between boards by rated current and inrush.

use crate::load::ProtectionKind;
use crate::quantity::{Amperes, Seconds, fits};
use crate::record::{Formula, Record};
use crate::rules::feeders::{TransformerProtection, Winding};
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
        let inrush = inrush(current, record);
        protection::smallest_gg_for_start(record, least, inrush, Seconds(figure("inrush-s")))
    } else {
        feeder::ratings(kind).into_iter().find(|rating| least.fits(*rating))
    }
}

/// Inrush of a transformer of a rated current.
pub(super) fn inrush(current: Amperes, record: &mut Record) -> Amperes {
    Amperes(record.step(&INRUSH, &[figure("inrush-multiple"), current.0]))
}

/// Usual devices of both windings: on the primary the smallest that the inrush does not open, on the secondary the next rating that
/// carries the rated current.
pub(super) fn protection(
    primary: Option<Winding>,
    secondary: Winding,
    kind: ProtectionKind,
    record: &mut Record,
) -> TransformerProtection {
    let low = |winding: &Winding| fits(winding.voltage.0, figure("low-voltage-most-v"));
    let above = [primary, Some(secondary)].iter().flatten().any(|winding| !low(winding));
    let carries = |winding: Winding| feeder::ratings(kind).into_iter().find(|rating| winding.rated.fits(*rating));
    TransformerProtection {
        primary: primary.filter(low).and_then(|winding| self::primary(winding.rated, kind, record)),
        secondary: Some(secondary).filter(low).and_then(carries),
        largest: false,
        not_worked_out: above
            .then_some(("a winding is above 1000 V; its device is not worked out", "IEC 60282-1, IEC 62271-100, IEC 62271-105")),
        reference: "rated current and inrush: common practice, no source",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Volts;

    /// A primary of 100 A and a secondary of 152 A. A circuit-breaker carries 1.25 · 100 = 125 A, a rating of IEC 60059; a gG fuse-link
    /// carries twelve times the rated current for 0.1 s besides (common practice, no source, as in the table of this practice): 1200 A,
    /// below which lie the 1100 A of 125 A, not the 1450 A of 160 A (IEC 60269-1, Table 3, gates of 0.1 s). Behind the transformer the
    /// next rating from the rated current: 160 A.
    #[test]
    fn a_primary_device_carries_the_transformer_and_a_fuse_its_inrush() {
        let of = |kind, primary: Option<f64>| {
            let winding = |volts, amperes| Winding { voltage: Volts(volts), rated: Amperes(amperes) };
            let primary = primary.map(|amperes| winding(690.0, amperes));
            let protection = protection(primary, winding(400.0, 152.0), kind, &mut Record::new());
            (protection.primary, protection.secondary, protection.largest)
        };
        assert_eq!(of(ProtectionKind::MouldedCase, Some(100.0)), (Some(Amperes(125.0)), Some(Amperes(160.0)), false));
        assert_eq!(of(ProtectionKind::Gg, Some(100.0)), (Some(Amperes(160.0)), Some(Amperes(160.0)), false));
        assert_eq!(of(ProtectionKind::MouldedCase, None).0, None);
        // 1200 A are 1500 A at 125 %: a circuit-breaker of 1600 A, and beyond the largest fuse-link of 1250 A.
        assert_eq!(of(ProtectionKind::MouldedCase, Some(1200.0)).0, Some(Amperes(1600.0)));
        assert_eq!(of(ProtectionKind::Gg, Some(1200.0)).0, None);
    }
    /// IEC 60038: low voltage ends at 1000 V; 630 kVA at 20 kV draw 18.2 A, for which no device of low voltage is named. 909 A at 400 V
    /// are the next rating of IEC 60059, 1000 A.
    #[test]
    fn no_device_of_low_voltage_stands_before_a_primary_of_high_voltage() {
        let winding = |volts, amperes| Winding { voltage: Volts(volts), rated: Amperes(amperes) };
        let of = |volts| {
            let primary = Some(winding(volts, 18.2));
            protection(primary, winding(400.0, 909.0), ProtectionKind::MouldedCase, &mut Record::new())
        };
        let high = of(20_000.0);
        assert_eq!((high.primary, high.secondary), (None, Some(Amperes(1000.0))));
        assert!(high.not_worked_out.is_some_and(|(what, _)| what.contains("1000 V")));
        let low = of(1000.0);
        assert!(low.primary.is_some() && low.not_worked_out.is_none());
    }
}
