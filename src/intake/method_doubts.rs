//! Words beside a starting method that change it or leave it to others, and that the table of methods does not resolve.

use super::mentions::{self, Phrases};
use super::{fold, methods, tables};

/// A doubt that the words of a method's cell leave.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Doubt {
    /// Something besides the starter is by others, and the method is this.
    AccessoryByOthers(&'static str),
    /// The starter may be supplied by somebody else.
    SuppliedByOthers(String),
    /// Words that may say that it reverses, has two speeds, or serves several motors.
    Words(String),
}

tables::phrase_lists! { "tables/starter-words.csv":
    supplier "supplier", by "by", place "place", note "note", taken_out "taken-out",
}

/// Whether a description or note says that the starter comes with the equipment: `mit integriertem FU`.
pub(super) fn brings_a_starter(text: &str) -> bool {
    LISTS.note.stand_in(&LISTS.taken_out.taken_out_of(&mentions::words(text)))
}

/// The words of a method without parts that the starter or the equipment brings, such as a disconnect.
pub(super) fn without_parts(words: &[String]) -> Vec<String> {
    LISTS.taken_out.taken_out_of(words).into_iter().filter(|word| !word.is_empty()).collect()
}

/// The words by which the text of a method leaves the starter to somebody else, or to the equipment.
fn leaves_starter(text: &str) -> Option<String> {
    let words = LISTS.taken_out.taken_out_of(&mentions::words(text));
    let first = |list: &Phrases| list.places_in(&words).into_iter().next();
    let place = first(&LISTS.supplier).or_else(|| first(&LISTS.place)).or_else(|| first(&LISTS.by))?;
    Some(words.get(place)?.join(" "))
}

/// Words that say that it reverses, or may.
const TURNS: &[&str] = &[
    "r",
    "inv",
    "rechts",
    "links",
    "rechtslauf",
    "linkslauf",
    "drehrichtung",
    "drehrichtungen",
    "avant",
    "arriere",
    "avanti",
    "indietro",
    "directions",
    "sens",
    "sensi",
    "sentidos",
    "reverse",
    "backward",
];
/// Words that say that a motor has two speeds, or may.
const SPEEDS: &[&str] = &["gv", "pv", "speeds", "stufen", "stufig", "stufe", "velocidades", "velocita", "vitesses", "drehzahlen"];
/// Words that say that several motors share a starter, or may.
const SHARED: &[&str] = &[
    "shared",
    "common",
    "gemeinsam",
    "gemeinsamer",
    "commun",
    "comun",
    "comune",
    "motors",
    "motoren",
    "moteurs",
    "motori",
    "pumps",
    "fans",
    "pumpen",
];

/// The doubt that the words of a cell leave beside the method that was read.
pub(super) fn of(text: &str, method: &str) -> Option<Doubt> {
    let words = fold::words(text);
    let has = |list: &[&str]| words.iter().find(|word| list.contains(&word.as_str())).cloned();
    if method == "by-others" {
        let rest = methods::rest(text);
        // `variador suministrado por el fabricante` is the starter itself.
        let provided = ["supplied", "provided", "installed", "mounted", "fourni", "fornito", "geliefert"];
        let idle = |word: &str| LISTS.supplier.are(&[word.to_owned()]) || provided.contains(&word);
        let accessory = rest.part || rest.unknown.iter().any(|word| !idle(word));
        return methods::method_beside_others(&words).filter(|_| accessory).map(Doubt::AccessoryByOthers);
    }
    if !methods::starts_a_motor(method) {
        return None;
    }
    // `Div. 26` is a trade's part of a specification, `Class I Div 2` an explosive atmosphere.
    let division = || {
        let of_trade =
            |pair: &&[String]| pair[0] == "div" && pair[1].len() >= 2 && pair[1].bytes().all(|byte| byte.is_ascii_digit());
        words.windows(2).find(of_trade).map(|pair| pair.join(" "))
    };
    if let Some(word) = leaves_starter(text).or_else(division) {
        return Some(Doubt::SuppliedByOthers(word));
    }
    let two_speed = method.starts_with("two-speed");
    let known = methods::reverses(text);
    let times =
        words.windows(2).any(|pair| pair[0] == "x" && pair[1].bytes().all(|byte| byte.is_ascii_digit()) && pair[1] != "1");
    // `O/C` is as often overcurrent as open and close.
    let open_close = || words.windows(2).any(|pair| pair[0] == "o" && pair[1] == "c").then(|| "o/c".to_owned());
    let doubtful = has(TURNS)
        .or_else(open_close)
        .filter(|_| !known)
        .or_else(|| has(SPEEDS).filter(|_| !two_speed))
        .or_else(|| has(SHARED))
        .or_else(|| times.then(|| "x".to_owned()));
    doubtful.map(Doubt::Words)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("DOL (disconnect by others)", "by-others", Some(Doubt::AccessoryByOthers("direct")))]
    #[case("VFD by others", "by-others", None)]
    #[case("VFD by mech. contractor", "drive", Some(Doubt::SuppliedByOthers("contractor".to_owned())))]
    #[case("VFD by M.C.", "drive", Some(Doubt::SuppliedByOthers("by".to_owned())))]
    #[case("VFD by TCC", "drive", Some(Doubt::SuppliedByOthers("by".to_owned())))]
    #[case("VFD by mfgr", "drive", Some(Doubt::SuppliedByOthers("mfgr".to_owned())))]
    #[case("VFD on machine", "drive", Some(Doubt::SuppliedByOthers("on machine".to_owned())))]
    #[case("VFD w/ unit", "drive", Some(Doubt::SuppliedByOthers("w unit".to_owned())))]
    #[case("FVNR by EC", "direct", None)]
    #[case("FVNR by electrical", "direct", None)]
    #[case("DOL controlled by PLC", "direct", None)]
    #[case("DOL by float switch", "direct", None)]
    #[case("FVNR in machine room", "direct", None)]
    #[case("VFD with by-pass", "drive", None)]
    #[case("VFD by pass", "drive", None)]
    #[case("FU am Motor", "drive", Some(Doubt::SuppliedByOthers("am motor".to_owned())))]
    #[case("Sanftanlauf (Geräteseitig)", "soft-starter", Some(Doubt::SuppliedByOthers("gerateseitig".to_owned())))]
    #[case("Softstarter bauseits", "soft-starter", Some(Doubt::SuppliedByOthers("bauseits".to_owned())))]
    #[case("VFD (built-in)", "drive", Some(Doubt::SuppliedByOthers("built in".to_owned())))]
    #[case("FU integriert", "drive", Some(Doubt::SuppliedByOthers("integriert".to_owned())))]
    #[case("variateur intégré", "drive", Some(Doubt::SuppliedByOthers("integre".to_owned())))]
    #[case("soft starter a bordo macchina", "soft-starter", Some(Doubt::SuppliedByOthers("a bordo".to_owned())))]
    #[case("variador incorporado", "drive", Some(Doubt::SuppliedByOthers("incorporado".to_owned())))]
    #[case("Softstarter mit integriertem Bypass", "soft-starter", None)]
    #[case("soft starter, built-in bypass", "soft-starter", None)]
    #[case("soft starter (bypass integrated)", "soft-starter", None)]
    #[case("VFD w/ integral disconnect", "drive", None)]
    #[case("FU mit integrierter Netzdrossel", "drive", None)]
    #[case("VFD shared", "drive", Some(Doubt::Words("shared".to_owned())))]
    #[case("VFD x 2", "drive", Some(Doubt::Words("x".to_owned())))]
    #[case("stella/triangolo - inv.", "star-delta", Some(Doubt::Words("inv".to_owned())))]
    #[case("DOL + LCS by vendor", "by-others", Some(Doubt::AccessoryByOthers("direct")))]
    #[case("DOL (start/stop station by others)", "by-others", Some(Doubt::AccessoryByOthers("direct")))]
    #[case("variador suministrado por el fabricante", "by-others", None)]
    #[case("VFD supplied and installed by others", "by-others", None)]
    #[case("DOL (CB by others)", "by-others", Some(Doubt::AccessoryByOthers("direct")))]
    #[case("DOL, controls by others", "by-others", Some(Doubt::AccessoryByOthers("direct")))]
    #[case("VFD, control by others", "by-others", Some(Doubt::AccessoryByOthers("drive")))]
    #[case("DOL by Div. 23", "direct", Some(Doubt::SuppliedByOthers("div 23".to_owned())))]
    #[case("DOL, Class I Div 2", "direct", None)]
    #[case("DOL O/C", "direct", Some(Doubt::Words("o/c".to_owned())))]
    #[case("soft starter, ramp up/down", "soft-starter", None)]
    #[case("DOL, size 2, 24 V", "direct", None)]
    #[case("VFD w/ line reactor", "drive", None)]
    #[case("DOL open/close", "direct", None)]
    #[case("DOL with HOA", "direct", None)]
    #[case("Two-speed high/low", "two-speed", None)]
    fn words_beside_a_method_leave_doubts(#[case] text: &str, #[case] method: &str, #[case] expected: Option<Doubt>) {
        assert_eq!(of(text, method), expected);
    }

    #[test]
    fn every_row_of_the_table_is_read() {
        let rows: Vec<crate::intake::matters::Said> = tables::whole(TABLE);
        for row in &rows {
            assert!(SAID.contains(&row.says.as_str()), "{row:?}");
            assert!(!row.phrases.contains('&'), "{row:?}");
        }
    }

    #[rstest::rstest]
    #[case("1~ mit integriertem FU", true)]
    #[case("pump with built-in VFD", true)]
    #[case("on-board soft starter", true)]
    #[case("variateur de fréquence intégré", true)]
    #[case("inverter a bordo", true)]
    #[case("variador incorporado", true)]
    #[case("EC-Motor, integrierte Elektronik", true)]
    #[case("starter furnished with equipment", true)]
    #[case("starter by mech contractor", true)]
    #[case("VFD provided by unit manufacturer", true)]
    #[case("starter furnished by EC", false)]
    #[case("starter provided by Div. 26", false)]
    #[case("starter by electrical", false)]
    #[case("FU im Schaltschrank", false)]
    #[case("VFD with integral disconnect", false)]
    #[case("Softstarter mit internem Bypass", false)]
    #[case("integrated pump station", false)]
    #[case("motor with integrated brake, VFD", false)]
    #[case("drive on board", true)]
    #[case("starter on unit", true)]
    #[case("Starter on board DB-2", false)]
    #[case("VFD ready; drive on board MCC-1", false)]
    #[case("drive on board 2", false)]
    #[case("motor with integrated drive shaft", false)]
    fn notes_tell_of_a_starter_in_the_equipment(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(brings_a_starter(text), expected);
    }
}
