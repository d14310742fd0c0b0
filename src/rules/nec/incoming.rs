//! The main disconnecting means of a board: one switch for a combination of loads, 430.110(C), or a circuit breaker.

use super::controller::{CombinationLoad, combination, disconnect_minimum};
use super::{Nec, hermetic, locked_rotor};
use crate::load::{LoadKind, Machine, ProtectionKind};
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::feeders::{FeederItem, TermAsk};
use crate::rules::incoming::{IncomingNeutral, IncomingPoles, IncomingRules, SwitchAsk, SwitchDemand, SwitchHorsepower};
use crate::rules::nec::rated;

/// 430.110(C)(1): what one circuit adds to the locked-rotor currents of a combination. What is no motor, and a motor behind a drive alone,
/// adds its current; over a bypass it stalls on the line as any other; equipment that is marked as a whole is taken as a motor outside the
/// tables, six times its current. A motor adds what the table has for it, and what it draws where that is more.
pub(super) fn locked(ask: &TermAsk<'_>, full_load: Amperes) -> Amperes {
    let record = &mut Record::silent();
    match ask.machine.kind {
        _ if ask.start.by_drive_alone() => full_load,
        LoadKind::Packaged => locked_rotor::small_motor_locked_rotor(record, full_load),
        LoadKind::Motor => {
            let hermetic = hermetic::current(ask.machine);
            let drawn = || hermetic.unwrap_or(ask.currents.full_load) * ask.start.ratio.value;
            let listed = of_table(ask.machine).filter(|_| hermetic.is_none()).unwrap_or(Amperes(0.0));
            ask.machine.locked_rotor.unwrap_or_else(drawn).max(listed).max(full_load)
        }
        _ => full_load,
    }
}

/// Locked-rotor current of Table 430.251 for the horsepower of a motor; none outside it.
fn of_table(machine: &Machine) -> Option<Amperes> {
    let record = &mut Record::silent();
    let horsepower = rated::horsepower(machine, record)?;
    locked_rotor::table_locked_rotor(record, machine.phases, horsepower, machine.voltage).map(|row| row.current)
}

/// The circuits of an item that run, as one load.
fn load_of(item: &FeederItem) -> CombinationLoad {
    let number = f64::from(item.running);
    let locked = item.term.locked.max(item.term.current) * number;
    CombinationLoad { horsepower: None, full_load: item.term.current * number, locked_rotor: Some(locked) }
}

/// Poles of the smallest device at the head of a board. One line and its neutral ask for one pole, as the breaker of a circuit has it;
/// devices that can be locked open at the head of a board have two, of which the second stays without use (with 430.103 and 404.2(B),
/// Exception, it may open the neutral together with the line, too).
const FEWEST_POLES: u32 = 2;

impl IncomingRules for Nec {
    /// 430.103, 240.15(B): every ungrounded conductor has a pole. 404.2(B): the grounded one is not opened by itself and runs past the
    /// device.
    fn incoming_poles(&self, lines: u32, neutral: bool, _: Option<&str>) -> IncomingPoles {
        let incoming_neutral = if neutral { IncomingNeutral::Linked } else { IncomingNeutral::None };
        IncomingPoles {
            poles: lines.max(FEWEST_POLES),
            neutral: incoming_neutral,
            assumed: false,
            reference: "404.2(B), 430.103",
        }
    }

    fn incoming_switch(&self, ask: &SwitchAsk<'_>, record: &mut Record) -> SwitchDemand {
        let loads: Vec<CombinationLoad> = ask.items.iter().filter(|item| item.running > 0).map(load_of).collect();
        let full_load = loads.iter().fold(Amperes(0.0), |sum, load| sum + load.full_load);
        let base = SwitchDemand { category: "horsepower-rated", current: ask.wanted, ..SwitchDemand::default() };
        if !ask.items.iter().any(|item| item.term.motor && item.running > 0) {
            return SwitchDemand { category: "", reference: "110.3(B), 215.2(A)(1)", ..base };
        }
        let found = combination(&mut Record::silent(), &loads, ask.phases, ask.voltage);
        let horsepower = match found {
            Some(combination) => SwitchHorsepower::AtLeast(combination.horsepower),
            None => SwitchHorsepower::Unknown(
                "the sums of the currents lie beyond the tables of horsepower; a circuit breaker needs no such rating (430.109(A)(2))",
            ),
        };
        let least = disconnect_minimum(record, full_load);
        SwitchDemand { current: ask.wanted.max(least), horsepower, reference: "430.110(C)(2), 430.24", ..base }
    }

    fn switch_breaking(&self, _: &str, _: Amperes, _: &mut Record) -> Option<Amperes> {
        None
    }

    fn incoming_breaker(&self) -> ProtectionKind {
        ProtectionKind::InverseTime
    }

    fn before_switch(&self) -> &'static str {
        "110.3(B): a switch has no overload protection of its own; common practice, no source"
    }

    fn switch_withstand(&self) -> &'static str {
        "110.10"
    }

    fn incoming_lock(&self) -> &'static str {
        "110.25, 430.102"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Volts;
    use crate::rules::feeders::FeederTerm;

    fn item(amperes: f64, locked: f64, motor: bool) -> FeederItem {
        let term = FeederTerm { current: Amperes(amperes), locked: Amperes(locked), motor, ..FeederTerm::default() };
        FeederItem { term, running: 1, displaces: None }
    }

    fn of(items: &[FeederItem], wanted: f64) -> SwitchDemand {
        let edition = crate::rules::nec::Edition::E2023;
        let ask = SwitchAsk { items, wanted: Amperes(wanted), stalled: None, phases: 3, voltage: Volts(460.0) };
        Nec { edition }.incoming_switch(&ask, &mut Record::silent())
    }

    /// NFPA 70, Tables 430.250 and 430.251(B) at 460 V: 50 hp 65 A and 363 A, 25 hp 34 A and 183 A; a heater of 30 A. Full load
    /// 65 + 34 + 30 = 129 A, of 115 % 148.35 A, next row 125 hp (156 A); locked rotor 363 + 183 + 30 = 576 A, next row 100 hp (725 A; 75 hp
    /// has 543 A). The larger of the two counts.
    #[test]
    fn one_switch_of_a_combination_is_rated_for_the_sums() {
        let items = [item(65.0, 363.0, true), item(34.0, 183.0, true), item(30.0, 30.0, false)];
        let demand = of(&items, 140.0);
        assert!((demand.current.0 - 148.35).abs() < 1e-9, "{demand:?}");
        let SwitchHorsepower::AtLeast(horsepower) = demand.horsepower else { panic!("{demand:?}") };
        assert!((horsepower - 125.0).abs() < 1e-9, "156 A of 125 hp is the first row that is not below 129 A");
        // The current that the conductors carry counts where it is more.
        assert!((of(&items, 160.0).current.0 - 160.0).abs() < 1e-9);
    }

    /// Table 430.250 ends at 500 hp, 590 A at 460 V.
    #[test]
    fn a_combination_beyond_the_tables_has_no_horsepower() {
        let demand = of(&[item(400.0, 2500.0, true), item(300.0, 1900.0, true)], 800.0);
        assert!(matches!(demand.horsepower, SwitchHorsepower::Unknown(_)), "{demand:?}");
        assert!((demand.current.0 - 805.0).abs() < 1e-9);
        let heaters = of(&[item(40.0, 40.0, false)], 50.0);
        assert_eq!((heaters.horsepower, heaters.current), (SwitchHorsepower::None, Amperes(50.0)));
    }
}
