//! The one table of result columns: key, group, heading, unit, decimals, width and value. Workbook, HTML and lists draw on it,
//! so that a figure bears the same heading, unit and number of decimals wherever it stands.
//!
//! Heading, unit and value of a column follow the units of the rule book ([`Units`]); a column may stand in one of them alone.
//!
//! A column belongs to a kind of row: a circuit, or a view of one of its parts ([`StarterRow`], [`SettingRow`], [`RunRow`],
//! [`CheckRow`], [`FindingRow`]). The functions that list a circuit's rows stand beside the views.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::changes::revision;
use super::words::{brief, clause};
use crate::design::{Board, BoardQuantity, Circuit, Design, PurchaseLine, PurchaseStatus};
use crate::finding::Finding;
use crate::quantity::round_to;
use crate::rules::units::Units;

mod boards;
mod column;
pub mod load;
mod rows;
mod supplies;
pub(in crate::report) mod values;

pub use boards::{
    DipRow, about_board, dip_figures, dip_rows, dip_words, fed_from, feeder_device, feeder_device_rated, has_feeder, has_network,
    incoming_device, incoming_figures, incoming_rated, open_checks, other_dip, phases_of_rows, restart_group_words,
    restart_words, run_role, transformer_name, transformer_words, usual_dip,
};
pub use column::{Align, CellValue, Column, Decimals, Group, shown};
pub use rows::{
    CheckRow, FindingRow, RunRow, SettingRow, StarterRow, accessories, board_setting_rows, check_rows, contacts, feeder_rows,
    finding_rows, role_words, run_rows, setting_rows, starter_rows,
};
pub use supplies::{SupplyRow, supply_rows};

use values::{
    assembly_rating_ka, closest, contactor_ratings, coordination, cores, disconnect_rating, fill, given, given_doubts, joined,
    maximum_clause, overload_ceilings, overload_settings, power, protection_rating, rating, roles, tally, without_repeats,
};
pub use values::{
    bare, check, frame_words, given_item, given_value, highest_setting, main_run, numbered_conductors, overload_ceiling,
    raceway_words, size_words, state_mark, state_words,
};

const WHOLE: Option<Decimals> = Some(Decimals { fixed: 0, further: 0 });
const ONE: Option<Decimals> = Some(Decimals { fixed: 1, further: 0 });
const TWO: Option<Decimals> = Some(Decimals { fixed: 2, further: 0 });
/// Currents and settings: one decimal, and a second where the dial has one.
const AMPERES: Option<Decimals> = Some(Decimals { fixed: 1, further: 1 });
/// Figures of any kind: decimals only where a value needs them.
const FIGURE: Option<Decimals> = Some(Decimals { fixed: 0, further: 2 });
const POWER: Option<Decimals> = Some(Decimals { fixed: 1, further: 2 });
const QUANTITY: Option<Decimals> = Some(Decimals { fixed: 0, further: 1 });

macro_rules! columns { ($units:expr, $row:ty: $($key:tt $(@$only:ident)? $group:ident $heading:tt [$unit:expr] $decimals:expr, $width:expr, $value:expr;)*) => {{
    let units: Units = $units;
    let mut columns: Vec<Column<$row>> = Vec::new();
    $(if true $(&& units == Units::$only)? {
        columns.push(Column { key: $key, group: Group::$group, heading: $heading, unit: $unit, decimals: $decimals, width: $width, units, value: $value });
    })*
    columns
}}; }

/// Which row it is: for tables that don't stand beside the sender's own.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn identity(units: Units) -> Vec<Column<Circuit>> {
    columns! { units, Circuit:
        "tag" Row "Tag" [""] None, 14.0, |c, _| CellValue::text(c.tag.as_str());
        "description" Row "Description" [""] None, 28.0, |c, _| CellValue::text(c.description.as_str());
        "board" Row "Board" [""] None, 11.0, |c, _| CellValue::text(c.board.as_str());
        "power_hp" @Customary Row "Power" ["hp"] POWER, 9.0, |c, _| power(c, c.load.rated_power_hp);
        "power_kw" Row "Power" ["kW"] POWER, 9.0, |c, _| power(c, c.load.rated_power_kw);
        "voltage_v" Row "Voltage" ["V"] WHOLE, 9.0, |c, _| CellValue::number(c.load.voltage_v);
    }
}

/// The columns that are added to the right of the sender's table, with every column that the units have; [`schedule_of`] leaves out what a
/// design does not use.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn schedule(units: Units) -> Vec<Column<Circuit>> {
    let u = units;
    columns! { units, Circuit:
        "state" Result "State" [""] None, 20.0, |c, _| CellValue::text(state_words(c));
        "findings" Result "Findings" [""] WHOLE, 9.5, |c, _| {
            #[allow(clippy::cast_precision_loss)] // far below 2^52
            CellValue::Number(c.findings.len() as f64)
        };
        "revision" Result "Revision" [""] None, 18.0, |c, _| CellValue::text(revision::cell(c));
        "full_load_a" Current (u.pick("Rated", "Full-load current")) ["A"] AMPERES, 10.0, |c, _| CellValue::positive(c.currents.full_load_a);
        "current_source" Current "Source" [""] None, 11.0, |c, _| CellValue::text(c.currents.source.as_str());
        "table_a" @Customary Current "Table" ["A"] AMPERES, 9.0, |c, _| CellValue::number(c.currents.table_a);
        "nameplate_a" @Customary Current "Nameplate" ["A"] AMPERES, 12.5, |c, _| CellValue::number(c.currents.nameplate_a);
        "starting_a" Current "Starting" ["A"] WHOLE, 9.0, |c, _| c.start.as_ref().map_or(CellValue::Empty, |_| CellValue::positive(c.currents.starting_a));
        "method" Starter "Method" [""] None, u.pick(14.0, 24.0), |c, u| CellValue::text(load::method(c, u));
        "contactors" Starter "Contactors" [u.pick("A", "")] None, u.pick(15.0, 30.0), |c, u| CellValue::text(contactor_ratings(c, u));
        "contactor_category" Starter "Category" [""] None, 10.0, |c, _| CellValue::text(without_repeats(c.contactors.iter().map(|k| k.category.as_str())));
        "overload_setting_a" Starter "Overload set to" ["A"] AMPERES, 11.0, |c, _| overload_settings(c);
        "overload_ceiling_a" @Customary Starter "Overload trips at most" ["A"] AMPERES, 11.0, |c, _| overload_ceilings(c);
        "trip_class" Starter "Class" [""] None, 7.0, |c, _| CellValue::text(c.overload.as_ref().map_or("", |o| o.trip_class.as_str()));
        "starter_devices" Starter "Device" [""] None, u.pick(18.0, 30.0), |c, u| CellValue::text(joined(c.starter_devices.iter().map(|d| if d.rated_a > 0.0 { Cow::Owned(format!("{} {} A", brief(u, &d.kind), rating(d.rated_a))) } else { brief(u, &d.kind) }), ", "));
        "protection_kind" Protection "Device" [""] None, u.pick(15.0, 24.0), |c, u| CellValue::text(brief(u, c.protection.as_ref().map_or("", |p| p.kind.as_str())));
        "protection_rating_a" Protection "Rating" ["A"] u.pick(AMPERES, QUANTITY), 9.0, |c, _| protection_rating(c);
        "protection_maximum_a" @Customary Protection "Maximum" ["A"] QUANTITY, 10.0, |c, _| CellValue::number(c.protection.as_ref().and_then(|p| p.maximum_a));
        "protection_clause" @Customary Protection "Maximum after" [""] None, 28.0, |c, u| CellValue::text(clause(u, maximum_clause(c)));
        "magnetic_trip_a" Protection (u.pick("Magnetic trip", "Instantaneous trip")) ["A"] WHOLE, u.pick(12.5, 15.5), |c, _| CellValue::number(c.protection.as_ref().and_then(|p| p.magnetic_trip_a));
        "breaking_ka" Protection (u.pick("Breaks", "Interrupts")) ["kA"] QUANTITY, u.pick(8.0, 12.0), |c, _| CellValue::number(c.protection.as_ref().and_then(|p| p.breaking_ka));
        "short_circuit_rating_ka" @Customary Protection "Short-circuit current rating" ["kA"] QUANTITY, 12.0, |c, _| CellValue::number(assembly_rating_ka(c));
        "coordination" Protection (u.pick("Co-ordination", "Coordination")) [""] None, 13.0, |c, u| CellValue::text(brief(u, coordination(c, u)));
        "cable_size" Cable (u.pick("Size", "Conductors")) [u.size_unit()] None, u.pick(11.0, 20.0), |c, u| main_run(c).map_or(CellValue::Empty, |run| CellValue::text(u.pick(size_words(run), numbered_conductors(run).into())));
        "cable_cores" @Metric Cable "Cores" [""] WHOLE, 7.0, |c, _| main_run(c).map_or(CellValue::Empty, cores);
        "grounding_size" @Customary Cable "Equipment grounding" [""] None, 13.0, |c, _| CellValue::text(main_run(c).map_or("", |run| run.protective_size.as_str()));
        "raceway" @Customary Cable "Raceway" [""] None, 21.0, |c, u| main_run(c).map_or(CellValue::Empty, |run| CellValue::text(raceway_words(run, u)));
        "raceway_fill_pct" @Customary Cable "Fill" ["%"] WHOLE, 7.0, |c, _| CellValue::number(main_run(c).and_then(fill));
        (u.pick("cable_length_m", "cable_length_ft")) Cable "Length" [u.length_unit()] WHOLE, 8.0, |c, u| CellValue::positive(main_run(c).map_or(0.0, |run| u.length(run.length_m)));
        "cable_governed_by" Cable "Governed by" [""] None, 22.0, |c, u| CellValue::text(brief(u, main_run(c).map_or("", |run| run.governed_by.as_str())));
        "disconnect" @Customary Disconnect "Disconnect" [""] None, 16.0, |c, _| CellValue::text(c.disconnect.as_ref().map_or(Cow::Borrowed(""), disconnect_rating));
        "drop_running_pct" Check "Drop, running" ["%"] ONE, 9.5, |c, _| CellValue::number(check(c, "running-voltage-drop").and_then(|check| check.value));
        "drop_starting_pct" Check "Drop, starting" ["%"] ONE, 9.0, |c, _| CellValue::number(values::starting_drop(c));
        "checks_failed" Check "Failed" [""] WHOLE, 8.0, |c, _| tally(c, Some(false));
        "checks_not_made" Check "Not checked" [""] WHOLE, 9.0, |c, _| tally(c, None);
        "smallest_margin_pct" Check "Smallest margin" ["%"] ONE, 10.0, |c, u| CellValue::number(closest(c, u).and_then(|closest| closest.margin_pct));
        "closest_check" Check "Closest to its limit" [""] None, 24.0, |c, u| CellValue::text(brief(u, closest(c, u).map_or("", |check| check.name.as_str())));
        "given_verdicts" Given "Verdicts" [""] None, 28.0, |c, _| CellValue::text(given(c));
        "given_doubts" Given "Of these, in doubt" [""] None, 40.0, |c, u| CellValue::text(given_doubts(c, u));
    }
}

/// The columns of [`schedule`] that a design uses. The metric book's stand always, so that two lists can be laid side by side;
/// of the others those stay away that are empty over all circuits.
#[must_use]
pub fn schedule_of(design: &Design) -> Vec<Column<Circuit>> {
    let units = Units::of(&design.rule_book);
    let mut columns = schedule(units);
    columns.retain(|column| column.group != Group::Given || design.circuits.iter().any(|c| !c.given.is_empty()));
    columns.retain(|column| column.key != "revision" || revision::is_marked(design));
    if units == Units::Customary && !design.circuits.is_empty() {
        columns
            .retain(|column| column.group == Group::Result || design.circuits.iter().any(|c| column.of(c) != CellValue::Empty));
    }
    columns
}

/// The columns that these rows use. The metric book's stand always, so that two lists can be laid side by side.
#[must_use]
pub fn in_use<R>(mut columns: Vec<Column<R>>, rows: &[R]) -> Vec<Column<R>> {
    columns.retain(|column| {
        column.units == Units::Metric || rows.is_empty() || rows.iter().any(|row| column.of(row) != CellValue::Empty)
    });
    columns
}

/// Devices of starters, a line each.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn starters<'c>(units: Units) -> Vec<Column<StarterRow<'c>>> {
    let u = units;
    columns! { units, StarterRow<'c>:
        "tag" Row "Tag" [""] None, 14.0, |r, _| CellValue::text(r.circuit.tag.as_str());
        "board" Row "Board" [""] None, 11.0, |r, _| CellValue::text(r.circuit.board.as_str());
        "circuits" Row "Circuits" [""] WHOLE, 8.0, |r, _| CellValue::Number(f64::from(r.circuit.quantity.max(1)));
        "device" Starter "Device" [""] None, 32.0, |r, _| CellValue::text(r.device.as_ref());
        "role" Starter "Role" [""] None, u.pick(12.0, 22.0), |r, u| CellValue::text(roles(u, r.role));
        "category" Starter "Category" [""] None, u.pick(10.0, 17.0), |r, u| CellValue::text(brief(u, r.category));
        "demand_a" Starter "Carries" ["A"] AMPERES, 9.0, |r, _| CellValue::number(r.demand_a);
        "rated_a" Starter "Rated" ["A"] u.pick(AMPERES, QUANTITY), 9.0, |r, _| CellValue::number(r.rated_a);
        "data" Starter "Frame, range, setting" [""] None, 30.0, |r, _| CellValue::text(r.data.as_ref());
        "pieces" Starter "Pieces a circuit" [""] WHOLE, 9.0, |r, _| CellValue::Number(f64::from(r.pieces));
        "part" Starter "Part number" [""] None, 24.0, |r, _| CellValue::text(r.part);
        "why" Starter "Remark" [""] None, 46.0, |r, _| CellValue::text(r.remark.as_ref());
    }
}

/// Dials, a line each, for whoever sets them.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn settings<'c>(units: Units) -> Vec<Column<SettingRow<'c>>> {
    let u = units;
    columns! { units, SettingRow<'c>:
        "tag" Row "Tag" [""] None, 15.0, |r, _| CellValue::text(r.tag.as_ref());
        "board" Row "Board" [""] None, 11.0, |r, _| CellValue::text(r.board);
        "device" Protection "Device" [""] None, u.pick(31.0, 46.0), |r, _| CellValue::text(r.device.as_ref());
        "what" Protection "What to set" [""] None, u.pick(48.0, 50.0), |r, _| CellValue::text(r.what.as_ref());
        "value" Protection "Set to" [""] FIGURE, 10.0, |r, _| CellValue::number(r.value);
        "unit" Protection "Unit" [""] None, 6.0, |r, _| CellValue::text(r.unit);
        "range" Protection "Range" [""] None, 22.0, |r, _| CellValue::text(r.range.as_ref());
        "ceiling_a" @Customary Protection "Trips at most" ["A"] AMPERES, 10.0, |r, _| CellValue::number(r.ceiling_a);
        "class" Protection "Class" [""] None, 7.0, |r, _| CellValue::text(r.class);
        "reset" Protection "Reset" [""] None, 10.0, |r, _| CellValue::text(r.reset);
    }
}

/// Runs of conductors, a line each.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn cables<'c>(units: Units) -> Vec<Column<RunRow<'c>>> {
    let u = units;
    let size = u.size_unit();
    columns! { units, RunRow<'c>:
        "tag" Row "Tag" [""] None, 14.0, |r, _| CellValue::text(r.owner);
        "board" Row "Board" [""] None, 11.0, |r, _| CellValue::text(r.board);
        "run" Cable "Run" [""] None, 16.0, |r, u| CellValue::text(run_role(load::about(r.load, &r.run.role), u));
        "runs" @Metric Cable "Runs alike" [""] WHOLE, 8.0, |r, _| CellValue::Number(f64::from(r.run.count.max(1)));
        "per_phase" Cable "In parallel" [""] WHOLE, 9.0, |r, _| CellValue::positive(f64::from(r.run.per_phase));
        "cores" @Metric Cable "Cores" [""] WHOLE, 7.0, |r, _| cores(r.run);
        "phase_size" Cable "Phase" [size] None, 10.0, |r, _| CellValue::text(bare(&r.run.phase_size));
        "neutral_size" Cable "Neutral" [size] None, 10.0, |r, _| CellValue::text(bare(r.run.neutral_size.as_deref().unwrap_or("")));
        "protective_size" Cable (u.pick("Protective", "Equipment grounding conductor")) [size] None, 12.5, |r, _| CellValue::text(bare(&r.run.protective_size));
        "material" Cable "Conductor" [""] None, 11.0, |r, u| CellValue::text(brief(u, &r.run.material));
        "insulation" Cable "Insulation" [""] None, 11.0, |r, u| CellValue::text(brief(u, &r.run.insulation));
        "installation" @Metric Cable "Laid" [""] None, 10.0, |r, _| CellValue::text(r.run.installation.as_str());
        "raceway" @Customary Cable "Raceway" [""] None, 21.0, |r, u| CellValue::text(raceway_words(r.run, u));
        "raceway_fill_pct" @Customary Cable "Fill" ["%"] ONE, 8.0, |r, _| CellValue::number(fill(r.run));
        (u.pick("length_m", "length_ft")) Cable "Length" [u.length_unit()] QUANTITY, 9.0, |r, u| CellValue::number(u.length(r.run.length_m));
        "required_a" Cable "Required" ["A"] AMPERES, 10.0, |r, _| CellValue::positive(r.run.required_a);
        "capacity_a" Cable (u.pick("Capacity", "Ampacity")) ["A"] AMPERES, 10.0, |r, _| CellValue::positive(r.run.capacity_a);
        "used_pct" Cable "Used" ["%"] WHOLE, 7.0, |r, _| CellValue::number((r.run.capacity_a > 0.0 && r.run.required_a > 0.0).then(|| 100.0 * r.run.required_a / r.run.capacity_a));
        "governed_by" Cable "Governed by" [""] None, 24.0, |r, u| CellValue::text(brief(u, &r.run.governed_by));
        (u.pick("holds_to_m", "holds_to_ft")) Cable "Holds to" [u.length_unit()] WHOLE, 9.0, |r, u| CellValue::number(r.run.holds_to_m.map(|metres| u.reach(metres)));
        "part" Cable "Part number" [""] None, 24.0, |r, _| CellValue::text(r.run.part.as_str());
    }
}

/// Checks, a line each; turned so that more used is worse.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn checks<'c>(units: Units) -> Vec<Column<CheckRow<'c>>> {
    columns! { units, CheckRow<'c>:
        "tag" Row "Tag" [""] None, 14.0, |r, _| CellValue::text(r.owner);
        "check" Check "Check" [""] None, 28.0, |r, u| CellValue::text(brief(u, &r.check.name));
        "subject" Check "Of" [""] None, 26.0, |r, u| CellValue::text(brief(u, load::about(r.load, &r.check.subject)));
        "result" Check "Result" [""] None, 14.0, |r, _| CellValue::text(r.result());
        "value" Check "Value" [""] FIGURE, 12.0, |r, u| CellValue::measure(r.check.value.filter(|_| r.check.has_figures()).map(|value| u.value(value, &r.check.unit)));
        "limit" Check "Limit" [""] FIGURE, 12.0, |r, u| CellValue::measure(r.check.limit.filter(|_| r.check.has_figures()).map(|limit| u.limit(limit, &r.check.unit)));
        "unit" Check "Unit" [""] None, 8.0, |r, u| CellValue::text(r.shown_unit(u));
        "used_pct" Check "Used of limit" ["%"] ONE, 10.0, |r, _| CellValue::number(r.used_pct().filter(|_| r.check.has_margin()));
        "margin_pct" Check "Margin" ["%"] ONE, 10.0, |r, _| CellValue::number(r.check.margin_pct.filter(|_| r.check.has_margin()));
        "reference" Check "Clause" [""] None, 34.0, |r, u| CellValue::text(clause(u, &r.check.reference));
        "because" Check "Not checked because" [""] None, 44.0, |r, _| CellValue::text(r.check.not_checked_because.as_deref().unwrap_or(""));
    }
}

/// Boards, a line each: what they carry, what feeds them, fault currents and dips, heat and width.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn board_figures(units: Units) -> Vec<Column<Board>> {
    let u = units;
    columns! { units, Board:
        "name" Row "Board" [""] None, 14.0, |b, _| CellValue::text(b.name.as_str());
        "revision" Row "Revision" [""] None, 18.0, |b, _| CellValue::text(revision::board_cell(b));
        "fed_from" Row "Fed from" [""] None, 14.0, |b, _| CellValue::text(fed_from(b));
        "voltage_v" Row "Voltage" ["V"] WHOLE, 9.0, |b, _| CellValue::positive(b.voltage_v);
        "ways" Row "Ways" [""] WHOLE, 7.0, |b, _| CellValue::positive(f64::from(b.ways));
        "connected_kw" Current "Connected" ["kW"] ONE, 11.0, |b, _| CellValue::positive(b.connected_kw);
        "running_kw" Current "Running" ["kW"] ONE, 10.0, |b, _| CellValue::positive(b.running_kw);
        "running_kvar" Current "Running" ["kvar"] ONE, 10.0, |b, _| CellValue::positive(b.running_kvar);
        "power_factor" Current "Power factor" [""] TWO, 9.0, |b, _| CellValue::number(b.power_factor);
        "running_current_a" Current "Running" ["A"] ONE, 10.0, |b, _| CellValue::positive(b.running_current_a);
        "demand_current_a" Current "Demand" ["A"] ONE, 10.0, |b, _| CellValue::positive(b.demand_current_a);
        "phase_1_a" Current "L1" ["A"] ONE, 9.0, |b, _| CellValue::positive(b.phase_currents_a[0]);
        "phase_2_a" Current "L2" ["A"] ONE, 9.0, |b, _| CellValue::positive(b.phase_currents_a[1]);
        "phase_3_a" Current "L3" ["A"] ONE, 9.0, |b, _| CellValue::positive(b.phase_currents_a[2]);
        "unbalance_pct" Current "Highest phase above mean" ["%"] ONE, 12.0, |b, _| CellValue::positive(b.unbalance_pct);
        "nonlinear_pct" Current "Rectifiers in what runs" ["%"] ONE, 12.0, |b, _| CellValue::positive(b.nonlinear_pct);
        "largest_motor_tag" Current "Largest motor" [""] None, 14.0, |b, _| CellValue::text(b.largest_motor_tag.as_str());
        "phases_of_rows" Current "Single-phase rows" [""] None, 34.0, |b, _| CellValue::text(phases_of_rows(b));
        "feeder_minimum_a" Protection "Feeder, least" ["A"] ONE, 10.0, |b, _| CellValue::positive(b.feeder_minimum_a);
        "feeder_device" Protection "Feeder device" [""] None, 27.0, |b, u| of_design(b, CellValue::text(feeder_device(b, u)));
        "feeder_protection_a" Protection "Rating" ["A"] QUANTITY, 9.0, |b, _| of_design(b, CellValue::positive(b.feeder_protection_a));
        "feeder_protection_maximum_a" Protection "At most" ["A"] QUANTITY, 9.0, |b, _| CellValue::number(b.feeder_protection_maximum_a);
        "feeder_magnetic_a" Protection (u.pick("Magnetic trip", "Instantaneous trip")) ["A"] WHOLE, u.pick(10.0, 14.5), |b, _| of_design(b, CellValue::number(b.feeder.magnetic_trip_a));
        "feeder_breaking_ka" Protection (u.pick("Breaks", "Interrupts")) ["kA"] QUANTITY, u.pick(8.0, 12.0), |b, _| of_design(b, CellValue::number(b.feeder.breaking_ka));
        "feeder_part" Protection "Part number" [""] None, 22.0, |b, _| of_design(b, CellValue::text(b.feeder.part.as_str()));
        "incoming_device" Protection (u.pick("Incoming device", "Main disconnect")) [""] None, 24.0, |b, u| CellValue::text(incoming_device(b, u));
        "incoming_rating_a" Protection "Rating" ["A"] QUANTITY, 9.0, |b, _| CellValue::number(b.incoming.as_ref().and_then(|incoming| incoming.rating_a));
        "incoming_poles" Protection "Poles" [""] WHOLE, 7.0, |b, _| CellValue::number(b.incoming.as_ref().and_then(|incoming| incoming.poles).map(f64::from));
        "incoming_withstand_ka" Protection (u.pick("Breaks or stands 1 s", "Interrupts")) ["kA"] QUANTITY, 12.0, |b, _| CellValue::number(b.incoming.as_ref().and_then(|incoming| incoming.breaking_ka.or(incoming.short_time_ka)));
        "incoming_part" Protection "Part number" [""] None, 22.0, |b, _| CellValue::text(b.incoming.as_ref().map_or("", |incoming| incoming.part.as_str()));
        "feeder_conductor" Cable "Feeder conductor" [""] None, 36.0, |b, _| CellValue::text(b.feeder_conductor.replace("mm2", "mm²"));
        (u.pick("feeder_length_m", "feeder_length_ft")) Cable "Length" [u.length_unit()] QUANTITY, 9.0, |b, u| b.feeder.run.as_ref().map_or(CellValue::Empty, |run| CellValue::positive(u.length(run.length_m)));
        "feeder_capacity_a" Cable (u.pick("Capacity", "Ampacity")) ["A"] ONE, 10.0, |b, _| b.feeder.run.as_ref().map_or(CellValue::Empty, |run| CellValue::positive(run.capacity_a));
        "feeder_governed_by" Cable "Governed by" [""] None, 20.0, |b, u| CellValue::text(brief(u, b.feeder.run.as_ref().map_or("", |run| run.governed_by.as_str())));
        "feeder_drop_pct" Cable "Drop from origin" ["%"] TWO, 10.0, |b, _| CellValue::number(b.known_drop_pct());
        "feeder_spare_pct" Cable "Spare" ["%"] ONE, 8.0, |b, _| CellValue::number(b.feeder.spare_pct);
        "transformer" Cable "Transformer" [""] None, 13.0, |b, _| CellValue::text(b.transformer.as_ref().map_or("", |transformer| transformer.name.as_str()));
        "transformer_demand_kva" Cable "Its demand" ["kVA"] ONE, 10.0, |b, _| CellValue::number(b.transformer.as_ref().map(|transformer| transformer.demand_kva));
        "transformer_loading_pct" Cable "Its loading" ["%"] ONE, 10.0, |b, _| CellValue::number(b.transformer.as_ref().and_then(|transformer| transformer.loading_pct));
        "transformer_primary_a" Cable "Its primary" ["A"] ONE, 10.0, |b, _| CellValue::number(b.transformer.as_ref().and_then(|transformer| transformer.primary_a));
        "transformer_secondary_a" Cable "Its secondary" ["A"] ONE, 11.0, |b, _| CellValue::number(b.transformer.as_ref().and_then(|transformer| transformer.secondary_a));
        "transformer_primary_protection_a" Cable "Primary protection" ["A"] QUANTITY, 11.0, |b, _| CellValue::number(b.transformer.as_ref().and_then(|transformer| transformer.primary_protection_a));
        "transformer_secondary_protection_a" Cable "Secondary protection" ["A"] QUANTITY, 11.0, |b, _| CellValue::number(b.transformer.as_ref().and_then(|transformer| transformer.secondary_protection_a));
        "fault_max_ka" Check "Largest fault" ["kA"] TWO, 10.0, |b, _| CellValue::number(b.prospective_fault_ka);
        "fault_without_motors_ka" Check "Of it without motors" ["kA"] TWO, 10.0, |b, _| CellValue::number(b.prospective_fault_without_motors_ka);
        "fault_three_phase_ka" Check "Three-phase fault" ["kA"] TWO, 12.0, |b, _| CellValue::number(b.three_phase_fault_ka);
        "fault_earth_ka" Check (u.pick("Fault to earth", "Ground fault")) ["kA"] TWO, 10.0, |b, _| CellValue::number(b.earth_fault_ka);
        "fault_min_ka" Check "Smallest fault" ["kA"] TWO, 10.0, |b, _| CellValue::number(b.prospective_fault_min_ka);
        "fault_peak_ka" Check "Peak" ["kA"] ONE, 9.0, |b, _| CellValue::number(b.peak_ka);
        "voltage_running_pct" Check "Voltage, all running" ["%"] ONE, 10.0, |b, _| CellValue::number(b.voltage_running_pct);
        "start_dip_pct" Check "Dip at start" ["%"] ONE, 9.0, |b, _| CellValue::number(b.start_dip_pct);
        "start_dip_tag" Check "Start of" [""] None, 14.0, |b, _| CellValue::text(usual_dip(b).map_or("", |dip| dip.tag.as_str()));
        "other_dip_pct" Check "Dip behind another feed" ["%"] ONE, 11.0, |b, _| CellValue::number(other_dip(b).map(|other_dip| other_dip.dip_pct));
        "other_dip_feed" Check "That feed" [""] None, 14.0, |b, _| CellValue::text(other_dip(b).map_or("", |dip| dip.feed.as_str()));
        "control_supply_va" Starter "Control supplies" ["VA"] WHOLE, 10.0, |b, _| CellValue::positive(b.control_supply_va);
        "power_loss_w" Starter "Heat" ["W"] WHOLE, 9.0, |b, _| CellValue::positive(b.power_loss_w);
        "dissipation_w" Starter "Enclosure gives off" ["W"] WHOLE, 11.0, |b, _| CellValue::number(b.enclosure_dissipation_w);
        "temperature_rise_k" Starter "Air above room" [u.pick("K", "°C")] ONE, 9.0, |b, _| CellValue::number(b.temperature_rise_k);
        (u.pick("width_mm", "width_in")) Starter (u.pick("Width", "Device rows, total")) [u.width_unit()] WHOLE, 9.0, |b, u| CellValue::positive(u.width(b.width_mm));
        "rows" Starter "Rows of enclosure" [""] WHOLE, 10.0, |b, _| CellValue::number(b.rows.map(f64::from));
        "checks_failed" Result "Checks failed" [""] WHOLE, 8.0, |b, _| CellValue::number(count(open_checks(b, Some(false))));
        "checks_not_made" Result "Not checked" [""] WHOLE, 9.0, |b, _| CellValue::number(count(open_checks(b, None)));
        "findings" Result "Findings" [""] WHOLE, 9.5, |b, _| CellValue::number(count(b.findings.len()));
    }
}

/// A cell about the device of a feeder; empty where the board has no feeder of its own, and what stands before it is for others.
fn of_design<'b>(board: &Board, cell: CellValue<'b>) -> CellValue<'b> {
    if has_feeder(board) { cell } else { CellValue::Empty }
}

#[allow(clippy::cast_precision_loss)] // far below 2^52
fn count(number: usize) -> f64 {
    number as f64
}

/// Largest starts, a line for each board and feed.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn dips<'d>(units: Units) -> Vec<Column<DipRow<'d>>> {
    columns! { units, DipRow<'d>:
        "board" Row "Board" [""] None, 14.0, |r, _| CellValue::text(r.board);
        "feed" Row "Fed by" [""] None, 16.0, |r, _| CellValue::text(r.dip.feed.as_str());
        "usual" Row "Feed" [""] None, 14.0, |r, _| CellValue::text(if r.dip.usual { "usual" } else { "stands in" });
        "tag" Row "Start of" [""] None, 18.0, |r, _| CellValue::text(r.dip.tag.as_str());
        "before_pct" Check "Voltage before" ["%"] ONE, 11.0, |r, _| CellValue::number(r.dip.before_pct);
        "during_pct" Check "Voltage during" ["%"] ONE, 11.0, |r, _| CellValue::number(r.dip.during_pct);
        "dip_pct" Check "Dip of the board" ["%"] ONE, 11.0, |r, _| CellValue::number(r.dip.dip_pct);
        "terminals_dip_pct" Check "Dip at its terminals" ["%"] ONE, 12.0, |r, _| CellValue::number(r.dip.terminals_dip_pct);
    }
}

/// The columns of [`board_figures`] in which a board has anything.
#[must_use]
pub fn boards_of(design: &Design) -> Vec<Column<Board>> {
    let mut columns = board_figures(Units::of(&design.rule_book));
    columns.retain(|column| column.key == "name" || design.boards.iter().any(|board| column.of(board) != CellValue::Empty));
    columns
}

/// Boards and control supplies, a line each.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn supplies<'d>(units: Units) -> Vec<Column<SupplyRow<'d>>> {
    columns! { units, SupplyRow<'d>:
        "owner" Row "Board or starter" [""] None, 18.0, |r, _| CellValue::text(r.owner);
        "fed_from" Row "Fed from" [""] None, 12.0, |r, _| CellValue::text(r.board.and_then(|board| board.fed_from.as_deref()).unwrap_or(""));
        "voltage_v" Row "Voltage" ["V"] WHOLE, 9.0, |r, _| r.board.map_or(CellValue::Empty, |board| CellValue::positive(board.voltage_v));
        "kind" Starter "Control supply" [""] None, 31.0, |r, u| CellValue::text(r.kind(u));
        "coil_voltage" Starter "Coils" [""] None, 10.0, |r, _| CellValue::text(r.supply.map_or("", |supply| supply.coil_voltage.as_str()));
        "rating_va" Starter "Rated" ["VA"] WHOLE, 9.0, |r, _| CellValue::number(r.supply.and_then(|supply| supply.rating_va));
        "continuous_va" Starter "Needed, continuous" ["VA"] WHOLE, 12.0, |r, _| CellValue::number(r.supply.map(|supply| supply.continuous_va));
        "event_va" Starter "Needed, pick-up" ["VA"] WHOLE, 10.0, |r, _| CellValue::number(r.supply.map(|supply| supply.event_va));
        "event_tag" Starter "Largest group" [""] None, 16.0, |r, _| CellValue::text(r.largest());
        "coil_voltage_pct" Starter "Coil voltage, lowest" ["%"] ONE, 11.0, |r, _| CellValue::number(r.supply.and_then(|supply| supply.coil_voltage_pct));
        "primary" Protection "Device before" [""] None, 18.0, |r, _| CellValue::text(r.device(|r| r.primary.as_ref()));
        "secondary" Protection "Device behind" [""] None, 18.0, |r, _| CellValue::text(r.device(|r| r.secondary.as_ref()));
        "branches" Protection "Branches" [""] None, 18.0, |r, _| CellValue::text(r.device(|r| r.branches.as_ref()));
        "serves" Row "Serves" [""] None, 16.0, |r, _| CellValue::text(r.serves());
        "part" Row "Part number" [""] None, 24.0, |r, _| CellValue::text(r.supply.map_or("", |supply| supply.part.as_str()));
    }
}

/// Lines of the purchase list, with every column; [`purchase_of`] leaves out what a list does not use.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn purchase(units: Units) -> Vec<Column<PurchaseLine>> {
    columns! { units, PurchaseLine:
        "part" Row "Part number" [""] None, 24.0, |l, _| CellValue::text(l.part.as_str());
        "description" Row "Description" [""] None, 44.0, |l, _| CellValue::text(l.description.as_str());
        "order_quantity" Row "To order" [""] QUANTITY, 10.0, |l, u| CellValue::positive(u.bought(l.order_quantity, &l.unit));
        "unit" Row "Unit" [""] None, 6.0, |l, _| CellValue::text(l.unit.as_str());
        "quantity" Row "Needed" [""] QUANTITY, 10.0, |l, u| CellValue::positive(u.bought(l.quantity, &l.unit));
        "firm_quantity" Row "Firm" [""] QUANTITY, 9.0, |l, u| CellValue::positive(u.bought(l.firm_quantity, &l.unit));
        "held_quantity" Row "On hold" [""] QUANTITY, 9.0, |l, u| CellValue::positive(u.bought(l.held_quantity, &l.unit));
        "spare_quantity" Row "Spares" [""] QUANTITY, 9.0, |l, _| CellValue::positive(l.spare_quantity);
        "packing" Row "Made up of" [""] None, 26.0, |l, _| CellValue::text(l.packing.as_str());
        "unit_price" Row "Unit price" [""] TWO, 11.0, |l, _| CellValue::number(l.unit_price);
        "price" Row "Price" [""] TWO, 12.0, |l, _| CellValue::number(l.price);
        "currency" Row "Currency" [""] None, 11.0, |l, _| CellValue::text(l.currency.as_str());
        "lead_days" Row "Delivery" ["days"] WHOLE, 9.0, |l, _| CellValue::number(l.lead_days.map(f64::from));
        "status" Row "Status" [""] None, 10.0, |l, _| CellValue::text(l.status.words());
        "held_because" Row "On hold because" [""] None, 40.0, |l, _| CellValue::text(l.held_because.as_str());
        "boards" Row "Boards" [""] None, 24.0, |l, _| CellValue::text(boards(l));
        "used_by" Row "Used by" [""] None, 52.0, |l, _| CellValue::text(joined(l.used_by.iter().map(|tag| Cow::Borrowed(tag.as_str())), ", "));
        "larger_on_list" Row "Would serve too" [""] None, 20.0, |l, _| CellValue::text(l.larger_on_list.as_str());
        "remark" Row "Remark" [""] None, 24.0, |l, _| CellValue::text(l.remark.as_str());
    }
}

/// What a board takes of a line of the purchase list.
pub struct BoardPart<'d> {
    /// Its line.
    pub line: &'d PurchaseLine,
    /// The board and how many.
    pub part: &'d BoardQuantity,
    /// Circuits of that board that use it.
    pub used_by: String,
}

impl BoardPart<'_> {
    /// The state of what this board takes: another board's part of the line may wait alone.
    fn status(&self) -> PurchaseStatus {
        match self.line.status {
            PurchaseStatus::ByOthers => PurchaseStatus::ByOthers,
            _ if self.part.held_because.is_empty() => PurchaseStatus::Firm,
            _ => PurchaseStatus::Hold,
        }
    }
}

/// The purchase list once more, board by board.
#[must_use]
pub fn board_parts(design: &Design) -> Vec<BoardPart<'_>> {
    // Each circuit, line and tag is looked at once: a schedule may have thousands of each.
    let mut boards_of: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for circuit in &design.circuits {
        boards_of.entry(&circuit.tag).or_default().insert(&circuit.board);
    }
    let mut rows: Vec<BoardPart<'_>> = Vec::new();
    for line in &design.purchase {
        let users = users_by_board(line, &boards_of);
        let used_by = |part: &BoardQuantity| users.get(part.board.as_str()).map_or_else(String::new, |tags| tags.join(", "));
        rows.extend(line.boards.iter().map(|part| BoardPart { line, part, used_by: used_by(part) }));
    }
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    for (place, board) in design.boards.iter().enumerate() {
        places.entry(&board.name).or_insert(place);
    }
    // Stable: within a board in the order of the list.
    rows.sort_by_key(|row| places.get(row.part.board.as_str()).copied().unwrap_or(usize::MAX));
    rows
}

/// The tags that use a line, by the board on which their circuits stand; what feeds a board bears the board's name.
fn users_by_board<'d>(line: &'d PurchaseLine, boards_of: &BTreeMap<&str, BTreeSet<&'d str>>) -> BTreeMap<&'d str, Vec<&'d str>> {
    let mut users: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for tag in line.used_by.iter().map(String::as_str) {
        let boards = boards_of.get(tag).into_iter().flatten().copied();
        for board in boards.filter(|board| *board != tag).chain([tag]) {
            users.entry(board).or_default().push(tag);
        }
    }
    users
}

/// Parts by board, a line each; without spares, allowances and whole packs, which are bought for all boards together.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn by_board<'d>(units: Units) -> Vec<Column<BoardPart<'d>>> {
    columns! { units, BoardPart<'d>:
        "board" Row "Board" [""] None, 14.0, |r, _| CellValue::text(if r.part.board.is_empty() { "no board" } else { r.part.board.as_str() });
        "part" Row "Part number" [""] None, 24.0, |r, _| CellValue::text(r.line.part.as_str());
        "description" Row "Description" [""] None, 44.0, |r, _| CellValue::text(r.line.description.as_str());
        "quantity" Row "Needed" [""] QUANTITY, 10.0, |r, u| CellValue::positive(u.bought(r.part.quantity, &r.line.unit));
        "unit" Row "Unit" [""] None, 6.0, |r, _| CellValue::text(r.line.unit.as_str());
        "status" Row "Status" [""] None, 10.0, |r, _| CellValue::text(r.status().words());
        "held_quantity" Row "On hold" [""] QUANTITY, 9.0, |r, u| CellValue::positive(u.bought(r.part.held_quantity, &r.line.unit));
        "held_because" Row "On hold because" [""] None, 30.0, |r, _| CellValue::text(r.part.held_because.as_str());
        "used_by" Row "Used by" [""] None, 44.0, |r, _| CellValue::text(r.used_by.as_str());
    }
}

/// Quantities by board, such as `MCC-1 3; MCC-2 4`.
#[must_use]
pub fn boards(line: &PurchaseLine) -> String {
    let said = |quantity: &BoardQuantity| {
        let board = if quantity.board.is_empty() { "no board" } else { &quantity.board };
        format!("{board} {}", round_to(quantity.quantity, 1))
    };
    line.boards.iter().map(said).collect::<Vec<_>>().join("; ")
}

/// Columns of a purchase list that stay away where no line has anything in them.
const ONLY_IN_USE: &[&str] =
    &["held_quantity", "spare_quantity", "packing", "currency", "lead_days", "held_because", "larger_on_list", "remark"];

/// Columns of a purchase list.
#[must_use]
pub fn purchase_of(units: Units, lines: &[PurchaseLine]) -> Vec<Column<PurchaseLine>> {
    let mut columns = in_use(purchase(units), lines);
    let used = |column: &Column<PurchaseLine>| lines.iter().any(|line| column.of(line) != CellValue::Empty);
    columns.retain(|column| !ONLY_IN_USE.contains(&column.key) || used(column));
    columns
}

/// Findings, a line each.
#[must_use]
#[rustfmt::skip] // a table: one line a column
pub fn findings<'c>(units: Units) -> Vec<Column<FindingRow<'c>>> {
    columns! { units, FindingRow<'c>:
        "severity" Result "Severity" [""] None, 12.0, |r, _| CellValue::text(r.finding.severity.word());
        "code" Result "Code" [""] None, 8.0, |r, _| CellValue::text(r.finding.code.as_str());
        "tag" Row "Tag" [""] None, 14.0, |r, _| CellValue::text(r.owner);
        "place" Row "Place" [""] None, 20.0, |r, _| CellValue::text(r.place());
        "heading" Row "Column" [""] None, 18.0, |r, _| CellValue::text(r.finding.place.as_ref().and_then(|place| place.heading.as_deref()).unwrap_or(""));
        "text" Row "As it stood" [""] None, 18.0, |r, _| CellValue::text(r.finding.place.as_ref().and_then(|place| place.text.as_deref()).unwrap_or(""));
        "what" Result "What is" [""] None, 56.0, |r, _| CellValue::text(r.finding.what.as_str());
        "why" Result "Why it matters" [""] None, 36.0, |r, _| CellValue::text(r.finding.why.as_str());
        "cure" Result "What to do" [""] None, 44.0, |r, _| CellValue::text(r.finding.cure.as_str());
        "reference" Result "Clause" [""] None, 26.0, |r, u| CellValue::text(clause(u, &r.finding.reference));
    }
}

/// Every finding of a design with its owner: those of the whole design first, then circuit by circuit, board by board.
pub fn every_finding(design: &Design) -> impl Iterator<Item = (&str, &Finding)> {
    let of_design = design.findings.iter().map(|finding| ("", finding));
    let of_circuits =
        design.circuits.iter().flat_map(|circuit| circuit.findings.iter().map(|finding| (circuit.tag.as_str(), finding)));
    let of_boards = design.boards.iter().flat_map(|board| board.findings.iter().map(|finding| (board.name.as_str(), finding)));
    of_design.chain(of_circuits).chain(of_boards)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_unique_in_each_set() {
        fn unique<R>(set: &[Column<R>]) {
            let mut keys: Vec<_> = set.iter().map(|column| column.key).collect();
            keys.sort_unstable();
            keys.dedup();
            assert_eq!(keys.len(), set.len());
        }
        for units in [Units::Metric, Units::Customary] {
            unique(&identity(units));
            unique(&schedule(units));
            unique(&starters(units));
            unique(&settings(units));
            unique(&cables(units));
            unique(&checks(units));
            unique(&supplies(units));
            unique(&board_figures(units));
            unique(&dips(units));
            unique(&purchase(units));
            unique(&findings(units));
        }
    }

    #[test]
    fn a_column_without_values_stays_away_from_the_customary_lists() {
        let line = PurchaseLine { part: "A".to_owned(), quantity: 1.0, ..PurchaseLine::default() };
        let keys =
            |units| in_use(purchase(units), std::slice::from_ref(&line)).into_iter().map(|column| column.key).collect::<Vec<_>>();
        assert!(!keys(Units::Customary).contains(&"unit_price") && keys(Units::Customary).contains(&"part"));
        assert!(keys(Units::Metric).contains(&"unit_price"));
    }

    /// A part that every motor has, on as many boards as there are motors: each board names its own motor, and the feeder that bears the
    /// board's name. Going through all circuits for each tag of each board took a minute.
    #[test]
    fn parts_of_a_thousand_boards_name_their_own_circuits() {
        let number = 1000;
        let board = |at: usize| format!("B-{at}");
        let circuit = |at: usize| Circuit { tag: format!("M-{at}"), board: board(at), ..Circuit::default() };
        let part = |at: usize| BoardQuantity { board: board(at), quantity: 1.0, ..BoardQuantity::default() };
        let tags = (0..number).map(|at| format!("M-{at}")).chain([board(7)]).collect();
        let line = PurchaseLine { used_by: tags, boards: (0..number).rev().map(part).collect(), ..PurchaseLine::default() };
        let design = Design {
            circuits: (0..number).map(circuit).collect(),
            boards: (0..number).map(|at| Board { name: board(at), ..Board::default() }).collect(),
            purchase: vec![line; 20],
            ..Design::default()
        };
        let rows = board_parts(&design);
        assert_eq!(rows.len(), 20 * number);
        for (at, row) in rows.iter().enumerate() {
            let at = at / 20;
            let named = if at == 7 { "M-7, B-7".to_owned() } else { format!("M-{at}") };
            assert_eq!((&row.part.board, &row.used_by), (&board(at), &named));
        }
    }

    #[test]
    fn groups_stand_together() {
        for units in [Units::Metric, Units::Customary] {
            let groups: Vec<Group> = schedule(units).iter().map(|column| column.group).collect();
            assert!(groups.is_sorted());
        }
    }
}
