//! The catalogue as text for a terminal.

use super::load::FAMILIES;
use super::{Catalogue, DEMONSTRATION};

/// Prints a family as a table, or the list of families with their counts.
///
/// # Errors
/// There is no family of that name; the text lists those there are.
pub fn show(catalogue: &Catalogue, family: Option<&str>) -> Result<String, String> {
    let mut rows = match family {
        None => vec![vec!["family".to_owned(), "parts".to_owned()]],
        Some(family) => return Ok(title(catalogue) + &aligned(&table(catalogue, family)?)),
    };
    for family in FAMILIES {
        let count = table(catalogue, family)?.len().saturating_sub(1);
        rows.push(vec![(*family).to_owned(), count.to_string()]);
    }
    Ok(title(catalogue) + &aligned(&rows))
}

fn title(catalogue: &Catalogue) -> String {
    let mut text = format!("catalogue {}\n", catalogue.name);
    if catalogue.demonstration {
        text.push_str(DEMONSTRATION);
        text.push('\n');
    }
    text.push('\n');
    text
}

/// A cell as text; empty for what is not declared.
trait Cell {
    fn text(&self) -> String;
}

impl Cell for f64 {
    fn text(&self) -> String {
        self.to_string()
    }
}

impl Cell for u32 {
    fn text(&self) -> String {
        self.to_string()
    }
}

impl Cell for bool {
    fn text(&self) -> String {
        if *self { "yes".to_owned() } else { "no".to_owned() }
    }
}

impl Cell for String {
    fn text(&self) -> String {
        self.clone()
    }
}

impl<T: Cell> Cell for Option<T> {
    fn text(&self) -> String {
        self.as_ref().map_or_else(String::new, Cell::text)
    }
}

fn range(min: f64, max: f64) -> String {
    format!("{min} to {max}")
}

/// The table of a family: its headings, then a row a part.
macro_rules! tables { ($($family:ident: |$row:ident| { $($heading:literal: $cell:expr),* $(,)? })*) => {
    fn table(catalogue: &Catalogue, family: &str) -> Result<Vec<Vec<String>>, String> {
        match family {
            $(stringify!($family) => {
                let headings = vec![$($heading.to_owned()),*];
                let rows = catalogue.$family.iter().map(|$row| vec![$($cell.text()),*]);
                Ok(std::iter::once(headings).chain(rows).collect())
            })*
            other => Err(format!("there is no family `{other}`; the families are {}", FAMILIES.join(", "))),
        }
    }
}; }

tables! {
    contactors: |row| {
        "part": row.part, "frame": row.frame, "AC-3 440 V (A)": row.ac3_440_a, "AC-3 500 V (A)": row.ac3_500_a,
        "AC-3 690 V (A)": row.ac3_690_a, "AC-3e 440 V (A)": row.ac3e_440_a, "AC-1 (A)": row.ac1_a,
        "AC-4 440 V (A)": row.ac4_440_a, "reduced life": row.reduced_life, "width (mm)": row.width_mm,
        "pairs with": row.pairs_with, "NEMA size": row.nema_size, "hp 200 V": row.hp_3ph_200, "hp 230 V": row.hp_3ph_230,
        "hp 460 V": row.hp_3ph_460, "hp 575 V": row.hp_3ph_575, "continuous (A)": row.continuous_a,
        "AC-7a (A)": row.ac7a_a, "AC-7b (A)": row.ac7b_a, "AC-8a (A)": row.ac8a_a, "AC-8b (A)": row.ac8b_a,
        "made for": row.made_for, "AC-6b (A)": row.ac6b_a,
    }
    coils: |row| {
        "code": row.code, "voltage (V)": row.volts, "DC": row.dc,
    }
    overload_relays: |row| {
        "part": row.part, "kind": row.kind, "range (A)": range(row.range_min_a, row.range_max_a), "classes": row.classes,
        "fits frames": row.fits_frames, "ultimate trip": row.ultimate_trip_factor,
        "current transformers": row.transformer_part,
    }
    motor_breakers: |row| {
        "part": row.part, "frame": row.frame, "range (A)": range(row.range_min_a, row.range_max_a), "class": row.class,
        "440 V (kA)": row.breaking_440_ka, "690 V (kA)": row.breaking_690_ka, "let-through (A²s)": row.let_through_a2s,
    }
    moulded_case_breakers: |row| {
        "part": row.part, "frame": row.frame, "release": row.release, "rating (A)": row.rating_a,
        "range (A)": row.range_min_a.zip(row.range_max_a).map(|(min, max)| range(min, max)),
        "440 V (kA)": row.breaking_440_ka, "let-through (A²s)": row.let_through_a2s,
    }
    line_breakers: |row| {
        "part": row.part, "curve": row.curve, "rating (A)": row.rating_a, "poles": row.poles,
        "240 V (kA)": row.breaking_240_ka, "440 V (kA)": row.breaking_440_ka,
    }
    fuses: |row| {
        "part": row.part, "kind": row.kind, "rating (A)": row.rating_a, "to (V)": row.max_voltage_v,
        "breaking (kA)": row.breaking_ka, "let-through (A²s)": row.let_through_a2s, "base": row.base_part,
    }
    switch_disconnectors: |row| {
        "part": row.part, "rated A": row.rating_a, "poles": row.poles, "AC-22A 440 V (A)": row.ac22_440_a,
        "AC-23A 440 V (A)": row.ac23_440_a, "1 s kA": row.short_time_ka, "makes kA": row.making_ka,
    }
    isolators: |row| {
        "part": row.part, "AC-23A 440 V (A)": row.ac23_440_a, "AC-23A 690 V (A)": row.ac23_690_a, "poles": row.poles,
        "enclosure": row.enclosure,
    }
    soft_starters: |row| {
        "part": row.part, "rating (A)": row.rating_a, "inside delta": row.inside_delta, "bypass": row.bypass_built_in,
        "start ratio": row.start_ratio, "start (s)": row.start_s, "starts/h": row.starts_per_hour,
    }
    drives: |row| {
        "part": row.part, "output (A)": row.output_a, "input (A)": row.input_a, "phases": row.phases,
        "voltage (V)": range(row.min_voltage_v, row.max_voltage_v), "efficiency (%)": row.efficiency_pct,
        "cable (m)": row.max_cable_m,
    }
    cables: |row| {
        "part": row.part, "material": row.material, "insulation": row.insulation, "cores": row.cores,
        "size (mm²)": row.size_mm2, "protective (mm²)": row.protective_mm2, "screened": row.screened,
        "outer (mm)": row.outer_mm, "coil (m)": row.coil_m, "drum (m)": row.drum_m,
    }
    accessories: |row| {
        "part": row.part, "kind": row.kind, "fits frames": row.fits_frames, "breaker frame": row.fits_breaker_frames,
        "description": row.description,
    }
    combinations: |row| {
        "protection": row.protection_part, "contactor": row.contactor_part, "overload relay": row.overload_part,
        "type": row.coordination, "to (V)": row.max_voltage_v, "kA": row.conditional_ka,
    }
    branch_breakers: |row| {
        "part": row.part, "kind": row.kind, "rating (A)": row.rating_a, "poles": row.poles, "voltage": row.voltage_rating,
        "240 V (kA)": row.interrupting_240_ka, "480 V (kA)": row.interrupting_480_ka,
        "600 V (kA)": row.interrupting_600_ka,
        "instantaneous (A)": range(row.instantaneous_min_a, row.instantaneous_max_a),
    }
    disconnects: |row| {
        "part": row.part, "rating (A)": row.rating_a, "poles": row.poles, "to (V)": row.max_voltage_v,
        "hp 208 V": row.hp_3ph_208, "hp 240 V": row.hp_3ph_240, "hp 480 V": row.hp_3ph_480, "hp 600 V": row.hp_3ph_600,
        "enclosure": row.enclosure,
    }
    raceways: |row| {
        "part": row.part, "kind": row.kind, "trade size": row.trade_size, "description": row.description,
    }
    control_transformers: |row| {
        "part": row.part, "VA": row.va, "primary (V)": row.primary_v, "secondary (V)": row.secondary_v,
        "short-time (VA)": row.short_time_va,
    }
    power_supplies: |row| {
        "part": row.part, "input (V)": range(row.input_min_v, row.input_max_v), "output (V)": row.output_v,
        "output (A)": row.output_a, "surge (A)": row.surge_a,
    }
    control_protection: |row| {
        "part": row.part, "kind": row.kind, "rating (A)": row.rating_a, "poles": row.poles, "to (V)": row.max_v,
        "to (V DC)": row.max_dc_v, "kA": row.breaking_ka,
    }
    interposing_relays: |row| {
        "part": row.part, "coil (V)": row.coil_v, "DC": row.coil_dc, "coil (W)": row.coil_w, "AC-15 (A)": row.contact_a,
        "DC-13 (A)": row.contact_dc_a, "NO": row.contacts_no,
    }
    control_cables: |row| {
        "part": row.part, "cores": row.cores, "protective core": row.protective, "size (mm²)": row.size_mm2,
        "screened": row.screened, "outer (mm)": row.outer_mm, "coil (m)": row.coil_m, "drum (m)": row.drum_m,
    }
    glands: |row| {
        "part": row.part, "thread": row.thread, "entry (mm)": row.entry_mm,
        "clamps (mm)": range(row.clamp_min_mm, row.clamp_max_mm), "screen": row.screened,
    }
    lugs: |row| {
        "part": row.part, "material": row.material, "size (mm²)": row.size_mm2, "stud": row.stud,
    }
    terminals: |row| {
        "part": row.part, "kind": row.kind, "size (mm²)": range(row.min_mm2, row.max_mm2), "current (A)": row.current_a,
        "width (mm)": row.width_mm,
    }
    enclosures: |row| {
        "part": row.part, "degree": row.degree, "height (mm)": row.height_mm, "width (mm)": row.width_mm,
        "depth (mm)": row.depth_mm, "rows": row.rows, "usable (mm)": row.usable_width_mm, "heat (W)": row.dissipation_w,
    }
    labels: |row| {
        "part": row.part, "kind": row.kind, "width (mm)": row.width_mm, "height (mm)": row.height_mm,
    }
    fittings: |row| {
        "part": row.part, "kind": row.kind, "trade size": row.trade_size, "fitting": row.fitting,
    }
    prices: |row| {
        "part": row.part, "price": row.price, "currency": row.currency, "pack": row.packing_quantity,
        "lead (days)": row.lead_days, "remark": row.remark,
    }
}

/// Columns two blanks apart; columns of figures stand to the right.
fn aligned(rows: &[Vec<String>]) -> String {
    let columns = rows.first().map_or(0, Vec::len);
    let of = |row: &Vec<String>, at: usize| row.get(at).cloned().unwrap_or_default();
    let layout: Vec<(usize, bool)> = (0..columns)
        .map(|at| {
            let width = rows.iter().map(|row| of(row, at).chars().count()).max().unwrap_or(0);
            let figures = rows.iter().skip(1).all(|row| of(row, at).is_empty() || of(row, at).parse::<f64>().is_ok());
            (width, figures)
        })
        .collect();
    let mut text = String::new();
    for row in rows {
        let cells: Vec<String> = layout
            .iter()
            .enumerate()
            .map(
                |(at, &(width, figures))| {
                    if figures { format!("{:>width$}", of(row, at)) } else { format!("{:<width$}", of(row, at)) }
                },
            )
            .collect();
        text.push_str(cells.join("  ").trim_end());
        text.push('\n');
    }
    text
}
