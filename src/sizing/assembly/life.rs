//! Wear of contactors: the operations that a schedule or the basis asks for, those to be expected in the mix of duties, and the years
//! that they last.

use crate::catalogue::{Category, Contactor};
use crate::design::Check;
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::{Amperes, round_to};
use crate::record::Record;
use crate::rules::LifeCurve;
use crate::rules::physics::contactors::{operations_a_year, years_of_life};
use crate::rules::physics::starting::practice;
use crate::sizing::Tools;
use crate::sizing::assembly::ChosenContactor;
use crate::sizing::judge::at_least;

/// Hours of a year: service at all times, which wears contacts the soonest.
const HOURS_OF_A_YEAR: f64 = 8_760.0;

/// The category in which a contactor's contacts wear by breaking current.
fn wears(category: Category) -> bool {
    use Category::{Ac2, Ac3, Ac3e, Ac4, Ac7b, Ac8a, Ac8b, Horsepower};
    matches!(category, Ac2 | Ac3 | Ac3e | Ac4 | Ac7b | Ac8a | Ac8b | Horsepower)
}

/// Operations that the contacts must last: as the row states, else the years of the basis at the row's starts an hour. Where only
/// the hours are known, the years are those of practice; where they are not, nothing is demanded.
fn wanted(case: &Case, record: &mut Record) -> Option<f64> {
    let start = &case.start;
    start.operations.or_else(|| {
        let years = start.wanted_years.or_else(|| practice("contact-life-wanted"))?;
        Some(years * operations_a_year(record, start.per_hour?, start.hours_a_year?))
    })
}

fn curve(contactor: &Contactor, volts: f64) -> LifeCurve {
    LifeCurve {
        rated: Amperes(contactor.rating(Category::Ac3, volts).unwrap_or_else(|| contactor.load_rating_a())),
        ac3_operations: contactor.life_ac3_operations,
        ac3_exponent: contactor.life_ac3_exponent,
        ac4_operations: contactor.life_ac4_operations,
        ac4_exponent: contactor.life_ac4_exponent,
        mechanical_operations: contactor.life_mechanical_operations,
    }
}

fn expected(current: Amperes, contactor: &Contactor, case: &Case, tools: &Tools<'_>, record: Option<&mut Record>) -> f64 {
    let curve = curve(contactor, case.machine.voltage.0);
    let inching = if case.start.behind_electronics() { 0.0 } else { case.start.inching };
    tools.book.life(&curve, current, case.start.ratio.value, inching, record)
}

/// Life against what is wanted; none if nothing is wanted or the duty does not wear the contacts.
pub(super) fn check(
    category: Category,
    current: Amperes,
    contactor: &Contactor,
    case: &Case,
    tools: &Tools<'_>,
) -> Option<Check> {
    let wanted = wanted(case, &mut Record::silent()).filter(|_| wears(category))?;
    let expected = expected(current, contactor, case, tools, None);
    Some(at_least("contactor-life", expected, wanted, "operations", "catalogue: life curve"))
}

/// Works out operations and years of the chosen contactors; says those of the one that is worn first, where anybody asked or where
/// they are few.
pub(super) fn say(contactors: &mut [ChosenContactor<'_>], case: &Case, tools: &Tools<'_>, record: &mut Record) {
    for chosen in contactors.iter_mut().filter(|contactor| wears(contactor.demand.category)) {
        let Some(contactor) = chosen.contactor else { continue };
        let operations = round_to(expected(chosen.current, contactor, case, tools, Some(record)), 0);
        chosen.expected = Some(operations);
        chosen.years = case.start.switched_per_hour().and_then(|per_hour| {
            let a_year = operations_a_year(record, per_hour, case.start.hours_a_year.unwrap_or(HOURS_OF_A_YEAR));
            years_of_life(record, operations, a_year)
        });
    }
    let _ = wanted(case, record);
    let worn_first = contactors
        .iter()
        .filter_map(|contactor| Some((contactor.role.name, contactor.expected?, contactor.years?)))
        .min_by(|a, b| a.1.total_cmp(&b.1));
    let asked = case.start.operations.is_some() || case.start.hours_a_year.is_some() || case.start.wanted_years.is_some();
    let matters = |years: f64| asked || practice("contact-life-said").is_none_or(|said| years < said);
    if let (Some((role, operations, years)), Some(per_hour)) = (worn_first, case.start.per_hour)
        && matters(years)
    {
        record.find(finding(case, role, operations, years, per_hour));
    }
}

/// Says that a motor is inched on contactors that are made to start it and to stop it while it runs: how long they last, and where the
/// starts an hour are missing that decide whether they may.
pub(super) fn say_inching(contactors: &[ChosenContactor<'_>], case: &Case, record: &mut Record) {
    let inched = |chosen: &&ChosenContactor<'_>| matches!(chosen.demand.category, Category::Ac3 | Category::Ac3e);
    let worn_first = contactors.iter().filter(inched).filter(|chosen| chosen.expected.is_some());
    let Some(worn_first) = worn_first.min_by(|a, b| a.expected.unwrap_or(0.0).total_cmp(&b.expected.unwrap_or(0.0))) else {
        return;
    };
    if case.start.inching == 0.0 || case.start.behind_electronics() {
        return;
    }
    let (category, operations) = (worn_first.demand.category.name(), rounded(worn_first.expected.unwrap_or(0.0)));
    let percent = round_to(case.start.inching * 100.0, 1);
    let what = format!(
        "{percent} % of the operations break the locked-rotor current, on a contactor of {category} whose contacts last about {operations} \
         operations in that mix"
    );
    let told = match case.start.switched_per_hour() {
        Some(_) => Finding::new(&codes::C231_INCHED_IN_AC_3, what)
            .why(format!("{category} is for occasional inching, such as setting up"))
            .cure("enter the larger inching_share_pct, or duty S5, where the motor is inched or braked as its service"),
        None => Finding::new(&codes::C235_INCHING_NOT_JUDGED, what)
            .why(format!("{category} admits so many inching operations in ten minutes; how many they are is not known"))
            .cure("enter starts_per_hour"),
    };
    record.find(told.at(case.place.clone()).reference(worn_first.demand.reference));
}

fn finding(case: &Case, role: &str, operations: f64, years: f64, per_hour: f64) -> Finding {
    let service = match case.start.hours_a_year {
        Some(hours) => format!("{hours} hours of service a year"),
        None => "service at all hours of the year".to_owned(),
    };
    let what = format!(
        "contacts of {role} last about {} operations: {} years at {per_hour} starts an hour and {service}",
        rounded(operations),
        round_to(years, if years < 10.0 { 1 } else { 0 })
    );
    let short = practice("contact-life-wanted").is_some_and(|wanted| years < wanted);
    let code = if short { &codes::C213_SHORT_LIFE } else { &codes::C212_CONTACT_LIFE };
    let cure = match (short, case.start.hours_a_year) {
        (false, None) => "state service_hours_per_year in the basis for the years at its own hours",
        (false, Some(_)) => "hold it against the life that the plant is to have",
        (true, None) => "state service_hours_per_year in the basis, a larger contactor, or fewer starts",
        (true, Some(_)) => "choose a larger contactor, a soft starter or drive, or fewer starts",
    };
    Finding::new(code, what).at(case.place.clone()).cure(cure)
}

/// A life says no more than two digits.
fn rounded(operations: f64) -> String {
    let step = libm::pow(10.0, libm::floor(libm::log10(operations.max(1.0))) - 1.0);
    let rounded = (operations / step).round() * step;
    if rounded >= 1e6 { format!("{} million", round_to(rounded / 1e6, 1)) } else { format!("{rounded:.0}") }
}
