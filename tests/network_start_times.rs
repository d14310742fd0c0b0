//! Run-up of cage motors against an independent integration with a general-purpose solver.

use motorwright::quantity::Seconds;
use motorwright::rules::physics::run_up::{CageMotor, ChangeOver, DrivenLoad, Feeding, RunUp, run_up};
use motorwright::rules::physics::starting::LoadTorque;
use serde::Deserialize;

/// Relative difference between two integrations of the same model, as the cases' makers state it.
const TOLERANCE: f64 = 1e-3;

#[derive(Deserialize)]
struct Case {
    case_id: String,
    method: String,
    sync_rpm: f64,
    rated_slip: f64,
    rated_torque_nm: f64,
    j_total_kgm2: f64,
    t_locked_rotor_pu: f64,
    t_pull_up_pu: f64,
    n_pull_up_pu: f64,
    t_breakdown_pu: f64,
    n_breakdown_pu: f64,
    i_locked_rotor_pu: f64,
    i_no_load_pu: f64,
    load_type: String,
    load_torque_at_rated_speed_pu: f64,
    terminal_voltage_pu: f64,
    reduced_voltage_pu: Option<f64>,
    t_ramp_s: Option<f64>,
    n_switch_pu: Option<f64>,
    t_switch_max_s: Option<f64>,
    t_open_s: Option<f64>,
    result: String,
    t_start_s: Option<f64>,
    end_speed_pu: f64,
    i2t_line_pu2s: Option<f64>,
    i2t_winding_pu2s: Option<f64>,
    t_equiv_at_locked_rotor_current_s: Option<f64>,
    t_at_switch_s: Option<f64>,
    speed_at_switch_pu: Option<f64>,
    switched_by: String,
    i_after_switch_pu: Option<f64>,
}

impl Case {
    fn motor(&self) -> CageMotor {
        CageMotor {
            locked_rotor_torque: self.t_locked_rotor_pu,
            pull_up_torque: self.t_pull_up_pu,
            pull_up_speed: self.n_pull_up_pu,
            breakdown_torque: self.t_breakdown_pu,
            rated_slip: self.rated_slip,
            locked_rotor_current: self.i_locked_rotor_pu,
            no_load_current: self.i_no_load_pu,
        }
    }

    fn load(&self) -> DrivenLoad {
        let constant = self.load_type == "constant";
        let full = self.load_torque_at_rated_speed_pu;
        let synchronous = 2.0 * std::f64::consts::PI * self.sync_rpm / 60.0;
        DrivenLoad {
            kind: if constant { LoadTorque::Constant } else { LoadTorque::Quadratic },
            full,
            breakaway: if constant { full } else { 0.0 },
            breakaway_fades: 0.0,
            mechanical_time: Seconds(self.j_total_kgm2 * synchronous / self.rated_torque_nm),
        }
    }

    fn feeding(&self) -> Feeding {
        let share = self.reduced_voltage_pu;
        match self.method.as_str() {
            "direct" => Feeding::Direct,
            "soft_ramp" => Feeding::Ramp(share.expect("a first voltage"), Seconds(self.t_ramp_s.expect("a ramp"))),
            "star_delta" | "autotransformer" => Feeding::Reduced(
                share.expect("a reduced voltage"),
                ChangeOver {
                    at_speed: self.n_switch_pu.expect("a speed"),
                    after: Seconds(self.t_switch_max_s.expect("a time")),
                    open: Seconds(self.t_open_s.expect("a pause")),
                },
            ),
            other => panic!("{other}"),
        }
    }

    fn run(&self) -> RunUp {
        run_up(&self.motor(), &self.load(), self.feeding(), self.terminal_voltage_pu, Seconds(120.0))
    }
}

fn cases() -> Vec<Case> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/network/start-times.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("the cases are there");
    reader.deserialize().collect::<Result<_, _>>().expect("every case parses")
}

#[test]
fn every_start_agrees_with_the_independent_integration() {
    let cases = cases();
    assert_eq!(cases.len(), 110);
    let mut wrong = Vec::new();
    for case in &cases {
        let run_up = case.run();
        let mut hold = |what: &str, value: f64, expected: Option<f64>| {
            if let Some(expected) = expected
                && (value - expected).abs() > TOLERANCE * expected.abs()
            {
                wrong.push(format!("{} ({}), {what}: {value} against {expected}", case.case_id, case.method));
            }
        };
        hold("reached", f64::from(u8::from(run_up.reached)), Some(f64::from(u8::from(case.result == "started"))));
        hold("slip at breakdown", case.motor().breakdown_slip(), Some(1.0 - case.n_breakdown_pu));
        hold("time", run_up.time.0, case.t_start_s);
        hold("end speed", run_up.end_speed, Some(case.end_speed_pu));
        hold("I²t of the line", run_up.line_i2t, case.i2t_line_pu2s);
        hold("I²t of the winding", run_up.winding_i2t, case.i2t_winding_pu2s);
        let locked = case.i_locked_rotor_pu;
        hold("equivalent time", run_up.winding_i2t / (locked * locked), case.t_equiv_at_locked_rotor_current_s);
        let at = run_up.change_over.unwrap_or_default();
        hold("time of change-over", at.time.0, case.t_at_switch_s);
        hold("speed at change-over", at.speed, case.speed_at_switch_pu);
        hold("current after change-over", at.current_after, case.i_after_switch_pu);
        if !case.switched_by.is_empty() && at.by_speed != (case.switched_by == "speed") {
            wrong.push(format!("{}: changed over by speed: {}", case.case_id, at.by_speed));
        }
    }
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), cases.len(), wrong.join("\n"));
}

#[test]
fn motors_that_never_get_there_are_among_the_cases() {
    let hanging: Vec<Case> = cases().into_iter().filter(|case| case.result == "not_reached").collect();
    assert!(hanging.len() >= 6);
    for case in hanging {
        assert!(!case.run().reached, "{}", case.case_id);
    }
}
