//! Arithmetic of the guards' own: what NFPA 70 asks of a row, from the tables under `tests/`.

use motorwright::design::Run;
use motorwright::load::Method;

use super::schedule::Row;
use super::tables;

/// Slack of comparisons: what a design writes is rounded to the fourth decimal at most.
pub(crate) const SLACK: f64 = 1e-3;

/// Current from which the device and the disconnecting means are counted: of the table, else of the nameplate; of several speeds
/// the nameplate's (430.6(A)).
pub(crate) fn full_load(row: &Row) -> Option<f64> {
    let table = tables::full_load(row.hp, row.volts, row.phases);
    if row.method_counts_by_nameplate() { row.nameplate.or(table) } else { table.or(row.nameplate) }
}

/// Smallest ampacity of a run: 430.22 and 430.122; a nameplate above the table counts, as the program promises (R203).
pub(crate) fn need(row: &Row, role: &str, drive_input: Option<f64>) -> Option<f64> {
    let full = full_load(row)?.max(row.nameplate.unwrap_or(0.0));
    Some(match (row.method, role) {
        (Method::StarDelta | Method::StarDeltaClosed | Method::SoftStarterInsideDelta, "star-delta-leads") => 0.72 * full,
        (Method::PartWinding, "motor") => 0.625 * full,
        (Method::Drive, "supply") => {
            let of_drive = 1.25 * drive_input?;
            if row.bypass { of_drive.max(1.25 * full) } else { of_drive }
        }
        (Method::RotorResistance, "rotor") => 1.25 * row.rotor,
        // 430.52(C)(4) Exception: one device protects both windings, so both have conductors for the largest.
        (_, "motor-low") => 1.25 * full,
        (_, "star-delta-leads" | "rotor") => panic!("{role} of {:?}", row.method),
        _ => 1.25 * full,
    })
}

/// Column of the terminations: as the basis writes it; else 60 °C up to 100 A and 1 AWG, 75 °C above and for design letters B to D
/// (110.14(C)(1)).
pub(crate) fn termination_column(row: &Row, size: &str, need: f64) -> u32 {
    let large = tables::cmil(size) > tables::cmil("1") || need > 100.0;
    if row.termination || large || row.premium { 75 } else { 60 }
}

/// Column of the insulation in its place (Table 310.4(1)).
fn insulation_column(row: &Row) -> u32 {
    if row.insulation == "THW" { 75 } else { 90 }
}

/// Ampacity that a size has for a need: the lesser of the terminations' and of the corrected one; none where its column may not be
/// used in so hot a place.
pub(crate) fn usable(row: &Row, role: &str, size: &str, sets: u32, need: f64) -> Option<f64> {
    let at_ends = tables::ampacity(size, row.copper, termination_column(row, size, need))?;
    let column = insulation_column(row);
    // 310.15(B)(2): 33 °C more on a roof, but for XHHW-2.
    let sun = if row.location == "rooftop" && row.insulation != "XHHW-2" { 33.0 } else { 0.0 };
    let live = live_conductors(row, role);
    let corrected = tables::ampacity(size, row.copper, column)?
        * tables::correction(row.air_c + sun, column)?
        * tables::adjustment(live * row.grouped);
    Some(at_ends.min(corrected) * f64::from(sets))
}

/// Current-carrying conductors of one circuit in its raceway.
pub(crate) fn live_conductors(row: &Row, role: &str) -> u32 {
    match role {
        "star-delta-leads" => 6,
        "motor" if row.method == Method::PartWinding => 6,
        _ if row.phases == 1 => 2,
        _ => 3,
    }
}

/// Smallest single conductor that holds a need without voltage drop; none if none does.
pub(crate) fn smallest(row: &Row, role: &str, need: f64) -> Option<&'static str> {
    tables::sizes()
        .filter(|size| tables::cmil(size) >= 4110.0 && tables::cmil(size) <= 1_000_000.0)
        .find(|size| usable(row, role, size, 1, need).is_some_and(|usable| need <= usable * (1.0 + 1e-6)))
}

/// First place and ceiling of 430.52(C)(1) for a kind of device; the ceiling is never less than the first place.
pub(crate) fn device_limits(row: &Row, kind: &str, full: f64) -> (f64, f64) {
    let line = tables::PERCENT.row(kind).unwrap_or_else(|| panic!("no line for {kind}"));
    let column = if row.method == Method::RotorResistance { "wound_rotor_pct" } else { "cage_pct" };
    let cell = |name: &str| tables::PERCENT.number(line, name).expect("a percentage");
    // 430.4: one time-delay fuse for both halves of a part winding is at most 150 %.
    let dual = matches!(kind, "dual-element" | "class-J" | "class-RK1");
    let percent = if row.method == Method::PartWinding && dual { 150.0 } else { cell(column) };
    let ratings = tables::ratings(row.edition, kind != "inverse-time");
    let up = ratings.iter().copied().find(|rating| full * percent / 100.0 <= rating + 1e-6).unwrap_or(6000.0);
    let down = ratings.iter().copied().filter(|rating| *rating <= full * percent / 100.0 + 1e-6).fold(0.0, f64::max);
    let first = if row.method == Method::PartWinding && dual { down } else { up };
    let ceiling = cell(if full <= 100.0 { "ceiling_to_100_a_pct" } else { "ceiling_above_100_a_pct" });
    let mut most = ratings.iter().copied().filter(|rating| *rating <= full * ceiling / 100.0 + 1e-6).fold(0.0, f64::max);
    if kind == "non-time-delay" {
        // 430.52(C)(1)(b)(1) ends at 600 A; (4) admits 300 % for fuses of 601 A and more.
        let large = ratings.iter().copied().filter(|rating| *rating >= 601.0 && *rating <= full * 3.0 + 1e-6).fold(0.0, f64::max);
        most = most.min(600.0).max(large);
    }
    (first, if row.method == Method::PartWinding { first } else { most.max(first) })
}

/// Rating by which the equipment grounding conductor is chosen: 250.122(D)(2) for instantaneous devices.
pub(crate) fn grounding_rating(row: &Row, kind: &str, rating: f64, full: f64) -> f64 {
    if kind == "instantaneous" { device_limits(row, "dual-element", full).0 } else { rating }
}

/// Largest setting of an overload relay in trip current: 430.32(A)(1) for the share that flows through it.
pub(crate) fn trip_ceiling(row: &Row, position: &str, relay_role: &str) -> Option<f64> {
    let nameplate = row.nameplate.or(tables::full_load(row.hp, row.volts, row.phases))?;
    let share = match (row.method, position) {
        (_, "delta-leg") => 1.0 / 3f64.sqrt(),
        (Method::PartWinding, _) if matches!(relay_role, "first" | "second") => 0.5,
        _ => 1.0,
    };
    let base = if position == "low" { row.low? } else { nameplate };
    let percent = if row.service_factor.is_some_and(|service_factor| service_factor >= 1.15) { 1.25 } else { 1.15 };
    Some(base * share * percent)
}

/// Fill of a raceway in per cent: live conductors and grounding conductors of all circuits in it over its area.
pub(crate) fn fill_pct(row: &Row, run: &Run) -> f64 {
    let raceway = run.raceway.as_ref().expect("a raceway");
    let live = f64::from(live_conductors(row, &run.role) * row.grouped);
    let area = live * tables::insulated_area(&run.phase_size, row.insulation)
        + f64::from(row.grouped) * tables::insulated_area(&run.protective_size, row.insulation);
    100.0 * area / tables::raceway_area(&raceway.kind, &raceway.trade_size)
}

/// Share of the motor's current in a contactor's role (own list).
pub(crate) fn contactor_share(row: &Row, role: &str) -> f64 {
    match (row.method, role) {
        (Method::StarDelta | Method::StarDeltaClosed, "line" | "delta") => 1.0 / 3f64.sqrt(),
        (Method::StarDelta | Method::StarDeltaClosed, "star") => 1.0 / 3.0,
        (Method::PartWinding, _) | (Method::TwoSpeedDahlander | Method::TwoSpeed, "high-star") => 0.5,
        (Method::SoftStarterInsideDelta, "bypass") => 1.0 / 3f64.sqrt(),
        _ => 1.0,
    }
}
