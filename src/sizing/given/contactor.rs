//! A contactor or starter of others: its rated current, or its NEMA size, against the heaviest duty of the starter.

use crate::catalogue::Contactor;
use crate::quantity::{Amperes, fits};
use crate::record::Record;
use crate::rules::{Category, ContactorOffer};
use crate::sizing::assembly::{ChosenContactor, contactors};
use crate::sizing::given::{Bench, Judged, Larger, amperes, decided};
use crate::sizing::judge::of_limit;

/// Limits that decide whether the rating suits; the others rest on figures that a rating does not tell.
const DECISIVE: &[&str] = &["contactor-duty", "contactor-horsepower"];

/// A contactor by its rated current.
pub(super) fn rated(bench: &Bench<'_>, rated: f64) -> Judged {
    let Some(demand) = heaviest(bench) else { return none() };
    let offers = bench.row.tools.book.offers_of_rating(Amperes(rated), &demand.asks);
    let wanted = named(bench, &demand).map_or_else(String::new, |(rated, category)| {
        if category.is_empty() { amperes(rated) } else { format!("{} in {category}", amperes(rated)) }
    });
    judged(bench, &demand, offers, rated, wanted)
}

/// The rated current by which the chosen contactor is named as the stated one is: in AC-3 where the duty is not resistive.
fn named(bench: &Bench<'_>, demand: &contactors::Demand) -> Option<(f64, &'static str)> {
    let chosen = chosen(bench, demand)?;
    let contactor = chosen.contactor?;
    let category = demand.asks.switching.category;
    if category.is_resistive() {
        return Some((chosen.rated.0, Category::Ac1.name()));
    }
    let ac3 = contactor.rating(Category::Ac3, bench.row.case.machine.voltage.0);
    match (category, ac3) {
        (Category::Horsepower | Category::Continuous, _) | (_, None) => Some((chosen.rated.0, "")),
        (_, Some(ac3)) => Some((ac3, Category::Ac3.name())),
    }
}

/// Larger ratings of the catalogue, named as the wanted one is.
pub(super) fn ratings(bench: &Bench<'_>, wanted: &str) -> Vec<String> {
    let category = if wanted.ends_with(Category::Ac1.name()) { Category::Ac1 } else { Category::Ac3 };
    let volts = bench.row.case.machine.voltage.0;
    let contactors = bench.row.tools.catalogue.contactors.iter();
    let mut ratings: Vec<f64> = contactors.filter_map(|contactor| contactor.rating(category, volts)).collect();
    ratings.sort_by(f64::total_cmp);
    ratings.dedup();
    let named = wanted.split_once(" in ").map_or(String::new(), |(_, category)| format!(" in {category}"));
    ratings.into_iter().map(|rating| format!("{}{named}", amperes(rating))).collect()
}

/// NEMA sizes of the catalogue, ascending.
pub(super) fn sizes(bench: &Bench<'_>) -> Vec<String> {
    let mut contactors: Vec<&Contactor> = bench.row.tools.catalogue.contactors.iter().collect();
    contactors.sort_by(|one, other| one.width_mm.total_cmp(&other.width_mm));
    let mut sizes: Vec<String> = contactors.iter().filter_map(|contactor| contactor.nema_size.clone()).collect();
    sizes.dedup();
    sizes.into_iter().map(|size| format!("NEMA size {size}")).collect()
}

/// A starter by its NEMA size.
pub(super) fn size(bench: &Bench<'_>, size: &str) -> Judged {
    let Some(demand) = heaviest(bench) else { return none() };
    let Some(offer) = bench.row.tools.book.offer_of_size(size, &bench.row.case.machine) else {
        return Judged::doubtful(format!("the rule book has no ratings of a NEMA size {size} at this voltage"));
    };
    let chosen = chosen(bench, &demand).and_then(|contactor| contactor.contactor);
    let wanted = match chosen {
        Some(contactor) => {
            contactor.nema_size.clone().map_or_else(|| format!("frame {}", contactor.frame), |size| format!("NEMA size {size}"))
        }
        None => String::new(),
    };
    judged(bench, &demand, [offer, offer], offer.continuous.map_or(0.0, |continuous| continuous.0), wanted)
}

fn none() -> Judged {
    Judged::doubtful("the circuit has no contactor")
}

/// The role that carries the most: the one figure of the row must serve for it.
fn heaviest(bench: &Bench<'_>) -> Option<contactors::Demand> {
    let (row, assembly) = (bench.row, bench.assembly);
    let bypass = assembly.devices.iter().any(|device| device.bypass_built_in);
    let roles = assembly.arrangement.roles(&row.case.start, bypass, row.case.control.redundant);
    let demands = contactors::demands(&decided(row, assembly, bench.class), &roles, &mut Record::silent());
    demands.into_iter().reduce(|most, demand| if most.asks.current.0 < demand.asks.current.0 { demand } else { most })
}

fn chosen<'a>(bench: &Bench<'a>, demand: &contactors::Demand) -> Option<&'a ChosenContactor<'a>> {
    bench.assembly.contactors.iter().find(|contactor| contactor.role.name == demand.role.name)
}

/// Judges what the figure proves and the most that it may mean.
fn judged(bench: &Bench<'_>, demand: &contactors::Demand, offers: [ContactorOffer; 2], rated: f64, wanted: String) -> Judged {
    let book = bench.row.tools.book;
    let checks = offers.map(|offer| {
        let limits = book.contactor_limits(&demand.asks, &offer);
        limits.iter().map(|limit| of_limit(limit).about(demand.role.name)).collect::<Vec<_>>()
    });
    let [sure, most] = checks;
    let mut judged = Judged { wanted, ..Judged::default() };
    if most.iter().any(|check| check.passed == Some(false)) {
        judged.checks = most;
        return judged;
    }
    let (proved, unproved): (Vec<_>, Vec<_>) = sure.into_iter().partition(|check| check.passed == Some(true));
    let category = match demand.asks.switching.category {
        Category::Horsepower => "the motor's horsepower",
        other => other.name(),
    };
    for check in &unproved {
        let name = bench.words(&check.name);
        if DECISIVE.contains(&check.name.as_str()) {
            judged.doubt = Some(format!("its rating for {category} is not stated ({name}, {})", check.reference));
        } else {
            judged.open.push(name);
        }
    }
    judged.checks = proved;
    if book.voltage_factor(bench.row.case.wishes.altitude) < 1.0 {
        judged.open.push("its rated voltage at this altitude".to_owned());
    }
    judged.open.extend(["its largest protective device", "the life of its contacts"].map(str::to_owned));
    if bench.assembly.contactors.len() > 1 {
        judged.remarks.push(format!("judged for the {} contactor, which carries the most", demand.role.name));
    }
    // A smaller one that the program chose for another class of the relay is no measure.
    let holds = |rated: f64| {
        let [_, most] = book.offers_of_rating(Amperes(rated), &demand.asks);
        book.contactor_limits(&demand.asks, &most).iter().all(|limit| of_limit(limit).passed != Some(false))
    };
    judged.oversized = named(bench, demand)
        .filter(|(wanted, _)| !fits(rated, *wanted) && holds(*wanted))
        .map(|(wanted, _)| Larger::room(larger(bench, demand, rated, wanted)));
    judged
}

/// The consequences of a larger contactor: the catalogue's contactor of that rating beside the chosen one.
fn larger(bench: &Bench<'_>, demand: &contactors::Demand, rated: f64, wanted: f64) -> String {
    const FOLLOWS: &str = "larger terminals, coil and enclosure follow, and the overload relay must fit its frame";
    let times = crate::record::significant(rated / wanted, 2);
    let named = format!("{times} times the rating that is needed: {FOLLOWS}");
    let Some(chosen) = chosen(bench, demand).and_then(|contactor| contactor.contactor) else { return named };
    let volts = bench.row.case.machine.voltage.0;
    let category = if demand.asks.switching.category.is_resistive() { Category::Ac1 } else { Category::Ac3 };
    let rating = |contactor: &Contactor| contactor.rating(category, volts).filter(|rating| fits(rated, *rating));
    let of_rating = bench.row.tools.catalogue.contactors.iter().filter_map(|contactor| Some((rating(contactor)?, contactor)));
    let Some((_, contactor)) = of_rating.reduce(|least, rated| if rated.0 < least.0 { rated } else { least }) else {
        return named;
    };
    if contactor.frame == chosen.frame {
        return format!("{times} times the rating that is needed; in the catalogue it is of the same frame");
    }
    let number = |figure: f64| crate::record::significant(figure, 3);
    let book = bench.row.tools.book;
    let run = bench.circuit.runs.last().map(|run| run.phase_area_mm2).filter(|area| *area > 0.0);
    let clamps = match run {
        Some(area) if area < contactor.terminal_min_mm2 * (1.0 - 1e-9) => {
            format!(
                ", and clamps no less than {} (the run has {})",
                book.size_text(contactor.terminal_min_mm2),
                book.size_text(area)
            )
        }
        _ => String::new(),
    };
    format!(
        "{FOLLOWS}: one of this rating in the catalogue is {} mm wide instead of {} mm and picks up with {} VA instead of {} VA{clamps}",
        number(contactor.width_mm),
        number(chosen.width_mm),
        number(contactor.coil_ac_pick_up_va),
        number(chosen.coil_ac_pick_up_va),
    )
}
