//! Figures that were recalled and not found again stay marked: a circuit that leans on such a table says so.

use crate::finding::{Finding, codes};
use crate::load::{Case, LoadKind, Material, Origin};
use crate::record::Record;
use crate::rules::table::Document;
use crate::rules::{Leaning, RatedCurrents, RuleBook};
use crate::sizing::Tools;
use crate::sizing::assembly::{Assembly, Device};

/// Notes the tables from memory on which a circuit leans.
pub(super) fn say(case: &Case, currents: &RatedCurrents, assembly: &Assembly<'_>, tools: &Tools<'_>, record: &mut Record) {
    let mut leaned = Vec::new();
    if currents.source == "computed" && case.machine.power_factor.is_some_and(|known| known.origin == Origin::Table) {
        leaned.push(Leaning::PowerFactor);
    }
    if let Some(Device::Fuse(fuse)) = assembly.protection.as_ref().map(|protection| protection.device) {
        leaned.push(Leaning::Fuse(&fuse.kind));
    }
    if case.machine.kind == LoadKind::Transformer {
        leaned.push(Leaning::SwitchedTransformer);
    }
    if assembly.contactors.iter().any(|contactor| contactor.role.through != crate::sizing::arrangement::Through::Nothing) {
        leaned.push(Leaning::StartThroughContactor);
    }
    if case.route.grouped > 1 && case.route.installation.iter().any(|method| matches!(method.as_str(), "E" | "F" | "G")) {
        leaned.push(Leaning::GroupInFreeAir);
    }
    if case.route.material == Material::Aluminium {
        leaned.push(Leaning::Aluminium);
    }
    if case.machine.third_harmonic.is_some() {
        leaned.push(Leaning::LoadedNeutral);
    }
    if case.route.rooftop {
        leaned.push(Leaning::OnRoof);
    }
    if !case.machine.design_letter.is_empty() && case.route.termination.is_none() {
        leaned.push(Leaning::DesignLetter);
    }
    if assembly
        .protection
        .as_ref()
        .is_some_and(|protection| matches!(protection.device, Device::Branch(protection) if protection.slash_rated()))
    {
        leaned.push(Leaning::SlashRating);
    }
    if case.machine.kind == LoadKind::Packaged {
        leaned.push(Leaning::Packaged);
    }
    if case.machine.kind == LoadKind::Motor && case.machine.rated_load.is_some() {
        leaned.push(Leaning::Compressor);
    }
    if assembly.default_rating {
        leaned.push(Leaning::UnmarkedPart);
    }
    if case.start.inching > 0.0 && !case.start.behind_electronics() {
        leaned.push(Leaning::Inching);
    }
    let leaned: Vec<&str> = leaned.into_iter().flat_map(|leaning| tools.book.tables_behind(leaning)).copied().collect();
    let titles = titles(tools.book, &leaned);
    if !titles.is_empty() {
        record.find(
            Finding::new(&codes::R105_FROM_MEMORY, format!("this circuit leans on figures from memory: {}", titles.join("; ")))
                .at(case.place.clone())
                .cure(CURE),
        );
    }
}

/// Notes once the tables from memory on which every circuit leans.
#[must_use]
pub fn behind_all(book: &dyn RuleBook) -> Option<Finding> {
    let titles = titles(book, book.tables_behind_all());
    (!titles.is_empty()).then(|| {
        Finding::new(&codes::R105_FROM_MEMORY, format!("every circuit leans on figures from memory: {}", titles.join("; ")))
            .cure(CURE)
    })
}

/// Notes the tables from memory on which something else than a circuit leans.
#[must_use]
pub fn behind(book: &dyn RuleBook, subject: &str, leaning: Leaning<'_>) -> Option<Finding> {
    let titles = titles(book, book.tables_behind(leaning));
    (!titles.is_empty()).then(|| {
        Finding::new(&codes::R105_FROM_MEMORY, format!("{subject} leans on figures from memory: {}", titles.join("; ")))
            .cure(CURE)
    })
}

const CURE: &str = "compare them with the standard before issue; `motorwright tables` prints each with its source";

fn titles(book: &dyn RuleBook, names: &[&str]) -> Vec<&'static str> {
    let documents = book.documents().into_iter();
    documents.filter(|document| names.contains(&document.name) && document.leans_on_memory()).map(Document::title).collect()
}
