//! Labels to engrave or print: nameplates of circuits, local isolators, outgoing feeders and main switches, and a tag for each end of each
//! cable. Of circuits as many as the purchase list counts.

use std::borrow::Cow;

use super::{csv, guarded_text, number};
use crate::design::labels::{Carries, TaggedCable, cable_tag, cables, has_isolator, lengths, machines, motors};
use crate::design::{Board, Circuit, Design, Run, Status};
use crate::purchase::boards_that_wait;
use crate::report::submittal::lists::cable_make_up;
use crate::report::submittal::text::decimals_for;
use crate::report::words::brief;
use crate::report::{ReportInput, columns};
use crate::rules::units::Units;

const HEADINGS: [&str; 10] = ["kind", "tag", "line_1", "line_2", "rating", "fed_from", "cable", "end", "quantity", "status"];

/// A label.
#[derive(Default)]
pub(super) struct Label {
    pub(super) kind: &'static str,
    pub(super) tag: String,
    pub(super) line_1: String,
    pub(super) line_2: String,
    pub(super) rating: String,
    pub(super) fed_from: String,
    cable: String,
    /// What the cable is, by its run and not by its number; empty on a nameplate.
    pub(super) names: String,
    pub(super) end: String,
    pub(super) quantity: u32,
    status: &'static str,
}

impl Label {
    /// Its circuit is not sized: what it bears is still to be settled.
    pub(super) fn waits(&self) -> bool {
        self.status == Status::NotSized.words()
    }
}

/// Labels as CSV, in the order of the schedule, those of feeders last. A circuit that is not sized yet has its nameplate, without
/// rating.
#[must_use]
pub fn labels_csv(input: &ReportInput) -> Vec<u8> {
    csv(input, &HEADINGS, of_design(input.design).map(fields))
}

/// All labels in that order; those of a feeder wait as long as its parts.
pub(super) fn of_design(design: &Design) -> impl Iterator<Item = Label> {
    let units = Units::of(&design.rule_book);
    let circuits = design.circuits.iter().flat_map(move |circuit| of_circuit(circuit, units));
    let waiting = boards_that_wait(&design.circuits, &design.boards, &design.basis);
    let boards = move |board: &Board| {
        let waits = waiting.contains(board.name.as_str());
        let status = if waits { Status::NeedsDecision } else { Status::Sized }.words();
        of_feeder(board, status, units).into_iter().chain(of_head(board, status, units))
    };
    circuits.chain(design.boards.iter().flat_map(boards))
}

fn fields(label: Label) -> Vec<Cow<'static, str>> {
    vec![
        Cow::Borrowed(label.kind),
        guarded_text(label.tag),
        guarded_text(label.line_1),
        guarded_text(label.line_2),
        guarded_text(label.rating),
        guarded_text(label.fed_from),
        guarded_text(label.cable),
        guarded_text(label.end),
        number(f64::from(label.quantity)),
        Cow::Borrowed(label.status),
    ]
}

fn of_circuit(circuit: &Circuit, units: Units) -> Vec<Label> {
    let status = circuit.status.words();
    let mut labels = Vec::new();
    for (machine, quantity) in machines(circuit) {
        let base = || Label { tag: machine.to_owned(), quantity, status, ..Label::default() };
        let plate = |line_1: &str, line_2: String, motors: u32| Label {
            kind: "nameplate",
            line_1: line_1.to_owned(),
            line_2,
            rating: rating(circuit, motors, units),
            fed_from: circuit.board.clone(),
            ..base()
        };
        labels.push(plate(machine, circuit.description.clone(), circuit.motors.max(1)));
        if has_isolator(circuit) {
            let what = units.pick("Local isolator", "Disconnect");
            let line_2 =
                if circuit.description.is_empty() { what.to_owned() } else { format!("{what}: {}", circuit.description) };
            labels.extend(motors(circuit, machine).iter().map(|motor| plate(motor, line_2.clone(), 1)));
        }
        let tagged = cables(circuit, machine);
        for (at, tagged_cable) in tagged.iter().enumerate() {
            let names = names(&tagged[..=at]);
            for length in lengths(circuit, tagged_cable) {
                for end in [&length.from, &length.to] {
                    labels.push(Label {
                        kind: "cable-tag",
                        line_1: length.tag.clone(),
                        line_2: format!("{} to {}", length.from, length.to),
                        rating: make_up(tagged_cable.run, units),
                        fed_from: circuit.board.clone(),
                        cable: length.tag.clone(),
                        names: names.clone(),
                        end: end.clone(),
                        ..base()
                    });
                }
            }
        }
    }
    labels
}

/// What the last of these cables is, such as `motor cable 2` or `control cable for space heater`.
fn names(cables: &[TaggedCable<'_>]) -> String {
    let Some(run) = cables.last().map(|cable| cable.run) else { return String::new() };
    let what = |run: &Run| match run.purpose.as_str() {
        "" => format!("{} cable", brief(Units::Metric, &run.role)),
        purpose => format!("{} cable for {purpose}", run.role),
    };
    let alike = cables.iter().filter(|cable| what(cable.run) == what(run)).count();
    let number = if alike > 1 { format!(" {alike}") } else { String::new() };
    what(run) + &number
}

/// The feeder of a board: the nameplate of its device, which stands where the feeder begins, and a tag for each end of each cable.
fn of_feeder(board: &Board, status: &'static str, units: Units) -> Vec<Label> {
    if !columns::has_feeder(board) {
        return Vec::new();
    }
    let from = board.feeder_begins().to_owned();
    let base = || Label { tag: board.name.clone(), quantity: 1, status, fed_from: from.clone(), ..Label::default() };
    let rating = [
        (board.feeder_protection_a > 0.0).then(|| format!("{} A", crate::record::significant(board.feeder_protection_a, 4))),
        (board.voltage_v > 0.0).then(|| format!("{} V", crate::record::significant(board.voltage_v, 4))),
    ];
    let line_2 = format!("Feeder of {}", board.name);
    let rating = rating.into_iter().flatten().collect::<Vec<_>>().join(", ");
    let mut labels = vec![Label { kind: "nameplate", line_1: board.name.clone(), line_2, rating, ..base() }];
    // A board at the terminals of its transformer has conductors that nobody buys as a cable.
    let Some(run) = board.feeder.run.as_ref().filter(|run| run.length_m > 0.0) else { return labels };
    let start = if from.is_empty() { "supply" } else { &from };
    for number in 1..=usize::try_from(run.per_phase.max(1)).unwrap_or(usize::MAX) {
        let cable = cable_tag(&board.name, Carries::Power, number);
        for end in [start, board.name.as_str()] {
            labels.push(Label {
                kind: "cable-tag",
                line_1: cable.clone(),
                line_2: format!("{start} to {}", board.name),
                rating: make_up(run, units),
                cable: cable.clone(),
                end: end.to_owned(),
                ..base()
            });
        }
    }
    labels
}

/// The nameplate of the device at the head of a board, which stands on it.
fn of_head(board: &Board, status: &'static str, units: Units) -> Option<Label> {
    let incoming = board.incoming.as_ref().filter(|incoming| !incoming.part.is_empty())?;
    let what = match incoming.kind.as_str() {
        "circuit-breaker" => units.pick("Main circuit-breaker", "Main circuit breaker"),
        _ => units.pick("Main switch", "Main disconnect switch"),
    };
    let rating = [
        incoming.rating_a.map(|rating_a| format!("{} A", crate::record::significant(rating_a, 4))),
        (board.voltage_v > 0.0).then(|| format!("{} V", crate::record::significant(board.voltage_v, 4))),
    ];
    Some(Label {
        kind: "nameplate",
        tag: board.name.clone(),
        line_1: board.name.clone(),
        line_2: format!("{what} of {}", board.name),
        rating: rating.into_iter().flatten().collect::<Vec<_>>().join(", "),
        // Whoever isolates it reads every source that may feed it.
        fed_from: board.fed_from.clone().unwrap_or_else(|| board.feeder_begins().to_owned()),
        quantity: 1,
        status,
        ..Label::default()
    })
}

/// What stands on the nameplate of so many of the circuit's motors: power of each, voltage, current of them together, and the lines of a
/// single-phase circuit.
fn rating(circuit: &Circuit, motors: u32, units: Units) -> String {
    if circuit.status == Status::NotSized {
        return String::new();
    }
    let load = &circuit.load;
    let shown = |value: f64| crate::record::significant(value, 4);
    let horsepower = load.rated_power_hp.filter(|_| units == Units::Customary);
    let horsepower = horsepower.map(|hp| format!("{} hp", columns::load::horsepower(hp)));
    let power = horsepower.or_else(|| load.rated_power_kw.map(|kw| format!("{} kW", shown(kw))));
    let power = power.map(|power| if motors > 1 { format!("{motors} × {power}") } else { power });
    let voltage = load.voltage_v.map(|volts| format!("{} V", shown(volts)));
    // Beside a motor stands its own nameplate, after which the overload is set; the code's table only sizes what is in front of it.
    let nameplate = circuit.currents.nameplate_a.filter(|_| units == Units::Customary);
    let share = f64::from(motors) / f64::from(circuit.motors.max(1));
    let amperes = nameplate.unwrap_or(circuit.currents.full_load_a * share);
    let by_table = units == Units::Customary && nameplate.is_none() && circuit.currents.source == "table";
    // A current of a nameplate or a table stands as it is; a computed current has more digits than anybody can measure.
    let computed = circuit.currents.source == "computed" && amperes < 100.0;
    let digits = if computed { format!("{amperes:.*}", decimals_for(amperes)) } else { crate::record::significant(amperes, 4) };
    let current = (amperes > 0.0).then(|| format!("{digits} A{}", if by_table { " (table)" } else { "" }));
    let lines = columns::load::lines(circuit).map(str::to_owned);
    [power, voltage, current, lines].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The make-up of the cable as pages and schedules have it, such as `4 × 2.5 mm²`, `3 × 35 + 16 mm²` or `3 × 12 AWG, EGC 12 AWG`.
fn make_up(run: &Run, units: Units) -> String {
    cable_make_up(run, units).replace('\u{a0}', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_nameplate_has_no_digits_that_nobody_measured() {
        let of = |hp: Option<f64>, amperes: f64, source: &str, lines: &str| {
            let mut circuit = Circuit { status: Status::Sized, lines: lines.to_owned(), ..Circuit::default() };
            circuit.load.rated_power_hp = hp;
            circuit.load.voltage_v = Some(115.0);
            (circuit.currents.full_load_a, circuit.currents.source) = (amperes, source.to_owned());
            rating(&circuit, 1, Units::Customary)
        };
        // NFPA 70, Table 430.248: 1/3 hp at 115 V, 7.2 A. 5 kW at 480 V are 5000 / (√3 · 480) = 6.014 A.
        assert_eq!(of(Some(1.0 / 3.0), 7.2, "table", "L3-N"), "1/3 hp, 115 V, 7.2 A (table), L3-N");
        assert_eq!(of(None, 6.014, "computed", ""), "115 V, 6.0 A");
        assert_eq!(of(None, 1.45, "nameplate", ""), "115 V, 1.45 A", "as the sender states it");
        assert_eq!(of(None, 129.6, "computed", ""), "115 V, 129.6 A");
    }

    /// A feeder begins at the board or transformer before it, whatever stands in; the plate of a main switch names all that may feed it.
    #[rstest::rstest]
    #[case::change_over(Some("MDB, G1"), None, "MDB", "MDB, G1")]
    #[case::behind_a_transformer(None, Some("T6"), "T6", "T6")]
    #[case::behind_a_transformer_of_a_board(Some("MDB"), Some("T6"), "T6", "MDB")]
    #[case::the_transformer_of_the_supply(None, Some(crate::design::OF_THE_SUPPLY), "supply", "")]
    fn a_cable_tag_names_where_its_feeder_begins(
        #[case] fed_from: Option<&str>,
        #[case] transformer: Option<&str>,
        #[case] begins: &str,
        #[case] isolated_from: &str,
    ) {
        use crate::design::{BoardFeeder, BoardIncoming, BoardTransformer, Part, Run};
        let run = Run { length_m: 15.0, per_phase: 1, ..Run::default() };
        let head = BoardIncoming { part: "SWITCH".to_owned(), ..BoardIncoming::default() };
        let named = |name: &str| BoardTransformer { name: name.to_owned(), ..BoardTransformer::default() };
        let board = Board {
            name: "E".to_owned(),
            fed_from: fed_from.map(str::to_owned),
            transformer: transformer.map(named),
            feeder: BoardFeeder { run: Some(run), parts: vec![Part::default()], ..BoardFeeder::default() },
            incoming: Some(head),
            ..Board::default()
        };
        let labels = of_feeder(&board, "sized", Units::Metric);
        let tags: Vec<&Label> = labels.iter().filter(|label| label.kind == "cable-tag").collect();
        assert_eq!(tags.iter().map(|tag| tag.end.as_str()).collect::<Vec<_>>(), [begins, "E"]);
        assert!(tags.iter().all(|tag| tag.line_2 == format!("{begins} to E")));
        let plate = of_head(&board, "sized", Units::Metric).expect("it has a switch");
        assert_eq!(plate.fed_from, isolated_from);
    }

    /// 150 hp are 111.9 kW, which schedules state as 112.5 kW: the plate bears what the schedule says.
    #[test]
    fn a_nameplate_bears_the_power_as_the_schedule_states_it() {
        let mut circuit = Circuit { status: Status::Sized, ..Circuit::default() };
        circuit.load.rated_power_kw = Some(112.5);
        circuit.load.voltage_v = Some(400.0);
        assert_eq!(rating(&circuit, 1, Units::Metric), "112.5 kW, 400 V");
    }

    /// NFPA 70, 430.6(A)(2): overload protection goes by the nameplate, not by the table (40 hp at 460 V: 52 A).
    #[test]
    fn a_label_beside_a_motor_bears_its_own_nameplate() {
        let mut circuit = Circuit { status: Status::Sized, ..Circuit::default() };
        circuit.load.rated_power_hp = Some(40.0);
        circuit.currents.full_load_a = 52.0;
        circuit.currents.nameplate_a = Some(47.5);
        "table".clone_into(&mut circuit.currents.source);
        assert_eq!(rating(&circuit, 1, Units::Customary), "40 hp, 47.5 A");
    }

    /// A line, a neutral alike and the grounding conductor: what is pulled is what the tag says.
    #[test]
    fn a_cable_bears_the_conductors_that_pages_tell() {
        let run = Run {
            phase_size: "2 AWG".to_owned(),
            neutral_size: Some("2 AWG".to_owned()),
            protective_size: "8 AWG".to_owned(),
            cores: 3,
            ..Run::default()
        };
        assert_eq!(make_up(&run, Units::Customary), "2 × 2 AWG (1 + N), EGC 8 AWG");
        let run = Run { phase_size: "16 mm2".to_owned(), protective_size: "16 mm2".to_owned(), cores: 4, ..Run::default() };
        assert_eq!(make_up(&run, Units::Metric), "4 × 16 mm²");
    }
}
