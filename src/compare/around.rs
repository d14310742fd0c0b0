//! What surrounds all rows of two sides: rule book, catalogue, program and each key of the basis. Where something follows from it, it is
//! tried which of it does: the new side with one of them as the old side has it, and the old side with one of them as the new side has it.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::lists::name_in_list;
use super::{Sizer, Stated, Trial};
use crate::basis::Basis;
use crate::design::{Circuit, Design};

/// Keys of the basis from which no circuit follows: they name the project, lay out reports or count what is bought.
const OF_NO_CIRCUIT: &[&str] = &["project", "report", "purchase", "columns"];

/// So many things around the rows are tried by themselves; more of them make another job, whose rows are laid to all of it.
const TRIED: usize = 24;

/// Something around the schedule that differs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Surrounding {
    /// `rule book`, `basis`, `catalogue` or `program`.
    pub what: String,
    /// Key of the basis; empty for the others.
    pub key: String,
    /// Before.
    pub old: String,
    /// After.
    pub new: String,
}

/// What stands around all rows.
pub(super) struct Around<'d> {
    /// Kinds of surroundings that differ and may bring something about in a circuit, each once.
    pub(super) kinds: Vec<String>,
    old: &'d Design,
    new: &'d Design,
    /// Boards bear other names than in what the old side is sized by.
    boards_renamed: bool,
    pub(super) trial: Option<Trial<'d>>,
    beside_old_rows: OnceCell<Sizer<'d>>,
    by_old_surroundings: OnceCell<Option<Sizer<'d>>>,
    old_by_old: OnceCell<Option<Sizer<'d>>>,
    new_by_new: OnceCell<Option<Sizer<'d>>>,
    singles: Vec<Single<'d>>,
    /// Rows of either side that the other does not state in the same way.
    unlike: OnceCell<usize>,
}

/// One thing around the rows that differs.
pub(super) struct Single<'d> {
    /// As it is told: `catalogue`, or `basis design.ambient_c`.
    pub(super) name: String,
    /// Kind under which it is told where it can't be told apart.
    pub(super) kind: &'static str,
    piece: Piece,
    /// By the new side, but this as on the old one, beside the new rows.
    left_out: OnceCell<Option<Sizer<'d>>>,
    /// By the old side, but this as on the new one, beside the old rows.
    put_in: OnceCell<Option<Sizer<'d>>>,
}

enum Piece {
    /// The edition of one rule book.
    Edition,
    Catalogue,
    /// Section of the basis, and key.
    Key(String, String),
    /// Section that is a list, its element, and a key where both sides have that element.
    Element(String, String, Option<String>),
}

impl<'d> Around<'d> {
    pub(super) fn of(
        surroundings: &[Surrounding],
        (old, new): (&'d Design, &'d Design),
        boards_renamed: bool,
        trial: Option<Trial<'d>>,
    ) -> Self {
        let of_circuits = |surrounding: &&Surrounding| {
            surrounding.key.split('.').next().is_none_or(|section| !OF_NO_CIRCUIT.contains(&section))
        };
        let mut kinds: Vec<String> =
            surroundings.iter().filter(of_circuits).map(|surrounding| surrounding.what.clone()).collect();
        kinds.dedup();
        let singles = if kinds.is_empty() { Vec::new() } else { singles(old, new, &kinds) };
        Self {
            kinds,
            old,
            new,
            boards_renamed,
            trial,
            beside_old_rows: OnceCell::new(),
            by_old_surroundings: OnceCell::new(),
            old_by_old: OnceCell::new(),
            new_by_new: OnceCell::new(),
            singles,
            unlike: OnceCell::new(),
        }
    }

    /// Rows other than these two state something else, came or went.
    pub(super) fn others_differ(&self, old: &Circuit, new: &Circuit) -> bool {
        let count = || {
            let mut left: BTreeMap<String, i64> = BTreeMap::new();
            self.old.circuits.iter().for_each(|row| *left.entry(all_stated(row)).or_insert(0) += 1);
            self.new.circuits.iter().for_each(|row| *left.entry(all_stated(row)).or_insert(0) -= 1);
            left.values().map(|count| usize::try_from(count.unsigned_abs()).unwrap_or(usize::MAX)).sum()
        };
        let of_pair = if all_stated(old) == all_stated(new) { 0 } else { 2 };
        *self.unlike.get_or_init(count) > of_pair
    }

    /// The old row as a trial among the old rows sizes it, by what surrounds the old side.
    pub(super) fn old_among_old(&self, row: &Circuit) -> Option<Circuit> {
        match self.trial?.by_the_old() {
            Some(_) if self.boards_renamed => self.by_old(row),
            Some(old) => Some(old.size(&row.stated)),
            None if self.kinds.is_empty() => self.beside_old_rows(row),
            None => None,
        }
    }

    /// The new row among the new rows, by what surrounds the old side; none where rows can't be sized by that.
    pub(super) fn by_old_surroundings(&self, row: &Circuit) -> Option<Circuit> {
        let old = self.trial?.by_the_old()?;
        let sizer = || {
            let rows = stated(self.new);
            if self.boards_renamed { old.by_basis(&rows, &self.old.basis) } else { Some(old.beside(&rows)) }
        };
        self.by_old_surroundings.get_or_init(sizer).as_ref().map(|size| size(&row.stated))
    }

    /// The old row among the old rows, by what surrounds the new side. Their network is worked out when it is first asked for.
    pub(super) fn beside_old_rows(&self, row: &Circuit) -> Option<Circuit> {
        let trial = self.trial?;
        Some(self.beside_old_rows.get_or_init(|| trial.beside(&stated(self.old)))(&row.stated))
    }

    /// What is tried by itself; nothing where there is too much of it.
    pub(super) fn singles(&self) -> &[Single<'d>] {
        if self.singles.len() > TRIED { &[] } else { &self.singles }
    }

    /// The only thing of a kind that differs.
    pub(super) fn only(&self, kind: &str) -> Option<&str> {
        let mut of_kind = self.singles.iter().filter(|single| single.kind == kind);
        of_kind.next().filter(|_| of_kind.next().is_none()).map(|single| single.name.as_str())
    }

    /// Decisions about this finding of a row that one side has and the other has not.
    pub(super) fn decisions(&self, tag: &str, code: &str) -> Vec<String> {
        let about = |name: &str| {
            let tags = name.strip_suffix(code).unwrap_or_default();
            tags.split(';').any(|about| about.trim() == tag)
        };
        let of_row =
            |single: &&Single<'_>| matches!(&single.piece, Piece::Element(section, name, _) if section == DECIDED && about(name));
        self.singles.iter().filter(of_row).map(|single| single.name.clone()).collect()
    }

    /// The old row as the old side sizes it beside the old rows.
    pub(super) fn by_old(&self, row: &Circuit) -> Option<Circuit> {
        let sizer = || self.trial?.by_the_old()?.by_basis(&stated(self.old), &self.old.basis);
        self.old_by_old.get_or_init(sizer).as_ref().map(|size| size(&row.stated))
    }

    /// The new row as the new side sizes it beside the new rows.
    pub(super) fn by_new(&self, row: &Circuit) -> Option<Circuit> {
        let sizer = || self.trial?.by_basis(&stated(self.new), &self.new.basis);
        self.new_by_new.get_or_init(sizer).as_ref().map(|size| size(&row.stated))
    }

    /// The new row by the new side, with one thing as on the old one.
    pub(super) fn left_out(&self, single: &Single<'d>, row: &Circuit) -> Option<Circuit> {
        let sizer = || {
            let (trial, rows) = (self.trial?, stated(self.new));
            match &single.piece {
                Piece::Catalogue => trial.by_the_old()?.by_basis(&rows, &self.new.basis),
                piece => trial.by_basis(&rows, &with(&self.new.basis, &self.old.basis, piece)?),
            }
        };
        single.left_out.get_or_init(sizer).as_ref().map(|size| size(&row.stated))
    }

    /// The old row by the old side, with one thing as on the new one.
    pub(super) fn put_in(&self, single: &Single<'d>, row: &Circuit) -> Option<Circuit> {
        let sizer = || {
            let (trial, rows) = (self.trial?, stated(self.old));
            match &single.piece {
                Piece::Catalogue => trial.by_basis(&rows, &self.old.basis),
                piece => trial.by_the_old()?.by_basis(&rows, &with(&self.old.basis, &self.new.basis, piece)?),
            }
        };
        single.put_in.get_or_init(sizer).as_ref().map(|size| size(&row.stated))
    }
}

/// The section whose entries no trial of a row sees: they settle findings.
const DECIDED: &str = "decided";

/// All that a row states, and on which board.
fn all_stated(row: &Circuit) -> String {
    format!("{} {:?} {:?}", row.board, row.stated, row.unread)
}

fn stated(side: &Design) -> Vec<Stated> {
    side.circuits.iter().map(|circuit| circuit.stated.clone()).collect()
}

/// All that differs around the rows, each by itself. Nothing of two rule books: no part of the one stands without the others.
fn singles<'d>(old: &Design, new: &Design, kinds: &[String]) -> Vec<Single<'d>> {
    if old.rule_book != new.rule_book {
        return Vec::new();
    }
    let single = |name: String, kind, piece| Single { name, kind, piece, left_out: OnceCell::new(), put_in: OnceCell::new() };
    let mut found = Vec::new();
    let differs = |kind: &str| kinds.iter().any(|known| known == kind);
    if differs("rule book") {
        found.push(single("rule book".to_owned(), "rule book", Piece::Edition));
    }
    if differs("catalogue") {
        found.push(single("catalogue".to_owned(), "catalogue", Piece::Catalogue));
    }
    let [before, now] = [old, new].map(|side| serde_json::to_value(&side.basis).unwrap_or_default());
    let keys =
        |sections: &Value| sections.as_object().map(|keys| keys.keys().cloned().collect::<BTreeSet<_>>()).unwrap_or_default();
    let all = |one: &Value, other: &Value| keys(one).union(&keys(other)).cloned().collect::<Vec<_>>();
    for section in all(&before, &now).into_iter().filter(|section| !OF_NO_CIRCUIT.contains(&section.as_str())) {
        let [one, other] = [&before, &now].map(|side| side.get(&section).unwrap_or(&Value::Null));
        if one.is_array() || other.is_array() {
            let [one, other] = [one, other].map(elements);
            let names: BTreeSet<&String> = one.keys().chain(other.keys()).collect();
            for name in names {
                let told = format!("basis {section}.{name}");
                match (one.get(name), other.get(name)) {
                    (Some(one), Some(other)) => {
                        for key in all(one, other).into_iter().filter(|key| one.get(key) != other.get(key)) {
                            let piece = Piece::Element(section.clone(), name.clone(), Some(key.clone()));
                            found.push(single(format!("{told}.{key}"), "basis", piece));
                        }
                    }
                    _ => found.push(single(told, "basis", Piece::Element(section.clone(), name.clone(), None))),
                }
            }
            continue;
        }
        for key in all(one, other).into_iter().filter(|key| one.get(key) != other.get(key)) {
            if super::lists::told_elsewhere(&format!("{section}.{key}")) {
                continue;
            }
            found.push(single(format!("basis {section}.{key}"), "basis", Piece::Key(section.clone(), key)));
        }
    }
    found
}

/// Elements of a list by their names.
fn elements(list: &Value) -> BTreeMap<String, &Value> {
    let all = list.as_array().into_iter().flatten();
    all.enumerate().map(|(index, element)| (name_in_list(element).unwrap_or_else(|| index.to_string()), element)).collect()
}

/// A basis with one of its pieces as another has it.
fn with(basis: &Basis, other: &Basis, piece: &Piece) -> Option<Basis> {
    let mut value = serde_json::to_value(basis).ok()?;
    let from = serde_json::to_value(other).ok()?;
    match piece {
        Piece::Catalogue => {}
        Piece::Edition => put(value.as_object_mut()?, "rules", from.get("rules")),
        Piece::Key(section, key) => {
            put(value.get_mut(section)?.as_object_mut()?, key, from.get(section).and_then(|section| section.get(key)));
        }
        Piece::Element(section, name, key) => {
            let theirs = from.get(section).map(elements).and_then(|elements| elements.get(name).copied());
            let sections = value.as_object_mut()?;
            let list = sections.entry(section.clone()).or_insert_with(|| Value::Array(Vec::new())).as_array_mut()?;
            let at = list.iter().position(|element| name_in_list(element).as_ref() == Some(name));
            match (at, theirs, key) {
                (Some(at), Some(theirs), Some(key)) => put(list.get_mut(at)?.as_object_mut()?, key, theirs.get(key)),
                (Some(at), None, _) => drop(list.remove(at)),
                (None, Some(theirs), _) => list.push(theirs.clone()),
                _ => return None,
            }
        }
    }
    serde_json::from_value(value).ok()
}

fn put(keys: &mut serde_json::Map<String, Value>, key: &str, value: Option<&Value>) {
    match value {
        Some(value) => keys.insert(key.to_owned(), value.clone()),
        None => keys.remove(key),
    };
}
