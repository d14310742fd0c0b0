//! Every part of a catalogue by its number: the family that it is of, its description and its price. The price list prevails over
//! the price that stands in the family.

use std::collections::BTreeMap;

use super::Catalogue;

/// The facts that are known of a part of any family.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Registered<'a> {
    /// Family that it is of.
    pub family: &'static str,
    /// Kind within the family, where it has several; else empty.
    pub kind: &'a str,
    /// Place in the order of preference of its family.
    pub rank: usize,
    /// Price of one; none if unknown.
    pub price: Option<f64>,
    /// Currency of the price; empty if it is the project's.
    pub currency: &'a str,
    /// Pieces in a pack.
    pub packing: Option<f64>,
    /// Days from order to delivery.
    pub lead_days: Option<u32>,
    /// Remark of the price list.
    pub remark: &'a str,
}

/// The parts of a catalogue by number.
#[derive(Clone, Debug, Default)]
pub struct Register<'a> {
    parts: BTreeMap<&'a str, Registered<'a>>,
    /// Prices of contactors with a coil of their own.
    with_coil: BTreeMap<&'a str, Registered<'a>>,
    coils: Vec<&'a str>,
}

impl<'a> Register<'a> {
    /// The register of a catalogue.
    #[must_use]
    pub fn new(catalogue: &'a Catalogue) -> Self {
        let mut register = Self { parts: of_families(catalogue), ..Self::default() };
        register.coils = catalogue.coils.iter().map(|coil| coil.code.as_str()).collect();
        for line in &catalogue.prices {
            let Some(part) = register.part(&line.part).copied() else { continue };
            let priced = Registered {
                price: line.price.or(part.price),
                currency: if line.price.is_some() { &line.currency } else { part.currency },
                packing: line.packing_quantity,
                lead_days: line.lead_days,
                remark: &line.remark,
                ..part
            };
            if register.parts.contains_key(line.part.as_str()) {
                register.parts.insert(&line.part, priced);
            } else {
                register.with_coil.insert(&line.part, priced);
            }
        }
        register
    }

    /// A part by its number; a contactor's with its coil or without.
    #[must_use]
    pub fn part(&self, part: &str) -> Option<&Registered<'a>> {
        self.with_coil.get(part).or_else(|| self.parts.get(part)).or_else(|| {
            let (base, coil) = part.rsplit_once('-')?;
            self.parts.get(base).filter(|part| part.family == "contactors" && self.coils.contains(&coil))
        })
    }

    /// Numbers of all parts, contactors without coil.
    pub fn numbers(&self) -> impl Iterator<Item = (&'a str, &Registered<'a>)> {
        self.parts.iter().map(|(number, part)| (*number, part))
    }
}

fn of_families(catalogue: &Catalogue) -> BTreeMap<&str, Registered<'_>> {
    let mut parts = BTreeMap::new();
    macro_rules! family { ($($family:ident $(. $kind:ident)?),* $(,)?) => { $(
        for (rank, item) in catalogue.$family.iter().enumerate() {
            let (family, price) = (stringify!($family), item.price);
            let registered = Registered { family, rank, price, $(kind: &item.$kind,)? ..Registered::default() };
            parts.insert(item.part.as_str(), registered);
        }
    )* }; }
    family!(
        contactors,
        overload_relays,
        motor_breakers,
        moulded_case_breakers,
        line_breakers,
        branch_breakers,
        fuses.kind,
        isolators,
        switch_disconnectors,
        disconnects,
        soft_starters,
        drives,
        accessories.kind,
        control_transformers,
        power_supplies,
        control_protection.kind,
        interposing_relays,
        cables,
        control_cables,
        raceways,
        fittings.fitting,
        glands,
        lugs,
        terminals.kind,
        enclosures,
        labels.kind,
    );
    for (rank, relay) in catalogue.overload_relays.iter().enumerate() {
        if let Some(part) = &relay.transformer_part {
            let (family, price) = ("current_transformers", relay.transformer_price);
            let registered = Registered { family, rank, price, ..Registered::default() };
            parts.entry(part.as_str()).and_modify(|known| known.price = known.price.or(registered.price)).or_insert(registered);
        }
    }
    for (rank, fuse) in catalogue.fuses.iter().enumerate().filter(|(_, fuse)| !fuse.base_part.is_empty()) {
        let part = Registered { family: "fuse_bases", rank, price: fuse.base_price, ..Registered::default() };
        parts.entry(fuse.base_part.as_str()).and_modify(|known| known.price = known.price.or(part.price)).or_insert(part);
    }
    // A base of a control fuse stands beside its fuse; no column of the family prices it, so its price comes from the price list.
    for (rank, device) in catalogue.control_protection.iter().enumerate() {
        if let Some(base) = device.base_part.as_deref().filter(|base| !base.is_empty()) {
            let part = Registered { family: "control_protection", kind: "base", rank, ..Registered::default() };
            parts.entry(base).or_insert(part);
        }
    }
    parts
}
