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

macro_rules! columns { ($rows:expr; $($heading:literal => $cell:expr),* $(,)?) => {{
    let mut table = vec![vec![$($heading.to_owned()),*]];
    table.extend($rows.iter().map(|row| vec![$(cell(&$cell(row))),*]));
    table
}}; }

/// Empty for what is not declared.
fn cell<T: Cell>(value: &T) -> String {
    value.text()
}

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

fn table(catalogue: &Catalogue, family: &str) -> Result<Vec<Vec<String>>, String> {
    use super as c;
    Ok(match family {
        "contactors" => columns!(catalogue.contactors;
            "part" => |r: &c::Contactor| r.part.clone(), "frame" => |r: &c::Contactor| r.frame.clone(),
            "AC-3 440 V (A)" => |r: &c::Contactor| r.ac3_440_a, "AC-3 500 V (A)" => |r: &c::Contactor| r.ac3_500_a,
            "AC-3 690 V (A)" => |r: &c::Contactor| r.ac3_690_a, "AC-3e 440 V (A)" => |r: &c::Contactor| r.ac3e_440_a,
            "AC-1 (A)" => |r: &c::Contactor| r.ac1_a, "AC-4 440 V (A)" => |r: &c::Contactor| r.ac4_440_a,
            "reduced life" => |r: &c::Contactor| r.reduced_life, "width (mm)" => |r: &c::Contactor| r.width_mm,
            "pairs with" => |r: &c::Contactor| r.pairs_with.clone(), "NEMA size" => |r: &c::Contactor| r.nema_size.clone(),
            "hp 200 V" => |r: &c::Contactor| r.hp_3ph_200, "hp 230 V" => |r: &c::Contactor| r.hp_3ph_230,
            "hp 460 V" => |r: &c::Contactor| r.hp_3ph_460, "hp 575 V" => |r: &c::Contactor| r.hp_3ph_575,
            "continuous (A)" => |r: &c::Contactor| r.continuous_a, "AC-7a (A)" => |r: &c::Contactor| r.ac7a_a,
            "AC-7b (A)" => |r: &c::Contactor| r.ac7b_a, "AC-8a (A)" => |r: &c::Contactor| r.ac8a_a,
            "AC-8b (A)" => |r: &c::Contactor| r.ac8b_a, "made for" => |r: &c::Contactor| r.made_for.clone(),
            "AC-6b (A)" => |r: &c::Contactor| r.ac6b_a),
        "coils" => columns!(catalogue.coils;
            "code" => |r: &c::Coil| r.code.clone(), "voltage (V)" => |r: &c::Coil| r.volts, "DC" => |r: &c::Coil| r.dc),
        "overload_relays" => columns!(catalogue.overload_relays;
            "part" => |r: &c::OverloadRelay| r.part.clone(), "kind" => |r: &c::OverloadRelay| r.kind.clone(),
            "range (A)" => |r: &c::OverloadRelay| range(r.range_min_a, r.range_max_a),
            "classes" => |r: &c::OverloadRelay| r.classes.clone(), "fits frames" => |r: &c::OverloadRelay| r.fits_frames.clone(),
            "ultimate trip" => |r: &c::OverloadRelay| r.ultimate_trip_factor,
            "current transformers" => |r: &c::OverloadRelay| r.transformer_part.clone()),
        "motor_breakers" => columns!(catalogue.motor_breakers;
            "part" => |r: &c::MotorBreaker| r.part.clone(), "frame" => |r: &c::MotorBreaker| r.frame.clone(),
            "range (A)" => |r: &c::MotorBreaker| range(r.range_min_a, r.range_max_a), "class" => |r: &c::MotorBreaker| r.class.clone(),
            "440 V (kA)" => |r: &c::MotorBreaker| r.breaking_440_ka, "690 V (kA)" => |r: &c::MotorBreaker| r.breaking_690_ka,
            "let-through (A²s)" => |r: &c::MotorBreaker| r.let_through_a2s),
        "moulded_case_breakers" => columns!(catalogue.moulded_case_breakers;
            "part" => |r: &c::MouldedCaseBreaker| r.part.clone(), "frame" => |r: &c::MouldedCaseBreaker| r.frame.clone(),
            "release" => |r: &c::MouldedCaseBreaker| r.release.clone(), "rating (A)" => |r: &c::MouldedCaseBreaker| r.rating_a,
            "range (A)" => |r: &c::MouldedCaseBreaker| r.range_min_a.zip(r.range_max_a).map(|(min, max)| range(min, max)),
            "440 V (kA)" => |r: &c::MouldedCaseBreaker| r.breaking_440_ka,
            "let-through (A²s)" => |r: &c::MouldedCaseBreaker| r.let_through_a2s),
        "line_breakers" => columns!(catalogue.line_breakers;
            "part" => |r: &c::LineBreaker| r.part.clone(), "curve" => |r: &c::LineBreaker| r.curve.clone(),
            "rating (A)" => |r: &c::LineBreaker| r.rating_a, "poles" => |r: &c::LineBreaker| r.poles,
            "240 V (kA)" => |r: &c::LineBreaker| r.breaking_240_ka, "440 V (kA)" => |r: &c::LineBreaker| r.breaking_440_ka),
        "fuses" => columns!(catalogue.fuses;
            "part" => |r: &c::Fuse| r.part.clone(), "kind" => |r: &c::Fuse| r.kind.clone(), "rating (A)" => |r: &c::Fuse| r.rating_a,
            "to (V)" => |r: &c::Fuse| r.max_voltage_v, "breaking (kA)" => |r: &c::Fuse| r.breaking_ka,
            "let-through (A²s)" => |r: &c::Fuse| r.let_through_a2s, "base" => |r: &c::Fuse| r.base_part.clone()),
        "switch_disconnectors" => columns!(catalogue.switch_disconnectors;
            "part" => |r: &c::SwitchDisconnector| r.part.clone(), "rated A" => |r: &c::SwitchDisconnector| r.rating_a,
            "poles" => |r: &c::SwitchDisconnector| r.poles, "AC-22A 440 V (A)" => |r: &c::SwitchDisconnector| r.ac22_440_a,
            "AC-23A 440 V (A)" => |r: &c::SwitchDisconnector| r.ac23_440_a,
            "1 s kA" => |r: &c::SwitchDisconnector| r.short_time_ka, "makes kA" => |r: &c::SwitchDisconnector| r.making_ka),
        "isolators" => columns!(catalogue.isolators;
            "part" => |r: &c::Isolator| r.part.clone(), "AC-23A 440 V (A)" => |r: &c::Isolator| r.ac23_440_a,
            "AC-23A 690 V (A)" => |r: &c::Isolator| r.ac23_690_a, "poles" => |r: &c::Isolator| r.poles,
            "enclosure" => |r: &c::Isolator| r.enclosure.clone()),
        "soft_starters" => columns!(catalogue.soft_starters;
            "part" => |r: &c::SoftStarter| r.part.clone(), "rating (A)" => |r: &c::SoftStarter| r.rating_a,
            "inside delta" => |r: &c::SoftStarter| r.inside_delta, "bypass" => |r: &c::SoftStarter| r.bypass_built_in,
            "start ratio" => |r: &c::SoftStarter| r.start_ratio, "start (s)" => |r: &c::SoftStarter| r.start_s,
            "starts/h" => |r: &c::SoftStarter| r.starts_per_hour),
        "drives" => columns!(catalogue.drives;
            "part" => |r: &c::Drive| r.part.clone(), "output (A)" => |r: &c::Drive| r.output_a, "input (A)" => |r: &c::Drive| r.input_a,
            "phases" => |r: &c::Drive| r.phases, "voltage (V)" => |r: &c::Drive| range(r.min_voltage_v, r.max_voltage_v),
            "efficiency (%)" => |r: &c::Drive| r.efficiency_pct, "cable (m)" => |r: &c::Drive| r.max_cable_m),
        "cables" => columns!(catalogue.cables;
            "part" => |r: &c::Cable| r.part.clone(), "material" => |r: &c::Cable| r.material.clone(),
            "insulation" => |r: &c::Cable| r.insulation.clone(), "cores" => |r: &c::Cable| r.cores,
            "size (mm²)" => |r: &c::Cable| r.size_mm2, "protective (mm²)" => |r: &c::Cable| r.protective_mm2,
            "screened" => |r: &c::Cable| r.screened, "outer (mm)" => |r: &c::Cable| r.outer_mm,
            "coil (m)" => |r: &c::Cable| r.coil_m, "drum (m)" => |r: &c::Cable| r.drum_m),
        "accessories" => columns!(catalogue.accessories;
            "part" => |r: &c::AccessoryPart| r.part.clone(), "kind" => |r: &c::AccessoryPart| r.kind.clone(),
            "fits frames" => |r: &c::AccessoryPart| r.fits_frames.clone(),
            "breaker frame" => |r: &c::AccessoryPart| r.fits_breaker_frames.clone(),
            "description" => |r: &c::AccessoryPart| r.description.clone()),
        "combinations" => columns!(catalogue.combinations;
            "protection" => |r: &c::Combination| r.protection_part.clone(), "contactor" => |r: &c::Combination| r.contactor_part.clone(),
            "overload relay" => |r: &c::Combination| r.overload_part.clone(), "type" => |r: &c::Combination| r.coordination.clone(),
            "to (V)" => |r: &c::Combination| r.max_voltage_v, "kA" => |r: &c::Combination| r.conditional_ka),
        "branch_breakers" => columns!(catalogue.branch_breakers;
            "part" => |r: &c::BranchBreaker| r.part.clone(), "kind" => |r: &c::BranchBreaker| r.kind.clone(),
            "rating (A)" => |r: &c::BranchBreaker| r.rating_a, "poles" => |r: &c::BranchBreaker| r.poles,
            "voltage" => |r: &c::BranchBreaker| r.voltage_rating.clone(),
            "240 V (kA)" => |r: &c::BranchBreaker| r.interrupting_240_ka,
            "480 V (kA)" => |r: &c::BranchBreaker| r.interrupting_480_ka,
            "600 V (kA)" => |r: &c::BranchBreaker| r.interrupting_600_ka,
            "instantaneous (A)" => |r: &c::BranchBreaker| range(r.instantaneous_min_a, r.instantaneous_max_a)),
        "disconnects" => columns!(catalogue.disconnects;
            "part" => |r: &c::Disconnect| r.part.clone(), "rating (A)" => |r: &c::Disconnect| r.rating_a,
            "poles" => |r: &c::Disconnect| r.poles, "to (V)" => |r: &c::Disconnect| r.max_voltage_v,
            "hp 208 V" => |r: &c::Disconnect| r.hp_3ph_208, "hp 240 V" => |r: &c::Disconnect| r.hp_3ph_240,
            "hp 480 V" => |r: &c::Disconnect| r.hp_3ph_480, "hp 600 V" => |r: &c::Disconnect| r.hp_3ph_600,
            "enclosure" => |r: &c::Disconnect| r.enclosure.clone()),
        "raceways" => columns!(catalogue.raceways;
            "part" => |r: &c::Raceway| r.part.clone(), "kind" => |r: &c::Raceway| r.kind.clone(),
            "trade size" => |r: &c::Raceway| r.trade_size.clone(), "description" => |r: &c::Raceway| r.description.clone()),
        "control_transformers" => columns!(catalogue.control_transformers;
            "part" => |r: &c::ControlTransformer| r.part.clone(), "VA" => |r: &c::ControlTransformer| r.va,
            "primary (V)" => |r: &c::ControlTransformer| r.primary_v, "secondary (V)" => |r: &c::ControlTransformer| r.secondary_v,
            "short-time (VA)" => |r: &c::ControlTransformer| r.short_time_va),
        "power_supplies" => columns!(catalogue.power_supplies;
            "part" => |r: &c::PowerSupply| r.part.clone(),
            "input (V)" => |r: &c::PowerSupply| range(r.input_min_v, r.input_max_v),
            "output (V)" => |r: &c::PowerSupply| r.output_v, "output (A)" => |r: &c::PowerSupply| r.output_a,
            "surge (A)" => |r: &c::PowerSupply| r.surge_a),
        "control_protection" => columns!(catalogue.control_protection;
            "part" => |r: &c::ControlProtection| r.part.clone(), "kind" => |r: &c::ControlProtection| r.kind.clone(),
            "rating (A)" => |r: &c::ControlProtection| r.rating_a, "poles" => |r: &c::ControlProtection| r.poles,
            "to (V)" => |r: &c::ControlProtection| r.max_v, "to (V DC)" => |r: &c::ControlProtection| r.max_dc_v,
            "kA" => |r: &c::ControlProtection| r.breaking_ka),
        "interposing_relays" => columns!(catalogue.interposing_relays;
            "part" => |r: &c::InterposingRelay| r.part.clone(), "coil (V)" => |r: &c::InterposingRelay| r.coil_v,
            "DC" => |r: &c::InterposingRelay| r.coil_dc, "coil (W)" => |r: &c::InterposingRelay| r.coil_w,
            "AC-15 (A)" => |r: &c::InterposingRelay| r.contact_a, "DC-13 (A)" => |r: &c::InterposingRelay| r.contact_dc_a,
            "NO" => |r: &c::InterposingRelay| r.contacts_no),
        "control_cables" => columns!(catalogue.control_cables;
            "part" => |r: &c::ControlCable| r.part.clone(), "cores" => |r: &c::ControlCable| r.cores,
            "protective core" => |r: &c::ControlCable| r.protective, "size (mm²)" => |r: &c::ControlCable| r.size_mm2,
            "screened" => |r: &c::ControlCable| r.screened, "outer (mm)" => |r: &c::ControlCable| r.outer_mm,
            "coil (m)" => |r: &c::ControlCable| r.coil_m, "drum (m)" => |r: &c::ControlCable| r.drum_m),
        "glands" => columns!(catalogue.glands;
            "part" => |r: &c::Gland| r.part.clone(), "thread" => |r: &c::Gland| r.thread.clone(),
            "entry (mm)" => |r: &c::Gland| r.entry_mm, "clamps (mm)" => |r: &c::Gland| range(r.clamp_min_mm, r.clamp_max_mm),
            "screen" => |r: &c::Gland| r.screened),
        "lugs" => columns!(catalogue.lugs;
            "part" => |r: &c::Lug| r.part.clone(), "material" => |r: &c::Lug| r.material.clone(),
            "size (mm²)" => |r: &c::Lug| r.size_mm2, "stud" => |r: &c::Lug| r.stud.clone()),
        "terminals" => columns!(catalogue.terminals;
            "part" => |r: &c::Terminal| r.part.clone(), "kind" => |r: &c::Terminal| r.kind.clone(),
            "size (mm²)" => |r: &c::Terminal| range(r.min_mm2, r.max_mm2), "current (A)" => |r: &c::Terminal| r.current_a,
            "width (mm)" => |r: &c::Terminal| r.width_mm),
        "enclosures" => columns!(catalogue.enclosures;
            "part" => |r: &c::Enclosure| r.part.clone(), "degree" => |r: &c::Enclosure| r.degree.clone(),
            "height (mm)" => |r: &c::Enclosure| r.height_mm, "width (mm)" => |r: &c::Enclosure| r.width_mm,
            "depth (mm)" => |r: &c::Enclosure| r.depth_mm, "rows" => |r: &c::Enclosure| r.rows,
            "usable (mm)" => |r: &c::Enclosure| r.usable_width_mm, "heat (W)" => |r: &c::Enclosure| r.dissipation_w),
        "labels" => columns!(catalogue.labels;
            "part" => |r: &c::Label| r.part.clone(), "kind" => |r: &c::Label| r.kind.clone(),
            "width (mm)" => |r: &c::Label| r.width_mm, "height (mm)" => |r: &c::Label| r.height_mm),
        "fittings" => columns!(catalogue.fittings;
            "part" => |r: &c::Fitting| r.part.clone(), "kind" => |r: &c::Fitting| r.kind.clone(),
            "trade size" => |r: &c::Fitting| r.trade_size.clone(), "fitting" => |r: &c::Fitting| r.fitting.clone()),
        "prices" => columns!(catalogue.prices;
            "part" => |r: &c::Price| r.part.clone(), "price" => |r: &c::Price| r.price, "currency" => |r: &c::Price| r.currency.clone(),
            "pack" => |r: &c::Price| r.packing_quantity, "lead (days)" => |r: &c::Price| r.lead_days,
            "remark" => |r: &c::Price| r.remark.clone()),
        other => return Err(format!("there is no family `{other}`; the families are {}", FAMILIES.join(", "))),
    })
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
