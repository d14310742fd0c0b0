//! Published examples of control transformers, control runs and controller outputs, worked out through the public interface.

#[path = "published/harness.rs"]
mod harness;

use harness::{Inputs, Topic};
use motorwright::quantity::{Amperes, SquareMillimetres, VoltAmperes, Volts};
use motorwright::record::Record;
use motorwright::rules::physics::control::{self, Burden, Regulation, Release};

fn coil(inputs: &Inputs) -> Release {
    Release {
        share: inputs.number("m"),
        hold: VoltAmperes(inputs.number("hold_va")),
        voltage: Volts(inputs.number("u_v")),
        frequency: inputs.number("f_hz"),
    }
}

const TOPICS: &[Topic] = &[
    ("event-vector", |i| {
        let holds = Burden::of(VoltAmperes(i.number("hold_va")), Some(i.number("hold_pf")))
            + Burden::of(VoltAmperes(i.number("other_w")), Some(1.0));
        let picks_up = Burden::of(VoltAmperes(i.number("pull_va")), Some(i.number("pull_pf")));
        let event = control::event(&mut Record::new(), holds, picks_up);
        let (active, reactive) = (holds + picks_up).phasor.map_or((f64::NAN, f64::NAN), |(p, q)| (p.0, q.0));
        let (power, factor) = event.vector.map_or((f64::NAN, f64::NAN), |(power, factor)| (power.0, factor));
        vec![("p_w", active.into()), ("q_var", reactive.into()), ("s_va", power.into()), ("pf", factor.into())]
    }),
    ("event-sums", |i| {
        let of = |name| Burden::of(VoltAmperes(i.number(name)), None);
        let event = control::event(&mut Record::new(), of("sealed_va"), of("inrush_va"));
        vec![("root_va", event.root.0.into()), ("sum_va", event.arithmetic.0.into())]
    }),
    ("coil-voltage", |i| {
        let record = &mut Record::new();
        let regulation = Regulation {
            rating: VoltAmperes(i.number("rating_va")),
            resistive_pct: i.number("ur"),
            reactive_pct: i.number("ux"),
        };
        let drop = control::transformer_drop(record, VoltAmperes(i.number("event_va")), Some(i.number("pf")), regulation);
        vec![("coil_pct", control::coil_voltage(record, 1.0, i.number("low_pct"), drop, 0.0).into())]
    }),
    ("run-drop", |i| {
        let (power, size) = (VoltAmperes(i.number("power_va")), SquareMillimetres(i.number("mm2")));
        let reach = control::run_reach(&mut Record::new(), i.number("drop_pct"), power, size, Volts(i.number("u_v")));
        vec![("reach_m", reach.0.into())]
    }),
    ("capacitance", |i| {
        vec![("reach_m", control::capacitance_reach(&mut Record::new(), &coil(i), i.number("c_uf_km")).0.into())]
    }),
    ("swamping", |i| {
        let (record, coil, capacitance) = (&mut Record::new(), coil(i), i.number("c_uf"));
        vec![
            ("left_pct", control::residual_voltage(record, &coil, capacitance).into()),
            ("power_w", control::swamping_power(record, &coil, capacitance).0.into()),
        ]
    }),
    ("output", |i| {
        let record = &mut Record::new();
        let current = control::coil_current(record, VoltAmperes(i.number("coil_w")), Volts(i.number("u_v")));
        let limit = control::output_limit(record, Amperes(i.number("output_a")));
        vec![("current_a", current.0.into()), ("limit_a", limit.0.into()), ("direct", current.fits(limit).into())]
    }),
];

#[test]
fn published_examples_agree() {
    harness::run(include_str!("worked/control.csv"), TOPICS);
}

#[test]
fn the_harness_can_fail() {
    harness::self_check();
}
