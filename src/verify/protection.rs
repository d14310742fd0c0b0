//! The short-circuit protective device: its figures are the catalogue's, it breaks the fault current, carries the load, rides through
//! the start, stays below what the book, a marking or a device behind it admits, and claims no co-ordination that no line gives.

use crate::design::Protection;
use crate::finding::codes;
use crate::load::wires;
use crate::load::{LoadKind, Method, ProtectionKind};
use crate::quantity::{Amperes, Seconds, fits};
use crate::record::Record;
use crate::rules::{ProtectionAsk, ProtectionBounds};
use crate::verify::facts::Facts;
use crate::verify::shelf::Item;
use crate::verify::{Disagreements, isolator, same_option, shown};

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    let Some(protection) = &facts.circuit.protection else { return };
    let device = facts.shelf.all(&protection.part).find(|item| rating_of(item).is_some());
    let Some(item) = device else {
        found.say(&codes::V101_PART_UNKNOWN, format!("{} is no protective device of the catalogue", protection.part));
        return;
    };
    figures(facts, protection, item, found);
    let volts = facts.volts_of_system();
    let breaks = breaking_ka(item, volts).unwrap_or(0.0);
    found.unless(breaks > 0.0, &codes::V402_BREAKING_CAPACITY, || {
        format!("{} is not made to break at {volts} V", protection.part)
    });
    if let Some(fault) = facts.fault() {
        found.unless(fits(fault, breaks * 1000.0), &codes::V402_BREAKING_CAPACITY, || {
            format!("{} breaks {breaks} kA; the fault current of the board is {} kA", protection.part, fault / 1000.0)
        });
    }
    let breaker = !matches!(item, Item::Fuse(_));
    found.unless(
        !breaker || !unearthed(facts) || facts.told(codes::R109_POLE_ALONE.code),
        &codes::V402_BREAKING_CAPACITY,
        || format!("nothing says that each pole of {} must break a second fault to earth alone", protection.part),
    );
    magnetic(facts, protection, item, found);
    carries(facts, protection, item, found);
    largest(facts, protection, item, found);
    coordination(facts, protection, found);
}

/// IEC 60947-2, Annex H: in an IT system a second fault may leave one pole to break the voltage between lines.
fn unearthed(facts: &Facts<'_>) -> bool {
    let earthing = isolator::earthing(facts.basis, &facts.circuit.board);
    facts.book.knows_machines() && earthing.is_some_and(wires::is_it)
}

fn rating_of(item: &Item<'_>) -> Option<f64> {
    match item {
        Item::Motor(breaker) => Some(breaker.range_max_a),
        Item::Moulded(breaker) => Some(breaker.rating_a),
        Item::Line(breaker) => Some(breaker.rating_a),
        Item::Branch(breaker) => Some(breaker.rating_a),
        Item::Fuse(fuse) => Some(fuse.rating_a),
        _ => None,
    }
}

fn breaking_ka(item: &Item<'_>, volts: f64) -> Option<f64> {
    match item {
        Item::Motor(breaker) => breaker.breaking_ka(volts),
        Item::Moulded(breaker) => breaker.breaking_ka(volts),
        Item::Line(breaker) => breaker.breaking_ka(volts),
        Item::Branch(breaker) => breaker.interrupting_ka(volts),
        Item::Fuse(fuse) => fits(volts, fuse.max_voltage_v).then_some(fuse.breaking_ka),
        _ => None,
    }
}

fn kind_of<'a>(item: &Item<'a>) -> &'a str {
    match item {
        Item::Motor(_) => "motor-breaker",
        Item::Moulded(_) => "moulded-case",
        Item::Line(_) => "circuit-breaker",
        Item::Branch(breaker) => &breaker.kind,
        Item::Fuse(fuse) => &fuse.kind,
        _ => "",
    }
}

fn figures(facts: &Facts<'_>, protection: &Protection, item: &Item<'_>, found: &mut Disagreements) {
    let (kind, rating, breaks) = (kind_of(item), rating_of(item), breaking_ka(item, facts.volts_of_system()));
    let so =
        protection.kind == kind && same_option(Some(protection.rating_a), rating) && same_option(protection.breaking_ka, breaks);
    found.unless(so, &codes::V401_PROTECTION, || {
        format!("kind, rating or breaking capacity of {} is not as the catalogue says", protection.part)
    });
    let poles = match item {
        Item::Line(row) => Some(row.poles),
        Item::Branch(row) => Some(row.poles),
        _ => None,
    };
    // A pole in each live conductor is enough, and one in the neutral besides is admitted.
    let (machine, live) = (&facts.machine, if facts.machine.phases == 3 { 3 } else { 1 + u32::from(!facts.machine.neutral) });
    let most = live + u32::from(machine.neutral);
    found.unless(poles.is_none_or(|poles| (live..=most).contains(&poles)), &codes::V401_PROTECTION, || {
        format!("{} has {} poles for {live} live conductors", protection.part, poles.unwrap_or(0))
    });
    if let Item::Moulded(row) = item {
        let released = facts.circuit.overloads.iter().any(|relay| relay.kind == protection.kind);
        let suits = match row.release.as_str() {
            // A release for motors is set for one; without that breakers leave overload to relays, or protect what does not start.
            "motor" => released,
            "magnetic" => facts.starts() && !released,
            _ => !facts.starts(),
        };
        found.unless(suits, &codes::V401_PROTECTION, || {
            format!("{} has a {} release, which does not suit this circuit", protection.part, row.release)
        });
    }
    if let Item::Branch(row) = item {
        found.unless(row.admits_voltage(facts.volts()), &codes::V401_PROTECTION, || {
            format!("{} is marked {}, the circuit has {} V", protection.part, row.voltage_rating, facts.volts())
        });
    }
}

/// Its magnetic trip is one that it can be set to, with the limits of its tolerance.
fn magnetic(facts: &Facts<'_>, protection: &Protection, item: &Item<'_>, found: &mut Disagreements) {
    let (span, tolerance) = match item {
        Item::Motor(row) => {
            let setting =
                facts.circuit.overloads.iter().find(|relay| relay.kind == "motor-breaker").map(|overload| overload.setting_a);
            let base = if row.magnetic_base == "setting" { setting.unwrap_or(row.range_max_a) } else { row.range_max_a };
            (Some([row.magnetic_multiple * base; 2]), row.magnetic_tolerance_pct)
        }
        Item::Moulded(row) => {
            let span = [row.magnetic_min_multiple * row.rating_a, row.magnetic_max_multiple * row.rating_a];
            (Some(span), row.magnetic_tolerance_pct)
        }
        Item::Branch(row) => (Some([row.instantaneous_min_a, row.instantaneous_max_a]), row.instantaneous_tolerance_pct),
        Item::Line(row) => {
            let band = facts.book.curve_limits(&row.curve).map(|(low, high)| [low * row.rating_a, high * row.rating_a]);
            let so = band.is_some_and(|[low, high]| {
                same_option(protection.magnetic_min_a, Some(low))
                    && same_option(protection.magnetic_max_a, Some(high))
                    && protection.magnetic_range_a == Some([low; 2])
            });
            found.unless(so, &codes::V403_MAGNETIC, || {
                format!("the magnetic band of {} is not that of its curve", protection.part)
            });
            rides(facts, protection, found);
            return;
        }
        _ => (None, 0.0),
    };
    let Some([low, high]) = span else {
        found.unless(protection.magnetic_trip_a.is_none(), &codes::V403_MAGNETIC, || {
            format!("{} has no magnetic trip", protection.part)
        });
        return;
    };
    let nominal = protection.magnetic_trip_a.unwrap_or(f64::NAN);
    let about = |one: f64, other: f64| (one - other).abs() <= 2e-3 + 1e-6 * other;
    let band = |factor: f64, kept: Option<f64>| kept.is_some_and(|kept| about(kept, nominal * factor));
    let in_span = nominal >= low - 2e-3 && nominal <= high + 2e-3;
    let dial = protection.magnetic_range_a.is_some_and(|range| about(range[0], low) && about(range[1], high));
    let step = match item {
        Item::Moulded(row) => row.magnetic_step_multiple.map(|step| step * row.rating_a),
        Item::Branch(row) => row.instantaneous_step_a,
        _ => None,
    };
    // At the ends of its range it may stand beside its steps.
    let on_step = step.is_none_or(|step| step <= 0.0 || about((nominal / step).round() * step, nominal))
        || about(nominal, low)
        || about(nominal, high);
    let so = in_span
        && dial
        && on_step
        && band(1.0 - tolerance / 100.0, protection.magnetic_min_a)
        && band(1.0 + tolerance / 100.0, protection.magnetic_max_a);
    found.unless(so, &codes::V403_MAGNETIC, || {
        format!("a magnetic trip of {nominal} A with its limits is not one of {}: {low} to {high} A", protection.part)
    });
    rides(facts, protection, found);
}

/// Its release does not act on what the load draws at first.
fn rides(facts: &Facts<'_>, protection: &Protection, found: &mut Disagreements) {
    let rides = facts.ride_through();
    found.unless(protection.magnetic_min_a.is_some_and(|least| fits(rides, least + 1e-3)), &codes::V403_MAGNETIC, || {
        format!("its magnetic trip may act at {} A, the start draws {rides:.1} A", shown(protection.magnetic_min_a))
    });
}

/// It carries the line current; one with a dial has the current within its range.
fn carries(facts: &Facts<'_>, protection: &Protection, item: &Item<'_>, found: &mut Disagreements) {
    let line = facts.line_current();
    // What protects the motor is set to its nameplate, whichever current the line is reckoned with; what sees several, to their sum.
    let whole = matches!(facts.start.method, Method::Direct | Method::Manual) && facts.motors == 1;
    let through = if whole { facts.circuit.currents.overload_basis_a } else { line };
    let so = match item {
        Item::Motor(row) => fits(row.range_min_a, through) && fits(through, row.range_max_a),
        Item::Moulded(row) if row.release == "motor" => {
            row.range_min_a.is_none_or(|low| fits(low, through)) && fits(through, row.range_max_a.unwrap_or(row.rating_a))
        }
        _ => fits(line, protection.rating_a),
    };
    found.unless(so || largest_of_marking(facts), &codes::V404_PROTECTION_SMALL, || {
        format!("{} of {} A does not suit a line current of {line:.2} A", protection.part, protection.rating_a)
    });
    if facts.starts_over_bypass() && matches!(item, Item::Fuse(_)) {
        let least = of_book(facts, protection).map_or(f64::INFINITY, |bounds| bounds.least.0);
        found.unless(fits(least, protection.rating_a), &codes::V404_PROTECTION_SMALL, || {
            format!(
                "{} of {} A does not carry the direct start over the bypass, which needs {least} A",
                protection.part, protection.rating_a
            )
        });
    }
    if facts.machine.kind == LoadKind::Transformer {
        let least = of_book(facts, protection).map_or(0.0, |bounds| bounds.least.0);
        found.unless(fits(least, protection.rating_a), &codes::V404_PROTECTION_SMALL, || {
            format!(
                "{} of {} A does not hold the inrush of the transformer, which needs {least} A",
                protection.part, protection.rating_a
            )
        });
    }
}

/// The marked maximum of the equipment lies between two standard ratings of which the larger is not allowed, or below its current: a
/// finding asks somebody to decide, or to look at the nameplate.
fn largest_of_marking(facts: &Facts<'_>) -> bool {
    let told = [&codes::R213_DEVICE_BELOW_AMPACITY, &codes::R110_MAXIMUM_BELOW_CURRENT].iter().any(|code| facts.told(code.code));
    facts.machine.maximum_protection.is_some() && told
}

/// Nothing behind it, no marking and no clause admits less.
fn largest(facts: &Facts<'_>, protection: &Protection, item: &Item<'_>, found: &mut Disagreements) {
    let fuse = matches!(item, Item::Fuse(_));
    let mut limits: Vec<(f64, String)> = Vec::new();
    limits.extend(protection.maximum_a.map(|most| (most, "its own largest rating".to_owned())));
    limits.extend(facts.machine.maximum_protection.map(|most| (most.0, "the marking of the equipment".to_owned())));
    for device in facts.circuit.starter_devices.iter().flat_map(|device| facts.shelf.all(&device.part)) {
        if let Item::Drive(drive) = device {
            limits.push((drive.max_fuse_a, drive.part.clone()));
        }
    }
    found.unless(facts.motors == 1 || !matches!(item, Item::Motor(_)), &codes::V401_PROTECTION, || {
        format!("{} protects one motor; {} stand behind it", protection.part, facts.motors)
    });
    if fuse {
        let contactors = facts.circuit.contactors.iter().filter_map(|contactor| facts.shelf.contactor(&contactor.part));
        limits.extend(contactors.map(|(row, _)| (row.max_fuse_type_1_a, row.part.clone())));
    }
    // The relay of one motor in a group must admit the device of all, whatever its kind, or a finding says that it does not. Behind the
    // drive alone nothing of what the device lets through flows.
    let behind_drive = facts.start.method == Method::Drive && !facts.start.bypass;
    let of_group = !behind_drive && !facts.told(codes::C220_DEVICE_OF_GROUP.code);
    let held_to_relays = if facts.motors > 1 { of_group } else { fuse };
    if held_to_relays {
        let relays = facts.circuit.overloads.iter().filter_map(|overload| facts.shelf.relay(&overload.part));
        limits.extend(relays.map(|row| (row.max_fuse_type_1_a, row.part.clone())));
    }
    let of_book = of_book(facts, protection).and_then(|bounds| bounds.fallback.or(bounds.most));
    limits.extend(of_book.map(|(most, _)| (most.0, "the rule book".to_owned())));
    for (most, of) in limits {
        found.unless(fits(protection.rating_a, most), &codes::V405_PROTECTION_LARGE, || {
            format!("{} of {} A is above {most} A, the largest of {of}", protection.part, protection.rating_a)
        });
    }
}

/// The bounds that the book admits for this kind.
fn of_book(facts: &Facts<'_>, protection: &Protection) -> Option<ProtectionBounds> {
    let kind = match protection.kind.as_str() {
        "circuit-breaker" => ProtectionKind::MouldedCase,
        word => ProtectionKind::from_word(word)?,
    };
    let currents = facts.rated();
    let starts = facts.starts();
    let line = Amperes(facts.line_current());
    let ask = ProtectionAsk {
        machine: &facts.machine,
        start: &facts.start,
        currents: &currents,
        line,
        starts,
        starting: if starts { Amperes(facts.circuit.currents.starting_a) } else { line },
        time: Seconds(facts.start.time.value.0),
    };
    facts.book.protection_bounds(kind, &ask, &mut Record::silent())
}

/// A type is claimed only where a tested combination of every contactor holds it at the voltage and the fault current.
fn coordination(facts: &Facts<'_>, protection: &Protection, found: &mut Disagreements) {
    let types: &[&str] = match protection.coordination.as_str() {
        "not-claimed" => return,
        claimed if facts.motors > 1 => {
            found
                .say(&codes::V406_COORDINATION, format!("{claimed} is claimed of several motors, with which nothing was tested"));
            return;
        }
        "type-2" => &["type-2"],
        "type-1" => &["type-1", "type-2"],
        other => {
            found.say(&codes::V406_COORDINATION, format!("{other} is no co-ordination type"));
            return;
        }
    };
    let electronic = facts.circuit.starter_devices.iter().any(|device| matches!(device.kind.as_str(), "drive" | "soft-starter"));
    found.unless(!electronic && !facts.circuit.contactors.is_empty(), &codes::V406_COORDINATION, || {
        format!("{} is claimed of a circuit whose combination no line can tell", protection.coordination)
    });
    for contactor in &facts.circuit.contactors {
        let relays = || facts.circuit.overloads.iter().filter(|relay| !relay.part.is_empty());
        let relay = relays().find(|relay| relay.role == contactor.role).or_else(|| relays().next());
        let relay = relay.map_or("", |relay| relay.part.as_str());
        let bare = facts.shelf.contactor(&contactor.part).map_or("", |(row, _)| row.part.as_str());
        let held = facts.shelf.catalogue.combinations_of(&protection.part, bare, relay, facts.volts_of_system()).any(|line| {
            types.contains(&line.coordination.as_str()) && facts.fault().is_none_or(|a| fits(a, line.conditional_ka * 1000.0))
        });
        found.unless(held, &codes::V406_COORDINATION, || {
            format!(
                "{} is claimed, but no tested combination holds {} and {} at this fault current",
                protection.coordination, protection.part, contactor.part
            )
        });
    }
}

impl Facts<'_> {
    /// The load is a motor that starts behind the device: by its method, or over the bypass of its drive.
    pub(super) fn starts(&self) -> bool {
        let by_drive = self.start.method == Method::Drive && !self.start.bypass;
        self.machine.kind == LoadKind::Motor && !self.start.method.supply_only() && !by_drive
    }

    /// A motor whose drive has a bypass starts direct on it.
    pub(super) fn starts_over_bypass(&self) -> bool {
        self.machine.kind == LoadKind::Motor && self.start.method == Method::Drive && self.start.bypass
    }

    /// Current that a magnetic release must ride through: the start, or what the line sees when the connection changes.
    fn ride_through(&self) -> f64 {
        let full = self.circuit.currents.full_load_a;
        if !self.starts() {
            self.book.switching_inrush(&self.machine, Amperes(full), &mut Record::silent()).map_or(full, |inrush| inrush.0)
        } else if self.starter.peak {
            full * self.start.ratio.value
        } else {
            self.circuit.currents.starting_a
        }
    }
}
