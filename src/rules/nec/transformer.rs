//! Protection of transformers between boards, 450.3(B): the largest devices on either side. The conductors behind the secondary are
//! another matter (240.4(F), 240.21(C)).

use super::Nec;
use super::control::{Method, winding_limit};
use super::figures::figure;
use super::standard_ratings::DeviceKind;
use crate::quantity::{Amperes, fits};
use crate::record::Record;
use crate::rules::feeders::{TransformerProtection, Winding};

/// Largest devices of both windings, for protection on both sides. Table 450.3(B) ends at 1000 V; Table 450.3(A) above it asks for the
/// transformer's impedance and whether its place is supervised, and is not part of the book.
pub(super) fn protection(
    book: Nec,
    primary: Option<Winding>,
    secondary: Winding,
    kind: DeviceKind,
    record: &mut Record,
) -> TransformerProtection {
    let low = |winding: Winding| fits(winding.voltage.0, figure("transformer-low-voltage-most-v"));
    if ![primary, Some(secondary)].into_iter().flatten().all(low) {
        return TransformerProtection {
            largest: true,
            not_worked_out: Some((
                "a winding is above 1000 V, where Table 450.3(A) holds; the largest devices of both sides are not worked out",
                "NFPA 70, 450.3(A)",
            )),
            reference: "NFPA 70, 450.3(A)",
            ..TransformerProtection::default()
        };
    }
    let mut limit = |current: Amperes, first: bool| {
        winding_limit(record, book.edition, kind, Method::PrimaryAndSecondary, first, current).and_then(|limit| limit.rating)
    };
    TransformerProtection {
        primary: primary.and_then(|winding| limit(winding.rated, true)),
        secondary: limit(secondary.rated, false),
        largest: true,
        not_worked_out: None,
        reference: match primary {
            Some(_) => "NFPA 70, 450.3(B), primary and secondary protection",
            // 125 % on the secondary stands in both tables; which of them holds for the primary its voltage decides.
            None => "NFPA 70, 450.3, secondary protection; the voltage of the primary is unknown",
        },
    }
}
