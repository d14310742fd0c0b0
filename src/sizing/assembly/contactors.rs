//! Contactors: what each role demands, the judgement of one contactor, and the choice of all.
//!
//! The book's limits come first, then those of the catalogue: largest fuse, frequency, life.

use crate::catalogue::{Category, Contactor};
use crate::design::Check;
use crate::load::{Case, EfficiencyClass};
use crate::quantity::{Amperes, Seconds, round_to};
use crate::record::Record;
use crate::rules::{ContactorDemand, ContactorOffer, HorsepowerUse, LifeCurve, RatedCurrents};
use crate::sizing::arrangement::{Arrangement, Role, Through};
use crate::sizing::assembly::{ChosenContactor, ChosenDevice, base_current};
use crate::sizing::judge::{Verdict, at_least, at_most, of_limit};
use crate::sizing::{Pins, Tools};
use crate::supply::SupplyPoint;

/// What a role demands.
#[derive(Clone, Debug)]
pub struct Demand {
    /// Role.
    pub role: Role,
    /// What it asks of its contactor.
    pub asks: ContactorDemand,
}

/// Demands of all roles.
#[allow(clippy::too_many_arguments)] // all of them are what was decided before
#[must_use]
pub fn demands(
    case: &Case,
    currents: &RatedCurrents,
    devices: &[ChosenDevice<'_>],
    roles: &[Role],
    class: &str,
    point: &SupplyPoint,
    tools: &Tools<'_>,
    record: &mut Record,
) -> Vec<Demand> {
    let arrangement = Arrangement::of(case.start.method);
    let mut demands: Vec<Demand> = Vec::new();
    for role in roles {
        let base = base_current(role.base, case, currents, devices);
        // Two roles with one share have one working.
        let same = demands.iter().position(|own| own.role.base == role.base && own.role.share == role.share);
        let mut scratch = Record::silent();
        let working = if same.is_some() { &mut scratch } else { &mut *record };
        let current = role.share.current(working, base, &case.start);
        let starting = match role.through {
            Through::Line => base * arrangement.line_start(&case.start),
            Through::StarPoint => {
                let tap = case.start.tap.value;
                base * ((tap - tap * tap) * case.start.ratio.value)
            }
            Through::Nothing => Amperes(0.0),
        };
        // One duty has one derating, whatever the role.
        let known = demands.iter().any(|own| own.role.duty == role.duty);
        let working = if known { &mut scratch } else { &mut *record };
        let share = role.share.factor(&case.start);
        demands.push(Demand {
            role: *role,
            asks: ContactorDemand {
                current,
                switching: tools.book.switching(role.duty, current, share, &case.machine, &case.start, working),
                starting,
                time: Seconds(arrangement.step_time(&case.start)),
                class_factor: if role.through == Through::Nothing { 1.0 } else { tools.book.class_factor(class) },
                fault_max: point.fault_max,
                reduced_life: reduced_life_suits(case),
                ambient: case.wishes.device_ambient,
                altitude: case.wishes.altitude,
            },
        });
    }
    demands
}

/// What a contactor offers at a voltage.
fn offer(contactor: &Contactor, case: &Case, volts: f64) -> ContactorOffer {
    let rated = |category: Category| contactor.rating(category, volts).map(Amperes);
    ContactorOffer {
        ac1: rated(Category::Ac1),
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

/// Judges a contactor against the demand of a role.
#[must_use]
pub fn judge(demand: &Demand, contactor: &Contactor, fuse: Option<Amperes>, case: &Case, tools: &Tools<'_>) -> Verdict {
    let asks = &demand.asks;
    let subject = demand.role.name;
    let offered = offer(contactor, case, judged_voltage(case, tools));
    let mut verdict = Verdict::default();
    verdict.checks.extend(tools.book.contactor_limits(asks, &offered).iter().map(|limit| of_limit(limit).about(subject)));
    if !verdict.holds() {
        return verdict;
    }
    let mut add = |check: Check| verdict.checks.push(check.about(subject));
    if let Some(fuse) = fuse {
        add(at_most("protection-maximum", fuse.0, contactor.max_fuse_type_1_a, "A", "contactor: largest fuse"));
    }
    let category = asks.switching.category;
    if let Some(per_hour) = case.start.per_hour {
        let limit = match category {
            Category::Ac1 => contactor.per_hour_ac1,
            Category::Ac4 => contactor.per_hour_ac4,
            _ => contactor.per_hour_ac3,
        };
        add(at_most("contactor-frequency", per_hour, limit, "1/h", "catalogue"));
    }
    if let (Some(operations), true) = (case.start.operations, category != Category::Ac1) {
        let expected = expected(asks.current, contactor, case, tools, None);
        add(at_least("contactor-life", expected, operations, "operations", "catalogue: life curve"));
    }
    verdict
}

/// Voltage at which ratings are read: higher at altitude, where they hold for less.
fn judged_voltage(case: &Case, tools: &Tools<'_>) -> f64 {
    case.machine.voltage.0 / tools.book.voltage_factor(case.wishes.altitude)
}

/// Reduced-life ratings: only where the project allows them, below class IE3, without inching, at 30 starts an hour at most.
fn reduced_life_suits(case: &Case) -> bool {
    case.wishes.reduced_life
        && case.machine.class.is_none_or(|class| class < EfficiencyClass::Ie3)
        && case.start.inching == 0.0
        && case.start.per_hour.is_none_or(|per_hour| per_hour <= 30.0)
}

fn expected(current: Amperes, contactor: &Contactor, case: &Case, tools: &Tools<'_>, record: Option<&mut Record>) -> f64 {
    let curve = LifeCurve {
        rated: Amperes(contactor.rating(Category::Ac3, case.machine.voltage.0).unwrap_or_else(|| contactor.load_rating_a())),
        ac3_operations: contactor.life_ac3_operations,
        ac3_exponent: contactor.life_ac3_exponent,
        ac4_operations: contactor.life_ac4_operations,
        ac4_exponent: contactor.life_ac4_exponent,
        mechanical_operations: contactor.life_mechanical_operations,
    };
    tools.book.life(&curve, current, case.start.ratio.value, case.start.inching, record)
}

/// Works out the operations to be expected of a chosen contactor.
pub fn life(chosen: &mut ChosenContactor<'_>, case: &Case, tools: &Tools<'_>, record: &mut Record) {
    let Some(contactor) = chosen.contactor else { return };
    if !matches!(chosen.demand.category, Category::Ac3 | Category::Ac3e | Category::Ac4 | Category::Ac2 | Category::Horsepower) {
        return;
    }
    chosen.expected = Some(round_to(expected(chosen.current, contactor, case, tools, Some(record)), 0));
}

/// Chooses a contactor for every role, the largest current first; interlocked partners share a frame.
#[must_use]
pub fn choose<'a>(
    case: &Case,
    arrangement: &Arrangement,
    demands: &[Demand],
    pins: &Pins,
    fuse: Option<Amperes>,
    tools: &Tools<'a>,
    larger: usize,
) -> Vec<ChosenContactor<'a>> {
    let mut order: Vec<usize> = (0..demands.len()).collect();
    order.sort_by(|a, b| demands[*b].asks.current.0.total_cmp(&demands[*a].asks.current.0));
    let pairs = arrangement.interlocked(&case.start);
    let mut frames: Vec<(&str, &str)> = Vec::new();
    let mut chosen: Vec<Option<ChosenContactor<'a>>> = vec![None; demands.len()];
    for index in order {
        let demand = &demands[index];
        let name = demand.role.name;
        let partner = pairs.iter().find_map(|(a, b)| {
            let other = if *a == name {
                *b
            } else if *b == name {
                *a
            } else {
                return None;
            };
            frames.iter().find(|(role, _)| *role == other).map(|(_, frame)| *frame)
        });
        let own = one(demand, partner.or(pins.frame.as_deref()), fuse, case, tools, larger);
        if let Some(contactor) = own.contactor {
            frames.push((name, contactor.frame.as_str()));
        }
        chosen[index] = Some(own);
    }
    chosen.into_iter().flatten().collect()
}

fn one<'a>(
    demand: &Demand,
    frame: Option<&str>,
    fuse: Option<Amperes>,
    case: &Case,
    tools: &Tools<'a>,
    larger: usize,
) -> ChosenContactor<'a> {
    let volts = judged_voltage(case, tools);
    let rating = |contactor: &Contactor| tools.book.contactor_rating(&demand.asks, &offer(contactor, case, volts));
    let mut holding = candidates(case, tools)
        .into_iter()
        .filter(|contactor| frame.is_none_or(|frame| contactor.frame == frame))
        // The first check of the judgement again, before its words are made: most candidates end here.
        .filter(|contactor| demand.asks.switching.current.fits(rating(contactor)))
        .filter_map(|contactor| {
            let verdict = judge(demand, contactor, fuse, case, tools);
            verdict.holds().then_some((contactor, verdict))
        });
    let found = holding.nth(larger);
    let (contactor, checks) = match found {
        Some((contactor, verdict)) => (Some(contactor), verdict.checks),
        None => (None, Vec::new()),
    };
    ChosenContactor {
        role: demand.role,
        current: demand.asks.current,
        demand: demand.asks.switching.clone(),
        contactor,
        rated: contactor.map_or(Amperes(0.0), rating),
        expected: None,
        checks,
    }
}

/// Contactors of the family that the project uses, in the order of preference.
#[must_use]
pub fn candidates<'a>(case: &Case, tools: &Tools<'a>) -> Vec<&'a Contactor> {
    let wishes = &case.wishes;
    let nema = wishes.controller_family == "nema";
    let of_family = |own: &&Contactor| own.nema_size.is_some() == nema;
    let smallest = wishes.minimum_nema_size.as_deref().and_then(|size| {
        let own = tools.catalogue.contactors.iter().find(|own| own.nema_size.as_deref() == Some(size))?;
        own.continuous_a
    });
    let large_enough = |own: &&Contactor| smallest.is_none_or(|least| own.continuous_a.is_some_and(|own| least <= own));
    let mut all: Vec<&Contactor> = tools.catalogue.contactors.iter().filter(of_family).filter(large_enough).collect();
    if wishes.cheapest {
        // Parts without a price come last: an unknown price is not a low one.
        all.sort_by(|a, b| a.price.unwrap_or(f64::INFINITY).total_cmp(&b.price.unwrap_or(f64::INFINITY)));
    }
    all
}
