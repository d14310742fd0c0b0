//! Two designs side by side: what was added, removed, renamed, split, merged and changed, what follows from each change, what must be
//! bought or set otherwise, and what somebody changed without marking it.
//!
//! The way through: `boards` finds boards under another name and reads the old side under the new one; `pairs` finds which row of one
//! side is which of the other; `inputs` tells changes of what a row states from the same said otherwise; `selection` lays out what was
//! chosen; `causes` sizes rows again with one change at a time, so that every consequence names its cause, and `around` with one key of
//! the basis at a time; `margins` tells what eats a margin where all is chosen as before; `rank` is the order in which
//! that is told; `renumbered` sees tags that moved along; `lists` holds boards, purchase lists, settings and findings against each other;
//! `marks` checks the sender's own revision marks; `carried` holds columns against each other that the program does not read; `revision`
//! puts marks and history of a revision into the later design. The result, [`Changes`], is written as `changes.json`; every report is made
//! of it alone.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::basis::Basis;
use crate::design::{Circuit, Design, HashedFile};
use crate::finding::Finding;

mod around;
mod boards;
mod carried;
mod causes;
mod inputs;
mod lists;
mod margins;
mod marks;
pub mod ordered;
mod pairs;
mod prices;
pub mod rank;
mod relabelled;
mod renumbered;
pub mod revision;
mod selection;
mod unread;

pub use around::Surrounding;
pub use boards::RenamedBoard;
pub(crate) use causes::{OTHER_ROWS, ROUNDING};
pub use margins::MarginChange;
pub use prices::{PriceChange, SumChange};
pub use relabelled::{LabelChange, LabelLine};
pub use renumbered::Renumbered;

/// Identifies the form of the file.
pub const SCHEMA: &str = "motorwright.changes/1";

/// What a row states, by canonical column.
pub type Stated = BTreeMap<String, serde_json::Value>;

/// Sizes what a row states.
pub type Sizer<'s> = Box<dyn Fn(&Stated) -> Circuit + 's>;

/// Basis, rule book and catalogue of the new side, by which rows are sized once more.
pub trait Trials {
    /// Sizes a row beside the rows of the new side.
    fn size(&self, stated: &Stated) -> Circuit;

    /// What sizes a row beside other rows than those of the new side.
    fn beside<'s>(&'s self, rows: &[Stated]) -> Sizer<'s>;

    /// What sizes a row beside these rows by this side's catalogue and rule book with another basis, the edition that it names among
    /// it; none where that can't be tried.
    fn by_basis<'s>(&'s self, _rows: &[Stated], _basis: &Basis) -> Option<Sizer<'s>> {
        None
    }

    /// The same by what surrounds the old side, where rows can be sized by it.
    fn by_the_old(&self) -> Option<&dyn Trials> {
        None
    }
}

/// Trials by what surrounds the new side, with that of the old side beside it.
pub struct BothSides<'t> {
    /// By the new side.
    pub new: &'t dyn Trials,
    /// By the old side; none where rows can't be sized by it.
    pub old: Option<&'t dyn Trials>,
}

impl Trials for BothSides<'_> {
    fn size(&self, stated: &Stated) -> Circuit {
        self.new.size(stated)
    }

    fn beside<'s>(&'s self, rows: &[Stated]) -> Sizer<'s> {
        self.new.beside(rows)
    }

    fn by_basis<'s>(&'s self, rows: &[Stated], basis: &Basis) -> Option<Sizer<'s>> {
        self.new.by_basis(rows, basis)
    }

    fn by_the_old(&self) -> Option<&dyn Trials> {
        self.old
    }
}

/// Trials by the new side's basis, rule book and catalogue.
pub type Trial<'t> = &'t dyn Trials;

/// Everything that differs between two designs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Changes {
    /// Form of the file.
    pub schema: String,
    /// The earlier side.
    pub old: HashedFile,
    /// The later side.
    pub new: HashedFile,
    /// Rule book, basis, catalogue and program, where they differ.
    pub surroundings: Vec<Surrounding>,
    /// Letter of the later side that marks bear; empty where it has none, or the earlier one bears the same.
    #[serde(default)]
    pub letter: String,
    /// What makes the comparison doubtful.
    #[serde(default)]
    pub doubts: Vec<Finding>,
    /// Rows without a partner on the old side.
    pub added: Vec<Tagged>,
    /// Rows without a partner on the new side.
    pub removed: Vec<Tagged>,
    /// Rows that bear another tag.
    pub renamed: Vec<Renamed>,
    /// Boards that bear another name; everything else is told under the new one.
    #[serde(default)]
    pub renamed_boards: Vec<RenamedBoard>,
    /// Rows that became several.
    pub split: Vec<Split>,
    /// Rows that became one.
    pub merged: Vec<Merged>,
    /// Runs of rows that look renumbered, while they are paired by tag.
    #[serde(default)]
    pub renumbered: Vec<Renumbered>,
    /// Rows that state something else, or whose circuit is another.
    pub changed: Vec<Changed>,
    /// Circuits that are chosen as before and of which a limit has little margin left.
    #[serde(default)]
    pub margins: Vec<MarginChange>,
    /// Rows of both sides, a pair once.
    pub rows: usize,
    /// Rows in which nothing differs.
    pub unchanged: usize,
    /// The same said otherwise: other units, other spellings, another order.
    pub said_otherwise: Vec<SaidOtherwise>,
    /// Tags of rows that state a quantity in another unit, from which nothing follows.
    #[serde(default)]
    pub in_other_units: BTreeSet<String>,
    /// Columns that the program does not read and that say something else.
    #[serde(default)]
    pub carried: Vec<CarriedColumn>,
    /// The sender's revision marks that do not agree with the changes.
    pub revision_marks: Vec<MarkRemark>,
    /// Boards.
    pub boards: Vec<BoardChanges>,
    /// Parts whose quantity differs.
    pub purchase: Vec<PurchaseChange>,
    /// Prices of parts that are bought on both sides.
    #[serde(default)]
    pub prices: Vec<PriceChange>,
    /// Sums of the purchase list, by currency.
    #[serde(default)]
    pub sums: Vec<SumChange>,
    /// What to add to and cancel of an order, where one is held against the new side.
    #[serde(default)]
    pub ordered: Vec<PurchaseChange>,
    /// Nameplates and cable tags of rows and feeders that were there before and now bear another text; those of renamed rows stand
    /// with them, and what is not sized waits.
    #[serde(default)]
    pub labels: Vec<LabelChange>,
    /// Dials to be set otherwise on site.
    pub settings: Vec<SettingChange>,
    /// Findings that are gone.
    pub findings_gone: Vec<FindingChange>,
    /// Findings that are new.
    pub findings_new: Vec<FindingChange>,
}

/// A row by its tag.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Tagged {
    /// Tag.
    pub tag: String,
    /// What it is.
    pub description: String,
    /// Board that feeds it.
    pub board: String,
}

/// A row that bears another tag.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Renamed {
    /// Before.
    pub old_tag: String,
    /// After.
    pub tag: String,
    /// By what it was recognised.
    pub why: String,
    /// Nameplates and cable tags that bear the tag and are to be made anew.
    #[serde(default)]
    pub labels: Vec<String>,
    /// Machines that the row has more than before; below zero where it has fewer.
    #[serde(default)]
    pub machines_more: i64,
}

impl Renamed {
    /// By what it was recognised, and what is to be labelled anew.
    #[must_use]
    pub fn words(&self) -> String {
        let count = self.machines_more.unsigned_abs();
        let machines = if count == 1 { "machine" } else { "machines" };
        let counted = match self.machines_more {
            0 => String::new(),
            more if more > 0 => format!("; {count} {machines} added"),
            _ => format!("; {count} {machines} removed"),
        };
        let labels = if self.labels.is_empty() { String::new() } else { format!("; labels anew: {}", self.labels.join(", ")) };
        format!("{}{counted}{labels}", self.why)
    }
}

/// A row that became several.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Split {
    /// Before.
    pub old_tag: String,
    /// After.
    pub tags: Vec<String>,
}

/// Rows that became one.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Merged {
    /// Before.
    pub old_tags: Vec<String>,
    /// After.
    pub tag: String,
}

/// A row with what it states otherwise, and what follows.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Changed {
    /// Tag on the new side.
    pub tag: String,
    /// Columns that state something else.
    pub fields: Vec<FieldChange>,
    /// What differs in the circuit.
    pub consequences: Vec<Consequence>,
}

/// A column that states something else.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FieldChange {
    /// Canonical column.
    pub field: String,
    /// Before; null if the row did not state it.
    pub old: serde_json::Value,
    /// After; null if the row does not state it any more. A cell that can't be read has its text, on either side.
    pub new: serde_json::Value,
    /// It is a text for people: no choice follows from it.
    pub text_only: bool,
}

/// A value of the circuit that differs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Consequence {
    /// Where it stands, such as `conductors.phase_size` or `contactors.main.rated_a`.
    pub path: String,
    /// Before; empty where there was nothing.
    pub old: String,
    /// After; empty where there is nothing any more.
    pub new: String,
    /// Columns that bring it about, or that can't be read; `rule book`, `catalogue`, `program`, `other rows` or a key of the basis, such
    /// as `basis design.ambient_c`, where these do, and `basis` alone where its keys can't be told apart;
    /// else `a cell that can't be read`, `an edited result` or `a column that is not read`. What no trial of the row alone gives names all
    /// that may have caused it.
    pub because: Vec<String>,
}

/// The same, said otherwise.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct SaidOtherwise {
    /// Tag on the new side; empty for the whole schedule.
    pub tag: String,
    /// What is said otherwise.
    pub what: String,
}

/// A column that the program does not read: nothing of a circuit follows from it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CarriedColumn {
    /// Its heading.
    pub heading: String,
    /// `changed`; `new` or `gone` where only one side has the column.
    pub what: String,
    /// Rows that say something else in it; none of a column that is new or gone.
    pub rows: Vec<CarriedChange>,
}

/// A cell of such a column.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CarriedChange {
    /// Tag on the new side.
    pub tag: String,
    /// Before; empty where nothing stood.
    pub old: String,
    /// After; empty where nothing stands any more.
    pub new: String,
}

/// A revision mark of the sender that does not agree with the changes.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct MarkRemark {
    /// Tag on the new side.
    pub tag: String,
    /// Its mark; empty if it bears none.
    pub mark: String,
    /// `changed, not marked` or `marked, not changed`.
    pub what: String,
}

/// What differs on a board.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BoardChanges {
    /// Name.
    pub name: String,
    /// Values that differ.
    pub changes: Vec<BoardChange>,
}

/// A value of a board that differs.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BoardChange {
    /// What it is.
    pub what: String,
    /// Before.
    pub old: String,
    /// After.
    pub new: String,
}

/// A part whose quantity differs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PurchaseChange {
    /// Part number; empty where it is not known.
    pub part: String,
    /// What it is.
    pub description: String,
    /// `pc`, `m` or `ft`.
    pub unit: String,
    /// Needed before.
    pub old_quantity: f64,
    /// Needed now.
    pub new_quantity: f64,
    /// Of what is needed now, without spares and whole packs: as much is on hold and not to be ordered yet.
    #[serde(default)]
    pub held_quantity: f64,
    /// `add`, `cancel`, `more` or `less`.
    pub action: String,
    /// Where the need comes or goes because another supplies it now; null for any other change.
    #[serde(default)]
    pub supply: Option<Supply>,
    /// What the difference costs; null if the price of one is unknown.
    pub price_difference: Option<f64>,
    /// Currency of that.
    pub currency: String,
}

impl PurchaseChange {
    /// What it is, and that another supplies it now, where that is why it is bought or no longer bought.
    #[must_use]
    pub fn described(&self) -> String {
        let supply = self.supply.map(|supply| format!(" ({})", supply.words())).unwrap_or_default();
        format!("{}{supply}", self.description)
    }
}

/// Who supplies a part now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Supply {
    /// Others, who did not before.
    ToOthers,
    /// The contractor; before, others.
    FromOthers,
}

impl Supply {
    /// The words that are printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::ToOthers => "now supplied by others",
            Self::FromOthers => "supplied by others before",
        }
    }
}

/// A dial to be set otherwise.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct SettingChange {
    /// Tag on the new side.
    pub tag: String,
    /// Device with its role, and what is set on it.
    pub what: String,
    /// Before; empty for a new dial.
    pub old: String,
    /// After; empty if there is no such dial any more.
    pub new: String,
}

/// A finding that came or went.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FindingChange {
    /// Tag of its row, name of its board, or empty.
    pub tag: String,
    /// Code.
    pub code: String,
    /// `error`, `warning` or `note`.
    pub severity: String,
    /// What it says.
    pub what: String,
}

impl Changes {
    /// Something of a row is laid to other rows.
    #[must_use]
    pub fn blames_other_rows(&self) -> bool {
        let of_changed = self.changed.iter().flat_map(|changed| &changed.consequences).flat_map(|found| &found.because);
        of_changed.chain(self.margins.iter().flat_map(|margin| &margin.because)).any(|cause| cause == OTHER_ROWS)
    }

    /// Nothing differs.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        let rows =
            [self.added.len(), self.removed.len(), self.renamed.len(), self.split.len(), self.merged.len(), self.changed.len()];
        rows.iter().all(|row| *row == 0)
            && self.renamed_boards.is_empty()
            && self.surroundings.is_empty()
            && self.boards.is_empty()
            && self.margins.is_empty()
            && self.labels.is_empty()
            && self.purchase.is_empty()
            && self.prices.is_empty()
            && self.ordered.is_empty()
            && self.settings.is_empty()
            && self.findings_gone.is_empty()
            && self.findings_new.is_empty()
            && self.revision_marks.is_empty()
            && self.carried.is_empty()
    }
}

/// A pair of tags that cannot be fixed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrongPair {
    /// The tag.
    pub tag: String,
    /// What is wrong with it.
    pub why: &'static str,
}

impl std::fmt::Display for WrongPair {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "--same {}: {}", self.tag, self.why)
    }
}

impl std::error::Error for WrongPair {}

/// Compares two designs. `same` fixes which old tag is which new one; `trial` sizes rows by what surrounds the new side, and without
/// it consequences name all that may have caused them.
///
/// # Errors
/// A tag of `same` is not on its side, or stands there twice.
pub fn compare(old: &Design, new: &Design, same: &[(String, String)], trial: Option<Trial<'_>>) -> Result<Changes, WrongPair> {
    let renamed_boards = boards::renamed(old, new);
    let side = (!renamed_boards.is_empty()).then(|| boards::under_new_names(old, &renamed_boards));
    let old = side.as_ref().unwrap_or(old);
    let pairs = pairs::find(&old.circuits, &new.circuits, same)?;
    let mut changes = held(old, new, &pairs, &renamed_boards, trial).0;
    let twice = revision::same_letter(&old.project, &new.project);
    if twice.is_none() {
        changes.letter = new.project.revision.clone().unwrap_or_default();
    }
    if !changes.is_empty() {
        changes.doubts.extend(twice);
    }
    Ok(changes)
}

/// Holds two sides against each other; beside the changes, for each changed row which one of the new side it is.
fn held(
    old: &Design,
    new: &Design,
    pairs: &pairs::Pairs,
    renamed_boards: &[RenamedBoard],
    trial: Option<Trial<'_>>,
) -> (Changes, Vec<usize>) {
    let surroundings = surroundings(old, new);
    let mut changes = Changes {
        schema: SCHEMA.to_owned(),
        old: old.inputs.first().cloned().unwrap_or_default(),
        new: new.inputs.first().cloned().unwrap_or_default(),
        added: pairs.added.iter().map(|added| tagged(&new.circuits[*added])).collect(),
        removed: pairs.removed.iter().map(|removed| tagged(&old.circuits[*removed])).collect(),
        renamed: pairs.renamed.iter().map(|pair| relabelled::renamed(pair, old, new)).collect(),
        split: pairs.split.clone(),
        merged: pairs.merged.clone(),
        renamed_boards: renamed_boards.to_vec(),
        rows: pairs.same.len() + pairs.added.len() + pairs.removed.len(),
        ..Changes::default()
    };
    let under_another_tag: BTreeSet<usize> = pairs.renamed.iter().map(|(row, _)| *row).collect();
    let mut changed = Vec::new();
    let around = around::Around::of(&surroundings, (old, new), !renamed_boards.is_empty(), trial);
    for (before, now) in &pairs.same {
        let (one, other) = (&old.circuits[*before], &new.circuits[*now]);
        let mut found = inputs::differences(one, other);
        if pairs.parted.contains(now) {
            // That its machines and their number are others is what a split or a merger is.
            found.fields.retain(|change| !["tag", "quantity"].contains(&change.field.as_str()));
        }
        let pair = causes::Pair { old: one, new: other, fields: &found.fields, rounded: &found.rounded, around: &around };
        let consequences = causes::consequences(pair);
        changes.margins.extend(margins::eaten(pair));
        found.settle_units(&consequences);
        if !found.rounded.is_empty() && found.fields.is_empty() {
            changes.in_other_units.insert(other.tag.clone());
        }
        changes.said_otherwise.extend(found.otherwise);
        if found.fields.is_empty() && consequences.is_empty() {
            changes.unchanged += usize::from(!under_another_tag.contains(now) && !pairs.parted.contains(now));
        } else {
            changes.changed.push(Changed { tag: other.tag.clone(), fields: found.fields, consequences });
            changed.push(*now);
        }
    }
    changes.said_otherwise.extend(pairs.spelt.iter().cloned());
    let carried = carried::differences(old, new, pairs);
    changes.said_otherwise.extend(carried.otherwise);
    changes.carried = carried.columns;
    changes.doubts = unread::of_sheets(old, new);
    changes.doubts.extend(unread::of_columns(old, new, &mut changes.carried));
    let stated: BTreeSet<usize> =
        changed.iter().zip(&changes.changed).filter(|(_, change)| !change.fields.is_empty()).map(|(row, _)| *row).collect();
    changes.revision_marks = marks::remarks(old, new, pairs, &(&stated | &under_another_tag), &carried.rows);
    changes.renumbered = renumbered::look(&old.circuits, &new.circuits, pairs, &stated);
    changes.boards = lists::boards(old, new);
    let rows = [changes.added.len(), changes.removed.len(), changes.changed.len(), surroundings.len()];
    if !changes.in_other_units.is_empty() && rows.iter().all(|number| *number == 0) {
        lists::but_for_rounding(&mut changes.boards);
    }
    changes.purchase = lists::purchase(&old.purchase, &new.purchase);
    changes.prices = prices::of_parts(&old.purchase, &new.purchase);
    changes.sums = prices::sums(&old.purchase_totals, &new.purchase_totals);
    changes.settings = lists::settings(old, new, pairs);
    (changes.findings_gone, changes.findings_new) = lists::findings(old, new, pairs);
    changes.surroundings = surroundings;
    (changes, changed)
}

fn tagged(circuit: &Circuit) -> Tagged {
    Tagged { tag: circuit.tag.clone(), description: circuit.description.clone(), board: circuit.board.clone() }
}

/// What differs around the schedule: rule book, catalogue, program, and every key of the basis but those that only name the project.
fn surroundings(old: &Design, new: &Design) -> Vec<Surrounding> {
    let mut found = Vec::new();
    let mut hold = |what: &str, one: String, other: String| {
        if one != other {
            found.push(Surrounding { what: what.to_owned(), key: String::new(), old: one, new: other });
        }
    };
    let book = |design: &Design| format!("{} ({})", design.rule_book, design.edition);
    hold("rule book", book(old), book(new));
    let range = |design: &Design| {
        format!("{}, {}", design.catalogue.name, design.catalogue.sha256.get(..12).unwrap_or(&design.catalogue.sha256))
    };
    hold("catalogue", range(old), range(new));
    hold("program", old.program_version.clone(), new.program_version.clone());
    for (key, one, other) in lists::basis(old, new) {
        found.push(Surrounding { what: "basis".to_owned(), key, old: one, new: other });
    }
    found
}
