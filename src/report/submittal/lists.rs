//! The lists that leave the office: settings for the site, cables, and what to buy.

use std::collections::BTreeMap;

use serde::Serialize;

use super::state::{Link, State};
use super::table::{self, Cell, Row, Table};
use super::text::{count, fixed, number, size};
use crate::design::{Circuit, Design, PurchaseStatus, Run};
use crate::report::columns;
use crate::report::totals;
use crate::report::words::{brief, full, terms};
use crate::rules::units::Units;

/// Tags that a purchase line names before it says how many more there are.
const TAGS_IN_A_LINE: usize = 12;

/// A number without trailing zeros, as a scale is marked.
pub(in crate::report) fn trimmed(value: f64) -> String {
    let text = number(value, 3);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// The same with its unit.
pub(in crate::report) fn quantity_trimmed(value: f64, unit: &str) -> String {
    super::text::with_unit(trimmed(value), unit)
}

/// The settings to make on site, a line for each dial of each machine, those of boards last.
pub(super) fn settings(design: &Design, links: &[Link], units: Units) -> Table {
    let columns: Vec<_> = columns::settings(units).into_iter().filter(|column| column.key != "tag").collect();
    let mut rows: Vec<Row> = Vec::new();
    for (circuit, link) in design.circuits.iter().zip(links) {
        for dial in columns::setting_rows(circuit, units) {
            let again = rows.last().is_some_and(|last| last.tag == dial.tag && last.link.anchor == link.anchor);
            rows.push(row(link, &dial.tag, again, table::cells(&columns, &dial)));
        }
    }
    for board in &design.boards {
        let link = Link { tag: board.name.clone(), anchor: String::new(), sheet: false };
        for (at, dial) in columns::board_setting_rows(board, units).iter().enumerate() {
            rows.push(row(&link, &dial.tag, at > 0, table::cells(&columns, dial)));
        }
    }
    Table { heads: table::heads(&columns), rows }.without_empty_columns()
}

/// The dials of one circuit; those of its other machines are the same.
pub(super) fn dials(circuit: &Circuit, link: &Link, units: Units) -> Table {
    let columns: Vec<_> = columns::settings(units).into_iter().filter(|column| !["tag", "board"].contains(&column.key)).collect();
    let dials = columns::setting_rows(circuit, units);
    let first = dials.iter().filter(|dial| Some(&dial.tag) == dials.first().map(|first| &first.tag));
    let rows = first.map(|dial| row(link, &dial.tag, false, table::cells(&columns, dial))).collect();
    Table { heads: table::heads(&columns), rows }.without_empty_columns()
}

/// Control supplies of boards and of starters that have their own.
pub(super) fn supplies(design: &Design, links: &[Link], units: Units) -> Table {
    let columns: Vec<_> = columns::supplies(units).into_iter().filter(|column| column.key != "owner").collect();
    let mut by_tag: BTreeMap<&str, &Link> = BTreeMap::new();
    links.iter().for_each(|link| _ = by_tag.entry(&link.tag).or_insert(link));
    let rows = columns::supply_rows(design).into_iter().filter(|row| row.supply.is_some());
    let rows = rows.map(|supply_row| {
        let of_circuit = by_tag.get(supply_row.owner).filter(|_| supply_row.board.is_none());
        let link = of_circuit.map(|link| (*link).clone()).unwrap_or_else(|| Link {
            tag: supply_row.owner.to_owned(),
            anchor: String::new(),
            sheet: false,
        });
        row(&link, supply_row.owner, false, table::cells(&columns, &supply_row))
    });
    Table { rows: rows.collect(), heads: table::heads(&columns) }.without_empty_columns()
}

/// All runs of all circuits.
pub(super) fn cables(design: &Design, links: &[Link], units: Units) -> Table {
    let unprinted = ["tag", "used_pct"];
    let columns: Vec<_> = columns::cables(units).into_iter().filter(|column| !unprinted.contains(&column.key)).collect();
    let mut rows: Vec<Row> = Vec::new();
    for (circuit, link) in design.circuits.iter().zip(links) {
        for run in columns::run_rows(circuit) {
            let again = rows.last().is_some_and(|last| last.link.anchor == link.anchor);
            rows.push(row(link, &link.tag, again, table::cells(&columns, &run)));
        }
    }
    for run in columns::feeder_rows(design) {
        let link = Link { tag: run.owner.to_owned(), anchor: String::new(), sheet: false };
        rows.push(row(&link, run.owner, false, table::cells(&columns, &run)));
    }
    Table { heads: table::heads(&columns), rows }.without_empty_columns()
}

fn row(link: &Link, tag: &str, again: bool, cells: Vec<Cell>) -> Row {
    let (about, reason) = (String::new(), String::new());
    Row { link: link.clone(), tag: tag.to_owned(), again, mark: None, state: None, about, reason, cells }
}

/// Make-up of a run: `2 × (4 × 16 mm²)`, the number of its cables, in parallel or of six leads, in front of what each of them is.
pub(in crate::report) fn make_up(run: &Run, units: Units) -> String {
    if run.phase_size.is_empty() {
        return String::new();
    }
    if units == Units::Customary {
        return format!("{}{}", fixed(&columns::numbered_conductors(run)), grounding(run));
    }
    let [cable, separate] = metric(run);
    let count = run.per_phase.max(1) * run.cables.max(1);
    let cables = if count > 1 { sets(count, &cable) } else { cable };
    format!("{cables}{separate}")
}

fn sets(count: u32, text: &str) -> String {
    format!("{count}\u{a0}×\u{a0}({text})")
}

/// Make-up of one cable of a run, or of one set of its conductors: `4 × 16 mm²`, `3 × 35 + 16 mm²` with a smaller protective conductor.
pub(in crate::report) fn cable_make_up(run: &Run, units: Units) -> String {
    let cores = units.pick(run.cores_of_one_cable(), run.cores);
    make_up(&Run { per_phase: 1, cables: 1, cores, ..run.clone() }, units)
}

/// The equipment grounding conductor, behind the conductors of the circuit.
fn grounding(run: &Run) -> String {
    if run.protective_size.is_empty() {
        return String::new();
    }
    format!(", {}\u{a0}{}", terms(Units::Customary).protective_short, size(&run.protective_size))
}

/// A cable with metric sizes, and what lies beside it. A smaller protective conductor is one of the cable's cores; a larger one is laid
/// beside the cable, whose own core stays (`conductors::size_run` buys them so).
fn metric(run: &Run) -> [String; 2] {
    let phase = size(&run.phase_size);
    let cores = run.cores_of_one_cable();
    let neutral = run.neutral_size.as_ref().filter(|neutral| **neutral != run.phase_size);
    let neutral = neutral.map_or_else(String::new, |neutral| format!(", N\u{a0}{}", size(neutral)));
    let whole = if cores > 1 { format!("{cores}\u{a0}×\u{a0}{phase}") } else { phase.clone() };
    let figure = |text: &str| text.strip_suffix(" mm2").and_then(|figure| figure.parse::<f64>().ok());
    match figure(&run.phase_size).zip(figure(&run.protective_size)) {
        Some((line, protective)) if protective < line && cores > 2 => {
            let number = run.phase_size.trim_end_matches(" mm2");
            [format!("{}\u{a0}×\u{a0}{number}\u{a0}+\u{a0}{}", cores - 1, size(&run.protective_size)), neutral]
        }
        _ if run.protective_size.is_empty() || run.protective_size == run.phase_size => [whole, neutral],
        Some((line, protective)) if protective > line => {
            [whole, format!("{neutral}, PE\u{a0}{} separate", size(&run.protective_size))]
        }
        _ => [whole, format!("{neutral}, PE\u{a0}{}", size(&run.protective_size))],
    }
}

/// Material and insulation.
pub(super) fn kind(run: &Run, units: Units) -> String {
    [brief(units, &run.material).into_owned(), full(units, &run.insulation)]
        .into_iter()
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(", ")
}

/// A line of the purchase list.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Purchase {
    position: usize,
    part: String,
    description: String,
    /// How the order is made up, the remark of the price list, and the larger part that would serve.
    remarks: Vec<String>,
    order: String,
    quantity: String,
    held: String,
    unit: String,
    price: String,
    sum: String,
    state: State,
    because: String,
    boards: String,
    used_by: String,
}

/// The purchase list with its sums.
#[derive(Clone, Debug, Serialize)]
pub(super) struct PurchaseList {
    lines: Vec<Purchase>,
    summary: String,
    priced: bool,
    boards: Vec<[String; 2]>,
}

/// The purchase list.
pub(super) fn purchase(design: &Design, units: Units) -> PurchaseList {
    let lines = design.purchase.iter().zip(1..).map(|(line, position)| purchase_line(line, position, units)).collect();
    let sums = &design.purchase_totals;
    PurchaseList {
        lines,
        summary: totals::sentence(sums),
        priced: !sums.prices.is_empty(),
        boards: sums
            .boards
            .iter()
            .map(|board_sum| [totals::board_name(board_sum).to_owned(), totals::of_board(board_sum)])
            .collect(),
    }
}

fn purchase_line(line: &crate::design::PurchaseLine, position: usize, units: Units) -> Purchase {
    let shown = |quantity: f64| {
        let quantity = units.bought(quantity, &line.unit);
        number(quantity, usize::from(quantity.fract() != 0.0))
    };
    let some = |quantity: f64| if quantity > 0.0 { shown(quantity) } else { String::new() };
    let mark = match line.status {
        PurchaseStatus::Firm => "passed",
        PurchaseStatus::Hold => "warning",
        PurchaseStatus::ByOthers => "note",
    };
    let named = line.used_by.iter().take(TAGS_IN_A_LINE).cloned().collect::<Vec<_>>().join(", ");
    let more = line.used_by.len().saturating_sub(TAGS_IN_A_LINE);
    let spares = (line.spare_quantity > 0.0).then(|| format!("{} of them spare", shown(line.spare_quantity)));
    let larger = (!line.larger_on_list.is_empty()).then(|| format!("{} would serve too", line.larger_on_list));
    let delivery = line.lead_days.map(|days| format!("{days} days"));
    let said = [&line.packing, &line.remark].into_iter().filter(|words| !words.is_empty()).cloned();
    let currency = |price: String| if line.currency.is_empty() { price } else { format!("{price}\u{a0}{}", line.currency) };
    Purchase {
        position,
        part: line.part.clone(),
        description: super::text::symbols(&line.description),
        remarks: said.chain([spares, delivery, larger].into_iter().flatten()).collect(),
        order: some(line.order_quantity),
        quantity: some(line.quantity),
        held: some(line.held_quantity),
        unit: line.unit.clone(),
        price: line.unit_price.map(|price| currency(number(price, 2))).unwrap_or_default(),
        sum: line.price.map(|price| currency(number(price, 2))).unwrap_or_default(),
        state: State { mark, words: line.status.words().to_owned() },
        because: line.held_because.clone(),
        boards: columns::boards(line),
        used_by: if more == 0 { named } else { format!("{named} and {}", count(more, "more", "more")) },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 60228 and the trade name cables by their cores and sections: a reduced core behind a plus sign (common practice, no source).
    #[rstest::rstest]
    #[case::alike(4, "2.5 mm2", "2.5 mm2", 1, "4 × 2.5 mm²")]
    #[case::reduced(4, "35 mm2", "16 mm2", 1, "3 × 35 + 16 mm²")]
    #[case::reduced_in_parallel(4, "120 mm2", "70 mm2", 2, "2 × (3 × 120 + 70 mm²)")]
    #[case::with_neutral(5, "50 mm2", "25 mm2", 1, "4 × 50 + 25 mm²")]
    #[case::larger_beside(4, "1.5 mm2", "10 mm2", 1, "4 × 1.5 mm², PE 10 mm² separate")]
    fn a_cable_is_named_by_what_it_holds(
        #[case] cores: u32,
        #[case] phase: &str,
        #[case] protective: &str,
        #[case] per_phase: u32,
        #[case] words: &str,
    ) {
        let run =
            Run { cores, phase_size: phase.to_owned(), protective_size: protective.to_owned(), per_phase, ..Run::default() };
        assert_eq!(make_up(&run, Units::Metric).replace('\u{a0}', " "), words);
    }

    /// Six leads in one cable of seven cores, or in two of three and a protective core each.
    #[rstest::rstest]
    #[case::one_cable(1, "10 mm2", "10 mm2", 1, "7 × 10 mm²", "7 × 10 mm²")]
    #[case::two_cables(2, "70 mm2", "35 mm2", 1, "2 × (3 × 70 + 35 mm²)", "3 × 70 + 35 mm²")]
    #[case::two_alike(2, "16 mm2", "16 mm2", 1, "2 × (4 × 16 mm²)", "4 × 16 mm²")]
    #[case::two_in_parallel(2, "120 mm2", "70 mm2", 2, "4 × (3 × 120 + 70 mm²)", "3 × 120 + 70 mm²")]
    fn six_leads_are_named_by_their_cables(
        #[case] cables: u32,
        #[case] phase: &str,
        #[case] protective: &str,
        #[case] per_phase: u32,
        #[case] words: &str,
        #[case] one: &str,
    ) {
        let (phase_size, protective_size) = (phase.to_owned(), protective.to_owned());
        let run = Run { cores: 7, cables, phase_size, protective_size, per_phase, ..Run::default() };
        assert_eq!(make_up(&run, Units::Metric).replace('\u{a0}', " "), words);
        assert_eq!(cable_make_up(&run, Units::Metric).replace('\u{a0}', " "), one);
    }
}
