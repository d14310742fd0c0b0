//! Reads a basis from TOML or from the pairs of a `Basis` sheet; both go one way: given keys are held against the types' own schema.
//!
//! A wrong value concerns the whole project, so it ends the reading with all that is wrong; an unknown key is a finding.

use serde::Deserialize;
use toml::de::{DeTable, DeValue};

use super::Basis;
use super::bounds::check_value;
use super::keys::{KeyType, sections};
use crate::finding::{Finding, Place, codes, nearest};

/// Why a basis could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BasisError {
    /// The faults, a line for each, with line and column where there is one.
    pub message: String,
}

impl std::fmt::Display for BasisError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for BasisError {}

/// Reads a basis file. Unknown keys give findings.
///
/// # Errors
/// The text is no TOML, or a value has the wrong type, is out of its bounds or is no word that its key knows.
pub fn from_toml(file: &str, text: &str) -> Result<(Basis, Vec<Finding>), BasisError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let lines = Lines::of(text);
    let parsed = DeTable::parse(text).map_err(|error| {
        let place =
            error.span().map(|span| lines.position(span.start)).map(|(line, column)| format!(", line {line}, column {column}"));
        BasisError { message: format!("{file}{}: {}", place.unwrap_or_default(), error.message()) }
    })?;
    let mut reading = Reading::new(file);
    for (key, value) in parsed.into_inner() {
        let at = lines.position(key.span().start);
        let name = key.into_inner().into_owned();
        match value.into_inner() {
            DeValue::Table(table) => reading.toml_section(&lines, &name, 0, table, at),
            DeValue::Array(entries) if entries.iter().all(|entry| entry.get_ref().is_table()) => {
                for (number, entry) in entries.into_iter().enumerate() {
                    let at = lines.position(entry.span().start);
                    if number >= MOST_ENTRIES {
                        reading.wrong(&name, Some(at), &format!("there are more than {MOST_ENTRIES}"));
                        break;
                    }
                    if let DeValue::Table(table) = entry.into_inner() {
                        reading.toml_section(&lines, &name, number, table, at);
                    }
                }
            }
            _ => reading.unknown(&name, Some(at), sections().iter().map(|section| section.name.as_str())),
        }
    }
    reading.finish()
}

/// Reads a basis from dotted keys and values, such as `supply.voltage_v` and `400`; `board.2.name` is a key of the second board.
///
/// # Errors
/// As for [`from_toml`].
pub fn from_pairs(file: &str, pairs: &[(String, String)]) -> Result<(Basis, Vec<Finding>), BasisError> {
    let mut reading = Reading { sheet: Some(SHEET), ..Reading::new(file) };
    for (dotted, value) in pairs {
        let mut parts = dotted.split('.').map(str::trim);
        let (section, mut key) = (parts.next().unwrap_or_default(), parts.next().unwrap_or_default());
        let mut number = 0;
        if let Ok(given) = key.parse::<usize>() {
            let Some(place) = given.checked_sub(1) else {
                reading.wrong(dotted, None, "entries are counted from 1");
                continue;
            };
            (number, key) = (place, parts.next().unwrap_or_default());
        }
        if parts.next().is_some() || key.is_empty() || number >= MOST_ENTRIES {
            reading.unknown(dotted, None, sections().iter().map(|section| section.name.as_str()));
            continue;
        }
        reading.value(section, number, key, Given::Text(value), None);
    }
    reading.finish()
}

/// Most boards, sources, transformers or decisions of a basis.
const MOST_ENTRIES: usize = 10_000;

/// The sheet of a workbook that holds a basis.
pub(crate) const SHEET: &str = "Basis";

/// Section whose keys are not ours.
const COLUMNS: &str = "columns";

/// A value as given: typed in TOML, text in a sheet.
enum Given<'a> {
    Toml(DeValue<'a>),
    Text(&'a str),
}

type At = Option<(usize, usize)>;

/// The state of the reading so far.
struct Reading<'a> {
    file: &'a str,
    /// The sheet that holds it, in a workbook.
    sheet: Option<&'a str>,
    table: toml::Table,
    findings: Vec<Finding>,
    wrong: Vec<(At, String)>,
}

impl<'a> Reading<'a> {
    fn new(file: &'a str) -> Self {
        Self { file, sheet: None, table: toml::Table::new(), findings: Vec::new(), wrong: Vec::new() }
    }

    fn toml_section(&mut self, lines: &Lines<'_>, section: &str, number: usize, table: DeTable<'_>, at: (usize, usize)) {
        if !sections().iter().any(|known| known.name == section) {
            self.unknown(section, Some(at), sections().iter().map(|known| known.name.as_str()));
            return;
        }
        if table.is_empty() {
            self.entry(section, number);
        }
        for (key, value) in table {
            let at = lines.position(key.span().start);
            self.value(section, number, key.get_ref(), Given::Toml(value.into_inner()), Some(at));
        }
    }

    fn unknown<'k>(&mut self, key: &str, at: At, known: impl IntoIterator<Item = &'k str>) {
        let shown: String = key.chars().take(60).collect();
        let last = shown.rsplit('.').next().unwrap_or_default();
        let hint = nearest(last, known).map_or_else(
            || "remove the key, or look up its name in the list of keys".to_owned(),
            |near| format!("did you mean `{near}`?"),
        );
        let place = Place {
            row: at.and_then(|(line, _)| u32::try_from(line).ok()),
            heading: Some(shown.clone()),
            sheet: self.sheet.map(str::to_owned),
            ..Place::file(self.file)
        };
        self.findings.push(
            Finding::new(&codes::F101_KEY_UNKNOWN, format!("the basis has no key `{shown}`; its value is not used"))
                .at(place)
                .cure(hint),
        );
    }

    fn value(&mut self, section: &str, number: usize, key: &str, given: Given<'_>, at: At) {
        let dotted = format!("{section}.{key}");
        if section == COLUMNS {
            // Its keys are headings of the schedule, which only the reader of schedules can judge.
            return match typed(KeyType::Text, given) {
                Ok(value) => self.put(section, number, key, value, at),
                Err(what) => self.wrong(&dotted, at, &what),
            };
        }
        let Some(known) = sections().iter().find(|known| known.name == section) else {
            return self.unknown(&dotted, at, sections().iter().flat_map(|known| known.keys.iter().map(|key| key.name.as_str())));
        };
        let Some(known_key) = known.keys.iter().find(|known| known.name == key) else {
            return self.unknown(&dotted, at, known.keys.iter().map(|key| key.name.as_str()));
        };
        if number > 0 && !known.repeated {
            return self.wrong(&dotted, at, &format!("there is one [{section}], not several"));
        }
        let checked = typed(known_key.kind, given).and_then(|value| check_value(section, key, value));
        match checked {
            // An empty text states nothing.
            Ok(toml::Value::String(text)) if text.is_empty() => drop(self.entry(section, number)),
            Ok(value) => self.put(section, number, key, value, at),
            Err(what) => self.wrong(&dotted, at, &what),
        }
    }

    /// Puts in a value; a key that stands twice has no value of which anybody could know that it is the one that was meant.
    fn put(&mut self, section: &str, number: usize, key: &str, value: toml::Value, at: At) {
        let Some(entry) = self.entry(section, number) else { return };
        if entry.insert(key.to_owned(), value).is_some() {
            let of_several = sections().iter().any(|known| known.name == section && known.repeated);
            let entry = if of_several { format!("{section}.{}.{key}", number + 1) } else { format!("{section}.{key}") };
            self.wrong(&entry, at, "it stands twice; keep one of the two");
        }
    }

    /// The table of a section, or of its n-th entry.
    fn entry(&mut self, section: &str, number: usize) -> Option<&mut toml::Table> {
        let repeated = sections().iter().any(|known| known.name == section && known.repeated);
        let empty = || toml::Value::Table(toml::Table::new());
        let slot = self
            .table
            .entry(section.to_owned())
            .or_insert_with(|| if repeated { toml::Value::Array(Vec::new()) } else { empty() });
        match slot {
            toml::Value::Array(entries) => {
                if entries.len() <= number {
                    entries.resize_with(number + 1, empty);
                }
                entries.get_mut(number)?.as_table_mut()
            }
            other => other.as_table_mut(),
        }
    }

    fn wrong(&mut self, key: &str, at: At, what: &str) {
        let place = at.map(|(line, column)| format!(", line {line}, column {column}")).unwrap_or_default();
        let sheet = self.sheet.map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
        self.wrong.push((at, format!("{}{sheet}{place}: {key}: {what}", self.file)));
    }

    fn finish(mut self) -> Result<(Basis, Vec<Finding>), BasisError> {
        // Tables come by the alphabet; a reader goes from top to bottom.
        self.wrong.sort_by_key(|(at, _)| *at);
        self.findings.sort_by_key(|finding| finding.place.as_ref().and_then(|place| place.row));
        if !self.wrong.is_empty() {
            let lines: Vec<String> = self.wrong.into_iter().map(|(_, line)| line).collect();
            return Err(BasisError { message: lines.join("\n") });
        }
        match Basis::deserialize(toml::Value::Table(self.table)) {
            Ok(basis) => Ok((basis, self.findings)),
            Err(error) => Err(BasisError { message: format!("{}: {}", self.file, error.message()) }),
        }
    }
}

/// The value in the type that its key has.
fn typed(kind: KeyType, given: Given<'_>) -> Result<toml::Value, String> {
    let wanted = match kind {
        KeyType::Text => "text between quotation marks",
        KeyType::Number => "a number",
        KeyType::Whole => "a whole number",
        KeyType::YesNo => "true or false",
    };
    let no = |seen: &str| Err(format!("`{}` is not {wanted}", seen.chars().take(60).collect::<String>()));
    match given {
        Given::Toml(value) => match (kind, value) {
            (KeyType::Text, DeValue::String(text)) => Ok(toml::Value::String(text.into_owned())),
            // A date of TOML where a date's text is meant.
            (KeyType::Text, DeValue::Datetime(date)) => Ok(toml::Value::String(date.to_string())),
            (KeyType::YesNo, DeValue::Boolean(yes)) => Ok(toml::Value::Boolean(yes)),
            (KeyType::Whole, DeValue::Integer(number)) => {
                i64::from_str_radix(number.as_str(), number.radix()).map(toml::Value::Integer).or_else(|_| no(number.as_str()))
            }
            (KeyType::Number, DeValue::Integer(number)) => i64::from_str_radix(number.as_str(), number.radix())
                .map(|number| {
                    #[allow(clippy::cast_precision_loss)] // bounds are far below the first whole number that a double skips
                    let number = number as f64;
                    toml::Value::Float(number)
                })
                .or_else(|_| no(number.as_str())),
            (KeyType::Number, DeValue::Float(number)) => {
                number.as_str().parse().map(toml::Value::Float).or_else(|_| no(number.as_str()))
            }
            (_, DeValue::String(text)) => no(&text),
            (_, other) => Err(format!("it is of type {}, not {wanted}", other.type_str())),
        },
        Given::Text(text) => match kind {
            KeyType::Text => Ok(toml::Value::String(text.to_owned())),
            KeyType::Number => text.parse().map(toml::Value::Float).or_else(|_| no(text)),
            // A workbook knows no whole numbers, and may hand over `3.0`.
            KeyType::Whole => text.strip_suffix(".0").unwrap_or(text).parse().map(toml::Value::Integer).or_else(|_| no(text)),
            KeyType::YesNo if ["true", "yes"].iter().any(|yes| text.eq_ignore_ascii_case(yes)) => Ok(toml::Value::Boolean(true)),
            KeyType::YesNo if ["false", "no"].iter().any(|no| text.eq_ignore_ascii_case(no)) => Ok(toml::Value::Boolean(false)),
            KeyType::YesNo => no(text),
        },
    }
}

/// A text with the beginnings of its lines.
pub(super) struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        Self { text, starts: std::iter::once(0).chain(ends.map(|(at, _)| at + 1)).collect() }
    }

    /// Line and column, both from 1, the column in characters.
    pub(super) fn position(&self, at: usize) -> (usize, usize) {
        let at = at.min(self.text.len());
        let line = self.starts.partition_point(|start| *start <= at);
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or_default();
        (line, self.text.get(start..at).map_or(0, |before| before.chars().count()) + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_basis_is_read_and_the_schema_knows_all_its_keys() {
        let text = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nearthing = \"tn-s\"\n[[board]]\nname = \"MCC-1\"\n[[board]]\nname = \"MCC-2\"\nprospective_fault_ka = 25\n[design]\nfinger_protection = false\n[project]\nissue_date = 2026-11-25\n";
        let (basis, findings) = from_toml("basis.toml", text).unwrap();
        assert!(findings.is_empty(), "{findings:?}");
        assert_eq!(basis.supply.voltage_v, Some(400.0));
        assert_eq!(basis.supply.earthing.as_deref(), Some("TN-S"));
        assert_eq!(basis.board("MCC-2").and_then(|board| board.prospective_fault_ka), Some(25.0));
        assert_eq!(basis.design.finger_protection, Some(false));
        assert_eq!(basis.project.issue_date.as_deref(), Some("2026-11-25"));
        let written = toml::Table::try_from(&basis).unwrap();
        assert!(written.keys().all(|key| sections().iter().any(|section| &section.name == key)));
    }

    #[test]
    fn an_unknown_key_is_a_warning_with_its_line() {
        let (_, findings) = from_toml("basis.toml", "[supply]\nvoltage = 400\n[suply]\nphases = 3\n").unwrap();
        assert_eq!(findings.len(), 2);
        assert_eq!(findings[0].place.as_ref().and_then(|place| place.row), Some(2));
        assert_eq!(findings[0].cure, "did you mean `voltage_v`?");
        assert_eq!(findings[1].cure, "did you mean `supply`?");
    }

    #[rstest::rstest]
    #[case::syntax("[supply\n", "line 1")]
    #[case::doubled("[supply]\nphases = 3\nphases = 1\n", "line 3")]
    #[case::type_of_value("[supply]\nvoltage_v = \"400\"\n", "line 2, column 1: supply.voltage_v: `400` is not a number")]
    #[case::book("[rules]\nbook = \"abc\"\n", "iec, nec")]
    #[case::negative("[supply]\nvoltage_v = -400\n", "supply.voltage_v: -400")]
    #[case::not_finite("[supply]\nvoltage_v = inf\n", "supply.voltage_v")]
    #[case::not_a_number("[supply]\nvoltage_v = nan\n", "supply.voltage_v")]
    #[case::drop("[design]\nrunning_drop_pct = 60\n", "from 0 to 50")]
    #[case::no_impedance("[[transformer]]\nname = \"T\"\nimpedance_pct = 0\n", "from 0.1 to 30")]
    #[case::none_of_the_supply("[supply]\ntransformer_impedance_pct = 0\n", "from 0.1 to 30")]
    #[case::no_reactance("[[source]]\nname = \"G\"\nsubtransient_reactance_pct = 0\n", "from 1 to 100")]
    #[case::phases("[supply]\nphases = 7\n", "from 1 to 3")]
    #[case::two_phases("[supply]\nphases = 2\n", "enter 1 or 3")]
    #[case::two_phases_of_a_board("[[board]]\nname = \"A\"\nphases = 2\n", "enter 1 or 3")]
    #[case::no_continuous_load("[demand]\ncontinuous = 0\n", "from 0.05 to 2")]
    #[case::paper("[report]\npaper = \"A5\"\n", "A4, Letter")]
    #[case::prefer("[catalogue]\nprefer = \"best\"\n", "smallest, cheapest, fewest-kinds")]
    #[case::table_for_value("[supply.voltage_v]\na = 1\n", "not a number")]
    fn refused(#[case] text: &str, #[case] part: &str) {
        let error = from_toml("basis.toml", text).unwrap_err();
        assert!(error.message.starts_with("basis.toml") && error.message.contains(part), "{error}");
    }

    #[test]
    fn all_that_is_wrong_is_said_at_once() {
        let error = from_toml("b.toml", "[supply]\nvoltage_v = -1\nphases = 9\n").unwrap_err();
        assert_eq!(error.message.lines().count(), 2);
    }

    #[test]
    fn pairs_go_the_same_way() {
        let pair = |key: &str, value: &str| (key.to_owned(), value.to_owned());
        let pairs = [
            pair("rules.book", "IEC"),
            pair("supply.voltage_v", "400"),
            pair("supply.phases", "3"),
            pair("board.2.name", "MCC-2"),
            pair("supply.volts", "1"),
            pair("x", "1"),
        ];
        let (basis, findings) = from_pairs("loads.xlsx", &pairs).unwrap();
        assert_eq!(basis.rules.book.as_deref(), Some("iec"));
        assert_eq!(basis.supply.phases, Some(3));
        assert_eq!(basis.boards.len(), 2);
        assert_eq!(findings.len(), 2);
        assert!(from_pairs("loads.xlsx", &[pair("supply.voltage_v", "many")]).is_err());
    }

    /// What a file is held to, the pairs of a sheet are held to as well.
    #[rstest::rstest]
    #[case::twice("[supply]\nprospective_fault_ka = 50\nprospective_fault_ka = 5\n", &[("supply.prospective_fault_ka", "50"), ("supply.prospective_fault_ka", "5")])]
    #[case::twice_in_a_board("[[board]]\nname = \"A\"\nname = \"B\"\n", &[("board.1.name", "A"), ("board.1.name", "B")])]
    #[case::first_board_twice("[[board]]\nname = \"A\"\nname = \"B\"\n", &[("board.name", "A"), ("board.1.name", "B")])]
    #[case::two_phases("[supply]\nphases = 2\n", &[("supply.phases", "2")])]
    #[case::word("[catalogue]\nprefer = \"best\"\n", &[("catalogue.prefer", "best")])]
    #[case::not_a_number("[supply]\nvoltage_v = \"many\"\n", &[("supply.voltage_v", "many")])]
    fn both_readers_refuse(#[case] toml: &str, #[case] pairs: &[(&str, &str)]) {
        assert!(from_toml("basis.toml", toml).is_err(), "{toml}");
        let pairs: Vec<(String, String)> = pairs.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
        let error = from_pairs("loads.xlsx", &pairs).expect_err("it is refused");
        assert!(error.message.starts_with("loads.xlsx, sheet Basis: "), "{error}");
    }

    #[test]
    fn boards_of_a_sheet_are_counted_from_one() {
        let pairs = [("board.0.name", "MCC-1"), ("board.1.name", "MCC-2")].map(|(key, name)| (key.to_owned(), name.to_owned()));
        let error = from_pairs("loads.xlsx", &pairs).expect_err("it is refused");
        assert!(error.message.contains("board.0.name: entries are counted from 1"), "{error}");
    }

    #[test]
    fn an_unknown_key_of_a_sheet_names_the_sheet() {
        let (_, findings) = from_pairs("loads.xlsx", &[("supply.volts".to_owned(), "1".to_owned())]).unwrap();
        assert_eq!(findings[0].place.as_ref().and_then(|place| place.sheet.as_deref()), Some("Basis"));
    }

    #[test]
    fn a_blank_around_a_name_is_no_part_of_it() {
        let (basis, _) = from_toml("b.toml", "[[board]]\nname = \" MCC-1 \"\nfed_from = \"supply \"\n").unwrap();
        assert_eq!(basis.boards[0].fed_from.as_deref(), Some("supply"));
        assert!(basis.board("MCC-1").is_some());
        let (basis, _) = from_toml("b.toml", "[[board]]\nname = \"\"\nfed_from = \" \"\nexisting_load_a = 100\n").unwrap();
        assert_eq!((basis.boards.len(), &basis.boards[0].name, &basis.boards[0].fed_from), (1, &None, &None));
    }

    #[test]
    fn places_are_told_by_line_and_character() {
        let lines = Lines::of("a\nbé = 1\n\nc");
        let found: Vec<(usize, usize)> = [0, 1, 2, 5, 9, 10, 11, 99].map(|at| lines.position(at)).to_vec();
        assert_eq!(found, [(1, 1), (1, 2), (2, 1), (2, 3), (2, 7), (3, 1), (4, 1), (4, 2)]);
    }

    proptest::proptest! {
        #[test]
        fn any_text_gives_a_result(text in "(\\[{0,2}[a-z_.]{0,10}\\]{0,2}\n|[a-z_.]{1,12} ?= ?[-0-9a-z\".{}\\[\\]]{0,8}\n){0,6}") {
            let _ = from_toml("b.toml", &text);
        }
    }
}
