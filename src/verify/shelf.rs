//! The catalogue by part number, whichever family a part is of.

use std::collections::HashMap;

use crate::catalogue::{
    AccessoryPart, BranchBreaker, Cable, Catalogue, Coil, Contactor, ControlCable, ControlProtection, ControlTransformer,
    Disconnect, Drive, Enclosure, Fitting, Fuse, Gland, InterposingRelay, Isolator, Label, LineBreaker, Lug, MotorBreaker,
    MouldedCaseBreaker, OverloadRelay, PowerSupply, Raceway, SoftStarter, SwitchDisconnector, Terminal,
};

/// A part, by its family.
#[derive(Clone, Copy)]
pub(super) enum Item<'a> {
    Contactor(&'a Contactor),
    Relay(&'a OverloadRelay),
    /// Current transformers of a relay.
    Transformers(&'a OverloadRelay),
    Motor(&'a MotorBreaker),
    Moulded(&'a MouldedCaseBreaker),
    Line(&'a LineBreaker),
    Branch(&'a BranchBreaker),
    Fuse(&'a Fuse),
    /// Base or switch of a fuse.
    Base(&'a Fuse),
    Isolator(&'a Isolator),
    Disconnect(&'a Disconnect),
    SwitchDisconnector(&'a SwitchDisconnector),
    SoftStarter(&'a SoftStarter),
    Drive(&'a Drive),
    Cable(&'a Cable),
    Accessory(&'a AccessoryPart),
    Raceway(&'a Raceway),
    ControlCable(&'a ControlCable),
    Gland(&'a Gland),
    Lug(&'a Lug),
    Terminal(&'a Terminal),
    Enclosure(&'a Enclosure),
    Label(&'a Label),
    Fitting(&'a Fitting),
    Interposing(&'a InterposingRelay),
    ControlTransformer(&'a ControlTransformer),
    PowerSupply(&'a PowerSupply),
    ControlProtection(&'a ControlProtection),
    /// Base of a fuse of control circuits.
    ControlBase(&'a ControlProtection),
}

impl Item<'_> {
    /// Description, as it stands in the catalogue.
    pub(super) fn description(&self) -> &str {
        match self {
            Self::Contactor(own) => &own.description,
            Self::Relay(own) => &own.description,
            Self::Transformers(own) => own.transformer_description.as_deref().unwrap_or("current transformers"),
            Self::Motor(own) => &own.description,
            Self::Moulded(own) => &own.description,
            Self::Line(own) => &own.description,
            Self::Branch(own) => &own.description,
            Self::Fuse(own) => &own.description,
            Self::Base(own) => &own.base_description,
            Self::Isolator(own) => &own.description,
            Self::Disconnect(own) => &own.description,
            Self::SwitchDisconnector(own) => &own.description,
            Self::SoftStarter(own) => &own.description,
            Self::Drive(own) => &own.description,
            Self::Cable(own) => &own.description,
            Self::Accessory(own) => &own.description,
            Self::Raceway(own) => &own.description,
            Self::ControlCable(own) => &own.description,
            Self::Gland(own) => &own.description,
            Self::Lug(own) => &own.description,
            Self::Terminal(own) => &own.description,
            Self::Enclosure(own) => &own.description,
            Self::Label(own) => &own.description,
            Self::Fitting(own) => &own.description,
            Self::Interposing(own) => &own.description,
            Self::ControlTransformer(own) => &own.description,
            Self::PowerSupply(own) => &own.description,
            Self::ControlProtection(own) => &own.description,
            Self::ControlBase(own) => own.base_description.as_deref().unwrap_or(""),
        }
    }

    /// It is sold by the length.
    pub(super) fn by_length(&self) -> bool {
        matches!(self, Self::Cable(_) | Self::Raceway(_) | Self::ControlCable(_))
    }
}

/// All parts, in the order of their numbers.
pub(super) struct Shelf<'a> {
    pub(super) catalogue: &'a Catalogue,
    items: Vec<(&'a str, Item<'a>)>,
    /// Place of the first of each number.
    firsts: HashMap<&'a str, usize>,
}

impl<'a> Shelf<'a> {
    pub(super) fn new(catalogue: &'a Catalogue) -> Self {
        let mut items: Vec<(&str, Item<'_>)> = Vec::new();
        macro_rules! family { ($($family:ident: $kind:ident),*) => { $(
            items.extend(catalogue.$family.iter().map(|own| (own.part.as_str(), Item::$kind(own))));
        )* }; }
        family!(contactors: Contactor, overload_relays: Relay, motor_breakers: Motor, moulded_case_breakers: Moulded);
        family!(line_breakers: Line, branch_breakers: Branch, fuses: Fuse, isolators: Isolator, disconnects: Disconnect);
        family!(switch_disconnectors: SwitchDisconnector);
        family!(soft_starters: SoftStarter, drives: Drive, cables: Cable, accessories: Accessory, raceways: Raceway);
        family!(control_cables: ControlCable, glands: Gland, lugs: Lug, terminals: Terminal, enclosures: Enclosure);
        family!(labels: Label, fittings: Fitting, interposing_relays: Interposing, control_transformers: ControlTransformer);
        family!(power_supplies: PowerSupply, control_protection: ControlProtection);
        items.extend(
            catalogue.control_protection.iter().filter_map(|own| Some((own.base_part.as_deref()?, Item::ControlBase(own)))),
        );
        items.extend(catalogue.fuses.iter().map(|own| (own.base_part.as_str(), Item::Base(own))));
        let transformers = |own: &'a OverloadRelay| Some((own.transformer_part.as_deref()?, Item::Transformers(own)));
        items.extend(catalogue.overload_relays.iter().filter_map(transformers));
        items.sort_by_key(|(part, _)| *part);
        let firsts = items.iter().enumerate().rev().map(|(place, (part, _))| (*part, place)).collect();
        Self { catalogue, items, firsts }
    }

    /// What bears a part number; several where two families share it.
    pub(super) fn all(&self, part: &str) -> impl Iterator<Item = &Item<'a>> {
        let first = self.firsts.get(part).copied().unwrap_or(self.items.len());
        self.items[first..].iter().take_while(move |(own, _)| *own == part).map(|(_, item)| item)
    }

    /// A contactor with its coil: the number of the catalogue and the coil's code behind it.
    pub(super) fn contactor(&self, part: &str) -> Option<(&'a Contactor, Option<&'a Coil>)> {
        if let Some(own) = self.bare_contactor(part) {
            return Some((own, None));
        }
        self.catalogue.coils.iter().find_map(|coil| {
            let bare = part.strip_suffix(coil.code.as_str())?.strip_suffix('-')?;
            Some((self.bare_contactor(bare)?, Some(coil)))
        })
    }

    fn bare_contactor(&self, part: &str) -> Option<&'a Contactor> {
        self.all(part).find_map(|item| if let Item::Contactor(own) = item { Some(*own) } else { None })
    }

    pub(super) fn relay(&self, part: &str) -> Option<&'a OverloadRelay> {
        self.all(part).find_map(|item| if let Item::Relay(own) = item { Some(*own) } else { None })
    }

    pub(super) fn accessory(&self, part: &str) -> Option<&'a AccessoryPart> {
        self.all(part).find_map(|item| if let Item::Accessory(own) = item { Some(*own) } else { None })
    }

    pub(super) fn cable(&self, part: &str) -> Option<&'a Cable> {
        self.all(part).find_map(|item| if let Item::Cable(own) = item { Some(*own) } else { None })
    }

    /// Width in mm and heat in W of a device; nothing of what takes neither.
    pub(super) fn footprint(&self, part: &str) -> (f64, f64) {
        if let Some((own, _)) = self.contactor(part) {
            return (own.width_mm, own.loss_w);
        }
        self.all(part).next().map_or((0.0, 0.0), |item| match item {
            Item::Relay(own) => (own.width_mm, own.loss_w),
            Item::Motor(own) => (own.width_mm, own.loss_w),
            Item::Moulded(own) => (own.width_mm, own.loss_w),
            Item::Line(own) => (own.width_mm, own.loss_w),
            Item::Branch(own) => (own.width_mm, own.loss_w),
            Item::SoftStarter(own) => (own.width_mm, own.loss_w),
            Item::Drive(own) => (own.width_mm, own.loss_w),
            // The heat is the links', the width their base's.
            Item::Fuse(own) => (0.0, own.loss_w),
            Item::Base(own) => (own.width_mm, 0.0),
            Item::Accessory(own) => (own.width_mm, 0.0),
            Item::Terminal(own) => (own.width_mm, 0.0),
            Item::SwitchDisconnector(own) => (own.width_mm, 3.0 * own.loss_per_pole_w),
            Item::Interposing(own) => (own.width_mm, own.loss_w),
            Item::ControlTransformer(own) => (own.width_mm, own.loss_w),
            Item::PowerSupply(own) => (own.width_mm, own.loss_w),
            Item::ControlProtection(own) => (own.width_mm, own.loss_w),
            _ => (0.0, 0.0),
        })
    }
}
