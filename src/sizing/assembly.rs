//! Contactors, overload relays and protective device depend on each other and are chosen together.
//!
//! Order of preference: the kind of protective device that is wanted, the smallest first; then for each role the smallest
//! contactor; then the smallest relay that mounts on it. Where a co-ordination type is wanted, larger contactors are tried until
//! the catalogue holds a tested combination; if none is found, the smallest are kept and no type is claimed. Larger ones stand where the
//! terminals of the smallest do not take the conductors ([`Room`]).

use crate::catalogue::{AccessoryPart, Contactor, OverloadRelay};
use crate::design::{self, Check, Circuit};
use crate::load::{Case, LoadKind, Origin};
use crate::quantity::{Amperes, round_to};
use crate::record::Record;
use crate::rules::units::Units;
use crate::rules::{RatedCurrents, SwitchingDemand};
use crate::sizing::arrangement::{Arrangement, Base, OF_ONE_MOTOR, RelayPlace, Role, Share};
use crate::sizing::judge::sentence;
use crate::sizing::{Pins, Tools};
use crate::supply::SupplyPoint;

mod by_hand;
mod capacitors;
pub mod contactors;
mod coordination;
pub mod devices;
mod life;
pub(super) mod missing;
pub mod protection;
mod rating;
pub mod relays;
mod room;
mod search;

pub use devices::ChosenDevice;
pub use protection::{ChosenProtection, Device};
pub use room::Room;
use search::{Found, Search};

/// A contactor in its role.
#[derive(Clone, Debug)]
pub struct ChosenContactor<'a> {
    /// Role.
    pub role: Role,
    /// Current that it carries.
    pub current: Amperes,
    /// The current that it must switch, and how.
    pub demand: SwitchingDemand,
    /// The contactor; none if the catalogue holds none.
    pub contactor: Option<&'a Contactor>,
    /// Its rating in the category at the voltage.
    pub rated: Amperes,
    /// Link of its poles, where they stand in parallel.
    pub link: Option<&'a AccessoryPart>,
    /// Operations to be expected.
    pub expected: Option<f64>,
    /// Years that these last.
    pub years: Option<f64>,
    /// The check that ruled out the next smaller one; empty if there is none.
    pub governed_by: String,
    /// Checks.
    pub checks: Vec<Check>,
    /// Where none holds: the part that comes nearest, with the check that it fails.
    pub refused: Option<(String, Check)>,
}

/// An overload relay, or an overload release in another device.
#[derive(Clone, Debug)]
pub struct ChosenRelay<'a> {
    /// Its place.
    pub place: RelayPlace,
    /// Share of the rated current.
    pub factor: f64,
    /// Kind.
    pub kind: String,
    /// Class.
    pub class: String,
    /// Range.
    pub range: [f64; 2],
    /// Setting.
    pub setting: Amperes,
    /// Current at which it trips in the end over its setting, where the catalogue states it.
    pub ultimate_trip: Option<f64>,
    /// The relay; none if the release is in another device, or if the catalogue holds none.
    pub relay: Option<&'a OverloadRelay>,
    /// It is a device of its own.
    pub separate: bool,
    /// Checks.
    pub checks: Vec<Check>,
    /// Where the catalogue holds none: the part whose range fits and that comes nearest, with the check that it fails.
    pub refused: Option<(String, Check)>,
}

impl ChosenRelay<'_> {
    /// So many stand in the circuit, each set alike: one to each motor.
    #[must_use]
    pub fn count(&self) -> u32 {
        if let Share::OneOf(motors) = self.place.share { motors } else { 1 }
    }
}

/// The device that comes nearest to what is asked, and the check that it fails.
fn nearest_words(part: &str, check: &Check, tools: &Tools<'_>) -> String {
    format!("the nearest is {part}: {}", sentence(check, Units::of(tools.book.key())))
}

/// Contactors, relays and devices that were chosen together.
#[derive(Clone, Debug)]
pub struct Assembly<'a> {
    /// Method.
    pub arrangement: &'static Arrangement,
    /// Contactors.
    pub contactors: Vec<ChosenContactor<'a>>,
    /// Relays.
    pub relays: Vec<ChosenRelay<'a>>,
    /// Protective device; none if the catalogue holds none.
    pub protection: Option<ChosenProtection<'a>>,
    /// Soft starter, drive, transformer, resistor, reactor.
    pub devices: Vec<ChosenDevice<'a>>,
    /// `type-2`, `type-1` or `not-claimed`.
    pub coordination: &'static str,
    /// Checks of the whole.
    pub checks: Vec<Check>,
    /// Line current at the board while the load runs.
    pub line: Amperes,
    /// Line current while starting.
    pub starting: Amperes,
    /// Rating by which the protective conductor is sized, where it is not that of the device.
    pub grounding: Option<Amperes>,
    /// Its short-circuit rating rests on a default of a part that is unmarked.
    pub default_rating: bool,
    /// Poles through which one line conductor of a single-phase circuit goes in series, in overload protection of three poles.
    pub poles_in_series: Option<u32>,
}

/// Current of a base.
#[must_use]
pub fn base_current(base: Base, case: &Case, currents: &RatedCurrents, devices: &[ChosenDevice<'_>]) -> Amperes {
    match base {
        // A capacitor draws more than its rated current: harmonics and tolerance are in the conductor's basis.
        Base::Full if case.machine.kind == LoadKind::Capacitor => currents.conductor,
        Base::Full => currents.full_load,
        Base::Low => currents.low.unwrap_or(currents.full_load),
        Base::DriveInput => devices::input(case, currents, devices),
        Base::DriveOrBypass => devices::input(case, currents, devices).max(currents.full_load),
        Base::Rotor => case.machine.rotor_current.unwrap_or(currents.full_load),
    }
}

/// A circuit with what is decided before its contactors, relays and protective device are chosen together.
#[derive(Clone, Copy)]
pub struct Decided<'s, 'a> {
    /// The row with nothing missing.
    pub case: &'s Case,
    /// Rated currents.
    pub currents: &'s RatedCurrents,
    /// The board.
    pub point: &'s SupplyPoint,
    /// Tools.
    pub tools: &'s Tools<'a>,
    /// Soft starter, drive, transformer, resistor, reactor.
    pub devices: &'s [ChosenDevice<'a>],
    /// Line current at the board while the load runs.
    pub line: Amperes,
    /// Class of the overload protection.
    pub class: &'static str,
}

impl Decided<'_, '_> {
    fn arrangement(&self) -> &'static Arrangement {
        Arrangement::of(self.case.start.method)
    }
}

/// Chooses the assembly of a circuit; where its conductors are known already, with room for them.
#[must_use]
pub fn choose<'a>(
    case: &Case,
    currents: &RatedCurrents,
    point: &SupplyPoint,
    pins: &Pins,
    room: Option<Room>,
    tools: &Tools<'a>,
    record: &mut Record,
) -> Assembly<'a> {
    let arrangement = Arrangement::of(case.start.method);
    let devices = devices::choose(case, currents, arrangement, tools, record);
    let bypass_built_in = devices.iter().any(|device| device.bypass_built_in);
    let roles = arrangement.roles(&case.start, bypass_built_in, case.control.redundant);
    let places = arrangement.relays(&case.start, bypass_built_in, case.motors);
    let line = devices::line_current(case, currents, arrangement, &devices);
    let starting = arrangement.line_start_current(record, &case.start, currents.of_larger_speed()).max(line);
    let quickest = tools.book.trip_classes().first().copied().unwrap_or("10");
    let undecided = Decided { case, currents, point, tools, devices: &devices, line, class: quickest };
    let decided = Decided { class: relays::class(&undecided, &places, pins), ..undecided };
    let demand = protection::demand(&decided);
    let demands = contactors::demands(&decided, &roles, record);
    let search =
        Search { decided, pins, places: &places, demands: &demands, contactors: contactors::candidates(case, tools), room };
    let mut found = search.run(&demand);
    let checks = say(&decided, &demand, &mut found, record);
    let default_rating = rating::rests_on_a_default(&decided, &found);
    let grounding =
        found.protection.as_ref().and_then(|protection| tools.book.grounding_rating(protection.device.kind(), &demand.ask));
    let poles_in_series = relays::poles_in_series(case, &found.relays, tools, record);
    Assembly {
        arrangement,
        contactors: found.contactors,
        relays: found.relays,
        protection: found.protection,
        devices,
        coordination: found.coordination,
        checks,
        line,
        starting,
        grounding,
        default_rating,
        poles_in_series,
    }
}

/// Keeps the working of what was found, says what a person should know of it, and gives the checks of the whole.
fn say(decided: &Decided<'_, '_>, demand: &protection::Demand<'_>, found: &mut Found<'_>, record: &mut Record) -> Vec<Check> {
    let Decided { case, tools, .. } = *decided;
    if found.protection.is_none() {
        missing::say_protection(decided, demand, record);
    }
    let mut checks: Vec<Check> = coordination::check(decided, found.coordination, record).into_iter().collect();
    if let Some(protection) = &found.protection {
        protection::keep_working(case, demand, protection, tools, record);
    }
    relays::keep_working(decided, &found.relays, record);
    contactors::keep_working(decided, &found.contactors, record);
    life::say(&mut found.contactors, case, tools, record);
    life::say_inching(&found.contactors, case, record);
    missing::say_contactors(case, &found.contactors, tools, record);
    capacitors::say(case, &found.contactors, tools, record);
    contactors::say_rotor_voltage(case, &found.contactors, tools, record);
    missing::say_relays(case, &found.relays, tools, record);
    relays::say_of_several(case, &found.relays, found.protection.as_ref(), tools, record);
    checks.extend(relays::locked_rotor(decided, &found.relays, record));
    checks.extend(rating::check(decided, found, record));
    protection::say(case, demand, found.protection.as_ref(), tools, record);
    relays::often_started(decided, &found.relays, record);
    checks
}

impl Assembly<'_> {
    /// Current for which the overload protection of the final circuit is set; none if nothing protects it. A relay in winding leads is set
    /// to its share of that; each of several motors has a final circuit with a relay of its own.
    #[must_use]
    pub fn overload_of_final_circuit(&self) -> Option<Amperes> {
        let at = |position: &str| self.relays.iter().find(|relay| relay.place.position == position);
        if let Some(of_one) = at(OF_ONE_MOTOR) {
            return Some(of_one.setting);
        }
        at("line").or_else(|| at("delta-leg")).map(|relay| Amperes(relay.setting.0 / relay.factor))
    }

    /// Writes what was chosen into the circuit.
    pub fn describe(&self, case: &Case, circuit: &mut Circuit) {
        circuit.contactors = self
            .contactors
            .iter()
            .map(|chosen| design::Contactor {
                role: chosen.role.name.to_owned(),
                current_a: chosen.current.0,
                category: chosen.demand.category.name().to_owned(),
                rated_a: chosen.rated.0,
                frame: chosen.contactor.map(|contactor| contactor.frame.clone()).unwrap_or_default(),
                part: chosen.contactor.map(|contactor| contactor.part.clone()).unwrap_or_default(),
                poles_in_parallel: chosen.link.and_then(|link| link.poles).unwrap_or(1),
                suppression_built_in: false,
                expected_operations: chosen.expected.map(f64::round),
                expected_years: chosen.years.map(|years| round_to(years, 2)),
                governed_by: chosen.governed_by.clone(),
            })
            .collect();
        circuit.overloads = self
            .relays
            .iter()
            .map(|relay| design::Overload {
                role: relay.place.role.to_owned(),
                position: relay.place.position.to_owned(),
                count: relay.count(),
                winding_factor: round_to(relay.factor, 6),
                kind: relay.kind.clone(),
                trip_class: relay.class.clone(),
                range_a: relay.range,
                setting_a: relay.setting.0,
                part: relay.relay.map(|relay| relay.part.clone()).unwrap_or_default(),
                dial_a: relay.relay.and_then(|relay| relay.transformer_ratio).map(|ratio| round_to(relay.setting.0 / ratio, 4)),
                transformer_part: relay.relay.and_then(|relay| relay.transformer_part.clone()).unwrap_or_default(),
                ultimate_trip_a: relay.ultimate_trip.map(|factor| round_to(relay.setting.0 * factor, 4)),
                poles_in_series: self.poles_in_series.filter(|_| relays::has_three_poles(relay)),
            })
            .collect();
        circuit.overload = circuit.overloads.first().cloned();
        circuit.protection = self.protection.as_ref().map(|protection| protection.describe(self.coordination));
        circuit.starter_devices = self.devices.iter().map(|device| device.describe(&case.start)).collect();
        let checks = self.contactors.iter().flat_map(|chosen| &chosen.checks);
        let of_relays = self.relays.iter().flat_map(|relay| &relay.checks);
        let of_protection = self.protection.iter().flat_map(|protection| &protection.checks);
        let of_devices = self.devices.iter().flat_map(|device| &device.checks);
        circuit.checks.extend(of_protection.chain(checks).chain(of_relays).chain(of_devices).chain(&self.checks).cloned());
    }
}

/// The currents block of a circuit whose line carries so much while the load runs.
#[must_use]
pub fn currents_of(case: &Case, currents: &RatedCurrents, line: Amperes) -> design::Currents {
    let arrangement = Arrangement::of(case.start.method);
    let show = |value: Amperes| round_to(value.0, 4);
    design::Currents {
        full_load_a: show(currents.full_load),
        source: currents.source.to_owned(),
        nameplate_a: currents.nameplate.map(show),
        table_a: currents.table.map(show),
        computed_a: currents.computed.map(show),
        conductor_basis_a: show(currents.conductor),
        protection_basis_a: show(currents.protection),
        overload_basis_a: show(currents.overload),
        line_a: Some(show(line)),
        starting_a: if case.start.starts_on_line(case.machine.kind) {
            show(currents.of_larger_speed() * arrangement.line_start(&case.start))
        } else {
            show(currents.full_load)
        },
        low_speed_a: currents.low.map(show),
    }
}

/// The course of the start; none where nothing starts that is ours, and behind a drive alone, which keeps the line near its rated current.
#[must_use]
pub fn start_of(case: &Case, currents: &RatedCurrents, tools: &Tools<'_>) -> Option<design::StartCourse> {
    let (start, arrangement) = (&case.start, Arrangement::of(case.start.method));
    if !start.starts_on_line(case.machine.kind) {
        return None;
    }
    let show = |value: Amperes| round_to(value.0, 4);
    let line = arrangement.line_start(start);
    let share = match case.motors {
        1 => arrangement.relays.first().map_or(1.0, |place| place.share.factor(start)),
        motors => Share::OneOf(motors).factor(start),
    };
    let relay = arrangement.relays.first().map_or(1.0, |_| arrangement.relay_multiple(start) * share);
    let rated = currents.of_larger_speed();
    let locked = rated * start.ratio.value;
    // A resistor, a transformer or a soft starter in the line has no inrush of that kind; nothing stands in a bypass.
    let whole = arrangement.device.is_none() || start.over_bypass();
    let inrush = whole.then(|| locked * tools.book.inrush_peak_factor() * (1.0 / 2f64.sqrt()));
    Some(design::StartCourse {
        current_a: show(rated * line),
        time_s: round_to(arrangement.step_time(start), 3),
        change_over_a: arrangement.transition_peak.then(|| show(locked)),
        first_peak_a: inrush.map(show),
        locked_rotor_a: show(locked),
        relay_share: round_to(relay / line, 6),
        time_from: match (start.time.origin, start.worked_out) {
            (Origin::Cell, _) => "stated",
            (_, Some(_)) => "integrated",
            (Origin::Computed, None) => "estimated",
            _ => "assumed",
        }
        .to_owned(),
        change_over_time_s: start.worked_out.and_then(|start| start.change_over).map(|time| round_to(time.0, 3)),
        change_over_current_a: start
            .worked_out
            .and_then(|start| start.change_over_current)
            .map(|multiple| show(rated * multiple)),
        change_over_speed_pct: start.worked_out.and_then(|start| start.change_over_speed).map(|speed| round_to(100.0 * speed, 1)),
    })
}

#[cfg(test)]
mod tests;
