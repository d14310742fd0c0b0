//! The IEC book's criteria for a run of cable: capacity, overload, voltage drop, disconnection, least size.

use std::sync::LazyLock;

use crate::load::Material;
use crate::load::wires::is_it;
use crate::quantity::{Amperes, Celsius, Impedance, Metres, fits};
use crate::record::{Formula, Record};
use crate::rules::conductors::{
    Candidate, Companions, Criterion, FaultDevice, FaultPaths, HotEnds, Need, Outcome, OverloadDevice, RunDefaults, RunDemand,
    RunNeed, RunPart, RunRules,
};
use crate::rules::iec::book::figure;
use crate::rules::iec::capacity::{self, Insulation, Laid, ReferenceMethod, Surroundings};
use crate::rules::iec::conductor::{self, physics};
use crate::rules::iec::table_edges::{self, group};
use crate::rules::iec::withstand::{withstand_largest, withstand_protective, withstand_smallest};
use crate::rules::iec::{Iec, harmonics, overload, protection};
use crate::rules::physics::contactors::CLASS_FACTOR;
use crate::rules::physics::drop;
use crate::rules::physics::fault::{self, VoltageFactors};
use crate::rules::ways::WayInWords;

formula! {
    /// Current that conductors are made for behind an overload relay of a slow class.
    CLASS_CURRENT: "current of the conductors behind a relay of a slow class", "A", CLASS_FACTOR.reference;
    "IC = f I, f = √(C / 10) of trip class C"; "f*I"; |f, I| f * I
}
formula! {
    /// Capacity that a fuse-link protects: its conventional fusing current is not above 1.45 times the capacity.
    FUSED_CAPACITY: "least capacity that the fuse protects", "A", "IEC 60364-4-43, 433.1; k: IEC 60269-1, conventional fusing current";
    "Iz = k In / c"; "k*In/c"; |k, In, c| k * In / c
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&CLASS_CURRENT, &FUSED_CAPACITY];

const CRITERIA: &[Criterion] = &[
    Criterion {
        name: "minimum-size",
        place: "",
        unit: "mm²",
        reference: "IEC 60364-5-52, Table 52.2",
        by_length: false,
        floor: true,
        of_capacity: false,
        decides: true,
        judge: minimum,
    },
    Criterion {
        name: "current-carrying-capacity",
        place: "",
        unit: "A",
        reference: "IEC 60364-5-52, 523",
        by_length: false,
        floor: false,
        of_capacity: true,
        decides: true,
        judge: carrying,
    },
    Criterion {
        name: "overload-protection",
        place: "",
        unit: "A",
        reference: "IEC 60364-4-43, 433.1",
        by_length: false,
        floor: false,
        of_capacity: true,
        decides: true,
        judge: overloaded,
    },
    Criterion {
        name: "running-voltage-drop",
        place: "",
        unit: "%",
        reference: "IEC 60364-5-52, 525",
        by_length: true,
        floor: false,
        of_capacity: false,
        decides: true,
        judge: running,
    },
    Criterion {
        name: "starting-voltage-drop",
        place: "",
        unit: "%",
        reference: "IEC 60364-5-52, 525",
        by_length: true,
        floor: false,
        of_capacity: false,
        decides: true,
        judge: starting,
    },
    Criterion {
        name: "fault-withstand",
        place: "",
        unit: "A²s",
        reference: "IEC 60364-4-43, 434.5.2",
        by_length: false,
        floor: false,
        of_capacity: false,
        decides: true,
        judge: withstand_largest,
    },
    Criterion {
        name: "fault-withstand",
        place: "far end",
        unit: "A²s",
        reference: "IEC 60364-4-43, 434.5.2",
        by_length: true,
        floor: false,
        of_capacity: false,
        decides: true,
        judge: withstand_smallest,
    },
    Criterion {
        name: "disconnection",
        place: "",
        unit: "A",
        reference: "IEC 60364-4-41, 411.4.4",
        by_length: true,
        floor: true,
        of_capacity: false,
        decides: true,
        judge: disconnection,
    },
    Criterion {
        name: "fault-withstand",
        place: "protective conductor",
        unit: "A²s",
        reference: "IEC 60364-5-54, 543.1.2",
        by_length: true,
        floor: false,
        of_capacity: false,
        decides: true,
        judge: withstand_protective,
    },
];

/// Insulation and methods of a demand; none if one of them is not the book's.
fn read(demand: &RunDemand) -> Option<(Insulation, Vec<ReferenceMethod>)> {
    let insulation = Insulation::parse(&demand.insulation)?;
    let methods: Option<Vec<_>> = demand.route.iter().map(|text| ReferenceMethod::parse(text)).collect();
    methods.filter(|methods| !methods.is_empty()).map(|methods| (insulation, methods))
}

/// Corrected capacity: the worst part of the route governs.
fn capacity_of(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Amperes> {
    let (insulation, methods) = read(demand)?;
    let (circuits, within) = group(demand, candidate);
    let around = Surroundings { air: demand.air, ground: demand.ground, soil: demand.soil, circuits, within };
    let mut worst: Option<Amperes> = None;
    for method in methods {
        let laid = Laid { method, insulation, loaded: demand.loaded, material: demand.material };
        let corrected = capacity::corrected(record, laid, candidate.size_mm2, candidate.parallel, around)?;
        worst = Some(worst.map_or(corrected, |worst| worst.min(corrected)));
    }
    let worst = worst?;
    Some(demand.third_harmonic.map_or(worst, |third| harmonics::beside_neutral(record, worst, third)))
}

/// Impedance of one conductor (all parallel ones together) at a temperature.
pub(super) fn impedance(
    demand: &RunDemand,
    candidate: Candidate,
    size_mm2: f64,
    temperature_c: f64,
    record: &mut Record,
) -> Option<Impedance> {
    let length = demand.length?;
    let at_20 = conductor::resistance_at_20(demand.material, size_mm2)?;
    let r = drop::resistance_at(record, at_20, conductor::alpha20(demand.material), Celsius(temperature_c));
    let single = Iec.single_cores(demand);
    let x = conductor::reactance(single, demand.frequency_hz);
    Some(scaled(Impedance { r, x }, length, candidate.parallel))
}

fn scaled(per_kilometre: Impedance, length: Metres, parallel: u32) -> Impedance {
    per_kilometre * (length.0 / 1000.0 / f64::from(parallel))
}

fn running_temperature(demand: &RunDemand) -> Option<f64> {
    Some(conductor::running_temperature(Insulation::parse(&demand.insulation)?).0)
}

fn minimum(demand: &RunDemand, candidate: Candidate, _record: &mut Record) -> Option<Outcome> {
    Some(Outcome::at_least(candidate.size_mm2, demand.minimum_mm2))
}

fn carrying(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    let slow = demand.class_factor > 1.0;
    let drawn = if slow { record.step(&CLASS_CURRENT, &[demand.class_factor, demand.current.0]) } else { demand.current.0 };
    let need = if demand.need.0 > drawn { demand.need.0 } else { drawn };
    // A size that the tables do not have, or surroundings without a factor, carries nothing that could be proved.
    let capacity = capacity_of(demand, candidate, record).map_or(0.0, |capacity| capacity.0);
    Some(Outcome { also: slow.then_some(CLASS_CURRENT.reference), ..Outcome::at_most(need, capacity) })
}

/// 433.1: IB ≤ In ≤ Iz and I2 ≤ 1.45 Iz, as the one capacity that both ask for.
fn overloaded(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    if demand.behind_drive {
        return None;
    }
    let share = physics("conventional-trip-over-capacity");
    // A device whose conventional trip nobody knows protects no size.
    let unknown = f64::INFINITY;
    let need = match demand.overload {
        OverloadDevice::Load => return None,
        OverloadDevice::Missing => return Some(Outcome::not_checked("no device that protects from overload is chosen (433.3)")),
        OverloadDevice::Setting(setting) => {
            setting.0.max(setting.0 * overload::conventional_trip_multiple("electronic").unwrap_or(unknown) / share)
        }
        OverloadDevice::Breaker(rating, trips) => rating.0.max(rating.0 * trips / share),
        OverloadDevice::Fuse(rating) => {
            let fusing = protection::conventional_gg(rating).map_or(unknown, |row| row.fusing_x);
            // A fusing current of at most 1.45 times the rating asks for no more than the rating.
            if fusing > share { record.step(&FUSED_CAPACITY, &[fusing, rating.0, share]) } else { rating.0 }
        }
    };
    // The working of the capacity stands with the criterion before.
    let capacity = capacity_of(demand, candidate, &mut Record::silent()).map_or(0.0, |capacity| capacity.0);
    Some(Outcome::at_most(need, capacity))
}

fn at_running(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Impedance> {
    impedance(demand, candidate, candidate.size_mm2, running_temperature(demand)?, record)
}

fn running(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    let cable = at_running(demand, candidate, record);
    demand.running_outcome(cable, record)
}

fn starting(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    demand.starting.as_ref()?;
    let cable = at_running(demand, candidate, record);
    demand.starting_outcome(cable, record)
}

/// 411.4.4: the smallest fault to earth must reach the current that disconnects in time.
fn disconnection(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    if demand.behind_drive {
        return None;
    }
    let Some((device, rating, _)) = demand.fault else { return Some(Outcome::not_checked("no protective device is chosen")) };
    let earthing = demand.earthing.as_deref().map(|words| words.trim().to_ascii_uppercase()).unwrap_or_default();
    if earthing.starts_with("TT") {
        return Some(Outcome::not_checked("a TT system needs a residual-current device, which is not chosen here (411.5)"));
    }
    if is_it(&earthing) {
        return Some(Outcome::not_checked("faults in an IT system are not worked out (411.6)"));
    }
    if !earthing.starts_with("TN") {
        return Some(Outcome::not_checked("the earthing of the system is unknown"));
    }
    if demand.fault_min.is_none() {
        return Some(Outcome::not_checked("the smallest fault current of the board is unknown"));
    }
    if demand.length.is_none() {
        return Some(Outcome::not_checked("the length of the run is missing"));
    }
    let time = conductor::disconnection_time(demand.to_earth, rating.0)?;
    let needed = match device {
        FaultDevice::Magnetic(most) => Some(most),
        FaultDevice::Gg(rating) => protection::gg_disconnection_current(rating, time),
        FaultDevice::Am(rating) => protection::am_operating_current(rating, time),
    };
    let Some(needed) = needed else {
        return Some(Outcome::not_checked("no operating current of the device is known for the disconnection time"));
    };
    if demand.paths.loop_unknown() {
        return Some(Outcome::not_checked("the loop of a fault to earth before the run is unknown"));
    }
    let occurs = end_earth_min(demand, candidate, record)?;
    Some(Outcome::at_least(occurs.0, needed.0))
}

fn factors(demand: &RunDemand) -> VoltageFactors {
    conductor::voltage_factors(demand.paths.tolerance_pct)
}

pub(super) fn end_phase_min(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Amperes> {
    let factor = factors(demand).least;
    let behind = demand.least_source(factor, record)?;
    let cable = impedance(demand, candidate, candidate.size_mm2, running_temperature(demand)?, record)?;
    Some(demand.between_conductors(factor, behind, cable, record))
}

/// Loop from the source to a fault to earth at the end of the run.
fn earth_loop(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Impedance> {
    let behind = demand.least_loop(factors(demand).least, record)?;
    let [cable, protective] = own_loop(demand, candidate, record)?;
    Some(behind + cable + protective)
}

/// The impedances that the run adds to the loop: a phase and the protective conductor.
fn own_loop(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<[Impedance; 2]> {
    let temperature = running_temperature(demand)?;
    let cable = impedance(demand, candidate, candidate.size_mm2, temperature, record)?;
    Some([cable, impedance(demand, candidate, protective_mm2(demand, candidate)?, temperature, record)?])
}

fn cold(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Impedance> {
    impedance(demand, candidate, candidate.size_mm2, physics("resistance-stated-c"), record)
}

pub(super) fn end_earth_min(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Amperes> {
    let path = earth_loop(demand, candidate, record)?;
    Some(fault::of_loop(record, factors(demand).least, demand.fault_to_earth(), path))
}

/// Largest fault at the end of the run, conductors cold.
fn end_max(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Amperes> {
    let factor = factors(demand).greatest;
    let behind = demand.largest_source(factor, record)?;
    let cable = cold(demand, candidate, record)?;
    Some(demand.largest_fault(factor, behind, cable, record))
}

/// The fault paths at the end of the run; behind a drive there are none.
fn end_paths(demand: &RunDemand, candidate: Candidate) -> FaultPaths {
    if demand.behind_drive {
        return demand.paths.cut_off();
    }
    let record = &mut Record::silent();
    let hot = at_running(demand, candidate, record);
    let around = own_loop(demand, candidate, record).map(|[phase, protective]| phase + protective);
    demand.paths.behind(cold(demand, candidate, record), hot, around)
}

pub(super) fn protective_mm2(demand: &RunDemand, candidate: Candidate) -> Option<f64> {
    let table = conductor::protective_minimum(candidate.size_mm2)?;
    Some(if demand.leakage { table.max(conductor::protective_minimum_with_leakage(demand.material)) } else { table })
}

/// The assumptions for a route.
static DEFAULTS: LazyLock<RunDefaults> = LazyLock::new(|| RunDefaults {
    ambient_c: figure("cable-air-c"),
    ground_c: figure("cable-ground-c"),
    soil_k_m_w: figure("soil-k-m-w"),
    insulation: "pvc",
    installation: "B2",
    minimum_copper_mm2: figure("smallest-copper-mm2"),
    minimum_aluminium_mm2: figure("smallest-aluminium-mm2"),
    running_drop_pct: conductor::drop_limit_pct(false).unwrap_or(f64::NAN),
    starting_drop_pct: figure("starting-drop-pct"),
});

impl RunRules for Iec {
    fn defaults(&self) -> &'static RunDefaults {
        &DEFAULTS
    }

    fn need(&self, ask: &RunNeed<'_>, _record: &mut Record) -> Need {
        // A circuit ampacity that the maker marks on his equipment is an instruction of his (IEC 60364-1, 134.1.1).
        let supply = matches!(ask.part, RunPart::Line | RunPart::Load);
        let marked = ask.machine.minimum_ampacity.filter(|_| supply);
        Need { capacity: marked.map_or(ask.current, |marked| marked.max(ask.current)), termination: None }
    }

    fn ladder(&self, demand: &RunDemand) -> Vec<Candidate> {
        let single = conductor::SIZES.iter().map(|size| Candidate { size_mm2: *size, parallel: 1 });
        let (most, from) = (figure("most-parallel") as u32, figure("parallel-from-mm2"));
        let several = (2..=most).flat_map(|parallel| {
            conductor::SIZES.iter().filter(move |size| **size >= from).map(move |size| Candidate { size_mm2: *size, parallel })
        });
        single
            .chain(several)
            .filter(|candidate| conductor::resistance_at_20(demand.material, candidate.size_mm2).is_some())
            .collect()
    }

    fn criteria(&self) -> &'static [Criterion] {
        CRITERIA
    }

    fn companions(&self, demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Companions {
        let mut scratch = Record::silent();
        // Behind a drive no current of the board flows into a fault.
        let end_max = if demand.behind_drive { None } else { end_max(demand, candidate, record) };
        Companions {
            raceways: Vec::new(),
            protective_mm2: protective_mm2(demand, candidate).unwrap_or(candidate.size_mm2),
            capacity: capacity_of(demand, candidate, &mut scratch).unwrap_or(Amperes(0.0)),
            end_max,
            end_min: if demand.behind_drive { None } else { end_phase_min(demand, candidate, &mut scratch) },
            end_earth_min: if demand.behind_drive { None } else { end_earth_min(demand, candidate, &mut scratch) },
            impedance: running_temperature(demand)
                .and_then(|temperature| impedance(demand, candidate, candidate.size_mm2, temperature, &mut scratch)),
            end_x_over_r: earth_loop(demand, candidate, &mut scratch)
                .map(|path| path.x.0 / path.r.0)
                .filter(|ratio| ratio.is_finite()),
            end_paths: end_paths(demand, candidate),
        }
    }

    fn capacity(&self, demand: &RunDemand, candidate: Candidate) -> Option<Amperes> {
        capacity_of(demand, candidate, &mut Record::silent())
    }

    fn groups_cables(&self) -> Option<&'static str> {
        Some("IEC 60364-5-52, 523.5 and Tables B.52.17 to B.52.21")
    }

    fn hot_at_terminals(&self, demand: &RunDemand, capacity: Amperes, record: &mut Record) -> Option<HotEnds> {
        let (insulation, methods) = read(demand)?;
        let around =
            methods.into_iter().map(|reference_method| if reference_method.in_ground() { demand.ground } else { demand.air });
        let around = around.reduce(|a, b| if a.0 >= b.0 { a } else { b })?;
        let most = conductor::running_temperature(insulation);
        let unasked = conductor::terminals_unasked();
        let of = |record: &mut Record| drop::conductor_temperature(record, around, most, demand.current, capacity);
        let conductor = of(&mut Record::silent());
        // Beyond the insulation's limit the capacity fails, and its check says what matters: no terminal makes that good.
        (conductor.0 > unasked.0 + 1e-9 && fits(conductor.0, most.0)).then(|| HotEnds {
            conductor: of(record),
            unasked,
            reference: "IEC 60364-5-52, 523.1 and Table 52.1",
        })
    }

    fn protective_minimum(
        &self,
        phase_mm2: f64,
        _per_phase: u32,
        material: Material,
        _device: Option<(&str, Amperes)>,
        leakage: bool,
    ) -> Option<f64> {
        let table = conductor::protective_minimum(phase_mm2)?;
        Some(if leakage { table.max(conductor::protective_minimum_with_leakage(material)) } else { table })
    }

    fn single_cores(&self, demand: &RunDemand) -> bool {
        demand.route.iter().filter_map(|text| ReferenceMethod::parse(text)).any(ReferenceMethod::single_cores)
    }

    fn in_one_cable(&self, demand: &RunDemand, candidate: Candidate) -> bool {
        let made = candidate.size_mm2 <= figure("six-leads-cable-most-mm2") + 1e-9;
        demand.own_circuits > 1 && candidate.parallel == 1 && made && !self.single_cores(demand)
    }

    fn refuses(&self, demand: &RunDemand) -> Option<String> {
        if Insulation::parse(&demand.insulation).is_none() {
            return Some(format!("insulation \"{}\" is not covered: write pvc or xlpe", demand.insulation));
        }
        if let Some((text, known)) = demand.route.iter().find_map(|text| Some((text, self.unknown_installation(text)?))) {
            return Some(format!("installation method \"{text}\" is not one of {known}"));
        }
        if demand.route.is_empty() {
            return Some("no installation method is given".to_owned());
        }
        let (insulation, methods) = read(demand)?;
        let hot = |method: &ReferenceMethod| capacity::temperature(*method, insulation, demand.air, demand.ground).is_none();
        methods.into_iter().find(hot).map(|method| {
            let (place, degrees) = if method.in_ground() { ("ground", demand.ground.0) } else { ("air", demand.air.0) };
            let insulation = demand.insulation.to_uppercase();
            format!("{insulation} insulation carries nothing in {place} of {degrees} °C (Tables B.52.14 and B.52.15): take insulation for higher temperatures, or another route")
        })
    }

    fn unknown_installation(&self, text: &str) -> Option<&'static str> {
        ReferenceMethod::parse(text).is_none().then_some("A1, A2, B1, B2, C, D1, D2, E, F, G")
    }

    fn ways_in_words(&self) -> &'static [WayInWords] {
        &capacity::LAYING_ROWS
    }

    fn at_table_edge(&self, demand: &RunDemand, candidate: Candidate, run: [Amperes; 2]) -> Vec<[String; 4]> {
        read(demand).map_or_else(Vec::new, |(_, methods)| table_edges::told(&methods, group(demand, candidate), candidate, run))
    }

    fn size_text(&self, size_mm2: f64) -> String {
        format!("{size_mm2} mm2")
    }

    fn size_of(&self, text: &str) -> Option<f64> {
        let number: f64 = text.trim().trim_end_matches("mm²").trim_end_matches("mm2").trim().parse().ok()?;
        conductor::SIZES.iter().copied().find(|size| (size - number).abs() < 1e-9)
    }

    fn on_roof(&self, _: &str) -> Option<[&'static str; 3]> {
        None
    }

    fn sun_on_roof(&self) -> Option<[&'static str; 3]> {
        Some([
            "the sun heats a cable on a roof above the air around it, and so it carries less",
            "enter ambient_c: the air at the cable with what the sun adds, or its ordinary air where it lies in shade",
            "IEC 60364-5-52, 522.11 and 523.1",
        ])
    }

    fn length_unit(&self) -> &'static str {
        "m"
    }

    fn bought_insulation<'a>(&self, insulation: &'a str) -> &'a str {
        if insulation == "epr" { "xlpe" } else { insulation }
    }

    fn marks_protective(&self) -> bool {
        false
    }
}
