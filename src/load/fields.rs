//! The one table of input columns. Names are canonical, as docs/columns.md has them; order is that in which `blank` writes them.

/// A canonical value and what it means.
pub type Choice = (&'static str, &'static str);

/// The kind of value that a cell of a column may hold.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// Free text.
    Text,
    /// Tags; ranges and lists expand.
    Tags,
    /// A number from the first to the second bound, both included. The first bound is 0 where zero makes sense;
    /// a tiny positive one where it does not.
    Number(f64, f64),
    /// A whole number from the first to the second bound.
    Count(u32, u32),
    /// Yes or no.
    YesNo,
    /// One of a list.
    Choice(&'static [Choice]),
}

impl Kind {
    /// Most that a whole number may be; none for what does not count.
    #[must_use]
    pub fn most_counted(self) -> Option<u32> {
        if let Self::Count(_, most) = self { Some(most) } else { None }
    }
}

/// One input column.
#[derive(Debug)]
pub struct FieldSpec {
    /// Its name in code.
    pub field: Field,
    /// Canonical heading.
    pub name: &'static str,
    /// The kind of value that a cell may hold.
    pub kind: Kind,
    /// Unit, or empty.
    pub unit: &'static str,
    /// Meaning in one line.
    pub meaning: &'static str,
}

macro_rules! fields { ($($field:ident, $name:literal, $kind:expr, $unit:literal, $meaning:literal;)*) => {
    /// Name of an input column; its number is its index in [`FIELDS`].
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
    #[repr(usize)]
    pub enum Field { $(#[doc = $meaning] $field),* }

    /// All input columns.
    pub const FIELDS: &[FieldSpec] = &[$(FieldSpec { field: Field::$field, name: $name, kind: $kind, unit: $unit, meaning: $meaning }),*];
}; }

impl Field {
    /// Its row of the table.
    #[must_use]
    pub fn spec(self) -> &'static FieldSpec {
        &FIELDS[self as usize]
    }

    /// The field of a canonical heading.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        FIELDS.iter().find(|spec| spec.name == name).map(|spec| spec.field)
    }
}

/// Smallest number that counts as more than nothing.
const SOME: f64 = 1e-6;

/// Least power in kW, kVA or kvar and least current in A of a load. Designs write currents with four decimals: 1 W at 1000 V still draws a
/// few of the last, and a load of far less would draw nothing in what is handed on.
const LEAST_LOAD: f64 = 1e-3;

/// The same in horsepower.
const LEAST_HORSEPOWER: f64 = 2e-3;

const RUNNING: &[Choice] = &[
    ("duty", "runs"),
    ("standby", "runs when a duty machine does not"),
    ("assist", "runs beside the duty machine at high demand"),
    ("spare", "an equipped spare way"),
];
const SUPPLY_CLASS: &[Choice] =
    &[("normal", "normal supply"), ("essential", "essential supply"), ("emergency", "emergency supply")];
const LOAD_KIND: &[Choice] = &[
    ("motor", "motor"),
    ("heater", "resistive heater"),
    ("transformer", "transformer"),
    ("capacitor", "capacitor"),
    ("packaged", "equipment with its own controls"),
    ("lighting", "lighting"),
    ("other", "any other load"),
];
/// NEMA MG 1, 10.37; NFPA 70, Table 430.7(B).
const LOCKED_ROTOR_CODE: &[Choice] = &[
    ("A", "less than 3.15 kVA for each horsepower"),
    ("B", "3.15 to 3.54 kVA for each horsepower"),
    ("C", "3.55 to 3.99 kVA for each horsepower"),
    ("D", "4.0 to 4.49 kVA for each horsepower"),
    ("E", "4.5 to 4.99 kVA for each horsepower"),
    ("F", "5.0 to 5.59 kVA for each horsepower"),
    ("G", "5.6 to 6.29 kVA for each horsepower"),
    ("H", "6.3 to 7.09 kVA for each horsepower"),
    ("J", "7.1 to 7.99 kVA for each horsepower"),
    ("K", "8.0 to 8.99 kVA for each horsepower"),
    ("L", "9.0 to 9.99 kVA for each horsepower"),
    ("M", "10.0 to 11.19 kVA for each horsepower"),
    ("N", "11.2 to 12.49 kVA for each horsepower"),
    ("P", "12.5 to 13.99 kVA for each horsepower"),
    ("R", "14.0 to 15.99 kVA for each horsepower"),
    ("S", "16.0 to 17.99 kVA for each horsepower"),
    ("T", "18.0 to 19.99 kVA for each horsepower"),
    ("U", "20.0 to 22.39 kVA for each horsepower"),
    ("V", "22.4 and more kVA for each horsepower"),
];
const EFFICIENCY_CLASS: &[Choice] = &[
    ("IE1", "standard efficiency"),
    ("IE2", "high efficiency"),
    ("IE3", "premium efficiency"),
    ("IE4", "super premium efficiency"),
    ("IE5", "ultra premium efficiency"),
    ("NEMA-premium", "premium efficiency after NEMA MG 1"),
    ("energy-efficient", "energy efficient after NEMA MG 1"),
];
const LOAD_TORQUE: &[Choice] = &[
    ("quadratic", "rises with the square of speed: pumps and fans"),
    ("linear", "rises with speed"),
    ("constant", "independent of speed: hoists, conveyors, compressors under load"),
    ("high-breakaway", "needs much torque to break away: mills, crushers, loaded conveyors"),
];
const PROTECTION_LIMIT_KIND: &[Choice] = &[("fuse", "fuse only"), ("fuse-or-breaker", "fuse or circuit-breaker")];
const STARTING_METHOD: &[Choice] = &[
    ("direct", "direct-on-line"),
    ("star-delta", "star-delta, open transition"),
    ("star-delta-closed", "star-delta, closed transition"),
    ("autotransformer", "autotransformer, closed transition"),
    ("part-winding", "part winding"),
    ("soft-starter", "soft starter in the line"),
    ("soft-starter-inside-delta", "soft starter inside the delta"),
    ("drive", "variable-speed drive"),
    ("two-speed-dahlander", "two speeds, one tapped winding"),
    ("two-speed-separate", "two speeds, two windings"),
    ("two-speed", "two speeds, kind unknown"),
    ("rotor-resistance", "slip-ring motor with rotor resistance"),
    ("primary-resistor", "resistor in the stator line"),
    ("reactor", "reactor in the stator line"),
    ("manual", "hand-operated starter"),
    ("contactor", "switched load that is no motor"),
    ("feeder", "supply only; the starter is in the equipment"),
    ("by-others", "the starter is supplied by others"),
    ("none", "no starter"),
];
const COORDINATION: &[Choice] = &[
    ("type-1", "safe after a short circuit; may need repair"),
    ("type-2", "safe and fit for further use after a short circuit"),
];
const CONDUCTOR: &[Choice] = &[("copper", "copper"), ("aluminium", "aluminium")];
const DRIVEN_BY: &[Choice] = &[
    ("plc-output", "output of a controller"),
    ("relay", "relay contact"),
    ("pushbutton", "push-button"),
    ("thermostat", "thermostat"),
    ("other", "other"),
];
/// Columns of which each says what a load draws.
pub const SAY_WHAT_IT_DRAWS: &[Field] = &[
    Field::RatedPowerKw,
    Field::RatedPowerHp,
    Field::RatedPowerKva,
    Field::ReactivePowerKvar,
    Field::FullLoadCurrentA,
    Field::RatedLoadCurrentA,
    Field::MinimumCircuitAmpacityA,
];

const FEEDBACK_LEVEL: &[Choice] = &[
    ("logic", "electronic input, down to 1 mA at 3 V DC"),
    ("24 V", "24 V"),
    ("mains", "mains voltage"),
    ("none", "no feedback"),
];
const CONTROL_WIRES: &[Choice] = &[("two", "maintained contact"), ("three", "momentary start and stop")];
const RESET_MODE: &[Choice] = &[("manual", "manual reset"), ("auto", "automatic reset")];
const EMERGENCY_STOP: &[Choice] =
    &[("none", "none"), ("category-0", "power removed at once"), ("category-1", "controlled stop, then power removed")];
const ENVIRONMENT: &[Choice] = &[
    ("normal", "normal"),
    ("hazardous", "explosive atmosphere possible"),
    ("outdoor", "outdoors"),
    ("household", "in a household or the like"),
    ("corrosive", "corrosive"),
    ("washdown", "washed down"),
    ("dusty", "dusty"),
];
const LOCATION: &[Choice] = &[("dry", "dry"), ("wet", "wet"), ("rooftop", "on a roof in the sun")];

fields! {
    Tag, "tag", Kind::Tags, "", "equipment tag; unique; ranges and lists expand";
    Description, "description", Kind::Text, "", "what it is";
    Board, "board", Kind::Text, "", "board, motor control centre or panel that feeds it";
    Quantity, "quantity", Kind::Count(1, 10_000), "", "identical loads under one row";
    Running, "running", Kind::Choice(RUNNING), "", "duty, standby, assist or equipped spare way";
    DutyGroup, "duty_group", Kind::Text, "", "group of which only some run";
    DutyCount, "duty_count", Kind::Count(0, 10_000), "", "how many of the group run at most";
    StandbyCount, "standby_count", Kind::Count(0, 10_000), "", "how many of the group stand by";
    Circuit, "circuit", Kind::Text, "", "rows that share one branch circuit";
    MotorsPerStarter, "motors_per_starter", Kind::Count(1, 100), "", "equal motors behind one starter, each with relay and run of its own; power, currents and lengths are those of one";
    Stages, "stages", Kind::Count(1, 100), "", "heater steps";
    DemandFactor, "demand_factor", Kind::Number(0.0, 1.0), "", "share of the load that counts in the board's demand";
    SupplyClass, "supply_class", Kind::Choice(SUPPLY_CLASS), "", "normal, essential or emergency supply";
    ServiceClass, "service_class", Kind::Text, "", "general, fire-pump, smoke-control, elevator, crane, healthcare-essential, ...";
    LoadKind, "load_kind", Kind::Choice(LOAD_KIND), "", "kind of load";
    RatedPowerKw, "rated_power_kw", Kind::Number(LEAST_LOAD, 100_000.0), "kW", "shaft power of a motor, input power of other loads";
    RatedPowerHp, "rated_power_hp", Kind::Number(LEAST_HORSEPOWER, 100_000.0), "hp", "shaft power of a motor in horsepower";
    RatedPowerKva, "rated_power_kva", Kind::Number(LEAST_LOAD, 100_000.0), "kVA", "apparent power";
    ReactivePowerKvar, "reactive_power_kvar", Kind::Number(LEAST_LOAD, 100_000.0), "kvar", "reactive power of a capacitor";
    RatedPowerLowKw, "rated_power_low_kw", Kind::Number(LEAST_LOAD, 100_000.0), "kW", "shaft power at low speed";
    RatedPowerLowHp, "rated_power_low_hp", Kind::Number(LEAST_HORSEPOWER, 100_000.0), "hp", "shaft power at low speed in horsepower";
    FullLoadCurrentLowA, "full_load_current_low_a", Kind::Number(LEAST_LOAD, 100_000.0), "A", "rated current at low speed";
    AbsorbedPowerKw, "absorbed_power_kw", Kind::Number(SOME, 100_000.0), "kW", "shaft power at the duty point";
    VoltageV, "voltage_v", Kind::Number(SOME, 100_000.0), "V", "rated voltage of the equipment";
    Phases, "phases", Kind::Count(1, 3), "", "1 or 3 phases";
    FrequencyHz, "frequency_hz", Kind::Number(SOME, 400.0), "Hz", "rated frequency";
    Supply, "supply", Kind::Text, "", "voltage, phases and frequency together, such as 400/3/50";
    Connection, "connection", Kind::Text, "", "3L, 3L+N, L-L or L-N";
    Phase, "phase", Kind::Text, "", "which phases a single-phase load is on";
    ThirdHarmonicPct, "third_harmonic_pct", Kind::Number(0.0, 100.0), "%", "third-harmonic current of each phase over its rated current, where a three-phase load has a neutral";
    MotorVoltages, "motor_voltages", Kind::Text, "V", "voltages of the winding, such as 400/690";
    MotorLeads, "motor_leads", Kind::Count(3, 18), "", "leads brought out";
    FullLoadCurrentA, "full_load_current_a", Kind::Number(LEAST_LOAD, 100_000.0), "A", "rated current on the nameplate";
    RatedLoadCurrentA, "rated_load_current_a", Kind::Number(LEAST_LOAD, 100_000.0), "A", "rated-load current of a hermetic refrigerant motor-compressor (RLA), instead of full_load_current_a";
    BranchSelectionCurrentA, "branch_selection_current_a", Kind::Number(LEAST_LOAD, 100_000.0), "A", "branch-circuit selection current of a hermetic refrigerant motor-compressor (BCSC), where one is marked";
    EfficiencyPct, "efficiency_pct", Kind::Number(1.0, 100.0), "%", "efficiency at rated output";
    PowerFactor, "power_factor", Kind::Number(0.01, 1.0), "", "power factor at rated output";
    EfficiencyClass, "efficiency_class", Kind::Choice(EFFICIENCY_CLASS), "", "efficiency class";
    Poles, "poles", Kind::Count(2, 48), "", "number of poles";
    SpeedRpm, "speed_rpm", Kind::Number(SOME, 100_000.0), "1/min", "rated speed";
    ServiceFactor, "service_factor", Kind::Number(0.5, 2.0), "", "service factor";
    TemperatureRiseC, "temperature_rise_c", Kind::Number(SOME, 300.0), "K", "temperature rise on the nameplate";
    LockedRotorRatio, "locked_rotor_ratio", Kind::Number(1.0, 20.0), "", "starting current over rated current";
    LockedRotorCurrentA, "locked_rotor_current_a", Kind::Number(SOME, 1_000_000.0), "A", "locked-rotor current on the nameplate (LRA), instead of locked_rotor_ratio; over full_load_current_a or rated_load_current_a of the row";
    StartingPowerFactor, "starting_power_factor", Kind::Number(0.01, 1.0), "", "power factor at locked rotor";
    LockedRotorCode, "locked_rotor_code", Kind::Choice(LOCKED_ROTOR_CODE), "", "NEMA code letter";
    DesignLetter, "design_letter", Kind::Text, "", "design letter of the motor";
    StartTimeS, "start_time_s", Kind::Number(SOME, 3_600.0), "s", "start time at full voltage";
    StallTimeS, "stall_time_s", Kind::Number(SOME, 3_600.0), "s", "permissible locked-rotor time, hot";
    LoadTorque, "load_torque", Kind::Choice(LOAD_TORQUE), "", "how the load's torque depends on speed";
    InertiaKgm2, "inertia_kgm2", Kind::Number(SOME, 1e6), "kg m²", "moment of inertia at the motor shaft";
    LockedRotorTorqueRatio, "locked_rotor_torque_ratio", Kind::Number(0.05, 10.0), "", "starting torque over rated torque";
    BreakdownTorqueRatio, "breakdown_torque_ratio", Kind::Number(0.05, 10.0), "", "breakdown torque over rated torque";
    RotorCurrentA, "rotor_current_a", Kind::Number(SOME, 100_000.0), "A", "rotor current of a slip-ring motor";
    RotorVoltageV, "rotor_voltage_v", Kind::Number(SOME, 100_000.0), "V", "rotor voltage at standstill";
    TapPct, "tap_pct", Kind::Number(10.0, 95.0), "%", "tap of the autotransformer, or starting voltage of a resistor or reactor";
    StartCurrentLimit, "start_current_limit", Kind::Number(1.0, 10.0), "", "current limit of a soft starter over rated current";
    DriveInputCurrentA, "drive_input_current_a", Kind::Number(SOME, 100_000.0), "A", "rated input current of the drive";
    Bypass, "bypass", Kind::YesNo, "", "bypass contactor wanted";
    LineContactor, "line_contactor", Kind::YesNo, "", "line contactor wanted";
    MinimumCircuitAmpacityA, "minimum_circuit_ampacity_a", Kind::Number(SOME, 100_000.0), "A", "marked on packaged equipment";
    MaximumProtectionA, "maximum_protection_a", Kind::Number(SOME, 100_000.0), "A", "marked on packaged equipment; never exceeded";
    MaximumProtectionKind, "maximum_protection_kind", Kind::Choice(PROTECTION_LIMIT_KIND), "", "which device the marking allows";
    EquipmentSccrKa, "equipment_sccr_ka", Kind::Number(SOME, 1_000.0), "kA", "short-circuit current rating of the equipment";
    StartingMethod, "starting_method", Kind::Choice(STARTING_METHOD), "", "how it is started";
    Reversing, "reversing", Kind::YesNo, "", "runs in both directions";
    Duty, "duty", Kind::Text, "", "S1 to S10, or continuous, short-time, intermittent";
    StartsPerHour, "starts_per_hour", Kind::Number(0.0, 10_000.0), "1/h", "starts an hour";
    InchingSharePct, "inching_share_pct", Kind::Number(0.0, 100.0), "%", "share of operations broken at locked-rotor current";
    RequiredOperations, "required_operations", Kind::Number(1.0, 1e9), "", "operations over the wanted life";
    CableLengthM, "cable_length_m", Kind::Number(0.0, 100_000.0), "m", "motor run, one way";
    CableLengthFt, "cable_length_ft", Kind::Number(0.0, 300_000.0), "ft", "motor run, one way, in feet";
    SupplyLengthM, "supply_length_m", Kind::Number(0.0, 100_000.0), "m", "supply run where the starter stands apart";
    ControlCableLengthM, "control_cable_length_m", Kind::Number(0.0, 100_000.0), "m", "to the remote control station, one way";
    ProtectionKind, "protection_kind", Kind::Text, "", "motor-breaker, moulded-case, gG, aM, ...";
    InstallationMethod, "installation_method", Kind::Text, "", "reference method or raceway; a route such as D2+E is governed by its worst part";
    Conductor, "conductor", Kind::Choice(CONDUCTOR), "", "conductor material";
    Insulation, "insulation", Kind::Text, "", "pvc or xlpe; or the conductor type";
    AmbientC, "ambient_c", Kind::Number(-50.0, 120.0), "°C", "air temperature at the cable";
    GroundC, "ground_c", Kind::Number(-30.0, 80.0), "°C", "ground temperature";
    SoilKMW, "soil_k_m_w", Kind::Number(0.1, 10.0), "K·m/W", "thermal resistivity of the soil";
    Location, "location", Kind::Choice(LOCATION), "", "dry, wet or on a roof";
    GroupedCircuits, "grouped_circuits", Kind::Count(1, 1_000), "", "circuits in the group, itself included";
    Coordination, "coordination", Kind::Choice(COORDINATION), "", "co-ordination type wanted";
    ControlVoltage, "control_voltage", Kind::Text, "", "such as 24 V DC or 230 V AC";
    DrivenBy, "driven_by", Kind::Choice(DRIVEN_BY), "", "what switches the coil";
    PlcOutputA, "plc_output_a", Kind::Number(SOME, 100.0), "A", "rating of the controller's output";
    AuxNo, "aux_no", Kind::Count(0, 100), "", "further normally open contacts wanted";
    AuxNc, "aux_nc", Kind::Count(0, 100), "", "further normally closed contacts wanted";
    FeedbackLevel, "feedback_level", Kind::Choice(FEEDBACK_LEVEL), "", "what the feedback contact switches; 24 V where nothing is said";
    InterlockWith, "interlock_with", Kind::Text, "", "tags of loads whose contactors it is interlocked with";
    ControlWires, "control_wires", Kind::Choice(CONTROL_WIRES), "", "two- or three-wire control";
    ControlStation, "control_station", Kind::Text, "", "local-off-remote, hand-off-auto, start-stop, ...";
    Indicators, "indicators", Kind::Text, "", "lamps, ammeter, hour meter";
    ResetMode, "reset_mode", Kind::Choice(RESET_MODE), "", "reset of the overload relay";
    UndervoltageRelease, "undervoltage_release", Kind::YesNo, "", "undervoltage release wanted";
    EmergencyStop, "emergency_stop", Kind::Choice(EMERGENCY_STOP), "", "stop category";
    SafetyLevel, "safety_level", Kind::Text, "", "PL a-e, SIL 1-3 or category B-4";
    Isolator, "isolator", Kind::YesNo, "", "local isolator wanted";
    Enclosure, "enclosure", Kind::Text, "", "IP code or enclosure type";
    SpaceHeaterW, "space_heater_w", Kind::Number(0.0, 100_000.0), "W", "anti-condensation heater";
    Thermistor, "thermistor", Kind::Text, "", "thermistors in the winding: yes, no or their number";
    RtdCount, "rtd_count", Kind::Count(0, 100), "", "resistance thermometers";
    BrakeW, "brake_w", Kind::Number(0.0, 100_000.0), "W", "brake";
    TeS, "te_s", Kind::Number(SOME, 1_000.0), "s", "time tE of an increased-safety motor";
    ExMarking, "ex_marking", Kind::Text, "", "marking for explosive atmospheres, or zone or class and division of the place; none where there is none";
    Environment, "environment", Kind::Choice(ENVIRONMENT), "", "surroundings";
    GivenContactorA, "given_contactor_a", Kind::Number(SOME, 100_000.0), "A", "contactor chosen by others";
    GivenNemaSize, "given_nema_size", Kind::Text, "", "starter size chosen by others";
    GivenOverloadRangeA, "given_overload_range_a", Kind::Text, "A", "overload range chosen by others";
    GivenOverloadSettingA, "given_overload_setting_a", Kind::Number(SOME, 100_000.0), "A", "overload setting chosen by others";
    GivenTripClass, "given_trip_class", Kind::Text, "", "trip class chosen by others";
    GivenProtectionKind, "given_protection_kind", Kind::Text, "", "protective device chosen by others";
    GivenProtectionA, "given_protection_a", Kind::Number(SOME, 100_000.0), "A", "its rating";
    GivenMagneticA, "given_magnetic_a", Kind::Number(SOME, 1_000_000.0), "A", "its magnetic trip";
    GivenConductor, "given_conductor", Kind::Text, "", "conductor chosen by others";
    GivenParallel, "given_parallel", Kind::Count(1, 100), "", "its number in parallel";
    GivenProtectiveConductor, "given_protective_conductor", Kind::Text, "", "protective conductor chosen by others";
    GivenRaceway, "given_raceway", Kind::Text, "", "raceway chosen by others";
    RowRevision, "row_revision", Kind::Text, "", "the sender's revision mark";
    Section, "section", Kind::Text, "", "section of the sender's table";
    InterlockNote, "interlock_note", Kind::Text, "", "the sender's words on interlocks";
    FeedbackNote, "feedback_note", Kind::Text, "", "the sender's words on feedback";
    Notes, "notes", Kind::Text, "", "the sender's notes";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_of_a_field_is_its_index_and_names_are_unique() {
        for (index, spec) in FIELDS.iter().enumerate() {
            assert_eq!(spec.field as usize, index);
            assert_eq!(Field::from_name(spec.name), Some(spec.field), "{}", spec.name);
        }
    }
}
