//! Published examples of conductors, raceways and grounding after NFPA 70, worked out through the public interface.
//!
//! Examples of the collection that concern currents, devices, overload and feeders are worked out elsewhere.

#[path = "published/harness.rs"]
mod harness;

use harness::{Inputs, Topic, Value};
use motorwright::load::Material;
use motorwright::quantity::{Amperes, Celsius, Impedance, Metres, Volts};
use motorwright::record::Record;
use motorwright::rules::nec::ampacity::{self, Column};
use motorwright::rules::nec::conductor::{Insulation, Size};
use motorwright::rules::nec::grounding::{self, Phase};
use motorwright::rules::nec::impedance::{self, Wall};
use motorwright::rules::nec::raceway::{self, Contents, Kind};
use motorwright::rules::nec::{Edition, need};
use motorwright::rules::physics::drop;

fn size(i: &Inputs, name: &str) -> Size {
    Size::parse(i.text(name)).expect("a size")
}

fn column(i: &Inputs) -> Column {
    Column::of(Celsius(i.number("term_c"))).expect("a column")
}

fn insulation(i: &Inputs) -> Insulation {
    Insulation::parse(i.text("insulation")).expect("an insulation")
}

fn of_insulation(i: &Inputs) -> Column {
    insulation(i).temperature(false).and_then(Column::of).expect("a column")
}

fn count(i: &Inputs) -> u32 {
    i.text("count").parse().expect("a count")
}

fn flc(i: &Inputs) -> Amperes {
    Amperes(i.number("flc_a"))
}

/// A size; numeric names are compared as numbers.
fn named(size: Option<Size>) -> Value {
    let name = size.expect("a size").name();
    name.parse::<f64>().map_or_else(|_| name.into(), Value::from)
}

fn smallest(need: Amperes, column: Column) -> Option<Size> {
    ampacity::smallest(need, Material::Copper, column, 1.0)
}

fn ground(device_a: f64, size: Size, least: Option<Size>) -> Option<Size> {
    let phase = |size| Phase { size, sets: 1 };
    grounding::conductor(&mut Record::new(), Amperes(device_a), Material::Copper, phase(size), least.map(phase))
}

fn material(i: &Inputs) -> Material {
    if i.text("material") == "copper" { Material::Copper } else { Material::Aluminium }
}

fn wall(i: &Inputs) -> Wall {
    match i.text("wall") {
        "steel" => Wall::Steel,
        "aluminium" => Wall::Aluminium,
        _ => Wall::Pvc,
    }
}

/// Cable of a length in feet, from the tables.
fn cable(i: &Inputs) -> Impedance {
    let impedance = impedance::per_thousand_feet(size(i, "size"), material(i), wall(i)).expect("a row").impedance;
    impedance::of_length(&mut Record::new(), impedance, material(i), Celsius(75.0), 60.0, Metres(i.number("length_ft") * 0.3048))
}

/// Drops from an effective impedance of 1000 ft.
fn drops(i: &Inputs, z: f64) -> harness::Results {
    let to_neutral = i.number("i_a") * z * i.number("length_ft") / 1000.0;
    let between = to_neutral * 3f64.sqrt();
    vec![
        ("z", z.into()),
        ("line_neutral_v", to_neutral.into()),
        ("line_line_v", between.into()),
        ("drop_pct", (100.0 * between / i.number("volts")).into()),
    ]
}

const TOPICS: &[Topic] = &[
    ("motor-need", |i| vec![("need_a", need::single_motor(&mut Record::new(), flc(i)).0.into())]),
    ("motor-conductor", |i| {
        let need = need::single_motor(&mut Record::new(), flc(i));
        vec![("need_a", need.0.into()), ("size", named(smallest(need, column(i))))]
    }),
    ("motor-conductor-and-ground", |i| {
        let need = need::single_motor(&mut Record::new(), flc(i));
        let size = smallest(need, column(i)).expect("a size");
        vec![("need_a", need.0.into()), ("size", named(Some(size))), ("egc", named(ground(i.number("device_a"), size, None)))]
    }),
    ("default-conductor", |i| {
        let need = need::single_motor(&mut Record::new(), flc(i));
        let marked = ampacity::design_letter_temperature(i.text("letter"), Edition::E2023);
        let holds = |size: &Size| {
            let column = ampacity::termination_column(need, *size, marked).expect("a column");
            ampacity::tabulated(*size, Material::Copper, column).is_some_and(|tabulated| need.fits(tabulated))
        };
        vec![("size", named(Size::all().find(holds)))]
    }),
    ("drive-conductor", |i| {
        let need = need::drive_input(&mut Record::new(), Amperes(i.number("input_a")));
        vec![
            ("need_a", need.0.into()),
            ("size", named(smallest(need, column(i)))),
            ("half", named(smallest(need / 2.0, column(i)))),
        ]
    }),
    ("corrected", |i| {
        let of = |count: u32| {
            let ambient = Celsius(i.number("ambient_c"));
            let size = size(i, "size");
            ampacity::corrected(&mut Record::new(), 1, size, Material::Copper, of_insulation(i), ambient, count)
                .expect("it is tabulated")
                .0
        };
        vec![("ambient_only_a", of(3).into()), ("ampacity_a", of(count(i)).into())]
    }),
    ("usable", |i| {
        let record = &mut Record::new();
        let (size, ambient) = (size(i, "size"), Celsius(i.number("ambient_c")));
        let corrected =
            ampacity::corrected(record, 1, size, Material::Copper, of_insulation(i), ambient, count(i)).expect("a figure");
        let ends = ampacity::at_terminations(record, 1, size, Material::Copper, column(i)).expect("a figure");
        vec![("corrected_a", corrected.0.into()), ("usable_a", ampacity::usable(record, corrected, ends).0.into())]
    }),
    ("conditions", |i| {
        let need = need::single_motor(&mut Record::new(), flc(i));
        let warm = ampacity::ambient_factor(of_insulation(i), Celsius(i.number("ambient_c"))).expect("a factor");
        let factor = warm * ampacity::count_factor(count(i));
        let surroundings = ampacity::smallest(need, Material::Copper, of_insulation(i), factor);
        vec![("need_a", need.0.into()), ("factor", factor.into()), ("size", named(surroundings.max(smallest(need, column(i)))))]
    }),
    ("mixed-fill", |i| {
        let sizes = ["14", "12", "10", "8", "6"];
        let insulation = insulation(i);
        let of = |name: &str| {
            let number: f64 = i.number(&format!("n{name}"));
            (number, insulation.dimensions(Size::parse(name).expect("a size")).expect("dimensions").1)
        };
        let all: Vec<(f64, f64)> = sizes.iter().map(|name| of(name)).collect();
        let area: f64 = all.iter().map(|(number, area)| number * area).sum();
        let number: f64 = all.iter().map(|(number, _)| number).sum();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small count
        let live = number as u32;
        let contents = Contents { live, live_in2: area / number, grounding: 0, grounding_in2: 0.0 };
        let record = &mut Record::new();
        let kind = Kind::parse(i.text("kind")).expect("a kind");
        let chosen = raceway::choose(record, kind, contents, None, None).expect("a raceway");
        vec![("area_in2", contents.area(record).into()), ("trade_size", chosen.trade_size.into())]
    }),
    ("circuit-fill", |i| {
        let area = |name: &str| insulation(i).dimensions(size(i, name)).expect("dimensions").1;
        let contents = Contents { live: 3, live_in2: area("size"), grounding: 1, grounding_in2: area("egc") };
        let record = &mut Record::new();
        let kind = Kind::parse(i.text("kind")).expect("a kind");
        let chosen = raceway::choose(record, kind, contents, None, None).expect("a raceway");
        let trade: f64 = chosen.trade_size.parse().expect("a whole trade size");
        vec![("area_in2", contents.area(record).into()), ("trade_size", trade.into())]
    }),
    ("duty", |i| {
        let rated = match i.text("minutes") {
            "continuous" => need::TimeRating::Continuous,
            text => need::TimeRating::Minutes(text.parse().expect("minutes")),
        };
        let duty = match i.text("duty") {
            "intermittent" => need::Duty::Intermittent,
            "varying" => need::Duty::Varying,
            other => panic!("no duty of the examples: {other}"),
        };
        let duty_cycle = need::duty_cycle(&mut Record::new(), Amperes(i.number("nameplate_a")), duty, rated);
        vec![("need_a", duty_cycle.expect("a value").0.into())]
    }),
    ("hermetic", |i| {
        let hermetic = need::hermetic(&mut Record::new(), Amperes(i.number("rla_a")), Some(Amperes(i.number("bcsc_a"))));
        vec![("need_a", hermetic.0.into())]
    }),
    ("wye-delta", |i| {
        let record = &mut Record::new();
        let (line, leads) = (need::single_motor(record, flc(i)), need::wye_delta_leads(record, flc(i)));
        let factor = ampacity::count_factor(count(i));
        let surroundings = ampacity::smallest(leads, Material::Copper, of_insulation(i), factor);
        vec![
            ("line_a", line.0.into()),
            ("leads_a", leads.0.into()),
            ("over_factor_a", (leads.0 / factor).into()),
            ("leads", named(surroundings.max(smallest(leads, column(i))))),
            ("line", named(smallest(line, column(i)))),
        ]
    }),
    ("part-winding", |i| {
        let record = &mut Record::new();
        vec![
            ("line_a", need::single_motor(record, flc(i)).0.into()),
            ("half_a", need::part_winding_leads(record, flc(i)).0.into()),
        ]
    }),
    ("heat", |i| vec![("need_a", need::electric_heat(&mut Record::new(), Amperes(i.number("load_a"))).0.into())]),
    ("ground", |i| vec![("egc", named(ground(i.number("device_a"), size(i, "size"), None)))]),
    ("enlarged-ground", |i| {
        let (size, least) = (size(i, "size"), size(i, "least"));
        vec![
            ("table", named(grounding::by_device(Amperes(i.number("device_a")), Material::Copper))),
            ("ratio", (size.cmil() / least.cmil()).into()),
            ("egc", named(ground(i.number("device_a"), size, Some(least)))),
        ]
    }),
    ("drop", |i| {
        let across = drop::Across::three_phase(Volts(i.number("volts")));
        let pct = drop::running_drop(&mut Record::new(), across, Amperes(i.number("i_a")), cable(i), i.number("pf"));
        vec![("drop_v", (pct / 100.0 * i.number("volts")).into()), ("drop_pct", pct.into())]
    }),
    ("printed-drop", |i| drops(i, impedance::printed_at_85(size(i, "size"), material(i), wall(i)).expect("a figure").0)),
    ("effective-drop", |i| {
        let impedance = impedance::per_thousand_feet(size(i, "size"), material(i), wall(i)).expect("a row").impedance;
        drops(i, impedance::effective(&mut Record::new(), impedance, i.number("pf")).0)
    }),
];

#[test]
fn published_examples_agree() {
    harness::run(include_str!("published/nec-conductors.csv"), TOPICS);
}

#[test]
fn the_harness_can_fail() {
    harness::self_check();
}
