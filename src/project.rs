//! The one orchestrator: read, resolve, supply, size, boards, purchase, design. Writing is `report`'s.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use sha2::{Digest, Sha256};

use crate::basis::{Basis, KeyLines};
use crate::boards;
use crate::catalogue::Catalogue;
use crate::compare::{Sizer, Stated, Trials};
use crate::design::{CatalogueStamp, Circuit, Design, HashedFile, Revision, SCHEMA, Status};
use crate::finding::{Finding, Place, sort};
use crate::intake::{self, Intake};
use crate::load::Load;
use crate::network::Network;
use crate::purchase;
use crate::record::{Record, Step};
use crate::rules::units::Units;
use crate::rules::{self, RuleBook};
use crate::sizing::{self, Pins, Tools};
use crate::threads;
use crate::verify::{self, Verifier};

mod decided;
mod earlier;
mod error;
mod figures;
mod interlocks;
mod open;
mod panels;
mod range;

pub use earlier::{read_design, surroundings};
pub use error::{ProjectError, ProjectErrorKind};
pub use open::{ReadBasis, open, schedule};
use range::Range;

/// The files and wishes of a command.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// Schedule; `-` reads CSV from standard input.
    pub schedule: PathBuf,
    /// Basis file.
    pub basis: Option<PathBuf>,
    /// Rule book; instead of the basis' own.
    pub rules: Option<String>,
    /// Folder of a catalogue; instead of the basis' own.
    pub catalogue: Option<PathBuf>,
    /// How to read the schedule.
    pub reading: intake::ReadOptions,
}

/// Everything that was read. What the rows are sized by can't be changed any more: network, pins and panels are worked out from it once.
pub struct Inputs {
    intake: Intake,
    basis: Basis,
    book: &'static dyn RuleBook,
    range: Range,
    /// Files that were read.
    pub files: Vec<HashedFile>,
    /// Findings about the basis and the catalogue.
    pub findings: Vec<Finding>,
    /// The choices that interlocked rows fix for each other; worked out when it is first asked for.
    interlocked: OnceLock<std::collections::BTreeMap<usize, Pins>>,
    /// Boards and rows beside which electronics stand; worked out when it is first asked for.
    electronic: OnceLock<panels::Electronic>,
    /// Pins of each row, where fewer kinds of parts are wanted; worked out once.
    merged: OnceLock<purchase::kinds::Merged>,
    /// The network of the boards; worked out when it is first asked for.
    network: OnceLock<Network>,
    /// File that holds the basis.
    basis_file: Option<String>,
    /// Lines of its keys.
    basis_lines: KeyLines,
    /// Where the files are that were read, those of the catalogue among them.
    paths: Vec<PathBuf>,
}

pub(crate) fn plain(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "permission is denied".to_owned(),
        _ => error.to_string(),
    }
}

/// File name without folders.
#[must_use]
pub fn file_name(path: &Path) -> String {
    if path.as_os_str() == "-" {
        return "standard input".to_owned();
    }
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}

/// SHA-256 as lower-case hexadecimal digits.
#[must_use]
pub fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A row that was sized, with what it was sized by.
#[derive(Debug)]
pub struct SizedRow {
    /// The circuit, without the findings of the reader and without a status.
    pub circuit: Circuit,
    /// Working and findings.
    pub record: Record,
    /// The full-load current was assumed: what is chosen by it is not yet to be ordered.
    pub current_assumed: bool,
}

impl Inputs {
    /// Puts together what a design is made from; nothing is read here, so all of it may come from memory. What the rows, the basis
    /// and the catalogue have to be told about each other stands in [`Inputs::findings`] and on the rows. A design names the files
    /// that stand in [`Inputs::files`]; there are none at first. Without a catalogue the invented demonstration range of the rule book
    /// is used, of which nothing can be bought.
    #[must_use]
    pub fn new(intake: Intake, basis: ReadBasis, book: &'static dyn RuleBook, catalogue: Option<Catalogue>) -> Self {
        Self::of(intake, basis, book, Range::of(catalogue, book))
    }

    fn of(mut intake: Intake, basis: ReadBasis, book: &'static dyn RuleBook, range: Range) -> Self {
        let ReadBasis { basis, file: basis_file, mut findings, lines: basis_lines } = basis;
        let boards: Vec<&str> = basis.boards.iter().filter_map(|board| board.name.as_deref()).collect();
        intake::names::settle(&mut intake, &boards);
        let customary = Units::of(book.key()) == Units::Customary;
        intake::book_units::settle(&mut intake, customary);
        intake::book_kinds::settle(&mut intake, customary);
        findings.extend(sizing::resolve::idle::of_design(&intake.loads, &basis, basis_file.as_deref(), book));
        findings.extend(sizing::plausible::surroundings::of_motors(&intake.loads, &basis, book));
        intake.findings.extend(sizing::plausible::across(&intake.loads, &basis, basis_file.as_deref(), book));
        findings.extend(range.findings(&basis));
        findings.extend(sizing::memory::behind_all(book));
        Self {
            intake,
            basis,
            book,
            range,
            files: Vec::new(),
            findings,
            interlocked: OnceLock::new(),
            electronic: OnceLock::new(),
            merged: OnceLock::new(),
            network: OnceLock::new(),
            basis_file,
            basis_lines,
            paths: Vec::new(),
        }
    }

    /// The schedule as it was read, settled by basis and rule book.
    #[must_use]
    pub fn intake(&self) -> &Intake {
        &self.intake
    }

    /// The basis.
    #[must_use]
    pub fn basis(&self) -> &Basis {
        &self.basis
    }

    /// The rule book.
    #[must_use]
    pub fn book(&self) -> &'static dyn RuleBook {
        self.book
    }

    /// The catalogue.
    #[must_use]
    pub fn catalogue(&self) -> &Catalogue {
        self.range.get()
    }

    /// Where the files are that were read, those of the catalogue among them; none of what comes from memory.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        self.paths.iter().map(PathBuf::as_path)
    }

    fn tools(&self) -> Tools<'_> {
        Tools { basis: &self.basis, book: self.book, catalogue: self.range.get() }
    }

    /// Validates and resolves every row, and holds its currents against each other; sizes nothing.
    #[must_use]
    pub fn check(&self) -> Vec<Finding> {
        let mut findings = self.intake.findings.clone();
        findings.extend(self.findings.iter().cloned());
        for load in &self.intake.loads {
            let mut record = Record::new();
            let _ = sizing::resolve::with_currents(load, &self.basis, self.book, &mut record);
            findings.extend(record.into_parts().1);
        }
        findings.iter_mut().for_each(|finding| self.point(finding));
        sort(&mut findings);
        findings
    }

    /// Sizes the row of a place in [`Intake::loads`] again; none beyond the last one.
    #[must_use]
    pub fn size(&self, index: usize) -> Option<SizedRow> {
        let load = self.intake.loads.get(index)?;
        Some(self.size_load(load, &self.pins(index)))
    }

    /// Sizes a row of another schedule by this basis, rule book and catalogue: as what it states, beside the electronics of the rows
    /// that were read, and with nothing else that its neighbours fix.
    #[must_use]
    pub fn size_stated(&self, stated: &Stated) -> Circuit {
        size_restated(&self.tools(), &sizing::restated(stated), self.electronic(), self.network())
    }

    /// Sizes a row with choices that are fixed from outside.
    fn size_load(&self, load: &Load, pins: &Pins) -> SizedRow {
        size_on(&self.tools(), self.network(), load, pins)
    }

    /// The network of the boards. Worked out once, before the first circuit is sized.
    fn network(&self) -> &Network {
        self.network.get_or_init(|| Network::of(&self.intake.loads, &self.tools(), self.basis_file.as_deref()))
    }

    /// The pins of all rows: none, unless fewer kinds of parts are wanted. Worked out once, so that whoever sizes a row again
    /// gets the circuit of the design.
    fn merged(&self) -> &purchase::kinds::Merged {
        self.merged.get_or_init(|| {
            if self.basis.catalogue.prefer.as_deref() != Some("fewest-kinds") {
                return purchase::kinds::Merged::default();
            }
            let by_row = findings_by_row(&self.intake);
            let pins: Vec<Pins> = (0..self.intake.loads.len()).map(|index| self.interlocked(index)).collect();
            self.network();
            let runs = threads::of(pins.len(), threads::worth(pins.len()));
            let circuits =
                threads::each(runs, |run| run.map(|index| self.complete(index, &pins[index], &by_row).0).collect::<Vec<_>>());
            let circuits: Vec<Circuit> = circuits.into_iter().flatten().collect();
            let again = |index: usize, pins: &Pins| self.complete(index, pins, &by_row).0;
            purchase::kinds::merge(&circuits, pins, self.range.get(), self.book.key(), &again)
        })
    }

    /// Where other rows bring electronics into a panel.
    fn electronic(&self) -> &panels::Electronic {
        self.electronic.get_or_init(|| panels::Electronic::of(&self.tools(), &self.intake.loads))
    }

    /// The choices that other rows fix for a row.
    fn interlocked(&self, index: usize) -> Pins {
        let pins = self.interlocked.get_or_init(|| interlocks::pins(self)).get(&index).cloned().unwrap_or_default();
        Pins { electronics: self.electronic().rows.get(index).copied().unwrap_or(false), ..pins }
    }

    fn pins(&self, index: usize) -> Pins {
        self.merged().pins.get(index).cloned().unwrap_or_else(|| self.interlocked(index))
    }

    /// Sizes a row and completes the circuit: findings of the reader, status, and the steps that the basis asks for. Tells too whether
    /// its current was assumed.
    fn complete(&self, index: usize, pins: &Pins, by_row: &RowFindings<'_>) -> (Circuit, bool) {
        let load = &self.intake.loads[index];
        let SizedRow { mut circuit, record, current_assumed } = self.size_load(load, pins);
        circuit.carried = self.intake.carried(load);
        let (steps, found) = record.into_parts();
        circuit.findings.extend(found);
        if let Some(findings) = by_row.get(&(load.grid, load.row)) {
            circuit.unread = self.intake.unread(load, findings.iter().copied());
            circuit.findings.extend(findings.iter().map(|finding| (*finding).clone()));
        }
        sort(&mut circuit.findings);
        sizing::settle_status(&mut circuit);
        if self.basis.report.working.as_deref() != Some("none") {
            circuit.working = steps.into();
        }
        (circuit, current_assumed)
    }

    /// Completes every row. A row never reads another row's result, so they are shared out among threads; the order is that of the
    /// schedule however many there are.
    fn complete_all(&self, by_row: &RowFindings<'_>) -> Vec<(Circuit, bool)> {
        let rows = self.intake.loads.len();
        // Before the rows are shared out: what is worked out once for all of them, on all threads.
        self.electronic();
        self.network();
        self.merged();
        threads::each(threads::of(rows, threads::worth(rows)), |run| {
            run.map(|index| self.complete(index, &self.pins(index), by_row)).collect::<Vec<_>>()
        })
        .into_iter()
        .flatten()
        .collect()
    }

    /// Tries every circuit again without the code that made it; what does not agree is an error on the circuit.
    fn try_again(&self, circuits: &mut [Circuit]) {
        let verifier = Verifier::new(&self.basis, self.book, self.range.get(), circuits);
        let runs = threads::of(circuits.len(), threads::worth(circuits.len()));
        let tried = threads::each(runs, |run| run.map(|index| verifier.circuit(&circuits[index])).collect::<Vec<_>>());
        let disagreements = tried.into_iter().flatten();
        for (circuit, found) in circuits.iter_mut().zip(disagreements).filter(|(_, found)| !found.is_empty()) {
            circuit.findings.extend(found);
            sort(&mut circuit.findings);
            sizing::settle_status(circuit);
        }
    }

    /// Hands findings of the network that stand on a row to its circuit, which waits for what they ask; gives back the others.
    fn told_of_rows(&self, circuits: &mut [Circuit], findings: Vec<Finding>) -> Vec<Finding> {
        let places: BTreeMap<(Option<&str>, u32), usize> =
            self.intake.loads.iter().enumerate().map(|(at, load)| (load.row_key(), at)).collect();
        let mut of_no_row = Vec::new();
        for finding in findings {
            let row = finding.place.as_ref().and_then(Place::row_key);
            match row.and_then(|row| places.get(&row)).and_then(|at| circuits.get_mut(*at)) {
                Some(circuit) => {
                    circuit.findings.push(finding);
                    sort(&mut circuit.findings);
                    sizing::settle_status(circuit);
                }
                None => of_no_row.push(finding),
            }
        }
        of_no_row
    }

    /// Sizes the whole schedule.
    #[must_use]
    pub fn design(&self) -> Design {
        let by_row = findings_by_row(&self.intake);
        let (mut circuits, held): (Vec<Circuit>, Vec<bool>) = self.complete_all(&by_row).into_iter().unzip();
        let pins: Vec<Pins> = (0..circuits.len()).map(|index| self.pins(index)).collect();
        let again = |index: usize, pins: &Pins| self.complete(index, pins, &by_row).0;
        // Before circuits get what they share and what their boards bring: a trial sizes a circuit by itself.
        let larger = purchase::kinds::larger(&circuits, &pins, self.range.get(), self.book.key(), &again);
        sizing::accessories::commoning(&mut circuits, self.range.get());
        let of_network = self.told_of_rows(&mut circuits, self.network().project_findings());
        let boards::Finished { mut boards, restarts, findings: of_boards } =
            boards::of_circuits(&mut circuits, self.network(), &self.tools());
        self.try_again(&mut circuits);
        let not_decided = decided::apply(&self.basis, self.basis_file.as_deref(), &mut circuits, &mut boards);
        if self.basis.report.working.as_deref() == Some("flagged") {
            for circuit in circuits.iter_mut().filter(|circuit| circuit.status == Status::Sized) {
                circuit.working.clear();
            }
        }
        let catalogue = self.range.get();
        let tools = purchase::Tools { basis: &self.basis, book: self.book, catalogue };
        let mut purchase = purchase::list(&circuits, &held, &boards, tools);
        purchase::kinds::name(&mut purchase.lines, &larger, catalogue);
        let of_parts = self.range.contradictions_of_used(&purchase.lines);
        let rows: std::collections::BTreeSet<(Option<&str>, u32)> = self.intake.loads.iter().map(Load::row_key).collect();
        let mut findings = self.findings.clone();
        findings.extend(purchase.findings);
        findings.extend(of_parts);
        findings.extend(of_network);
        findings.extend(of_boards);
        findings.extend(not_decided);
        findings.extend(purchase::kinds::say(&self.merged().merges));
        findings.extend(self.intake.findings.iter().filter(|finding| belongs_to_no_row(finding, &rows)).cloned());
        sort(&mut findings);
        let mut design = Design {
            schema: SCHEMA.to_owned(),
            program_version: env!("CARGO_PKG_VERSION").to_owned(),
            rule_book: self.book.key().to_owned(),
            edition: self.book.edition().to_owned(),
            inputs: self.files.clone(),
            catalogue: CatalogueStamp {
                name: catalogue.name.clone(),
                sha256: catalogue.sha256.clone(),
                demonstration: catalogue.demonstration,
            },
            basis: self.basis.clone(),
            project: self.basis.project.clone(),
            revisions: vec![Revision::of(&self.basis.project)],
            outputs: Vec::new(),
            circuits,
            boards,
            restarts,
            purchase: purchase.lines,
            purchase_totals: purchase.totals,
            findings,
        };
        let disagreements = verify::above_circuits(&design, catalogue);
        design.findings.extend(disagreements);
        self.point_at_basis(&mut design);
        design
    }

    /// Gives findings about keys of the basis the lines of its file. Last of all: until then a place with a row is one of the schedule.
    fn point_at_basis(&self, design: &mut Design) {
        let of_circuits = design.circuits.iter_mut().flat_map(|circuit| circuit.findings.iter_mut());
        let of_boards = design.boards.iter_mut().flat_map(|board| board.findings.iter_mut());
        of_circuits.chain(of_boards).chain(&mut design.findings).for_each(|finding| self.point(finding));
    }

    fn point(&self, finding: &mut Finding) {
        self.basis_lines.point(&self.basis, self.basis_file.as_deref(), finding);
    }

    /// The working of a circuit, sized again.
    #[must_use]
    pub fn working(&self, index: usize) -> Vec<Step> {
        self.size(index).map(|row| row.record.into_parts().0).unwrap_or_default()
    }
}

impl Trials for Inputs {
    fn size(&self, stated: &Stated) -> Circuit {
        self.size_stated(stated)
    }

    fn beside<'s>(&'s self, rows: &[Stated]) -> Sizer<'s> {
        let loads: Vec<Load> = rows.iter().map(sizing::restated).collect();
        let electronic = panels::Electronic::of(&self.tools(), &loads);
        let network = Network::of(&loads, &self.tools(), None);
        Box::new(move |stated| size_restated(&self.tools(), &sizing::restated(stated), &electronic, &network))
    }

    fn by_basis<'s>(&'s self, rows: &[Stated], basis: &Basis) -> Option<Sizer<'s>> {
        let book = rules::book(self.book.key(), basis.rules.edition.as_deref()).ok()?;
        let (basis, catalogue) = (basis.clone(), self.range.get());
        let loads: Vec<Load> = rows.iter().map(sizing::restated).collect();
        let tools = Tools { basis: &basis, book, catalogue };
        let electronic = panels::Electronic::of(&tools, &loads);
        let network = Network::of(&loads, &tools, None);
        Some(Box::new(move |stated| {
            size_restated(&Tools { basis: &basis, book, catalogue }, &sizing::restated(stated), &electronic, &network)
        }))
    }
}

/// Sizes a row of another schedule beside rows with their electronics, on their network.
fn size_restated(tools: &Tools<'_>, load: &Load, electronic: &panels::Electronic, network: &Network) -> Circuit {
    let pins = Pins { electronics: electronic.beside(tools, load), ..Pins::default() };
    let SizedRow { mut circuit, record, .. } = size_on(tools, network, load, &pins);
    circuit.findings.extend(record.into_parts().1);
    sort(&mut circuit.findings);
    sizing::settle_status(&mut circuit);
    circuit
}

/// Sizes a row on a network.
fn size_on(tools: &Tools<'_>, network: &Network, load: &Load, pins: &Pins) -> SizedRow {
    let mut record = Record::new().named(tools.book.naming());
    let case = load.is_readable().then(|| sizing::resolve::resolve(load, tools.basis, tools.book, &mut record)).flatten();
    let current_assumed = case.as_ref().is_some_and(|case| case.current_assumed);
    let circuit = match &case {
        Some(case) => {
            let point = network.point(tools, &case.board, case.machine.voltage);
            sizing::size(load, case, &point, pins, tools, &mut record)
        }
        None => sizing::not_sized(load, tools.basis),
    };
    SizedRow { circuit, record, current_assumed }
}

type RowFindings<'a> = std::collections::BTreeMap<(usize, u32), Vec<&'a Finding>>;

/// Findings of the reader by grid and row; those on no row of a load are left to the design.
fn findings_by_row(intake: &Intake) -> RowFindings<'_> {
    let rows: std::collections::BTreeMap<(Option<&str>, u32), (usize, u32)> =
        intake.loads.iter().map(|load| (load.row_key(), (load.grid, load.row))).collect();
    let mut by_row = RowFindings::new();
    for finding in &intake.findings {
        if let Some(key) = finding.place.as_ref().and_then(Place::row_key).and_then(|row| rows.get(&row)) {
            by_row.entry(*key).or_default().push(finding);
        }
    }
    by_row
}

fn belongs_to_no_row(finding: &Finding, rows: &std::collections::BTreeSet<(Option<&str>, u32)>) -> bool {
    finding.place.as_ref().and_then(Place::row_key).is_none_or(|row| !rows.contains(&row))
}
