//! Small parts around the contactors, and the list of parts of a circuit.
//!
//! Needs are counted by role; what the contactors bring is taken off; the rest is placed within the frame's limits or said to be
//! missing. Facts of the trade here are common practice, no source, unless a rule names one.

use crate::catalogue::{AccessoryPart, Contactor};
use crate::design::{Accessory, Circuit, Part};
use crate::finding::{Finding, codes};
use crate::load::{Case, Method};
use crate::quantity::round_to;
use crate::record::Record;
use crate::rules::units::Units;
use crate::sizing::Tools;
use crate::sizing::assembly::{Assembly, ChosenContactor, Device};

/// Adds accessories and the parts list.
pub fn add(case: &Case, assembly: &Assembly<'_>, tools: &Tools<'_>, circuit: &mut Circuit, record: &mut Record) {
    let mut shelf = Shelf { case, tools, circuit, record };
    for chosen in &assembly.contactors {
        let Some(contactor) = chosen.contactor else { continue };
        shelf.auxiliary(chosen, contactor, assembly);
        shelf.suppressor(chosen, contactor, assembly);
        if !contactor.finger_safe && case.wishes.finger_protection {
            shelf.fit("shroud", "", contactor, chosen.role.name, "", "keeps fingers from the terminals");
        }
    }
    shelf.together(assembly);
    parts(case, assembly, tools, circuit);
}

struct Shelf<'s, 'a> {
    case: &'s Case,
    tools: &'s Tools<'a>,
    circuit: &'s mut Circuit,
    record: &'s mut Record,
}

/// Contacts that a role needs: normally open, normally closed.
fn needs(case: &Case, assembly: &Assembly<'_>, role: &str) -> (u32, u32) {
    let interlocked = assembly.arrangement.interlocked(&case.start);
    let first = assembly.contactors.first().map_or("", |own| own.role.name);
    let closed = u32::try_from(interlocked.iter().filter(|(a, b)| *a == role || *b == role).count()).unwrap_or(0);
    let starts_alone = role == first || matches!(role, "forward" | "reverse" | "low" | "high");
    let seal_in = u32::from(case.control.three_wire && starts_alone);
    let feedback = u32::from(case.control.driven_by == "plc-output" && starts_alone);
    // In a star-delta starter the star contactor lets the line contactor in.
    let sequence = u32::from(assembly.arrangement.star_delta_timer && role == "star");
    let wished = if role == first { (case.control.no, case.control.nc) } else { (0, 0) };
    let mirror = u32::from(case.control.redundant && role == first);
    (seal_in + feedback + sequence + wished.0, closed + wished.1 + mirror)
}

impl Shelf<'_, '_> {
    fn auxiliary(&mut self, chosen: &ChosenContactor<'_>, contactor: &Contactor, assembly: &Assembly<'_>) {
        let role = chosen.role.name;
        let (no, nc) = needs(self.case, assembly, role);
        let (mut no, mut nc) = (no.saturating_sub(contactor.aux_no), nc.saturating_sub(contactor.aux_nc));
        if no + nc == 0 {
            return;
        }
        if no + nc > contactor.aux_places {
            self.record.find(
                Finding::new(
                    &codes::C501_AUXILIARY_PLACES,
                    format!(
                        "{} contacts are asked of {} ({role}); its frame takes {}",
                        no + nc,
                        contactor.part,
                        contactor.aux_places
                    ),
                )
                .at(self.case.place.clone())
                .cure("use a relay for the contacts that are too many, or a larger frame"),
            );
        }
        // The front is taken where a timer mounts there.
        let timer_here = assembly.arrangement.star_delta_timer && role == "line" && contactor.front_place;
        let level = self.case.control.low_level;
        while no + nc > 0 {
            let best = self
                .tools
                .catalogue
                .accessories
                .iter()
                .filter(|own| own.kind == "auxiliary-block" && fits(own, &contactor.frame) && own.low_level == level)
                .filter(|own| !(timer_here && own.position == "front"))
                .filter(|own| own.no.min(no) + own.nc.min(nc) > 0)
                // The block that meets most of the need with the fewest contacts too many.
                .max_by_key(|own| {
                    (own.no.min(no) + own.nc.min(nc), std::cmp::Reverse(own.no + own.nc), std::cmp::Reverse(own.part.as_str()))
                });
            let Some(block) = best else {
                self.record.find(
                    Finding::new(
                        &codes::C502_NO_ACCESSORY,
                        format!("the catalogue holds no auxiliary block for frame {} ({role})", contactor.frame),
                    )
                    .at(self.case.place.clone())
                    .cure("add one to the catalogue"),
                );
                return;
            };
            no = no.saturating_sub(block.no);
            nc = nc.saturating_sub(block.nc);
            push(
                self.circuit,
                Some(block),
                "auxiliary-block",
                1,
                role,
                "",
                "seal-in, feedback, electrical interlock and contacts that the row asks for",
            );
        }
    }

    fn suppressor(&mut self, chosen: &ChosenContactor<'_>, contactor: &Contactor, assembly: &Assembly<'_>) {
        let voltage = self.case.control.voltage;
        let built_in = if voltage.dc { contactor.dc_suppression_built_in } else { contactor.ac_suppression_built_in };
        let electronics = self.case.control.driven_by == "plc-output"
            || assembly.devices.iter().any(|device| device.drive.is_some() || device.soft_starter.is_some());
        if built_in || !electronics {
            return;
        }
        // A varistor lengthens the drop-out by milliseconds only, a diode several times: the varistor is the default.
        let part = self.tools.catalogue.accessories.iter().find(|own| {
            own.kind == "suppressor"
                && own.variant == "varistor"
                && fits(own, &contactor.frame)
                && (if voltage.dc { own.dc } else { own.ac })
                && own.min_voltage_v.is_none_or(|low| low <= voltage.volts)
                && own.max_voltage_v.is_none_or(|high| voltage.volts <= high)
        });
        if part.is_none() {
            self.missing("suppressor", &contactor.frame, chosen.role.name);
        }
        push(
            self.circuit,
            part,
            "suppressor",
            1,
            chosen.role.name,
            "",
            "electronics in the same panel need the coil's switching overvoltage limited",
        );
    }

    /// One accessory of a kind that fits the frame.
    fn fit(&mut self, kind: &str, variant: &str, contactor: &Contactor, serves: &str, setting: &str, why: &str) {
        let voltage = self.case.control.voltage;
        let part = self.tools.catalogue.accessories.iter().find(|own| {
            own.kind == kind
                && (variant.is_empty() || own.variant == variant)
                && (fits(own, &contactor.frame) || own.fits_frames.is_empty())
                && (kind != "timer"
                    || (own.min_voltage_v.is_none_or(|low| low <= voltage.volts)
                        && own.max_voltage_v.is_none_or(|high| voltage.volts <= high)
                        && if voltage.dc { own.dc } else { own.ac }))
        });
        if part.is_none() {
            self.missing(kind, &contactor.frame, serves);
        }
        push(self.circuit, part, kind, 1, serves, setting, why);
    }

    fn missing(&mut self, kind: &str, frame: &str, serves: &str) {
        self.record.find(
            Finding::new(
                &codes::C502_NO_ACCESSORY,
                format!("the catalogue holds no {} for frame {frame} ({serves})", kind.replace('-', " ")),
            )
            .at(self.case.place.clone())
            .cure("add one to the catalogue"),
        );
    }

    /// What serves several contactors.
    fn together(&mut self, assembly: &Assembly<'_>) {
        let by_role = |name: &str| assembly.contactors.iter().find(|own| own.role.name == name).and_then(|own| own.contactor);
        for (a, b) in assembly.arrangement.interlocked(&self.case.start) {
            if let (Some(contactor), Some(_)) = (by_role(a), by_role(b)) {
                self.fit("interlock", "", contactor, &format!("{a} and {b}"), "", "the two must never be closed together");
            }
        }
        let units = Units::of(self.tools.book.key());
        let time = assembly.arrangement.step_time(&self.case.start);
        if assembly.arrangement.star_delta_timer
            && let Some(contactor) = by_role("line")
        {
            self.fit(
                "timer",
                "star-delta",
                contactor,
                "line",
                &format!("{} s, pause 50 ms", round_to(time, 1)),
                units.pick("changes over from star to delta", "changes over from wye to delta"),
            );
            self.fit(
                "wiring-link",
                "star-delta",
                contactor,
                "line, delta and star",
                "",
                units.pick("links line, delta and star contactor", "links line, delta and wye contactors"),
            );
            if let Some(star) = by_role("star") {
                self.fit("star-bridge", "", star, "star", "", units.pick("makes the star point", "makes the wye point"));
            }
        } else if assembly.arrangement.step_timer
            && let Some(first) = assembly.contactors.first().and_then(|own| own.contactor)
        {
            self.fit(
                "timer",
                "on-delay",
                first,
                assembly.contactors[0].role.name,
                &format!("{} s", round_to(time, 1)),
                "ends the starting step",
            );
        }
        if self.case.start.reversing
            && self.case.start.method == Method::Direct
            && let Some(contactor) = by_role("forward")
        {
            self.fit("wiring-link", "reversing", contactor, "forward and reverse", "", "swaps two phases");
        }
        self.connecting_module(assembly);
        for relay in assembly.relays.iter().filter(|relay| relay.separate) {
            let Some(own) = relay.relay else { continue };
            let mounts = by_role(relay.place.role)
                .is_some_and(|contactor| own.fits_frames.split_whitespace().any(|frame| frame == contactor.frame));
            if !mounts {
                let part =
                    self.tools.catalogue.accessories.iter().find(|base| {
                        base.kind == "relay-base" && own.fits_frames.split_whitespace().any(|frame| fits(base, frame))
                    });
                push(self.circuit, part, "relay-base", 1, relay.place.role, "", "the relay stands apart from its contactor");
            }
        }
    }

    /// Joins a motor-protective circuit-breaker and one contactor where their frames pair.
    fn connecting_module(&mut self, assembly: &Assembly<'_>) {
        let (Some(protection), [only]) = (&assembly.protection, assembly.contactors.as_slice()) else { return };
        let (Device::Motor(breaker), Some(contactor)) = (protection.device, only.contactor) else { return };
        let part = self.tools.catalogue.accessories.iter().find(|own| {
            own.kind == "connecting-module"
                && fits(own, &contactor.frame)
                && own.fits_breaker_frames.split(';').any(|frame| frame.trim() == breaker.frame)
        });
        match part {
            Some(_) => push(self.circuit, part, "connecting-module", 1, only.role.name, "", "joins breaker and contactor"),
            None => self.record.find(
                Finding::new(
                    &codes::C503_NO_PAIR,
                    format!("breaker frame {} and contactor frame {} have no connecting module", breaker.frame, contactor.frame),
                )
                .at(self.case.place.clone())
                .cure("wire them"),
            ),
        }
    }
}

fn fits(part: &AccessoryPart, frame: &str) -> bool {
    part.fits_frames.split_whitespace().any(|own| own == frame)
}

fn push(circuit: &mut Circuit, part: Option<&AccessoryPart>, kind: &str, quantity: u32, serves: &str, setting: &str, why: &str) {
    circuit.accessories.push(Accessory {
        kind: kind.to_owned(),
        part: part.map(|own| own.part.clone()).unwrap_or_default(),
        quantity,
        serves: serves.to_owned(),
        no: part.map_or(0, |own| own.no),
        nc: part.map_or(0, |own| own.nc),
        low_level: part.is_some_and(|own| own.low_level),
        mirror: part.is_some_and(|own| own.mirror),
        setting: setting.to_owned(),
        why: why.to_owned(),
        position: part.map(|own| own.position.clone()).unwrap_or_default(),
    });
}

/// Everything that is bought for one circuit.
fn parts(case: &Case, assembly: &Assembly<'_>, tools: &Tools<'_>, circuit: &mut Circuit) {
    let mut parts = Vec::new();
    let mut add = |part: &str, description: &str, quantity: f64, unit: &str| {
        parts.push(Part {
            part: part.to_owned(),
            description: description.to_owned(),
            quantity,
            unit: unit.to_owned(),
            by_others: false,
        });
    };
    match assembly.protection.as_ref().map(|own| own.device) {
        Some(Device::Motor(own)) => add(&own.part, &own.description, 1.0, "pc"),
        Some(Device::Moulded(own)) => add(&own.part, &own.description, 1.0, "pc"),
        Some(Device::Line(own)) => add(&own.part, &own.description, 1.0, "pc"),
        Some(Device::Branch(own)) => add(&own.part, &own.description, 1.0, "pc"),
        Some(Device::Fuse(own)) => {
            add(&own.base_part, &own.base_description, 1.0, "pc");
            add(&own.part, &own.description, f64::from(tools.book.fuses_of(&case.machine)), "pc");
        }
        None => {}
    }
    for (chosen, result) in assembly.contactors.iter().zip(&circuit.contactors) {
        if let Some(contactor) = chosen.contactor {
            add(&result.part, &format!("{}, coil {}", contactor.description, case.control.voltage), 1.0, "pc");
        }
    }
    for relay in &assembly.relays {
        if let Some(own) = relay.relay {
            add(&own.part, &own.description, 1.0, "pc");
            if let Some(transformers) = &own.transformer_part {
                let description = own.transformer_description.as_deref().unwrap_or("current transformers");
                add(transformers, description, f64::from(own.transformer_count.unwrap_or(1)), "pc");
            }
        }
    }
    for device in &assembly.devices {
        add(device.part(), &device.description(), 1.0, "pc");
    }
    parts.append(&mut circuit.parts);
    if case.start.method == Method::ByOthers {
        parts.push(Part {
            description: format!("starter of {}", case.tag),
            quantity: 1.0,
            unit: "pc".to_owned(),
            by_others: true,
            ..Part::default()
        });
    }
    circuit.parts = parts;
}

/// Adds isolator and accessories to the parts, with their descriptions from the catalogue.
pub fn describe_parts(circuit: &mut Circuit, tools: &Tools<'_>) {
    let describe = |part: &str, kind: &str| {
        tools.catalogue.small_part(part).map_or_else(|| kind.replace('-', " "), str::to_owned)
    };
    for accessory in &circuit.accessories {
        circuit.parts.push(Part {
            part: accessory.part.clone(),
            description: describe(&accessory.part, &accessory.kind),
            quantity: f64::from(accessory.quantity),
            unit: "pc".to_owned(),
            by_others: false,
        });
    }
    // A protective device that disconnects is among the parts already.
    let bought = |part: &str| circuit.parts.iter().any(|own| own.part == part);
    if let Some(own) = circuit.disconnect.as_ref().filter(|own| !bought(&own.part)) {
        let isolator = tools.catalogue.isolators.iter().find(|isolator| isolator.part == own.part).map(|own| &own.description);
        let switch = tools.catalogue.disconnects.iter().find(|switch| switch.part == own.part).map(|own| &own.description);
        let description = isolator.or(switch).cloned().unwrap_or_default();
        circuit.parts.push(Part { part: own.part.clone(), description, quantity: 1.0, unit: "pc".to_owned(), by_others: false });
    }
}
