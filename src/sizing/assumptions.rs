//! The values that hold for the whole design, each with its origin: listed once in the reports instead of on every row.

use crate::basis::{Basis, BoardBasis, DecidedBasis};
use crate::design::{Assumption, SourceDocument};
use crate::rules::assumptions::Defaults;
use crate::rules::conductors::RunRules;
use crate::rules::units::Units;
use crate::rules::{self, RuleBook, words};

/// Keys whose values are chosen among words of the basis, which a page shows in those of the trade.
const CHOICES: &[&str] = &[
    "design.protection_kind",
    "design.controller_family",
    "design.coordination",
    "design.current_source",
    "control.drive",
    "control.supply",
    "catalogue.reduced_life_contactors",
    "catalogue.prefer",
];

/// Documents on which a book's tables rest.
#[must_use]
pub fn sources(book: &dyn RuleBook) -> Vec<SourceDocument> {
    book.documents()
        .iter()
        .map(|document| SourceDocument {
            table: document.title().to_owned(),
            source: document.field("source").to_owned(),
            status: document.field("status").to_owned(),
        })
        .collect()
}

/// The assumptions of a design: rows of the book, each with the basis' value or the default.
#[must_use]
pub fn list(basis: &Basis, book: &dyn RuleBook) -> Vec<Assumption> {
    with(basis, (book.key(), book.title(), book.edition()), &defaults_of(book, basis))
}

/// The same with the defaults of the book. Key, title and edition of the book stand together.
fn with(basis: &Basis, (key, title, edition): (&str, &str, &str), defaults: &Defaults) -> Vec<Assumption> {
    let units = Units::of(key);
    let mut all = vec![Assumption {
        what: "Rule book".to_owned(),
        value: title.to_owned(),
        origin: "basis".to_owned(),
        reference: edition.to_owned(),
    }];
    for row in rules::assumptions::of(key) {
        if row.key == "boards" {
            all.extend(basis.boards.iter().flat_map(|board| of_board(board, units)));
            continue;
        }
        let value = stated(&row.key, basis, units);
        if value.is_none() && row.default.is_empty() {
            continue;
        }
        let origin = if value.is_some() { "basis" } else { "default" }.to_owned();
        let value = value.unwrap_or_else(|| row.default_words(defaults, units));
        all.push(Assumption {
            what: row.what.clone(),
            origin,
            value: if CHOICES.contains(&row.key.as_str()) { words::full(units, &value) } else { value },
            reference: row.reference.clone(),
        });
    }
    all.extend(basis.decided.iter().map(decided));
    all
}

/// A decision on a warning; whether it holds, the finding and F111 say.
fn decided(decided: &DecidedBasis) -> Assumption {
    let said = |text: &Option<String>| text.as_deref().map(str::trim).unwrap_or_default().to_owned();
    let tags: Vec<String> = [said(&decided.tag), said(&decided.tags)].into_iter().filter(|tag| !tag.is_empty()).collect();
    let who = [said(&decided.by), said(&decided.date)].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(", ");
    Assumption {
        what: format!("Decision, {} {}", tags.join(", "), said(&decided.code)),
        value: format!("{} ({who})", said(&decided.why)),
        origin: "basis".to_owned(),
        reference: String::new(),
    }
}

/// Fault currents of a board; its system too, where the units are those of a book that goes by it.
fn of_board(board: &BoardBasis, units: Units) -> Vec<Assumption> {
    let name = board.name.as_deref().unwrap_or("board");
    let show = |value: Option<f64>| value.map_or_else(|| "not stated".to_owned(), |ka| format!("{ka} kA"));
    let row = |what: String, value: String, origin: &str| Assumption {
        what,
        value,
        origin: origin.to_owned(),
        reference: String::new(),
    };
    // Where a board states none, the supply or the network gives them: the page of the board says which.
    let stated = board.prospective_fault_ka.or(board.prospective_fault_min_ka).is_some();
    let fault = format!("largest {}, smallest {}", show(board.prospective_fault_ka), show(board.prospective_fault_min_ka));
    let system = board.system.as_ref().filter(|_| units == Units::Customary);
    let system = system.map(|words| row(format!("System, {name}"), words.clone(), "basis"));
    let kind = board.protection_kind.as_deref().map(|kind| words::full(units, kind));
    let kind = kind.map(|words| row(format!("Protective device, {name}"), words, "basis"));
    [stated.then(|| row(format!("Fault current, {name}"), fault, "basis")), system, kind].into_iter().flatten().collect()
}

/// The basis describes a network or machines, from which fault currents are worked out where it states none.
fn of_network(basis: &Basis) -> Option<String> {
    let supply = &basis.supply;
    let described = supply.upstream_fault_mva.or(supply.upstream_fault_min_mva).or(supply.transformer_kva).is_some();
    let machines = basis.sources.iter().any(|source| source.subtransient_reactance_pct.is_some());
    let described = described || machines || !basis.transformers.is_empty();
    described.then(|| "worked out from the network as far as it is stated; see the boards".to_owned())
}

/// A value of the basis by its key, as it is printed.
fn stated(key: &str, basis: &Basis, units: Units) -> Option<String> {
    let (design, supply) = (&basis.design, &basis.supply);
    let number = |value: Option<f64>, unit: &str| value.map(|value| format!("{value} {unit}"));
    let degrees = |value: Option<f64>| value.map(|value| units.temperature(value));
    match key {
        "rules.edition" => basis.rules.edition.clone(),
        "supply.voltage_v" => number(supply.voltage_v, "V"),
        "supply.phases" => supply.phases.map(|phases| phases.to_string()),
        "supply.frequency_hz" => number(supply.frequency_hz, "Hz"),
        "supply.system" => supply.system.clone(),
        "supply.earthing" => supply.earthing.clone(),
        "supply.prospective_fault_ka" => number(supply.prospective_fault_ka, "kA").or_else(|| of_network(basis)),
        "supply.prospective_fault_min_ka" => number(supply.prospective_fault_min_ka, "kA").or_else(|| of_network(basis)),
        "supply.voltage_tolerance_pct" => number(supply.voltage_tolerance_pct, "%"),
        "supply.x_over_r" => supply.x_over_r.map(|value| format!("{value}")),
        "design.ambient_c" => degrees(design.ambient_c),
        "design.ground_c" => degrees(design.ground_c),
        "design.soil_k_m_w" => number(design.soil_k_m_w, "K·m/W"),
        "design.altitude_m" => design
            .altitude_m
            .map(|metres| units.pick(format!("{metres} m"), format!("{metres} m ({} ft)", Units::Customary.length(metres)))),
        "design.running_drop_pct" => number(design.running_drop_pct, "%"),
        "design.starting_drop_pct" => number(design.starting_drop_pct, "%"),
        "design.feeder_drop_pct" => number(design.feeder_drop_pct, "%"),
        "design.conductor" => design
            .conductor
            .as_deref()
            .map(|conductor| units.pick(conductor, if conductor == "aluminium" { "aluminum" } else { conductor }).to_owned()),
        "design.insulation" => {
            design.insulation.as_deref().map(|insulation| units.pick(insulation.to_owned(), insulation.to_uppercase()))
        }
        "design.installation_method" => design
            .installation_method
            .as_deref()
            .map(|installation_method| units.pick(installation_method.to_owned(), installation_method.to_uppercase())),
        "design.grouped_circuits" => design.grouped_circuits.map(|circuits| circuits.to_string()),
        "design.isolator" => yes_or_no(design.isolator),
        "design.instantaneous_evaluated" => yes_or_no(design.instantaneous_evaluated),
        "design.supervised_industrial" => yes_or_no(design.supervised_industrial),
        "starting.start_time_s" => number(basis.starting.start_time_s, "s"),
        "starting.locked_rotor_ratio" => basis.starting.locked_rotor_ratio.map(|ratio| ratio.to_string()),
        "design.minimum_raceway" => design.minimum_raceway.clone(),
        "design.minimum_size_mm2" => number(design.minimum_size_mm2, "mm²"),
        "design.minimum_size_awg" => design.minimum_size_awg.clone(),
        "design.termination_c" => degrees(design.termination_c),
        "design.protection_kind" => design.protection_kind.clone(),
        "design.controller_family" => design.controller_family.clone(),
        "design.minimum_nema_size" => design.minimum_nema_size.clone(),
        "design.coordination" => design.coordination.clone(),
        "design.current_source" => design.current_source.clone(),
        "control.voltage" => basis.control.voltage.clone(),
        "control.drive" => basis.control.drive.clone(),
        "control.supply" => basis.control.supply.clone(),
        "starting.direct_limit_kw" => number(basis.starting.direct_limit_kw, "kW"),
        "catalogue.reduced_life_contactors" => basis.catalogue.reduced_life_contactors.clone(),
        "catalogue.prefer" => basis.catalogue.prefer.clone(),
        "purchase.cable_allowance_pct" => number(basis.purchase.cable_allowance_pct, "%"),
        "purchase.spare_pct" => number(basis.purchase.spare_pct, "%"),
        "design.finger_protection" => yes_or_no(design.finger_protection),
        "design.service_hours_per_year" => number(design.service_hours_per_year, "h"),
        "design.contact_life_years" => number(design.contact_life_years, "years"),
        _ => None,
    }
}

fn yes_or_no(answer: Option<bool>) -> Option<String> {
    answer.map(|yes| if yes { "yes" } else { "no" }.to_owned())
}

/// Defaults of the book, in words where they are written.
fn defaults_of(rules: &dyn RunRules, basis: &Basis) -> Defaults {
    use crate::sizing::resolve::{device_air_c, enclosure_rise_k};
    let run_defaults = rules.defaults();
    let size = |mm2: f64| rules.size_text(mm2).replace("mm2", "mm²");
    Defaults {
        ambient_c: run_defaults.ambient_c,
        ground_c: run_defaults.ground_c,
        soil_k_m_w: run_defaults.soil_k_m_w,
        running_drop_pct: run_defaults.running_drop_pct,
        starting_drop_pct: run_defaults.starting_drop_pct,
        minimum_copper: size(run_defaults.minimum_copper_mm2),
        minimum_aluminium: size(run_defaults.minimum_aluminium_mm2),
        insulation: run_defaults.insulation,
        installation: run_defaults.installation,
        device_ambient_c: device_air_c(basis.design.ambient_c),
        enclosure_rise_k: enclosure_rise_k(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Assumptions of a book, with the rest of what a page prints of them.
    fn of(book: &str, basis: &Basis) -> Vec<Assumption> {
        let nec = rules::nec::Nec { edition: rules::nec::Edition::E2023 };
        let rules: &dyn RunRules = if book == "nec" { &nec } else { &rules::iec::Iec };
        with(basis, (book, "title", "edition"), &defaults_of(rules, basis))
    }

    fn value<'a>(all: &'a [Assumption], what: &str) -> &'a Assumption {
        all.iter().find(|assumption| assumption.what == what).unwrap_or_else(|| panic!("no row {what}"))
    }

    /// A key of the basis is no word of the trade: IEC 60947-4-1 and -2.
    #[test]
    fn what_the_basis_chose_reads_as_the_trade_says_it() {
        let mut basis = Basis::default();
        basis.design.protection_kind = Some("motor-breaker".to_owned());
        basis.design.coordination = Some("type-2".to_owned());
        basis.control.drive = Some("plc-output".to_owned());
        basis.control.supply = Some("per-board".to_owned());
        let all = of("iec", &basis);
        for (what, said) in [
            ("Protective device", "motor-protective circuit-breaker"),
            ("Co-ordination", "type 2"),
            ("Coils are switched by", "PLC output"),
            ("Control supply", "for each board"),
        ] {
            assert_eq!(value(&all, what).value, said);
        }
        assert_eq!(value(&of("nec", &Basis::default()), "Controllers").value, "NEMA sizes");
    }

    /// Where the basis describes the network no page may say that fault currents are unknown.
    #[test]
    fn fault_currents_that_the_network_gives_are_not_called_unknown() {
        let (described, findings) =
            crate::basis::from_toml("basis.toml", "[supply]\nupstream_fault_mva = 100\ntransformer_kva = 630\n")
                .expect("it is read");
        assert!(findings.is_empty(), "{findings:?}");
        for (book, rows) in [
            ("iec", ["Largest fault current, main board", "Smallest fault current, main board"]),
            ("nec", ["Available fault current, service or main board", "Smallest fault current, service or main board"]),
        ] {
            for row in rows {
                let told = |basis: &Basis| value(&of(book, basis), row).value.clone();
                assert!(told(&described).contains("from the network"), "{row}");
                assert!(told(&Basis::default()).starts_with("unknown"), "{row}");
            }
        }
    }

    #[test]
    fn no_book_rests_on_the_clauses_of_the_other() {
        let nec = of("nec", &Basis::default());
        assert!(nec.len() > 20);
        for assumption in &nec {
            let said = format!("{} {} {}", assumption.what, assumption.value, assumption.reference);
            assert!(!said.contains("IEC 60364") && !said.contains("IEC 60947-1"), "{said}");
            assert!(!assumption.value.contains('{') && !assumption.value.is_empty(), "{said}");
        }
        for clause in ["310.15", "Article 310", "110.14(C)", "210.19", "215.2", "430.52", "430.6(A)", "110.9", "240.85"] {
            assert!(nec.iter().any(|nec| nec.reference.contains(clause)), "{clause}");
        }
        let iec = of("iec", &Basis::default());
        assert!(iec.iter().all(|iec| !iec.reference.contains("NFPA") && !iec.value.contains('{')));
    }

    #[test]
    fn the_default_of_the_control_supply_is_that_of_the_book() {
        for book in ["iec", "nec"] {
            let per_starter = rules::book(book, None).is_ok_and(|book| book.supply_per_starter());
            let stated = of(book, &Basis::default());
            let words = &value(&stated, "Control supply").value;
            assert!(words.starts_with(if per_starter { "for each controller" } else { "for each board" }), "{book}: {words}");
        }
    }

    #[test]
    fn what_the_basis_states_prevails_and_stands_in_the_units_of_the_book() {
        let mut basis = Basis::default();
        basis.design.ambient_c = Some(40.0);
        basis.design.conductor = Some("aluminium".to_owned());
        basis.design.minimum_raceway = Some("3/4".to_owned());
        basis.design.altitude_m = Some(304.8);
        let nec = of("nec", &basis);
        assert_eq!(value(&nec, "Air at conductors").value, "40 °C (104 °F)");
        assert_eq!(value(&nec, "Air at conductors").origin, "basis");
        assert_eq!(value(&nec, "Conductors").value, "aluminum");
        assert_eq!(value(&nec, "Smallest raceway").value, "3/4");
        assert_eq!(value(&nec, "Altitude").value, "304.8 m (1000 ft)");
        assert!(of("nec", &Basis::default()).iter().all(|assumption| assumption.what != "Smallest raceway"));
        let iec = of("iec", &basis);
        assert_eq!(value(&iec, "Air at cables").value, "40 °C");
        assert_eq!(value(&iec, "Conductors").value, "aluminium");
    }

    #[test]
    fn every_key_of_a_row_is_one_that_the_basis_can_state() {
        let mut full = Basis::default();
        let text = |key: &mut Option<String>| *key = Some("x".to_owned());
        let number = |key: &mut Option<f64>| *key = Some(1.0);
        text(&mut full.rules.edition);
        let supply = &mut full.supply;
        [&mut supply.system, &mut supply.earthing].into_iter().for_each(text);
        [&mut supply.voltage_v, &mut supply.frequency_hz, &mut supply.prospective_fault_ka].into_iter().for_each(number);
        [&mut supply.prospective_fault_min_ka, &mut supply.x_over_r, &mut supply.voltage_tolerance_pct]
            .into_iter()
            .for_each(number);
        supply.phases = Some(3);
        let design = &mut full.design;
        [&mut design.ambient_c, &mut design.ground_c, &mut design.soil_k_m_w, &mut design.altitude_m]
            .into_iter()
            .for_each(number);
        [&mut design.running_drop_pct, &mut design.starting_drop_pct, &mut design.minimum_size_mm2].into_iter().for_each(number);
        number(&mut design.feeder_drop_pct);
        number(&mut design.termination_c);
        [&mut design.conductor, &mut design.insulation, &mut design.installation_method, &mut design.minimum_raceway]
            .into_iter()
            .for_each(text);
        [&mut design.minimum_size_awg, &mut design.protection_kind, &mut design.controller_family].into_iter().for_each(text);
        [&mut design.minimum_nema_size, &mut design.coordination, &mut design.current_source].into_iter().for_each(text);
        [
            &mut design.finger_protection,
            &mut design.isolator,
            &mut design.supervised_industrial,
            &mut design.instantaneous_evaluated,
        ]
        .into_iter()
        .for_each(|answer| *answer = Some(true));
        design.grouped_circuits = Some(1);
        [&mut full.starting.start_time_s, &mut full.starting.locked_rotor_ratio].into_iter().for_each(number);
        [&mut design.service_hours_per_year, &mut design.contact_life_years].into_iter().for_each(number);
        [&mut full.control.voltage, &mut full.control.drive, &mut full.control.supply].into_iter().for_each(text);
        number(&mut full.starting.direct_limit_kw);
        [&mut full.purchase.cable_allowance_pct, &mut full.purchase.spare_pct].into_iter().for_each(number);
        [&mut full.catalogue.reduced_life_contactors, &mut full.catalogue.prefer].into_iter().for_each(text);
        for book in ["iec", "nec"] {
            for row in rules::assumptions::of(book).iter().filter(|row| row.key != "-" && row.key != "boards") {
                assert!(stated(&row.key, &full, Units::Metric).is_some(), "{book}: {}", row.key);
            }
        }
    }
}
