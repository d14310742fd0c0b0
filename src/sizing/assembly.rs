//! Contactors, overload relays and protective device depend on each other and are chosen together.
//!
//! Order of preference: the kind of protective device that is wanted, the smallest first; then for each role the smallest
//! contactor; then the smallest relay that mounts on it. Where a co-ordination type is wanted, larger contactors are tried until
//! the catalogue holds a tested combination; if none is found, the smallest are kept and no type is claimed.

use crate::catalogue::{AccessoryPart, Contactor, OverloadRelay};
use crate::design::{self, Check, Circuit};
use crate::finding::{Finding, codes};
use crate::load::{Case, LoadKind, Method, Origin};
use crate::quantity::{Amperes, round_to};
use crate::record::Record;
use crate::rules::units::Units;
use crate::rules::{RatedCurrents, SwitchingDemand, Topic};
use crate::sizing::arrangement::{Arrangement, Base, OF_ONE_MOTOR, RelayPlace, Role, Share};
use crate::sizing::judge::{not_checked, sentence};
use crate::sizing::{Pins, Tools};
use crate::supply::SupplyPoint;

mod by_hand;
mod capacitors;
pub mod contactors;
pub mod devices;
mod life;
pub mod protection;
mod rating;
pub mod relays;

pub use devices::ChosenDevice;
pub use protection::{ChosenProtection, Device};

/// A contactor in its role.
#[derive(Clone, Debug)]
pub struct ChosenContactor<'a> {
    /// Role.
    pub role: Role,
    /// Current that it carries.
    pub current: Amperes,
    /// What it must switch.
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
    /// What ruled out the next smaller one; empty if there is none.
    pub governed_by: String,
    /// Checks.
    pub checks: Vec<Check>,
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

/// What was chosen together.
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

/// Chooses the assembly of a circuit.
#[must_use]
pub fn choose<'a>(
    case: &Case,
    currents: &RatedCurrents,
    point: &SupplyPoint,
    pins: &Pins,
    tools: &Tools<'a>,
    record: &mut Record,
) -> Assembly<'a> {
    let arrangement = Arrangement::of(case.start.method);
    let devices = devices::choose(case, currents, arrangement, tools, record);
    let bypass_built_in = devices.iter().any(|device| device.bypass_built_in);
    let roles = arrangement.roles(&case.start, bypass_built_in, case.control.redundant);
    let places = arrangement.relays(&case.start, bypass_built_in, case.motors);
    let line = devices::line_current(case, currents, arrangement, &devices);
    let starting = arrangement.line_start_current(record, &case.start, currents.full_load).max(line);
    let class = relays::class(case, arrangement, &places, tools, record);
    let demand = protection::demand(case, currents, arrangement, &devices, line, class, point, tools.book);
    let mut candidates = protection::candidates(case, &demand, tools);
    if let Some(wanted) = &pins.protection {
        candidates.retain(|protection| protection.device.part() == wanted);
    }
    let contactor_demands = contactors::demands(case, currents, &devices, &roles, class, point, tools, record);

    let search = Search {
        contactors: contactors::candidates(case, tools),
        case,
        currents,
        point,
        pins,
        tools,
        arrangement,
        devices: &devices,
        places: &places,
        demands: &contactor_demands,

        class,
    };
    let mut chosen = search.run(&candidates);
    let mut checks = Vec::new();
    if chosen.protection.is_none() {
        record.find(
            Finding::new(
                &codes::C201_NO_PROTECTION,
                format!(
                    "the catalogue holds no protective device for {} A at {} V that rides through the start",
                    round_to(line.0, 2),
                    case.machine.voltage.0
                ),
            )
            .at(case.place.clone())
            .cure(if case.start.over_bypass() {
                "add a device to the catalogue, choose another protection_kind, or give drive and bypass a device each: the direct start over the bypass flows through a common one, which the drive's maker limits"
            } else {
                "add a device to the catalogue, or choose another protection_kind"
            }),
        );
    }
    if let Some(wanted) = case.wishes.coordination
        && chosen.coordination != wanted.word()
        && !(chosen.coordination == "type-2" && wanted.word() == "type-1")
        && !arrangement.method.supply_only()
        && case.machine.kind == LoadKind::Motor
    {
        checks.push(not_checked(
            "coordination",
            "",
            &format!("no tested combination in the catalogue gives {} with these devices", wanted.word()),
            tools.book.clause(Topic::Coordination),
        ));
        record.find(
            Finding::new(
                &codes::C202_NO_COORDINATION,
                match chosen.coordination {
                    "not-claimed" => format!(
                        "{} is wanted, but no tested combination ties these devices together; no type is claimed",
                        wanted.word()
                    ),
                    claimed => format!("{} is wanted, but the tested combination of these devices gives {claimed} alone", wanted.word()),
                },
            )
            .at(case.place.clone())
            .cure(if devices.iter().any(|device| device.kind == "soft-starter") && wanted.word() == "type-2" {
                "ask the maker for a tested combination at the fault current of the board; thyristors stay whole behind semiconductor fuses alone"
            } else {
                "ask the maker for a tested combination at the fault current of the board"
            })
            .reference(tools.book.clause(Topic::Coordination)),
        );
    } else if chosen.coordination != "not-claimed" && point.fault_max.is_none() {
        let because =
            "the combination is tested up to its conditional current; the largest fault current of the board is unknown";
        checks.push(not_checked("coordination", "", because, tools.book.clause(Topic::Coordination)));
    }
    if let Some(protection) = &chosen.protection {
        protection::keep_working(case, &demand, protection, tools, record);
    }
    relays::keep_working(case, currents, &chosen.relays, tools, record);
    contactors::keep_working(&chosen.contactors, tools, case, record);
    life::say(&mut chosen.contactors, case, tools, record);
    for contactor in &chosen.contactors {
        if contactor.contactor.is_none() {
            record.find(
                Finding::new(
                    &codes::C203_NO_CONTACTOR,
                    format!(
                        "the catalogue holds no contactor for {} A in {} at {} V ({})",
                        round_to(contactor.demand.current.0, 2),
                        contactor.demand.category.name(),
                        case.machine.voltage.0,
                        contactor.role.name
                    ),
                )
                .at(case.place.clone())
                .cure("add one to the catalogue, or start the motor another way"),
            );
        }
    }
    capacitors::say(case, &chosen.contactors, tools, record);
    contactors::say_rotor_voltage(case, &chosen.contactors, tools, record);
    for relay in &chosen.relays {
        if relay.separate && relay.relay.is_none() {
            record.find(
                Finding::new(
                    &codes::C204_NO_RELAY,
                    format!(
                        "the catalogue holds no {} for a setting of {} A in class {}",
                        if relay.place.role.is_empty() { "hand-operated starter" } else { "overload relay" },
                        round_to(relay.setting.0, 2),
                        relay.class
                    ),
                )
                .at(case.place.clone())
                .why(relay.refused.as_ref().map(|(part, check)| nearest_words(part, check, tools)).unwrap_or_default())
                .cure("add one to the catalogue"),
            );
        }
    }
    relays::say_of_several(case, &chosen.relays, chosen.protection.as_ref(), tools, record);
    checks.extend(relays::locked_rotor(case, &chosen.relays, tools, record));
    checks.extend(rating::check(case, &chosen, &devices, point, tools, record));
    let default_rating = rating::rests_on_a_default(case, &chosen, &devices, point, tools);
    let grounding =
        chosen.protection.as_ref().and_then(|protection| tools.book.grounding_rating(protection.device.kind(), &demand.ask));
    protection::say(case, &demand, chosen.protection.as_ref(), tools, record);
    relays::often_started(case, &chosen.relays, tools, record);
    let poles_in_series = relays::poles_in_series(case, &chosen.relays, tools, record);
    Assembly {
        arrangement,
        contactors: chosen.contactors,
        relays: chosen.relays,
        protection: chosen.protection,
        devices,
        coordination: chosen.coordination,
        checks,
        line,
        starting,
        grounding,
        default_rating,
        poles_in_series,
    }
}

struct Search<'s, 'a> {
    case: &'s Case,
    currents: &'s RatedCurrents,
    point: &'s SupplyPoint,
    pins: &'s Pins,
    tools: &'s Tools<'a>,
    arrangement: &'static Arrangement,
    devices: &'s [ChosenDevice<'a>],
    places: &'s [RelayPlace],
    demands: &'s [contactors::Demand],
    class: &'static str,
    /// Contactors in the order of preference.
    contactors: Vec<&'a Contactor>,
}

struct Found<'a> {
    contactors: Vec<ChosenContactor<'a>>,
    relays: Vec<ChosenRelay<'a>>,
    protection: Option<ChosenProtection<'a>>,
    coordination: &'static str,
}

/// Contactors larger than the smallest that are tried for a tested combination.
const LARGER_TRIED: usize = 8;

impl<'a> Search<'_, 'a> {
    fn run(&self, candidates: &[ChosenProtection<'a>]) -> Found<'a> {
        let first = self.with(candidates.first(), 0, None);
        if self.satisfies(&first) {
            return first;
        }
        let mut from = 0;
        while from < candidates.len() {
            // Devices of one rating stand together: another of them comes before larger contactors, and these before another rating.
            let rating = candidates[from].rating;
            let same = candidates[from..].iter().take_while(|protection| protection.rating == rating).count();
            for larger in 0..LARGER_TRIED {
                for protection in &candidates[from..from + same] {
                    let found = self.with(Some(protection), larger, None);
                    if self.satisfies(&found) {
                        return found;
                    }
                    // A relay that stands the fault current is nearer at hand than a larger contactor.
                    let weak = !self.is_rated(&found);
                    if let Some(found) = weak.then(|| self.with_strong_relays(protection, larger)).flatten() {
                        return found;
                    }
                }
            }
            from += same;
        }
        first
    }

    /// The wanted co-ordination type is claimed, relays trip within the service limit of their contactors, and the assembly stands the
    /// fault current of the board.
    fn satisfies(&self, found: &Found<'a>) -> bool {
        // Of several motors no larger contactor gives a type.
        let wanted = self.case.wishes.coordination.filter(|_| self.case.motors == 1);
        let coordinated = wanted.is_none_or(|wanted| {
            found.coordination == wanted.word() || (found.coordination == "type-2" && wanted.word() == "type-1")
        });
        let whole = found.contactors.iter().all(|contactor| contactor.contactor.is_some());
        let within = found
            .relays
            .iter()
            .flat_map(|relay| &relay.checks)
            .all(|check| check.name != "service-limit" || check.passed == Some(true));
        let told = |check: &&Check| relays::told_of_several(self.case, check);
        let within =
            within && found.relays.iter().flat_map(|relay| &relay.checks).filter(told).all(|check| check.passed == Some(true));
        coordinated && whole && within && self.is_rated(found)
    }

    fn is_rated(&self, found: &Found<'a>) -> bool {
        let check = rating::check(self.case, found, self.devices, self.point, self.tools, &mut Record::silent());
        check.is_none_or(|check| check.passed != Some(false))
    }

    /// The same with relays whose own short-circuit rating is enough, where the book rates assemblies.
    fn with_strong_relays(&self, protection: &ChosenProtection<'a>, larger: usize) -> Option<Found<'a>> {
        let fault_ka = self.point.fault_max?.0 / 1000.0;
        let found = self.with(Some(protection), larger, Some(fault_ka));
        let rated = found.relays.iter().all(|relay| !relay.separate || relay.relay.is_some());
        (rated && self.satisfies(&found)).then_some(found)
    }

    /// Contactors and relays for a protective device; each contactor by so many ratings larger than the smallest, each relay with
    /// so many kA of its own at least.
    fn with(&self, protection: Option<&ChosenProtection<'a>>, larger: usize, least_ka: Option<f64>) -> Found<'a> {
        let fuse =
            protection.filter(|protection| matches!(protection.device, Device::Fuse(_))).map(|protection| protection.rating);
        let contactors =
            contactors::choose(self.case, self.arrangement, self.demands, &self.contactors, self.pins, fuse, self.tools, larger);
        let relays = relays::choose(
            self.case,
            self.currents,
            self.devices,
            self.places,
            &contactors,
            protection,
            self.class,
            least_ka,
            self.pins,
            self.tools,
        );
        let coordination = self.coordination(protection, &contactors, &relays);
        Found { contactors, relays, protection: protection.cloned(), coordination }
    }

    /// The best type for which every contactor has a tested combination.
    fn coordination(
        &self,
        protection: Option<&ChosenProtection<'a>>,
        contactors: &[ChosenContactor<'a>],
        relays: &[ChosenRelay<'a>],
    ) -> &'static str {
        let (Some(protection), false) = (protection, contactors.is_empty()) else { return "not-claimed" };
        // Combinations are tested with one relay behind the contactor and one motor behind that.
        if self.case.motors > 1 {
            return "not-claimed";
        }
        // A soft starter or drive is part of what the short circuit flows through; its combination is its maker's to test.
        if self.devices.iter().any(ChosenDevice::is_electronic) {
            return "not-claimed";
        }
        if relays.iter().any(|relay| relay.separate && relay.relay.is_none()) {
            return "not-claimed";
        }
        let mut worst = "type-2";
        for chosen in contactors {
            let Some(contactor) = chosen.contactor else { return "not-claimed" };
            let chosen_relay = relays.iter().find(|relay| relay.separate && relay.place.role == chosen.role.name);
            let any = relays.iter().find(|relay| relay.separate);
            let overload = chosen_relay.or(any).and_then(|relay| relay.relay).map_or("", |relay| relay.part.as_str());
            let volts = self.point.circuit_voltage(&self.case.machine).0;
            let lines = || {
                self.tools
                    .catalogue
                    .combinations_of(protection.device.part(), &contactor.part, overload, volts)
                    .filter(|line| self.point.fault_max.is_none_or(|fault| fault.0 <= line.conditional_ka * 1000.0))
            };
            if lines().any(|line| line.coordination == "type-2") {
                continue;
            }
            if lines().any(|line| line.coordination == "type-1") {
                worst = "type-1";
                continue;
            }
            return "not-claimed";
        }
        worst
    }
}

impl Assembly<'_> {
    /// Current for which the overload protection of the final circuit is set; none if nothing protects it. A relay in winding leads is set to
    /// its share of that; of several motors each has a final circuit with a relay of its own.
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
                ultimate_trip_a: relay
                    .relay
                    .and_then(|relay| relay.ultimate_trip_factor)
                    .map(|factor| round_to(relay.setting.0 * factor, 4)),
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

/// The currents block of a circuit.
#[must_use]
pub fn currents_of(case: &Case, currents: &RatedCurrents) -> design::Currents {
    let arrangement = Arrangement::of(case.start.method);
    let show = |value: Amperes| round_to(value.0, 4);
    let starts = case.machine.kind == LoadKind::Motor && !case.start.method.supply_only();
    design::Currents {
        full_load_a: show(currents.full_load),
        source: currents.source.to_owned(),
        nameplate_a: currents.nameplate.map(show),
        table_a: currents.table.map(show),
        computed_a: currents.computed.map(show),
        conductor_basis_a: show(currents.conductor),
        protection_basis_a: show(currents.protection),
        overload_basis_a: show(currents.overload),
        starting_a: if starts && case.start.method != Method::Drive {
            show(currents.full_load * arrangement.line_start(&case.start))
        } else {
            show(currents.full_load)
        },
        low_speed_a: currents.low.map(show),
    }
}

/// The course of the start; none where nothing starts that is ours, and for a drive, which keeps the line near its rated current.
#[must_use]
pub fn start_of(case: &Case, currents: &RatedCurrents, tools: &Tools<'_>) -> Option<design::StartCourse> {
    let (start, arrangement) = (&case.start, Arrangement::of(case.start.method));
    let starts = case.machine.kind == LoadKind::Motor && !start.method.supply_only() && start.method != Method::Drive;
    if !starts {
        return None;
    }
    let show = |value: Amperes| round_to(value.0, 4);
    let line = arrangement.line_start(start);
    let share = match case.motors {
        1 => arrangement.relays.first().map_or(1.0, |place| place.share.factor(start)),
        motors => Share::OneOf(motors).factor(start),
    };
    let relay = arrangement.relays.first().map_or(1.0, |_| arrangement.relay_multiple(start) * share);
    let locked = currents.full_load * start.ratio.value;
    // A resistor, a transformer or a soft starter in the line has no inrush of that kind.
    let inrush = arrangement.device.is_none().then(|| locked * tools.book.inrush_peak_factor() * (1.0 / 2f64.sqrt()));
    Some(design::StartCourse {
        current_a: show(currents.full_load * line),
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
            .map(|multiple| show(currents.full_load * multiple)),
        change_over_speed_pct: start.worked_out.and_then(|start| start.change_over_speed).map(|speed| round_to(100.0 * speed, 1)),
    })
}

#[cfg(test)]
mod tests;
