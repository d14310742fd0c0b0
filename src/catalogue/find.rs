//! Finds parts by what is known about them. Everything is a plain look-up: which of several parts to take is not decided here.

use super::{
    AccessoryPart, BranchBreaker, Cable, Catalogue, Coil, Combination, Contactor, ControlCable, Disconnect, Enclosure, Fitting,
    Fuse, Gland, Label, Lug, MotorBreaker, MouldedCaseBreaker, OverloadRelay, Raceway, SwitchDisconnector, Terminal,
};
use crate::rules::physics::enclosures;

/// Steps of a voltage or size that are the same figure written differently.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

fn holds(list: &str, word: &str) -> bool {
    list.split_whitespace().any(|entry| entry == word)
}

/// Word of a combination that holds with every relay of the range on that contactor, and without one.
pub const ANY_RELAY: &str = "any";

/// Frame of overload protection that is a hand-operated starter by itself.
pub const MANUAL: &str = "manual";

impl Catalogue {
    /// The coil of a rated voltage, in V.
    #[must_use]
    pub fn coil(&self, volts: f64, dc: bool) -> Option<&Coil> {
        self.coils.iter().find(|coil| coil.dc == dc && same(coil.volts, volts))
    }

    /// The contactor of a part number without coil.
    #[must_use]
    pub fn contactor(&self, part: &str) -> Option<&Contactor> {
        self.contactors.iter().find(|row| row.part == part)
    }

    /// The overload relay of a part number.
    #[must_use]
    pub fn overload_relay(&self, part: &str) -> Option<&OverloadRelay> {
        self.overload_relays.iter().find(|row| row.part == part)
    }

    /// The motor-protective circuit-breaker of a part number.
    #[must_use]
    pub fn motor_breaker(&self, part: &str) -> Option<&MotorBreaker> {
        self.motor_breakers.iter().find(|row| row.part == part)
    }

    /// Moulded-case circuit-breakers with a kind of release (`motor`, `magnetic`, `distribution`).
    pub fn moulded_case_breakers_of(&self, release: &str) -> impl Iterator<Item = &MouldedCaseBreaker> {
        self.moulded_case_breakers.iter().filter(move |row| row.release == release)
    }

    /// Fuse-links of a kind, such as `gG` or `class-J`, by rated current.
    pub fn fuses_of(&self, kind: &str) -> impl Iterator<Item = &Fuse> {
        self.fuses.iter().filter(move |row| row.kind == kind)
    }

    /// The cable of a material, insulation, number of cores (the protective conductor included) and size of its phase
    /// conductors in mm². Single cores are phase conductors; for green-and-yellow ones see [`Catalogue::protective_core`].
    #[must_use]
    pub fn cable(&self, material: &str, insulation: &str, cores: u32, size_mm2: f64, screened: bool) -> Option<&Cable> {
        self.cables.iter().find(|row| {
            row.material == material
                && row.insulation == insulation
                && row.cores == cores
                && same(row.size_mm2, size_mm2)
                && row.screened == screened
                && (cores > 1 || row.protective_mm2.is_none())
        })
    }

    /// The green-and-yellow single core of a material, insulation and size in mm².
    #[must_use]
    pub fn protective_core(&self, material: &str, insulation: &str, size_mm2: f64) -> Option<&Cable> {
        self.cables.iter().find(|row| {
            row.cores == 1
                && row.protective_mm2.is_some()
                && row.material == material
                && row.insulation == insulation
                && same(row.size_mm2, size_mm2)
        })
    }

    /// Circuit-breakers of a kind (`inverse-time` or `instantaneous`) with that many poles, by rated current.
    pub fn branch_breakers_of(&self, kind: &str, poles: u32) -> impl Iterator<Item = &BranchBreaker> {
        self.branch_breakers.iter().filter(move |row| row.kind == kind && row.poles == poles)
    }

    /// The branch circuit-breaker of a part number.
    #[must_use]
    pub fn branch_breaker(&self, part: &str) -> Option<&BranchBreaker> {
        self.branch_breakers.iter().find(|row| row.part == part)
    }

    /// Switch-disconnectors with just that many poles, by rated current.
    pub fn switch_disconnectors_of(&self, poles: u32) -> impl Iterator<Item = &SwitchDisconnector> {
        self.switch_disconnectors.iter().filter(move |row| row.poles == poles)
    }

    /// Motor-circuit switches with at least that many poles, by rated current.
    pub fn disconnects_of(&self, poles: u32) -> impl Iterator<Item = &Disconnect> {
        self.disconnects.iter().filter(move |row| row.poles >= poles)
    }

    /// The raceway of a kind (`emt`, `rmc`, `imc`, `pvc-40`, `pvc-80`, `lfmc`, `fmc`) and a trade size such as `1-1/4`.
    #[must_use]
    pub fn raceway(&self, kind: &str, trade_size: &str) -> Option<&Raceway> {
        self.raceways.iter().find(|row| row.kind == kind && row.trade_size == trade_size)
    }

    /// The description of an accessory or of a part of the control circuit, by its number; none if no such family has it.
    #[must_use]
    pub fn small_part(&self, part: &str) -> Option<&str> {
        let accessories = self.accessories.iter().map(|row| (&row.part, &row.description));
        let relays = self.interposing_relays.iter().map(|row| (&row.part, &row.description));
        let transformers = self.control_transformers.iter().map(|row| (&row.part, &row.description));
        let supplies = self.power_supplies.iter().map(|row| (&row.part, &row.description));
        let devices = self.control_protection.iter().map(|row| (&row.part, &row.description));
        let mut all = accessories.chain(relays).chain(transformers).chain(supplies).chain(devices);
        all.find(|(number, _)| *number == part).map(|(_, description)| description.as_str())
    }

    /// Accessories of a kind that fit a contactor frame, in the order of the family.
    pub fn accessories_for(&self, kind: &str, frame: &str) -> impl Iterator<Item = &AccessoryPart> {
        self.accessories.iter().filter(move |row| row.kind == kind && row.fits_frame(frame))
    }

    /// Accessories of a kind that stand alone: they name no frame.
    pub fn accessories_alone(&self, kind: &str) -> impl Iterator<Item = &AccessoryPart> {
        self.accessories
            .iter()
            .filter(move |row| row.kind == kind && row.fits_frames.is_empty() && row.fits_breaker_frames.is_empty())
    }

    /// Accessories of a kind that fit a frame of motor-protective circuit-breakers.
    pub fn accessories_for_breaker(&self, kind: &str, frame: &str) -> impl Iterator<Item = &AccessoryPart> {
        self.accessories.iter().filter(move |row| row.kind == kind && row.fits_breaker_frame(frame))
    }

    /// The module that joins a contactor frame and a frame of motor-protective circuit-breakers.
    #[must_use]
    pub fn connecting_module(&self, contactor_frame: &str, breaker_frame: &str) -> Option<&AccessoryPart> {
        self.accessories_for("connecting-module", contactor_frame).find(|row| row.fits_breaker_frame(breaker_frame))
    }

    /// Tested combinations of three part numbers that hold at a voltage. The overload relay is empty where the protective
    /// device protects against overload. All lines are given: one set of devices may hold type 1 to a higher current.
    pub fn combinations_of(
        &self,
        protection: &str,
        contactor: &str,
        overload: &str,
        volts: f64,
    ) -> impl Iterator<Item = &Combination> {
        // The lines are sorted by the protective device when they are read.
        let first = self.combinations.partition_point(|line| line.protection_part.as_str() < protection);
        self.combinations[first..]
            .iter()
            .take_while(move |line| line.protection_part == protection)
            .filter(move |line| line.contactor_part == contactor && volts <= line.max_voltage_v)
            .filter(move |line| line.overload_part == overload || line.overload_part == ANY_RELAY)
    }

    /// The smallest gland that holds a cable of an outer diameter in mm.
    #[must_use]
    pub fn gland(&self, outer_mm: f64, screened: bool) -> Option<&Gland> {
        self.glands
            .iter()
            .find(|gland| gland.screened == screened && gland.clamp_min_mm <= outer_mm && outer_mm <= gland.clamp_max_mm)
    }

    /// The lug of a conductor.
    #[must_use]
    pub fn lug(&self, material: &str, size_mm2: f64) -> Option<&Lug> {
        self.lugs.iter().find(|lug| lug.material == material && same(lug.size_mm2, size_mm2))
    }

    /// The smallest terminal of a kind (`feed-through` or `protective`) for a conductor and a current.
    #[must_use]
    pub fn terminal(&self, kind: &str, size_mm2: f64, current_a: f64) -> Option<&Terminal> {
        self.terminals.iter().find(|terminal| {
            let size = terminal.min_mm2 <= size_mm2 + 1e-9 && size_mm2 <= terminal.max_mm2 + 1e-9;
            terminal.kind == kind && size && current_a <= terminal.current_a + 1e-9
        })
    }

    /// Enclosures, the smallest first, of a degree of protection that is at least the wanted one.
    pub fn enclosures_of<'a>(&'a self, wanted: &'a str) -> impl Iterator<Item = &'a Enclosure> {
        self.enclosures.iter().filter(move |enclosure| enclosure.serves(wanted))
    }

    /// The label of a kind, `nameplate` or `cable-tag`.
    #[must_use]
    pub fn label(&self, kind: &str) -> Option<&Label> {
        self.labels.iter().find(|label| label.kind == kind)
    }

    /// The fitting (`connector` or `coupling`) of a raceway.
    #[must_use]
    pub fn fitting(&self, fitting: &str, kind: &str, trade_size: &str) -> Option<&Fitting> {
        self.fittings.iter().find(|row| row.fitting == fitting && row.kind == kind && row.trade_size == trade_size)
    }

    /// The control cable with the fewest cores that has at least so many, the protective one not counted where it must have one.
    #[must_use]
    pub fn control_cable(&self, cores: u32, protective: bool, screened: bool) -> Option<&ControlCable> {
        self.control_cables.iter().find(|cable| {
            let live = cable.cores.saturating_sub(u32::from(cable.protective));
            cable.screened == screened && live >= cores && (cable.protective || !protective)
        })
    }

    /// Width in mm and heat in W at rated current of a device by its part number; none for what takes neither.
    #[must_use]
    pub fn footprint(&self, part: &str) -> Option<(f64, f64)> {
        if let Some(contactor) = self.contactor_with_coil(part) {
            return Some((contactor.width_mm, contactor.loss_w));
        }
        macro_rules! look { ($($family:ident),*) => { $(
            if let Some(device) = self.$family.iter().find(|family| family.part == part) { return Some((device.width_mm, device.loss_w)); }
        )* }; }
        look!(overload_relays, motor_breakers, moulded_case_breakers, line_breakers, branch_breakers, soft_starters, drives);
        look!(control_transformers, power_supplies, control_protection, interposing_relays);
        if let Some(switch) = self.switch_disconnectors.iter().find(|switch| switch.part == part) {
            return Some((switch.width_mm, switch.loss_w()));
        }
        if let Some(fuse) = self.fuses.iter().find(|fuse| fuse.part == part) {
            return Some((0.0, fuse.loss_w));
        }
        if let Some(fuse) = self.fuses.iter().find(|fuse| fuse.base_part == part) {
            return Some((fuse.width_mm, 0.0));
        }
        let alone = self.accessories.iter().find(|accessory| accessory.part == part).map(|accessory| (accessory.width_mm, 0.0));
        alone.or_else(|| self.terminals.iter().find(|terminal| terminal.part == part).map(|terminal| (terminal.width_mm, 0.0)))
    }

    /// The contactor of a part number, with its coil or without.
    #[must_use]
    pub fn contactor_with_coil(&self, part: &str) -> Option<&Contactor> {
        self.contactor(part).or_else(|| {
            let (base, coil) = part.rsplit_once('-')?;
            self.coils.iter().any(|row| row.code == coil).then(|| self.contactor(base)).flatten()
        })
    }

    /// The best line of [`Catalogue::combinations_of`]: type 2 before type 1, then the larger conditional current.
    #[must_use]
    pub fn combination(&self, protection: &str, contactor: &str, overload: &str, volts: f64) -> Option<&Combination> {
        self.combinations_of(protection, contactor, overload, volts).max_by(|a, b| {
            let type_2 = |line: &Combination| line.coordination == "type-2";
            type_2(a).cmp(&type_2(b)).then(a.conditional_ka.total_cmp(&b.conditional_ka))
        })
    }
}

impl OverloadRelay {
    /// Trip classes that it can be set to.
    pub fn class_list(&self) -> impl Iterator<Item = &str> {
        self.classes.split_whitespace()
    }

    /// It mounts on a contactor frame.
    #[must_use]
    pub fn fits_frame(&self, frame: &str) -> bool {
        holds(&self.fits_frames, frame)
    }
}

impl MouldedCaseBreaker {
    /// Trip classes that it can be set to; none if it has no motor protection.
    pub fn class_list(&self) -> impl Iterator<Item = &str> {
        self.classes.split_whitespace()
    }
}

impl AccessoryPart {
    /// It fits a contactor frame.
    #[must_use]
    pub fn fits_frame(&self, frame: &str) -> bool {
        holds(&self.fits_frames, frame)
    }

    /// It fits a frame of motor-protective circuit-breakers.
    #[must_use]
    pub fn fits_breaker_frame(&self, frame: &str) -> bool {
        self.fits_breaker_frames.split(';').any(|name| name.trim() == frame)
    }

    /// Its voltage band contains a voltage of that kind of current; a part without a band has no such limit.
    #[must_use]
    pub fn suits_voltage(&self, volts: f64, dc: bool) -> bool {
        let kind = if dc { self.dc } else { self.ac };
        kind && self.min_voltage_v.is_none_or(|min| min <= volts) && self.max_voltage_v.is_none_or(|max| volts <= max)
    }
}

impl Enclosure {
    /// Its degree of protection is the wanted one or better.
    #[must_use]
    pub fn serves(&self, wanted: &str) -> bool {
        enclosures::serves(&self.degree, wanted)
    }
}
