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
            Self::Contactor(contactor) => &contactor.description,
            Self::Relay(relay) => &relay.description,
            Self::Transformers(relay) => relay.transformer_description.as_deref().unwrap_or("current transformers"),
            Self::Motor(breaker) => &breaker.description,
            Self::Moulded(breaker) => &breaker.description,
            Self::Line(breaker) => &breaker.description,
            Self::Branch(breaker) => &breaker.description,
            Self::Fuse(fuse) => &fuse.description,
            Self::Base(fuse) => &fuse.base_description,
            Self::Isolator(isolator) => &isolator.description,
            Self::Disconnect(disconnect) => &disconnect.description,
            Self::SwitchDisconnector(switch) => &switch.description,
            Self::SoftStarter(soft_starter) => &soft_starter.description,
            Self::Drive(drive) => &drive.description,
            Self::Cable(cable) => &cable.description,
            Self::Accessory(accessory) => &accessory.description,
            Self::Raceway(raceway) => &raceway.description,
            Self::ControlCable(cable) => &cable.description,
            Self::Gland(gland) => &gland.description,
            Self::Lug(lug) => &lug.description,
            Self::Terminal(terminal) => &terminal.description,
            Self::Enclosure(enclosure) => &enclosure.description,
            Self::Label(label) => &label.description,
            Self::Fitting(fitting) => &fitting.description,
            Self::Interposing(relay) => &relay.description,
            Self::ControlTransformer(transformer) => &transformer.description,
            Self::PowerSupply(power_supply) => &power_supply.description,
            Self::ControlProtection(protection) => &protection.description,
            Self::ControlBase(protection) => protection.base_description.as_deref().unwrap_or(""),
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
            items.extend(catalogue.$family.iter().map(|family| (family.part.as_str(), Item::$kind(family))));
        )* }; }
        family!(contactors: Contactor, overload_relays: Relay, motor_breakers: Motor, moulded_case_breakers: Moulded);
        family!(line_breakers: Line, branch_breakers: Branch, fuses: Fuse, isolators: Isolator, disconnects: Disconnect);
        family!(switch_disconnectors: SwitchDisconnector);
        family!(soft_starters: SoftStarter, drives: Drive, cables: Cable, accessories: Accessory, raceways: Raceway);
        family!(control_cables: ControlCable, glands: Gland, lugs: Lug, terminals: Terminal, enclosures: Enclosure);
        family!(labels: Label, fittings: Fitting, interposing_relays: Interposing, control_transformers: ControlTransformer);
        family!(power_supplies: PowerSupply, control_protection: ControlProtection);
        items.extend(
            catalogue
                .control_protection
                .iter()
                .filter_map(|protection| Some((protection.base_part.as_deref()?, Item::ControlBase(protection)))),
        );
        items.extend(catalogue.fuses.iter().map(|fuse| (fuse.base_part.as_str(), Item::Base(fuse))));
        let transformers = |relay: &'a OverloadRelay| Some((relay.transformer_part.as_deref()?, Item::Transformers(relay)));
        items.extend(catalogue.overload_relays.iter().filter_map(transformers));
        items.sort_by_key(|(part, _)| *part);
        let firsts = items.iter().enumerate().rev().map(|(place, (part, _))| (*part, place)).collect();
        Self { catalogue, items, firsts }
    }

    /// The items that bear a part number; several where two families share it.
    pub(super) fn all(&self, part: &str) -> impl Iterator<Item = &Item<'a>> {
        let first = self.firsts.get(part).copied().unwrap_or(self.items.len());
        self.items[first..].iter().take_while(move |(number, _)| *number == part).map(|(_, item)| item)
    }

    /// A contactor with its coil: the number of the catalogue and the coil's code behind it.
    pub(super) fn contactor(&self, part: &str) -> Option<(&'a Contactor, Option<&'a Coil>)> {
        if let Some(contactor) = self.bare_contactor(part) {
            return Some((contactor, None));
        }
        self.catalogue.coils.iter().find_map(|coil| {
            let bare = part.strip_suffix(coil.code.as_str())?.strip_suffix('-')?;
            Some((self.bare_contactor(bare)?, Some(coil)))
        })
    }

    fn bare_contactor(&self, part: &str) -> Option<&'a Contactor> {
        self.all(part).find_map(|item| if let Item::Contactor(contactor) = item { Some(*contactor) } else { None })
    }

    pub(super) fn relay(&self, part: &str) -> Option<&'a OverloadRelay> {
        self.all(part).find_map(|item| if let Item::Relay(relay) = item { Some(*relay) } else { None })
    }

    pub(super) fn accessory(&self, part: &str) -> Option<&'a AccessoryPart> {
        self.all(part).find_map(|item| if let Item::Accessory(accessory) = item { Some(*accessory) } else { None })
    }

    pub(super) fn cable(&self, part: &str) -> Option<&'a Cable> {
        self.all(part).find_map(|item| if let Item::Cable(cable) = item { Some(*cable) } else { None })
    }

    /// Width in mm and heat in W of a device; nothing of what takes neither.
    pub(super) fn footprint(&self, part: &str) -> (f64, f64) {
        if let Some((contactor, _)) = self.contactor(part) {
            return (contactor.width_mm, contactor.loss_w);
        }
        self.all(part).next().map_or((0.0, 0.0), |item| match item {
            Item::Relay(relay) => (relay.width_mm, relay.loss_w),
            Item::Motor(breaker) => (breaker.width_mm, breaker.loss_w),
            Item::Moulded(breaker) => (breaker.width_mm, breaker.loss_w),
            Item::Line(breaker) => (breaker.width_mm, breaker.loss_w),
            Item::Branch(breaker) => (breaker.width_mm, breaker.loss_w),
            Item::SoftStarter(soft_starter) => (soft_starter.width_mm, soft_starter.loss_w),
            Item::Drive(drive) => (drive.width_mm, drive.loss_w),
            // The heat is the links', the width their base's.
            Item::Fuse(fuse) => (0.0, fuse.loss_w),
            Item::Base(fuse) => (fuse.width_mm, 0.0),
            Item::Accessory(accessory) => (accessory.width_mm, 0.0),
            Item::Terminal(terminal) => (terminal.width_mm, 0.0),
            Item::SwitchDisconnector(switch) => (switch.width_mm, 3.0 * switch.loss_per_pole_w),
            Item::Interposing(relay) => (relay.width_mm, relay.loss_w),
            Item::ControlTransformer(transformer) => (transformer.width_mm, transformer.loss_w),
            Item::PowerSupply(power_supply) => (power_supply.width_mm, power_supply.loss_w),
            Item::ControlProtection(protection) => (protection.width_mm, protection.loss_w),
            _ => (0.0, 0.0),
        })
    }
}
