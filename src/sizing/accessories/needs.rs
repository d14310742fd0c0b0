//! Which auxiliary contacts the roles of a circuit need: what for, normally open or closed, at which level, and whether the contact
//! must be a mirror contact or open before the main contacts.

use crate::load::{Case, ContactLevel};
use crate::quantity::Watts;
use crate::rules::physics::accessories::practice;
use crate::sizing::Pins;
use crate::sizing::arrangement::SAFETY;
use crate::sizing::assembly::Assembly;

/// Normally open or normally closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    /// Normally open.
    Open,
    /// Normally closed.
    Closed,
}

impl Kind {
    /// Its canonical word.
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Open => "no",
            Self::Closed => "nc",
        }
    }
}

/// A contact that a role needs.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Need {
    /// Role of the contactor.
    pub(super) role: &'static str,
    /// Its purpose.
    pub(super) function: &'static str,
    /// Normally open or closed.
    pub(super) kind: Kind,
    /// Level of the circuit that it switches.
    pub(super) level: ContactLevel,
    /// Voltage that it switches.
    pub(super) volts: f64,
    /// It must be a mirror contact.
    pub(super) mirror: bool,
    /// It must open before the main contacts.
    pub(super) early: bool,
    /// A contact of the mechanical interlock serves it.
    pub(super) of_interlock: bool,
}

/// Makes the needs of one circuit.
struct List<'c> {
    case: &'c Case,
    needs: Vec<Need>,
}

impl List<'_> {
    fn add(&mut self, role: &'static str, function: &'static str, kind: Kind, level: ContactLevel) -> &mut Need {
        let volts = match level {
            // The part's own declaration counts for electronic levels, not a voltage.
            ContactLevel::Logic => 0.0,
            _ if level == self.case.scheme.level => self.case.control.voltage.volts,
            ContactLevel::ExtraLow => practice("enable-contact"),
            ContactLevel::Mains => practice("mains-contact"),
        };
        let need = Need { role, function, kind, level, volts, mirror: false, early: false, of_interlock: false };
        self.needs.push(need);
        let last = self.needs.len() - 1;
        &mut self.needs[last]
    }

    /// A contact in the control circuit itself.
    fn add_in_control_circuit(&mut self, role: &'static str, function: &'static str, kind: Kind) -> &mut Need {
        self.add(role, function, kind, self.case.scheme.level)
    }
}

/// The contacts of a circuit, in the order of their weight: what keeps a circuit safe before what makes it work, and that before
/// what is only shown or asked for. Where a frame doesn't take them all, the later ones stay out.
pub(super) fn of(case: &Case, assembly: &Assembly<'_>, pins: &Pins) -> Vec<Need> {
    let arrangement = assembly.arrangement;
    let there = |name: &&&'static str| assembly.contactors.iter().any(|contactor| contactor.role.name == **name);
    let commanded: Vec<&'static str> = arrangement.commanded(&case.start).iter().filter(there).copied().collect();
    let scheme = &case.scheme;
    let mut list = List { case, needs: Vec::new() };
    if scheme.monitored {
        let safety = assembly.contactors.iter().map(|contactor| contactor.role.name).find(|name| *name == SAFETY);
        let looked_at: Vec<&'static str> = safety.into_iter().chain(commanded.iter().copied()).collect();
        let level = feedback_level(looked_at.len());
        for role in looked_at {
            list.add(role, "safety feedback", Kind::Closed, level).mirror = true;
        }
    }
    for (a, b) in arrangement.interlocked(&case.start) {
        if there(&a) && there(&b) {
            for role in [*a, *b] {
                list.add_in_control_circuit(role, "interlock", Kind::Closed).of_interlock = true;
            }
        }
    }
    for _ in partners(case, pins) {
        for role in &commanded {
            list.add_in_control_circuit(role, "interlock", Kind::Closed).of_interlock = true;
        }
    }
    for role in arrangement.opens_dead.iter().filter(|role| there(role)) {
        list.add(role, "enable", Kind::Open, ContactLevel::ExtraLow).early = true;
    }
    for role in arrangement.open_at_start.iter().filter(there) {
        list.add_in_control_circuit(role, "start permissive", Kind::Closed);
    }
    for (role, _) in arrangement.lets_in.iter().filter(|(a, b)| there(&a) && there(&b)) {
        list.add_in_control_circuit(role, "sequence", Kind::Open);
    }
    if case.control.three_wire {
        for role in &commanded {
            list.add_in_control_circuit(role, "seal-in", Kind::Open);
        }
    }
    let drive = assembly.devices.iter().any(|device| device.kind == "drive");
    if brakes_of_all(case).is_some_and(|watts| watts.fits(Watts(practice("brake-contact")))) && !drive {
        for role in &commanded {
            list.add(role, "brake", Kind::Open, ContactLevel::Mains);
        }
    }
    // Off while the motor runs, whose own losses keep it dry: the heater on top of them would overheat its winding.
    if case.extras.heater.0 > 0.0 {
        for role in &commanded {
            list.add(role, "space heater", Kind::Closed, ContactLevel::Mains);
        }
    }
    told(&mut list, &commanded);
    let first = commanded.first().copied().or(assembly.contactors.first().map(|contactor| contactor.role.name));
    if let Some(role) = first {
        for (count, kind) in [(case.control.no, Kind::Open), (case.control.nc, Kind::Closed)] {
            for _ in 0..count {
                list.add(role, "asked for", kind, scheme.wished);
            }
        }
    }
    list.needs
}

/// What the one contact of a starter switches: the brakes of all motors behind it.
pub(super) fn brakes_of_all(case: &Case) -> Option<Watts> {
    case.scheme.brake.map(|watts| watts * f64::from(case.motors))
}

/// Safety relays look at 24 V, whatever the coils have, through all these contacts in series: where they are many, each must be sure.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small whole figure of a table
fn feedback_level(in_series: usize) -> ContactLevel {
    let most = practice("feedback-in-series") as usize;
    if in_series > most { ContactLevel::Logic } else { ContactLevel::ExtraLow }
}

/// Contacts that tell somebody that the load runs or stands.
fn told(list: &mut List<'_>, commanded: &[&'static str]) {
    let scheme = &list.case.scheme;
    let (feedback, lamps, meters) = (scheme.feedback, scheme.lamps.clone(), scheme.meters.clone());
    for role in commanded {
        if let Some(level) = feedback {
            list.add(role, "feedback", Kind::Open, level);
        }
        if lamps.contains(&"running") {
            list.add_in_control_circuit(role, "running lamp", Kind::Open);
        }
        if lamps.contains(&"stopped") {
            list.add_in_control_circuit(role, "stopped lamp", Kind::Closed);
        }
        if meters.contains(&"hour-meter") {
            list.add_in_control_circuit(role, "hour meter", Kind::Open);
        }
    }
}

/// Tags of the loads with which this one is interlocked: those that it names, and those that name it.
pub(super) fn partners<'c>(case: &'c Case, pins: &'c Pins) -> Vec<&'c str> {
    let mut tags: Vec<&str> = pins.partners.iter().map(|partner| partner.tag.as_str()).collect();
    let known = |tags: &[&str], named: &str| {
        tags.contains(&named) || pins.partners.iter().any(|partner| partner.tags.iter().any(|tag| tag == named))
    };
    for named in &case.control.interlock_with {
        if !known(&tags, named) {
            tags.push(named);
        }
    }
    tags
}
