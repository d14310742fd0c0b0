//! Names that rows share, boards and duty groups, in one spelling: `mcc-1` and `MCC -1` are `MCC-1`, as tags are one that differ in
//! case and blanks alone; `MCC 1` is `MCC-1` too where no `MCC1` stands, and asked about where both do. A spelling of the basis counts
//! first, then that of the first row.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use super::{Intake, fold, rows, text};
use crate::finding::{Finding, Place, codes};
use crate::load::{Entry, Field, Value};

/// What a name is told by. A blank between two figures parts them: `DB 1 1` is not `DB 11`; one between letters and a figure is none, or
/// stands for a hyphen, as `hyphen` says.
fn identity(name: &str, hyphen: bool) -> String {
    let plain = fold::plain_hyphens(name);
    let ends = |word: &str, test: fn(char) -> bool| word.ends_with(test);
    let begins = |word: &str| word.starts_with(|first: char| first.is_ascii_digit());
    let mut kept = String::new();
    for word in plain.split_whitespace() {
        if begins(word) && (ends(&kept, |last| last.is_ascii_digit()) || hyphen && ends(&kept, char::is_alphabetic)) {
            kept.push('-');
        }
        kept.push_str(word);
    }
    rows::identity(&kept).into_owned()
}

/// What names of one reading stand somewhere, and which spelling each has.
#[derive(Debug, Default)]
struct Names {
    /// Identities of names that read one way, wherever they stand, and such a name.
    plain: HashMap<String, String>,
    spellings: HashMap<String, String>,
    /// Names of the basis with a blank that stand beside others without, by the name with its blanks.
    with_blanks: HashMap<String, String>,
    /// Identities that such a name may mean beside another one, and that name.
    doubtful: HashMap<String, String>,
}

impl Names {
    fn of(known: &[&str], written: &BTreeSet<&str>) -> Self {
        let mut names = Self::default();
        for name in known.iter().chain(written).filter(|name| reads_one_way(name)) {
            names.plain.entry(identity(name, false)).or_insert_with(|| name.trim().to_owned());
        }
        let (plain, others): (Vec<&str>, Vec<&str>) = known.iter().partition(|name| reads_one_way(name));
        for name in plain {
            names.spellings.entry(identity(name, false)).or_insert_with(|| name.to_owned());
        }
        for name in others {
            let (key, doubtful) = names.key(name);
            if doubtful || names.spellings.contains_key(&key) {
                names.with_blanks.entry(with_blanks(name)).or_insert_with(|| name.to_owned());
            } else {
                names.spellings.insert(key, name.to_owned());
            }
            for key in identities(name).into_iter().filter(|_| doubtful) {
                if !names.spellings.contains_key(&key) {
                    names.doubtful.insert(key, name.to_owned());
                }
            }
        }
        names
    }

    /// What a name is known by, and whether it may be another one: `MCC 1` beside `MCC1` and `MCC-1`.
    fn key(&self, name: &str) -> (String, bool) {
        let [close, hyphenated] = identities(name);
        match (self.plain.contains_key(&close), self.plain.contains_key(&hyphenated)) {
            (true, true) if close != hyphenated => (with_blanks(name), true),
            (false, true) => (hyphenated, false),
            _ => (close, false),
        }
    }

    /// The spelling of a name, which it gives where it stands first, and whether it may be that of another.
    fn spelled(&mut self, name: &str) -> (String, bool) {
        // The basis may have a board with the blank beside one with a hyphen.
        if let Some(known) = self.with_blanks.get(&with_blanks(name)) {
            return (known.clone(), false);
        }
        let (key, doubtful) = self.key(name);
        let doubtful = doubtful || self.doubtful.contains_key(&key);
        let spelling = self.spellings.entry(key).or_insert_with(|| name.trim().to_owned());
        (spelling.clone(), doubtful)
    }

    /// Asks about a name that may be either of two, and nothing says which.
    fn either(&self, field: Field, written: &str, place: Place) -> Finding {
        let named = |key: &String| text::shortened(self.plain.get(key).or_else(|| self.spellings.get(key)).unwrap_or(key));
        let [one, other] = identities(written);
        let what = if one == other {
            let of_basis = self.doubtful.get(&one).map_or("", String::as_str);
            format!(
                "{} `{}` may be `{}` of the basis, and so may another name",
                field.spec().name,
                text::shortened(written),
                text::shortened(of_basis)
            )
        } else {
            let [one, other] = [&one, &other].map(named);
            format!("{} `{}` may be `{one}` or `{other}`, which both are named", field.spec().name, text::shortened(written))
        };
        Finding::new(&codes::I484_NAME_OF_TWO, what)
            .at(place)
            .why("it counts as one of its own, with nothing of what is stated of either")
            .cure("spell each name one way throughout")
    }
}

/// Both readings of a name.
fn identities(name: &str) -> [String; 2] {
    [identity(name, false), identity(name, true)]
}

fn reads_one_way(name: &str) -> bool {
    let [close, hyphenated] = identities(name);
    close == hyphenated
}

fn with_blanks(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// Gives boards, of which the basis knows some, and duty groups one spelling each.
pub(crate) fn settle(intake: &mut Intake, boards: &[&str]) {
    spell(intake, Field::Board, boards);
    spell(intake, Field::DutyGroup, &[]);
}

fn spell(intake: &mut Intake, field: Field, known: &[&str]) {
    let exact: HashSet<&str> = known.iter().copied().collect();
    let mut names = Names::of(known, &intake.loads.iter().filter_map(|load| load.text(field)).collect());
    // How often a spelling stands for a name, and where first.
    let mut told: BTreeMap<(String, String), (usize, Place)> = BTreeMap::new();
    for load in &mut intake.loads {
        let Some(entry) = load.entry(field) else { continue };
        let Value::Text(written) = &entry.value else { continue };
        if exact.contains(written.as_str()) {
            continue;
        }
        let (name, doubtful) = names.spelled(written);
        if doubtful {
            intake.findings.push(names.either(field, written, load.place_of(field)));
        }
        if name.as_str() == written.as_str() {
            continue;
        }
        if name.as_str() != written.trim() {
            told.entry((written.to_string(), name.clone())).or_insert_with(|| (0, load.place_of(field))).0 += 1;
        }
        let entry = Entry { value: Value::Text(name.as_str().into()), ..entry.clone() };
        load.set(field, entry);
    }
    intake.findings.extend(told.into_iter().map(|((written, name), (count, place))| {
        let rows = if count == 1 { String::new() } else { format!(" ({count} rows)") };
        let what =
            format!("{} `{}` is taken for `{}`{rows}", field.spec().name, text::shortened(&written), text::shortened(&name));
        Finding::new(&codes::I453_SPELLED_OTHERWISE, what).at(place).cure("spell it alike, or give another one a name of its own")
    }));
}
