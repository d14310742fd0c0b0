//! Protective devices before and behind a control supply: within their bounds, able to break what the line can let flow, and one or
//! several behind it, so that contacts and conductors stand them.

use super::{Asked, Chosen, Demand};
use crate::catalogue::ControlProtection;
use crate::design::ControlDevice;
use crate::finding::{Finding, codes};
use crate::quantity::{Amperes, fits, round_to};
use crate::rules::control::DeviceBounds;
use crate::rules::physics::control::practice;
use crate::sizing::Tools;
use crate::sizing::control::part;
use crate::sizing::judge::{at_least, at_most, not_checked};

/// Largest device that contacts and conductors of control circuits stand.
pub(super) fn circuit_limit(tools: &Tools<'_>) -> (Amperes, &'static str) {
    let contact = Amperes(practice("contact-device"));
    match tools.book.control_conductors().into_iter().next().filter(|own| own.most.0 < contact.0) {
        Some(own) => (own.most, own.clause),
        None => (contact, "largest device before contacts; common practice, no source"),
    }
}

/// What is asked of a device.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ask {
    pub(super) bounds: DeviceBounds,
    pub(super) volts: f64,
    pub(super) dc: bool,
    pub(super) conductors: u32,
    /// At the line: its largest fault current, as far as it is known. None behind a supply, which lets little flow.
    pub(super) fault: Option<Option<Amperes>>,
}

impl Ask {
    /// Behind a supply: one conductor, the other is earthed.
    fn behind(demand: &Demand, bounds: DeviceBounds) -> Self {
        Self { bounds, volts: demand.voltage.volts, dc: demand.voltage.dc, conductors: 1, fault: None }
    }
}

/// A device within its bounds with its pieces: of a circuit-breaker one with all poles, of fuse-links one a pole.
pub(super) fn pick<'a>(ask: &Ask, tools: &Tools<'a>) -> Option<(&'a ControlProtection, u32)> {
    let Ask { bounds, .. } = *ask;
    let suits = |own: &&ControlProtection| {
        let voltage = if ask.dc { own.max_dc_v.is_some_and(|most| ask.volts <= most) } else { fits(ask.volts, own.max_v) };
        let poles = own.poles == ask.conductors || (own.kind == "fuse" && own.poles == 1);
        let breaks = ask.fault.flatten().is_none_or(|fault| fits(fault.0, own.breaking_ka * 1000.0));
        voltage && poles && breaks && fits(bounds.least.0, own.rating_a) && fits(own.rating_a, bounds.most.0)
    };
    let mut within = tools.catalogue.control_protection.iter().filter(suits);
    let chosen = if bounds.largest_first {
        // The first of equals is the preferred kind.
        within.reduce(|best, own| if own.rating_a > best.rating_a { own } else { best })
    } else {
        within.next()
    };
    chosen.map(|own| (own, if own.poles == ask.conductors { 1 } else { ask.conductors }))
}

/// Chooses a device and adds its parts and checks, or says that there is none.
pub(super) fn place(ask: &Ask, subject: &str, tools: &Tools<'_>, chosen: &mut Chosen) -> Option<ControlDevice> {
    let bounds = ask.bounds;
    let Some((own, quantity)) = pick(ask, tools) else {
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
    chosen.checks.push(at_most("control-protection", own.rating_a, bounds.most.0, "A", bounds.clause).about(subject));
    if let Some(fault) = ask.fault {
        chosen.checks.push(match fault {
            Some(fault) => at_least("breaking-capacity", own.breaking_ka, fault.0 / 1000.0, "kA", "data sheet").about(subject),
            None => {
                not_checked("breaking-capacity", "kA", "the fault current of the board is not known", "data sheet").about(subject)
            }
        });
    }
    chosen.parts.push(part(&own.part, &own.description, quantity));
    if let Some(base) = &own.base_part {
        chosen.parts.push(part(base, own.base_description.as_deref().unwrap_or(""), quantity));
    }
    Some(ControlDevice {
        kind: own.kind.clone(),
        rating_a: own.rating_a,
        maximum_a: round_to(bounds.most.0, 4),
        quantity,
        part: own.part.clone(),
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

pub(super) fn place_behind(asked: &Asked<'_>, output: DeviceBounds, tools: &Tools<'_>, chosen: &mut Chosen) {
    for (stage, first) in stages(asked, output, tools).into_iter().zip([true, false]) {
        let before = chosen.parts.len();
        let device = place(&stage.ask, stage.subject, tools, chosen);
        for own in &mut chosen.parts[before..] {
            own.quantity *= f64::from(stage.number);
        }
        let device = device.map(|own| ControlDevice { quantity: own.quantity * stage.number, ..own });
        if first {
            chosen.supply.secondary = device;
        } else {
            chosen.supply.branches = device;
        }
    }
}
