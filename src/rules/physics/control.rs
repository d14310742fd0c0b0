//! Control circuits: power of coils as phasors, control transformers and direct-current supplies, voltage at the coil, and how far
//! away a contact may stand, by voltage drop at pick-up and by the capacitance of its cable at release.

use serde::Deserialize;

use super::starting::PracticeRow;
use crate::quantity::{Amperes, Metres, SquareMillimetres, Vars, VoltAmperes, Volts, Watts};
use crate::record::{Formula, Record};

/// Which contactors of a starting method pick up together.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TogetherRow {
    method: String,
    together: String,
}

/// Cores of the cable to a control station.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoreRow {
    contact: String,
    first: u32,
    further: u32,
    protective: u32,
}

table! {
    /// Figures of control circuits.
    PRACTICE, PRACTICE_ROWS: PracticeRow, "control-practice"
}
table! {
    /// Contactors that pick up together.
    TOGETHER, TOGETHER_ROWS: TogetherRow, "control-together"
}
table! {
    /// Cores to a control station.
    CORES, CORE_ROWS: CoreRow, "control-station-cores"
}

/// A figure of the practice table; undefined for a name that it lacks, which fits nothing. A test finds such a name.
#[must_use]
pub fn practice(name: &str) -> f64 {
    PRACTICE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Roles of a method that pick up together; empty if each picks up alone.
pub fn together(method: &str) -> impl Iterator<Item = &'static str> {
    let rows = TOGETHER_ROWS.iter().filter(move |row| row.method == method);
    rows.flat_map(|row| row.together.split('+')).map(str::trim).filter(|role| !role.is_empty())
}

/// Cores to a contact of that kind (`two-wire`, `three-wire`, `plc-output`), and those of the protective conductor besides; none for
/// a kind that the table lacks. `touchable` says that its voltage asks for a protective conductor.
#[must_use]
pub fn cores(contact: &str, commands: u32, touchable: bool) -> Option<(u32, u32)> {
    let row = CORE_ROWS.iter().find(|row| row.contact == contact)?;
    Some((row.first + row.further * commands.saturating_sub(1), if touchable { row.protective } else { 0 }))
}

/// Power of coils: the sum of magnitudes, and the phasor as long as every power factor is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Burden {
    /// Sum of the magnitudes.
    pub arithmetic: VoltAmperes,
    /// Active and reactive power; none if a power factor is not known.
    pub phasor: Option<(Watts, Vars)>,
}

impl Default for Burden {
    fn default() -> Self {
        Self { arithmetic: VoltAmperes(0.0), phasor: Some((Watts(0.0), Vars(0.0))) }
    }
}

impl Burden {
    /// An apparent power at a power factor.
    #[must_use]
    pub fn of(power: VoltAmperes, power_factor: Option<f64>) -> Self {
        let phasor = |factor: f64| (Watts(power.0 * factor), Vars(power.0 * reactive_share(factor)));
        Self { arithmetic: power, phasor: power_factor.map(phasor) }
    }

    /// A power of direct current.
    #[must_use]
    pub fn direct(power: Watts) -> Self {
        Self::of(VoltAmperes(power.0), Some(1.0))
    }

    /// So many of the same.
    #[must_use]
    pub fn times(self, number: f64) -> Self {
        let phasor = self.phasor.map(|(active, reactive)| (active * number, reactive * number));
        Self { arithmetic: self.arithmetic * number, phasor }
    }

    /// Magnitude: of the phasor where it is known, else the sum of magnitudes, which is never less.
    #[must_use]
    pub fn magnitude(self) -> VoltAmperes {
        self.phasor
            .map_or(self.arithmetic, |(active, reactive)| VoltAmperes((active.0 * active.0 + reactive.0 * reactive.0).sqrt()))
    }

    /// Power factor of the phasor.
    #[must_use]
    pub fn power_factor(self) -> Option<f64> {
        let (active, _) = self.phasor?;
        let magnitude = self.magnitude().0;
        (magnitude > 0.0).then(|| active.0 / magnitude)
    }
}

impl std::ops::Add for Burden {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let phasor = self.phasor.zip(other.phasor).map(|((p, q), (r, s))| (p + r, q + s));
        Self { arithmetic: self.arithmetic + other.arithmetic, phasor }
    }
}

impl std::iter::Sum for Burden {
    fn sum<I: Iterator<Item = Self>>(burdens: I) -> Self {
        burdens.fold(Self::default(), |a, b| a + b)
    }
}

fn reactive_share(power_factor: f64) -> f64 {
    (1.0 - power_factor * power_factor).max(0.0).sqrt()
}

formula! {
    /// Active power while contactors pick up.
    EVENT_ACTIVE: "active power while contactors pick up", "W", "circuit theory";
    "P = Ph + Pp"; "Ph+Pp"; |Ph, Pp| Ph + Pp
}
formula! {
    /// Reactive power while contactors pick up.
    EVENT_REACTIVE: "reactive power while contactors pick up", "var", "circuit theory";
    "Q = Qh + Qp"; "Qh+Qp"; |Qh, Qp| Qh + Qp
}
formula! {
    /// Apparent power while contactors pick up.
    EVENT_VECTOR: "power while contactors pick up, vector sum", "VA", "circuit theory";
    "S = √(P² + Q²)"; "SQRT(P^2+Q^2)"; |P, Q| (P * P + Q * Q).sqrt()
}
formula! {
    /// The same by the method of selection guides.
    EVENT_ROOT: "power while contactors pick up, root of the squares", "VA", "selection guides of two makers";
    "S = √(Sh² + Sp²)"; "SQRT(Sh^2+Sp^2)"; |Sh, Sp| (Sh * Sh + Sp * Sp).sqrt()
}
formula! {
    /// The same on the safe side.
    EVENT_ARITHMETIC: "power while contactors pick up, arithmetic sum", "VA", "selection guides of two makers: the safe side";
    "S = Sh + Sp"; "Sh+Sp"; |Sh, Sp| Sh + Sp
}
formula! {
    /// Rating that the coils which hold ask for.
    CONTINUOUS: "continuous power of the control supply", "VA", "common practice, no source";
    "S = m Sh"; "m*Sh"; |m, Sh| m * Sh
}
formula! {
    /// Drop inside the transformer.
    REGULATION: "voltage drop in the control transformer", "%", "circuit theory: regulation of a transformer";
    "u = (S / Sr) (ur cosφ + ux sinφ)"; "S/Sr*(ur*pf+ux*SQRT(1-pf^2))";
    |S, Sr, ur, ux, pf| S / Sr * (ur * pf + ux * reactive_share(pf))
}
formula! {
    /// Drop inside the transformer at the worst power factor.
    REGULATION_WORST: "largest voltage drop in the control transformer", "%", "circuit theory: regulation of a transformer";
    "u = (S / Sr) √(ur² + ux²)"; "S/Sr*SQRT(ur^2+ux^2)"; |S, Sr, ur, ux| S / Sr * (ur * ur + ux * ux).sqrt()
}
formula! {
    /// Voltage at the coil.
    COIL_VOLTAGE: "voltage at the coil while it picks up", "%", "limits of operation of coils";
    "Uc = r (1 − ul/100) (100 − u) − uk"; "r*(1-ul/100)*(100-u)-uk"; |r, ul, u, uk| r * (1.0 - ul / 100.0) * (100.0 - u) - uk
}
formula! {
    /// Largest voltage at the coil.
    COIL_HIGHEST: "highest voltage at the coil", "%", "limits of operation of coils";
    "Uc = r (100 + uh)"; "r*(100+uh)"; |r, uh| r * (100.0 + uh)
}
formula! {
    /// Drop in a control run.
    RUN_DROP: "voltage drop in the control run", "%", "application handbook (2009), control lines; power factor 1 on the safe side";
    "u = 200 l S / (κ A U²)"; "200*l*S/(kappa*A*U^2)"; |l, S, kappa, A, U| 200.0 * l * S / (kappa * A * U * U)
}
formula! {
    /// Reach of a control run by its drop.
    RUN_REACH: "longest control run by voltage drop", "m", "application handbook (2009), control lines";
    "l = u κ A U² / (200 S)"; "u*kappa*A*U^2/(200*S)"; |u, kappa, A, U, S| u * kappa * A * U * U / (200.0 * S)
}
formula! {
    /// Reach of a control run by its capacitance.
    CAPACITANCE_REACH: "longest control run by capacitance", "m", "utility design note (2007): coil in series with the capacitance";
    "l = m / (1 + m) · 10⁹ S / (2π f c U²)"; "m/(1+m)*1000000000*S/(2*3.14159265358979*f*c*U^2)";
    |m, S, f, c, U| m / (1.0 + m) * 1e9 * S / (2.0 * std::f64::consts::PI * f * c * U * U)
}
formula! {
    /// Voltage that capacitance leaves at a coil.
    RESIDUAL: "voltage left at the coil by the capacitance of the run", "%", "circuit theory: coil in series with the capacitance";
    "u = 100 B / (b − B), B = 2π f C, b = S / U²";
    "100*(2*3.14159265358979*f*C/1000000)/(S/U^2-2*3.14159265358979*f*C/1000000)";
    |f, C, S, U| {
        let cable = 2.0 * std::f64::consts::PI * f * C / 1e6;
        100.0 * cable / (S / (U * U) - cable)
    }
}
formula! {
    /// Power of a resistor beside the coil that makes it release.
    SWAMPING: "power of a resistor beside the coil that lets it release", "W", "circuit theory: admittances in parallel";
    "P = U² √((B/m)² − (b − B)²), B = 2π f C, b = S / U²";
    "U^2*SQRT(MAX((2*3.14159265358979*f*C/1000000/m)^2-(S/U^2-2*3.14159265358979*f*C/1000000)^2,0))";
    |U, f, C, S, m| {
        let cable = 2.0 * std::f64::consts::PI * f * C / 1e6;
        let coil = S / (U * U) - cable;
        U * U * (cable * cable / (m * m) - coil * coil).max(0.0).sqrt()
    }
}
formula! {
    /// Current of a power at the coil voltage.
    COIL_CURRENT: "current of the coils", "A", "circuit theory";
    "I = S / U"; "S/U"; |S, U| S / U
}
formula! {
    /// The current that a controller's output may carry.
    OUTPUT_LIMIT: "current that a coil may draw from the output", "A", "rule of one technical page";
    "I = a Ir"; "a*Ir"; |a, Ir| a * Ir
}
formula! {
    /// The voltage that leaks through an output at rest.
    LEAKAGE: "voltage left at the coil by the output's leakage", "%", "circuit theory";
    "u = 0.1 I U / P"; "0.1*I*U/P"; |I, U, P| 0.1 * I * U / P
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[
    &EVENT_ACTIVE,
    &EVENT_REACTIVE,
    &EVENT_VECTOR,
    &EVENT_ROOT,
    &EVENT_ARITHMETIC,
    &CONTINUOUS,
    &REGULATION,
    &REGULATION_WORST,
    &COIL_VOLTAGE,
    &COIL_HIGHEST,
    &RUN_DROP,
    &RUN_REACH,
    &CAPACITANCE_REACH,
    &RESIDUAL,
    &SWAMPING,
    &COIL_CURRENT,
    &OUTPUT_LIMIT,
    &LEAKAGE,
];

/// Power while a group of contactors picks up and all else holds, by three methods.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// Vector sum, and its power factor; none if a power factor is not known.
    pub vector: Option<(VoltAmperes, f64)>,
    /// Root of the sum of squares.
    pub root: VoltAmperes,
    /// Arithmetic sum.
    pub arithmetic: VoltAmperes,
}

impl Event {
    /// The power that decides: the vector sum where it is known, else the arithmetic one, which is on the safe side.
    #[must_use]
    pub fn power(&self) -> VoltAmperes {
        self.vector.map_or(self.arithmetic, |(power, _)| power)
    }

    /// How [`Event::power`] was added up.
    #[must_use]
    pub fn method(&self) -> &'static str {
        if self.vector.is_some() { "vector" } else { "arithmetic" }
    }
}

/// Adds what holds and what picks up; all three sums are kept in the working.
pub fn event(record: &mut Record, holds: Burden, picks_up: Burden) -> Event {
    let vector = holds.phasor.zip(picks_up.phasor).map(|((held, held_reactive), (pulled, pulled_reactive))| {
        let active = record.step(&EVENT_ACTIVE, &[held.0, pulled.0]);
        let reactive = record.step(&EVENT_REACTIVE, &[held_reactive.0, pulled_reactive.0]);
        let power = record.step(&EVENT_VECTOR, &[active, reactive]);
        (VoltAmperes(power), if power > 0.0 { active / power } else { 1.0 })
    });
    let (sealed, inrush) = (holds.magnitude().0, picks_up.magnitude().0);
    Event {
        vector,
        root: VoltAmperes(record.step(&EVENT_ROOT, &[sealed, inrush])),
        arithmetic: VoltAmperes(record.step(&EVENT_ARITHMETIC, &[sealed, inrush])),
    }
}

/// Rating that the power of the coils which hold asks of a control supply, with its margin.
pub fn continuous_need(record: &mut Record, holds: Burden, margin: f64) -> VoltAmperes {
    VoltAmperes(record.step(&CONTINUOUS, &[margin, holds.magnitude().0]))
}

/// A control transformer as its drop sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Regulation {
    /// Rated power.
    pub rating: VoltAmperes,
    /// Resistive short-circuit voltage, per cent.
    pub resistive_pct: f64,
    /// Reactive short-circuit voltage, per cent.
    pub reactive_pct: f64,
}

/// Drop inside a control transformer, per cent; at the worst power factor where none is known.
pub fn transformer_drop(record: &mut Record, power: VoltAmperes, power_factor: Option<f64>, regulation: Regulation) -> f64 {
    let Regulation { rating, resistive_pct, reactive_pct } = regulation;
    match power_factor {
        Some(factor) => record.step(&REGULATION, &[power.0, rating.0, resistive_pct, reactive_pct, factor]),
        None => record.step(&REGULATION_WORST, &[power.0, rating.0, resistive_pct, reactive_pct]),
    }
}

/// Voltage at a coil while it picks up, per cent of its rated voltage: `ratio` of the supply's nominal voltage to the coil's, the
/// supply below it, drop in the supply, and drop of the run.
pub fn coil_voltage(record: &mut Record, ratio: f64, low_pct: f64, drop_pct: f64, run_pct: f64) -> f64 {
    record.step(&COIL_VOLTAGE, &[ratio, low_pct, drop_pct, run_pct])
}

/// Highest voltage at a coil, per cent of its rated voltage.
pub fn highest_coil_voltage(record: &mut Record, ratio: f64, high_pct: f64) -> f64 {
    record.step(&COIL_HIGHEST, &[ratio, high_pct])
}

/// Drop in a control run, per cent; the length is one way.
pub fn run_drop(record: &mut Record, length: Metres, power: VoltAmperes, size: SquareMillimetres, voltage: Volts) -> f64 {
    record.step(&RUN_DROP, &[length.0, power.0, practice("conductivity"), size.0, voltage.0])
}

/// Longest control run by a drop in per cent, one way.
pub fn run_reach(record: &mut Record, drop_pct: f64, power: VoltAmperes, size: SquareMillimetres, voltage: Volts) -> Metres {
    Metres(record.step(&RUN_REACH, &[drop_pct, practice("conductivity"), size.0, voltage.0, power.0]))
}

/// A coil that must release although its cable bridges the contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Release {
    /// Share of the coil voltage at which it surely releases.
    pub share: f64,
    /// Power while it holds.
    pub hold: VoltAmperes,
    /// Coil voltage.
    pub voltage: Volts,
    /// Frequency, Hz.
    pub frequency: f64,
}

/// Longest control run at whose end the contactor still releases, with a cable of so many µF/km.
pub fn capacitance_reach(record: &mut Record, coil: &Release, capacitance_uf_km: f64) -> Metres {
    let Release { share, hold, voltage, frequency } = *coil;
    Metres(record.step(&CAPACITANCE_REACH, &[share, hold.0, frequency, capacitance_uf_km, voltage.0]))
}

/// Voltage that a cable of so many µF leaves at the coil, per cent. No circuit asks for this yet.
pub fn residual_voltage(record: &mut Record, coil: &Release, capacitance_uf: f64) -> f64 {
    record.step(&RESIDUAL, &[coil.frequency, capacitance_uf, coil.hold.0, coil.voltage.0])
}

/// Power that a resistor beside the coil must take so that the contactor releases; 0 if it does without.
pub fn swamping_power(record: &mut Record, coil: &Release, capacitance_uf: f64) -> Watts {
    Watts(record.step(&SWAMPING, &[coil.voltage.0, coil.frequency, capacitance_uf, coil.hold.0, coil.share]))
}

/// Current of coils.
pub fn coil_current(record: &mut Record, power: VoltAmperes, voltage: Volts) -> Amperes {
    Amperes(record.step(&COIL_CURRENT, &[power.0, voltage.0]))
}

/// Current that coils may draw from a controller's output.
pub fn output_limit(record: &mut Record, rated: Amperes) -> Amperes {
    Amperes(record.step(&OUTPUT_LIMIT, &[practice("output-share"), rated.0]))
}

/// Voltage that the leakage of an output leaves at a coil, per cent.
pub fn leakage_voltage(record: &mut Record, voltage: Volts, hold: Watts) -> f64 {
    record.step(&LEAKAGE, &[practice("output-leakage"), voltage.0, hold.0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Method;

    #[test]
    fn figures_are_those_of_the_table() {
        let asked = ["output-share", "conductivity", "output-leakage"];
        assert!(asked.iter().all(|name| practice(name).is_finite()) && practice("no such figure").is_nan());
    }

    #[test]
    fn contactors_that_pick_up_together_are_those_of_a_method() {
        assert!(TOGETHER_ROWS.iter().all(|row| Method::from_word(&row.method).is_some() && row.together.contains('+')));
        assert_eq!(together("star-delta").collect::<Vec<_>>(), ["line", "star"]);
        assert_eq!(together("direct").count(), 0);
    }

    /// Start, stop and seal-in are three cores; above extra-low voltage a protective conductor besides; a second direction adds its
    /// own start. Counted on the usual circuit; common practice, no source.
    #[test]
    fn cores_of_a_station_are_counted() {
        assert_eq!(cores("three-wire", 1, true), Some((3, 1)));
        assert_eq!(cores("three-wire", 2, true), Some((4, 1)));
        // Forward, reverse and a second speed are three starts behind one stop.
        assert_eq!(cores("three-wire", 3, true), Some((5, 1)));
        assert_eq!(cores("two-wire", 1, false), Some((2, 0)));
        assert_eq!(cores("no such contact", 1, true), None);
    }

    #[test]
    fn one_unknown_power_factor_leaves_the_sum_of_magnitudes() {
        let known = Burden::of(VoltAmperes(80.0), Some(0.3));
        let unknown = Burden::of(VoltAmperes(20.0), None);
        let both = known + unknown;
        assert_eq!((both.phasor, both.power_factor()), (None, None));
        assert!((both.magnitude().0 - 100.0).abs() < 1e-9);
        let event = event(&mut Record::silent(), known, unknown);
        assert_eq!((event.method(), event.vector), ("arithmetic", None));
        assert!((event.power().0 - 100.0).abs() < 1e-9);
        // Two phasors in line add as magnitudes do, others give less: circuit theory.
        let sum = (known + Burden::of(VoltAmperes(20.0), Some(1.0))).magnitude().0;
        assert!(sum < 100.0 && sum > 80.0);
    }

    proptest::proptest! {
        #[test]
        fn longer_runs_drop_more_and_what_holds_at_the_reach_fails_beyond(
            power in 1.0..2000.0f64, volts in 24.0..480.0f64, size in 0.5..6.0f64, drop in 1.0..10.0f64,
        ) {
            let record = &mut Record::silent();
            let (power, size, volts) = (VoltAmperes(power), SquareMillimetres(size), Volts(volts));
            let reach = run_reach(record, drop, power, size, volts);
            let at = run_drop(record, reach, power, size, volts);
            proptest::prop_assert!((at - drop).abs() < 1e-9 * drop.max(1.0));
            proptest::prop_assert!(run_drop(record, reach * 1.01, power, size, volts) > drop);
        }

        #[test]
        fn the_resistor_brings_the_coil_to_its_release_and_no_resistor_is_needed_within_reach(
            hold in 2.0..60.0f64, volts in 100.0..480.0f64, share in 0.1..0.5f64, over in 0.2..3.0f64,
        ) {
            let record = &mut Record::silent();
            let coil = Release { share, hold: VoltAmperes(hold), voltage: Volts(volts), frequency: 50.0 };
            let reach = capacitance_reach(record, &coil, 0.3);
            let farads = |length: Metres| length.0 * 0.3e-3;
            proptest::prop_assert!((residual_voltage(record, &coil, farads(reach)) - 100.0 * share).abs() < 1e-6);
            let capacitance = farads(reach * over);
            let power = swamping_power(record, &coil, capacitance).0;
            proptest::prop_assert_eq!(power > 0.0, over > 1.0 + 1e-9);
            if power > 0.0 {
                // Divider of the cable's admittance and that of coil and resistor side by side.
                let cable = 2.0 * std::f64::consts::PI * 50.0 * capacitance * 1e-6;
                let (g, b) = (power / (volts * volts), hold / (volts * volts) - cable);
                let left = cable / (g * g + b * b).sqrt();
                proptest::prop_assert!((left - share).abs() < 1e-9);
            }
        }
    }

    /// 100 VA at power factor 0.6 take 60 W and 80 var; three of them 180 W and 240 var, which are 300 VA (3-4-5).
    #[test]
    fn so_many_of_the_same_burden_take_so_many_times_as_much() {
        let three = Burden::of(VoltAmperes(100.0), Some(0.6)).times(3.0);
        assert!((three.arithmetic.0 - 300.0).abs() < 1e-9 && (three.magnitude().0 - 300.0).abs() < 1e-9, "{three:?}");
        let (active, reactive) = three.phasor.expect("the power factor is known");
        assert!((active.0 - 180.0).abs() < 1e-9 && (reactive.0 - 240.0).abs() < 1e-9, "{active:?} {reactive:?}");
    }
}
