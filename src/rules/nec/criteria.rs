//! The NEC book's criteria for a run: smallest size, terminations, corrected ampacity, overload of loads that are no motors, voltage
//! drop, raceway; and what goes with it: equipment grounding conductor, raceway, fault currents.

use std::sync::LazyLock;

use crate::load::{LoadKind, Material};
use crate::quantity::{Amperes, Celsius, Impedance, fits, round_to};
use crate::record::Record;
use crate::rules::conductors::{
    Candidate, Companions, Criterion, HotRaceway, Need, Outcome, RacewayChoice, RunDefaults, RunDemand, RunNeed, RunPart,
    RunRules,
};
use crate::rules::nec::ampacity::{self, Column};
use crate::rules::nec::book::gap;
use crate::rules::nec::conductor::{Insulation, Size, constant};
use crate::rules::nec::grounding::{self, Phase};
use crate::rules::nec::raceway::{self, Contents, Kind};
use crate::rules::nec::{Edition, Nec, hermetic, impedance, need};
use crate::rules::units::Units;

mod faults;

use faults::{end_max, end_paths, equipment_rating, least_faults};

/// Voltage factor of fault currents: the available fault current is stated at nominal voltage.
pub(super) const VOLTAGE_FACTOR: f64 = 1.0;

/// The criteria, with the clauses that are named otherwise in other editions.
const fn list(smallest: &'static str, corrected: &'static str) -> [Criterion; 8] {
    const fn one(
        name: &'static str,
        unit: &'static str,
        reference: &'static str,
        judge: fn(&RunDemand, Candidate, &mut Record) -> Option<Outcome>,
    ) -> Criterion {
        Criterion { name, place: "", unit, reference, by_length: false, floor: false, of_capacity: false, decides: true, judge }
    }
    [
        Criterion { floor: true, ..one("minimum-size", "mm²", smallest, minimum) },
        Criterion { of_capacity: true, ..one("termination-ampacity", "A", "NFPA 70, 110.14(C)", terminations) },
        Criterion { of_capacity: true, ..one("current-carrying-capacity", "A", corrected, carrying) },
        one("overload-protection", "A", "NFPA 70, 240.4", overload),
        Criterion { by_length: true, ..one("running-voltage-drop", "%", "NFPA 70, 210.19(A) informational note", running) },
        Criterion { by_length: true, ..one("starting-voltage-drop", "%", "common practice, no source", starting) },
        one("raceway-fill", "%", "NFPA 70, Chapter 9 Table 1", fill),
        // A larger conductor would let more fault current through: it mends nothing.
        Criterion { decides: false, ..one("short-circuit-rating", "A", "NFPA 70, 110.10", equipment_rating) },
    ]
}

static OF_2017: [Criterion; 8] = list("NFPA 70, 310.106(A)", "NFPA 70, 310.15(B)(16)");
static SINCE_2020: [Criterion; 8] = list("NFPA 70, 310.3(A)", "NFPA 70, 310.15 and Table 310.16");

/// The assumptions for a route.
static DEFAULTS: LazyLock<RunDefaults> = LazyLock::new(|| {
    let smallest = |material| Size::at_least_cmil(ampacity::smallest_cmil(material)).map_or(f64::NAN, Size::mm2);
    RunDefaults {
        ambient_c: constant("base-ambient-c"),
        ground_c: gap("ground-c"),
        soil_k_m_w: gap("soil-k-m-w"),
        insulation: "THWN-2",
        installation: "EMT",
        minimum_copper_mm2: smallest(Material::Copper),
        minimum_aluminium_mm2: smallest(Material::Aluminium),
        running_drop_pct: constant("running-drop-pct"),
        starting_drop_pct: constant("starting-drop-pct"),
    }
});

/// A demand in the book's terms.
struct Run {
    insulation: Insulation,
    /// Column of the insulation in this place.
    column: Column,
    kinds: Vec<Kind>,
}

fn read(demand: &RunDemand) -> Result<Run, String> {
    let Some(insulation) = Insulation::parse(&demand.insulation) else {
        return Err(format!(
            "insulation \"{}\" is no conductor type of NFPA 70: write THWN-2, XHHW-2, THHN or another type of Article 310",
            demand.insulation
        ));
    };
    let Some(column) = insulation.temperature(demand.wet).and_then(Column::of) else {
        return Err(format!(
            "{} is not for wet places (300.5(B), 300.9): write THWN-2 or XHHW-2, or correct the location",
            insulation.name().to_uppercase()
        ));
    };
    let kinds = demand.route.iter().map(|text| kind(text)).collect::<Result<Vec<_>, _>>()?;
    if kinds.is_empty() {
        return Err("no raceway is given: write emt, rmc, imc, pvc, pvc-80, lfmc or fmc".to_owned());
    }
    if let Some((kind, clause)) = kinds.iter().find_map(|kind| Some((kind, kind.not_for_wet_places()?))).filter(|_| demand.wet) {
        return Err(format!(
            "{} is not for wet places, and a roof is one ({clause}): write lfmc, emt, rmc, imc or pvc, or correct the location",
            kind.word().to_uppercase()
        ));
    }
    if demand.termination.is_some_and(|marked| Column::of(marked).is_none()) {
        return Err("terminations below 60 °C have no column in the ampacity tables: write 60 or 75 as termination_c".to_owned());
    }
    if let Some(text) = &demand.minimum_raceway
        && let Some(kind) = kinds.iter().find(|kind| !raceway::is_trade_size(**kind, text))
    {
        return Err(format!("smallest raceway \"{text}\" is no trade size of {}: write one as 3/4", kind.word().to_uppercase()));
    }
    Ok(Run { insulation, column, kinds })
}

fn kind(text: &str) -> Result<Kind, String> {
    if let Some(kind) = Kind::parse(text) {
        return Ok(kind);
    }
    let upper = text.trim().to_uppercase();
    Err(match upper.as_str() {
        "A1" | "A2" | "B1" | "B2" | "C" | "D1" | "D2" | "E" | "F" | "G" => {
            format!(
                "installation method \"{text}\" is one of IEC 60364: write the raceway: emt, rmc, imc, pvc, pvc-80, lfmc or fmc"
            )
        }
        _ if upper.contains("TRAY") => {
            "cable tray is not covered: size it by 392.80 with the cable's maker, or write a raceway".to_owned()
        }
        _ if upper.contains("BURIED") => {
            "direct burial is not covered: size it by Article 310 and 300.5 by hand, or write the raceway (pvc, rmc) and location wet"
                .to_owned()
        }
        _ => format!("raceway \"{text}\" is not one of emt, rmc, imc, pvc, pvc-80, lfmc, fmc"),
    })
}

/// Current-carrying conductors in one raceway: nobody states what the other circuits are, so each has as many as this one, six beside six
/// leads. 310.15(E)(3): a neutral in which harmonic currents flow is one of them.
fn count(demand: &RunDemand) -> u32 {
    let neutral = u32::from(demand.third_harmonic.is_some_and(|third| third > 0.0));
    (demand.loaded + neutral).saturating_mul(demand.own_circuits).saturating_mul(demand.grouped.max(1))
}

fn corrected(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Amperes> {
    let run = read(demand).ok()?;
    let size = Size::of_mm2(candidate.size_mm2)?;
    let ambient = if demand.rooftop { ampacity::on_roof(record, demand.air, run.insulation) } else { demand.air };
    let corrected = ampacity::corrected(record, candidate.parallel, size, demand.material, run.column, ambient, count(demand))?;
    Some(demand.third_harmonic.map_or(corrected, |third| ampacity::beside_neutral(record, corrected, third)))
}

fn at_terminations(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Amperes> {
    let run = read(demand).ok()?;
    let size = Size::of_mm2(candidate.size_mm2)?;
    // 110.14(C): the lowest temperature of conductor and terminations; (1)(a) and (b): by the rating of the circuit.
    let rating = demand.circuit_rating.unwrap_or(demand.need);
    let column = ampacity::termination_column(rating, size, demand.termination)?.min(run.column);
    ampacity::at_terminations(record, candidate.parallel, size, demand.material, column)
}

fn usable(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Amperes> {
    let mut scratch = Record::silent();
    let (one, other) = (corrected(demand, candidate, &mut scratch)?, at_terminations(demand, candidate, &mut scratch)?);
    Some(ampacity::usable(record, one, other))
}

fn minimum(demand: &RunDemand, candidate: Candidate, _record: &mut Record) -> Option<Outcome> {
    Some(Outcome::at_least(candidate.size_mm2, demand.minimum_mm2))
}

fn terminations(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    Some(Outcome::at_most(demand.need.0, at_terminations(demand, candidate, record).map_or(0.0, |current| current.0)))
}

fn carrying(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    Some(Outcome::at_most(demand.need.0, corrected(demand, candidate, record).map_or(0.0, |corrected| corrected.0)))
}

/// 240.4: the device protects the conductors of a load that is no motor; 240.4(G) hands motors and what is like them to their articles.
fn overload(demand: &RunDemand, candidate: Candidate, _record: &mut Record) -> Option<Outcome> {
    if demand.motor_circuit || demand.behind_drive {
        return None;
    }
    let Some(rating) = demand.device_rating else {
        return Some(Outcome::not_checked("no protective device is chosen"));
    };
    let allowed = usable(demand, candidate, &mut Record::silent())
        .zip(Size::of_mm2(candidate.size_mm2))
        .map_or(Amperes(0.0), |(current, size)| ampacity::largest_device(current, size, demand.material));
    Some(Outcome::at_most(rating.0, allowed.0))
}

/// Impedance of one conductor (all sets together), the greatest of what the kinds of raceway on the route give.
fn cable(demand: &RunDemand, sets: u32, size: Size, temperature: Celsius, record: &mut Record) -> Option<Impedance> {
    let run = read(demand).ok()?;
    let length = demand.length?;
    let mut worst: Option<Impedance> = None;
    for kind in run.kinds {
        let impedance = impedance::per_thousand_feet(size, demand.material, kind.wall())?.impedance;
        worst = Some(worst.map_or(impedance, |worst| Impedance { r: worst.r.max(impedance.r), x: worst.x.max(impedance.x) }));
    }
    let whole = impedance::of_length(record, worst?, demand.material, temperature, demand.frequency_hz, length);
    Some(whole * (1.0 / f64::from(sets)))
}

pub(super) fn phase_impedance(
    demand: &RunDemand,
    candidate: Candidate,
    temperature: f64,
    record: &mut Record,
) -> Option<Impedance> {
    cable(demand, candidate.parallel, Size::of_mm2(candidate.size_mm2)?, Celsius(temperature), record)
}

fn running(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    let cable = phase_impedance(demand, candidate, constant("table-9-c"), record);
    demand.running_outcome(cable, record)
}

fn starting(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    demand.starting.as_ref()?;
    let cable = phase_impedance(demand, candidate, constant("table-9-c"), record);
    demand.starting_outcome(cable, record)
}

/// The smallest candidate that would do without voltage drop and without wishes: 250.122(B) measures against it.
fn otherwise(demand: &RunDemand) -> Option<Phase> {
    let mut scratch = Record::silent();
    let admits = |judged: Option<Outcome>| judged.is_none_or(|outcome| outcome.passed != Some(false));
    ladder(demand)
        .find(|candidate| {
            admits(terminations(demand, *candidate, &mut scratch))
                && admits(carrying(demand, *candidate, &mut scratch))
                && admits(overload(demand, *candidate, &mut scratch))
        })
        .and_then(phase)
}

fn phase(candidate: Candidate) -> Option<Phase> {
    Some(Phase { size: Size::of_mm2(candidate.size_mm2)?, sets: candidate.parallel })
}

/// Equipment grounding conductor; as large as the phase conductor where no rating is known.
fn grounding_size(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Size> {
    let phase = phase(candidate)?;
    let Some(rating) = demand.grounding_basis.or(demand.device_rating) else { return Some(phase.size) };
    grounding::conductor(record, rating, demand.material, phase, otherwise(demand))
}

/// Impedance of the equipment grounding conductors of a candidate, all together.
pub(super) fn grounding_impedance(demand: &RunDemand, candidate: Candidate, temperature: f64) -> Option<Impedance> {
    let record = &mut Record::silent();
    cable(demand, candidate.parallel, grounding_size(demand, candidate, record)?, Celsius(temperature), record)
}

/// The conductors in each raceway of a candidate: its share of the circuit's, and as many again for every circuit that shares it.
fn contents(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Contents> {
    let run = read(demand).ok()?;
    let (_, live_in2) = run.insulation.dimensions(Size::of_mm2(candidate.size_mm2)?)?;
    let (_, grounding_in2) = run.insulation.dimensions(grounding_size(demand, candidate, record)?)?;
    let grouped = demand.grouped.max(1);
    Some(Contents { live: demand.cores.saturating_sub(1).saturating_mul(grouped), live_in2, grounding: grouped, grounding_in2 })
}

fn raceways(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Vec<raceway::Chosen>> {
    let run = read(demand).ok()?;
    let contents = contents(demand, candidate, record)?;
    run.kinds
        .iter()
        .map(|kind| raceway::choose(record, *kind, contents, demand.length, demand.minimum_raceway.as_deref()))
        .collect()
}

fn fill(demand: &RunDemand, candidate: Candidate, _record: &mut Record) -> Option<Outcome> {
    // The working stands with the companions of the chosen run.
    let chosen = raceways(demand, candidate, &mut Record::silent()).unwrap_or_default();
    Some(tightest(chosen).unwrap_or_else(|| Outcome::at_most(f64::INFINITY, raceway::fill_limit_pct(3))))
}

/// The raceway that decides: one too small for its conductors before those that hold them, then the fullest.
fn tightest(raceways: Vec<raceway::Chosen>) -> Option<Outcome> {
    let chosen = raceways.into_iter().max_by(|a, b| b.holds.cmp(&a.holds).then(a.fill_pct.total_cmp(&b.fill_pct)))?;
    // The printed areas are rounded; what they admit is admitted.
    let value = if chosen.holds { chosen.fill_pct.min(chosen.limit_pct) } else { chosen.fill_pct };
    Some(Outcome::at_most(value, chosen.limit_pct))
}

fn ladder(demand: &RunDemand) -> impl Iterator<Item = Candidate> {
    let material = demand.material;
    let made = Insulation::parse(&demand.insulation);
    let sizes = Size::all().filter(move |size| {
        let tabulated = ampacity::tabulated(*size, material, Column::C75).is_some();
        tabulated
            && size.cmil() <= constant("largest-single-cmil")
            && made.is_some_and(|insulation| insulation.dimensions(*size).is_some())
    });
    let sizes: Vec<Size> = sizes.collect();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small count of the table of figures
    let most = constant("most-parallel") as u32;
    (1..=most).flat_map(move |parallel| {
        let from = if parallel > 1 { constant("parallel-from-size-cmil") } else { 0.0 };
        let admitted: Vec<Size> = sizes.iter().copied().filter(|size| size.cmil() >= from).collect();
        admitted.into_iter().map(move |size| Candidate { size_mm2: size.mm2(), parallel })
    })
}

/// 430.22(E): the duty of the row with its time rating, on the nameplate current; without one on the table's.
fn duty_need(ask: &RunNeed<'_>, full_load: Amperes, record: &mut Record) -> Option<Amperes> {
    let nameplate = ask.machine.nameplate.unwrap_or(full_load);
    need::of_duty(record, ask.start, nameplate, |record| need::single_motor(record, full_load))
}

/// 430.22(B): conductors of several speeds carry the largest winding in continuous duty, whatever duty is stated.
fn not_below_continuous(ask: &RunNeed<'_>, winding: Amperes, record: &mut Record) -> Amperes {
    let continuous = need::multispeed(record, winding);
    need::of_duty(record, ask.start, winding, |_| continuous).map_or(continuous, |duty| duty.max(continuous))
}

/// Current from which the leads of a winding are counted: their percentages hold those of a continuous duty already, so a heavier
/// duty enters as the full-load current that would need as much.
fn leads_base(ask: &RunNeed<'_>, full_load: Amperes, record: &mut Record) -> Amperes {
    let continuous = need::single_motor(&mut Record::silent(), full_load);
    let duty = duty_need(ask, full_load, record).unwrap_or(continuous);
    full_load * (duty.0 / continuous.0).max(1.0)
}

fn motor_need(ask: &RunNeed<'_>, full_load: Amperes, record: &mut Record) -> Amperes {
    let machine = ask.machine;
    // 440.32: 125 % whatever the duty, and 72 % in the leads of a winding.
    match (hermetic::current(machine), ask.part) {
        (Some(larger), RunPart::WindingLeads) => return need::hermetic_wye_delta_leads(record, larger),
        (Some(larger), RunPart::Line | RunPart::Load) => return need::hermetic(record, larger, None),
        _ => {}
    }
    match ask.part {
        RunPart::WindingLeads => {
            let base = leads_base(ask, full_load, record);
            need::wye_delta_leads(record, base)
        }
        RunPart::PartWindingHalf => {
            let base = leads_base(ask, full_load, record);
            need::part_winding_leads(record, base)
        }
        // 430.52(C)(4) Exception: one device protects both windings, so the conductors of each are those of the largest.
        RunPart::LowSpeed | RunPart::HighSpeed => {
            let high = machine.nameplate.unwrap_or(full_load);
            let low = machine.nameplate_low.or(ask.currents.low).unwrap_or(high);
            not_below_continuous(ask, high.max(low), record)
        }
        RunPart::DriveInput => {
            let input = ask.start.drive_input.unwrap_or(ask.current);
            if ask.start.bypass { need::drive_with_bypass(record, input, full_load) } else { need::drive_input(record, input) }
        }
        RunPart::DriveOutput => need::drive_output(record, full_load),
        RunPart::Rotor => {
            let rotor = machine.rotor_current.unwrap_or(ask.current);
            // 430.23(B) goes by Table 430.22(E) for the rotor too.
            let of_duty = need::of_duty(record, ask.start, rotor, |record| need::secondary(record, rotor));
            of_duty.unwrap_or_else(|| need::secondary(record, rotor))
        }
        RunPart::Line | RunPart::Load if ask.start.method.two_speeds() => {
            let windings = [machine.nameplate, machine.nameplate_low, ask.currents.low];
            let highest = windings.into_iter().flatten().fold(machine.nameplate.unwrap_or(full_load), Amperes::max);
            not_below_continuous(ask, highest, record)
        }
        RunPart::Line | RunPart::Load => {
            duty_need(ask, full_load, record).unwrap_or_else(|| need::single_motor(record, full_load))
        }
    }
}

impl RunRules for Nec {
    fn defaults(&self) -> &'static RunDefaults {
        &DEFAULTS
    }

    fn need(&self, ask: &RunNeed<'_>, record: &mut Record) -> Need {
        let conductor = ask.currents.conductor;
        let base = if conductor.0 > 0.0 { conductor } else { ask.current };
        let capacity = match ask.machine.kind {
            LoadKind::Motor => motor_need(ask, base, record),
            // 440.4(B): a marked circuit ampacity holds its allowances already.
            LoadKind::Packaged => match ask.machine.minimum_ampacity {
                Some(marked) if marked.0 >= base.0 => marked,
                _ => need::single_motor(record, base),
            },
            LoadKind::Heater => need::electric_heat(record, base),
            LoadKind::Capacitor => need::capacitor(record, base),
            LoadKind::Transformer => need::transformer(record, base),
            LoadKind::Lighting | LoadKind::Other => need::continuous_load(record, base),
        };
        // 110.3(B): what is marked on listed equipment is no less than asked, whatever the row says of its kind.
        let supply = matches!(ask.part, RunPart::Line | RunPart::Load);
        let marked = ask.machine.minimum_ampacity.filter(|_| supply);
        let capacity = marked.map_or(capacity, |marked| marked.max(capacity));
        let motor = ask.machine.kind == LoadKind::Motor;
        let letter = motor.then(|| ampacity::design_letter_temperature(&ask.machine.design_letter, self.edition));
        Need { capacity, termination: letter.flatten() }
    }

    fn ladder(&self, demand: &RunDemand) -> Vec<Candidate> {
        ladder(demand).collect()
    }

    fn criteria(&self) -> &'static [Criterion] {
        if self.edition == Edition::E2017 { &OF_2017 } else { &SINCE_2020 }
    }

    fn companions(&self, demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Companions {
        let mut scratch = Record::silent();
        let grounding = grounding_size(demand, candidate, record);
        let diameter = Insulation::parse(&demand.insulation)
            .and_then(|insulation| insulation.dimensions(Size::of_mm2(candidate.size_mm2)?))
            .map(|(diameter, _)| diameter);
        let chosen = raceways(demand, candidate, &mut scratch).unwrap_or_default();
        if let (Some(contents), Some(first)) = (contents(demand, candidate, &mut scratch), chosen.first()) {
            raceway::choose(record, first.kind, contents, demand.length, demand.minimum_raceway.as_deref());
        }
        let three = count(demand) == 3 && demand.cores <= 4;
        let jam = |chosen: &raceway::Chosen, record: &mut Record| {
            let ratio = raceway::jam_ratio(record, chosen.diameter_in, diameter.filter(|_| three)?);
            raceway::may_jam(ratio).then_some(ratio)
        };
        let raceways = chosen
            .iter()
            .map(|chosen| RacewayChoice {
                kind: chosen.kind.word(),
                trade_size: chosen.trade_size,
                fill_pct: chosen.fill_pct,
                jam_ratio: jam(chosen, record),
            })
            .collect();
        let least = least_faults(demand, candidate, &mut scratch);
        Companions {
            raceways,
            protective_mm2: grounding.map_or(candidate.size_mm2, Size::mm2),
            capacity: usable(demand, candidate, record).unwrap_or(Amperes(0.0)),
            end_max: end_max(demand, candidate, record),
            end_min: least.map(|fault| fault.0),
            end_earth_min: least.and_then(|fault| Some(fault.1?.0)),
            impedance: phase_impedance(demand, candidate, constant("table-9-c"), &mut scratch),
            end_x_over_r: least.and_then(|fault| Some(fault.1?.1)).filter(|ratio| ratio.is_finite()),
            end_paths: end_paths(demand, candidate),
        }
    }

    fn capacity(&self, demand: &RunDemand, candidate: Candidate) -> Option<Amperes> {
        usable(demand, candidate, &mut Record::silent())
    }

    fn protective_minimum(
        &self,
        phase_mm2: f64,
        per_phase: u32,
        material: Material,
        device: Option<(&str, Amperes)>,
        _leakage: bool,
    ) -> Option<f64> {
        // 250.122(D)(2): behind an instantaneous-trip breaker the rating is that of a fuse which is not among the circuit's parts.
        let (_, rating) = device.filter(|(kind, _)| *kind != "instantaneous")?;
        let size = grounding::by_device(rating, material)?;
        // 250.122(A): never larger than the circuit conductors; in parallel a single conductor does not bound it.
        let phase = Size::of_mm2(phase_mm2)?;
        Some(if per_phase == 1 { size.min(phase) } else { size }.mm2())
    }

    fn single_cores(&self, _demand: &RunDemand) -> bool {
        true
    }

    fn refuses(&self, demand: &RunDemand) -> Option<String> {
        read(demand).err()
    }

    fn unknown_installation(&self, text: &str) -> Option<&'static str> {
        let upper = text.to_uppercase();
        let is_known = Kind::parse(text).is_some() || ["TRAY", "BURIED"].iter().any(|word| upper.contains(word));
        (!is_known).then_some("emt, rmc, imc, pvc, pvc-80, lfmc, fmc")
    }

    fn size_text(&self, size_mm2: f64) -> String {
        Size::of_mm2(size_mm2).map_or_else(|| format!("{size_mm2} mm2"), Size::text)
    }

    fn size_of(&self, text: &str) -> Option<f64> {
        Size::parse(text).map(Size::mm2)
    }

    fn not_in_wet_places(&self, insulation: &str) -> Option<&'static str> {
        let known = Insulation::parse(insulation)?;
        known.temperature(true).is_none().then_some("NFPA 70, 300.5(B), 300.9 and 310.10(C)")
    }

    fn on_roof(&self, insulation: &str) -> Option<[&'static str; 3]> {
        if Insulation::parse(insulation).is_some_and(Insulation::spared_on_roofs) {
            return None;
        }
        Some([
            "the raceway is taken as less than 7/8 in above the roof, in the sun: 33 °C (60 °F) are added to the air around it",
            "hold the raceway 7/8 in or more above the roof and write location wet, which saves conductor",
            if self.edition == Edition::E2017 { "310.15(B)(3)(c)" } else { "310.15(B)(2)" },
        ])
    }

    fn fill_of(&self, demand: &RunDemand, candidate: Candidate, trade_size: &str) -> Option<Outcome> {
        let run = read(demand).ok()?;
        let contents = contents(demand, candidate, &mut Record::silent())?;
        let filled =
            run.kinds.iter().map(|kind| raceway::filled(&mut Record::silent(), *kind, contents, demand.length, trade_size));
        tightest(filled.collect::<Option<Vec<_>>>()?)
    }

    fn hot_raceway(&self, demand: &RunDemand) -> Option<HotRaceway> {
        let kinds = demand.route.iter().filter_map(|text| kind(text).ok());
        let mut limits = kinds.filter_map(|kind| kind.hottest_air().map(|(most, reference)| (kind, most, reference)));
        let (kind, most, reference) = limits.find(|(_, most, _)| !fits(demand.air.0, most.0))?;
        Some(HotRaceway { kind: kind.word(), air: demand.air, most, reference })
    }

    fn rules_out(&self, demand: &RunDemand) -> Option<[String; 3]> {
        let run = read(demand).ok()?;
        let ambient =
            if demand.rooftop { ampacity::on_roof(&mut Record::silent(), demand.air, run.insulation) } else { demand.air };
        let factor = ampacity::ambient_factor(run.column, ambient);
        let air = Units::Customary.temperature(round_to(ambient.0, 1));
        factor.is_none_or(|factor| factor <= 0.0).then(|| {
            [
                format!(
                    "the air at the conductors, {air}, is above what the table of corrections has for {}",
                    demand.insulation.to_uppercase()
                ),
                "lead the run through cooler air, correct ambient_c, or choose an insulation of a higher temperature".to_owned(),
                "NFPA 70, 310.15(B)(1), Table 310.15(B)(1)(1)".to_owned(),
            ]
        })
    }

    fn length_unit(&self) -> &'static str {
        "ft"
    }

    fn bought_insulation<'a>(&self, insulation: &'a str) -> &'a str {
        match insulation {
            // One conductor is made and marked for all of these.
            "thhn" | "thwn" | "thhn/thwn" | "thhn/thwn-2" => "thwn-2",
            "xhh" | "xhhw" => "xhhw-2",
            other => other,
        }
    }

    fn raceways_screen(&self) -> bool {
        true
    }

    fn marks_protective(&self) -> bool {
        true
    }
}

#[cfg(test)]
mod tests;
