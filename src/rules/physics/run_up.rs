//! Run-up of a cage motor: its torque and current over the speed, integrated against load and inertia for each starting method.
//!
//! Torques are multiples of the rated torque, currents of the rated current, speeds of the synchronous speed. Between standstill and
//! breakdown torque the points of the data sheet are joined by straight lines; above it the curve is Kloss's. Torque goes with the
//! square of the voltage, current with the voltage.

use crate::quantity::{Seconds, Watts, fits};
use crate::record::{Formula, Record};
use crate::rules::physics::starting::{self, LoadTorque, Start, load_torque, practice};

formula! {
    /// Time to synchronous speed with the rated torque alone.
    MECHANICAL_TIME: "time to synchronous speed at rated torque", "s", "mechanics";
    "tm = 2 π n J / (60 T)"; "2*3.141592653589793*n*J/(60*T)"; |J, n, T| 2.0 * std::f64::consts::PI * n * J / (60.0 * T)
}
formula! {
    /// Slip at breakdown torque, so that the curve has the rated torque at the rated slip.
    BREAKDOWN_SLIP: "slip at breakdown torque", "", "Kloss's equation";
    "sK = s (TK + √(TK² - 1))"; "s*(TK+SQRT(TK^2-1))"; |s, TK| s * (TK + (TK * TK - 1.0).sqrt())
}
formula! {
    /// Mean torque that was left to accelerate with, out of the integrated time.
    MEAN_ACCELERATING_TORQUE: "mean accelerating torque over rated torque, of the integrated start", "", "mechanics";
    "Ta = tm n / t"; "tm*n/t"; |tm, n, t| tm * n / t
}
formula! {
    /// Time for which a relay that sees its multiple all the while is heated as much as by the start.
    EQUIVALENT_TIME: "start time of equal heat at the starting current", "s", "I²t";
    "te = q / k²"; "q/k^2"; |q, k| q / (k * k)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&MECHANICAL_TIME, &BREAKDOWN_SLIP, &MEAN_ACCELERATING_TORQUE, &EQUIVALENT_TIME];

/// Torque and current of a cage motor at rated voltage, by the points that data sheets give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CageMotor {
    /// Torque at standstill.
    pub locked_rotor_torque: f64,
    /// Pull-up torque.
    pub pull_up_torque: f64,
    /// Speed of the pull-up torque.
    pub pull_up_speed: f64,
    /// Breakdown torque, above 1.
    pub breakdown_torque: f64,
    /// Rated slip.
    pub rated_slip: f64,
    /// Current at standstill.
    pub locked_rotor_current: f64,
    /// Current without load.
    pub no_load_current: f64,
}

impl CageMotor {
    /// Slip at breakdown torque.
    #[must_use]
    pub fn breakdown_slip(&self) -> f64 {
        (BREAKDOWN_SLIP.compute)(&[self.rated_slip, self.breakdown_torque])
    }

    /// The points can be those of a motor: each positive, the breakdown torque above the rated one and not below the pull-up torque, at a
    /// speed above the pull-up.
    #[must_use]
    pub fn is_possible(&self) -> bool {
        let positive = [self.locked_rotor_torque, self.pull_up_torque, self.pull_up_speed, self.rated_slip];
        positive.iter().all(|positive| positive.is_finite() && *positive > 0.0)
            && self.breakdown_torque.is_finite()
            && self.breakdown_torque > 1.0
            && fits(self.pull_up_torque, self.breakdown_torque)
            && self.pull_up_speed < 1.0 - self.breakdown_slip()
            && self.no_load_current.is_finite()
            && self.no_load_current >= 0.0
            && self.locked_rotor_current.is_finite()
            && self.locked_rotor_current > self.no_load_current
    }

    /// Torque at a speed.
    #[must_use]
    pub fn torque(&self, speed: f64) -> f64 {
        let slip_at_breakdown = self.breakdown_slip();
        let breakdown_speed = 1.0 - slip_at_breakdown;
        let line = |from: f64, to: f64, share: f64| from + (to - from) * share;
        if speed <= self.pull_up_speed {
            return line(self.locked_rotor_torque, self.pull_up_torque, speed / self.pull_up_speed);
        }
        if speed <= breakdown_speed {
            let share = (speed - self.pull_up_speed) / (breakdown_speed - self.pull_up_speed);
            return line(self.pull_up_torque, self.breakdown_torque, share);
        }
        let slip = 1.0 - speed;
        if slip <= 0.0 { 0.0 } else { 2.0 * self.breakdown_torque / (slip / slip_at_breakdown + slip_at_breakdown / slip) }
    }

    /// Current at a speed: the circle of the rotor, from the current without load to that at standstill.
    #[must_use]
    pub fn current(&self, speed: f64) -> f64 {
        let slip = (1.0 - speed).max(1e-12);
        let at_breakdown = self.breakdown_slip();
        let share = (1.0 + at_breakdown * at_breakdown) / (1.0 + (at_breakdown / slip) * (at_breakdown / slip));
        let (idle, locked) = (self.no_load_current, self.locked_rotor_current);
        (idle * idle + (locked * locked - idle * idle) * share).sqrt()
    }
}

/// The load that the motor turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrivenLoad {
    /// How its torque depends on the speed.
    pub kind: LoadTorque,
    /// Its torque at rated speed.
    pub full: f64,
    /// Its torque at standstill.
    pub breakaway: f64,
    /// Speed, over rated speed, by which a breakaway torque above the curve has faded; 0: it is part of the curve.
    pub breakaway_fades: f64,
    /// Time to synchronous speed at rated torque: all inertia at the motor shaft.
    pub mechanical_time: Seconds,
}

impl DrivenLoad {
    /// Torque at a speed over rated speed.
    #[must_use]
    pub fn torque(&self, speed: f64) -> f64 {
        let curve = |breakaway: f64| load_torque(&mut Record::silent(), self.kind, self.full, breakaway, speed);
        if self.breakaway_fades <= 0.0 {
            return curve(self.breakaway);
        }
        let curve = curve(self.full.min(self.breakaway));
        let excess = (self.breakaway - curve).max(0.0);
        curve + excess * (1.0 - speed / self.breakaway_fades).max(0.0)
    }
}

/// When a reduced voltage is followed by the full one: at a speed, or after a time, whichever comes first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChangeOver {
    /// Speed over synchronous speed.
    pub at_speed: f64,
    /// Longest time at reduced voltage.
    pub after: Seconds,
    /// Time without voltage between the two.
    pub open: Seconds,
}

/// How the motor is fed while it starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Feeding {
    /// Full voltage.
    Direct,
    /// A share of the voltage at the winding, then all of it. The line carries the same share of the winding's current, over its own
    /// rated one: star-delta with 1/√3 as much as an ideal autotransformer with its tap.
    Reduced(f64, ChangeOver),
    /// Voltage that rises in a straight line from a share to the whole.
    Ramp(f64, Seconds),
    /// As much voltage as the line current allows: at most so many times the rated one.
    CurrentLimit(f64),
}

/// Course of a start.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RunUp {
    /// The motor came to 98 % of its rated speed within the limit of time.
    pub reached: bool,
    /// Time until then, or the limit.
    pub time: Seconds,
    /// Speed then, over synchronous speed.
    pub end_speed: f64,
    /// I²t of the line, over its rated current, s.
    pub line_i2t: f64,
    /// I²t of the winding, over its rated current, s.
    pub winding_i2t: f64,
    /// The state at the change-over, where there was one.
    pub change_over: Option<AtChangeOver>,
}

/// State at a change-over.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AtChangeOver {
    /// When the reduced voltage was switched off.
    pub time: Seconds,
    /// Speed then, over synchronous speed.
    pub speed: f64,
    /// The speed for the change-over was reached; otherwise the time was.
    pub by_speed: bool,
    /// Current as the full voltage is switched on, over rated current.
    pub current_after: f64,
}

/// Share of its rated speed at which a motor counts as started.
const STARTED: f64 = 0.98;
/// Error that a step of the integration may have in speed; far below what any curve is known to.
const STEP_ERROR: f64 = 1e-8;
/// Longest step, s: no kink of a curve is stepped over.
const LONGEST_STEP: f64 = 0.1;
/// Shortest time to synchronous speed that is reckoned with, s: no motor comes up sooner, and figures that say so only cost steps.
const SHORTEST: f64 = 1e-3;
/// Steps that are never needed: a guard against figures that no motor has.
const MOST_STEPS: usize = 200_000;

/// Runs a motor up. `voltage` is the voltage at its terminals, less what the method takes off, over its rated voltage.
#[must_use]
pub fn run_up(motor: &CageMotor, load: &DrivenLoad, feeding: Feeding, voltage: f64, limit: Seconds) -> RunUp {
    let goal = STARTED * (1.0 - motor.rated_slip);
    let mechanical_time = load.mechanical_time.0.max(SHORTEST);
    let mut integration = Integration { motor, load, mechanical_time, state: State::default(), slowest: limit.0 };
    let mut change_over = None;
    let reached = match feeding {
        Feeding::Direct => integration.run(goal, limit.0, Supply::Fixed(voltage), 1.0),
        Feeding::Ramp(from, time) => {
            let ramp = Supply::Ramp { from, seconds: time.0, voltage };
            integration.run(goal, time.0.min(limit.0), ramp, 1.0) || integration.run(goal, limit.0, Supply::Fixed(voltage), 1.0)
        }
        Feeding::CurrentLimit(most) => integration.run(goal, limit.0, Supply::Limited { most, voltage }, 1.0),
        Feeding::Reduced(share, change) => {
            let by_speed =
                integration.run(change.at_speed.min(goal), change.after.0.min(limit.0), Supply::Fixed(share * voltage), share);
            let (time, speed) = (Seconds(integration.state.time), integration.state.speed);
            integration.coast(change.open.0);
            let current_after = motor.current(integration.state.speed) * voltage;
            change_over = Some(AtChangeOver { time, speed, by_speed, current_after });
            integration.run(goal, limit.0, Supply::Fixed(voltage), 1.0)
        }
    };
    let end = integration.state;
    RunUp { reached, time: Seconds(end.time), end_speed: end.speed, line_i2t: end.line, winding_i2t: end.winding, change_over }
}

/// Voltage at the winding over its rated one.
#[derive(Clone, Copy, Debug)]
enum Supply {
    Fixed(f64),
    Ramp { from: f64, seconds: f64, voltage: f64 },
    Limited { most: f64, voltage: f64 },
}

impl Supply {
    fn at(self, time: f64, current: f64) -> f64 {
        match self {
            Self::Fixed(voltage) => voltage,
            Self::Ramp { from, seconds, voltage } => {
                let share = if seconds > 0.0 { from + (1.0 - from) * time / seconds } else { 1.0 };
                voltage * share.clamp(0.0, 1.0)
            }
            Self::Limited { most, voltage } => (most / current).min(voltage),
        }
    }

    /// The torque of the motor changes with nothing but its speed.
    fn is_steady(self) -> bool {
        !matches!(self, Self::Ramp { .. })
    }
}

#[derive(Clone, Copy, Debug, Default)]
struct State {
    time: f64,
    speed: f64,
    line: f64,
    winding: f64,
}

/// Change of speed and of both I²t with time.
type Rates = [f64; 3];

struct Integration<'a> {
    motor: &'a CageMotor,
    load: &'a DrivenLoad,
    mechanical_time: f64,
    state: State,
    slowest: f64,
}

impl Integration<'_> {
    fn load_torque(&self, speed: f64) -> f64 {
        self.load.torque(speed / (1.0 - self.motor.rated_slip))
    }

    fn rates(&self, time: f64, speed: f64, supply: Supply, line_share: f64) -> Rates {
        let speed = speed.clamp(0.0, 1.0);
        let current = self.motor.current(speed);
        let voltage = supply.at(time, current);
        let torque = self.motor.torque(speed) * voltage * voltage - self.load_torque(speed);
        // A load that is too heavy keeps the motor standing; it does not turn it backwards.
        let acceleration = if speed <= 0.0 { torque.max(0.0) } else { torque } / self.mechanical_time;
        let current = current * voltage;
        [acceleration, current * line_share * current * line_share, current * current]
    }

    /// One step of the classical fourth-order rule.
    fn step(&self, from: State, by: f64, supply: Supply, line_share: f64) -> State {
        let rates = |after: f64, speed: f64| self.rates(from.time + after, speed, supply, line_share);
        let a = rates(0.0, from.speed);
        let b = rates(by / 2.0, from.speed + by / 2.0 * a[0]);
        let c = rates(by / 2.0, from.speed + by / 2.0 * b[0]);
        let d = rates(by, from.speed + by * c[0]);
        let mean = |at: usize| (a[at] + 2.0 * b[at] + 2.0 * c[at] + d[at]) / 6.0;
        State {
            time: from.time + by,
            speed: (from.speed + by * mean(0)).clamp(0.0, 1.0),
            line: from.line + by * mean(1),
            winding: from.winding + by * mean(2),
        }
    }

    /// Runs until a speed or a time, whichever comes first; tells whether it was the speed.
    fn run(&mut self, speed: f64, until: f64, supply: Supply, line_share: f64) -> bool {
        let mut by: f64 = 1e-4;
        for _ in 0..MOST_STEPS {
            let left = until - self.state.time;
            if self.state.speed >= speed {
                return true;
            }
            if left <= 1e-12 {
                return false;
            }
            let [acceleration, line, winding] = self.rates(self.state.time, self.state.speed, supply, line_share);
            // It has settled: nothing changes any more until the time is over.
            if supply.is_steady() && acceleration.abs() * left < 1e-7 {
                let State { line: before, winding: before_winding, .. } = self.state;
                self.state.time = until;
                self.state.line = before + line * left;
                self.state.winding = before_winding + winding * left;
                return false;
            }
            by = by.min(left).min(LONGEST_STEP);
            let whole = self.step(self.state, by, supply, line_share);
            let half = self.step(self.state, by / 2.0, supply, line_share);
            let halves = self.step(half, by / 2.0, supply, line_share);
            let error = (whole.speed - halves.speed).abs() / 15.0;
            if error > STEP_ERROR && by > 1e-9 {
                by /= 2.0;
                continue;
            }
            if halves.speed >= speed {
                self.state = self.land(speed, by, supply, line_share);
                return true;
            }
            self.state = halves;
            if error < STEP_ERROR / 64.0 {
                by *= 2.0;
            }
        }
        // Not within any reasonable number of steps: counted as not reached, at the end of the time.
        self.state.time = until.min(self.slowest);
        false
    }

    /// The step that ends on a speed which a step of `by` passes.
    fn land(&self, speed: f64, by: f64, supply: Supply, line_share: f64) -> State {
        let (mut low, mut high) = (0.0, by);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if self.step(self.state, middle, supply, line_share).speed < speed {
                low = middle;
            } else {
                high = middle;
            }
        }
        State { speed, ..self.step(self.state, high, supply, line_share) }
    }

    /// Without voltage the load slows the motor down.
    fn coast(&mut self, seconds: f64) {
        const PARTS: u32 = 100;
        let by = seconds / f64::from(PARTS);
        let mut speed = self.state.speed;
        for _ in 0..PARTS {
            let half = speed - by / 2.0 * self.load_torque(speed) / self.mechanical_time;
            speed = (speed - by * self.load_torque(half.max(0.0)) / self.mechanical_time).max(0.0);
        }
        self.state.speed = speed;
        self.state.time += seconds;
    }
}

/// The row's data of a motor and of its load; speeds in 1/min.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plate {
    /// Shaft power.
    pub power: Watts,
    /// Synchronous speed.
    pub synchronous_rpm: f64,
    /// Rated speed, where it is stated.
    pub rated_rpm: Option<f64>,
    /// All inertia at the motor shaft, kg·m².
    pub inertia_kgm2: f64,
    /// Torque at standstill over rated torque, where it is stated.
    pub locked_rotor_torque: Option<f64>,
    /// Breakdown torque over rated torque, where it is stated.
    pub breakdown_torque: Option<f64>,
    /// Current at standstill over rated current.
    pub locked_rotor_current: f64,
    /// How the load's torque depends on the speed; none counts as not at all, which is the heaviest.
    pub load: Option<LoadTorque>,
    /// Much torque is needed to break away.
    pub high_breakaway: bool,
    /// Torque of the load at rated speed over rated torque.
    pub load_share: f64,
    /// Voltage at the terminals during a start at full voltage, over rated voltage.
    pub voltage: f64,
}

/// How long a motor of a row takes to start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Course {
    /// Torques, speed and inertia are known: at full voltage, and by the method where its feeding is known.
    Integrated(RunUp, Option<RunUp>),
    /// Too little is known of the torques: at full voltage by mean torques; none where these leave nothing to accelerate with.
    Estimated(Option<Seconds>),
    /// What is stated is that of no cage motor: the estimate, which can't know how far it is off.
    Contradicted(Option<Seconds>),
}

/// Figures of a row that no cage motor has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Contradiction {
    /// A breakdown torque that is not above the rated torque: the motor would stall at its rated load.
    BreakdownBelowRated,
    /// A breakdown torque, the largest while the motor runs up, below the pull-up torque, the smallest.
    BreakdownBelowPullUp,
    /// A rated speed above that of the field, or so far below it that no cage motor has it.
    Slip,
    /// Figures that give no curve all the same.
    Curve,
}

impl Plate {
    /// Slip by the rated speed; none where that is the field's, or the field's rounded up, at which no motor is loaded.
    #[must_use]
    pub fn stated_slip(&self) -> Option<f64> {
        let of_field = |slip: &f64| (-figure("field-speed-slack")..=0.0).contains(slip);
        self.rated_rpm.map(|rated| 1.0 - rated / self.synchronous_rpm).filter(|slip| !of_field(slip))
    }

    fn rated_slip(&self) -> f64 {
        self.stated_slip().unwrap_or_else(|| figure("rated-slip"))
    }

    /// The motor's curve; none where a torque is missing, or where the figures are those of no motor.
    #[must_use]
    pub fn motor(&self) -> Option<CageMotor> {
        let locked_rotor_torque = self.locked_rotor_torque?;
        let motor = CageMotor {
            locked_rotor_torque,
            pull_up_torque: figure("pull-up-share") * locked_rotor_torque,
            pull_up_speed: figure("pull-up-speed"),
            breakdown_torque: self.breakdown_torque?,
            rated_slip: self.rated_slip(),
            locked_rotor_current: self.locked_rotor_current,
            no_load_current: figure("no-load-current"),
        };
        (motor.is_possible() && fits(motor.rated_slip, figure("rated-slip-most"))).then_some(motor)
    }

    /// Figures that contradict each other, or what a cage motor is; the torques as IEC 60034-1 defines them.
    #[must_use]
    pub fn contradiction(&self) -> Option<Contradiction> {
        let pull_up = self.locked_rotor_torque.map(|locked| figure("pull-up-share") * locked);
        match self.breakdown_torque {
            Some(most) if most <= 1.0 => Some(Contradiction::BreakdownBelowRated),
            _ if self.rated_slip() <= 0.0 || !fits(self.rated_slip(), figure("rated-slip-most")) => Some(Contradiction::Slip),
            Some(most) if pull_up.is_some_and(|least| most < least) => Some(Contradiction::BreakdownBelowPullUp),
            Some(_) if pull_up.is_some() && self.motor().is_none() => Some(Contradiction::Curve),
            _ => None,
        }
    }

    fn rated_torque(&self, record: &mut Record) -> f64 {
        starting::rated_torque_nm(record, self.power, self.synchronous_rpm * (1.0 - self.rated_slip()))
    }

    fn driven(&self, record: &mut Record) -> DrivenLoad {
        let kind = self.load.unwrap_or(LoadTorque::Constant);
        let share = figure(match kind {
            _ if self.high_breakaway => "breakaway-high",
            LoadTorque::Quadratic => "breakaway-quadratic",
            LoadTorque::Linear => "breakaway-linear",
            LoadTorque::Constant => "breakaway-constant",
        });
        let torque = self.rated_torque(record);
        DrivenLoad {
            kind,
            full: self.load_share,
            breakaway: share * self.load_share,
            breakaway_fades: if self.high_breakaway { figure("breakaway-fades") } else { 0.0 },
            mechanical_time: Seconds(record.step(&MECHANICAL_TIME, &[self.inertia_kgm2, self.synchronous_rpm, torque])),
        }
    }

    /// How long the start takes; `pause` is the time without voltage of a change-over.
    pub fn course(&self, record: &mut Record, method: Option<Start>, pause: Seconds) -> Course {
        let Some(motor) = self.motor() else {
            let time = self.estimate(record);
            return self.contradiction().map_or(Course::Estimated(time), |_| Course::Contradicted(time));
        };
        record.step(&BREAKDOWN_SLIP, &[motor.rated_slip, motor.breakdown_torque]);
        let load = self.driven(record);
        let limit = Seconds(figure("run-up-longest"));
        let run = |feeding| run_up(&motor, &load, feeding, self.voltage, limit);
        let change =
            ChangeOver { at_speed: figure("change-over-speed"), after: Seconds(figure("reduced-step-longest")), open: pause };
        let full = run(Feeding::Direct);
        let run_up = match method {
            Some(Start::Direct) => Some(full),
            Some(Start::StarDelta) => Some(run(Feeding::Reduced(1.0 / 3f64.sqrt(), change))),
            Some(Start::Autotransformer(tap)) => {
                Some(run(Feeding::Reduced(tap, ChangeOver { open: Seconds::default(), ..change })))
            }
            Some(Start::CurrentLimit(most)) => Some(run(Feeding::CurrentLimit(most))),
            _ => None,
        };
        let shown = run_up.unwrap_or(full);
        if shown.reached && shown.time.0 > 0.0 {
            record.step(&MEAN_ACCELERATING_TORQUE, &[load.mechanical_time.0, shown.end_speed, shown.time.0]);
        }
        Course::Integrated(full, run_up)
    }

    /// Handbook approximation: mean torques of motor and load.
    fn estimate(&self, record: &mut Record) -> Option<Seconds> {
        let starting = self.locked_rotor_torque.unwrap_or_else(|| figure("starting-torque"));
        let most = self.breakdown_torque.unwrap_or_else(|| figure("breakdown-torque")).max(starting);
        let mean = starting::mean_motor_torque(record, starting, most, self.voltage * self.voltage);
        let load = self.load_share * starting::mean_load_share(self.load.unwrap_or(LoadTorque::Constant));
        let torque = self.rated_torque(record);
        let rated = self.synchronous_rpm * (1.0 - self.rated_slip());
        starting::start_time(record, self.inertia_kgm2, rated, torque, mean, load)
    }
}

impl RunUp {
    /// Time for which relays and contactors see the start: as long as it takes, or as long as its heat lasts at the current that they
    /// are held against, whichever is longer. `multiple` is that current over the rated one.
    pub fn stress_time(&self, record: &mut Record, multiple: f64) -> Seconds {
        if multiple <= 0.0 {
            return self.time;
        }
        let equal = record.step(&EQUIVALENT_TIME, &[self.winding_i2t, multiple]);
        Seconds(equal.max(self.time.0))
    }
}

/// A figure that this file names; a test holds that each of them is in the table.
fn figure(name: &str) -> f64 {
    practice(name).unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests;
