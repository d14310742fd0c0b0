//! Finds the differences in a circuit and their causes: the old row is sized again, by what surrounds the new side, with one of its
//! changes at a time. What no single change brings about is tried the other way round, with one change taken back. What is missing because
//! a cell could not be read is laid to that cell's column. What surrounds a row and what its neighbours ask of their board are told apart
//! by one more trial: the old row beside the old rows, by what surrounds the new side.

use std::cell::OnceCell;

use super::around::Around;
use super::selection::{self, Selection, value};
use super::{Consequence, FieldChange, Stated, rank};
use crate::design::{Circuit, Status};
use crate::finding::{Finding, Severity, codes};

/// A pair of rows with all that may bring about a difference between them.
#[derive(Clone, Copy)]
pub(super) struct Pair<'p, 'd> {
    pub(super) old: &'p Circuit,
    pub(super) new: &'p Circuit,
    /// The fields that they state differently.
    pub(super) fields: &'p [FieldChange],
    /// Columns of quantities that are the same but for the rounding of another unit.
    pub(super) rounded: &'p [&'static str],
    pub(super) around: &'p Around<'d>,
}

/// The cause where neither a column nor what surrounds the row brings a difference about.
pub(crate) const OTHER_ROWS: &str = "other rows";

/// A value that differs: its path, before, after, and because of what.
pub(super) struct Differing {
    pub(super) path: String,
    pub(super) old: String,
    pub(super) new: String,
    pub(super) because: Vec<String>,
}

/// The consequences of a pair of rows, what a reader asks for first in front.
pub(super) fn consequences(pair: Pair<'_, '_>) -> Vec<Consequence> {
    let found = pair.differences(selection::of, |_| true);
    let mut found: Vec<Consequence> = found
        .into_iter()
        .map(|Differing { path, old, new, because }| Consequence { path, old, new, because })
        .filter(|consequence| !only_rounded(consequence, pair.rounded))
        .collect();
    rank::sort(&mut found);
    found
}

impl Pair<'_, '_> {
    /// Gives the differences between the values laid out of both circuits, as far as they are asked for, with their causes. Rows are
    /// sized again only if something differs.
    pub(super) fn differences(&self, lay: fn(&Circuit) -> Selection, asked: impl Fn(&str) -> bool) -> Vec<Differing> {
        let (before, after) = (lay(self.old), lay(self.new));
        let differing: Vec<String> = differing(&before, &after).into_iter().filter(|path| asked(path)).collect();
        if differing.is_empty() {
            return Vec::new();
        }
        // Words for people are asked about, and may say what a load is: they are tried too.
        let stated = self.fields.iter().map(|change| change.field.as_str());
        let causes: Vec<&str> = stated.chain(self.rounded.iter().copied()).collect();
        let kinds = &self.around.kinds;
        let tried = self.around.trial.map(|trial| Tried::new(self, &causes, &|stated| lay(&trial.size(stated))));
        let beside_old_rows = OnceCell::new();
        let beside_old_rows =
            || beside_old_rows.get_or_init(|| self.around.beside_old_rows(self.old).map(|circuit| lay(&circuit)));
        let new_by_old = OnceCell::new();
        let by_old_surroundings =
            || new_by_old.get_or_init(|| self.around.by_old_surroundings(self.new).map(|circuit| lay(&circuit))).as_ref();
        let old_among_old = OnceCell::new();
        let before_is_seen = |path: &str| {
            let old = old_among_old.get_or_init(|| self.around.old_among_old(self.old).map(|circuit| lay(&circuit)));
            old.as_ref().is_none_or(|old| value(old, path) == value(&before, path))
        };
        let singles = Singles::new(self, lay);
        let because = |path: &str| match &tried {
            Some(tried) => {
                let mut because = tried.because(path);
                let by_columns = !because.is_empty();
                // What a column brings about only by what surrounds the new side is laid to both.
                if !kinds.is_empty() && !because.is_empty() {
                    let without = by_old_surroundings();
                    because.extend(
                        kinds
                            .iter()
                            .filter(|_| without.is_some_and(|without| value(without, path) != value(&after, path)))
                            .cloned(),
                    );
                }
                if !kinds.is_empty() && value(&tried.plain, path) != value(&before, path) {
                    because.extend(self.apart(path, &before, &tried.plain, beside_old_rows().as_ref()));
                }
                // What boards, the network, the reader or a decision give a row no trial of the row alone sees.
                let is_seen = by_columns || value(&tried.whole, path) == value(&after, path) && before_is_seen(path);
                if !is_seen {
                    match self.held_for(path) {
                        Some(cause) if because.is_empty() => because.push(cause.to_owned()),
                        Some(_) => {}
                        None => because.extend(self.all_that_may()),
                    }
                }
                once_each(&mut because);
                because
            }
            // Nothing can be tried.
            None => self.decisive().chain(kinds.iter().cloned()).collect(),
        };
        let found = differing.into_iter().map(|path| {
            let (old, new) = (value(&before, &path).to_owned(), value(&after, &path).to_owned());
            let mut because = self.unread(&path, &old, &new).unwrap_or_else(|| because(&path));
            if because.is_empty() {
                because.push(self.held_for(&path).unwrap_or(OTHER_ROWS).to_owned());
            }
            if because.iter().any(|cause| kinds.contains(cause)) {
                because = self.told_apart(because, &path, singles.of(&path), &before_is_seen);
            }
            Differing { path, old, new, because }
        });
        found.collect()
    }

    /// The cause where either side waits for what the reader found in it.
    fn held_for(&self, path: &str) -> Option<&'static str> {
        let either = |holds: fn(&Circuit) -> bool| holds(self.old) || holds(self.new);
        let edited = || (path == "status" && either(holds_edited_result)).then_some(EDITED_RESULT);
        if either(holds_unread) { Some(UNREAD) } else { edited() }
    }

    /// Columns that the sides state otherwise; words for people only where nothing else differs.
    fn decisive(&self) -> impl Iterator<Item = String> {
        let alone = self.fields.iter().all(|change| change.text_only) && self.rounded.is_empty();
        let fields = self.fields.iter().filter(move |change| alone || !change.text_only).map(|change| change.field.clone());
        fields.chain(self.rounded.iter().map(|field| (*field).to_owned()))
    }

    /// All that may have caused what can't be tried.
    fn all_that_may(&self) -> impl Iterator<Item = String> {
        let carried = (self.old.carried != self.new.carried).then(|| CARRIED.to_owned());
        let others = self.around.others_differ(self.old, self.new).then(|| OTHER_ROWS.to_owned());
        self.decisive().chain(carried).chain(self.around.kinds.iter().cloned()).chain(others)
    }

    /// Causes in which what surrounds the rows is told by what of it brings the difference about.
    fn told_apart(
        &self,
        because: Vec<String>,
        path: &str,
        singles: Vec<String>,
        before_is_seen: &dyn Fn(&str) -> bool,
    ) -> Vec<String> {
        let around = self.around;
        let is_kind = |cause: &String| around.kinds.contains(cause);
        if !singles.is_empty() {
            let program = because.iter().filter(|cause| *cause == "program" && !before_is_seen(path));
            let others = because.iter().filter(|cause| !is_kind(cause));
            return others.cloned().chain(singles).chain(program.cloned()).collect();
        }
        let decisions = if path == "status" { self.decisions() } else { Vec::new() };
        if !decisions.is_empty() {
            return because.into_iter().filter(|cause| !is_kind(cause)).chain(decisions).collect();
        }
        let only = |cause: String| around.only(&cause).filter(|_| is_kind(&cause)).map_or(cause.clone(), str::to_owned);
        because.into_iter().map(only).collect()
    }

    /// Decisions of the basis by which a finding of the row keeps it waiting on one side alone.
    fn decisions(&self) -> Vec<String> {
        let holds = |circuit: &Circuit, code: &str| {
            circuit.findings.iter().any(|finding| finding.code.as_str() == code && finding.severity != Severity::Note)
        };
        let codes: std::collections::BTreeSet<&str> =
            self.old.findings.iter().chain(&self.new.findings).map(|finding| finding.code.as_str()).collect();
        let settled = codes.into_iter().filter(|code| holds(self.old, code) != holds(self.new, code));
        settled.flat_map(|code| self.around.decisions(&self.new.tag, code)).collect()
    }

    /// What surrounds the row, other rows, or both: the causes of what the old row became beside the new rows. Both are named where each
    /// has a part in it, and where the one undoes what the other does.
    fn apart(&self, path: &str, before: &Selection, beside_new: &Selection, beside_old: Option<&Selection>) -> Vec<String> {
        let surroundings = self.around.kinds.iter().cloned();
        let Some(beside_old) = beside_old else { return surroundings.chain([OTHER_ROWS.to_owned()]).collect() };
        let of_surroundings = value(beside_old, path) != value(before, path);
        let of_others = value(beside_old, path) != value(beside_new, path);
        let others = of_others.then(|| OTHER_ROWS.to_owned());
        surroundings.filter(|_| of_surroundings).chain(others).collect()
    }

    /// Columns that can't be read, of the side that is not sized for it and lacks this.
    fn unread(&self, path: &str, old: &str, new: &str) -> Option<Vec<String>> {
        let lacks = |circuit: &Circuit, value: &str| holds_unread(circuit) && (value.is_empty() || path == "status");
        let side = [(self.new, new), (self.old, old)].into_iter().find(|(circuit, value)| lacks(circuit, value))?.0;
        (!side.unread.is_empty()).then(|| side.unread.keys().cloned().collect())
    }
}

/// The cause where a row is not sized because of what it does not state legibly: no column holds a value that could be tried.
const UNREAD: &str = "a cell that can't be read";

/// The cause where the row says something else in a column that the program does not read, and asks about.
const CARRIED: &str = "a column that is not read";

/// The cause where somebody edited a result in a workbook that came back: the row waits for a decision, whatever it states.
const EDITED_RESULT: &str = "an edited result";

fn holds_edited_result(circuit: &Circuit) -> bool {
    circuit.findings.iter().any(|found| found.code == codes::I502_RESULT_EDITED.code)
}

/// A row is held because of what the reader found in it.
fn holds_unread(circuit: &Circuit) -> bool {
    let of_reader = |found: &Finding| found.code.starts_with('I') && found.severity != Severity::Note;
    circuit.status == Status::NotSized && circuit.findings.iter().any(of_reader)
}

/// How far currents may differ by the rounding of a quantity that is stated in another unit: standard outputs such as 15 kW and 20 hp,
/// 14.914 kW, differ by 0.6 per cent (common practice, no source).
pub(crate) const ROUNDING: f64 = 0.01;

/// A current whose digits follow the rounding of another unit is no change.
fn only_rounded(consequence: &Consequence, rounded: &[&'static str]) -> bool {
    let of_rounding = consequence.because.iter().all(|cause| rounded.contains(&cause.as_str()));
    let near = match (consequence.old.parse::<f64>(), consequence.new.parse::<f64>()) {
        (Ok(one), Ok(other)) => (one - other).abs() <= ROUNDING * one.abs().max(other.abs()),
        _ => false,
    };
    of_rounding && near && consequence.path.starts_with("currents.")
}

/// Paths whose values differ: those of the new side in its order, then those that are gone.
fn differing(before: &Selection, after: &Selection) -> Vec<String> {
    let of: std::collections::BTreeMap<&str, &str> = before.iter().map(|(path, value)| (path.as_str(), value.as_str())).collect();
    let there: std::collections::BTreeSet<&str> = after.iter().map(|(path, _)| path.as_str()).collect();
    let changed =
        after.iter().filter(|(path, value)| of.get(path.as_str()) != Some(&value.as_str())).map(|(path, _)| path.clone());
    let gone = before.iter().filter(|(path, _)| !there.contains(path.as_str())).map(|(path, _)| path.clone());
    changed.chain(gone).collect()
}

/// Circuits of the trials.
struct Tried {
    /// The old row, by what surrounds the new side.
    plain: Selection,
    /// The new row by itself.
    whole: Selection,
    /// By change: the old row with it, and the new row without it.
    each: Vec<(String, Selection, Selection)>,
    /// Changes from which a choice may follow.
    decisive: Vec<String>,
}

impl Tried {
    fn new(pair: &Pair<'_, '_>, causes: &[&str], size: &dyn Fn(&Stated) -> Selection) -> Self {
        let (old, new) = (pair.old, pair.new);
        let each = causes.iter().map(|cause| {
            let one_more = with(&old.stated, &new.stated, cause);
            let one_less = with(&new.stated, &old.stated, cause);
            ((*cause).to_owned(), size(&one_more), size(&one_less))
        });
        Self { each: each.collect(), plain: size(&old.stated), whole: size(&new.stated), decisive: pair.decisive().collect() }
    }

    /// Columns that bring a difference about.
    fn because(&self, path: &str) -> Vec<String> {
        let names = |differs: &dyn Fn(&(String, Selection, Selection)) -> bool| {
            self.each.iter().filter(|trial| differs(trial)).map(|trial| trial.0.clone()).collect::<Vec<String>>()
        };
        let mut found = names(&|(_, with, _)| value(with, path) != value(&self.plain, path));
        if found.is_empty() {
            found = names(&|(_, _, without)| value(without, path) != value(&self.whole, path));
        }
        // Several changes may each do it alone, together they certainly do.
        if found.is_empty() && value(&self.plain, path) != value(&self.whole, path) {
            found.clone_from(&self.decisive);
        }
        found
    }
}

/// Trials of a pair with one thing around it as the other side has it, each made when it is first asked for.
struct Singles<'p, 'q, 'd> {
    pair: &'q Pair<'p, 'd>,
    lay: fn(&Circuit) -> Selection,
    new: OnceCell<Option<Selection>>,
    old: OnceCell<Option<Selection>>,
    left_out: Vec<OnceCell<Option<Selection>>>,
    put_in: Vec<OnceCell<Option<Selection>>>,
}

impl<'p, 'q, 'd> Singles<'p, 'q, 'd> {
    fn new(pair: &'q Pair<'p, 'd>, lay: fn(&Circuit) -> Selection) -> Self {
        let cells = || pair.around.singles().iter().map(|_| OnceCell::new()).collect();
        Self { pair, lay, new: OnceCell::new(), old: OnceCell::new(), left_out: cells(), put_in: cells() }
    }

    /// What around the rows brings a difference about: without which it would not be; else what alone would do it.
    fn of(&self, path: &str) -> Vec<String> {
        let Pair { old, new, around, .. } = *self.pair;
        let laid = |circuit: Option<Circuit>| circuit.map(|circuit| (self.lay)(&circuit));
        let differs = |one: &Option<Selection>, other: &Option<Selection>| {
            one.as_ref().zip(other.as_ref()).is_some_and(|(one, other)| value(one, path) != value(other, path))
        };
        let of_new = self.new.get_or_init(|| laid(around.by_new(new)));
        let without = around
            .singles()
            .iter()
            .zip(&self.left_out)
            .filter(|(single, cell)| differs(of_new, cell.get_or_init(|| laid(around.left_out(single, new)))));
        let found: Vec<String> = without.map(|(single, _)| single.name.clone()).collect();
        if !found.is_empty() {
            return found;
        }
        let of_old = self.old.get_or_init(|| laid(around.by_old(old)));
        let alone = around
            .singles()
            .iter()
            .zip(&self.put_in)
            .filter(|(single, cell)| differs(of_old, cell.get_or_init(|| laid(around.put_in(single, old)))));
        alone.map(|(single, _)| single.name.clone()).collect()
    }
}

/// Causes without those that stand before already.
fn once_each(because: &mut Vec<String>) {
    let mut seen = std::collections::BTreeSet::new();
    because.retain(|cause| seen.insert(cause.clone()));
}

/// Columns that hold one quantity change together.
fn companions(field: &str) -> Vec<String> {
    let other = match field.rsplit_once('_') {
        Some((stem, "kw")) => Some(format!("{stem}_hp")),
        Some((stem, "hp")) => Some(format!("{stem}_kw")),
        Some((stem, "m")) => Some(format!("{stem}_ft")),
        Some((stem, "ft")) => Some(format!("{stem}_m")),
        _ => None,
    };
    std::iter::once(field.to_owned()).chain(other).collect()
}

/// The statements of one side, with a column as the other has it.
fn with(base: &Stated, from: &Stated, field: &str) -> Stated {
    let mut stated = base.clone();
    for name in companions(field) {
        match from.get(&name) {
            Some(value) => stated.insert(name, value.clone()),
            None => stated.remove(&name),
        };
    }
    stated
}
