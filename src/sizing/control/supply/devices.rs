//! Protective devices before and behind a control supply: within their bounds, able to break what the line can let flow, and one or
//! several behind it, so that contacts and conductors stand them.

use super::{Asked, Chosen, Demand};
use crate::catalogue::ControlProtection;
use crate::design::ControlDevice;
use crate::finding::{Finding, codes};
use crate::quantity::{Amperes, fits, round_to};
use crate::rules::Topic;
use crate::rules::control::DeviceBounds;
use crate::rules::physics::control::practice;
use crate::sizing::Tools;
use crate::sizing::control::part;
use crate::sizing::judge::{at_least, at_most, not_checked};

/// Largest device that contacts and conductors of control circuits stand.
pub(super) fn circuit_limit(tools: &Tools<'_>) -> (Amperes, &'static str) {
    let contact = Amperes(practice("contact-device"));
    match tools.book.control_conductors().into_iter().next().filter(|conductor| conductor.most.0 < contact.0) {
        Some(conductor) => (conductor.most, conductor.clause),
        None => (contact, "largest device before contacts; common practice, no source"),
    }
}

/// The demand on a device.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ask {
    pub(super) bounds: DeviceBounds,
    pub(super) volts: f64,
    pub(super) dc: bool,
    pub(super) conductors: u32,
    /// At the line: its largest fault current, as far as it is known. None behind a supply, which lets little flow.
    pub(super) fault: Option<Option<Amperes>>,
    /// Behind a supply that limits its current: what that gives at most, on which the device must still open.
    pub(super) gives: Option<Amperes>,
}

impl Ask {
    /// Behind a supply: one conductor, the other is earthed.
    fn behind(demand: &Demand, bounds: DeviceBounds) -> Self {
        Self { bounds, volts: demand.voltage.volts, dc: demand.voltage.dc, conductors: 1, fault: None, gives: None }
    }
}

/// A device within its bounds with its pieces: one circuit-breaker with all poles, or one fuse-link a pole.
pub(super) fn pick<'a>(ask: &Ask, tools: &Tools<'a>) -> Option<(&'a ControlProtection, u32)> {
    let Ask { bounds, .. } = *ask;
    let suits = |protection: &&ControlProtection| {
        let voltage =
            if ask.dc { protection.max_dc_v.is_some_and(|most| ask.volts <= most) } else { fits(ask.volts, protection.max_v) };
        let poles = protection.poles == ask.conductors || (protection.kind == "fuse" && protection.poles == 1);
        let opens = ask.gives.is_none_or(|gives| opens(protection, tools).fits(gives));
        let breaks = ask.fault.flatten().is_none_or(|fault| fits(fault.0, protection.breaking_ka * 1000.0));
        voltage
            && poles
            && breaks
            && opens
            && fits(bounds.least.0, protection.rating_a)
            && fits(protection.rating_a, bounds.most.0)
    };
    let mut within = tools.catalogue.control_protection.iter().filter(suits);
    let chosen = if bounds.largest_first {
        // The first of equals is the preferred kind.
        within.reduce(|best, protection| if protection.rating_a > best.rating_a { protection } else { best })
    } else {
        within.next()
    };
    chosen.map(|protection| (protection, if protection.poles == ask.conductors { 1 } else { ask.conductors }))
}

/// Current on which a device opens for certain.
pub(super) fn opens(protection: &ControlProtection, tools: &Tools<'_>) -> Amperes {
    tools.book.control_device_opens(&protection.kind, Amperes(protection.rating_a))
}

/// Chooses a device and adds its parts and checks, or says that there is none.
pub(super) fn place(ask: &Ask, subject: &str, tools: &Tools<'_>, chosen: &mut Chosen) -> Option<ControlDevice> {
    let bounds = ask.bounds;
    let Some((protection, quantity)) = pick(ask, tools) else {
        let (least, most) = (round_to(bounds.least.0, 2), round_to(bounds.most.0, 2));
        let because = format!("the catalogue holds no device from {least} A to {most} A at {} V", round_to(ask.volts, 1));
        chosen.checks.push(not_checked("control-protection", "A", &because, bounds.clause).about(subject));
        chosen.findings.push(
            Finding::new(&codes::C412_NO_CONTROL_DEVICE, format!("{subject}: {because}"))
                .cure("add one to control_protection.csv")
                .reference(bounds.clause),
        );
        let poles = if ask.conductors == 1 { "1 pole".to_owned() } else { format!("{} poles", ask.conductors) };
        let words = format!("protective device of {subject}, {least} A to {most} A at {} V, {poles}", round_to(ask.volts, 1));
        chosen.parts.push(part("", &words, 1));
        return None;
    };
    let (value, limit) = match ask.gives {
        Some(gives) => (opens(protection, tools).0, gives.0),
        None => (protection.rating_a, bounds.most.0),
    };
    chosen.checks.push(at_most("control-protection", value, limit, "A", bounds.clause).about(subject));
    if let Some(fault) = ask.fault {
        chosen.checks.push(match fault {
            Some(fault) => {
                at_least("breaking-capacity", protection.breaking_ka, fault.0 / 1000.0, "kA", "data sheet").about(subject)
            }
            None => {
                not_checked("breaking-capacity", "kA", "the fault current of the board is not known", "data sheet").about(subject)
            }
        });
    }
    chosen.parts.push(part(&protection.part, &protection.description, quantity));
    if let Some(base) = &protection.base_part {
        chosen.parts.push(part(base, protection.base_description.as_deref().unwrap_or(""), quantity));
    }
    Some(ControlDevice {
        kind: protection.kind.clone(),
        rating_a: protection.rating_a,
        maximum_a: round_to(bounds.most.0, 4),
        quantity,
        part: protection.part.clone(),
        reference: bounds.clause.to_owned(),
    })
}

/// One of the devices behind a supply, one after the other.
pub(super) struct Stage {
    pub(super) ask: Ask,
    pub(super) subject: &'static str,
    pub(super) number: u32,
}

/// The devices behind a supply: one, if contacts and conductors stand it; else a main device and branches that do.
pub(super) fn stages(asked: &Asked<'_>, output: DeviceBounds, tools: &Tools<'_>) -> Vec<Stage> {
    let (most, clause) = circuit_limit(tools);
    let stage = |bounds, subject, number| Stage { ask: Ask::behind(asked.demand, bounds), subject, number };
    if output.most.fits(most) {
        return vec![stage(output, "control supply, output", 1)];
    }
    let holds = asked.hold_current();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small number above nothing
    let number = (holds / most).ceil().clamp(1.0, 1e6) as u32;
    let least = holds / f64::from(number);
    let branch = stage(DeviceBounds { least, most, largest_first: true, clause }, "control circuit", number);
    // One branch alone needs no further device before it.
    if number == 1 { vec![branch] } else { vec![stage(output, "control supply, output", 1), branch] }
}

/// The devices behind a supply that limits its current to so much: as many circuits as its coils need behind devices that open on it. A
/// main device before them would have to carry all of it and could not.
pub(super) fn stages_behind_limit(asked: &Asked<'_>, holds: Amperes, gives: Amperes, tools: &Tools<'_>) -> Vec<Stage> {
    let clause = tools.book.clause(Topic::LimitedSupply);
    let (most, _) = circuit_limit(tools);
    let ask = |least, most| Ask {
        gives: Some(gives),
        ..Ask::behind(asked.demand, DeviceBounds { least, most, largest_first: true, clause })
    };
    let largest = pick(&ask(Amperes::default(), most), tools).map_or(most, |(protection, _)| Amperes(protection.rating_a));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small number above nothing
    let number = (holds / largest).ceil().clamp(1.0, 1e6) as u32;
    let subject = if number == 1 { "control supply, output" } else { "control circuit" };
    vec![Stage { ask: ask(holds / f64::from(number), largest), subject, number }]
}

pub(super) fn place_behind(stages: Vec<Stage>, tools: &Tools<'_>, chosen: &mut Chosen) {
    for (stage, first) in stages.into_iter().zip([true, false]) {
        let before = chosen.parts.len();
        let device = place(&stage.ask, stage.subject, tools, chosen);
        for part in &mut chosen.parts[before..] {
            part.quantity *= f64::from(stage.number);
        }
        let device = device.map(|device| ControlDevice { quantity: device.quantity * stage.number, ..device });
        if first {
            chosen.supply.secondary = device;
        } else {
            chosen.supply.branches = device;
        }
    }
}
