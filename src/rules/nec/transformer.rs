//! Protection of transformers between boards, 450.3(B): the largest devices on either side. The conductors behind the secondary are
//! another matter (240.4(F), 240.21(C)).

use super::Nec;
use super::control::{Method, winding_limit};
use super::standard_ratings::DeviceKind;
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::feeders::TransformerProtection;

/// Largest devices of both windings, for protection on both sides.
pub(super) fn protection(
    book: Nec,
    primary: Option<Amperes>,
    secondary: Amperes,
    kind: DeviceKind,
    record: &mut Record,
) -> TransformerProtection {
    let mut limit = |current: Amperes, first: bool| {
        winding_limit(record, book.edition, kind, Method::PrimaryAndSecondary, first, current).and_then(|own| own.rating)
    };
    TransformerProtection {
        primary: primary.and_then(|current| limit(current, true)),
        secondary: limit(secondary, false),
        largest: true,
        reference: "NFPA 70, 450.3(B), primary and secondary protection",
    }
}
