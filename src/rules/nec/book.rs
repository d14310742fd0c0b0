//! The NEC book's answers: clause functions put to use for a machine.

use crate::finding::Finding;
use crate::load::{ControlVoltage, Field, Known, Load, Machine, ProtectionKind, Start};
use crate::quantity::{Amperes, Seconds, Volts, Watts, round_to};
use crate::record::{Naming, Record};
use crate::rules::cautions::CautionRow;
use crate::rules::nec::criteria::VOLTAGE_FACTOR;
use crate::rules::nec::figures::figure;
use crate::rules::nec::{
    Edition, Nec, bounds, cautions, currents, demands, device_notes, editions, efficiency, overload, rated, rating, services,
};
use crate::rules::physics::fault::{Convention, VoltageFactors};
use crate::rules::physics::{self, tripping};
use crate::rules::services::NotCovered;
use crate::rules::table::{Document, Figure};
use crate::rules::{
    ClassDemand, ContactorDemand, ContactorOffer, DeviceAsk, DisconnectAsk, DisconnectDemand, Duty, FuseStart,
    IncreasedSafetyAsk, Leaning, Limit, LockedRotor, OverloadAsk, ProtectionAsk, ProtectionBounds, RatedCurrents, RatedPart,
    RuleBook, Sight, StarterRating, SwitchingDemand, Topic,
};

table! {
    /// Figures that fill gaps.
    FIGURES, FIGURE_ROWS: Figure, "nec-book-figures"
}

/// A figure that the program itself names; a test holds that each of them is in the table.
pub(super) fn gap(name: &str) -> f64 {
    FIGURE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Sources of formulas that both books share, as the formulas name them and as this book does.
const SHARED_SOURCES: &[(&str, &str)] = &[
    ("IEC 60947-4-1, overload current withstand; constant I²t", "short-time current of the contactor; constant I²t"),
    (
        "curve of electronic relays, one manual, for thermal ones too; inside the class of IEC 60947-4-1",
        "curve of electronic relays, one manual, for thermal ones too; inside the class of NEMA ICS 2",
    ),
    ("tolerance of the instantaneous trip, IEC 60947-2", "tolerance of the instantaneous trip"),
    ("note in the scope of IEC 60034-12", "first half-cycle, asymmetrical"),
    ("IEC 60228, Annex", "NFPA 70, Chapter 9 Table 8, Note 2"),
    ("IEC 60364-5-52, Annex G", "effective impedance, as NFPA 70, Chapter 9 Table 9, Note 2"),
    ("IEC 60909-0, equivalent voltage source", "equivalent voltage source"),
    ("IEC 60909-0, network feeders", "fault level of the network"),
    ("IEC 60909-0, two-winding transformers", "impedance of the transformer's nameplate"),
    ("IEC 60909-0, synchronous generators", "reactance of the generator"),
    ("IEC 60909-0, asynchronous motors", "locked-rotor current of the motors"),
    ("IEC 60909-0, method c", "asymmetry by X/R"),
    ("IEC 60909-0, peak short-circuit current", "asymmetry by X/R"),
    ("IEC 60364-4-41, 411.4.4", "NFPA 70, 250.4(A)(5)"),
    ("IEC 60364-5-54, Annex A", "adiabatic heating"),
    ("IEC 60364-5-54, 543.1.2; IEC 60364-4-43, 434.5.2", "adiabatic heating"),
    ("IEC 60364-4-43, 434.5.2", "adiabatic heating"),
];

/// Names a source that both books share as this one does.
pub(super) fn shared_source(source: &'static str) -> &'static str {
    SHARED_SOURCES.iter().find(|(shared, _)| *shared == source).map_or(source, |(_, here)| here)
}

/// Efficiency of a premium motor of this power; none outside the table.
fn premium(machine: &Machine, power: Watts) -> Option<f64> {
    let horsepower = machine.horsepower.unwrap_or(power.horsepower());
    efficiency::premium_efficiency(horsepower, machine.poles, None)
}

impl RuleBook for Nec {
    fn key(&self) -> &'static str {
        "nec"
    }

    fn title(&self) -> &'static str {
        "NEC"
    }

    fn edition(&self) -> &'static str {
        match self.edition {
            super::Edition::E2017 => "NFPA 70-2017; NEMA ICS 2; NEMA MG 1; UL 508A",
            super::Edition::E2020 => "NFPA 70-2020; NEMA ICS 2; NEMA MG 1; UL 508A",
            super::Edition::E2023 => "NFPA 70-2023; NEMA ICS 2; NEMA MG 1; UL 508A",
        }
    }

    fn documents(&self) -> Vec<&'static Document> {
        [physics::DOCUMENTS, super::DOCUMENTS].concat()
    }

    fn cautions(&self) -> &'static [CautionRow] {
        cautions::all()
    }

    fn naming(&self) -> Option<Naming> {
        Some(editions::naming(self.edition))
    }

    fn clause(&self, topic: Topic) -> &'static str {
        match topic {
            Topic::TerminalMarkings => "NEMA MG 1, Part 2",
            Topic::AutomaticReset => "430.43",
            Topic::Inching => "NEMA ICS 2, ratings for plugging and jogging",
            Topic::BreakingCapacity => "110.9",
            Topic::TripClass => "NEMA ICS 2, class of the overload relay",
            Topic::PhaseLoss => "430.37",
            Topic::Coordination => "UL 60947-4-1, type of co-ordination",
            Topic::SoftStarter => "UL 60947-4-2, rating code",
            Topic::ThreePhaseSoftStarter => "UL 60947-4-2",
            Topic::Drive => "Article 430, Part X",
            Topic::Stall => "430.32; NEMA ICS 2",
            Topic::IncreasedSafety => "505.20; motor's certificate",
            Topic::InrushPeak => "first half-cycle, asymmetrical",
            Topic::LimitedSupply => "NFPA 70, 430.72",
            Topic::InputOfDrive => "430.130(A)",
            Topic::AssemblyRating => "110.10; UL 508A, Supplement SB",
            Topic::MagneticTrip => "lower limit of the instantaneous trip",
            // What the listing and the maker's instructions hold to.
            Topic::ThinAir => "110.3(B)",
            Topic::OverloadLeftOut => "430.31; the building code's smoke control design",
            Topic::OverloadSetting => "430.32(A)(1)",
            Topic::ProtectionCarries => "430.52(B), 210.20(A)",
            Topic::FeederCarries => "215.3, 430.62, 430.63",
            Topic::TerminalMaterial => "NFPA 70, 110.14",
            Topic::ProtectiveConductor => "250.122",
            Topic::ParallelConductors if self.edition == Edition::E2017 => "310.10(H)",
            Topic::ParallelConductors => "310.10(G)",
            Topic::DirectCurrent => "430.22(A), 430.29, Table 430.247",
        }
    }

    fn tables_behind_all(&self) -> &'static [&'static str] {
        &[
            "control-practice",
            "device-figures",
            "insulation-types",
            "nec-book-figures",
            "nema-controller-three-phase",
            "standard-ratings",
            "starting-practice",
            "transformer-protection",
            "voltage-limits",
        ]
    }

    fn tables_behind(&self, leaning: Leaning<'_>) -> &'static [&'static str] {
        match leaning {
            Leaning::Fuse(_) => &["fuse-start-hold"],
            Leaning::PowerFactor => &["nema-power-factor"],
            Leaning::OnRoof => &["conductor-figures"],
            Leaning::DesignLetter => &["termination-temperature"],
            Leaning::SlashRating => &["slash-rating-systems"],
            Leaning::NetworkFaults => &["fault-figures"],
            Leaning::Packaged => &["disconnect-kinds", "nec-figures"],
            // 440.22(A) and 440.12(A), 440.32 in the leads of a winding, 440.52(A).
            Leaning::Compressor => &["nec-figures", "motor-conductor-factors", "nec-overload-limits"],
            Leaning::UnmarkedPart => &["default-short-circuit-ratings"],
            Leaning::Inching => &["nema-controller-three-phase", "nema-controller-single-phase"],
            Leaning::Feeder => &["conductor-figures", "standard-ratings"],
            Leaning::IncomingSwitch => &["nec-figures"],
            Leaning::FeederTransformer => &["transformer-protection"],
            Leaning::StartThroughContactor
            | Leaning::GroupInFreeAir
            | Leaning::Aluminium
            | Leaning::LoadedNeutral
            | Leaning::SwitchedTransformer => &[],
        }
    }

    fn not_covered(&self) -> &'static [NotCovered] {
        services::not_covered()
    }

    fn fault_convention(&self, _tolerance_pct: Option<f64>) -> Convention {
        let nominal = VoltageFactors { greatest: VOLTAGE_FACTOR, least: VOLTAGE_FACTOR };
        Convention {
            low_voltage: nominal,
            high_voltage: nominal,
            corrected: false,
            motors_left_out: gap("motors-left-out-share"),
        }
    }

    fn returns_by_conductor(&self, _earthing: Option<&str>, system: Option<&str>) -> Option<bool> {
        rating::grounded(system?)
    }

    fn permission_for_motor_factors(&self) -> Option<&'static str> {
        Some("430.26")
    }

    fn refuses_several_motors(&self) -> Option<[&'static str; 3]> {
        Some([
            "several motors on one branch circuit must be listed or sized as a group, by the smallest motor and the listing of every controller and relay for group installation; this book does not do that here",
            "write one row for each motor, or have the group designed after 430.53 and state its starter as by others",
            "NFPA 70, 430.53",
        ])
    }

    fn own_inputs(&self) -> (&'static [Field], &'static [&'static str]) {
        (
            &[
                Field::LockedRotorCode,
                Field::DesignLetter,
                Field::EquipmentSccrKa,
                Field::Location,
                Field::BranchSelectionCurrentA,
                Field::ServiceFactor,
                Field::TemperatureRiseC,
            ],
            &[
                "rules.edition",
                "supply.system",
                "board.system",
                "design.controller_family",
                "design.minimum_nema_size",
                "design.minimum_size_awg",
                "design.minimum_raceway",
                "design.termination_c",
                "design.supervised_industrial",
                "design.instantaneous_evaluated",
            ],
        )
    }

    fn current_known(&self, machine: &Machine) -> bool {
        // Whether a table has the motor is told with its reason where currents are worked out.
        machine.nameplate.is_some()
            || machine.minimum_ampacity.is_some()
            || machine.selection.is_some()
            || machine.apparent.is_some()
            || machine.power.is_some()
            || machine.reactive.is_some()
    }

    fn above_limit(&self) -> (&'static str, &'static str) {
        let cure = if self.edition >= Edition::E2023 {
            "refer to Part XI of Article 430 and Article 495; the row stays in the list"
        } else {
            "refer to Part XI of Article 430 and Article 490; the row stays in the list"
        };
        (cure, "430.221")
    }

    fn delta_winding_cure(&self, line: Volts) -> String {
        format!(
            "confirm before ordering that the winding runs in delta at {} V and that six or twelve leads are brought out",
            line.0
        )
    }

    fn controller_family(&self) -> &'static str {
        "nema"
    }

    fn line_contactor(&self) -> bool {
        // The disconnecting means isolates; common practice, no source.
        false
    }

    fn frequency_hz(&self) -> f64 {
        gap("frequency-hz")
    }

    fn system_voltage(&self, rated: Volts) -> Volts {
        currents::system_voltage(rated)
    }

    fn one_phase_to_neutral(&self, voltage: Volts) -> bool {
        currents::is_to_neutral(voltage)
    }

    fn without_neutral(&self, system: &str) -> Option<(&'static str, &'static str)> {
        rating::without_neutral(system)
    }

    fn control_voltage(&self) -> ControlVoltage {
        ControlVoltage { volts: gap("control-voltage-v"), dc: false }
    }

    fn capacitor_discharge(&self) -> (Volts, Seconds, &'static str) {
        (Volts(gap("capacitor-discharge-v")), Seconds(gap("capacitor-discharge-s")), "460.6(A)")
    }

    fn protection_kind(&self) -> ProtectionKind {
        ProtectionKind::InverseTime
    }

    fn efficiency(&self, machine: &Machine, power: Watts) -> Option<f64> {
        let premium = premium(machine, power);
        // Below the table, and for a single phase, a motor is worse than the lowest of it.
        let share = if machine.phases == 3 { 1.0 } else { gap("single-phase-efficiency") };
        Some(round_to(premium.unwrap_or_else(|| gap("small-motor-efficiency")) * share, 3))
    }

    fn efficiency_of(&self, machine: &Machine, power: Watts) -> &'static str {
        match (premium(machine, power), machine.phases) {
            (None, _) => "usual of a small motor",
            (Some(_), 3) => "premium",
            (Some(_), _) => "usual of a single phase",
        }
    }

    fn power_factor(&self, machine: &Machine, power: Watts) -> Option<f64> {
        let horsepower = machine.horsepower.unwrap_or(power.horsepower());
        efficiency::power_factor(horsepower).map(|value| round_to(value, 3))
    }

    fn other_power_factor(&self) -> f64 {
        gap("other-power-factor")
    }

    fn locked_rotor(&self, machine: &Machine) -> LockedRotor {
        demands::locked_rotor(machine)
    }

    fn starting_power_factor(&self, _power: Option<Watts>) -> f64 {
        gap("starting-power-factor")
    }

    fn currents(&self, machine: &Machine, start: &Start, wish: &str, load: &Load, record: &mut Record) -> Option<RatedCurrents> {
        rated::of(*self, machine, start, wish, load, record)
    }

    fn switching(
        &self,
        duty: Duty,
        current: Amperes,
        share: f64,
        machine: &Machine,
        start: &Start,
        record: &mut Record,
    ) -> SwitchingDemand {
        demands::switching(duty, current, share, machine, start, record)
    }

    fn contactor_rating(&self, demand: &ContactorDemand, offer: &ContactorOffer) -> Amperes {
        demands::contactor_rating(demand, offer)
    }

    fn contactor_limits(&self, demand: &ContactorDemand, offer: &ContactorOffer) -> Vec<Limit> {
        demands::contactor_limits(demand, offer)
    }

    fn offers_of_rating(&self, rated: Amperes, _: &ContactorDemand) -> [ContactorOffer; 2] {
        demands::offers_of_rating(rated)
    }

    fn offer_of_size(&self, size: &str, machine: &Machine) -> Option<ContactorOffer> {
        demands::offer_of_size(size, machine)
    }

    fn trip_classes(&self) -> &'static [&'static str] {
        &["10", "20", "30"]
    }

    fn longest_trip(&self, class: &str, multiple: f64, ultimate_trip: Option<f64>) -> Option<Seconds> {
        // NEMA ICS 2: a relay of class N trips within N seconds at six times the current at which it trips in the end, which lies above
        // its dial.
        let multiple = multiple / overload::ultimate_trip(ultimate_trip);
        let at_six = Seconds(tripping::TripClass::parse(class)?.number);
        tripping::longest_cold_trip(at_six, figure("relay-class-multiple"), 1.0, multiple)
    }

    fn increased_safety(&self, ask: &IncreasedSafetyAsk<'_>, _record: &mut Record) -> ClassDemand {
        // Not covered: nothing is admitted, and a person decides by the motor's certificate.
        ClassDemand { need: ask.te, allowed: Seconds(0.0) }
    }

    fn class_factor(&self, _class: &str) -> f64 {
        // NEMA controllers are rated for starts up to class 30.
        1.0
    }

    fn overload_setting(&self, ask: &OverloadAsk<'_>, record: &mut Record) -> Amperes {
        demands::overload_setting(ask, record)
    }

    fn overload_limits(&self, ask: &OverloadAsk<'_>, setting: Amperes) -> Vec<Limit> {
        demands::overload_limits(ask, setting)
    }

    fn carried_over_setting(&self) -> (f64, &'static str) {
        (overload::ultimate_trip(None), "430.32, limit of the trip current")
    }

    fn surely_carried_over_setting(&self) -> Option<(f64, f64, &'static str)> {
        Some((figure("no-trip-factor"), figure("nameplate-accuracy"), "430.32(A)(1), 430.32(C)"))
    }

    fn currents_by_tables(&self) -> bool {
        // 430.6(A)(1), 440.6(A).
        true
    }

    fn wants_phase_loss(&self, _phases: u32) -> bool {
        // 430.37 asks for a unit in each phase, which every relay has.
        false
    }

    fn protection_kinds(&self, wish: Known<ProtectionKind>, machine: &Machine, start: &Start) -> Vec<ProtectionKind> {
        bounds::kinds(wish, machine, start)
    }

    fn protection_bounds(&self, kind: ProtectionKind, ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds> {
        bounds::of(*self, kind, ask, record)
    }

    fn fuse_at_start(
        &self,
        kind: ProtectionKind,
        rating: Amperes,
        ask: &ProtectionAsk<'_>,
        record: &mut Record,
    ) -> Option<FuseStart> {
        bounds::fuse_at_start(*self, kind, rating, ask, record)
    }

    fn breaker_poles(&self, machine: &Machine) -> u32 {
        // 240.15(B): every ungrounded conductor has a pole; 404.2(B): the grounded one stays joined.
        match (machine.phases, machine.neutral) {
            (3, _) => 3,
            (_, true) => 1,
            _ => 2,
        }
    }

    fn switched_conductors(&self, machine: &Machine) -> u32 {
        // 430.84: a controller need not open all conductors; the grounded one goes past it.
        match (machine.phases, machine.neutral) {
            (3, _) => 3,
            (_, true) => 1,
            (_, false) => 2,
        }
    }

    fn fuses_of(&self, machine: &Machine) -> u32 {
        // 240.22: no fuse stands in a grounded conductor.
        match (machine.phases, machine.neutral) {
            (3, _) => 3,
            (_, true) => 1,
            _ => 2,
        }
    }

    fn grounding_rating(&self, kind: &str, ask: &ProtectionAsk<'_>) -> Option<Amperes> {
        bounds::grounding_rating(*self, kind, ask)
    }

    fn disconnect(
        &self,
        machine: &Machine,
        currents: &RatedCurrents,
        ask: DisconnectAsk,
        record: &mut Record,
    ) -> DisconnectDemand {
        demands::disconnect(machine, currents, ask, record)
    }

    fn in_sight(&self, machine: &Machine) -> Option<Sight> {
        demands::in_sight(machine)
    }

    fn about_device(&self, ask: &DeviceAsk<'_>) -> Vec<Finding> {
        device_notes::about(self.edition, ask)
    }

    fn assembly_rating(&self, parts: &[RatedPart], _: &mut Record) -> StarterRating {
        demands::assembly_rating(parts)
    }

    fn voltage_suits(&self, marked: &str, system: Option<&str>, voltage: Volts) -> (Option<bool>, &'static str) {
        demands::suits(rating::voltage_rating_admits(
            rating::RatedDevice::CircuitBreaker,
            marked,
            system.unwrap_or_default(),
            voltage,
        ))
    }

    fn voltage_to_neutral_suits(&self, marked: &str, system: Option<&str>, voltage: Volts) -> (Option<bool>, &'static str) {
        demands::suits(rating::one_pole_admits(marked, system.unwrap_or_default(), voltage))
    }

    fn curve_limits(&self, _curve: &str) -> Option<(f64, f64)> {
        None
    }

    fn control_device_opens(&self, _kind: &str, rating: Amperes) -> Amperes {
        rating * gap("control-device-opens")
    }

    fn conventional_trip(&self, _curve: Option<&str>) -> f64 {
        // 240.4 compares ratings.
        1.0
    }
}
