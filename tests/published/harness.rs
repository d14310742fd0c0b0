//! Published worked examples as data: one CSV form, one comparison, one failure message that a person can read.
//!
//! Columns: `id`; `clause`; `topic`, which names the function to call; `inputs` as `kw=7.5;u_v=400`; `expected` as `current_a=15.2`;
//! `tolerance`, either `0.5 %` of the expected value or an absolute figure in its unit, or `exact`; `check`; `source`; `remark`.
//!
//! `check` says what the expected value is worth: `printed`, it stands in the source; `recomputed`, the source's example with the
//! answer put right or worked out with the present tables; `worked`, from the clause, theory or arithmetic with nobody's printed
//! answer; `recalled`, from memory. Only `printed` rows are checks from outside.
//!
//! A row fails if its topic has no function, if an input is not used, or if an expected value is not given back: nothing in a row
//! may be idle.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;

/// One published example.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Case {
    pub(crate) id: String,
    pub(crate) clause: String,
    pub(crate) topic: String,
    pub(crate) inputs: String,
    pub(crate) expected: String,
    pub(crate) tolerance: String,
    pub(crate) check: String,
    pub(crate) source: String,
    pub(crate) remark: String,
}

/// The inputs of one example; it remembers which were asked for.
pub(crate) struct Inputs {
    values: BTreeMap<String, String>,
    asked: RefCell<BTreeSet<String>>,
}

impl Inputs {
    fn parse(text: &str) -> Self {
        Self { values: pairs(text), asked: RefCell::default() }
    }

    /// A number that the example must give.
    pub(crate) fn number(&self, name: &str) -> f64 {
        let text = self.text(name);
        text.parse().unwrap_or_else(|_| panic!("input {name} = `{text}` is no number"))
    }

    /// A number that the example may give.
    #[allow(dead_code)] // shared by several test files, of which not each has such inputs
    pub(crate) fn optional(&self, name: &str) -> Option<f64> {
        self.values.contains_key(name).then(|| self.number(name))
    }

    /// A word that the example must give.
    pub(crate) fn text(&self, name: &str) -> &str {
        self.asked.borrow_mut().insert(name.to_owned());
        self.values.get(name).unwrap_or_else(|| panic!("input {name} is missing"))
    }

    fn idle(&self) -> Vec<&str> {
        let asked = self.asked.borrow();
        self.values.keys().map(String::as_str).filter(|name| !asked.contains(*name)).collect()
    }
}

/// The answer of the program.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Value {
    Number(f64),
    Word(String),
}

impl From<f64> for Value {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}
impl From<&str> for Value {
    fn from(word: &str) -> Self {
        Self::Word(word.to_owned())
    }
}
impl From<String> for Value {
    fn from(word: String) -> Self {
        Self::Word(word)
    }
}
impl From<bool> for Value {
    fn from(yes: bool) -> Self {
        Self::Word(yes.to_string())
    }
}

/// Named results.
pub(crate) type Results = Vec<(&'static str, Value)>;
/// A topic and the function that works its examples out.
pub(crate) type Topic = (&'static str, fn(&Inputs) -> Results);

fn pairs(text: &str) -> BTreeMap<String, String> {
    text.split(';')
        .filter(|part| !part.trim().is_empty())
        .map(|part| {
            let (name, value) = part.split_once('=').unwrap_or_else(|| panic!("`{part}` is not name=value"));
            (name.trim().to_owned(), value.trim().to_owned())
        })
        .collect()
}

/// The examples of a file.
pub(crate) fn cases(text: &str) -> Vec<Case> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
        .into_deserialize()
        .collect::<Result<_, _>>()
        .unwrap_or_else(|error| panic!("published examples: {error}"))
}

/// Largest accepted distance from the expected number.
fn tolerance(text: &str, expected: f64) -> f64 {
    if text == "exact" {
        return 1e-9 * expected.abs();
    }
    let (figure, relative) = text.strip_suffix('%').map_or((text, false), |figure| (figure.trim(), true));
    let figure: f64 = figure.parse().unwrap_or_else(|_| panic!("tolerance `{text}`"));
    assert!(figure > 0.0 && figure.is_finite(), "tolerance `{text}`");
    // A hair more than stated, so that a figure on the very edge of a rounded print is not lost to binary fractions.
    if relative { figure / 100.0 * expected.abs() * (1.0 + 1e-9) } else { figure * (1.0 + 1e-9) }
}

/// Says what is wrong with one example; nothing if it agrees.
pub(crate) fn complaint(case: &Case, topics: &[Topic]) -> Option<String> {
    let Some((_, function)) = topics.iter().find(|(topic, _)| *topic == case.topic) else {
        return Some(format!("no function for topic `{}`", case.topic));
    };
    let inputs = Inputs::parse(&case.inputs);
    let results = function(&inputs);
    let idle = inputs.idle();
    if !idle.is_empty() {
        return Some(format!("inputs {idle:?} are not used"));
    }
    let expected = pairs(&case.expected);
    if expected.is_empty() {
        return Some("nothing is expected".to_owned());
    }
    let mut wrong = Vec::new();
    for (name, text) in expected {
        let Some((_, value)) = results.iter().find(|(given, _)| *given == name) else {
            wrong.push(format!("{name} is not given back"));
            continue;
        };
        match value {
            Value::Word(word) if *word != text => wrong.push(format!("{name} is {word}, expected {text}")),
            Value::Word(_) => {}
            Value::Number(number) => {
                let wanted: f64 = text.parse().unwrap_or_else(|_| panic!("{}: expected {name} = `{text}`", case.id));
                let distance = (number - wanted).abs();
                // A result that is no number fails.
                if distance.is_nan() || distance > tolerance(&case.tolerance, wanted) {
                    wrong.push(format!("{name} is {number}, expected {wanted} (tolerance {})", case.tolerance));
                }
            }
        }
    }
    (!wrong.is_empty()).then(|| wrong.join("; "))
}

/// Words of a source or remark that no printed answer has.
const NOT_PRINTED: [&str; 9] = [
    "constructed",
    "from memory",
    "recalled",
    "recomputed",
    "circuit theory",
    "arithmetic",
    "rule of this program",
    "no source",
    "printed answers",
];

/// Says what is wrong with the worth that an example claims.
fn misjudged(case: &Case) -> Option<String> {
    let known = ["printed", "recomputed", "worked", "recalled"].contains(&case.check.as_str());
    let text = format!("{} {}", case.source, case.remark).to_lowercase();
    let doubtful = NOT_PRINTED.into_iter().find(|word| text.contains(word));
    match (known, case.check.as_str(), doubtful) {
        (false, other, _) => Some(format!("{}: `{other}` says nothing about the worth of the check", case.id)),
        (true, "printed", Some(word)) => Some(format!("{}: called printed, though it says `{word}`", case.id)),
        _ => None,
    }
}

/// Works every example out and fails with all that disagree.
pub(crate) fn run(text: &str, topics: &[Topic]) {
    let cases = cases(text);
    assert!(!cases.is_empty(), "no examples");
    let mut seen = BTreeSet::new();
    let mut complaints = Vec::new();
    for case in &cases {
        assert!(!case.source.is_empty() && !case.clause.is_empty(), "{}: source and clause are wanted", case.id);
        assert!(seen.insert(case.id.clone()), "{} stands twice", case.id);
        complaints.extend(misjudged(case));
        if let Some(wrong) = complaint(case, topics) {
            complaints.push(format!("{} ({}; {}): {wrong} {}", case.id, case.topic, case.source, case.remark));
        }
    }
    // Most of a file are checks from outside, or it is called one of worked examples.
    let outside = !text.starts_with("# Worked examples");
    assert!(
        !outside || 2 * cases.iter().filter(|case| case.check == "printed").count() > cases.len(),
        "few of these examples are printed"
    );
    for (topic, _) in topics {
        assert!(cases.iter().any(|case| case.topic == *topic), "topic `{topic}` has no example");
    }
    assert!(complaints.is_empty(), "{} of {} examples disagree:\n{}", complaints.len(), cases.len(), complaints.join("\n"));
}

/// The harness must be able to fail.
pub(crate) fn self_check() {
    fn double(inputs: &Inputs) -> Results {
        vec![("y", (2.0 * inputs.number("x")).into()), ("word", "yes".into())]
    }
    let case = |inputs: &str, expected: &str, tolerance: &str, topic: &str| Case {
        id: "T".into(),
        clause: "T".into(),
        topic: topic.into(),
        inputs: inputs.into(),
        expected: expected.into(),
        tolerance: tolerance.into(),
        check: "worked".into(),
        source: "T".into(),
        remark: String::new(),
    };
    let called =
        |check: &str, source: &str| Case { check: check.into(), source: source.into(), ..case("x=2", "y=4", "exact", "double") };
    assert_eq!(misjudged(&called("printed", "a handbook")), None);
    assert_eq!(misjudged(&called("recalled", "a handbook, from memory")), None);
    assert!(misjudged(&called("printed", "a handbook, from memory")).is_some());
    assert!(misjudged(&called("seen", "a handbook")).is_some());
    let topics: &[Topic] = &[("double", double)];
    assert_eq!(complaint(&case("x=2", "y=4;word=yes", "exact", "double"), topics), None);
    assert_eq!(complaint(&case("x=2", "y=4.03", "1 %", "double"), topics), None);
    for bad in [
        case("x=2", "y=4.05", "1 %", "double"),
        case("x=2", "y=4.05", "0.04", "double"),
        case("x=2", "word=no", "exact", "double"),
        case("x=2", "z=4", "exact", "double"),
        case("x=2;w=1", "y=4", "exact", "double"),
        case("x=NaN", "y=4", "1 %", "double"),
        case("x=2", "", "exact", "double"),
        case("x=2", "y=4", "exact", "triple"),
    ] {
        assert!(complaint(&bad, topics).is_some(), "{} -> {} was accepted", bad.inputs, bad.expected);
    }
}
