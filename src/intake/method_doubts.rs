//! Words beside a starting method that change it or leave it to others, and that the table of methods does not resolve.

use super::fold;
use super::methods;

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

/// Words of those who may supply a starter.
const SUPPLIERS: &[&str] = &[
    "contractor",
    "furnished",
    "vendor",
    "manufacturer",
    "mfr",
    "hersteller",
    "herstellers",
    "constructeur",
    "fabricant",
    "fabricante",
    "fornecido",
    "fornecedor",
    "fornitore",
    "costruttore",
    "suministrado",
    "proveedor",
    "existing",
    "bestehend",
    "vorhanden",
    "existant",
    "existente",
    "esistente",
    "ofci",
    "ofoi",
    "packaged",
    "oem",
];
/// Places where a starter stands that comes with the machine.
const ON_THE_MACHINE: &[[&str; 2]] = &[
    ["on", "unit"],
    ["in", "unit"],
    ["at", "unit"],
    ["on", "motor"],
    ["am", "motor"],
    ["sur", "moteur"],
    ["a", "bordo"],
    ["on", "board"],
    ["with", "unit"],
    ["on", "skid"],
    ["skid", "mounted"],
    ["unit", "mounted"],
];
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
        let idle = |word: &str| SUPPLIERS.contains(&word) || provided.contains(&word);
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
    let placed = || words.windows(2).find(|pair| ON_THE_MACHINE.iter().any(|place| pair[0] == place[0] && pair[1] == place[1]));
    if let Some(word) = has(SUPPLIERS).or_else(division).or_else(|| placed().map(|pair| pair.join(" "))) {
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
    #[case("FU am Motor", "drive", Some(Doubt::SuppliedByOthers("am motor".to_owned())))]
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
}
