//! Published examples of cables, worked out through the public interface.
//!
//! Rows of the collections that have no example here, and why:
//! - SC-03, SC-04, SC-05 as networks: these sheets leave out the voltage factors and the correction of the transformer of IEC 60909-0, so
//!   only the currents of their sums of impedances are here; chains of the network are tried in `network_faults` against libraries;
//! - the second figure of LOOP-02 (aluminium with a smaller protective conductor) uses the guide's rounded factor 0.42.

#[path = "published/harness.rs"]
mod harness;

use harness::{Inputs, Topic};
use motorwright::load::Material;
use motorwright::quantity::{Amperes, Celsius, Impedance, Ohms, Seconds, VoltAmperes, Volts, Watts};
use motorwright::record::Record;
use motorwright::rules::iec::capacity::{self, Insulation, Laid, ReferenceMethod, Surroundings};
use motorwright::rules::iec::{conductor, harmonics, protection};
use motorwright::rules::physics::{currents, drop, fault, starting, thermal};

fn impedance(r: f64, x: f64) -> Impedance {
    Impedance { r: Ohms(r), x: Ohms(x) }
}

fn method(i: &Inputs) -> ReferenceMethod {
    ReferenceMethod::parse(i.text("method")).expect("a reference method")
}

fn insulation(i: &Inputs) -> Insulation {
    Insulation::parse(i.text("insulation")).expect("an insulation")
}

fn around(ambient_c: f64, circuits: f64) -> Surroundings {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small count
    let circuits = circuits as u32;
    Surroundings { air: Celsius(ambient_c), ground: Celsius(20.0), soil: 2.5, circuits, within: 1 }
}

/// Drop in volts between lines of a three-phase run of so many ohms a kilometre.
fn line_drop_v(r: f64, x: f64, metres: f64, amperes: f64, power_factor: f64) -> f64 {
    let line = 1000.0;
    let cable = impedance(r, x) * (metres / 1000.0);
    drop::running_drop(&mut Record::new(), drop::Across::three_phase(Volts(line)), Amperes(amperes), cable, power_factor) * line
        / 100.0
}

const TOPICS: &[Topic] = &[
    ("drop-with-board", |i| {
        let (r, x, u, l) = (i.number("rho") / i.number("s_mm2"), i.number("x"), i.number("u_v"), i.number("l_m"));
        let (run, start) = (i.number("i_run_a"), i.number("i_start_a"));
        let board = i.number("board_drop_v") / i.number("board_a");
        let running = line_drop_v(r, x, l, run, i.number("pf_run")) + board * i.number("board_a");
        let starting = line_drop_v(r, x, l, start, i.number("pf_start")) + board * (i.number("board_a") + start - run);
        vec![("run_pct", (100.0 * running / u).into()), ("start_pct", (100.0 * starting / u).into())]
    }),
    ("drop-mixed", |i| {
        let main =
            line_drop_v(i.number("k_main") / 3f64.sqrt(), 0.0, i.number("l_main_m"), i.number("i_main_a"), 1.0) / 3f64.sqrt();
        let cable = impedance(i.number("k_final") / 2.0, 0.0) * (i.number("l_final_m") / 1000.0);
        let last = drop::running_drop(
            &mut Record::new(),
            drop::Across::two_wires(Volts(230.0)),
            Amperes(i.number("i_final_a")),
            cable,
            1.0,
        ) * 2.3;
        vec![("drop_v", (main + last).into()), ("drop_pct", ((main + last) / 2.3).into())]
    }),
    ("unit-drop", |i| {
        vec![("drop_v", line_drop_v(i.number("mv_a_m") / 3f64.sqrt(), 0.0, i.number("l_m"), i.number("i_a"), 1.0).into())]
    }),
    ("unit-drop-from-resistivity", |i| {
        vec![(
            "k_v_per_a_km",
            line_drop_v(i.number("rho") / i.number("s_mm2"), i.number("x"), 1000.0, 1.0, i.number("pf")).into(),
        )]
    }),
    ("motor-cable", |i| {
        let record = &mut Record::new();
        let u = Volts(i.number("u_v"));
        let current = currents::motor_current(record, Watts(i.number("kw") * 1000.0), u, i.number("eff"), i.number("pf"), 3);
        let cable = impedance(i.number("r"), i.number("x")) * (i.number("l_m") / 1000.0);
        let across = drop::Across::three_phase(u);
        let running = drop::running_drop(record, across, current, cable, i.number("pf"));
        let starting = drop::running_drop(record, across, current * i.number("lrc"), cable, i.number("pf_start"));
        let size = thermal::smallest_size(record, Amperes(i.number("isc_a")), Seconds(i.number("t_s")), i.number("k"));
        vec![
            ("current_a", current.0.into()),
            ("run_pct", running.into()),
            ("start_pct", starting.into()),
            ("s_min_mm2", size.0.into()),
        ]
    }),
    ("needed-capacity", |i| {
        let factors =
            capacity::factors(method(i), insulation(i), around(i.number("ambient_c"), i.number("circuits"))).expect("factors");
        let whole: f64 = factors.iter().product();
        vec![("load_needed_a", (i.number("load_a") / whole).into()), ("device_needed_a", (i.number("device_a") / whole).into())]
    }),
    ("transformer-cable", |i| {
        let total =
            currents::apparent_current(&mut Record::new(), VoltAmperes(i.number("kva") * 1000.0), Volts(i.number("u_v")), 3);
        let of = |size: f64| capacity::tabulated(method(i), insulation(i), 3, Material::Copper, size).expect("a figure").0;
        vec![
            ("total_a", total.0.into()),
            ("each_a", (total.0 / i.number("cables")).into()),
            ("capacity_a", of(i.number("s_mm2")).into()),
            ("smaller_a", of(i.number("smaller_mm2")).into()),
        ]
    }),
    ("load-cable", |i| {
        let total = currents::active_current(
            &mut Record::new(),
            Watts(i.number("kw") * 1000.0),
            Volts(i.number("u_v")),
            i.number("pf"),
            3,
        );
        let capacity = capacity::tabulated(method(i), insulation(i), 3, Material::Copper, i.number("s_mm2")).expect("a figure");
        vec![("total_a", total.0.into()), ("each_a", (total.0 / i.number("cables")).into()), ("capacity_a", capacity.0.into())]
    }),
    ("corrected-capacity", |i| {
        let laid = Laid { method: method(i), insulation: insulation(i), loaded: 3, material: Material::Copper };
        let around = around(i.number("ambient_c"), 1.0);
        let table = capacity::tabulated(laid.method, laid.insulation, 3, Material::Copper, i.number("s_mm2")).expect("a figure");
        let factors = capacity::factors(laid.method, laid.insulation, around).expect("factors");
        let corrected = capacity::corrected(&mut Record::new(), laid, i.number("s_mm2"), 1, around).expect("a capacity");
        vec![("table_a", table.0.into()), ("factor", factors[0].into()), ("iz_a", corrected.0.into())]
    }),
    ("neutral-harmonics", |i| {
        let of_one = harmonics::beside_neutral(&mut Record::new(), Amperes(1.0), i.number("third"));
        let needed = i.number("load_a") / of_one.0;
        let laid = Laid { method: method(i), insulation: insulation(i), loaded: 3, material: Material::Copper };
        let carries = |size: &f64| {
            capacity::tabulated(laid.method, laid.insulation, laid.loaded, laid.material, *size)
                .is_some_and(|tabulated| tabulated.0 >= needed)
        };
        let size = [1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0].into_iter().find(carries).expect("a size");
        vec![("needed_a", needed.into()), ("size_mm2", size.into())]
    }),
    ("adiabatic", |i| {
        let size = thermal::smallest_size(&mut Record::new(), Amperes(i.number("i_a")), Seconds(i.number("t_s")), i.number("k"));
        vec![("s_min_mm2", size.0.into()), ("size_mm2", conductor::next_size(size.0).expect("a size").into())]
    }),
    ("earth-loop", |i| {
        vec![(
            "if_a",
            fault::of_loop(&mut Record::new(), 1.0, Volts(i.number("u0_v")), impedance(i.number("zs_ohm"), 0.0)).0.into(),
        )]
    }),
    ("loop-at-length", |i| {
        let r = i.number("rho") * i.number("l_m") * (1.0 + i.number("m")) / i.number("s_mm2");
        vec![("i_a", fault::of_loop(&mut Record::new(), i.number("factor"), Volts(i.number("u0_v")), impedance(r, 0.0)).0.into())]
    }),
    ("fuse-loop", |i| {
        let operates =
            protection::gg_disconnection_current(Amperes(i.number("in_a")), Seconds(i.number("t_s"))).expect("a current");
        vec![("ia_a", operates.0.into()), ("zs_ohm", (i.number("u0_v") / operates.0).into())]
    }),
    ("sum-of-impedances", |i| {
        // Each element in mΩ, `r x` or a cable `rho x m mm2`, behind those before it. The sum is made here; of the program its current is
        // tried.
        let mut path = impedance(0.0, 0.0);
        for element in i.text("path_mohm").split(" + ") {
            let figures: Vec<f64> = element.split_whitespace().map(|figure| figure.parse().expect("a figure")).collect();
            path = path
                + match figures.as_slice() {
                    [r, x] => impedance(*r, *x) * 0.001,
                    [r, x, m] => impedance(*r, *x) * (*m / 1000.0),
                    [rho, x, m, mm2] => impedance(*rho / *mm2, *x) * (*m / 1000.0),
                    _ => panic!("{element}"),
                };
        }
        let fault = fault::three_phase(&mut Record::new(), 1.0, Volts(i.number("u_v")), path);
        vec![("isc_ka", (fault.0 / 1000.0).into())]
    }),
    ("transformer-fault", |i| {
        let record = &mut Record::new();
        let (va, u) = (i.number("kva") * 1000.0, i.number("u_v"));
        let rated = currents::apparent_current(record, VoltAmperes(va), Volts(u), 3);
        let path = impedance(0.0, i.number("uk_pct") / 100.0 * u * u / va);
        vec![("in_a", rated.0.into()), ("isc_ka", (fault::three_phase(record, 1.0, Volts(u), path).0 / 1000.0).into())]
    }),
    ("cable-end-fault", |i| {
        let record = &mut Record::new();
        let u = Volts(i.number("u_v"));
        let behind = fault::source(record, 1.0, u, Amperes(i.number("isc_up_ka") * 1000.0), i.number("x_over_r"));
        let cable = impedance(i.number("rho") / i.number("s_mm2"), i.number("x")) * (i.number("l_m") / 1000.0);
        vec![("isc_ka", (fault::three_phase(record, 1.0, u, behind + cable).0 / 1000.0).into())]
    }),
    ("network-and-transformer", |i| {
        let u = i.number("u_v");
        let x = u * u / (i.number("psc_mva") * 1e6) + i.number("uk_pct") / 100.0 * u * u / (i.number("kva") * 1000.0);
        vec![("isc_ka", (fault::three_phase(&mut Record::new(), 1.0, Volts(u), impedance(0.0, x)).0 / 1000.0).into())]
    }),
    ("fuse-overload", |i| {
        let fusing = protection::conventional_gg(Amperes(i.number("in_a"))).expect("a row").fusing_x;
        vec![("if_x", fusing.into()), ("in_over_iz", (1.45 / fusing).into())]
    }),
    ("six-leads", |i| vec![("core_a", starting::winding_current(&mut Record::new(), Amperes(i.number("ie_a"))).0.into())]),
];

#[test]
fn published_examples_agree() {
    harness::run(include_str!("published/conductors.csv"), TOPICS);
}

#[test]
fn the_harness_can_fail() {
    harness::self_check();
}
