//! Contactors: what each role demands, the judgement of one contactor, and the choice of all.
//!
//! The book's limits come first, then those of the catalogue: largest fuse, frequency, life.

use crate::catalogue::{AccessoryPart, Category, Contactor};
use crate::design::Check;
use crate::finding::{Finding, codes};
use crate::load::{Case, EfficiencyClass, LoadKind};
use crate::quantity::{Amperes, Seconds, Volts, round_to};
use crate::record::Record;
use crate::rules::physics::contactors::paralleled_rating;
use crate::rules::physics::devices::device_figure;
use crate::rules::physics::starting;
use crate::rules::{ContactorDemand, ContactorOffer, HorsepowerUse};
use crate::sizing::arrangement::{Base, Role, Through};
use crate::sizing::assembly::{ChosenContactor, Decided, base_current, life};
use crate::sizing::judge::{Verdict, at_most, of_limit};
use crate::sizing::prefer::by_price;
use crate::sizing::{Pins, Tools};

/// The demand of a role.
#[derive(Clone, Debug)]
pub struct Demand {
    /// Role.
    pub role: Role,
    /// Its demand on the contactor.
    pub asks: ContactorDemand,
}

/// Demands of all roles.
#[must_use]
pub fn demands(decided: &Decided<'_, '_>, roles: &[Role], record: &mut Record) -> Vec<Demand> {
    let Decided { case, currents, point, tools, devices, class, .. } = *decided;
    let arrangement = decided.arrangement();
    let mut demands: Vec<Demand> = Vec::new();
    for role in roles {
        let base = base_current(role.base, case, currents, devices);
        // Two roles with one share have one working.
        let same = demands.iter().position(|demand| demand.role.base == role.base && demand.role.share == role.share);
        let mut scratch = Record::silent();
        let working = if same.is_some() { &mut scratch } else { &mut *record };
        let current = role.share.current(working, base, &case.start);
        let starting = match role.through {
            // The motor starts over a bypass, whatever the drive beside it draws.
            Through::Line if role.base == Base::DriveOrBypass => currents.full_load * arrangement.line_start(&case.start),
            Through::Line => base * arrangement.line_start(&case.start),
            Through::StarPoint => {
                let tap = case.start.tap.value;
                base * ((tap - tap * tap) * case.start.ratio.value)
            }
            Through::Nothing => Amperes(0.0),
        };
        // One duty has one derating, whatever the role.
        let known = demands.iter().any(|demand| demand.role.duty == role.duty);
        let working = if known { &mut scratch } else { &mut *record };
        let share = role.share.factor(&case.start);
        demands.push(Demand {
            role: *role,
            asks: ContactorDemand {
                current,
                switching: tools.book.switching(role.duty, current, share, &case.machine, &case.start, working),
                starting,
                time: Seconds(arrangement.heating_time(&case.start)),
                class_factor: if role.until_trip { tools.book.class_factor(class) } else { 1.0 },
                fault_max: point.fault_max,
                reduced_life: reduced_life_suits(case),
                ambient: case.wishes.device_ambient,
                altitude: case.wishes.altitude,
            },
        });
    }
    demands
}

/// The ratings of a contactor at a voltage, with its poles linked in parallel or not.
fn offer(contactor: &Contactor, link: Option<&AccessoryPart>, case: &Case, volts: f64) -> ContactorOffer {
    let rated = |category: Category| contactor.rating(category, volts).map(Amperes);
    // Linked poles carry more together; contactors that stand side by side warm each other.
    let linked = link.and_then(|accessory| accessory.factor).unwrap_or(1.0);
    let beside = contactor.close_mounting_pct.map_or(1.0, |pct| pct / 100.0);
    ContactorOffer {
        ac1: rated(Category::Ac1).map(|rated| rated * (linked * beside)),
        ac7a: rated(Category::Ac7a).map(|rated| rated * (linked * beside)),
        ac6b: rated(Category::Ac6b),
        ac7b: rated(Category::Ac7b),
        ac8b: rated(Category::Ac8b),
        ac3: rated(Category::Ac3),
        ac3e: rated(Category::Ac3e),
        ac4: rated(Category::Ac4),
        ac3_base: Amperes(contactor.load_rating_a()),
        suits_high_efficiency: contactor.suits_ie3,
        reduced_life: contactor.reduced_life,
        horsepower: [HorsepowerUse::FullVoltage, HorsepowerUse::Jogging, HorsepowerUse::WyeDelta, HorsepowerUse::PartWinding]
            .map(|usage| contactor.horsepower(usage, case.machine.phases, case.machine.voltage.0)),
        continuous: contactor.continuous_a.map(Amperes),
        nema: contactor.is_nema(),
    }
}

/// Judges a contactor, with its poles linked or not, against the demand of a role.
#[must_use]
pub fn judge(
    demand: &Demand,
    contactor: &Contactor,
    link: Option<&AccessoryPart>,
    fuse: Option<Amperes>,
    case: &Case,
    tools: &Tools<'_>,
) -> Verdict {
    let asks = &demand.asks;
    let subject = demand.role.name;
    let offered = offer(contactor, link, case, judged_voltage(case, tools));
    let mut verdict = Verdict::default();
    verdict.checks.extend(tools.book.contactor_limits(asks, &offered).iter().map(|limit| of_limit(limit).about(subject)));
    if !verdict.holds() {
        return verdict;
    }
    let mut add = |check: Check| verdict.checks.push(check.about(subject));
    if let Some(rotor) = rotor_voltage(demand, case) {
        add(at_most("rated-voltage", rotor.0, rotor_voltage_most(contactor, case, tools), "V", ROTOR_VOLTAGE));
    }
    if let Some(fuse) = fuse {
        add(at_most("protection-maximum", fuse.0, contactor.max_fuse_type_1_a, "A", "contactor: largest fuse"));
    }
    let category = asks.switching.category;
    if let Some(per_hour) = case.start.switched_per_hour() {
        let limit = match category {
            category if category.is_resistive() => contactor.per_hour_ac1,
            Category::Ac4 => contactor.per_hour_ac4,
            _ => contactor.per_hour_ac3,
        };
        add(at_most("contactor-frequency", per_hour, limit, "1/h", "catalogue"));
    }
    if let Some(check) = life::check(category, asks.current, contactor, case, tools) {
        add(check);
    }
    verdict
}

const ROTOR_VOLTAGE: &str = "common practice, no source";

/// Voltage between slip rings at standstill, which a contactor in the rotor circuit sees while the motor starts.
fn rotor_voltage(demand: &Demand, case: &Case) -> Option<Volts> {
    case.machine.rotor_voltage.filter(|_| demand.role.base == Base::Rotor)
}

/// Rated voltage of a contactor at the altitude.
fn rated_voltage(contactor: &Contactor, case: &Case, tools: &Tools<'_>) -> f64 {
    contactor.max_voltage_v * tools.book.voltage_factor(case.wishes.altitude)
}

/// Highest rotor voltage at standstill for which a contactor is taken: more than its rated voltage only where it stands there for the
/// start alone, and not while the motor is plugged or jogged.
fn rotor_voltage_most(contactor: &Contactor, case: &Case, tools: &Tools<'_>) -> f64 {
    let brakes = matches!(case.start.duty, 5 | 7) || case.start.inching > 0.0;
    let multiple = if brakes { 1.0 } else { starting::practice("rotor-voltage-multiple").unwrap_or(1.0) };
    rated_voltage(contactor, case, tools) * multiple
}

/// Says where rotor contactors see more than their rated voltage.
pub fn say_rotor_voltage(case: &Case, contactors: &[ChosenContactor<'_>], tools: &Tools<'_>, record: &mut Record) {
    let Some(rotor) = case.machine.rotor_voltage else { return };
    let in_rotor = contactors.iter().filter(|chosen| chosen.role.base == Base::Rotor).filter_map(|chosen| chosen.contactor);
    let Some(rated) = in_rotor.map(|contactor| rated_voltage(contactor, case, tools)).reduce(f64::min) else { return };
    if rotor.fits(Volts(rated)) {
        return;
    }
    record.find(
        Finding::new(
            &codes::C330_ROTOR_VOLTAGE,
            format!("{} V between the slip rings at standstill, on contactors rated for {} V", rotor.0, round_to(rated, 0)),
        )
        .at(case.place.clone())
        .why("they are taken beyond their rated voltage because it is there while the motor starts, and never while it is braked")
        .cure("have the contactors' maker confirm the rotor voltage, or choose contactors for it")
        .reference("common practice, no source"),
    );
}

/// Voltage at which ratings are read: higher at altitude, where they hold for less.
pub(super) fn judged_voltage(case: &Case, tools: &Tools<'_>) -> f64 {
    case.machine.voltage.0 / tools.book.voltage_factor(case.wishes.altitude)
}

/// Reduced-life ratings: only where the project allows them, below class IE3, without inching, at few starts an hour.
fn reduced_life_suits(case: &Case) -> bool {
    case.wishes.reduced_life
        && match case.machine.class {
            Some(class) => class < EfficiencyClass::Ie3,
            // Of an unknown class the starting current tells whether it may be of a high one, stated or assumed.
            None => case.start.ratio.value <= device_figure("reduced-life-ratio-most"),
        }
        && case.start.inching == 0.0
        && case.start.per_hour.is_none_or(|per_hour| per_hour <= device_figure("reduced-life-starts-most"))
}

/// Keeps the working of linked poles, and of the start through contactors, once for those that carry the same.
pub fn keep_working(decided: &Decided<'_, '_>, contactors: &[ChosenContactor<'_>], record: &mut Record) {
    let Decided { case, tools, .. } = *decided;
    let volts = judged_voltage(case, tools);
    let roles: Vec<Role> = contactors.iter().map(|chosen| chosen.role).collect();
    let mut kept: Vec<(f64, &str)> = Vec::new();
    for (chosen, demand) in contactors.iter().zip(demands(decided, &roles, &mut Record::silent())) {
        let Some(contactor) = chosen.contactor else { continue };
        let alone = offer(contactor, None, case, volts);
        if let Some(factor) = chosen.link.and_then(|link| link.factor) {
            let _ = paralleled_rating(record, alone.ac1.unwrap_or(Amperes(0.0)), factor);
        }
        let start = (demand.asks.starting.0, contactor.part.as_str());
        if !kept.contains(&start) {
            kept.push(start);
            tools.book.keep_start_through(&demand.asks, &alone, record);
        }
    }
}

/// Chooses a contactor for every role from those offered, the largest current first; interlocked partners share a frame.
#[must_use]
pub fn choose<'a>(
    decided: &Decided<'_, 'a>,
    demands: &[Demand],
    candidates: &[&'a Contactor],
    pins: &Pins,
    fuse: Option<Amperes>,
    larger: usize,
) -> Vec<ChosenContactor<'a>> {
    let (case, arrangement) = (decided.case, decided.arrangement());
    let mut order: Vec<usize> = (0..demands.len()).collect();
    order.sort_by(|a, b| demands[*b].asks.current.0.total_cmp(&demands[*a].asks.current.0));
    let paired = |role: &str| arrangement.interlocked(&case.start).iter().any(|(a, b)| *a == role || *b == role);
    let mut frames: Vec<(&str, &str)> = Vec::new();
    let mut chosen: Vec<Option<ChosenContactor<'a>>> = vec![None; demands.len()];
    for index in order {
        let demand = &demands[index];
        let name = demand.role.name;
        // Low stands between high and its star point: all that is interlocked in a starter shares one frame.
        let partner = frames.iter().find(|(role, _)| paired(name) && paired(role)).map(|(_, frame)| *frame);
        let pinned = pins.frame.as_deref().filter(|_| arrangement.commanded(&case.start).contains(&name));
        let wanted = pins.contactors.get(name).map(String::as_str);
        // "So many larger" is counted over what the frame of a pin leaves, not within the partner's frame: two directions with one
        // current get one contactor.
        let among = Among { frame: partner.or(pinned), counted: pinned, part: wanted };
        let chosen_contactor = for_role(decided, demand, candidates, &among, fuse, larger);
        if let Some(contactor) = chosen_contactor.contactor {
            frames.push((name, contactor.frame.as_str()));
        }
        chosen[index] = Some(chosen_contactor);
    }
    chosen.into_iter().flatten().collect()
}

/// Which contactors a role may have.
struct Among<'p> {
    /// Frame that it must have.
    frame: Option<&'p str>,
    /// Frame of those that count as smaller ones; all frames where there is none.
    counted: Option<&'p str>,
    /// Part that it must be.
    part: Option<&'p str>,
}

/// The contactor of a role: the first that holds, so many ratings above the smallest. Where all wear too soon, those that hold everything
/// else are counted in their place, for a larger one is worn too soon as well: the failed check is said.
fn for_role<'a>(
    decided: &Decided<'_, 'a>,
    demand: &Demand,
    candidates: &[&'a Contactor],
    among: &Among<'_>,
    fuse: Option<Amperes>,
    larger: usize,
) -> ChosenContactor<'a> {
    let mut governed_by = String::new();
    let mut skip = larger;
    let mut worn: Vec<(Offered<'a>, Verdict, String)> = Vec::new();
    let mut found: Option<(Offered<'a>, Verdict)> = None;
    let mut refused: Option<(String, Check)> = None;
    for contactor in candidates.iter().copied().filter(|contactor| among.counted.is_none_or(|frame| contactor.frame == frame)) {
        // Contactors of other frames are only counted.
        if skip == 0 && among.frame.is_some_and(|frame| contactor.frame != frame) {
            continue;
        }
        if among.part.is_some_and(|wanted| contactor.part != wanted) {
            "fewest-kinds".clone_into(&mut governed_by);
            continue;
        }
        let Some((offered, verdict)) = best_offer(decided, demand, contactor, fuse) else {
            "contactor-duty".clone_into(&mut governed_by);
            continue;
        };
        match verdict.failure() {
            None if skip == 0 => {
                found = Some((offered, verdict));
                break;
            }
            None => {
                skip -= 1;
                "coordination".clone_into(&mut governed_by);
            }
            Some(check) => {
                // The smallest that fails on the frequency of starts alone comes nearest.
                if refused.is_none() && check.name == "contactor-frequency" {
                    refused = Some((contactor.part.clone(), check.clone()));
                }
                let name = check.name.clone();
                let only_worn = verdict.checks.iter().all(|check| check.passed != Some(false) || check.name == "contactor-life");
                if only_worn && worn.len() <= larger {
                    worn.push((offered, verdict, governed_by));
                }
                governed_by = name;
            }
        }
    }
    // A smaller one holds everything else: its wear is why this one stands here, whatever failed in between.
    if larger == 0 && !worn.is_empty() && found.is_some() {
        "contactor-life".clone_into(&mut governed_by);
    }
    let none_lasts = found.is_none() && skip == larger;
    let chosen = match worn.into_iter().nth(larger).filter(|_| none_lasts) {
        Some((offered, verdict, before)) => {
            governed_by = before;
            Some((offered, verdict))
        }
        None => found,
    };
    // Whatever failed in between, it is larger for the sake of the devices beside it.
    if larger > 0 && chosen.is_some() && governed_by != "fewest-kinds" {
        "coordination".clone_into(&mut governed_by);
    }
    let refused = refused.filter(|_| chosen.is_none() && larger == 0);
    ChosenContactor {
        role: demand.role,
        current: demand.asks.current,
        demand: demand.asks.switching.clone(),
        contactor: chosen.as_ref().map(|(offered, _)| offered.contactor),
        link: chosen.as_ref().and_then(|(offered, _)| offered.link),
        rated: chosen.as_ref().map_or(Amperes(0.0), |(offered, _)| rating(decided, demand, offered)),
        expected: None,
        years: None,
        governed_by,
        checks: match chosen {
            Some((_, verdict)) => verdict.checks,
            None => refused.iter().map(|(_, check)| check.clone()).collect(),
        },
        refused,
    }
}

/// A contactor as it holds, by itself or with the links of its frame; else as it fails at last. None where its rating is too small.
fn best_offer<'a>(
    decided: &Decided<'_, 'a>,
    demand: &Demand,
    contactor: &'a Contactor,
    fuse: Option<Amperes>,
) -> Option<(Offered<'a>, Verdict)> {
    let Decided { case, tools, .. } = *decided;
    offers(contactor, demand, tools)
        // The first check of the judgement, before its words are made: most candidates end here.
        .filter(|offered| demand.asks.switching.current.fits(rating(decided, demand, offered)))
        .map(|offered| (offered, judge(demand, offered.contactor, offered.link, fuse, case, tools)))
        .reduce(|best, next| if best.1.holds() { best } else { next })
}

/// Rating of an offered contactor in the category that is asked.
fn rating(decided: &Decided<'_, '_>, demand: &Demand, offered: &Offered<'_>) -> Amperes {
    let Decided { case, tools, .. } = *decided;
    let offer = offer(offered.contactor, offered.link, case, judged_voltage(case, tools));
    tools.book.contactor_rating(&demand.asks, &offer)
}

/// A contactor as it may stand in the circuit.
#[derive(Clone, Copy)]
struct Offered<'a> {
    contactor: &'a Contactor,
    /// Link of its poles.
    link: Option<&'a AccessoryPart>,
}

/// A contactor by itself, then with the links of its frame, the fewest poles first, where all poles may stand in one conductor.
fn offers<'a>(contactor: &'a Contactor, demand: &Demand, tools: &Tools<'a>) -> impl Iterator<Item = Offered<'a>> {
    let mut links: Vec<&AccessoryPart> = if demand.asks.switching.one_conductor {
        tools.catalogue.accessories_for("paralleling-link", &contactor.frame).collect()
    } else {
        Vec::new()
    };
    links.sort_by_key(|accessory| accessory.poles);
    let linked = links.into_iter().map(move |link| Offered { contactor, link: Some(link) });
    std::iter::once(Offered { contactor, link: None }).chain(linked)
}

/// Contactors of the family that the project uses, in the order of preference.
#[must_use]
pub fn candidates<'a>(case: &Case, tools: &Tools<'a>) -> Vec<&'a Contactor> {
    let wishes = &case.wishes;
    let nema = wishes.controller_family == "nema";
    let of_family = |contactor: &&Contactor| contactor.nema_size.is_some() == nema;
    let smallest = wishes.minimum_nema_size.as_deref().and_then(|size| {
        let contactor = tools.catalogue.contactors.iter().find(|contactor| contactor.nema_size.as_deref() == Some(size))?;
        contactor.continuous_a
    });
    // Only such a contactor damps the inrush from capacitors that are energised already; it is for nothing else.
    let capacitor = case.machine.kind == LoadKind::Capacitor;
    let suits_load = |contactor: &&Contactor| capacitor || !contactor.is_for_capacitors();
    let large_enough = |contactor: &&Contactor| {
        smallest.is_none_or(|least| contactor.continuous_a.is_some_and(|continuous_a| least <= continuous_a))
    };
    let mut all: Vec<&Contactor> =
        tools.catalogue.contactors.iter().filter(of_family).filter(suits_load).filter(large_enough).collect();
    let voltage = case.control.voltage;
    let coil = tools.catalogue.coils.iter().find(|coil| coil.dc == voltage.dc && (coil.volts - voltage.volts).abs() < 0.5);
    by_price(&mut all, |contactor| coil.map_or_else(|| contactor.part.clone(), |coil| contactor.part_with(coil)), case, tools);
    if capacitor {
        all.sort_by_key(|contactor| !contactor.is_for_capacitors());
    }
    all
}
