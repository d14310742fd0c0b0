//! Loads of direct current: their circuits are not covered, and none of alternating current is put in their place.

use crate::finding::{Finding, codes};
use crate::intake::direct_current::{is_mark, stated_in};
use crate::intake::matters::{are_of, suggests, words_of};
use crate::load::{Field, Load};
use crate::record::Record;
use crate::rules::physics::nominal::is_same_voltage;
use crate::rules::{RuleBook, Topic};
use crate::sizing::resolve::services::saying;

/// Finds a load of direct current; whether there is one, so that the row is not sized. Words that only suggest one are asked about.
pub(super) fn refuse(load: &Load, book: &dyn RuleBook, record: &mut Record) -> bool {
    if let Some(field) = of_cell(load) {
        let text = load.entry(field).map_or("", |entry| entry.text.as_str());
        let what = format!("{} reads `{text}`: direct-current main circuits are not covered", field.spec().name);
        record.find(refused(load, field, what, book).cure(CURE));
        return true;
    }
    if load.text(Field::ServiceClass).is_some_and(|text| text.trim().eq_ignore_ascii_case("general")) {
        return false;
    }
    if let Some(field) = named(load) {
        let what = format!("the {} names a load of direct current, whose main circuit is not covered", saying(field));
        record.find(refused(load, field, what, book).cure(format!("{CURE}; {ALTERNATING}")));
        return true;
    }
    if let Some(text) = method_text(load).filter(|text| says_of_drive(text, "direct-current")) {
        let field = Field::StartingMethod;
        let what = format!("{} reads `{text}`: direct-current main circuits are not covered", field.spec().name);
        record.find(refused(load, field, what, book).cure(format!("{CURE}; {ALTERNATING}")));
        return true;
    }
    let by_method = method_text(load).filter(|text| says_of_drive(text, "direct-current-asked"));
    let asked = of_words(load, suggested).map(|field| (field, format!("the {}", saying(field))));
    if let Some((field, who)) =
        asked.or_else(|| by_method.map(|text| (Field::StartingMethod, format!("the starting method `{text}`"))))
    {
        record.find(
            Finding::new(&codes::L359_DIRECT_CURRENT_ASKED, format!("{who} suggests a load of direct current"))
                .at(load.place_of(field))
                .why("it is sized for alternating current, whose contactors and circuit-breakers do not break direct current of that voltage")
                .cure(format!("write the voltage with its kind, such as 110 V DC; {ALTERNATING}"))
                .reference(book.clause(Topic::DirectCurrent)),
        );
    }
    false
}

/// The text of the starting method as it stood: `DC drive`, `SCR drive`.
fn method_text(load: &Load) -> Option<&str> {
    load.entry(Field::StartingMethod).map(|entry| entry.text.as_str())
}

fn says_of_drive(text: &str, matter: &str) -> bool {
    words_of(text).split(String::is_empty).any(|part| suggests(matter, part))
}

const CURE: &str = "have starter, protective device and conductors chosen for direct current; the row counts in the totals alone";
const ALTERNATING: &str = "for a load of alternating current write service_class general";

fn refused(load: &Load, field: Field, what: String, book: &dyn RuleBook) -> Finding {
    Finding::new(&codes::L358_DIRECT_CURRENT, what)
        .at(load.place_of(field))
        .why("an arc of direct current has no zero at which it goes out, and full-load currents of its motors are others")
        .reference(book.clause(Topic::DirectCurrent))
}

/// The cell that states direct current.
fn of_cell(load: &Load) -> Option<Field> {
    let states = |field: &Field| load.entry(*field).is_some_and(|entry| stated_in(&entry.text));
    [Field::VoltageV, Field::Supply, Field::Phases].into_iter().find(states)
}

/// Description or note of which a part between marks says so; the voltage of the row beside.
fn of_words(load: &Load, says: impl Fn(&[String], Option<f64>) -> bool) -> Option<Field> {
    [Field::Description, Field::Notes].into_iter().find(|field| is_said(load, *field, &says))
}

fn is_said(load: &Load, field: Field, says: impl Fn(&[String], Option<f64>) -> bool) -> bool {
    let volts = load.number(Field::VoltageV);
    let words = load.text(field).map(words_of).unwrap_or_default();
    words.split(String::is_empty).any(|part| says(part, volts))
}

/// What names a direct-current machine: the description, or a note of which a part says nothing else, as others speak of another machine.
/// Beside a motor of alternating current it is asked.
fn named(load: &Load) -> Option<Field> {
    let of_alternating = |words: &[String], _: Option<f64>| suggests("alternating-current", words);
    let is_alternating = of_words(load, of_alternating).is_some();
    let named =
        |words: &[String], _: Option<f64>| suggests("direct-current", words) && !suggests("direct-current-doubted", words);
    let described = !is_alternating && is_said(load, Field::Description, named);
    let noted = !is_alternating && is_said(load, Field::Notes, |words, _| are_of("direct-current", words));
    let at_volts = || of_words(load, at_volts_of_row);
    described.then_some(Field::Description).or(noted.then_some(Field::Notes)).or_else(at_volts)
}

/// The voltage of the row as one of direct current.
fn at_volts_of_row(words: &[String], volts: Option<f64>) -> bool {
    volts.is_some_and(|volts| states_volts(words, volts)) && !suggests("beside-direct-current", words)
}

/// Words that name such a machine, or a supply of direct current, and may mean another circuit.
fn suggested(words: &[String], _: Option<f64>) -> bool {
    suggests("direct-current", words) || suggests("direct-current-asked", words) && !suggests("beside-direct-current", words)
}

/// Whether `110 V DC` stands there with the voltage of the row.
fn states_volts(words: &[String], volts: f64) -> bool {
    let is_kind = |word: Option<&String>| word.is_some_and(|word| is_mark(word));
    let of_volts = |word: Option<&String>| word.is_some_and(|word| matches!(word.as_str(), "v" | "volt" | "volts"));
    let same = |word: &String| word.parse::<f64>().is_ok_and(|figure| is_same_voltage(figure, volts));
    (0..words.len())
        .any(|at| same(&words[at]) && (is_kind(words.get(at + 1)) || of_volts(words.get(at + 1)) && is_kind(words.get(at + 2))))
}
