//! Contactors: what each role demands, the judgement of one contactor, and the choice of all.
//!
//! The limits are independent and not multiplied: switching, thermal current, short time, slow class, voltage, life, frequency.

use crate::catalogue::{Category, Contactor};
use crate::load::{Case, EfficiencyClass};
use crate::quantity::{Amperes, Seconds, round_to};
use crate::record::Record;
use crate::rules::{LifeCurve, RatedCurrents, SwitchingDemand};
use crate::sizing::arrangement::{Arrangement, Role, Through};
use crate::sizing::assembly::{ChosenContactor, ChosenDevice, base_current};
use crate::sizing::judge::{Verdict, at_least, at_most};
use crate::sizing::{Pins, Tools};
use crate::supply::SupplyPoint;

/// What a role demands.
#[derive(Clone, Debug)]
pub struct Demand {
    /// Role.
    pub role: Role,
    /// Current that it carries.
    pub current: Amperes,
    /// What it must switch.
    pub switching: SwitchingDemand,
    /// Current through it while starting.
    pub starting: Amperes,
    /// For how long.
    pub time: Seconds,
    /// Factor for slow classes.
    pub class_factor: f64,
    /// Largest fault current at the board, on which the inrush of capacitors depends.
    pub fault_max: Option<Amperes>,
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
    roles
        .iter()
        .map(|role| {
            let base = base_current(role.base, case, currents, devices);
            let current = base * role.share.factor(&case.start);
            let ratio = case.start.ratio.value;
            let starting = match role.through {
                Through::Line => base * (arrangement.line_start)(&case.start),
                Through::StarPoint => {
                    let tap = case.start.tap.value;
                    base * ((tap - tap * tap) * ratio)
                }
                Through::Nothing => Amperes(0.0),
            };
            Demand {
                role: *role,
                current,
                switching: tools.book.switching(role.duty, current, &case.machine, &case.start, record),
                starting,
                time: Seconds((arrangement.step_time)(&case.start)),
                class_factor: if role.through == Through::Nothing { 1.0 } else { tools.book.class_factor(class) },
                fault_max: point.fault_max,
            }
        })
        .collect()
}

/// Judges a contactor against the demand of a role.
#[must_use]
pub fn judge(demand: &Demand, contactor: &Contactor, fuse: Option<Amperes>, case: &Case, tools: &Tools<'_>) -> Verdict {
    let mut verdict = Verdict::default();
    let volts = case.machine.voltage.0 / tools.book.voltage_factor(case.wishes.altitude);
    let subject = demand.role.name;
    let rated = rating(demand, contactor, volts, tools);
    verdict
        .checks
        .push(at_most("contactor-duty", demand.switching.current.0, rated.0, "A", demand.switching.reference).about(subject));
    if contactor.reduced_life && demand.switching.category != Category::Ac1 {
        let suits = reduced_life_suits(case);
        if !suits {
            // A reduced-life rating is no capability for this duty at all.
            verdict.checks.push(
                at_most("contactor-duty", demand.switching.current.0, 0.0, "A", "catalogue: reduced-life rating").about(subject),
            );
            return verdict;
        }
    }
    let thermal = contactor.thermal_a() * tools.book.thermal_factor(case.wishes.device_ambient, case.wishes.altitude);
    verdict
        .checks
        .push(at_most("contactor-thermal-current", demand.current.0, thermal, "A", "IEC 60947-4-1, 4.3.2").about(subject));
    if demand.starting.0 > 0.0 {
        let carries = tools.book.short_time(Amperes(contactor.load_rating_a()), demand.time);
        verdict
            .checks
            .push(at_most("contactor-short-time", demand.starting.0, carries.0, "A", "IEC 60947-4-1, Table 8").about(subject));
    }
    if demand.class_factor > 1.0 {
        verdict.checks.push(
            at_most("contactor-class", demand.current.0 * demand.class_factor, rated.0, "A", "trade manuals: √(class/10)")
                .about(subject),
        );
    }
    if let Some(fuse) = fuse {
        verdict.checks.push(
            at_most("protection-maximum", fuse.0, contactor.max_fuse_type_1_a, "A", "contactor: largest fuse").about(subject),
        );
    }
    if let Some(per_hour) = case.start.per_hour {
        let limit = match demand.switching.category {
            Category::Ac1 => contactor.per_hour_ac1,
            Category::Ac4 => contactor.per_hour_ac4,
            _ => contactor.per_hour_ac3,
        };
        verdict.checks.push(at_most("contactor-frequency", per_hour, limit, "1/h", "catalogue").about(subject));
    }
    if let (Some(operations), true) = (case.start.operations, demand.switching.category != Category::Ac1) {
        let expected = expected(demand, contactor, case, tools, None);
        verdict
            .checks
            .push(at_least("contactor-life", expected, operations, "operations", "catalogue: life curve").about(subject));
    }
    verdict
}

/// Reduced-life ratings: only where the project allows them, below class IE3, without inching, at 30 starts an hour at most.
fn reduced_life_suits(case: &Case) -> bool {
    case.wishes.reduced_life
        && case.machine.class.is_none_or(|class| class < EfficiencyClass::Ie3)
        && case.start.inching == 0.0
        && case.start.per_hour.is_none_or(|per_hour| per_hour <= 30.0)
}

/// Rating of a contactor for a demand at a voltage; zero if it has none.
#[must_use]
pub fn rating(demand: &Demand, contactor: &Contactor, volts: f64, tools: &Tools<'_>) -> Amperes {
    let switching = &demand.switching;
    let declared = |category: Category| contactor.rating(category, volts).unwrap_or(0.0);
    let rated = match switching.category {
        Category::Ac3 | Category::Ac3e => match switching.high_efficiency {
            None => declared(Category::Ac3),
            Some(derate) => match contactor.rating(Category::Ac3e, volts) {
                Some(ac3e) => ac3e,
                None if contactor.suits_ie3 => declared(Category::Ac3),
                None if contactor.reduced_life => 0.0,
                None => declared(Category::Ac3) / derate,
            },
        },
        Category::Ac5a | Category::Ac5b => declared(Category::Ac1) * tools.book.lamp_share(switching.category),
        Category::Ac6a | Category::Ac6b => tools
            .book
            .ac6_rating(switching.category, Amperes(declared(Category::Ac3)), demand.fault_max)
            .map_or(0.0, |rated| rated.0),
        category => declared(category),
    };
    Amperes(rated)
}

fn expected(demand: &Demand, contactor: &Contactor, case: &Case, tools: &Tools<'_>, record: Option<&mut Record>) -> f64 {
    let curve = LifeCurve {
        rated: Amperes(contactor.rating(Category::Ac3, case.machine.voltage.0).unwrap_or_else(|| contactor.load_rating_a())),
        ac3_operations: contactor.life_ac3_operations,
        ac3_exponent: contactor.life_ac3_exponent,
        ac4_operations: contactor.life_ac4_operations,
        ac4_exponent: contactor.life_ac4_exponent,
        mechanical_operations: contactor.life_mechanical_operations,
    };
    tools.book.life(&curve, demand.current, case.start.ratio.value, case.start.inching, record)
}

/// Works out the operations to be expected of a chosen contactor.
pub fn life(chosen: &mut ChosenContactor<'_>, case: &Case, tools: &Tools<'_>, record: &mut Record) {
    let Some(contactor) = chosen.contactor else { return };
    if !matches!(chosen.demand.category, Category::Ac3 | Category::Ac3e | Category::Ac4 | Category::Ac2) {
        return;
    }
    let demand = Demand {
        role: chosen.role,
        current: chosen.current,
        switching: chosen.demand.clone(),
        starting: Amperes(0.0),
        time: Seconds(0.0),
        class_factor: 1.0,
        fault_max: None,
    };
    chosen.expected = Some(round_to(expected(&demand, contactor, case, tools, Some(record)), 0));
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
    order.sort_by(|a, b| demands[*b].current.0.total_cmp(&demands[*a].current.0));
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
    let volts = case.machine.voltage.0 / tools.book.voltage_factor(case.wishes.altitude);
    let mut holding = candidates(case, tools)
        .into_iter()
        .filter(|contactor| frame.is_none_or(|frame| contactor.frame == frame))
        // The first check of the judgement again, before its words are made: most candidates end here.
        .filter(|contactor| demand.switching.current.fits(rating(demand, contactor, volts, tools)))
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
        current: demand.current,
        demand: demand.switching.clone(),
        contactor,
        rated: contactor.map_or(Amperes(0.0), |contactor| rating(demand, contactor, volts, tools)),
        expected: None,
        checks,
    }
}

/// Contactors in the order of preference.
#[must_use]
pub fn candidates<'a>(case: &Case, tools: &Tools<'a>) -> Vec<&'a Contactor> {
    let mut all: Vec<&Contactor> = tools.catalogue.contactors.iter().collect();
    if case.wishes.cheapest {
        // Parts without a price come last: an unknown price is not a low one.
        all.sort_by(|a, b| a.price.unwrap_or(f64::INFINITY).total_cmp(&b.price.unwrap_or(f64::INFINITY)));
    }
    all
}
