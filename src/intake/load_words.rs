//! What descriptions say of a load that no column names: that a motor turns it, that it is a board, that it heats, that it brings its
//! own electronics, that a transformer only says where it stands. The words are a table.

use super::machines::turns;
use super::mentions::words;
use super::tables;

tables::phrase_lists! { "tables/load-words.csv":
    turns "turns",
    taken_out "taken-out",
    board "board",
    beside "beside",
    heats "heats",
    heats_out "heats-out",
    heated "heated",
    how_heated "how-heated",
    electronics "electronics",
    commutated "commutated",
    lights "lights",
    compensates "compensates",
    transforms "transforms",
    supplies "supplies",
    outlets "outlets",
    other "other",
    packages "packages",
    device "device",
    device_last "device-last",
    device_first "device-first",
    place "place",
    behind "behind",
    joins "joins",
    measure "measure",
}

/// Whether a text names a motor, or what one turns. A board that is supplied as a whole is none, whatever it controls.
pub(super) fn names_a_motor(text: &str) -> bool {
    names_what_turns(text) && !names_a_board(text)
}

/// Whether a text names a motor, or what one turns, be it in a board.
pub(super) fn names_what_turns(text: &str) -> bool {
    let words = words(text);
    turn(&LISTS.taken_out.taken_out_of(&words)) && (joins_two(text, &words) || !serve_a_machine(&words))
}

/// Whether words name what a motor turns.
fn turn(words: &[String]) -> bool {
    LISTS.turns.stand_in(words) || words.iter().any(|word| turns(word))
}

/// `Pump & heater`, `Fan/heater`: two things, of which one may turn.
fn joins_two(text: &str, words: &[String]) -> bool {
    text.contains(['&', '+', '/']) || LISTS.joins.stand_in(words)
}

/// Whether words name what no motor turns, and a machine only as what it serves: `Crane lighting`, `UPS for lift`, `Trafo Kran`.
fn serve_a_machine(words: &[String]) -> bool {
    let said = |part: &&[String]| LISTS.device.stand_in(part) || turn(part);
    let Some(part) = words.split(String::is_empty).find(said) else { return false };
    let behind = part.iter().position(|word| LISTS.behind.are(std::slice::from_ref(word)));
    let head = &part[..behind.unwrap_or(part.len())];
    // `Transformer for crane`; a fan for a transformer is named before it.
    let alone = behind.is_some() && LISTS.device.stand_in(head) && !turn(head);
    alone || end_with_a_device(head) || are_a_device_of_a_place(head)
}

/// English names the thing last: `Crane lighting 2`, `Lift transformer 25 kVA`.
fn end_with_a_device(words: &[String]) -> bool {
    let counts = |word: &String| {
        word.len() == 1 || word.bytes().all(|byte| byte.is_ascii_digit()) || LISTS.measure.are(std::slice::from_ref(word))
    };
    let end = words.iter().rposition(|word| !counts(word)).map_or(0, |last| last + 1);
    LISTS.device_last.places_in(words).iter().any(|place| place.end == end)
}

/// `Trafo Kran`, `Éclairage convoyeur`, beside a machine that has such a thing: a fan beside a transformer is a thing of its own.
fn are_a_device_of_a_place(words: &[String]) -> bool {
    let places = LISTS.device_first.places_in(words);
    places.iter().any(|place| place.start == 0 || place.end == words.len()) && !turn(&LISTS.place.taken_out_of(words))
}

/// Whether a text names a board that is supplied as a whole.
pub(super) fn names_a_board(text: &str) -> bool {
    LISTS.board.stand_in(&words(text))
}

/// Whether a text names what takes a power in and is no motor: kitchen, laundry, welding.
pub(super) fn names_what_is_no_motor(text: &str) -> bool {
    LISTS.other.stand_in(&words(text))
}

/// Whether a text names what is supplied and brings its own starters, or has none: sockets, chargers, a further board.
pub(super) fn names_a_supply(text: &str) -> bool {
    LISTS.supplies.stand_in(&words(text))
}

/// Whether a text names socket outlets.
#[must_use]
pub fn names_socket_outlets(text: &str) -> bool {
    LISTS.outlets.stand_in(&words(text))
}

/// Whether a text names equipment that comes as a whole with its own starters.
pub(super) fn names_a_package(text: &str) -> bool {
    LISTS.packages.stand_in(&words(text))
}

/// Whether a text names lighting.
pub(super) fn names_lighting(text: &str) -> bool {
    LISTS.lights.stand_in(&words(text))
}

/// Whether a text names a capacitor bank.
pub(super) fn names_a_capacitor(text: &str) -> bool {
    LISTS.compensates.stand_in(&words(text))
}

/// Whether a text names a transformer, which draws many times its rated current when it is switched on and has no efficiency of a motor.
pub(super) fn names_a_transformer(text: &str) -> bool {
    LISTS.transforms.stand_in(&words(text))
}

/// Whether a text names a transformer as the place of the load: `Transformer room lighting`.
pub(super) fn is_beside_a_transformer(text: &str) -> bool {
    LISTS.beside.stand_in(&words(text))
}

/// Whether a text names what heats.
pub(super) fn names_a_heater(text: &str) -> bool {
    let words = LISTS.heats_out.taken_out_of(&words(text));
    LISTS.heats.stand_in(&words) || is_itself_heated(&words)
}

/// Places of ovens and furnaces among the words of a text.
fn heated_in(words: &[String]) -> impl Iterator<Item = usize> {
    words.iter().enumerate().filter(|(_, word)| LISTS.heated.are(std::slice::from_ref(*word))).map(|(at, _)| at)
}

/// `Kiln 2`, `Oven, deck` or `Härteofen Zone 1` heats; in `Kiln belt` and `Furnace transformer` the kiln says where another thing stands.
fn is_itself_heated(words: &[String]) -> bool {
    let belongs = |next: &String| {
        let figure = next.starts_with(|first: char| first.is_ascii_digit());
        next.len() > 1 && !figure && !LISTS.how_heated.are(std::slice::from_ref(next))
    };
    heated_in(words).any(|at| !words.get(at + 1).is_some_and(belongs))
}

/// Whether a title names what heats, and not only an oven, in which anything may stand.
pub(super) fn titles_heaters(text: &str) -> bool {
    LISTS.heats.stand_in(&words(text))
}

/// Whether a text names an oven or a furnace, be it the thing itself or where another stands.
pub(super) fn names_what_is_heated(text: &str) -> bool {
    heated_in(&words(text)).next().is_some()
}

/// Whether a text names a motor that brings its own electronics: `EC fan`, `mit integriertem FU`.
pub(super) fn names_electronics(text: &str) -> bool {
    LISTS.electronics.stand_in(&words(text)) || is_commutated(text)
}

/// `EC` or `ECM` alone or beside a machine. A number behind it makes a tag of it.
pub(super) fn is_commutated(text: &str) -> bool {
    let words = words(text);
    let numbered = |at: usize| words.get(at + 1).is_some_and(|next| next.starts_with(|first: char| first.is_ascii_digit()));
    // `wired by EC`: the electrical contractor.
    let by = |at: usize| at.checked_sub(1).and_then(|before| words.get(before)).is_some_and(|before| before == "by");
    let said = words.iter().enumerate().any(|(at, word)| matches!(word.as_str(), "ec" | "ecm") && !numbered(at) && !by(at));
    said && (words.len() == 1 || names_a_motor(text))
}

/// Whether a text names a machine that is made with a commutated motor, as fans and circulating pumps are.
pub(super) fn may_be_commutated(text: &str) -> bool {
    LISTS.commutated.stand_in(&words(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_is_read() {
        let rows: Vec<crate::intake::matters::Said> = tables::whole(TABLE);
        for row in &rows {
            assert!(SAID.contains(&row.says.as_str()), "{row:?}");
            let plain = |letter: char| letter.is_ascii_lowercase() || matches!(letter, ' ' | '|' | '&' | '*');
            assert!(row.phrases.chars().all(plain), "{row:?}");
        }
    }

    #[rstest::rstest]
    #[case("Supply fan SF-1", true)]
    #[case("Heizungspumpe", true)]
    #[case("Surpresseur 2", true)]
    #[case("Bomba de agua", true)]
    #[case("Nastro trasportatore", true)]
    #[case("Dompelpomp", true)]
    #[case("Pomp 3", true)]
    #[case("Belt conveyor", true)]
    #[case("Panel LP-3", false)]
    #[case("CT scanner", false)]
    #[case("Pump control panel CP-1", false)]
    #[case("CNC vertical machining center", false)]
    #[case("Furnace charging crane", true)]
    #[case("Oven turntable", true)]
    #[case("Elevator 1", true)]
    #[case("Kranbahn 2", true)]
    #[case("Rotary kiln", true)]
    #[case("Drehrohrofen", true)]
    #[case("Accionamiento horno", true)]
    #[case("Lift station", false)]
    #[case("Elevator pit lights", false)]
    #[case("Elevator machine room heater", false)]
    #[case("Pump house lighting", false)]
    #[case("Pump house sump pump", true)]
    #[case("Beleuchtung Aufzug", false)]
    #[case("Éclairage de ascenseur", false)]
    #[case("Touch screen", false)]
    #[case("Dishwasher", false)]
    #[case("Lighting conveyor gallery", false)]
    #[case("Lights pump room", false)]
    #[case("Heaters fan room", false)]
    #[case("Lighting pump room fan", true)]
    #[case("UPS lift control", false)]
    #[case("UPS room lift", true)]
    #[case("Xfmr cooling fan", true)]
    #[case("Crane transformer", false)]
    #[case("Lift transformer 25 kVA", false)]
    #[case("Transformer for crane", false)]
    #[case("UPS for lift", false)]
    #[case("Lift UPS", false)]
    #[case("Conveyor lighting", false)]
    #[case("Lighting, crane", false)]
    #[case("Conveyor heater", false)]
    #[case("Fan heater", false)]
    #[case("Hoist battery charger", false)]
    #[case("Sockets for pump", false)]
    #[case("Pump capacitor", false)]
    #[case("Trafo Kran", false)]
    #[case("Kran Trafo", false)]
    #[case("Krantrafo", false)]
    #[case("Kranbeleuchtung", false)]
    #[case("Beleuchtung Förderband", false)]
    #[case("Transformateur pont roulant", false)]
    #[case("Transformateur du convoyeur", false)]
    #[case("Éclairage convoyeur", false)]
    #[case("Transformer cooling fan", true)]
    #[case("Trafo-Lüfter", true)]
    #[case("Lüfter Trafo", true)]
    #[case("Lüfter für Trafo", true)]
    #[case("Ventilateur transformateur", true)]
    #[case("Fan for transformer", true)]
    #[case("UPS room fan", true)]
    #[case("Lighting mast hoist", true)]
    #[case("Charger conveyor", true)]
    #[case("Furnace charger", true)]
    #[case("Heater fan", true)]
    #[case("Pump & heater", true)]
    #[case("Fan/heater", true)]
    #[case("Pump and heater", true)]
    #[case("Pump, with heater", true)]
    #[case("Pompe chauffage", true)]
    #[case("Circulation pump heating", true)]
    #[case("Light oil pump", true)]
    #[case("Conveyor, light duty", true)]
    #[case("Lift", true)]
    fn texts_name_motors_or_not(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(names_a_motor(text), expected);
    }

    // The usual names of heaters in six languages and in Dutch: terms of the trade, practice.
    #[rstest::rstest]
    fn heaters_by_their_usual_names(
        #[values(
            "Electric duct heater",
            "Heater battery",
            "Trace heating",
            "Combi-oven",
            "Elektro-Nacherhitzer",
            "Lufterhitzer",
            "Heizregister",
            "Fußbodenheizung",
            "Résistance réchauffage",
            "Résistances électriques",
            "Batterie électrique CTA",
            "Réchauffeurs",
            "Resistenze cella lievitazione",
            "Riscaldatori",
            "Batteria elettrica di post-riscaldo",
            "Resistencias",
            "Calentadores",
            "Batería eléctrica",
            "Resistências",
            "Aquecedores",
            "Vloerverwarming inrit",
            "Kiln 2",
            "Härteofen Zone 1",
            "Furnace electric",
            "Oven, deck",
            "Furnace zone heating",
            "Kiln north",
            "Ofen Süd",
            "Luchtverhitter"
        )]
        text: &str,
    ) {
        assert!(names_a_heater(text));
    }

    #[rstest::rstest]
    #[case("Zuluftventilator EC", true)]
    #[case("EC fan SF-1", true)]
    #[case("EC-Motor, 0-10 V, integrierte Elektronik", true)]
    #[case("EC", true)]
    #[case("1~ mit integriertem FU", true)]
    #[case("Permanent magnet motor, integrated electronics", true)]
    #[case("Electronically commutated plug fan", true)]
    #[case("Evaporative cooler fan EC-1", false)]
    #[case("Supply fan", false)]
    #[case("Permanent magnet motor", false)]
    fn electronics_of_the_load(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(names_electronics(text), expected);
    }

    #[rstest::rstest]
    fn what_heats_nothing(
        #[values(
            "Batterie de condensateurs",
            "Ladebatterie",
            "Pump 3",
            "Chiller",
            "Kiln belt",
            "Furnace transformer",
            "Dreharmofen Transport"
        )]
        text: &str,
    ) {
        assert!(!names_a_heater(text));
    }

    #[test]
    fn a_transformer_may_only_say_where_a_load_stands() {
        assert!(
            is_beside_a_transformer("Transformer room lighting") && is_beside_a_transformer("Éclairage poste transformateur")
        );
        assert!(!is_beside_a_transformer("Control/lighting transformer 15 kVA 240-120"));
    }
}
