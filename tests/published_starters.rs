//! Published examples of motor currents, starting, contactors, overload relays and fuses, worked out through the public interface.
//!
//! Rows of the collections that have no example here, and why:
//! - conductors, overload and short-circuit protection after NFPA 70 (part winding 62.5 %, 430.32, 430.52): the second rule book;
//! - weakest link of an assembly (W62): examples of the second rule book;
//! - control transformer, voltage drop and capacitance of control cables, controller outputs: a file of their own;
//! - acceleration time in star: the example refers to a row whose inputs are not recorded; the rule is tested in its own file;
//! - voltage drop, capacity, adiabatic, loop impedance, short circuit: the cable rules have their own file.

mod common;
#[path = "published/harness.rs"]
mod harness;

use common::design_of;
use harness::{Inputs, Topic};
use motorwright::quantity::{Amperes, Celsius, Metres, Ohms, Seconds, Vars, VoltAmperes, Volts, Watts, round_to};
use motorwright::record::Record;
use motorwright::rules::iec::switching::{self, Lamps};
use motorwright::rules::iec::{currents as guide, overload, protection};
use motorwright::rules::physics::contactors::{self, Family};
use motorwright::rules::physics::currents;
use motorwright::rules::physics::heat;
use motorwright::rules::physics::starting::{self, Start};
use motorwright::rules::physics::tripping::{self, TripClass};

const TOPICS: &[Topic] = &[
    ("motor-current", |i| {
        let record = &mut Record::new();
        let power = Watts(i.number("kw") * 1000.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 1 or 3
        let phases = i.number("phases") as u32;
        let current = currents::motor_current(record, power, Volts(i.number("u_v")), i.number("eff"), i.number("pf"), phases);
        vec![("current_a", current.0.into())]
    }),
    ("enclosure-rise", |i| {
        // What the walls give off at a rise of one kelvin.
        let dissipation = Watts(i.number("area_m2") * i.number("k_w_m2_k"));
        vec![("rise_k", heat::air_rise(&mut Record::new(), Watts(i.number("loss_w")), dissipation, 1.0).into())]
    }),
    ("pole-loss", |i| {
        let at_one_ampere = Watts(i.number("poles") * i.number("r_mohm") / 1000.0);
        let current = ampere(i, "i_a");
        let loss = heat::loss_at(&mut Record::new(), Watts(0.0), at_one_ampere, current, Amperes(1.0));
        vec![("loss_w", loss.0.into())]
    }),
    ("rated-torque", |i| {
        let torque = starting::rated_torque_nm(&mut Record::new(), Watts(i.number("kw") * 1000.0), i.number("rpm"));
        vec![("torque_nm", torque.into())]
    }),
    ("apparent-current", |i| {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 1 or 3
        let phases = i.number("phases") as u32;
        let power = VoltAmperes(i.number("kva") * 1000.0);
        let current = currents::apparent_current(&mut Record::new(), power, Volts(i.number("u_v")), phases);
        vec![("current_a", current.0.into())]
    }),
    ("star-delta-roles", |i| {
        // The contactors of a circuit, so that what is held is what circuits use.
        let schedule = format!(
            "tag,rated_power_kw,voltage_v,full_load_current_a,efficiency_class,locked_rotor_ratio,motor_voltages,starting_method,cable_length_m\n\
             P-1,55,400,{},IE2,6,400/690,star-delta,20\n",
            i.number("ie_a")
        );
        let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nprospective_fault_ka = 10\n";
        let contactors = &design_of(&schedule, basis).circuits[0].contactors;
        let of = |role: &str| contactors.iter().find(|contactor| contactor.role == role).expect("a contactor");
        assert!(contactors.iter().all(|contactor| contactor.category == of("line").category));
        vec![
            ("line_a", of("line").current_a.into()),
            ("delta_a", of("delta").current_a.into()),
            ("star_a", of("star").current_a.into()),
            ("category", of("line").category.clone().into()),
        ]
    }),
    ("winding-setting", |i| {
        let setting = overload::setting(&mut Record::new(), overload::Position::Winding, ampere(i, "ie_a"));
        vec![("setting_a", setting.0.into())]
    }),
    ("star-start", |i| {
        let record = &mut Record::new();
        let ratio = i.number("ratio");
        let current = starting::line_start_current(record, Start::StarDelta, ampere(i, "ie_a"), ratio);
        let factor = starting::torque_factor(record, Start::StarDelta, ratio).unwrap_or(f64::NAN);
        let torque = starting::available_torque(record, i.number("torque"), factor, 1.0);
        vec![("current_a", current.0.into()), ("torque", torque.into())]
    }),
    ("star-time", |i| {
        let record = &mut Record::new();
        let rated = ampere(i, "ie_a");
        let start = starting::line_start_current(record, Start::StarDelta, rated, i.number("ratio"));
        let star = starting::star_contactor_current(record, rated);
        let line = starting::winding_current(record, rated);
        let mut time = |rating| contactors::allowed_start_time(record, rating, start, switching::withstand(rating)).0;
        vec![("star_s", time(star).into()), ("line_s", time(line).into())]
    }),
    ("winding-current", |i| vec![("current_a", starting::winding_current(&mut Record::new(), ampere(i, "ie_a")).0.into())]),
    ("autotransformer", |i| {
        let record = &mut Record::new();
        let tap = i.number("tap");
        let start = Start::Autotransformer(tap);
        vec![
            ("line", starting::line_start_current(record, start, Amperes(1.0), 1.0).0.into()),
            ("torque", starting::torque_factor(record, start, 1.0).unwrap_or(f64::NAN).into()),
            ("star_point", starting::star_point_contactor_current(record, Amperes(1.0), tap).0.into()),
        ]
    }),
    ("limited-torque", |i| {
        let record = &mut Record::new();
        let factor = starting::torque_factor(record, Start::CurrentLimit(i.number("limit")), i.number("ratio"));
        let torque = starting::available_torque(record, i.number("torque"), factor.unwrap_or(f64::NAN), 1.0);
        vec![("torque", torque.into())]
    }),
    ("inside-delta", |i| {
        let record = &mut Record::new();
        let rated = ampere(i, "ie_a");
        vec![
            ("controller_a", starting::winding_current(record, rated).0.into()),
            ("overload_a", overload::setting(record, overload::Position::Winding, rated).0.into()),
            ("upstream_a", overload::setting(record, overload::Position::Line, rated).0.into()),
        ]
    }),
    ("drive-input", |i| {
        let record = &mut Record::new();
        let (power, volts, eff) = (Watts(i.number("kw") * 1000.0), Volts(i.number("u_v")), i.number("eff"));
        let motor = currents::motor_current(record, power, volts, eff, i.number("pf"), 3);
        let input = currents::drive_input_current(record, power, volts, eff, i.number("eff_drive"), i.number("lambda"), 3);
        vec![("motor_a", motor.0.into()), ("input_a", input.0.into())]
    }),
    ("dahlander", |i| vec![("star_point_a", starting::high_star_current(&mut Record::new(), ampere(i, "high_a")).0.into())]),
    ("nine-terminal", |i| {
        let (third, fourth) = starting::nine_terminal_currents(&mut Record::new(), ampere(i, "low_a"), ampere(i, "high_a"));
        vec![("third_a", third.0.into()), ("fourth_a", fourth.0.into())]
    }),
    ("part-winding", |i| {
        let record = &mut Record::new();
        let (rated, share) = (ampere(i, "ie_a"), i.number("share"));
        vec![
            ("contactor_a", starting::part_current(record, rated, share).0.into()),
            ("overload_a", overload::setting(record, overload::Position::Part(share), rated).0.into()),
        ]
    }),
    ("rotor-resistance", |i| {
        let rotor = Ohms(i.number("r_ohm"));
        let added = starting::rotor_starting_resistance(&mut Record::new(), rotor, i.number("slip"), i.number("torque"));
        vec![("r_ohm", added.0.into())]
    }),
    ("class-time", |i| {
        let time = tripping::cold_trip_time(&mut Record::new(), class(i), i.number("multiple"));
        vec![("time_s", time.map_or(f64::NAN, |time| time.0).into())]
    }),
    ("square-time", |i| {
        let time = tripping::square_trip_time(&mut Record::new(), Seconds(i.number("at_six_s")), i.number("multiple"));
        vec![("time_s", time.0.into())]
    }),
    ("multiplier-time", |i| {
        let time = tripping::multiplier_trip_time(&mut Record::new(), i.number("cm"), i.number("multiple"));
        vec![("time_s", time.map_or(f64::NAN, |time| time.0).into())]
    }),
    ("class-factor", |i| {
        let factor = contactors::class_factor(&mut Record::new(), i.number("class"));
        vec![("factor", factor.into()), ("demand_a", (ampere(i, "ie_a") * factor).0.into())]
    }),
    ("recovery", |i| vec![("minutes", tripping::recovery_minutes(&mut Record::new(), class(i)).into())]),
    ("inrush", |i| {
        let record = &mut Record::new();
        let start = starting::locked_rotor_current(record, ampere(i, "ie_a"), i.number("ratio"));
        let (multiple, base) = (i.number("multiple"), ampere(i, "base_a"));
        let band = protection::magnetic_band(record, multiple, base, i.number("tolerance_pct"));
        let exact = protection::magnetic_band(record, multiple, base, 0.0);
        let check = protection::inrush(record, start, i.number("peak_factor"), band);
        let nominal = protection::inrush(record, start, 1.0, exact);
        vec![
            ("rms_a", start.0.into()),
            ("magnetic_a", band.nominal.0.into()),
            ("peak_a", check.peak.0.into()),
            ("trip_peak_a", check.trip_peak.0.into()),
            ("trip_peak_nominal_a", nominal.trip_peak.0.into()),
            ("rides_through", (check.symmetrical.0 < check.least.0).into()),
            ("peak_fits", check.peak.fits(check.trip_peak).into()),
        ]
    }),
    ("mixed-life", |i| {
        let (ac3, ac4) = (i.number("n3_m") * 1e6, i.number("n4_m") * 1e6);
        let life = contactors::mixed_life(&mut Record::new(), ac3, ac4, i.number("share"));
        vec![("life_m", (life / 1e6).into())]
    }),
    ("life-over-current", |i| {
        let broken = Amperes(100.0) * i.number("current_share");
        let life = contactors::life_at_current(&mut Record::new(), 1e6, Amperes(100.0), broken, i.number("exponent"), 1e7);
        vec![("life_ratio", (life / 1e6).into())]
    }),
    ("life-years", |i| {
        let record = &mut Record::new();
        let a_year = contactors::operations_a_year(record, i.number("starts_h"), i.number("hours") * i.number("days"));
        let years = contactors::years_of_life(record, i.number("operations"), a_year);
        vec![("a_year", a_year.into()), ("years", years.unwrap_or(f64::NAN).into())]
    }),
    ("parallel-poles", |i| {
        let record = &mut Record::new();
        let one = ampere(i, "ac1_a");
        let mut rating = |stated| contactors::paralleled_rating(record, one, pole_factor(i, stated)).0;
        vec![("cautious_a", rating(false).into()), ("data_sheet_a", rating(true).into())]
    }),
    ("heater-on-poles", |i| {
        let record = &mut Record::new();
        let power = Watts(i.number("kw") * 1000.0);
        let current = currents::active_current(record, power, Volts(i.number("u_v")), 1.0, 1);
        let mut demand = |stated| contactors::one_pole_demand(record, current, pole_factor(i, stated)).0;
        vec![("current_a", current.0.into()), ("cautious_a", demand(false).into()), ("data_sheet_a", demand(true).into())]
    }),
    ("altitude", |i| {
        let factors = contactors::altitude_factors(Metres(i.number("altitude_m")));
        let (current, voltage) = factors.map_or((f64::NAN, f64::NAN), |f| (f.current, f.voltage));
        vec![("current_a", (i.number("ie_a") * current).into()), ("voltage_v", (i.number("u_v") * voltage).into())]
    }),
    ("ambient-ac1", |i| {
        let factor = contactors::ambient_factor(&mut Record::new(), Family::ContactorAc1, Celsius(i.number("air_c")));
        vec![("current_a", (i.number("ith_a") * factor.unwrap_or(f64::NAN)).into())]
    }),
    ("electronics-altitude", |i| {
        let altitude = Metres(i.number("altitude_m"));
        let of = |family| contactors::altitude_factor_of_electronics(&mut Record::new(), family, altitude);
        vec![
            ("drive", of(Family::Drive).unwrap_or(f64::NAN).into()),
            ("soft_starter", of(Family::SoftStarter).unwrap_or(f64::NAN).into()),
        ]
    }),
    ("capacitor", |i| {
        let record = &mut Record::new();
        let current = currents::capacitor_current(record, Vars(i.number("kvar") * 1000.0), Volts(i.number("u_v")), 3);
        let demand = switching::capacitor_demand(record, current);
        vec![("current_a", current.0.into()), ("demand_a", demand.0.into())]
    }),
    ("lamps", |i| {
        let record = &mut Record::new();
        let mut of = |lamps| switching::lamp_current(record, ampere(i, "ac1_a"), lamps).0;
        vec![
            ("filament_a", of(Lamps::Filament).into()),
            ("magnetic_a", of(Lamps::MagneticBallast).into()),
            ("electronic_a", of(Lamps::ElectronicBallast).into()),
        ]
    }),
    ("semiconductor", |i| {
        let rating = switching::semiconductor_rating(&mut Record::new(), ampere(i, "rating_a"), i.number("ratio"));
        vec![("rating_a", rating.0.into())]
    }),
    ("high-efficiency", |i| {
        let factor = switching::high_efficiency_factor(&mut Record::new(), Some(i.number("ratio")));
        vec![("factor", round_to(factor, 3).into()), ("demand_a", (ampere(i, "ie_a") * factor).0.into())]
    }),
    ("star-contactor-long", |i| {
        let record = &mut Record::new();
        let rated = ampere(i, "ie_a");
        let start = starting::line_start_current(record, Start::StarDelta, rated, i.number("ratio"));
        let star = starting::star_contactor_current(record, rated);
        let thermal = contactors::rating_for_start(record, start, Seconds(i.number("time_s")), switching::withstand(star));
        vec![("rating_a", star.max(thermal).0.into())]
    }),
    ("star-multiples", |i| {
        let record = &mut Record::new();
        let rated = ampere(i, "ie_a");
        let start = starting::line_start_current(record, Start::StarDelta, rated, i.number("ratio"));
        let class = TripClass::parse("10").expect("a class");
        let mut at = |position| {
            let setting = overload::setting(record, position, rated);
            let multiple = tripping::multiple(record, start, setting);
            (multiple, tripping::cold_trip_time(record, class, multiple).map_or(f64::NAN, |time| time.0))
        };
        let (winding, line) = (at(overload::Position::Winding), at(overload::Position::Line));
        vec![
            ("winding_multiple", winding.0.into()),
            ("winding_s", winding.1.into()),
            ("line_multiple", line.0.into()),
            ("line_s", line.1.into()),
        ]
    }),
    ("fuse-disconnection", |i| {
        let current = protection::gg_disconnection_current(ampere(i, "in_a"), Seconds(i.number("time_s")));
        vec![("ia_a", current.map_or(f64::NAN, |current| current.0).into())]
    }),
    ("fuse-conventional", |i| {
        let row = protection::conventional_gg(ampere(i, "in_a"));
        vec![("fusing_x", row.map_or(f64::NAN, |row| row.fusing_x).into())]
    }),
    ("magnetic-band", |i| {
        let record = &mut Record::new();
        let band = protection::magnetic_band(record, i.number("multiple"), ampere(i, "base_a"), i.number("tolerance_pct"));
        vec![("nominal_a", band.nominal.0.into()), ("least_a", band.least.0.into()), ("most_a", band.most.0.into())]
    }),
];

fn ampere(inputs: &Inputs, name: &str) -> Amperes {
    Amperes(inputs.number(name))
}

fn class(inputs: &Inputs) -> TripClass {
    TripClass::parse(inputs.text("class")).expect("the example names a class")
}

fn pole_factor(inputs: &Inputs, stated_by_data_sheet: bool) -> f64 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a handful of poles
    let poles = inputs.number("poles") as u32;
    contactors::parallel_factor(poles, stated_by_data_sheet).unwrap_or(f64::NAN)
}

#[test]
fn published_examples_agree() {
    harness::run(include_str!("published/starters.csv"), TOPICS);
}

#[test]
fn the_harness_can_fail() {
    harness::self_check();
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Published {
    output_kw: f64,
    pf: f64,
    eff_pct: f64,
    current_a: f64,
    fuse_direct_a: f64,
    fuse_star_delta_a: Option<f64>,
}

fn published_motors() -> Vec<Published> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(include_bytes!("published/motor-fuses.csv").as_slice())
        .into_deserialize()
        .collect::<Result<_, _>>()
        .expect("the published table parses")
}

/// Preferred ratings between two fuses; 35, 224 and 355 A and more are second choices that the published list does not use.
fn steps_up(from: f64, to: Amperes) -> Option<usize> {
    let first_choice = |rating: &Amperes| ![35.0, 224.0, 355.0, 425.0, 450.0, 8.0, 12.0].contains(&rating.0);
    let ladder: Vec<Amperes> = protection::fuse_ratings().filter(first_choice).collect();
    let position = |rating: Amperes| ladder.iter().position(|step| *step >= rating);
    position(to)?.checked_sub(position(Amperes(from))?)
}

/// The published list of smallest motor fuses, after DIN VDE 0636 practice: ours is never smaller and never more than two steps larger,
/// but for one row that the test names.
#[test]
fn fuses_for_a_start_agree_with_the_published_list() {
    let record = &mut Record::new();
    for motor in published_motors() {
        let rated = Amperes(motor.current_a);
        let direct = protection::smallest_gg_for_start(record, rated, rated * 6.0, Seconds(5.0)).unwrap_or_default();
        let steps = steps_up(motor.fuse_direct_a, direct);
        assert!(
            steps.is_some_and(|steps| steps <= 2),
            "{} kW direct: {direct:?}, published {}",
            motor.output_kw,
            motor.fuse_direct_a
        );
        if let Some(published) = motor.fuse_star_delta_a {
            let star = protection::smallest_gg_for_start(record, rated, rated * 2.0, Seconds(15.0)).unwrap_or_default();
            // The list does not load 100 A with 99 A, but it does load 200 A with 196 A: no rule, so that one row is let go.
            if motor.output_kw == 55.0 {
                assert_eq!((star, published), (Amperes(100.0), 125.0));
                continue;
            }
            let steps = steps_up(published, star);
            assert!(steps.is_some_and(|steps| steps <= 2), "{} kW star-delta: {star:?}, published {published}", motor.output_kw);
        }
    }
}

/// The same list of motors, from the generation of the guide table: 6.5 % from 0.55 kW.
#[test]
fn guide_currents_agree_with_the_published_list() {
    let record = &mut Record::new();
    let mut compared = 0;
    for motor in published_motors().into_iter().filter(|motor| motor.output_kw >= 0.55) {
        let output = Watts(motor.output_kw * 1000.0);
        let guide = guide::guide_current(record, output, Volts(400.0)).map_or(f64::NAN, |guide| guide.current.0);
        assert!((guide / motor.current_a - 1.0).abs() < 0.065, "{} kW: {guide}, published {}", motor.output_kw, motor.current_a);
        let computed = currents::motor_current(record, output, Volts(400.0), motor.eff_pct / 100.0, motor.pf, 3).0;
        assert!((computed / motor.current_a - 1.0).abs() < 0.04, "{} kW: {computed}", motor.output_kw);
        compared += 1;
    }
    assert!(compared >= 20, "{compared}");
}

#[test]
fn every_topic_stands_once() {
    let mut names: Vec<&str> = TOPICS.iter().map(|(topic, _)| *topic).collect();
    names.sort_unstable();
    let all = names.len();
    names.dedup();
    assert_eq!(all, names.len());
}
