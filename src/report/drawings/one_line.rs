//! One-line diagram of a board: incoming line, bus, control supplies, and a way for each row of the schedule in its order.
//!
//! Seven ways stand on a drawing, further ones on further drawings of the same board, so that none is higher than a page. Ways that
//! are not sized are dashed with an open circle at the bus: the place is kept and nothing is pretended.

use super::power::{BREAKER, CONTACTOR, FUSE, SWITCH, Symbol, THREE_CONDUCTORS, letters};
use super::svg::{Anchor, Canvas, Dash, Ink, Pen, Size, Stroke, Type, fitted, two_lines, width_of};
use crate::design::{Board, Circuit, ControlSupply, Status};
use crate::quantity::{round_down, round_up};
use crate::report::columns::{self, load as words};
use crate::report::submittal::lists::{make_up, quantity_trimmed, trimmed};
use crate::report::submittal::sheet::{power, runs_alike, so_many};
use crate::report::submittal::state::Link;
use crate::report::submittal::text::{decimals_for, fixed, quantity, with_unit};
use crate::report::words::{brief, full};
use crate::rules::units::Units;

/// Width of the text of a page on both papers, mm.
const WIDTH: f64 = 173.0;
/// Width of a way.
const WAY: f64 = 24.2;
/// Width of a way in a row of few.
const WIDEST_WAY: f64 = 40.0;
/// Ways beside each other.
const WAYS_A_ROW: usize = 7;
/// Place of the first way.
const FIRST: f64 = 7.4;
/// Place of the incoming line: between the first two ways.
const INCOMING: f64 = FIRST + WAY / 2.0;
/// Words begin so far right of a way, and so far left of it below the load.
const BESIDE: f64 = 2.6;
const BELOW: f64 = 6.0;
/// Room between the words beside a way and the next way; behind the last of seven the frame ends sooner than another way would begin.
const APART: f64 = 3.8;
/// Room between the words of neighbouring loads, and height of a line of a tag.
const ASIDE: f64 = 1.4;
const TAG_LINE: f64 = 3.6;
/// Height of the bus in a drawing with the incoming line, and in one that goes on.
const BUS: f64 = 26.0;
const BUS_AGAIN: f64 = 5.0;
/// Control supplies that are drawn; all stand in the table beside.
const SUPPLIES: usize = 3;

const CONDUCTOR: Pen = Pen::solid(Stroke::Conductor, Ink::Ink);
const KEPT: Pen = CONDUCTOR.dashed(Dash::Dashes);
const OUTLINE: Pen = Pen::solid(Stroke::Outline, Ink::Ink);

/// A board with its ways and where each is shown.
pub(in crate::report) struct Ways<'a> {
    /// Name of the board.
    pub(in crate::report) name: &'a str,
    /// The board of the design, where there is one.
    pub(in crate::report) board: Option<&'a Board>,
    /// Its ways.
    pub(in crate::report) ways: Vec<(&'a Circuit, &'a Link)>,
}

/// The drawings of a board.
pub(in crate::report) fn one_line(board: &Ways<'_>, number: usize, units: Units) -> Vec<String> {
    let rows: Vec<&[(&Circuit, &Link)]> = board.ways.chunks(WAYS_A_ROW).collect();
    let count = rows.len();
    let draw = |(index, row): (usize, &&[(&Circuit, &Link)])| {
        let mut canvas = Canvas::new(WIDTH, 1.0);
        let y = if index == 0 { BUS } else { BUS_AGAIN };
        let pitch = pitch_of(row.len());
        bus(&mut canvas, board, y, index, row.len(), units);
        for (place, (circuit, link)) in row.iter().enumerate() {
            way(&mut canvas, circuit, link, [place_of(place, pitch), y, pitch], units);
        }
        let broken = row.iter().any(|(circuit, _)| tag_lines(circuit, pitch).len() > 1);
        canvas.grow_to(y + 75.0 + if broken { TAG_LINE } else { 0.0 });
        let id = format!("b{number}-{index}");
        let part = if count > 1 { format!(", part {} of {count}", index + 1) } else { String::new() };
        canvas.finish_linked(&id, &format!("One-line diagram of board {}{part}", board.name), &tells(row))
    };
    rows.iter().enumerate().map(draw).collect()
}

/// Distance of the ways of a row: a row of few ways gives each more room for its words.
#[allow(clippy::cast_precision_loss)] // seven at most
fn pitch_of(ways: usize) -> f64 {
    ((WIDTH - FIRST) / ways.max(1) as f64).clamp(WAY, WIDEST_WAY)
}

#[allow(clippy::cast_precision_loss)] // seven at most
fn place_of(way: usize, pitch: f64) -> f64 {
    FIRST + way as f64 * pitch
}

/// The drawing in words, for readers who can't see it: how many ways, and which of them wait.
fn tells(row: &[(&Circuit, &Link)]) -> String {
    let of = |status: Status| -> Vec<&str> {
        row.iter().filter(|(circuit, _)| circuit.status == status).map(|(circuit, _)| circuit.tag.as_str()).collect()
    };
    let mut text = format!("{} ways on the bus.", row.len());
    for (status, words) in [(Status::NeedsDecision, "Needs decision"), (Status::NotSized, "Not sized, drawn dashed")] {
        let tags = of(status);
        if !tags.is_empty() {
            text.push_str(&format!(" {words}: {}.", tags.join(", ")));
        }
    }
    text
}

fn bus(canvas: &mut Canvas, board: &Ways<'_>, y: f64, index: usize, ways: usize, units: Units) {
    let label = Type::plain(Size::Label);
    let name = Type::plain(Size::Tag).strong();
    let end = if index == 0 { WIDTH } else { (place_of(ways, pitch_of(ways)) - 10.0).min(WIDTH) };
    canvas.line(&[(2.0, y), (end, y)], Pen::solid(Stroke::Busbar, Ink::Ink));
    if index > 0 {
        canvas.text(2.0, y - 1.8, &fitted(&format!("{}, continued", board.name), Size::Tag, 160.0), name);
        return;
    }
    let x = INCOMING;
    canvas.line(&[(x, 2.0), (x, 6.0)], CONDUCTOR);
    match at_head(board.board) {
        Some(symbol) => {
            canvas.symbol(symbol.id(1), x, 6.0);
            canvas.line(&[(x, 6.0 + symbol.height()), (x, y)], CONDUCTOR);
        }
        None => canvas.line(&[(x, 6.0), (x, y)], CONDUCTOR),
    }
    canvas.dot(x, y, 0.7, Ink::Ink);
    canvas.text(x + 4.0, 4.2, &fitted(board.name, Size::Tag, 48.0), name);
    for (line, text) in (0_u8..).zip(incoming(board, units)) {
        canvas.text(x + 4.0, 8.0 + 3.3 * f64::from(line), &fitted(&text, Size::Label, 50.0), label);
    }
    let supplies = board.board.map_or(&[][..], |board| &board.control_supplies);
    for (place, supply) in (0_u8..).zip(supplies.iter().take(SUPPLIES)) {
        control_supply(canvas, supply, 76.0 + 34.0 * f64::from(place), y, units);
    }
}

/// Symbol of the device at the head of a board; none where the basis says that there is none. Of one that nobody asks for a
/// circuit-breaker stands, by others or before the feeder.
pub(super) fn at_head(board: Option<&Board>) -> Option<Symbol> {
    match board.and_then(|board| board.incoming.as_ref()).map(|incoming| incoming.kind.as_str()) {
        Some("switch-disconnector") => Some(SWITCH),
        Some("none") => None,
        _ => Some(BREAKER),
    }
}

/// The lines about the incoming side: where it comes from, voltage, fault currents.
fn incoming(board: &Ways<'_>, units: Units) -> Vec<String> {
    let Some(known) = board.board else { return vec!["nothing is known of this board".to_owned()] };
    let from = Some(columns::fed_from(known)).filter(|from| !from.is_empty()).map(|from| format!("from {from}, "));
    let mut lines = vec![format!("{}{}", from.unwrap_or_default(), quantity_trimmed(known.voltage_v, "V"))];
    let largest = known.prospective_fault_ka.or_else(|| {
        let of_ways = board.ways.iter().filter_map(|(circuit, _)| circuit.fault.board_max_ka);
        of_ways.reduce(f64::max)
    });
    lines.push(largest.map_or_else(
        || "fault current not known, not checked".to_owned(),
        |current| format!("fault current at most {}", quantity(round_up(current, 1), 1, "kA")),
    ));
    if let Some(least) = known.prospective_fault_min_ka {
        lines.push(format!("fault current at least {}", quantity(round_down(least, 1), 1, "kA")));
    }
    // With the feeder there are five lines at most, which end above the bus.
    if !known.feeder.parts.is_empty() {
        lines.push(feeder(known, units));
    }
    match &known.incoming {
        Some(head) if head.kind == "none" => lines.push("no incoming device".to_owned()),
        Some(_) => lines.push(columns::incoming_rated(known, units)),
        None if known.feeder.parts.is_empty() => lines.push("incoming device by others".to_owned()),
        None => {}
    }
    lines
}

/// The feeder that brings the supply: its device stands on the board before.
fn feeder(board: &Board, units: Units) -> String {
    let rating = quantity_trimmed(board.feeder_protection_a, "A");
    match &board.feeder.run {
        Some(run) => format!("{rating}, {}", make_up(run, units)),
        None => format!("{} {rating}", columns::feeder_device(board, units)),
    }
}

/// A control supply above the bus.
fn control_supply(canvas: &mut Canvas, supply: &ControlSupply, x: f64, y: f64, units: Units) {
    let mark = Type::plain(Size::Mark);
    canvas.dot(x, y, 0.7, Ink::Ink);
    canvas.line(&[(x, y), (x, y - 2.0)], CONDUCTOR);
    canvas.symbol(FUSE.id(1), x, y - 2.0 - FUSE.height());
    let foot = y - 2.0 - FUSE.height();
    match supply.kind.as_str() {
        "line" => {}
        // A square with a diagonal: a converter, here from alternating to direct current (IEC 60617, rectifier).
        "direct-current-supply" => {
            let (left, top, side) = (x - 3.0, foot - 6.0, 6.0);
            canvas.frame(left, top, side, side, OUTLINE);
            canvas.line(&[(left, top + side), (left + side, top)], OUTLINE);
            canvas.text(left + 1.6, top + 2.6, "~", mark.at(Anchor::Middle));
            canvas.text(left + 4.4, top + 5.2, "=", mark.at(Anchor::Middle));
        }
        _ => {
            canvas.ring(x, foot - 1.7, 1.9, OUTLINE);
            canvas.ring(x, foot - 4.1, 1.9, OUTLINE);
            canvas.ring(x, foot - 1.7, 1.9, OUTLINE);
        }
    }
    let rating = supply.rating_va.map(|va| quantity(va, 0, "VA")).unwrap_or_default();
    let primary = supply.primary.as_ref().map(|device| format!("{} {}", device.kind, quantity_trimmed(device.rating_a, "A")));
    let kind = if supply.kind == "line" { "coils from the line".to_owned() } else { full(units, &supply.kind) };
    let words = [kind, format!("{} {rating}", fixed(&supply.coil_voltage)).trim_end().to_owned(), primary.unwrap_or_default()];
    let lines = words.iter().flat_map(|text| two_lines(text, Size::Mark, 25.0));
    for (line, text) in (0_u8..).zip(lines) {
        canvas.text(x + 3.8, y - 15.6 + 2.9 * f64::from(line), &text, mark);
    }
}

/// One way from the bus down to its load, and its words.
fn way(canvas: &mut Canvas, circuit: &Circuit, link: &Link, [x, bus, pitch]: [f64; 3], units: Units) {
    let load_at = bus + 45.0;
    if circuit.status == Status::NotSized {
        canvas.line(&[(x, bus + 0.9), (x, load_at - 4.0)], KEPT);
        canvas.ring(x, bus, 0.9, CONDUCTOR);
        load(canvas, circuit, x, load_at, KEPT);
    } else {
        canvas.dot(x, bus, 0.7, Ink::Ink);
        devices(canvas, circuit, [x, bus, load_at - 4.0, pitch], units);
        load(canvas, circuit, x, load_at, OUTLINE);
    }
    below(canvas, circuit, link, [x - BELOW, load_at + 8.4, pitch], units);
}

fn devices(canvas: &mut Canvas, circuit: &Circuit, [x, bus, end, pitch]: [f64; 4], units: Units) {
    let mark = Type::plain(Size::Mark);
    let words = |canvas: &mut Canvas, y: f64, lines: &[String]| {
        for (line, text) in (0_u8..).zip(lines.iter().filter(|text| !text.is_empty())) {
            canvas.text(x + BESIDE, y + 2.8 * f64::from(line), &fitted(text, Size::Mark, pitch - BESIDE - APART), mark);
        }
    };
    let mut y = bus;
    let lead = |canvas: &mut Canvas, to: f64, from: f64| canvas.line(&[(x, from), (x, to)], CONDUCTOR);
    if let Some(protection) = &circuit.protection {
        let symbol = if super::power::is_fuse(&protection.kind) { FUSE } else { BREAKER };
        lead(canvas, y + 2.0, y);
        canvas.symbol(symbol.id(1), x, y + 2.0);
        let set = super::power::release(circuit);
        let set = set.map(|overload| format!("set {}", quantity_trimmed(overload.setting_a, "A"))).unwrap_or_default();
        let kind =
            if super::power::is_fuse(&protection.kind) { brief(units, &protection.kind).into_owned() } else { String::new() };
        let rating = quantity_trimmed(protection.rating_a, "A");
        let whole = format!("{kind} {rating}").trim_start().to_owned();
        let fits = width_of(&whole, Size::Mark) <= pitch - BESIDE - APART;
        words(canvas, y + 5.2, &if fits { vec![whole, set] } else { vec![kind, rating, set] });
        y += 2.0 + symbol.height();
    }
    if !circuit.contactors.is_empty() {
        lead(canvas, bus + 14.0, y);
        canvas.symbol(CONTACTOR.id(1), x, bus + 14.0);
        words(canvas, bus + 17.2, &contactors(circuit));
        y = bus + 14.0 + CONTACTOR.height();
    }
    let device = circuit.starter_devices.first();
    let mut relays: Vec<String> = Vec::new();
    for overload in circuit.overloads.iter().filter(|overload| !super::power::is_release(circuit, overload)) {
        let setting = so_many(overload.count) + &trimmed(overload.setting_a);
        if !relays.contains(&setting) {
            relays.push(setting);
        }
    }
    if device.is_some() || !relays.is_empty() {
        lead(canvas, bus + 25.0, y);
        canvas.frame(x - 2.0, bus + 25.0, 4.0, 4.0, OUTLINE);
        let named =
            device.map(|device| units.pick(brief(units, &device.kind).into_owned(), letters(units, &device.kind).to_owned()));
        let rated =
            device.filter(|device| device.rated_a > 0.0).map(|device| quantity_trimmed(device.rated_a, "A")).unwrap_or_default();
        let set = if relays.is_empty() { String::new() } else { format!("set {}\u{a0}A", relays.join(", ")) };
        let words_of_device = match named {
            Some(named) if named.chars().count() > 6 => vec![named, rated, set],
            named => vec![format!("{} {rated}", named.unwrap_or_default()).trim().to_owned(), set],
        };
        words(canvas, bus + 26.0, &words_of_device);
        y = bus + 29.0;
    }
    lead(canvas, end, y);
    if let Some(run) = super::power::power_runs(circuit).last() {
        canvas.symbol(THREE_CONDUCTORS, x, bus + 33.4);
        let length = quantity(units.length(run.length_m), 0, units.length_unit());
        let conductors = make_up(run, units);
        let (phases, others) = conductors.split_once(", ").unwrap_or((&conductors, ""));
        let others = others.trim_end_matches(" separate").to_owned();
        // A size that is cut is another size: it goes on below. What does not fit above the load is the length, which the schedule has too.
        let mut lines = conductor_lines(&runs_alike(run, phases.to_owned()), pitch - BESIDE - APART);
        lines.extend([others, length].into_iter().filter(|text| !text.is_empty()));
        lines.truncate(3);
        words(canvas, bus + 34.6, &lines);
    }
}

/// Ratings of the contactors, equal ones counted.
fn contactors(circuit: &Circuit) -> Vec<String> {
    let mut ratings: Vec<(f64, usize)> = Vec::new();
    for contactor in &circuit.contactors {
        match ratings.iter_mut().find(|(rating, _)| rating.to_bits() == contactor.rated_a.to_bits()) {
            Some((_, count)) => *count += 1,
            None => ratings.push((contactor.rated_a, 1)),
        }
    }
    let words = ratings.into_iter().map(|(rating, count)| {
        let rating = quantity_trimmed(rating, "A");
        if count > 1 { format!("{count}\u{a0}\u{d7}\u{a0}{rating}") } else { rating }
    });
    words.collect()
}

fn load(canvas: &mut Canvas, circuit: &Circuit, x: f64, y: f64, pen: Pen) {
    let letter = match circuit.load.kind.as_str() {
        "" | "motor" => "M",
        "heater" => "E",
        "capacitor" => "C",
        "lighting" => "E",
        "transformer" => "T",
        _ => "A",
    };
    if letter == "M" {
        canvas.ring(x, y, 4.0, pen);
    } else {
        canvas.frame(x - 4.0, y - 4.0, 8.0, 8.0, pen);
    }
    canvas.text(x, y + 0.9, letter, Type::plain(Size::Text).strong().at(Anchor::Middle));
}

/// Tag, service, power and current, method, and the state unless it is sized.
fn below(canvas: &mut Canvas, circuit: &Circuit, link: &Link, [x, y, pitch]: [f64; 3], units: Units) {
    let label = Type::plain(Size::Mark);
    let width = pitch - ASIDE;
    let mut line = y - TAG_LINE;
    canvas.open_link(&link.anchor);
    for text in tag_lines(circuit, pitch) {
        line += TAG_LINE;
        canvas.text(x, line, &text, Type::plain(Size::Text).strong());
    }
    canvas.close_link();
    let amperes = circuit.currents.full_load_a;
    let current = (amperes > 0.0).then(|| quantity(amperes, decimals_for(amperes).max(1), "A"));
    let rated = circuit.load.rated_power_hp.map(|hp| with_unit(words::horsepower(hp), "hp")).or_else(|| power(circuit, units));
    let lines = words::lines(circuit).map(str::to_owned);
    let figures: Vec<String> = [rated, current, lines].into_iter().flatten().collect();
    // Under the load "none" alone would not say what there is none of.
    let method = match words::method(circuit, units) {
        method if method == "none" => "no starter".to_owned(),
        method => method.into_owned(),
    };
    let state = if circuit.status == Status::Sized { "" } else { circuit.status.words() };
    for text in [&circuit.description, &figures.join(", "), &method] {
        for text in two_lines(text, Size::Mark, width) {
            line += 2.8;
            canvas.text(x, line, &text, label);
        }
    }
    let mark = if circuit.status == Status::NotSized { "m-error" } else { "m-warning" };
    if !state.is_empty() {
        canvas.small_mark(mark, x, line + 1.2, 2.2);
        canvas.text(x + 3.0, line + 3.1, state, label.strong());
    }
}

/// The tag below a load, with how often the row has it, on two lines where one is too short.
fn tag_lines(circuit: &Circuit, pitch: f64) -> Vec<String> {
    let tag = if circuit.quantity > 1 { format!("{} \u{d7} {}", circuit.quantity, circuit.tag) } else { circuit.tag.clone() };
    two_lines(&tag, Size::Text, pitch - ASIDE)
}

/// A size of conductors, on two lines where one is too short: broken before what is added, such as `+ 70 mm²`.
fn conductor_lines(size: &str, width: f64) -> Vec<String> {
    let plain = size.replace('\u{a0}', " ");
    if width_of(size, Size::Mark) <= width {
        return vec![size.to_owned()];
    }
    match plain.rfind(" + ") {
        Some(at) => vec![plain[..at].to_owned(), plain[at + 1..].to_owned()],
        None => two_lines(&plain, Size::Mark, width),
    }
}

#[cfg(test)]
mod tests {
    /// A cut size is another size: `3 × 120 + 70 m…` tells nobody what to pull.
    #[rstest::rstest]
    #[case("3 × 120 + 70 mm²")]
    #[case("2 × (3 × 150 + 95 mm²)")]
    fn a_size_of_conductors_is_never_cut(#[case] size: &str) {
        let room = super::WAY - super::BESIDE - super::APART;
        let lines = super::conductor_lines(size, room);
        assert_eq!(lines.join(" "), size);
        assert!(lines.iter().all(|line| super::width_of(line, super::Size::Mark) <= room), "{lines:?}");
    }

    use super::*;
    use crate::design::Protection;

    fn circuit(tag: &str, status: Status) -> Circuit {
        let protection =
            (status != Status::NotSized).then(|| Protection { kind: "gG".to_owned(), rating_a: 25.0, ..Protection::default() });
        Circuit { tag: tag.to_owned(), status, quantity: 1, protection, ..Circuit::default() }
    }

    fn drawn(circuits: &[Circuit]) -> Vec<String> {
        let links: Vec<Link> = (1..)
            .zip(circuits)
            .map(|(number, circuit)| Link { tag: circuit.tag.clone(), anchor: format!("c{number}"), sheet: true })
            .collect();
        let board = Board { name: "B-1".to_owned(), voltage_v: 400.0, prospective_fault_ka: Some(25.0), ..Board::default() };
        let ways = circuits.iter().zip(&links).collect();
        one_line(&Ways { name: "B-1", board: Some(&board), ways }, 1, Units::Metric)
    }

    /// Seven ways stand closest: eight valves of one row are too long for a line, and none of their tags is cut.
    #[test]
    fn a_tag_of_several_is_whole_and_a_load_without_a_starter_says_so() {
        let mut circuits: Vec<Circuit> = (0..7).map(|number| circuit(&format!("P-{number}"), Status::Sized)).collect();
        circuits[0].quantity = 8;
        circuits[0].tag = "FIV-231 to FIV-238".to_owned();
        circuits[0].load.starting_method = Some("none".to_owned());
        let page = drawn(&circuits).concat();
        assert!(page.contains(">8 × FIV-231 to<") && page.contains(">FIV-238<"), "{page}");
        assert!(page.contains(">no starter<") && !page.contains(">none<"));
    }

    #[test]
    fn every_way_has_its_place_and_leads_to_its_sheet() {
        let circuits: Vec<Circuit> = (0..17).map(|number| circuit(&format!("P-{number}"), Status::Sized)).collect();
        let rows = drawn(&circuits);
        assert_eq!(rows.len(), 3, "17 ways, seven a row");
        let page = rows.concat();
        for number in 0..17 {
            assert_eq!(page.matches(&format!(">P-{number}<")).count(), 1);
            assert_eq!(page.matches(&format!("href=\"#c{}\"", number + 1)).count(), 1);
        }
        assert!(rows[0].contains("at most 25.0\u{a0}kA") && !rows[1].contains("25.0\u{a0}kA"));
        assert!(page.contains("gG 25\u{a0}A"));
    }

    #[test]
    fn a_way_that_is_not_sized_is_dashed_and_says_so() {
        let sized = drawn(&[circuit("P-1", Status::Sized)]).concat();
        let kept = drawn(&[circuit("P-1", Status::NotSized)]).concat();
        assert!(kept.contains("not sized</text>") && kept.contains("w4 da") && kept.contains("#m-error"));
        assert!(!sized.contains("not sized") && !sized.contains("w4 da"));
        assert!(kept.contains("Not sized, drawn dashed: P-1."));
    }

    #[test]
    fn a_direct_current_supply_is_no_transformer_and_is_named_whole() {
        let of = |kind: &str| {
            let circuits = [circuit("P-1", Status::Sized)];
            let link = Link { tag: "P-1".to_owned(), anchor: "c1".to_owned(), sheet: true };
            let supply = ControlSupply { kind: kind.to_owned(), coil_voltage: "24 V DC".to_owned(), ..ControlSupply::default() };
            let board = Board { name: "B-1".to_owned(), control_supplies: vec![supply], ..Board::default() };
            one_line(&Ways { name: "B-1", board: Some(&board), ways: vec![(&circuits[0], &link)] }, 1, Units::Metric).concat()
        };
        // Rings beside those of the motor: the windings of a transformer.
        let (rectifier, transformer) = (of("direct-current-supply"), of("transformer"));
        assert_eq!(transformer.matches("<circle").count(), rectifier.matches("<circle").count() + 3);
        assert!(rectifier.contains(">~<") && rectifier.contains(">=<"));
        assert!(
            rectifier.contains(">direct-current<") && rectifier.contains(">supply<")
                || rectifier.contains(">direct-current supply<")
        );
        assert!(!rectifier.contains('…'));
    }

    /// The ways of both examples, as one board in each book.
    #[test]
    fn words_meet_neither_each_other_nor_the_frame() {
        use crate::report::drawings::testing::{examples, texts};
        let circuits = examples();
        let links: Vec<Link> =
            circuits.iter().map(|circuit| Link { tag: circuit.tag.clone(), anchor: "c1".to_owned(), sheet: true }).collect();
        let board = Board {
            name: "A board with a name that is longer than any other".to_owned(),
            voltage_v: 400.0,
            control_supplies: (0..4)
                .map(|_| ControlSupply {
                    kind: "direct-current-supply".to_owned(),
                    coil_voltage: "24 V DC".to_owned(),
                    rating_va: Some(1000.0),
                    ..ControlSupply::default()
                })
                .collect(),
            ..Board::default()
        };
        for units in [Units::Metric, Units::Customary] {
            let ways = circuits.iter().zip(&links).collect();
            for drawn in one_line(&Ways { name: &board.name, board: Some(&board), ways }, 1, units) {
                let texts = texts(&drawn);
                assert!(texts.len() > 4);
                for (index, (text, area)) in texts.iter().enumerate() {
                    assert!(area.0 >= 0.0 && area.2 <= WIDTH && area.1 >= 0.0, "{text} leaves the frame: {area:?}");
                    let other = texts[index + 1..].iter().find(|(_, other)| other.meets(area));
                    assert!(other.is_none(), "{text} meets {other:?}");
                }
            }
        }
    }
}
