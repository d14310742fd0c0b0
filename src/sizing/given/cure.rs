//! Values that would do, held to their word: they are put into the row in the place of what does not hold, and the row is judged
//! again until nothing of it fails. What is told to a reader must still be true when he follows it.

use crate::load::{Entry, Field, Load, Text, Value};
use crate::sizing::assembly::Assembly;
use crate::sizing::given::read::Unreadable;
use crate::sizing::given::{Bench, Judged, Row, conductor, contactor, protective};

/// Rounds after which a row that still fails is left as it is: each column follows the others once or twice.
const ROUNDS: usize = 4;

/// Columns whose least value follows from the conductor and the device beside them.
const FOLLOWERS: &[Field] = &[Field::GivenProtectiveConductor, Field::GivenRaceway, Field::GivenParallel];

/// A column with its judgement.
pub(super) type Outcome = (Field, Result<Judged, Unreadable>);

/// The row with values in the place of those that do not hold.
struct Trial<'t, 'a> {
    row: &'t Row<'a>,
    assembly: &'t Assembly<'a>,
    circuit: &'t crate::design::Circuit,
    load: Load,
    columns: Vec<Field>,
    /// Larger ones than needed stay as they are given.
    first: bool,
}

/// Replaces what would do by values that hold together, and says beside which others each does.
pub(super) fn hold(row: &Row<'_>, assembly: &Assembly<'_>, circuit: &crate::design::Circuit, outcomes: &mut [Outcome]) {
    let columns: Vec<Field> = outcomes.iter().map(|(field, _)| *field).collect();
    let inadequate = of_those(outcomes, Judged::fails);
    // What is larger than needed or not checked may stay beside the cures, or follow its own.
    let others = of_those(outcomes, |judged| !judged.fails() && (judged.oversized.is_some() || judged.doubt.is_some()));
    // A cell for which no value would do is cleared, and the program's own choice stands there.
    let without = |judged: &Judged| judged.fails() && judged.wanted.is_empty();
    let cleared: Vec<Field> =
        outcomes.iter().filter(|(_, judged)| judged.as_ref().is_ok_and(without)).map(|(field, _)| *field).collect();
    if inadequate.is_empty() && others.is_empty() && cleared.is_empty() {
        return;
    }
    let columns = columns.into_iter().filter(|column| !cleared.contains(column)).collect();
    let mut trial = Trial { row, assembly, circuit, load: row.load.clone(), columns, first: true };
    for field in cleared {
        trial.load.remove(field);
    }
    let mut replaced = Vec::new();
    for more in [inadequate, others] {
        replaced.extend(more);
        trial.put_in(&replaced, outcomes);
        trial.settle(&replaced, outcomes);
        // What holds beside the given values and not beside those that would do moves along.
        let moved: Vec<Field> = trial
            .columns
            .iter()
            .copied()
            .filter(|column| !replaced.contains(column) && trial.fails(&trial.load, *column))
            .collect();
        replaced.extend(&moved);
        trial.settle(&replaced, outcomes);
        trial.moved(&moved, outcomes);
        trial.tell(&replaced, outcomes);
        trial.first = false;
    }
}

fn of_those(outcomes: &[Outcome], holds: impl Fn(&Judged) -> bool) -> Vec<Field> {
    let told =
        outcomes.iter().filter(|(_, judged)| judged.as_ref().is_ok_and(|judged| !judged.wanted.is_empty() && holds(judged)));
    told.map(|(field, _)| *field).collect()
}

/// What would do, as it is written into a cell; none where it is no value of that column.
fn cell(field: Field, wanted: &str) -> Option<Entry> {
    let number = |text: &str| text.split_whitespace().find_map(|word| word.parse::<f64>().ok());
    let (value, text) = match field {
        Field::GivenContactorA
        | Field::GivenOverloadSettingA
        | Field::GivenProtectionA
        | Field::GivenMagneticA
        | Field::GivenParallel => {
            let number = number(wanted)?;
            (Value::Number(number), crate::record::significant(number, 6))
        }
        // The number in parallel stands in its own column.
        Field::GivenConductor => {
            let one = wanted.split_once("x ").map_or(wanted, |(_, size)| size);
            (Value::Text(Text::from(one)), one.to_owned())
        }
        _ => (Value::Text(Text::from(wanted)), wanted.to_owned()),
    };
    Some(Entry { value, column: 0, text: Text::from(text.as_str()) })
}

impl<'t, 'a> Trial<'t, 'a> {
    fn judged(&self, load: &Load, field: Field) -> Option<Judged> {
        let Row { case, currents, point, tools, .. } = *self.row;
        let row = Row { load, case, currents, point, tools };
        Bench::new(&row, self.assembly, self.circuit).outcome(field).ok()
    }

    fn fails(&self, load: &Load, field: Field) -> bool {
        self.judged(load, field).is_none_or(|judged| judged.fails())
    }

    fn with(&self, field: Field, wanted: &str) -> Option<Load> {
        let mut load = self.load.clone();
        load.set(field, cell(field, wanted)?);
        Some(load)
    }

    fn put_in(&mut self, replaced: &[Field], outcomes: &[Outcome]) {
        for (field, judged) in outcomes.iter().filter(|(field, _)| replaced.contains(field)) {
            if let Some(load) = judged.as_ref().ok().and_then(|judged| self.with(*field, &judged.wanted)) {
                self.load = load;
            }
        }
    }

    /// Goes through the replaced columns until none of them fails beside the others.
    fn settle(&mut self, replaced: &[Field], outcomes: &mut [Outcome]) {
        for _ in 0..ROUNDS {
            let mut changed = false;
            for (field, judged) in outcomes.iter_mut().filter(|(field, _)| replaced.contains(field)) {
                let Ok(judged) = judged else { continue };
                let Some(beside) = self.judged(&self.load, *field) else { continue };
                let follows = self.first && FOLLOWERS.contains(field) && beside.wanted != judged.wanted;
                if beside.cures() && !follows {
                    continue;
                }
                if let Some((load, wanted)) = self.next(*field, &beside.wanted) {
                    changed |= judged.wanted != wanted;
                    judged.wanted = wanted;
                    self.load = load;
                }
            }
            if !changed {
                break;
            }
        }
    }

    /// The first value beside which nothing fails, else the first that does not fail itself.
    fn next(&self, field: Field, wanted: &str) -> Option<(Load, String)> {
        let further = std::iter::once(wanted.to_owned()).chain(self.further(field, wanted));
        let tried = further.filter_map(|wanted| Some((self.with(field, &wanted)?, wanted)));
        let cures = |load: &Load| self.judged(load, field).is_some_and(|judged| judged.cures());
        let alone: Vec<(Load, String)> = tried.filter(|(load, _)| cures(load)).collect();
        let holds = |load: &Load| self.columns.iter().all(|column| !self.fails(load, *column));
        let together = alone.iter().position(|(load, _)| holds(load));
        alone.into_iter().nth(together.unwrap_or(0))
    }

    /// Larger values of a column, as they would be told.
    fn further(&self, field: Field, wanted: &str) -> Vec<String> {
        let Row { case, currents, point, tools, .. } = *self.row;
        let row = Row { load: &self.load, case, currents, point, tools };
        let bench = Bench::new(&row, self.assembly, self.circuit);
        match field {
            Field::GivenContactorA => contactor::ratings(&bench, wanted),
            Field::GivenNemaSize => contactor::sizes(&bench),
            Field::GivenOverloadSettingA => bench.stated.range.iter().flatten().rev().map(|end| super::amperes(*end)).collect(),
            Field::GivenTripClass => tools.book.trip_classes().iter().map(|class| format!("class {class}")).collect(),
            Field::GivenProtectionA => protective::ratings(&bench).into_iter().map(super::amperes).collect(),
            Field::GivenConductor => conductor::larger(&bench),
            _ => Vec::new(),
        }
    }

    /// Says of values that hold as the row stands what they take beside those that would do.
    fn moved(&self, moved: &[Field], outcomes: &mut [Outcome]) {
        for (_, judged) in outcomes.iter_mut().filter(|(field, _)| moved.contains(field)) {
            let Ok(judged) = judged else { continue };
            judged.remarks.push(format!("beside what would do for the others it takes {}", judged.wanted));
        }
    }

    /// Says beside which other values each of them holds, where it does not hold in the row as it stands, or others do not beside it.
    fn tell(&self, replaced: &[Field], outcomes: &mut [Outcome]) {
        let changed: Vec<(Field, String)> = outcomes
            .iter()
            .filter(|(field, _)| replaced.contains(field))
            .filter_map(|(field, judged)| Some((*field, judged.as_ref().ok()?.wanted.clone())))
            .collect();
        for (field, judged) in outcomes.iter_mut().filter(|(field, _)| replaced.contains(field)) {
            let Ok(judged) = judged else { continue };
            if self.judged(&self.load, *field).is_some_and(|beside| beside.start_unknown) {
                judged.wanted.clear();
                continue;
            }
            if self.fails(&self.load, *field) {
                judged.beside = "the program's other choices".to_owned();
                continue;
            }
            judged.beside = self.needed_beside(*field, &judged.wanted, &changed).join(", ");
        }
    }

    /// The values of other columns without which one that would do fails, or makes one fail that the row keeps.
    fn needed_beside(&self, field: Field, wanted: &str, changed: &[(Field, String)]) -> Vec<String> {
        let mut alone = self.row.load.clone();
        if let Some(entry) = cell(field, wanted) {
            alone.set(field, entry);
        }
        let fails_alone = self.fails(&alone, field);
        let others = changed.iter().filter(|(other, _)| *other != field);
        let needed = others.filter(|(other, _)| {
            let mut without = self.load.clone();
            match self.row.load.entry(*other) {
                Some(entry) => without.set(*other, entry.clone()),
                None => without.remove(*other),
            }
            let spoilt = || !self.fails(self.row.load, *other) && self.fails(&alone, *other);
            (fails_alone && self.fails(&without, field)) || spoilt()
        });
        needed.map(|(other, wanted)| format!("{} {wanted}", other.spec().name)).collect()
    }
}
