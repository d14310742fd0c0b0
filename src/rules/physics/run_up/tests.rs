//! Run-ups whose course is known in closed form, and what hangs.

use super::*;

fn motor() -> CageMotor {
    CageMotor {
        locked_rotor_torque: 2.0,
        pull_up_torque: 1.6,
        pull_up_speed: 0.3,
        breakdown_torque: 2.6,
        rated_slip: 0.03,
        locked_rotor_current: 7.0,
        no_load_current: 0.4,
    }
}

fn fan(full: f64, seconds: f64) -> DrivenLoad {
    DrivenLoad { kind: LoadTorque::Quadratic, full, breakaway: 0.0, breakaway_fades: 0.0, mechanical_time: Seconds(seconds) }
}

#[test]
fn every_figure_that_the_code_names_is_in_the_table() {
    for part in include_str!("../run_up.rs").split("figure(\"").skip(1) {
        let name = part.split('"').next().unwrap_or("");
        assert!(practice(name).is_some_and(f64::is_finite), "{name}");
    }
}

/// The curve passes its points: standstill, pull-up, breakdown, and the rated torque at the rated slip.
#[test]
fn the_curve_passes_its_points() {
    let cage_motor = motor();
    let breakdown = 1.0 - cage_motor.breakdown_slip();
    for (speed, torque) in [(0.0, 2.0), (0.3, 1.6), (breakdown, 2.6), (0.97, 1.0), (1.0, 0.0)] {
        assert!((cage_motor.torque(speed) - torque).abs() < 1e-9, "{speed}: {}", cage_motor.torque(speed));
    }
    assert!((cage_motor.current(0.0) - 7.0).abs() < 1e-9 && (cage_motor.current(1.0) - 0.4).abs() < 1e-6);
}

/// The torque falls from 2.0 to 1.6 at 0.3 and without load the speed follows dn/dt = (2.0 - n 0.4/0.3)/tm: at 0.3 after
/// tm (0.3/0.4) ln(2.0/1.6) = 0.16736 tm (integral of dn/(2 - 4n/3), by hand). A limit that ends there finds that speed.
#[test]
fn the_straight_part_of_the_curve_is_integrated_exactly() {
    let until = 0.75 * libm::log(1.25) * 4.0;
    let end = run_up(&motor(), &fan(0.0, 4.0), Feeding::Direct, 1.0, Seconds(until));
    assert!(!end.reached && (end.end_speed - 0.3).abs() < 1e-6, "{end:?}");
}

/// Load torque 1.7 above the pull-up torque 1.6 and below that at standstill: it hangs where 2.0 - n 0.4/0.3 = 1.7, n = 0.225.
#[test]
fn a_load_above_the_pull_up_torque_hangs_where_the_curves_meet() {
    let load = DrivenLoad { kind: LoadTorque::Constant, full: 1.7, ..fan(0.0, 1.0) };
    let end = run_up(&motor(), &load, Feeding::Direct, 1.0, Seconds(120.0));
    assert!(!end.reached && (end.end_speed - 0.225).abs() < 1e-5, "{end:?}");
    assert!((end.time.0 - 120.0).abs() < 1e-9);
}

/// A limit at or above the current at standstill limits nothing; a lower one is never exceeded, so I²t is at most limit² t.
#[test]
fn a_current_limit_limits() {
    let direct = run_up(&motor(), &fan(0.8, 2.0), Feeding::Direct, 1.0, Seconds(120.0));
    assert_eq!(run_up(&motor(), &fan(0.8, 2.0), Feeding::CurrentLimit(7.0), 1.0, Seconds(120.0)), direct);
    let soft = run_up(&motor(), &fan(0.5, 2.0), Feeding::CurrentLimit(4.0), 1.0, Seconds(120.0));
    assert!(soft.reached && soft.time > direct.time && soft.line_i2t <= 16.0 * soft.time.0, "{soft:?}");
}

/// A tenth of the rated torque at speed, 1.3 to break away, gone at a tenth of the rated speed.
#[test]
fn breakaway_fades() {
    let load = DrivenLoad { kind: LoadTorque::Constant, full: 0.5, breakaway: 1.3, breakaway_fades: 0.1, ..fan(0.0, 1.0) };
    for (speed, torque) in [(0.0, 1.3), (0.05, 0.9), (0.1, 0.5), (1.0, 0.5)] {
        assert!((load.torque(speed) - torque).abs() < 1e-9, "{speed}: {}", load.torque(speed));
    }
}

/// A load's curve runs over the rated speed: at the rated slip its torque is the full one.
#[test]
fn the_full_torque_stands_at_rated_speed() {
    let load = DrivenLoad { kind: LoadTorque::Linear, full: 0.8, breakaway: 0.2, ..fan(0.0, 1.0) };
    // A straight line from 0.2 at rest to 0.8 at rated speed: 0.2 + 0.6/2 = 0.5 half-way.
    for (speed, torque) in [(0.0, 0.2), (0.5, 0.5), (1.0, 0.8)] {
        assert!((load.torque(speed) - torque).abs() < 1e-9, "{speed}: {}", load.torque(speed));
    }
    let (motor, state) = (motor(), State::default());
    let integration = Integration { motor: &motor, load: &load, mechanical_time: 1.0, state, slowest: 0.0 };
    assert!((integration.load_torque(0.97) - 0.8).abs() < 1e-9);
}

/// At standstill the motor draws 7 times its rated current; at half the voltage 3.5. With a third of that in the line the heat is
/// 3.5² = 12.25 in the winding and (3.5/3)² = 1.361 in the line; the torque is a quarter of 2.0, and the load has none.
#[test]
fn heat_goes_by_the_square_of_each_current_and_torque_by_that_of_the_voltage() {
    let (motor, load) = (motor(), fan(0.0, 1.0));
    let integration = Integration { motor: &motor, load: &load, mechanical_time: 4.0, state: State::default(), slowest: 0.0 };
    let [acceleration, line, winding] = integration.rates(0.0, 0.0, Supply::Fixed(0.5), 1.0 / 3.0);
    assert!((acceleration - 0.5 / 4.0).abs() < 1e-9, "{acceleration}");
    assert!((winding - 12.25).abs() < 1e-9 && (line - 12.25 / 9.0).abs() < 1e-9, "{line} {winding}");
}

/// From 40 % to full voltage of 0.9 in 10 s: 0.36 at first, 0.63 half-way, 0.9 at the end and after it.
#[test]
fn a_ramp_rises_evenly_and_then_stays() {
    let ramp = Supply::Ramp { from: 0.4, seconds: 10.0, voltage: 0.9 };
    for (time, voltage) in [(0.0, 0.36), (5.0, 0.63), (10.0, 0.9), (20.0, 0.9)] {
        assert!((ramp.at(time, 7.0) - voltage).abs() < 1e-9, "{time}: {}", ramp.at(time, 7.0));
    }
}

/// Against a constant torque of 0.5 the speed falls by 0.5 t/tm: in 0.4 s of a mechanical time of 2 s by 0.1.
#[test]
fn without_voltage_a_constant_load_slows_evenly() {
    let (motor, load) = (motor(), DrivenLoad { kind: LoadTorque::Constant, full: 0.5, ..fan(0.0, 2.0) });
    let state = State { speed: 0.8, time: 3.0, ..State::default() };
    let mut integration = Integration { motor: &motor, load: &load, mechanical_time: 2.0, state, slowest: 0.0 };
    integration.coast(0.4);
    assert!(
        (integration.state.speed - 0.7).abs() < 1e-9 && (integration.state.time - 3.4).abs() < 1e-9,
        "{:?}",
        integration.state
    );
    integration.coast(10.0);
    assert!(integration.state.speed.abs() < 1e-9, "it stands, and does not turn backwards");
}

/// A quadratic load slows by n/(1 + n c t/tm) (integral of dn/n² = -c dt/tm): from 0.8 with full torque 0.5 at rated speed 0.97,
/// c = 0.5/0.97² = 0.5314, in 1 s of 2 s: 0.8/(1 + 0.8 · 0.2657) = 0.6598.
#[test]
fn without_voltage_a_fan_slows_less_and_less() {
    let (motor, load) = (motor(), fan(0.5, 2.0));
    let state = State { speed: 0.8, ..State::default() };
    let mut integration = Integration { motor: &motor, load: &load, mechanical_time: 2.0, state, slowest: 0.0 };
    integration.coast(1.0);
    assert!((integration.state.speed - 0.6598).abs() < 1e-4, "{:?}", integration.state);
}

/// 245 s of rated current squared are 245/7² = 5 s at seven times; a start of 8 s counts as 8 s.
#[test]
fn a_start_counts_as_long_as_it_takes_or_heats() {
    let run = |time: f64| RunUp { time: Seconds(time), winding_i2t: 245.0, ..RunUp::default() };
    assert!((run(3.0).stress_time(&mut Record::new(), 7.0).0 - 5.0).abs() < 1e-9);
    assert!((run(8.0).stress_time(&mut Record::new(), 7.0).0 - 8.0).abs() < 1e-9);
}

/// At a rated slip of 0.03 and a breakdown torque of 2.6 the breakdown slip is 0.03 (2.6 + √(2.6² − 1)) = 0.15 (Kloss), so the pull-up
/// torque stands below a speed of 0.85; more current flows at standstill than without load. IEC 60034-1, 3: the breakdown torque is the
/// largest, the pull-up torque the smallest of the way up to it.
#[test]
fn points_that_no_motor_has_are_told() {
    assert!(motor().is_possible() && CageMotor { pull_up_speed: 0.84, ..motor() }.is_possible());
    for (name, cage_motor) in [
        ("pull-up beyond the breakdown", CageMotor { pull_up_speed: 0.86, ..motor() }),
        ("breakdown torque no more than the rated one", CageMotor { breakdown_torque: 1.0, ..motor() }),
        ("a pull-up torque above the breakdown torque", CageMotor { pull_up_torque: 2.7, ..motor() }),
        ("less current at standstill than without load", CageMotor { locked_rotor_current: 0.3, ..motor() }),
        ("a negative current without load", CageMotor { no_load_current: -0.1, ..motor() }),
        ("no slip", CageMotor { rated_slip: 0.0, ..motor() }),
        ("no torque", CageMotor { locked_rotor_torque: 0.0, ..motor() }),
    ] {
        assert!(!cage_motor.is_possible(), "{name}");
    }
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(64))]
    /// Whatever a row may state comes to an end, with finite figures.
    #[test]
    fn any_figures_come_to_an_end(
        power in -1.0..4.0_f64, inertia in -6.0..6.0_f64, slip in -6.0..-0.6_f64,
        start in 0.05..10.0_f64, breakdown in 0.05..10.0_f64, ratio in 0.1..20.0_f64, share in 0.0..20.0_f64, method in 0_usize..4,
    ) {
        let ten = |exponent: f64| libm::pow(10.0, exponent);
        let plate = Plate {
            power: Watts(1000.0 * ten(power)),
            synchronous_rpm: 1500.0,
            rated_rpm: Some(1500.0 * (1.0 - ten(slip))),
            inertia_kgm2: ten(inertia),
            locked_rotor_torque: Some(start),
            breakdown_torque: Some(breakdown),
            locked_rotor_current: ratio,
            load: Some(LoadTorque::Quadratic),
            high_breakaway: false,
            load_share: share,
            voltage: 1.0,
        };
        let methods = [Start::Direct, Start::StarDelta, Start::Autotransformer(0.65), Start::CurrentLimit(4.0)];
        match plate.course(&mut Record::silent(), Some(methods[method]), Seconds(0.15)) {
            Course::Estimated(time) | Course::Contradicted(time) => proptest::prop_assert!(time.is_none_or(|time| time.0.is_finite())),
            Course::Integrated(full, other) => {
                for run in [Some(full), other].into_iter().flatten() {
                    let all = [run.time.0, run.end_speed, run.line_i2t, run.winding_i2t];
                    proptest::prop_assert!(all.iter().all(|figure| figure.is_finite() && *figure >= 0.0), "{run:?}");
                    proptest::prop_assert!(run.time.0 <= 121.0 && run.end_speed <= 1.0, "{run:?}");
                }
            }
        }
    }

    /// More inertia, more load or less voltage never start sooner.
    #[test]
    fn what_is_harder_never_takes_less(full in 0.1..0.7_f64, seconds in 0.2..8.0_f64, more in 0.0..1.0_f64, voltage in 0.85..1.0_f64) {
        let limit = Seconds(600.0);
        let base = run_up(&motor(), &fan(full, seconds), Feeding::Direct, 1.0, limit);
        let harder = [
            run_up(&motor(), &fan(full, seconds * (1.0 + more)), Feeding::Direct, 1.0, limit),
            run_up(&motor(), &fan(full + 0.2 * more, seconds), Feeding::Direct, 1.0, limit),
            run_up(&motor(), &fan(full, seconds), Feeding::Direct, voltage, limit),
        ];
        proptest::prop_assert!(base.reached);
        for run in harder {
            proptest::prop_assert!(run.time.0 >= base.time.0 * (1.0 - 1e-6), "{run:?} {base:?}");
        }
    }
}

/// A fan of 0.8 of rated torque that breaks away at 0.2: 0.2 + 0.6 · 0.5² = 0.35 at half speed, with the speed 0.2 + 0.6 · 0.5 = 0.5, and a
/// constant load has 0.8 throughout, or its breakaway torque where that is more. A breakaway of 1.2 that fades by a tenth of the speed
/// stands half over the curve at a twentieth: 0.8 + 0.4 / 2 = 1.0.
#[test]
fn a_driven_load_follows_the_curves_of_the_formulas() {
    let of = |kind, breakaway, breakaway_fades, speed| {
        DrivenLoad { kind, full: 0.8, breakaway, breakaway_fades, mechanical_time: Seconds(1.0) }.torque(speed)
    };
    for (kind, breakaway, fades, speed, torque) in [
        (LoadTorque::Quadratic, 0.2, 0.0, 0.5, 0.35),
        (LoadTorque::Linear, 0.2, 0.0, 0.5, 0.5),
        (LoadTorque::Constant, 0.2, 0.0, 0.5, 0.8),
        (LoadTorque::Constant, 1.2, 0.0, 0.5, 1.2),
        (LoadTorque::Constant, 1.2, 0.1, 0.05, 1.0),
        (LoadTorque::Constant, 1.2, 0.1, 0.5, 0.8),
    ] {
        assert!((of(kind, breakaway, fades, speed) - torque).abs() < 1e-12, "{kind:?} {breakaway} {fades} {speed}");
    }
}
