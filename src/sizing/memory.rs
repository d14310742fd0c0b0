//! Figures that were recalled and not found again stay marked: a circuit that leans on such a table says so.

use crate::finding::{Finding, codes};
use crate::load::{Case, Material, Origin};
use crate::record::Record;
use crate::rules::{Leaning, RatedCurrents};
use crate::sizing::Tools;
use crate::sizing::assembly::{Assembly, Device};

/// Notes the tables from memory on which a circuit leans.
pub(super) fn say(case: &Case, currents: &RatedCurrents, assembly: &Assembly<'_>, tools: &Tools<'_>, record: &mut Record) {
    let mut leaned = Vec::new();
    if currents.source == "computed" && case.machine.power_factor.is_some_and(|known| known.origin == Origin::Table) {
        leaned.push(Leaning::PowerFactor);
    }
    if let Some(Device::Fuse(own)) = assembly.protection.as_ref().map(|own| own.device) {
        leaned.push(Leaning::Fuse(&own.kind));
    }
    if assembly.contactors.iter().any(|own| own.role.through != crate::sizing::arrangement::Through::Nothing) {
        leaned.push(Leaning::StartThroughContactor);
    }
    if case.route.grouped > 1 && case.route.installation.iter().any(|method| matches!(method.as_str(), "E" | "F" | "G")) {
        leaned.push(Leaning::GroupInFreeAir);
    }
    if case.route.material == Material::Aluminium {
        leaned.push(Leaning::Aluminium);
    }
    let leaned: Vec<&str> = leaned.into_iter().flat_map(|own| tools.book.tables_behind(own)).copied().collect();
    let titles: Vec<&str> = tools
        .book
        .documents()
        .into_iter()
        .filter(|document| leaned.contains(&document.name) && document.leans_on_memory())
        .map(crate::rules::table::Document::title)
        .collect();
    if !titles.is_empty() {
        record.find(
            Finding::new(&codes::R105_FROM_MEMORY, format!("this circuit leans on figures from memory: {}", titles.join("; ")))
                .at(case.place.clone())
                .cure("compare them with the standard before issue; `motorwright tables` prints each with its source"),
        );
    }
}
