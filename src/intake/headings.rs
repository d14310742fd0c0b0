//! The meaning of a column's heading: canonical names, and the spellings of the trade in six languages as data.
//!
//! Whole strings count first, single words second, parts of words never.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::LazyLock;

use super::matters::Said;
use super::units::{Unit, two_powers, unit_of};
use super::{fold, machines, shown, tables};
use crate::finding::nearest;
use crate::load::{FIELDS, Field, FieldSpec, Kind};

mod spellings;
mod units;

use spellings::{Entry, GROUPS, SPELLINGS};
pub(super) use units::unit_of_heading;
use units::{brackets, has_foreign_unit, qualifier, unit_within, without_brackets, without_unit};

/// Longest heading that is looked up, in bytes.
const LONGEST: usize = 160;

/// A meaning that a column may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meaning {
    /// A field.
    Field(Field),
    /// A column that is ticked for a value of a field: a starting method, a class of supply.
    Tick(Field, &'static str),
    /// Known, and not read.
    Unused,
    /// Not read because the user says so.
    LeftOut,
}

/// A heading that was recognised.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Recognised {
    /// Meanings in the order in which they are tried against the contents.
    pub(super) meanings: Vec<Meaning>,
    /// Unit that the heading states.
    pub(super) unit: Option<Unit>,
    /// The field whose canonical name it is.
    pub(super) canonical: Option<Field>,
}

impl Recognised {
    /// Whether it may mean the field.
    pub(super) fn may_be(&self, field: Field) -> bool {
        self.meanings.contains(&Meaning::Field(field))
    }

    /// Whether it may mean a figure with a unit.
    pub(super) fn is_measured(&self) -> bool {
        self.meanings.iter().any(|meaning| matches!(meaning, Meaning::Field(field) if !field.spec().unit.is_empty()))
    }

    fn may_mean(&self, test: impl Fn(&FieldSpec) -> bool) -> bool {
        self.meanings.iter().any(|meaning| matches!(meaning, Meaning::Field(field) if test(field.spec())))
    }

    /// Whether it may mean a figure, with a unit or without: the qualified one is another.
    fn is_figure(&self) -> bool {
        self.may_mean(|spec| matches!(spec.kind, Kind::Number(..) | Kind::Count(..))) || self.is_measured()
    }

    /// Whether it may mean one of a list of words, or the board: they are often explained in brackets.
    fn is_choice(&self) -> bool {
        self.may_mean(|spec| matches!(spec.kind, Kind::Choice(_) | Kind::YesNo) || spec.field == Field::Board)
    }

    /// Whether it may mean a figure of the cable to the motor.
    fn is_of_a_run(&self) -> bool {
        [Field::CableLengthM, Field::SupplyLengthM, Field::InstallationMethod].iter().any(|field| self.may_be(*field))
    }

    /// Whether it may mean an electrical quantity of the motor.
    fn is_of_the_motor(&self) -> bool {
        use Field as F;
        let quantities = [
            F::RatedPowerKw,
            F::RatedPowerHp,
            F::RatedPowerKva,
            F::ReactivePowerKvar,
            F::AbsorbedPowerKw,
            F::FullLoadCurrentA,
            F::VoltageV,
            F::EfficiencyPct,
            F::PowerFactor,
        ];
        quantities.iter().any(|field| self.may_be(*field))
    }
}

/// The field whose canonical name a heading is; case, spaces, hyphens and underscores make no difference.
#[must_use]
pub(super) fn field(heading: &str) -> Option<Field> {
    if heading.len() > 64 {
        return None;
    }
    SPELLINGS.canonical.get(&letters(heading)).copied()
}

/// The canonical name that a misspelt heading may mean.
#[must_use]
pub(super) fn suggestion(heading: &str) -> Option<&'static str> {
    nearest(&heading.trim().replace([' ', '-'], "_"), FIELDS.iter().map(|spec| spec.name))
}

/// Recognises a heading that stands alone.
pub(super) fn recognise(heading: &str) -> Option<Recognised> {
    if heading.trim().is_empty() || heading.len() > LONGEST {
        return None;
    }
    if let Some(field) = field(heading) {
        // A canonical name may be a word of the trade too, such as `Phase` or `Duty`; its contents decide then.
        let meanings = whole(heading, "").map_or_else(|| vec![Meaning::Field(field)], |found| found.meanings);
        let meanings = if meanings.contains(&Meaning::Field(field)) { meanings } else { vec![Meaning::Field(field)] };
        return Some(Recognised { meanings, unit: None, canonical: Some(field) });
    }
    if let Some((single, pair)) = two_powers(heading) {
        return of_a_pair(recognise(&single)?, pair);
    }
    // `# DUTY`, `# of Fans`: a number of.
    if let Some(counted) = heading.trim_start().strip_prefix('#').filter(|rest| rest.chars().any(char::is_alphabetic))
        && let Some(found) = recognise(&format!("No. {}", counted.trim()))
    {
        return Some(found);
    }
    let plain = |heading: &str| whole(heading, "").or_else(|| sides(heading)).or_else(|| by_words(heading));
    let marked = || match shown::without_mark(heading) {
        Cow::Owned(bare) => plain(&bare),
        Cow::Borrowed(_) => None,
    };
    plain(heading).or_else(|| combined_supply(heading)).or_else(marked).or_else(|| of_a_machine(heading))
}

/// Words of headings of a combined supply, and what each says.
static SUPPLY_WORDS: LazyLock<HashMap<String, String>> = LazyLock::new(|| {
    let rows: Vec<Said> = tables::rows(include_str!("tables/supply-headings.csv"));
    let words = |row: Said| row.phrases.split('|').map(|word| (word.to_owned(), row.says.clone())).collect::<Vec<_>>();
    rows.into_iter().flat_map(words).collect()
});

/// `Volts / Ph / Hz`, `Supply Voltage, Phase, Hz`, `V / Ø / Hz`: a voltage and phases behind it, and nothing but what names a supply.
fn combined_supply(heading: &str) -> Option<Recognised> {
    let words = fold::words(heading);
    let said_by = |word: &String, says: &str| SUPPLY_WORDS.get(word.as_str()).is_some_and(|said| *said == says);
    let at = |says: &str| words.iter().position(|word| said_by(word, says));
    // A phase voltage is that to the neutral.
    let (voltage, phases) = (at("voltage")?, at("phases")?);
    (voltage < phases && words.iter().all(|word| SUPPLY_WORDS.contains_key(word.as_str()))).then(|| Recognised {
        meanings: vec![Meaning::Field(Field::Supply)],
        unit: None,
        canonical: None,
    })
}

/// A column of a power in two units: no other quantity has both.
fn of_a_pair(mut found: Recognised, pair: Unit) -> Option<Recognised> {
    let power = [Field::RatedPowerKw, Field::RatedPowerHp, Field::AbsorbedPowerKw].map(Meaning::Field);
    found.meanings.retain(|meaning| power.contains(meaning) || *meaning == Meaning::Unused);
    (!found.meanings.is_empty()).then_some(Recognised { unit: Some(pair), canonical: None, ..found })
}

/// `Supply fan kW`: a unit of power or current behind the name of a machine.
fn of_a_machine(heading: &str) -> Option<Recognised> {
    let (_, rest) = machines::machine_of(heading)?;
    let found = recognise(&rest).filter(Recognised::is_of_the_motor)?;
    found.unit.is_some_and(|unit| unit.is_power() || unit == Unit::Ampere).then_some(found)
}

/// Recognises a heading below a group heading.
pub(super) fn recognise_below(group: &str, heading: &str) -> Option<Recognised> {
    if group.trim().is_empty() {
        return recognise(heading);
    }
    if heading.trim().is_empty() {
        return recognise(group);
    }
    if let Some((single, pair)) = two_powers(heading) {
        return of_a_pair(recognise_below(group, &single)?, pair);
    }
    let both = format!("{group} {heading}");
    if both.len() > LONGEST {
        return recognise(heading);
    }
    let below = |group: &String| GROUPS.iter().find(|name| *name == group).and_then(|name| whole(heading, name));
    let in_group = || groups(group).iter().find_map(below);
    let measured = || {
        let unit = unit_of(heading)?;
        let upper = recognise(group)?;
        admitting(Recognised { unit: upper.unit.or(Some(unit)), ..upper }, Some(unit))
    };
    let canonical =
        || field(&both).map(|field| Recognised { meanings: vec![Meaning::Field(field)], unit: None, canonical: Some(field) });
    // `Amps` below `Starting` and `Voltage` below `Control` are not those of the motor.
    let alone = || {
        let found = recognise(heading)?;
        let other = found.is_of_the_motor() && is_foreign(group) || found.is_of_a_run() && !is_of_a_run(group);
        Some(if other { Recognised { meanings: vec![Meaning::Unused], unit: None, canonical: None } } else { found })
    };
    // `Electrical power` is an input and not read; `Power` below `Electrical` is that of the motor, as its unit says.
    let of_motor = groups(group).iter().any(|group| group == "motor");
    let together =
        || whole(&both, "").filter(|found| !(of_motor && found.meanings == [Meaning::Unused] && recognise(heading).is_some()));
    in_group().or_else(together).or_else(canonical).or_else(alone).or_else(measured).or_else(|| by_words(&both))
}

/// Whether what stands below a group heading belongs to something else than the motor.
pub(super) fn is_foreign(group: &str) -> bool {
    let groups = groups(group);
    if groups.iter().any(|group| matches!(group.as_str(), "motor" | "power" | "supply")) {
        return false;
    }
    groups.iter().any(|group| matches!(group.as_str(), "starter" | "control" | "cable"))
        || SPELLINGS.foreign.contains(&fold::key(group))
        || fold::words(group).iter().any(|word| SPELLINGS.foreign.contains(word))
        || whole(group, "").is_some_and(|found| found.meanings == [Meaning::Unused])
}

/// Whether a length below a group heading may be that of the motor's own cable. That of a control cable or a heater is none.
fn is_of_a_run(group: &str) -> bool {
    let groups = groups(group);
    let of_machine = |group: &String| matches!(group.as_str(), "motor" | "power" | "supply" | "cable");
    groups.iter().any(of_machine) || !is_foreign(group)
}

/// Whether a text may stand over several headings: a group of the motor's or of something else, or a machine.
pub(super) fn is_group(text: &str) -> bool {
    !groups(text).is_empty() || is_foreign(text) || machines::machine_of(text).is_some_and(|(_, rest)| rest.is_empty())
}

/// Whether figures in a unit can be values of a column.
fn admits(meaning: Meaning, unit: Unit) -> bool {
    let Meaning::Field(field) = meaning else {
        return matches!(meaning, Meaning::Unused | Meaning::LeftOut) || !unit.is_measure();
    };
    if !unit.is_measure() {
        return true;
    }
    match (field, field.spec().unit) {
        (Field::Supply, _) | (_, "V") => matches!(unit, Unit::Volt | Unit::Kilovolt),
        (_, "kvar") => unit == Unit::Kilovar,
        (_, "kW" | "hp" | "kVA") => unit.is_power() && unit != Unit::Kilovar,
        (_, "W") => unit.is_power(),
        (_, "A") => unit == Unit::Ampere,
        (_, "kA") => unit == Unit::Kiloampere,
        (Field::GivenConductor | Field::GivenProtectiveConductor, _) => {
            matches!(unit, Unit::SquareMillimetre | Unit::WireGauge | Unit::ThousandCircularMils)
        }
        (_, "Hz") => unit == Unit::Hertz,
        (_, "m" | "ft") => matches!(unit, Unit::Metre | Unit::Kilometre | Unit::Foot),
        (_, "°C") => matches!(unit, Unit::Celsius | Unit::Fahrenheit),
        (_, "1/h") => unit == Unit::PerHour,
        (_, "s") => unit == Unit::Second,
        (Field::ControlVoltage | Field::FeedbackLevel, _) => unit == Unit::Volt,
        (Field::PowerFactor | Field::StartingPowerFactor | Field::DemandFactor | Field::ServiceFactor, _) | (_, "%") => {
            matches!(unit, Unit::Percent | Unit::Share)
        }
        _ => false,
    }
}

/// A unit that a word of a heading names and the field admits: `Rating kW (HS)`.
pub(super) fn unit_named(heading: &str, field: Field) -> Option<Unit> {
    let mut units = heading.split(|letter: char| !letter.is_alphanumeric()).filter(|word| word.len() > 1).filter_map(unit_of);
    units.find(|unit| unit.is_measure() && admits(Meaning::Field(field), *unit))
}

/// Keeps the meanings that a unit admits; none if it admits none.
pub(super) fn admitting(mut found: Recognised, unit: Option<Unit>) -> Option<Recognised> {
    let Some(unit) = unit else { return Some(found) };
    found.meanings.retain(|meaning| admits(*meaning, unit));
    // A rated power in horsepower is a column of its own: one in kilowatts may stand beside it.
    if unit == Unit::Horsepower {
        let kilowatts = |meaning: &&mut Meaning| **meaning == Meaning::Field(Field::RatedPowerKw);
        found.meanings.iter_mut().filter(kilowatts).for_each(|meaning| *meaning = Meaning::Field(Field::RatedPowerHp));
        found.meanings.dedup();
    }
    (!found.meanings.is_empty()).then_some(found)
}

/// Kinds of group that a group heading names.
pub(super) fn groups(heading: &str) -> Vec<String> {
    if heading.len() > LONGEST {
        return Vec::new();
    }
    let whole = SPELLINGS.groups.get(&fold::key(heading)).cloned().unwrap_or_default();
    if !whole.is_empty() {
        return whole;
    }
    let words = fold::words(heading);
    words.iter().filter(|word| word.len() > 3).filter_map(|word| SPELLINGS.groups.get(word)).flatten().cloned().collect()
}

/// The whole string, as it stands, without its unit, and with words that a line break parted.
fn whole(heading: &str, group: &str) -> Option<Recognised> {
    let entries = SPELLINGS.entries.get(group)?;
    // A figure in millimetres or tons is something else than its name without the unit says.
    let foreign = has_foreign_unit(heading);
    let found = |text: &str, unit: Option<Unit>| {
        let key = fold::key(text);
        let plain = || key.replace("ae", "a").replace("oe", "o").replace("ue", "u");
        let entry = entries.get(&key).or_else(|| entries.get(&plain()))?;
        // `HP (EA)` is in horsepower, of each.
        let unit = unit.filter(|unit| *unit != Unit::Pieces || entry.unit.is_none());
        admitting(Recognised { meanings: entry.meanings.clone(), unit: unit.or(entry.unit), canonical: None }, unit)
    };
    let (base, unit) = without_unit(heading);
    let parted = heading.contains('\n').then(|| heading.replace("-\n", "").replace('\n', ""));
    let bare = without_brackets(heading);
    let Some(said) = brackets(heading).and_then(|(start, end)| qualifier(&heading[start + 1..end])) else {
        // `Section (mm²)` is that of a cable, `Section` one of the list.
        let sized = matches!(unit, Some(Unit::SquareMillimetre | Unit::WireGauge | Unit::ThousandCircularMils));
        return unit
            .filter(|_| sized)
            .and_then(|unit| found(&format!("{base} {}", unit.symbol()), Some(unit)))
            // `KVA code`: a letter has no unit, so what looks like one belongs to its name.
            .or_else(|| found(heading, None).filter(Recognised::is_choice))
            .or_else(|| found(heading, unit))
            .or_else(|| unit.and_then(|unit| found(&base, Some(unit))))
            .or_else(|| bare.filter(|_| !foreign).and_then(|text| found(&text, unit)))
            .or_else(|| parted.and_then(|text| found(&text, None)));
    };
    // `Power (total)` is not `Power`: what stands in brackets belongs to the name, before or behind it.
    let bare = bare.unwrap_or_default();
    let agrees = |found: &Recognised| whole(&said, group).is_some_and(|inner| inner.meanings == found.meanings);
    let repeats = |found: &Recognised| {
        let of_field = |word: &String| {
            SPELLINGS
                .repeated
                .iter()
                .any(|(field, repeated)| repeated == word && found.meanings.first() == Some(&Meaning::Field(*field)))
        };
        fold::words(&said).iter().all(of_field)
    };
    let same =
        |found: &Recognised| repeats(found) || agrees(found) || !(found.is_figure() || found.is_choice() && is_foreign(&said));
    found(heading, unit)
        .or_else(|| found(&format!("{said} {bare}"), unit))
        .or_else(|| found(&format!("{bare} {said}"), unit))
        .or_else(|| found(&bare, unit).filter(|_| !foreign).filter(same))
}

/// Two languages in one heading: every side that is a heading must say the same.
fn sides(heading: &str) -> Option<Recognised> {
    // `V/Ph/Hz` below `Supply` is one side.
    sides_by(heading, &['|', '\n']).or_else(|| sides_by(heading, &['/', '|', '\n']))
}

fn sides_by(heading: &str, marks: &[char]) -> Option<Recognised> {
    let (base, unit) = without_unit(heading);
    let parts: Vec<&str> = base.split(marks).filter(|part| !part.trim().is_empty()).collect();
    if parts.len() < 2 {
        return None;
    }
    let sides: Vec<Recognised> = parts.iter().map(|part| whole(part, "")).collect::<Option<_>>()?;
    let first = sides.first()?;
    let shared: Vec<Meaning> =
        first.meanings.iter().filter(|meaning| sides.iter().all(|side| side.meanings.contains(meaning))).copied().collect();
    let units: Vec<Unit> = sides.iter().filter_map(|side| side.unit).collect();
    (!shared.is_empty() && shared != [Meaning::Unused]).then(|| Recognised {
        meanings: shared,
        unit: unit.or(units.first().copied()),
        canonical: None,
    })
}

/// A heading with words in brackets that make it another one, as it reads without them.
pub(super) fn recognise_bare(heading: &str) -> Option<Recognised> {
    recognise(&without_brackets(heading)?)
}

/// Words within a heading whose other words change nothing.
fn by_words(heading: &str) -> Option<Recognised> {
    if has_foreign_unit(heading) {
        return None;
    }
    let (base, unit) = without_unit(heading);
    // `HP rated`: the unit may be the only word that says something.
    words_within(&base, unit).or_else(|| unit_within(heading).and_then(|_| words_within(heading, unit)))
}

fn words_within(text: &str, unit: Option<Unit>) -> Option<Recognised> {
    let words = fold::words(text);
    if words.is_empty() || words.len() > 10 {
        return None;
    }
    let entries = SPELLINGS.entries.get("")?;
    for count in (1..words.len()).rev() {
        let mut found: Vec<(usize, &Entry)> = (0..=words.len() - count)
            .filter_map(|at| {
                let key = words[at..at + count].concat();
                entries
                    .get(&key)
                    .filter(|_| key.len() > 1 && !(count == 1 && SPELLINGS.fillers.contains(&key)))
                    .map(|entry| (at, entry))
            })
            .collect();
        found.retain(|(at, _)| {
            let others = words[..*at].iter().chain(&words[at + count..]);
            others.clone().all(|word| SPELLINGS.fillers.contains(word) || word.bytes().all(|byte| byte.is_ascii_digit()))
        });
        if let Some((_, entry)) = found.first() {
            let agree = found.iter().all(|(_, other)| other.meanings == entry.meanings);
            let used = entry.meanings != [Meaning::Unused];
            let recognised = Recognised { meanings: entry.meanings.clone(), unit: unit.or(entry.unit), canonical: None };
            return admitting(recognised, unit).filter(|_| agree && used);
        }
    }
    None
}

/// The first heading that is not understood and speaks of the cable, as a finding quotes it: it may hold the length. One that states
/// another unit does not, and metres alone may be the head of a pump.
#[must_use]
pub(crate) fn unread_length(headings: &[String]) -> Option<String> {
    let length = |unit: Unit| matches!(unit, Unit::Metre | Unit::Kilometre | Unit::Foot);
    let of_cable = |heading: &str| groups(heading).iter().any(|group| group == "cable");
    let may_be = |heading: &str| {
        recognise(heading).is_none()
            && of_cable(heading)
            && match without_unit(heading).1 {
                Some(unit) => length(unit),
                None => brackets(heading).is_none(),
            }
    };
    headings.iter().find(|heading| may_be(heading)).map(|heading| super::text::shortened(heading))
}

fn letters(text: &str) -> String {
    let separator = |c: char| c == '_' || c == '-' || c == '\u{feff}' || c.is_whitespace();
    text.chars().filter(|&c| !separator(c)).map(|c| c.to_ascii_lowercase()).collect()
}

#[cfg(test)]
mod tests;
