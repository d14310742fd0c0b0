//! The parent of each board, read from `fed_from` and from the transformers; a contradiction is told, and the parent left
//! unknown.

use std::collections::BTreeMap;

use super::{Parent, meant, place};
use crate::basis::{Basis, LISTED};
use crate::finding::{Finding, codes};

/// A board with what stands before it; boards count in the order of basis and schedule.
#[derive(Clone, Debug)]
pub(super) struct Feed {
    pub name: String,
    pub board: Option<usize>,
    pub parent: Parent,
    pub transformer: Option<usize>,
    pub alternatives: Vec<usize>,
}

/// The thing that a name of the basis stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Named {
    Supply,
    /// The network of `[supply]` under the name of a source that is no machine: as a feed it is the supply itself, whatever its name.
    Network(usize),
    /// A machine.
    Source(usize),
    Transformer(usize),
    Board(usize),
}

/// The word by which the basis names its own supply.
const SUPPLY: &str = "supply";

/// Names and what they stand for, and where findings go.
struct Reader<'a> {
    basis: &'a Basis,
    basis_file: Option<&'a str>,
    named: BTreeMap<&'a str, Named>,
    findings: &'a mut Vec<Finding>,
}

pub(super) fn of(basis: &Basis, scheduled: &[&str], basis_file: Option<&str>, findings: &mut Vec<Finding>) -> Vec<Feed> {
    let mut feeds = Vec::new();
    let mut reader = Reader { basis, basis_file, named: BTreeMap::new(), findings };
    reader.names(scheduled, &mut feeds);
    let transformers = reader.transformers(&feeds);
    let parents: Vec<_> = (0..feeds.len()).map(|index| reader.feed(index, &feeds, &transformers)).collect();
    for (feed, (parent, transformer, alternatives)) in feeds.iter_mut().zip(parents) {
        (feed.parent, feed.transformer, feed.alternatives) = (parent, transformer, alternatives);
    }
    reader.rings(&mut feeds);
    feeds
}

/// The two ends of a transformer.
#[derive(Clone, Copy, Debug, Default)]
struct Between {
    from: Option<Parent>,
    to: Option<usize>,
}

type Before = (Parent, Option<usize>, Vec<usize>);

impl<'a> Reader<'a> {
    fn say(&mut self, code: &codes::Code, key: &str, what: String, cure: impl Into<String>) {
        let why = "the supply of the board is taken as unknown: what depends on it is not checked";
        self.findings.push(Finding::new(code, what).at(place(self.basis_file, key)).why(why).cure(cure));
    }

    /// Boards, transformers and sources by their names; a name that stands twice means what it meant first.
    fn names(&mut self, scheduled: &[&str], feeds: &mut Vec<Feed>) {
        let basis = self.basis;
        let feed = |name: &str, board| Feed {
            name: name.to_owned(),
            board,
            parent: Parent::Supply,
            transformer: None,
            alternatives: Vec::new(),
        };
        for (index, board) in basis.boards.iter().enumerate() {
            let Some(name) = self.name("board", index, board.name.as_deref()) else { continue };
            if self.enter(name, Named::Board(feeds.len()), "board") {
                feeds.push(feed(name, Some(index)));
            }
        }
        for (index, transformer) in basis.transformers.iter().enumerate() {
            // A transformer needs a name only where a board is fed from it.
            if let Some(name) = trimmed(transformer.name.as_deref()) {
                self.enter(name, Named::Transformer(index), "transformer");
            }
        }
        for (index, source) in basis.sources.iter().enumerate() {
            if let Some(name) = self.name("source", index, source.name.as_deref()) {
                let meaning = if source.is_machine() { Named::Source(index) } else { Named::Network(index) };
                self.enter(name, meaning, "source");
            }
        }
        let known: Vec<String> = feeds.iter().map(|feed| feed.name.clone()).collect();
        let mut seen: std::collections::BTreeSet<&str> = known.iter().map(String::as_str).collect();
        for name in scheduled.iter().filter(|name| seen.insert(**name)) {
            if self.named.contains_key(name) {
                self.say_twice(
                    name,
                    &format!("board {name}: name"),
                    "where something is fed from that name the transformer or source is meant, not the board of the schedule",
                );
            }
            feeds.push(feed(name, None));
        }
    }

    fn name(&mut self, section: &str, index: usize, name: Option<&'a str>) -> Option<&'a str> {
        let name = trimmed(name);
        if name.is_none() {
            let what = format!("{section} {} of the basis has no name", index + 1);
            let key = format!("{section} {}: name", index + 1);
            let finding = Finding::new(&codes::B106_NAME_MISSING, what).at(place(self.basis_file, &key));
            let why = match section {
                "source" => "no board can name it; a machine that none names is taken to stand in for the supply",
                _ => "nothing can refer to it; its figures are not used",
            };
            self.findings.push(finding.why(why).cure("give it its name"));
        }
        name
    }

    fn enter(&mut self, name: &'a str, named: Named, section: &str) -> bool {
        if !self.named.contains_key(name) && !name.eq_ignore_ascii_case(SUPPLY) {
            self.named.insert(name, named);
            return true;
        }
        let why = match (section, self.named.get(name)) {
            ("board", _) => "the first one counts, and what the others state is not used",
            (_, Some(Named::Board(_))) => "where something is fed from that name the board is meant",
            _ => "where something is fed from that name the first one is meant, or [supply] itself",
        };
        self.say_twice(name, &format!("{section} {name}: name"), why);
        false
    }

    fn say_twice(&mut self, name: &str, key: &str, why: &str) {
        let finding = Finding::new(&codes::B105_NAME_TWICE, format!("the name {name} stands more than once"))
            .at(place(self.basis_file, key))
            .why(why.to_owned())
            .cure("give each board, transformer and source a name of its own; `supply` is that of [supply]");
        self.findings.push(finding);
    }

    fn find(&self, name: &str, feeds: &[Feed]) -> Option<Named> {
        if name.eq_ignore_ascii_case(SUPPLY) {
            return Some(Named::Supply);
        }
        let scheduled = || feeds.iter().position(|feed| feed.board.is_none() && feed.name == name).map(Named::Board);
        self.named.get(name).copied().or_else(scheduled)
    }

    fn transformers(&mut self, feeds: &[Feed]) -> Vec<Between> {
        let basis = self.basis;
        let mut all = Vec::new();
        for (index, transformer) in basis.transformers.iter().enumerate() {
            let title = trimmed(transformer.name.as_deref()).map_or_else(|| (index + 1).to_string(), str::to_owned);
            let from = match trimmed(transformer.from.as_deref()).map(|name| (name, self.find(name, feeds))) {
                None | Some((_, Some(Named::Supply | Named::Network(_)))) => Some(Parent::Supply),
                Some((_, Some(Named::Source(source)))) => Some(Parent::Source(source)),
                Some((_, Some(Named::Board(board)))) => Some(Parent::Board(board)),
                Some((name, Some(Named::Transformer(_)) | None)) => {
                    let what = format!("transformer {title} is fed from {name}, which is neither source nor board");
                    let known = self.names_of(feeds, |named| !matches!(named, Named::Transformer(_)));
                    let cure = meant(name, known.iter().map(String::as_str));
                    self.say(&codes::B101_FEED_UNKNOWN, &format!("transformer {title}: from"), what, cure);
                    None
                }
            };
            let to = trimmed(transformer.to.as_deref());
            // Only boards are fed, be it that the transformer bears the name of its own.
            let board = to.and_then(|name| feeds.iter().position(|feed| feed.name == name));
            if let (Some(name), None) = (to, board) {
                let what = format!("transformer {title} feeds {name}, which is no board");
                let known = self.names_of(feeds, |named| matches!(named, Named::Board(_)));
                let cure = meant(name, known.iter().map(String::as_str));
                self.say(&codes::B101_FEED_UNKNOWN, &format!("transformer {title}: to"), what, cure);
            }
            let named = |text: &str| Some(text.trim()) == trimmed(transformer.name.as_deref());
            let asked_for =
                basis.boards.iter().filter_map(|board| board.fed_from.as_deref()).any(|fed| fed.split(LISTED).any(named));
            if to.is_none() && !asked_for {
                let finding = Finding::new(&codes::B106_NAME_MISSING, format!("transformer {title} feeds no board"));
                let finding = finding.at(place(self.basis_file, &format!("transformer {title}: to")));
                self.findings.push(finding.why("its figures are not used").cure("name the board in `to`"));
            }
            all.push(Between { from, to: board });
        }
        all
    }

    fn names_of(&self, feeds: &[Feed], wanted: impl Fn(Named) -> bool) -> Vec<String> {
        let name = self.named.iter().filter(|(_, named)| wanted(**named)).map(|(name, _)| (*name).to_owned());
        let scheduled = feeds.iter().enumerate().filter(|(index, feed)| feed.board.is_none() && wanted(Named::Board(*index)));
        name.chain(scheduled.map(|(_, feed)| feed.name.clone())).collect()
    }

    /// The parent of a board, as `fed_from` and the transformers say together.
    fn feed(&mut self, index: usize, feeds: &[Feed], transformers: &[Between]) -> Before {
        const NOTHING: Before = (Parent::Unknown, None, Vec::new());
        let name = &feeds[index].name;
        let key = format!("board {name}: fed_from");
        let by: Vec<usize> = (0..transformers.len()).filter(|transformer| transformers[*transformer].to == Some(index)).collect();
        if let [_, _, ..] = by[..] {
            let what = format!("{} transformers are said to feed board {name}", by.len());
            let cure = "write transformers in parallel as one, with the sum of their ratings, or give each a board of its own";
            self.say(&codes::B103_TWO_PARENTS, &key, what, cure);
            return NOTHING;
        }
        let by = by.first().copied();
        let stated = feeds[index].board.and_then(|board| trimmed(self.basis.boards[board].fed_from.as_deref()));
        let Some(stated) = stated else {
            return by.map_or((Parent::Supply, None, Vec::new()), |by| through(by, transformers, Vec::new()));
        };
        let Some((first, alternatives)) = self.listed(stated, &key, name, feeds) else { return NOTHING };
        match (first, by) {
            (Named::Transformer(transformer), None) => through(transformer, transformers, alternatives),
            (Named::Transformer(transformer), Some(by)) if transformer == by => through(transformer, transformers, alternatives),
            (Named::Supply | Named::Network(_), None) => (Parent::Supply, None, alternatives),
            (Named::Source(source), None) => (Parent::Source(source), None, alternatives),
            (Named::Board(board), None) => (Parent::Board(board), None, alternatives),
            (other, Some(by)) if transformers[by].from.is_some_and(|from| stands_for(other, from)) => {
                through(by, transformers, alternatives)
            }
            (_, Some(by)) => {
                let title = trimmed(self.basis.transformers[by].name.as_deref()).unwrap_or("of the basis").to_owned();
                let what = format!("board {name} is fed from {stated}, but transformer {title} is said to feed it too");
                let cure = format!("write fed_from = \"{title}\", or correct `to` of the transformer");
                self.say(&codes::B103_TWO_PARENTS, &key, what, cure);
                NOTHING
            }
        }
    }

    /// The first name of `fed_from`, and the sources that follow it.
    fn listed(&mut self, stated: &str, key: &str, board: &str, feeds: &[Feed]) -> Option<(Named, Vec<usize>)> {
        let mut names: Vec<&str> = vec![stated];
        if self.find(stated, feeds).is_none() {
            names = stated.split(LISTED).map(str::trim).filter(|name| !name.is_empty()).collect();
        }
        let mut found = Vec::new();
        for name in names {
            let Some(named) = self.find(name, feeds) else {
                let what = format!("board {board} is fed from {name}, which the basis does not name");
                let known = self.names_of(feeds, |_| true);
                let known: Vec<&str> = known.iter().map(String::as_str).filter(|name| *name != board).collect();
                let mut cure = meant(name, known.iter().copied());
                if !cure.starts_with("did you mean") {
                    cure.push_str("; where [supply] itself feeds the board, write `supply` or leave fed_from out");
                }
                self.say(&codes::B101_FEED_UNKNOWN, key, what, cure);
                return None;
            };
            found.push(named);
        }
        let (first, others) = found.split_first()?;
        let mut alternatives = Vec::new();
        for other in others {
            let (Named::Source(source) | Named::Network(source)) = other else {
                let what = format!("board {board} is fed from several: {stated}");
                let cure = "name one board, transformer or source; only sources may follow it, which feed the board instead";
                self.say(&codes::B103_TWO_PARENTS, key, what, cure);
                return None;
            };
            // The network is no alternative to itself.
            if !matches!((first, other), (Named::Supply | Named::Network(_), Named::Network(_))) {
                alternatives.push(*source);
            }
        }
        Some((*first, alternatives))
    }

    /// Parts all boards of a ring from what feeds them. Rings of boards alone are told where the schedule is held against the basis.
    fn rings(&mut self, feeds: &mut [Feed]) {
        let mut seen = vec![0; feeds.len()];
        for start in 0..feeds.len() {
            let (round, mut at, mut way) = (start + 1, start, Vec::new());
            while seen[at] == 0 {
                seen[at] = round;
                way.push(at);
                let Parent::Board(parent) = feeds[at].parent else { break };
                at = parent;
            }
            let closed = matches!(feeds[way.last().copied().unwrap_or(at)].parent, Parent::Board(_)) && seen[at] == round;
            let Some(begins) = way.iter().position(|way| *way == at).filter(|_| closed) else { continue };
            let ring = &way[begins..];
            if ring.iter().any(|ring| feeds[*ring].transformer.is_some()) {
                let mut names: Vec<&str> = ring.iter().rev().map(|ring| feeds[*ring].name.as_str()).collect();
                names.push(names[0]);
                let what = format!("boards feed each other in a ring, by way of a transformer: {}", names.join(" feeds "));
                let key = format!("board {}: fed_from", feeds[at].name);
                self.say(&codes::B102_RING, &key, what, "correct `from` or `to` of the transformer, or `fed_from` of a board");
            }
            for ring in ring {
                (feeds[*ring].parent, feeds[*ring].transformer) = (Parent::Unknown, None);
                feeds[*ring].alternatives.clear();
            }
        }
    }
}

/// A name stands for what feeds a transformer.
fn stands_for(named: Named, parent: Parent) -> bool {
    match (named, parent) {
        (Named::Supply | Named::Network(_), Parent::Supply) => true,
        (Named::Source(named), Parent::Source(feeding)) => named == feeding,
        (Named::Board(named), Parent::Board(feeding)) => named == feeding,
        _ => false,
    }
}

fn through(transformer: usize, transformers: &[Between], alternatives: Vec<usize>) -> Before {
    match transformers[transformer].from {
        Some(from) => (from, Some(transformer), alternatives),
        None => (Parent::Unknown, None, Vec::new()),
    }
}

fn trimmed(text: Option<&str>) -> Option<&str> {
    text.map(str::trim).filter(|text| !text.is_empty())
}
