//! Asks for what description and note name and no column states: equipment that is there already, inching, several motors behind one
//! starter, several machines in one row, a wet place or a roof, a spare way, a neutral, a cable that keeps working in a fire, overload
//! protection that is left out.

use crate::finding::codes::{self, Code};
use crate::finding::{Finding, Place};
use crate::intake::matters::{begins_with, is_name_of, suggests, words_of};
use crate::load::{Case, Field, Load, LoadKind, Method};
use crate::record::Record;
use crate::rules::services::About;
use crate::rules::{RuleBook, Topic};
use crate::sizing::given;
use crate::sizing::resolve::services::saying;
use crate::sizing::resolve::standing::{self, Says};

/// Columns of words, each with its words.
struct Said(Vec<(Field, Vec<String>)>);

impl Said {
    fn of(load: &Load) -> Self {
        // The sign of alternating current is a word of its own: `3N~`.
        let words = |field: Field| Some((field, words_of(&load.text(field)?.replace('~', " ac "))));
        Self([Field::Description, Field::Notes].into_iter().filter_map(words).collect())
    }

    /// The column that suggests a matter whatever marks stand between its words: `L1, L2, L3, N`.
    fn bare(&self, matter: &str) -> Option<Field> {
        let words = |words: &[String]| words.iter().filter(|word| !word.is_empty()).cloned().collect::<Vec<_>>();
        self.0.iter().find(|(_, said)| suggests(matter, &words(said))).map(|(field, _)| *field)
    }

    /// The column that counts motors, in a row of one: `Roller bed, 6 drum motors`, `(2) 5 HP motors`.
    fn counted(&self, load: &Load) -> Option<Field> {
        let one = load.count(Field::Quantity).unwrap_or(1) == 1 && load.tags().len() < 2;
        let counts = |words: &[String]| {
            words.split(String::is_empty).any(is_counted) || begins_with("machines-counted", &without_ratings(words))
        };
        self.0.iter().find(|(_, words)| one && counts(words)).map(|(field, _)| *field)
    }

    /// The column whose text begins with a number of machines, or has a part that does.
    fn numbered(&self) -> Option<Field> {
        let begins = |words: &[String]| begins_with("machines-numbered", words);
        let says = |words: &[String]| words.split(String::is_empty).any(begins) || begins(&without_ratings(words));
        self.0.iter().find(|(_, words)| says(words)).map(|(field, _)| *field)
    }

    /// The column that suggests a matter.
    fn field(&self, matter: &str) -> Option<Field> {
        self.0.iter().find(|(_, words)| suggests(matter, words)).map(|(field, _)| *field)
    }
}

/// Words without marks and without ratings: `(2) 5 HP motors` counts two motors.
fn without_ratings(words: &[String]) -> Vec<String> {
    let words: Vec<&String> = words.iter().filter(|word| !word.is_empty()).collect();
    let is_unit = |at: usize| words.get(at).is_some_and(|word| matches!(word.as_str(), "hp" | "kw"));
    let left = words.iter().enumerate().filter(|(at, _)| !is_unit(*at) && !is_unit(at + 1));
    left.map(|(_, word)| (*word).clone()).collect()
}

/// A figure that counts what stands behind it, where a part of a text begins or behind `with`: in `Conveyor 2 motors` it is a number.
fn is_counted(part: &[String]) -> bool {
    let behind = |word: &str| ["with", "w", "mit", "avec", "con", "com", "met", "a", "of", "for"].contains(&word);
    let begins = |at: usize| at == 0 || behind(&part[at - 1]);
    let counts = |at: &usize| begins(*at) && begins_with("machines-counted", &part[*at..]);
    (0..part.len()).any(|at| counts(&at))
}

/// Asks; whether the place of the machine is asked for.
pub(super) fn ask(load: &Load, case: &Case, book: &dyn RuleBook, record: &mut Record) -> bool {
    let said = Said::of(load);
    spare(load, record);
    existing(load, case, &said, record);
    inching(load, case, &said, book, record);
    // Motors behind one starter are asked about by their number; the same words count no machines besides.
    if !several_motors(load, case, &said, record) {
        several_machines(load, case, &said, record);
    }
    neutral(load, case, &said, record);
    fire_integrity(load, &said, book, record);
    overload_left_out(load, case, &said, book, record);
    place(load, case, book, record)
}

/// A finding about what a column says.
fn asked(load: &Load, code: &'static Code, field: Field, what: &str) -> Finding {
    Finding::new(code, format!("the {} {what}", saying(field))).at(load.place_of(field))
}

/// A way that description, note or tag calls spare counts as a load that runs, until the row says that it is one.
fn spare(load: &Load, record: &mut Record) {
    let named = |field: &Field| load.text(*field).is_some_and(|text| is_spare_way(*field, text));
    let Some(field) = [Field::Description, Field::Notes, Field::Tag].into_iter().find(named) else { return };
    if load.has(Field::Running) {
        return;
    }
    let name = if field == Field::Tag { "tag" } else { saying(field) };
    let text = load.text(field).unwrap_or_default();
    record.find(
        Finding::new(&codes::L350_SPARE_ASKED, format!("the {name} reads `{text}`, and running is empty"))
            .at(load.place_of(field))
            .why("it counts as a load that runs, and its cable is sized and bought")
            .cure("write running spare for an equipped way without a load, or duty"),
    );
}

/// Whether a text is the name of a spare way: a description in one of its parts, note and tag as a whole.
pub(super) fn is_spare_way(field: Field, text: &str) -> bool {
    let words = words_of(text);
    is_name_of("spare-way", &words) || field == Field::Description && suggests("spare", &words)
}

/// What is there already is not designed anew without a question: its parts would be bought.
fn existing(load: &Load, case: &Case, said: &Said, record: &mut Record) {
    let judged = given::COLUMNS.iter().any(|field| load.has(*field));
    if judged || matches!(case.start.method, Method::ByOthers | Method::None) {
        return;
    }
    let Some(field) = said.field("existing") else { return };
    record.find(
        asked(load, &codes::L347_EXISTING_ASKED, field, "names equipment that exists, and the row states nothing of it")
            .why("its circuit is designed anew and its parts are ordered, though what is there may stay and may not suit")
            .cure(
                "enter what is there in the given_ columns so that it is judged, write by-others, or leave the row out; decide it if all of the circuit is new",
            ),
    );
}

/// Contacts that break the starting current wear in a fraction of their operations and need a larger starter.
fn inching(load: &Load, case: &Case, said: &Said, book: &dyn RuleBook, record: &mut Record) {
    let on_contactors = !case.start.method.supply_only() && case.start.method != Method::Drive;
    if case.machine.kind != LoadKind::Motor || load.has(Field::InchingSharePct) || !on_contactors {
        return;
    }
    let Some(field) = said.field("inching") else { return };
    record.find(
        asked(load, &codes::L348_INCHING_ASKED, field, "names inching, jogging or plugging, of which no column states the share")
            .why("contactors are chosen for motors that are switched off while they run")
            .cure("enter inching_share_pct, the share of operations broken at locked-rotor current; 0 where there is none")
            .reference(book.clause(Topic::Inching)),
    );
}

/// A starter for one motor is a fraction of what several behind it need, and its relay protects none of them; whether it is asked.
fn several_motors(load: &Load, case: &Case, said: &Said, record: &mut Record) -> bool {
    if case.machine.kind != LoadKind::Motor || load.has(Field::MotorsPerStarter) || case.start.method.supply_only() {
        return false;
    }
    let Some(field) = said.field("shared-drive").or_else(|| said.counted(load)) else { return false };
    record.find(
        asked(
            load,
            &codes::L413_SEVERAL_MOTORS,
            field,
            "names several motors behind one starter, and motors_per_starter is empty: the circuit is sized for one motor",
        )
        .why("starter, protective device and cable would have to carry all of them, and each needs an overload relay of its own")
        .cure("enter motors_per_starter, with power and currents of one motor and the number of starters as quantity; 1 where each has its own"),
    );
    true
}

/// A row of several machines whose number stands in words alone would be sized, bought and counted at its board as one.
fn several_machines(load: &Load, case: &Case, said: &Said, record: &mut Record) {
    let counts = [Field::Quantity, Field::DutyCount, Field::StandbyCount, Field::MotorsPerStarter];
    if counts.iter().any(|field| load.has(*field)) || load.tags().len() > 1 {
        return;
    }
    // What is supplied as a whole may well have several machines: `Booster set, 3 pumps`.
    let numbered = || said.numbered().filter(|_| !case.start.method.supply_only() && case.machine.kind != LoadKind::Packaged);
    let named = said.field("several-machines").or_else(|| said.bare("several-machines"));
    let Some(field) = named.or_else(numbered) else { return };
    record.find(
        asked(load, &codes::L366_SEVERAL_MACHINES, field, "counts several machines, and no column states how many")
            .why("one circuit is sized and bought, and one load counts at its board")
            .cure("enter quantity, or list the tags; quantity 1 where the row is one of them"),
    );
}

/// Conductors that a wet place or the sun on a roof asks more of, where no column says that they lie there; whether it is asked.
fn place(load: &Load, case: &Case, book: &dyn RuleBook, record: &mut Record) -> bool {
    let environment = load.text(Field::Environment);
    if load.has(Field::Location) {
        if load.text(Field::Location) == Some("rooftop") {
            sun_on_roof(load, load.place_of(Field::Location), "location", book, record);
        }
        return false;
    }
    let insulation = &case.route.insulation;
    let wet = book.not_in_wet_places(insulation);
    let stated = matches!(environment, Some("outdoor" | "washdown")).then_some(Says {
        field: Field::Environment,
        name: "environment",
        text: environment.unwrap_or_default(),
    });
    let names_wet = || standing::first_of(&["wet", "outdoor", "roof"], load).or(stated);
    let roof = book.on_roof(insulation).filter(|_| !load.has(Field::AmbientC)).zip(standing::first_of(&["roof"], load));
    let finding = |says: Says<'_>, what: &str| {
        let said = match says.field {
            Field::Environment => format!("environment is {}, and location is empty: {what}", says.text),
            Field::Description | Field::Notes => {
                format!("the {} names a wet place or a roof, and location is empty: {what}", says.name)
            }
            _ => format!("the {} `{}` is that of what stands outdoors, and location is empty: {what}", says.name, says.text),
        };
        Finding::new(&codes::L349_PLACE_ASKED, said).at(load.place_of(says.field))
    };
    if let Some((clause, says)) = wet.zip(names_wet()) {
        let what = format!("{} is not for wet places", insulation.to_uppercase());
        record.find(
            finding(says, &what)
                .why("water in the raceway ruins insulation that is not made for it, and stands in a switch for dry rooms at the machine")
                .cure("write location wet, rooftop or dry; and an insulation for wet places, such as THWN-2 or XHHW-2")
                .reference(clause),
        );
        return true;
    } else if let Some(([why, _, clause], says)) = roof {
        record.find(
            finding(says, "its conductors are sized for the air of the project")
                .why(format!("{why}; water stands in a switch for dry rooms at the machine"))
                .cure("write location rooftop, wet where the raceway is 7/8 in or more above the roof, or dry where it lies indoors")
                .reference(clause),
        );
        return true;
    } else if let Some(says) = standing::first_of(&["roof"], load) {
        sun_on_roof(load, load.place_of(says.field), says.name, book, record);
    }
    false
}

/// The sun heats the cable of what stands on a roof, which the air of the project leaves out.
fn sun_on_roof(load: &Load, place: Place, says: &str, book: &dyn RuleBook, record: &mut Record) {
    let Some([why, cure, clause]) = book.sun_on_roof().filter(|_| !load.has(Field::AmbientC)) else { return };
    let what = format!("the {says} puts it on a roof, and ambient_c is empty: its cable is sized for the air of the project");
    record.find(Finding::new(&codes::L357_SUN_ON_ROOF, what).at(place).why(why).cure(cure).reference(clause));
}

/// A neutral that only words name is neither laid nor connected.
fn neutral(load: &Load, case: &Case, said: &Said, record: &mut Record) {
    if case.machine.neutral || load.has(Field::Connection) {
        return;
    }
    let Some(field) = said.bare("neutral") else { return };
    record.find(
        asked(load, &codes::L353_NEUTRAL_NAMED, field, "names a neutral, and connection is empty: none is connected")
            .why("cable and protective device are chosen without it, and its conductor may be taken for the protective one")
            .cure("write connection 3L+N, or 3L if the equipment needs no neutral"),
    );
}

/// What keeps a cable working in a fire is neither chosen nor reckoned: its conductors are hotter there than any that are sized here.
fn fire_integrity(load: &Load, said: &Said, book: &dyn RuleBook, record: &mut Record) {
    let Some(field) = said.field("fire-integrity") else { return };
    for row in book.not_covered().iter().filter(|row| row.about == About::Cable) {
        record.find(
            asked(load, &codes::L354_FIRE_INTEGRITY, field, &format!("asks for {}", row.what))
                .why("a cable of ordinary make is chosen and listed")
                .cure(row.cure.as_str())
                .reference(row.reference.as_str()),
        );
    }
}

/// What must run in a fire until it fails is stopped by the protection that an ordinary motor needs.
fn overload_left_out(load: &Load, case: &Case, said: &Said, book: &dyn RuleBook, record: &mut Record) {
    if case.machine.kind != LoadKind::Motor || case.start.method.supply_only() {
        return;
    }
    let Some(field) = said.field("overload-left-out") else { return };
    // What a relay is not needed for is not left out: the starter protects the motor.
    let in_starter = matches!(case.start.method, Method::Drive | Method::SoftStarter);
    if in_starter && said.bare("overload-elsewhere").is_some() {
        return;
    }
    record.find(
        asked(
            load,
            &codes::L355_OVERLOAD_LEFT_OUT,
            field,
            "leaves out or bypasses the overload protection, and this circuit has it: it will trip",
        )
        .why("a motor that must run until it fails would be stopped")
        .cure(
            "write the service into service_class (smoke-control ...) and have this circuit designed by hand, or decide it if the protection may act",
        )
        .reference(book.clause(Topic::OverloadLeftOut)),
    );
}
