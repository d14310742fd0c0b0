//! What a purchase list must hold, counted from the parts of circuits and boards.

use std::collections::BTreeMap;

use motorwright::design::{Design, PurchaseStatus, Status};

/// Every part stands on the list once and as often as it is used, line by line; a firm line serves no open circuit.
pub(crate) fn parts_are_bought(design: &Design) {
    let mut used: BTreeMap<(&str, &str, &str, bool), f64> = BTreeMap::new();
    for circuit in &design.circuits {
        for part in &circuit.parts {
            let times = if part.shared { 1 } else { circuit.quantity };
            *used.entry((&part.part, &part.description, &part.unit, part.by_others)).or_default() +=
                part.quantity * f64::from(times);
        }
    }
    for part in design.boards.iter().flat_map(|board| &board.parts) {
        *used.entry((&part.part, &part.description, &part.unit, part.by_others)).or_default() += part.quantity;
    }
    assert_eq!(used.len(), design.purchase.len(), "one line a part");
    for line in &design.purchase {
        let by_others = line.status == PurchaseStatus::ByOthers;
        let used = used.get(&(line.part.as_str(), line.description.as_str(), line.unit.as_str(), by_others));
        let needed = used.copied().unwrap_or_else(|| panic!("{} is used by nobody", line.part));
        // Material that is sold by length is ordered in whole units, pieces as they are.
        let most = if line.unit == "pc" { needed + 1e-6 } else { needed + 1.0 };
        assert!(line.quantity >= needed - 1e-6 && line.quantity < most, "{}: {} for {needed}", line.part, line.quantity);
        let users = design.circuits.iter().filter(|circuit| line.used_by.contains(&circuit.tag));
        let firm = line.status == PurchaseStatus::Firm;
        assert!(!firm || users.clone().all(|circuit| circuit.status == Status::Sized), "{}: firm for an open circuit", line.part);
        let boards = design.boards.iter().filter(|board| line.used_by.contains(&board.name));
        assert!(users.count() + boards.count() > 0, "{}: used by nobody", line.part);
    }
}
