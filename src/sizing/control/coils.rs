//! Coils: the one of the control voltage, what each contactor draws, and the worst moment of a circuit.

use crate::catalogue::{Coil, Contactor};
use crate::design::Circuit;
use crate::finding::{Finding, codes};
use crate::load::{Case, ControlVoltage};
use crate::quantity::{VoltAmperes, Watts};
use crate::record::Record;
use crate::rules::physics::control::{self, Burden, practice};
use crate::sizing::Tools;
use crate::sizing::arrangement::SAFETY;
use crate::sizing::assembly::Assembly;

/// Voltages that a finding offers.
const OFFERED: usize = 3;

/// The coil of one contactor.
#[derive(Clone, Debug)]
pub struct RoleCoil {
    /// Role of the contactor.
    pub role: &'static str,
    /// While it picks up.
    pub pick_up: Burden,
    /// While it holds.
    pub hold: Burden,
    /// Share of the coil voltage at which it surely releases.
    pub release: f64,
    lowest_pct: f64,
    highest_pct: f64,
}

/// The coils of a circuit.
#[derive(Clone, Debug)]
pub struct Coils {
    /// One for each contactor that has one.
    pub each: Vec<RoleCoil>,
    /// Every contactor has its coil.
    pub complete: bool,
    interlocked: &'static [(&'static str, &'static str)],
    /// Roles with a command of their own.
    pub commands: Vec<&'static str>,
    together: Vec<&'static str>,
}

/// Two voltages that are the same but for rounding.
pub(super) fn same(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() <= practice("same-voltage") / 100.0
}

/// Gives contactors their coils; says what is missing and which voltages there are.
pub(super) fn choose(
    case: &Case,
    assembly: &Assembly<'_>,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) -> Coils {
    let voltage = case.control.voltage;
    let coil = tools.catalogue.coils.iter().find(|coil| coil.dc == voltage.dc && (coil.volts - voltage.volts).abs() < 0.5);
    if coil.is_none() {
        record.find(
            Finding::new(&codes::C401_COIL_VOLTAGE, format!("the catalogue has no coil for {voltage}"))
                .at(case.control.place.clone())
                .cure(format!("choose {}, or add the coil to the catalogue", nearest(voltage, &tools.catalogue.coils, true))),
        );
    }
    let mut each = Vec::new();
    for (chosen, result) in assembly.contactors.iter().zip(&mut circuit.contactors) {
        let Some(contactor) = chosen.contactor else { continue };
        match of_contactor(contactor, voltage, chosen.role.name) {
            Some(of_role) => {
                if let Some(coil) = coil {
                    result.part = contactor.part_with(coil);
                }
                result.suppression_built_in =
                    if voltage.dc { contactor.dc_suppression_built_in } else { contactor.ac_suppression_built_in };
                each.push(of_role);
            }
            // No range has the number of a coil that is not made.
            None => record.find(
                Finding::new(&codes::C402_NO_DC_COIL, format!("{} is not made with a coil for direct current", contactor.part))
                    .at(case.control.place.clone())
                    .cure(format!(
                        "choose {}, switched by an interposing relay where direct current must command it, or another range",
                        nearest(ControlVoltage { dc: false, ..voltage }, &tools.catalogue.coils, false)
                    )),
            ),
        }
    }
    let there = |role: &&str| assembly.contactors.iter().any(|contactor| contactor.role.name == *role);
    Coils {
        complete: coil.is_some() && each.len() == assembly.contactors.len(),
        each,
        interlocked: assembly.arrangement.interlocked(&case.start),
        commands: assembly.arrangement.commanded(&case.start).iter().copied().filter(there).collect(),
        together: control::together(case.start.method.word()).filter(there).collect(),
    }
}

/// The voltages of the catalogue nearest to the wanted one, of its kind of current first, in words.
fn nearest(wanted: ControlVoltage, coils: &[Coil], both: bool) -> String {
    let distance = |coil: &&Coil| (coil.volts / wanted.volts).max(wanted.volts / coil.volts);
    let mut all: Vec<&Coil> = coils.iter().filter(|coil| both || coil.dc == wanted.dc).collect();
    all.sort_by(|a, b| (a.dc != wanted.dc).cmp(&(b.dc != wanted.dc)).then(distance(a).total_cmp(&distance(b))));
    let words: Vec<String> =
        (all.iter().take(OFFERED)).map(|coil| ControlVoltage { volts: coil.volts, dc: coil.dc }.to_string()).collect();
    match words.as_slice() {
        [] => "another control voltage".to_owned(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

fn of_contactor(contactor: &Contactor, voltage: ControlVoltage, role: &'static str) -> Option<RoleCoil> {
    let (pick_up, hold) = if voltage.dc {
        (Burden::direct(Watts(contactor.coil_dc_pick_up_w?)), Burden::direct(Watts(contactor.coil_dc_hold_w?)))
    } else {
        let burden = |va, factor| Burden::of(VoltAmperes(va), factor);
        (
            burden(contactor.coil_ac_pick_up_va, contactor.coil_ac_pick_up_power_factor),
            burden(contactor.coil_ac_hold_va, contactor.coil_ac_hold_power_factor),
        )
    };
    let release = if voltage.dc { practice("dc-coil-release") } else { practice("ac-coil-release") };
    // The declared share is that of the alternating coil; one for direct current may hold on longer.
    let declared = contactor.coil_release_pct.filter(|_| !voltage.dc);
    Some(RoleCoil {
        role,
        pick_up,
        hold,
        release: declared.unwrap_or(release) / 100.0,
        lowest_pct: contactor.coil_lowest_pct.unwrap_or_else(|| practice("coil-lowest")),
        highest_pct: contactor.coil_highest_pct.unwrap_or_else(|| practice("coil-highest")),
    })
}

impl Coils {
    fn excluded(&self, a: &str, b: &str) -> bool {
        self.interlocked.iter().any(|(x, y)| (*x, *y) == (a, b) || (*x, *y) == (b, a))
    }

    /// The largest power with which coils hold that may be closed together and beside a group: every set is tried.
    fn holding_beside(&self, group: &[&str]) -> Burden {
        let free: Vec<&RoleCoil> = (self.each.iter())
            .filter(|coil| !group.contains(&coil.role) && !group.iter().any(|other| self.excluded(coil.role, other)))
            .collect();
        let sets = 1_u32 << free.len().min(16);
        let allowed = |set: &Vec<&RoleCoil>| {
            let pairs = set.iter().enumerate().flat_map(|(at, a)| set[at + 1..].iter().map(move |b| (a.role, b.role)));
            pairs.into_iter().all(|(a, b)| !self.excluded(a, b))
        };
        (0..sets)
            .map(|set| free.iter().zip(0_u32..).filter(|(_, bit)| set >> bit & 1 == 1).map(|(coil, _)| *coil).collect::<Vec<_>>())
            .filter(allowed)
            .map(|set| set.iter().map(|coil| coil.hold).sum::<Burden>())
            .max_by(|a, b| a.magnitude().0.total_cmp(&b.magnitude().0))
            .unwrap_or_default()
    }

    /// Power while all that can hold together hold.
    #[must_use]
    pub fn hold(&self) -> Burden {
        self.holding_beside(&[])
    }

    /// Groups that pick up within one pull-in time. A contactor that the safety level adds picks up with the first.
    fn groups(&self) -> Vec<Vec<&'static str>> {
        let mut groups: Vec<Vec<&'static str>> = Vec::new();
        if !self.together.is_empty() {
            groups.push(self.together.clone());
        }
        for coil in &self.each {
            if coil.role != SAFETY && !self.together.contains(&coil.role) {
                groups.push(vec![coil.role]);
            }
        }
        if self.each.iter().any(|coil| coil.role == SAFETY) {
            for group in &mut groups {
                if group.iter().any(|role| self.commands.contains(role)) {
                    group.push(SAFETY);
                }
            }
            // Where nothing is commanded beside it, it picks up by itself.
            if !groups.iter().any(|group| group.contains(&SAFETY)) {
                groups.push(vec![SAFETY]);
            }
        }
        groups
    }

    fn pick_up_of(&self, group: &[&str]) -> Burden {
        self.each.iter().filter(|coil| group.contains(&coil.role)).map(|coil| coil.pick_up).sum()
    }

    /// Power at the worst moment of the circuit: a group picks up and what may be closed beside it holds.
    #[must_use]
    pub fn event(&self) -> Burden {
        let burden = |group: &Vec<&'static str>| self.pick_up_of(group) + self.holding_beside(group);
        self.groups().iter().map(burden).max_by(|a, b| a.magnitude().0.total_cmp(&b.magnitude().0)).unwrap_or_default()
    }

    /// The burden that a command switches: power while its coils pick up, and while all that follow it hold.
    #[must_use]
    pub fn behind(&self, command: &str) -> (Burden, Burden) {
        let group = if self.together.contains(&command) { self.together.clone() } else { vec![] };
        let group: Vec<&str> = if group.is_empty() { vec![command] } else { group };
        let pick_up = self.pick_up_of(&group);
        // With one command everything else follows it; with several each holds its own group.
        let hold = if self.commands.len() == 1 {
            self.hold()
        } else {
            self.each.iter().filter(|coil| group.contains(&coil.role)).map(|coil| coil.hold).sum()
        };
        (pick_up, hold)
    }

    /// Lowest voltage at which every coil surely picks up, per cent.
    #[must_use]
    pub fn lowest_pct(&self) -> f64 {
        self.each.iter().map(|coil| coil.lowest_pct).fold(0.0, f64::max)
    }

    /// Highest voltage that every coil stands, per cent.
    #[must_use]
    pub fn highest_pct(&self) -> f64 {
        self.each.iter().map(|coil| coil.highest_pct).reduce(f64::min).unwrap_or(0.0)
    }
}
