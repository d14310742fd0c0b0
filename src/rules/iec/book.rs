//! The IEC book's answers: clause functions put to use for a machine.

use crate::finding::Finding;
use crate::load::{
    ControlVoltage, EfficiencyClass, Field, Known, Load, LoadKind, Machine, Method, Origin, ProtectionKind, Start,
};
use crate::quantity::{Amperes, Seconds, Volts, Watts, fits, round_to};
use crate::record::Record;
use crate::rules::cautions::CautionRow;
use crate::rules::iec::{
    cautions, conductor, contactors as iec_contactors, currents, device_notes, overload, protection, rated, starting, switching,
    transformer,
};
use crate::rules::physics::fault::Convention;
use crate::rules::physics::{contactors, tripping};
use crate::rules::services::NotCovered;
use crate::rules::table::{Document, Figure};
use crate::rules::{
    Category, ClassDemand, ContactorDemand, ContactorOffer, DeviceAsk, DisconnectAsk, DisconnectDemand, Duty, FuseStart,
    IncreasedSafetyAsk, Leaning, Limit, LockedRotor, OverloadAsk, ProtectionAsk, ProtectionBounds, RatedCurrents, RatedPart,
    RuleBook, SocketOutlets, StarterRating, SwitchingDemand, Topic,
};

/// The rule book after IEC standards.
pub struct Iec;

table! {
    /// Figures that fill gaps.
    FIGURES, FIGURE_ROWS: Figure, "book-figures"
}

/// A figure that the program itself names; a test holds that each of them is in the table.
pub(crate) fn figure(name: &str) -> f64 {
    FIGURE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

impl RuleBook for Iec {
    fn key(&self) -> &'static str {
        "iec"
    }

    fn title(&self) -> &'static str {
        "IEC"
    }

    fn edition(&self) -> &'static str {
        "IEC 60364-4-41:2005+A1:2017, 60364-4-43:2008, 60364-5-52:2009, 60364-5-54:2011; IEC 60947-4-1:2009+A1:2012"
    }

    fn documents(&self) -> Vec<&'static Document> {
        [crate::rules::physics::DOCUMENTS, crate::rules::iec::DOCUMENTS].concat()
    }

    fn cautions(&self) -> &'static [CautionRow] {
        cautions::all()
    }

    fn clause(&self, topic: Topic) -> &'static str {
        match topic {
            Topic::TerminalMarkings => "IEC 60034-8",
            Topic::AutomaticReset => "IEC 60204-1, 7.3",
            Topic::Inching => "IEC 60947-4-1, utilization category AC-4",
            Topic::BreakingCapacity => "IEC 60364-4-43, 434.5.1",
            Topic::TripClass | Topic::Stall => "IEC 60947-4-1, Table 2",
            Topic::PhaseLoss => "IEC 60947-4-1, 8.2.1.5.2",
            Topic::Coordination => "IEC 60947-4-1, 8.2.5",
            Topic::SoftStarter => "IEC 60947-4-2, rating code",
            Topic::ThreePhaseSoftStarter => "IEC 60947-4-2",
            Topic::Drive => "IEC 61800-2",
            Topic::IncreasedSafety => "IEC 60079-14",
            Topic::InrushPeak => "IEC 60034-12, note on the inrush peak",
            Topic::MagneticTrip => "lower limit of the release",
            Topic::ThinAir => "IEC 60947-1, 6.1.2; IEC 60269-1, 3.2",
            Topic::LimitedSupply => "IEC 60204-1, 7.2.4 and 9.4.3",
            Topic::InputOfDrive => "the instructions of the drive's maker",
            Topic::AssemblyRating => "IEC 61439-1, 9.3",
            Topic::OverloadLeftOut => "IEC 60364-4-43, 433.3.3; IEC 60364-5-56",
            Topic::OverloadSetting => "IEC 60204-1, 7.3: set to the rated current",
            Topic::ProtectionCarries | Topic::FeederCarries => "IEC 60364-4-43, 433.1",
            Topic::TerminalMaterial => "IEC 60364-5-52, 526; IEC 60947-1, terminals",
            Topic::ProtectiveConductor => "IEC 60364-5-54, 543.1 and Table 54.2",
            Topic::ParallelConductors => "",
            Topic::DirectCurrent => "IEC 60947-4-1, utilization categories DC-3 and DC-5",
        }
    }

    fn tables_behind_all(&self) -> &'static [&'static str] {
        &[
            "book-figures",
            "breaker-practice",
            "control-conductors",
            "control-practice",
            "device-figures",
            "overload-limits",
            "starting-practice",
            "voltage-drop-limits",
            "voltage-limits",
        ]
    }

    fn tables_behind(&self, leaning: Leaning<'_>) -> &'static [&'static str] {
        match leaning {
            Leaning::PowerFactor => &["motor-power-factor"],
            Leaning::Fuse("aM") => &["fuse-gates-am"],
            Leaning::Fuse(_) => &["fuse-gates-gg"],
            Leaning::StartThroughContactor => &["overload-withstand"],
            Leaning::GroupInFreeAir => &["factor-grouping"],
            Leaning::Aluminium => &["k-live"],
            Leaning::LoadedNeutral => &["harmonic-factors"],
            Leaning::NetworkFaults => &["fault-figures", "voltage-factors"],
            Leaning::Feeder => &["feeder-practice", "preferred-currents", "fault-end-temperatures"],
            Leaning::IncomingSwitch => &["switch-categories"],
            Leaning::FeederTransformer | Leaning::SwitchedTransformer => &["transformer-practice"],
            Leaning::OnRoof
            | Leaning::DesignLetter
            | Leaning::SlashRating
            | Leaning::Packaged
            | Leaning::Compressor
            | Leaning::UnmarkedPart
            | Leaning::Inching => &[],
        }
    }

    fn not_covered(&self) -> &'static [NotCovered] {
        crate::rules::iec::services::not_covered()
    }

    fn own_inputs(&self) -> (&'static [Field], &'static [&'static str]) {
        (&[], &[])
    }

    fn current_known(&self, machine: &Machine) -> bool {
        rated::is_known(machine)
    }

    fn above_limit(&self) -> (&'static str, &'static str) {
        ("refer to IEC 62271 and IEC 61936-1; the row stays in the list", "IEC 60364-1, 11.2")
    }

    fn delta_winding_cure(&self, line: Volts) -> String {
        format!("confirm {}/{} V before ordering", line.0, round_to(line.0 * 3f64.sqrt() / 10.0, 0) * 10.0)
    }

    fn controller_family(&self) -> &'static str {
        "iec-frames"
    }

    fn fault_convention(&self, tolerance_pct: Option<f64>) -> Convention {
        Convention {
            low_voltage: conductor::voltage_factors(tolerance_pct),
            high_voltage: conductor::network_factors(),
            corrected: true,
            motors_left_out: figure("motors-left-out-share"),
        }
    }

    fn returns_by_conductor(&self, earthing: Option<&str>, _system: Option<&str>) -> Option<bool> {
        Some(earthing?.to_ascii_uppercase().starts_with("TN"))
    }

    fn line_contactor(&self) -> bool {
        true
    }

    fn frequency_hz(&self) -> f64 {
        figure("frequency-hz")
    }

    fn one_phase_to_neutral(&self, voltage: Volts) -> bool {
        // IEC 60038, Table 1: supplies of one phase are those of a line and the neutral, as far as a system has that voltage there.
        fits(voltage.0, figure("to-neutral-most-v"))
    }

    fn control_voltage(&self) -> ControlVoltage {
        ControlVoltage { volts: figure("control-voltage-v"), dc: false }
    }

    fn capacitor_discharge(&self) -> (Volts, Seconds, &'static str) {
        (Volts(figure("capacitor-discharge-v")), Seconds(figure("capacitor-discharge-s")), "IEC 60831-1, clause 22")
    }

    fn protection_kind(&self) -> ProtectionKind {
        ProtectionKind::MotorBreaker
    }

    fn efficiency(&self, machine: &Machine, power: Watts) -> Option<f64> {
        // The tables hold for three phases; a single-phase motor is worse than the lowest class.
        let class = machine.class.unwrap_or(EfficiencyClass::Ie1);
        let found = currents::class_efficiency(&mut Record::silent(), class, power, machine.poles, machine.frequency_hz)?;
        let share = figure("single-phase-efficiency");
        Some(if machine.phases == 3 { found.efficiency } else { round_to(found.efficiency * share, 3) })
    }

    fn efficiency_of(&self, machine: &Machine, _: Watts) -> &'static str {
        machine.class.map_or("the lowest class", EfficiencyClass::name)
    }

    fn power_factor(&self, machine: &Machine, power: Watts) -> Option<f64> {
        currents::typical_power_factor(power, machine.poles).map(|value| round_to(value, 3))
    }

    fn other_power_factor(&self) -> f64 {
        figure("other-power-factor")
    }

    fn unknown_class(&self) -> Option<&'static str> {
        Some("contactors as for efficiency class IE3 (AC-3e)")
    }

    fn locked_rotor(&self, machine: &Machine) -> LockedRotor {
        LockedRotor::usual(starting::default_locked_rotor_ratio(machine.class))
    }

    fn starting_power_factor(&self, power: Option<Watts>) -> f64 {
        starting::default_starting_power_factor(power.unwrap_or(Watts(0.0)))
    }

    fn currents(&self, machine: &Machine, _start: &Start, wish: &str, load: &Load, record: &mut Record) -> Option<RatedCurrents> {
        rated::currents(machine, wish, load, record)
    }

    fn switching(
        &self,
        duty: Duty,
        current: Amperes,
        _share: f64,
        machine: &Machine,
        start: &Start,
        record: &mut Record,
    ) -> SwitchingDemand {
        switching_demand(duty, current, machine, start, record)
    }

    fn contactor_rating(&self, demand: &ContactorDemand, offer: &ContactorOffer) -> Amperes {
        iec_contactors::rating(demand, offer)
    }

    fn keep_start_through(&self, demand: &ContactorDemand, offer: &ContactorOffer, record: &mut Record) {
        if demand.starting.0 > 0.0 && offer.ac3_base.0 > 0.0 {
            iec_contactors::rating_for_start(demand, offer, record);
        }
    }

    fn contactor_limits(&self, demand: &ContactorDemand, offer: &ContactorOffer) -> Vec<Limit> {
        iec_contactors::limits(demand, offer)
    }

    fn offers_of_rating(&self, rated: Amperes, demand: &ContactorDemand) -> [ContactorOffer; 2] {
        iec_contactors::offers_of_rating(rated, demand)
    }

    fn trip_classes(&self) -> &'static [&'static str] {
        &["10A", "10", "20", "30"]
    }

    fn bimetal_starts(&self) -> Option<(f64, f64)> {
        Some((overload::bimetal_starts_per_hour(), overload::limits("compensated")?.no_trip_x))
    }

    fn longest_trip(&self, class: &str, multiple: f64, _: Option<f64>) -> Option<Seconds> {
        let row = overload::class_row(tripping::TripClass::parse(class)?)?;
        // The upper end of the class's band, and the upper limit of the current at which any relay trips in the end.
        let ends = overload::limits("electronic")?;
        tripping::longest_cold_trip(Seconds(row.most_s), tripping::class_anchor(), ends.trip_x, multiple)
    }

    fn increased_safety(&self, ask: &IncreasedSafetyAsk<'_>, record: &mut Record) -> ClassDemand {
        let multiple = tripping::multiple(record, ask.starting, ask.setting);
        let trip = tripping::TripClass::parse(ask.class).and_then(|class| tripping::cold_trip_time(record, class, multiple));
        let Some(trip) = trip else { return ClassDemand { need: ask.te, allowed: Seconds(0.0) } };
        let check = overload::increased_safety(record, trip, ask.ratio, ask.te);
        // A tE or a ratio outside what relays protect is no capability, however short the trip.
        let allowed = if check.holds || !check.demand.fits(ask.te) { check.limit } else { Seconds(0.0) };
        ClassDemand { need: check.demand, allowed }
    }

    fn class_factor(&self, class: &str) -> f64 {
        tripping::TripClass::parse(class).map_or(1.0, |class| contactors::class_factor(&mut Record::silent(), class.number))
    }

    fn overload_setting(&self, ask: &OverloadAsk<'_>, record: &mut Record) -> Amperes {
        let winding = 1.0 / 3f64.sqrt();
        let position = if (ask.share - 1.0).abs() < 1e-9 {
            overload::Position::Line
        } else if (ask.share - winding).abs() < 1e-9 {
            overload::Position::Winding
        } else {
            overload::Position::Part(ask.share)
        };
        overload::setting(record, position, ask.rated)
    }

    fn overload_limits(&self, _: &OverloadAsk<'_>, _: Amperes) -> Vec<Limit> {
        Vec::new()
    }

    fn carried_over_setting(&self) -> (f64, &'static str) {
        // A kind that the table lacked would carry nothing more than its setting.
        (overload::limits("electronic").map_or(1.0, |row| row.no_trip_x), "IEC 60947-4-1, Table 3")
    }

    fn wants_phase_loss(&self, phases: u32) -> bool {
        phases == 3
    }

    fn protection_kinds(&self, wish: Known<ProtectionKind>, machine: &Machine, start: &Start) -> Vec<ProtectionKind> {
        protection_kinds(wish, machine, start)
    }

    fn protection_bounds(&self, kind: ProtectionKind, ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds> {
        let carries = carries(ask, record);
        let fuse = matches!(kind, ProtectionKind::Gg | ProtectionKind::Am) && ask.starts;
        let (least, start_reference) = match kind {
            _ if !kind.is_iec() => return None,
            _ if ask.machine.kind == LoadKind::Transformer => (transformer::primary(ask.line, kind, record)?, None),
            ProtectionKind::Am if fuse => {
                (protection::smallest_am_for_start(record, carries, ask.starting, ask.time)?, Some("IEC 60269-1, gates"))
            }
            _ if fuse => {
                (protection::smallest_gg_for_start(record, carries, ask.starting, ask.time)?, Some("IEC 60269-1, gates"))
            }
            _ => (carries, None),
        };
        Some(ProtectionBounds { least, start_reference, ..ProtectionBounds::default() })
    }

    fn fuse_at_start(&self, _: ProtectionKind, _: Amperes, _: &ProtectionAsk<'_>, _: &mut Record) -> Option<FuseStart> {
        // The gates stand in the bounds.
        None
    }

    fn switching_inrush(&self, machine: &Machine, line: Amperes, record: &mut Record) -> Option<Amperes> {
        (machine.kind == LoadKind::Transformer).then(|| transformer::inrush(line, record))
    }

    fn fuses_of(&self, machine: &Machine) -> u32 {
        // IEC 60364-4-43, 431.2.1 and 431.3: the neutral is not interrupted alone, or the load stays live behind a blown link.
        match (machine.phases, machine.neutral) {
            (3, _) => 3,
            (_, true) => 1,
            _ => 2,
        }
    }

    fn breaker_poles(&self, machine: &Machine) -> u32 {
        // IEC 60364-4-43, 431.3: a neutral that is opened is opened with the phases, by a pole of the same device. IEC 60898-1, 4.1: two
        // poles of one phase and neutral.
        match (machine.phases, machine.neutral) {
            (3, true) => 4,
            (3, false) => 3,
            _ => 2,
        }
    }

    fn switched_conductors(&self, machine: &Machine) -> u32 {
        // As its circuit-breaker opens them (431.3): phase and neutral of one phase together.
        if machine.phases == 3 { 3 } else { 2 }
    }

    fn socket_outlets(&self) -> Option<SocketOutlets> {
        let (most, residual_ma) = (Amperes(figure("socket-outlet-most-a")), figure("socket-outlet-residual-ma"));
        Some(SocketOutlets { most, residual_ma, clause: "IEC 60364-4-41, 411.3.3" })
    }

    fn about_device(&self, ask: &DeviceAsk<'_>) -> Vec<Finding> {
        device_notes::about(ask)
    }

    fn isolates_neutral(&self, earthing: Option<&str>) -> Option<&'static str> {
        // The neutral of a TN system is at earth potential; elsewhere it may be live, and all live conductors are parted.
        let at_earth = earthing.is_some_and(|system| system.trim().to_ascii_uppercase().starts_with("TN"));
        (!at_earth).then_some("IEC 60364-4-46, 461.2; IEC 60364-5-53, 537.2 (recalled)")
    }

    fn grounding_rating(&self, _: &str, _: &ProtectionAsk<'_>) -> Option<Amperes> {
        None
    }

    fn disconnect(&self, _: &Machine, _: &RatedCurrents, ask: DisconnectAsk, _: &mut Record) -> DisconnectDemand {
        DisconnectDemand {
            current: ask.current,
            horsepower: None,
            category: "AC-23A",
            always: false,
            reference: "IEC 60947-3, AC-23A",
        }
    }

    fn two_disconnection_times(
        &self,
        to_earth: Volts,
        device: Amperes,
        setting: Amperes,
    ) -> Option<([Seconds; 2], &'static str)> {
        let [taken, other] = [device, setting].map(|current| conductor::disconnection_time(to_earth, current.0));
        let (taken, other) = taken.zip(other)?;
        (!taken.fits(other)).then_some(([taken, other], "IEC 60364-4-41, 411.3.2.2, 411.3.2.3"))
    }

    fn assembly_rating(&self, _: &[RatedPart], _: &mut Record) -> StarterRating {
        StarterRating::NotRated
    }

    fn voltage_suits(&self, _: &str, _: Option<&str>, _: Volts) -> (Option<bool>, &'static str) {
        (Some(true), "")
    }

    fn curve_limits(&self, curve: &str) -> Option<(f64, f64)> {
        protection::line_breaker_band(curve, Amperes(1.0)).map(|band| (band.least.0, band.most.0))
    }

    fn control_device_opens(&self, kind: &str, rating: Amperes) -> Amperes {
        // Breakers of control circuits have curve C.
        let of_fuse = || protection::conventional_gg(rating).map(|row| row.fusing_x);
        rating * if kind == "fuse" { of_fuse().unwrap_or(f64::INFINITY) } else { self.conventional_trip(Some("C")) }
    }

    fn conventional_trip(&self, curve: Option<&str>) -> f64 {
        let (_, industrial) = protection::industrial_breaker_conventional();
        // A curve that the table does not have trips no sooner than those that it has.
        let other = || protection::line_breaker_conventional("D").map_or(industrial, |(_, trips)| trips);
        curve.map_or(industrial, |curve| protection::line_breaker_conventional(curve).map_or_else(other, |(_, trips)| trips))
    }
}

fn switching_demand(duty: Duty, current: Amperes, machine: &Machine, start: &Start, record: &mut Record) -> SwitchingDemand {
    let reference = "IEC 60947-4-1, Table 1";
    let plain = |category: Category, current: Amperes| SwitchingDemand {
        category,
        current,
        high_efficiency: None,
        horsepower: None,
        one_conductor: false,
        reference,
    };
    match duty {
        Duty::Carry => plain(Category::Ac1, current),
        Duty::SlipRing => plain(Category::Ac2, current),
        Duty::Load => match machine.kind {
            LoadKind::Capacitor => plain(Category::Ac6b, current),
            LoadKind::Transformer => plain(Category::Ac6a, current),
            LoadKind::Lighting => plain(Category::Ac5a, current),
            // A motor that something else starts is still switched as one.
            LoadKind::Motor => plain(if machine.household { Category::Ac7b } else { Category::Ac3 }, current),
            // Packaged equipment may hold a hermetic compressor that restarts by itself, or an ordinary motor: AC-8b and AC-3 both hold.
            LoadKind::Packaged => plain(Category::Ac8b, current),
            // Between phase and an earthed neutral one conductor is switched; all poles may share it.
            LoadKind::Heater => SwitchingDemand {
                one_conductor: machine.phases == 1 && machine.neutral,
                ..plain(if machine.household { Category::Ac7a } else { Category::Ac1 }, current)
            },
            LoadKind::Other => plain(Category::Ac3, current),
        },
        Duty::Motor => {
            let brakes = matches!(start.duty, 5 | 7);
            // Behind a soft starter or drive the locked-rotor current never flows; over a drive's bypass it does.
            let soft = start.behind_electronics();
            if !soft && (brakes || switching::inching_asks_for_ac4(start.inching, start.switched_per_hour())) {
                return plain(Category::Ac4, current);
            }
            let stated = (start.ratio.origin != Origin::Default).then_some(start.ratio.value);
            // A household motor of which nothing is stated stays in the category of households.
            let silent = machine.household && machine.class.is_none() && stated.is_none();
            if soft || silent || !switching::is_high_efficiency(machine.class, stated) {
                return plain(if machine.household { Category::Ac7b } else { Category::Ac3 }, current);
            }
            let derate = switching::high_efficiency_factor(record, stated);
            SwitchingDemand { high_efficiency: Some(derate), ..plain(Category::Ac3e, current) }
        }
    }
}

/// The current that the device must carry: more than the line's before capacitors, by their practice, and where the start is not ours. A
/// marked circuit ampacity holds what that start asks for: nothing is put on top of it. Transformers have their own rule.
fn carries(ask: &ProtectionAsk<'_>, record: &mut Record) -> Amperes {
    let (machine, line) = (ask.machine, ask.line);
    if machine.kind == LoadKind::Capacitor {
        // The line current already holds harmonics and tolerance.
        return line * (figure("capacitor-device") / switching::capacitor_demand(&mut Record::silent(), Amperes(1.0)).0);
    }
    if !ask.start.method.supply_only() || matches!(machine.kind, LoadKind::Heater | LoadKind::Transformer) {
        return line;
    }
    match machine.minimum_ampacity.filter(|marked| line.fits(*marked)) {
        Some(marked) => marked,
        None => protection::before_unknown_start(record, figure("unknown-start-device"), line),
    }
}

/// The kinds to be tried, the wanted one first.
fn protection_kinds(wish: Known<ProtectionKind>, machine: &Machine, start: &Start) -> Vec<ProtectionKind> {
    use ProtectionKind::{Am, Gg, MotorBreaker, MouldedCase};
    // An aM fuse protects no drive from overload, though the motor may also start over its bypass.
    let drive = start.method == Method::Drive;
    let starts = start.starts_on_line(machine.kind) && !drive;
    if machine.fuse_only {
        return vec![Gg];
    }
    // A hand-operated starter is a motor-protective circuit-breaker.
    if start.method == Method::Manual {
        return vec![MotorBreaker, MouldedCase];
    }
    // Transformers and capacitors draw an inrush that breakers take for a fault.
    let inrush = matches!(machine.kind, LoadKind::Transformer | LoadKind::Capacitor);
    match wish.value {
        _ if inrush && wish.origin != Origin::Cell => vec![Gg, MouldedCase],
        MotorBreaker if starts => vec![MotorBreaker, MouldedCase, Am],
        MotorBreaker if drive => vec![MotorBreaker, MouldedCase, Gg],
        Gg => vec![Gg, MouldedCase],
        Am if starts => vec![Am, Gg, MouldedCase],
        Am => vec![Gg, MouldedCase],
        _ => vec![MouldedCase, Gg],
    }
}

#[cfg(test)]
mod tests;
