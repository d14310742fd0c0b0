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
    let own = motor();
    let breakdown = 1.0 - own.breakdown_slip();
    for (speed, torque) in [(0.0, 2.0), (0.3, 1.6), (breakdown, 2.6), (0.97, 1.0), (1.0, 0.0)] {
        assert!((own.torque(speed) - torque).abs() < 1e-9, "{speed}: {}", own.torque(speed));
    }
    assert!((own.current(0.0) - 7.0).abs() < 1e-9 && (own.current(1.0) - 0.4).abs() < 1e-6);
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
            Course::Estimated(time) => proptest::prop_assert!(time.is_none_or(|time| time.0.is_finite())),
            Course::Integrated(full, own) => {
                for run in [Some(full), own].into_iter().flatten() {
                    let all = [run.time.0, run.end_speed, run.line_i2t, run.winding_i2t];
                    proptest::prop_assert!(all.iter().all(|own| own.is_finite() && *own >= 0.0), "{run:?}");
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
        for own in harder {
            proptest::prop_assert!(own.time.0 >= base.time.0 * (1.0 - 1e-6), "{own:?} {base:?}");
        }
    }
}
