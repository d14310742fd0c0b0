//! The audit: one row a circuit, with the results that a reviewer recalculates first - current, starting current, current of the
//! conductors, their capacity, voltage drops, limits of settings - each live over the numbers put in, beside our value.
//!
//! A result is a step of the circuit's working, the one on which the decided value rests. Where a value was taken over without a step, the
//! formula says from what ([`AS_RATED`], [`WITHIN_RANGE`]); nothing is decided here.

use std::borrow::Cow;

use rust_xlsxwriter::Worksheet;

use super::columns::{self, Align, Decimals};
use super::plan::{Plan, Written};
use super::style::{self, Rows, Styles};
use super::working::Steps;
use super::{ReportError, ReportInput, live, table, text};
use crate::design::Circuit;
use crate::record::{Formula, Step};
use crate::report::working;
use crate::rules::units::Units;

/// Row of the names of results, and that of the heads below it.
const NAMES: u32 = table::HEAD;
const HEAD: u32 = NAMES + 1;
/// Tag, agreement, and what the design says of currents.
const FIRST_BLOCK: u16 = 5;
const AGREES: u16 = 1;
/// Width of a number put in, and of a result.
const INPUT: f64 = 10.0;
const RESULT: f64 = 13.0;
/// The most by which a value of the design may have been rounded: it keeps thousandths.
const ROUNDED: f64 = 0.000_5;
/// Share of the full size at which it is printed, per cent, and the characters that a page then has beside tag and agreement.
const PRINTED: u16 = 68;
const PAGE_CHARACTERS: f64 = 165.0;

/// A result of the audit.
struct Topic {
    /// Its name.
    name: &'static str,
    /// How the quantities of its steps begin.
    begins: &'static [&'static str],
    /// The decided value that rests on the step. Where none does, a step stands only if `or_first` says so: then it is the first
    /// whose quantity begins with the first of `begins`.
    decided: fn(&Circuit) -> Option<f64>,
    or_first: bool,
}

/// The steps that are recalculated, each after those that rest on it: the numbers put into a chosen step count as decided for the next
/// ones.
const TOPICS: &[Topic] = &[
    Topic {
        name: "Current",
        begins: &[
            "rated current of",
            "current of the input power",
            "current of the apparent power",
            "full-load current",
            "current of all motors",
        ],
        decided: |circuit| Some(circuit.currents.full_load_a),
        or_first: true,
    },
    Topic {
        name: "Starting current",
        begins: &["starting current", "locked-rotor current"],
        decided: |circuit| Some(circuit.currents.starting_a),
        or_first: false,
    },
    Topic {
        name: CONDUCTORS,
        begins: &["required ampacity", "current of one winding", "current of this part"],
        decided: |circuit| columns::main_run(circuit).map(|run| run.required_a),
        or_first: false,
    },
    Topic {
        name: "Usable ampacity",
        begins: &["usable ampacity"],
        decided: |circuit| columns::main_run(circuit).map(|run| run.capacity_a),
        or_first: false,
    },
    Topic { name: "Ampacity at terminations", begins: &["ampacity at terminations"], decided: |_| None, or_first: false },
    Topic {
        name: "Corrected capacity",
        begins: &["corrected capacity"],
        decided: |circuit| columns::main_run(circuit).map(|run| run.capacity_a),
        or_first: false,
    },
    Topic { name: "Corrected ampacity", begins: &["corrected ampacity"], decided: |_| None, or_first: false },
    Topic {
        name: "Voltage drop, running",
        begins: &["voltage drop while running"],
        decided: |circuit| check_value(circuit, "running-voltage-drop"),
        or_first: false,
    },
    Topic {
        name: "Voltage drop, starting",
        begins: &["voltage drop while starting"],
        decided: |circuit| check_value(circuit, "starting-voltage-drop"),
        or_first: false,
    },
    Topic {
        name: "Overload setting",
        begins: &["setting "],
        decided: |circuit| circuit.overload.as_ref().map(|overload| overload.setting_a),
        or_first: true,
    },
    Topic {
        name: "Overload trips at most",
        begins: &["largest ultimate trip current"],
        decided: |circuit| columns::overload_ceiling(circuit, 0),
        or_first: true,
    },
    Topic { name: SET_AT_MOST, begins: &["highest setting of the overload relay"], decided: |_| None, or_first: true },
    Topic { name: "Instantaneous trip, least", begins: &["lowest magnetic trip"], decided: |_| None, or_first: true },
    Topic { name: "Instantaneous trip, most", begins: &["highest magnetic trip"], decided: |_| None, or_first: true },
    Topic {
        name: "Branch-circuit device",
        begins: &["branch-circuit device", "device of the group"],
        decided: |_| None,
        or_first: true,
    },
];

fn check_value(circuit: &Circuit, name: &str) -> Option<f64> {
    columns::check(circuit, name).and_then(|check| check.value)
}

/// How the quantities begin that are audited.
#[cfg(test)]
pub(super) fn beginnings() -> impl Iterator<Item = &'static str> {
    TOPICS.iter().flat_map(|topic| topic.begins.iter().copied())
}

/// Steps of a circuit, by topic.
type Chosen<'s> = Vec<Option<Cow<'s, Step>>>;

fn chosen<'s>(circuit: &Circuit, steps: &'s [Step], units: Units) -> Chosen<'s> {
    let steps = working::once(steps);
    let mut rests_on: Vec<f64> = Vec::new();
    TOPICS
        .iter()
        .map(|topic| {
            let Some(step) = step_of(topic, (topic.decided)(circuit), &rests_on, &steps) else {
                return plain(topic.name, circuit, units).map(Cow::Owned);
            };
            rests_on.extend(&step.numbers);
            Some(Cow::Borrowed(step))
        })
        .collect()
}

const CONDUCTORS: &str = "Current of the conductors";
const SET_AT_MOST: &str = "Overload set to at most";

/// Conductors that carry the rated current as it is: nothing was worked out, and a reviewer sees it so.
static AS_RATED: Formula = Formula {
    quantity: "current of the conductors",
    text: "Ib = I",
    sheet: "I",
    inputs: &["I"],
    unit: "A",
    reference: "",
    compute: |n| n[0],
};

/// The dial stands at the share of the rated current that flows through the relay, or below it, and within its range.
static WITHIN_RANGE: Formula = Formula {
    quantity: "highest setting of the overload protection",
    text: "Ir ≤ min(k Ie, Imax)",
    sheet: "MIN(k*Ie,Imax)",
    inputs: &["k", "Ie", "Imax"],
    unit: "A",
    reference: "",
    compute: |n| (n[0] * n[1]).min(n[2]),
};

/// The formula of what follows without a step of the working.
fn plain(topic: &str, circuit: &Circuit, units: Units) -> Option<Step> {
    let step = |formula: &'static Formula, numbers: Vec<f64>| {
        let result = (formula.compute)(&numbers);
        Step { formula, numbers, result, reference: "" }
    };
    match topic {
        CONDUCTORS => {
            let run = columns::main_run(circuit)?;
            let rated = circuit.currents.full_load_a;
            ((run.required_a - rated).abs() <= ROUNDED && rated > 0.0).then(|| step(&AS_RATED, vec![rated]))
        }
        // The customary book's ceiling is below the current of some motors; what has no step there has no formula here.
        SET_AT_MOST if units == Units::Metric => {
            let overload = circuit.overload.as_ref().filter(|overload| overload.is_found())?;
            let rated = circuit.overload_current(overload);
            let numbers = vec![overload.winding_factor, rated, overload.range_a[1]];
            let highest = (WITHIN_RANGE.compute)(&numbers);
            (rated > 0.0 && overload.setting_a <= highest + ROUNDED).then(|| step(&WITHIN_RANGE, numbers))
        }
        _ => None,
    }
}

fn step_of<'s>(topic: &Topic, decided: Option<f64>, rests_on: &[f64], steps: &[&'s Step]) -> Option<&'s Step> {
    let of_topic = |step: &&'s Step| topic.begins.iter().any(|begin| step.formula.quantity.starts_with(begin));
    let same = |step: &Step, value: f64| (step.result - value).abs() <= ROUNDED + 1e-9 * value.abs();
    let by_value = |value: f64| steps.iter().copied().filter(of_topic).rfind(|step| same(step, value));
    if let Some(step) = decided.filter(|value| *value > 0.0).and_then(by_value) {
        return Some(step);
    }
    // Only limits that were chosen between are found by what rests on them.
    let below = || steps.iter().copied().filter(of_topic).rfind(|step| rests_on.iter().any(|value| same(step, *value)));
    let first =
        || steps.iter().copied().find(|step| topic.begins.first().is_some_and(|begin| step.formula.quantity.starts_with(begin)));
    if topic.or_first { first() } else { below() }
}

/// The columns of one topic: its inputs, our value, the formula.
struct Block {
    topic: usize,
    formulas: Vec<&'static Formula>,
    inputs: Vec<&'static str>,
    first: u16,
}

impl Block {
    fn value(&self) -> u16 {
        self.first + u16::try_from(self.inputs.len()).unwrap_or(0)
    }

    fn last(&self) -> u16 {
        self.value() + 1
    }

    /// Column of an input by its name.
    fn input(&self, name: &str) -> Option<u16> {
        let at = self.inputs.iter().position(|input| *input == name)?;
        Some(self.first + u16::try_from(at).ok()?)
    }

    /// Symbol of an input as the formulas print it.
    fn symbol(&self, name: &'static str) -> &'static str {
        let with = self.formulas.iter().find(|formula| formula.inputs.contains(&name));
        with.map_or(name, |formula| working::symbol(name, formula.text))
    }

    /// Name, and the formula where there is one and room for it.
    fn title(&self) -> String {
        let name = TOPICS[self.topic].name;
        let room = self.inputs.len() * 10 + 26;
        match self.formulas.as_slice() {
            [one] if name.chars().count() + one.text.chars().count() + 2 < room => format!("{name}: {}", one.text),
            _ => name.to_owned(),
        }
    }

    fn unit(&self) -> &'static str {
        self.formulas.first().map_or("", |formula| formula.unit)
    }
}

/// Topics that occur, with all their formulas and inputs.
fn blocks(rows: &[Chosen<'_>]) -> Vec<Block> {
    let mut next = FIRST_BLOCK;
    let mut blocks = Vec::new();
    for topic in 0..TOPICS.len() {
        let mut block = Block { topic, formulas: Vec::new(), inputs: Vec::new(), first: next };
        for step in rows.iter().filter_map(|row| row[topic].as_deref()) {
            if !block.formulas.iter().any(|formula| std::ptr::eq(*formula, step.formula)) {
                block.formulas.push(step.formula);
                let new: Vec<_> = step.formula.inputs.iter().copied().filter(|input| !block.inputs.contains(input)).collect();
                block.inputs.extend(new);
            }
        }
        if !block.formulas.is_empty() {
            next = block.last() + 1;
            blocks.push(block);
        }
    }
    blocks
}

pub(super) fn write(
    sheet: &mut Worksheet,
    input: &ReportInput,
    plan: &Plan,
    circuits: &[Steps<'_>],
    styles: &Styles,
) -> Result<Written, ReportError> {
    // Short, and the band beside it: what stands over tag and agreement is cut at their edge on every further page.
    table::title_beside(sheet, input, "Audit", "One row a circuit, live over its numbers.", AGREES + 1, styles)?;
    let known = |index: &usize| input.design.circuits.get(*index);
    let rows: Vec<(usize, &Circuit, Chosen<'_>)> = circuits
        .iter()
        .filter_map(|(index, steps)| known(index).map(|circuit| (*index, circuit, chosen(circuit, steps, input.units()))))
        .filter(|(.., row)| row.iter().any(Option::is_some))
        .collect();
    let steps: Vec<_> = rows.iter().map(|(.., row)| row.clone()).collect();
    let blocks = blocks(&steps);
    heads(sheet, input.units(), &blocks, styles)?;
    let mut written = Written::new(HEAD);
    for (row, (index, circuit, steps)) in (HEAD + 1..).zip(&rows) {
        plan.tag(sheet, row, &circuit.tag, Some(*index), &mut written, &styles.link)?;
        line(sheet, row, circuit, steps, &blocks)?;
    }
    written.right = blocks.last().map_or(FIRST_BLOCK - 1, Block::last);
    finish(sheet, &written, &blocks, styles)?;
    Ok(written)
}

fn heads(sheet: &mut Worksheet, units: Units, blocks: &[Block], styles: &Styles) -> Result<(), ReportError> {
    let words = style::column(Align::Left, None, Rows::Single);
    let number = style::column(Align::Right, Some(Decimals { fixed: 0, further: 1 }), Rows::Single);
    let fixed = [
        ("Tag", 20.0, false),
        ("Agrees\nto one in a million", 19.0, false),
        (units.pick("Rated\nA", "Full-load current\nA"), 11.0, true),
        ("Source", 12.0, false),
        (units.pick("Required current\nA", "Required ampacity\nA"), 11.0, true),
    ];
    // Row by row: the sheet is written from top to bottom.
    for at in 0..FIRST_BLOCK {
        sheet.write_blank(NAMES, at, &styles.block)?;
    }
    for block in blocks {
        sheet.write_string_with_format(NAMES, block.first, block.title(), &styles.block_edge)?;
        for at in block.first + 1..=block.last() {
            sheet.write_blank(NAMES, at, &styles.block)?;
        }
    }
    sheet.set_row_height(HEAD, 48)?;
    for (at, (head, width, right)) in (0u16..).zip(fixed) {
        sheet.write_string_with_format(HEAD, at, head, if right { &styles.head_right } else { &styles.head })?;
        sheet.set_column_width(at, width)?;
        sheet.set_column_format(at, if right { &number } else { &words })?;
    }
    for block in blocks {
        let results = [format!("Value\n{}", block.unit()), format!("Recalculated\n{}", block.unit())];
        let symbols = block.inputs.iter().map(|name| (block.symbol(name).to_owned(), INPUT));
        for (at, (head, width)) in (block.first..).zip(symbols.chain(results.map(|head| (head, RESULT)))) {
            let format = if at == block.first { &styles.head_edge_right } else { &styles.head_right };
            sheet.write_string_with_format(HEAD, at, head, format)?;
            sheet.set_column_width(at, width)?;
            sheet.set_column_format(at, &number)?;
        }
        if block.inputs.len() > 1 {
            sheet.group_columns(block.first + 1, block.value() - 1)?;
        }
    }
    Ok(())
}

fn line(sheet: &mut Worksheet, row: u32, circuit: &Circuit, steps: &Chosen<'_>, blocks: &[Block]) -> Result<(), ReportError> {
    let currents = &circuit.currents;
    if currents.full_load_a > 0.0 && currents.full_load_a.is_finite() {
        sheet.write_number(row, 2, currents.full_load_a)?;
    }
    sheet.write_string(row, 3, text::cell(&currents.source))?;
    if let Some(run) = columns::main_run(circuit).filter(|run| run.required_a > 0.0 && run.required_a.is_finite()) {
        sheet.write_number(row, 4, run.required_a)?;
    }
    let mut live_at = Vec::new();
    for block in blocks {
        let Some(step) = steps[block.topic].as_deref() else {
            // What the design decided without a formula is shown, and agrees with nothing.
            let decided = (TOPICS[block.topic].decided)(circuit).filter(|value| *value > 0.0 && value.is_finite());
            if let Some(value) = decided {
                sheet.write_number(row, block.value(), value)?;
                sheet.write_string(row, block.last(), "no formula")?;
            }
            continue;
        };
        for (name, number) in step.formula.inputs.iter().zip(&step.numbers).filter(|(_, number)| number.is_finite()) {
            if let Some(at) = block.input(name) {
                sheet.write_number(row, at, *number)?;
            }
        }
        let at = |input: usize| block.input(step.formula.inputs.get(input)?);
        if live::write(sheet, row, block.value(), step, at)? {
            live_at.push(block.value());
        }
    }
    live::agreement(sheet, row, AGREES, &live_at)
}

/// Columns before which a page ends.
fn page_breaks(blocks: &[Block]) -> Vec<u32> {
    let mut breaks = Vec::new();
    // The first page begins with what the design says of currents.
    let mut filled = 34.0;
    for block in blocks {
        let width = f64::from(block.value() - block.first) * INPUT + 2.0 * RESULT;
        if filled + width > PAGE_CHARACTERS {
            breaks.push(u32::from(block.first));
            filled = 0.0;
        }
        filled += width;
    }
    breaks
}

fn finish(sheet: &mut Worksheet, written: &Written, blocks: &[Block], styles: &Styles) -> Result<(), ReportError> {
    let (last, right) = (written.last, written.right);
    sheet.set_freeze_panes(HEAD + 1, AGREES + 1)?;
    sheet.set_repeat_rows(NAMES, HEAD)?;
    sheet.set_repeat_columns(0, AGREES)?;
    // No result is torn apart by the end of a page.
    sheet.set_print_scale(PRINTED).set_vertical_page_breaks(&page_breaks(blocks))?;
    if last > HEAD {
        sheet.autofilter(HEAD, 0, last, right)?;
        table::rule(sheet, HEAD + 1, last, 0, FIRST_BLOCK - 1, &styles.hair)?;
        for block in blocks {
            table::rule(sheet, HEAD + 1, last, block.first, block.first, &styles.hair_edge)?;
            table::rule(sheet, HEAD + 1, last, block.first + 1, block.last(), &styles.hair)?;
        }
    }
    Ok(())
}
