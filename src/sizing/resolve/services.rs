//! Says what isn't covered: special services, explosive atmospheres, safety levels, earthing systems; each with the clause to
//! turn to. Which ones, and where to turn, is the rule book's table.

use crate::basis::Basis;
use crate::conductors;
use crate::finding::{Finding, codes};
use crate::intake::mentions::words;
use crate::intake::surroundings::{denied_by, suggested_by};
use crate::load::{Case, Field, Load, LoadKind, Method};
use crate::record::Record;
use crate::rules::services::{About, NotCovered};
use crate::sizing::arrangement::Arrangement;

/// Looks at services, surroundings, safety and earthing, with what the rule book does not cover.
pub(super) fn refer(load: &Load, case: &Case, basis: &Basis, not_covered: &'static [NotCovered], record: &mut Record) {
    service(load, not_covered, record);
    supply(load, not_covered, record);
    let said = Saying::of(load);
    surroundings(load, &said, not_covered, record);
    motors(load, case.machine.kind, &said, not_covered, record);
    safety(load, case.start.method, not_covered, record);
    system(load, &case.board, basis, not_covered, record);
}

fn rows(not_covered: &'static [NotCovered], about: About) -> impl Iterator<Item = &'static NotCovered> {
    not_covered.iter().filter(move |row| row.about == about)
}

fn service(load: &Load, not_covered: &'static [NotCovered], record: &mut Record) {
    let class = load.text(Field::ServiceClass).map(|text| text.trim().to_lowercase()).unwrap_or_default();
    let known = rows(not_covered, About::Service).find(|row| row.class == class);
    if let Some(row) = known.filter(|row| row.refuse) {
        refuse(row, load, Field::ServiceClass, row.cure.clone(), record);
        return;
    }
    if !class.is_empty() && class != "general" {
        let (cure, turn_to) = known
            .map_or(("have the circuit checked against the rules of that service", "the standard of that service"), |row| {
                (row.cure.as_str(), row.reference.as_str())
            });
        record.find(
            Finding::new(
                &codes::L402_SPECIAL_SERVICE,
                format!("service class \"{class}\": sized as an ordinary load, which does not cover that service"),
            )
            .at(load.place_of(Field::ServiceClass))
            .cure(cure)
            .reference(turn_to),
        );
        return;
    }
    if class == "general" {
        return;
    }
    let description = load.text(Field::Description).unwrap_or("");
    // Nobody who leaves the class empty may get a fire pump that its overload relay stops.
    if let Some(row) = rows(not_covered, About::Service).find(|row| row.refuse && row.named_by(description)) {
        let cure = format!("{}; if this load is no {}, write service_class general", row.cure, row.class.replace('-', " "));
        refuse(row, load, Field::Description, cure, record);
        return;
    }
    let note = load.text(Field::Notes).unwrap_or("");
    let by = |field, suggests: &dyn Fn(&NotCovered) -> bool| {
        rows(not_covered, About::Service).find(|row| suggests(row)).map(|row| (field, row))
    };
    let suggested = by(Field::Description, &|row| row.suggested_by(description));
    if let Some((field, row)) = suggested.or_else(|| by(Field::Notes, &|row| row.remarked_in(note))) {
        record.find(
            Finding::new(
                &codes::L403_SERVICE_ASKED,
                format!("the {} suggests the service {}, but service_class is empty", saying(field), row.class),
            )
            .at(load.place_of(field))
            .cure(format!("write service_class {} or general", row.class))
            .reference(row.asked()),
        );
    }
}

fn refuse(row: &NotCovered, load: &Load, field: Field, cure: String, record: &mut Record) {
    record.find(
        Finding::new(&codes::L401_FIRE_PUMP, row.what.as_str())
            .at(load.place_of(field))
            .cure(cure)
            .reference(row.reference.as_str()),
    );
}

/// A supply that has rules of its own in this book.
fn supply(load: &Load, not_covered: &'static [NotCovered], record: &mut Record) {
    let Some(class) = load.text(Field::SupplyClass) else { return branch(load, not_covered, record) };
    if let Some(row) = rows(not_covered, About::Supply).find(|row| row.class == class) {
        record.find(
            Finding::new(
                &codes::L402_SPECIAL_SERVICE,
                format!("supply class \"{class}\": sized as an ordinary load, which does not cover that supply"),
            )
            .at(load.place_of(Field::SupplyClass))
            .cure(row.cure.as_str())
            .reference(row.reference.as_str()),
        );
    }
}

/// A column that is not read may put the load on a branch with rules of its own.
fn branch(load: &Load, not_covered: &'static [NotCovered], record: &mut Record) {
    let Some(place) = load.on_a_branch.as_deref().filter(|_| load.text(Field::ServiceClass).is_none()) else { return };
    let heading = place.heading.as_deref().unwrap_or_default();
    for row in rows(not_covered, About::Branch) {
        record.find(
            Finding::new(&codes::L403_SERVICE_ASKED, format!("the column `{heading}` may put the load on {}", row.what))
                .at(place.clone())
                .why("the row is sized as an ordinary load on the normal supply")
                .cure(row.cure.as_str())
                .reference(row.reference.as_str()),
        );
    }
}

/// The field by which a row says that its load stands in an explosive atmosphere.
pub(super) fn explosive(load: &Load) -> Option<Field> {
    let marking = load.text(Field::ExMarking).map(str::trim).unwrap_or_default();
    if !marking.is_empty() && !denied_by(marking) {
        return Some(Field::ExMarking);
    }
    (load.text(Field::Environment) == Some("hazardous")).then_some(Field::Environment)
}

/// The column in words.
pub(super) fn saying(field: Field) -> &'static str {
    if field == Field::Notes { "sender's note" } else { "description" }
}

/// A column whose words say what a load is, with these words.
struct Saying {
    field: Field,
    words: Vec<String>,
}

impl Saying {
    /// The description, and what the sender remarks.
    fn of(load: &Load) -> Vec<Self> {
        let said = |field| Some(Self { field, words: words(load.text(field)?) });
        [Field::Description, Field::Notes].into_iter().filter_map(said).collect()
    }

    fn name(&self) -> &'static str {
        saying(self.field)
    }
}

fn surroundings(load: &Load, said: &[Saying], not_covered: &'static [NotCovered], record: &mut Record) {
    let Some(field) = explosive(load) else { return surroundings_asked(load, said, not_covered, record) };
    for row in rows(not_covered, About::Surroundings) {
        record.find(
            Finding::new(&codes::L405_EXPLOSIVE, row.what.as_str())
                .at(load.place_of(field))
                .cure(row.cure.as_str())
                .reference(row.reference.as_str()),
        );
    }
}

/// Words that suggest an explosive atmosphere ask, unless the marking says that there is none: where a motor stands indoors, it may
/// still be one.
fn surroundings_asked(load: &Load, said: &[Saying], not_covered: &'static [NotCovered], record: &mut Record) {
    if load.text(Field::ExMarking).is_some_and(|text| !text.trim().is_empty()) {
        return;
    }
    let Some(saying) = said.iter().find(|saying| suggested_by(&saying.words)) else { return };
    for row in rows(not_covered, About::Surroundings) {
        record.find(
            Finding::new(
                &codes::L410_EXPLOSIVE_ASKED,
                format!("the {} suggests a hazardous location, but neither environment nor ex_marking says so", saying.name()),
            )
            .at(load.place_of(saying.field))
            .why("it is sized as an ordinary load")
            .cure("write environment hazardous and the marking into ex_marking; or ex_marking none")
            .reference(row.reference.as_str()),
        );
    }
}

/// Motors that the ordinary rules don't fit, by what the row says of them.
fn motors(load: &Load, kind: LoadKind, said: &[Saying], not_covered: &'static [NotCovered], record: &mut Record) {
    let general = load.text(Field::ServiceClass).is_some_and(|text| text.trim().eq_ignore_ascii_case("general"));
    if kind != LoadKind::Motor || general {
        return;
    }
    // A row that states the currents of a motor-compressor is sized as one.
    let compressor = load.entry(Field::RatedLoadCurrentA).is_some();
    let asked = || rows(not_covered, About::Motor).filter(|row| !(compressor && row.class == "hermetic-compressor"));
    let named = said.iter().find_map(|saying| Some((saying, asked().find(|row| row.mentioned_in(&saying.words))?)));
    let Some((saying, row)) = named else { return };
    record.find(
        Finding::new(&codes::L411_MOTOR_ASKED, format!("the {} suggests {}", saying.name(), row.what))
            .at(load.place_of(saying.field))
            .cure(format!("{}; for an ordinary motor write service_class general", row.cure))
            .reference(row.reference.as_str()),
    );
}

/// A stated level asks for an architecture and its proof; the proof, and what monitors the contactors, is not built here.
fn safety(load: &Load, method: Method, not_covered: &'static [NotCovered], record: &mut Record) {
    let level = load.text(Field::SafetyLevel).map(str::trim).unwrap_or_default();
    if level.is_empty() || ["none", "no"].contains(&level.to_lowercase().as_str()) {
        return;
    }
    let without_contactors = Arrangement::of(method).roles.is_empty();
    for row in rows(not_covered, About::Safety) {
        record.find(
            Finding::new(&codes::L408_SAFETY_LEVEL, "a safety level is stated, which this design does not establish")
                .at(load.place_of(Field::SafetyLevel))
                .why(if without_contactors {
                    "this circuit has no contactor that could be opened"
                } else if super::wish::asks_for_two_channels(level) {
                    "a second contactor in series and a mirror contact on each are chosen; the safety relay and the proof of both channels are not"
                } else {
                    "one contactor in each place is chosen; the safety relay, its feedback and the proof are not"
                })
                .cure(row.cure.as_str())
                .reference(row.reference.as_str()),
        );
    }
}

/// Earthing of the board, in a word or in the words of its system, as they are stated nearest on the way to its source.
fn system(load: &Load, name: &str, basis: &Basis, not_covered: &'static [NotCovered], record: &mut Record) {
    let said = [conductors::earthing_of_board(basis, name), conductors::system_of_board(basis, name)];
    let is = |row: &&NotCovered| said.into_iter().flatten().any(|text| row.suggested_by(text));
    if let Some(row) = rows(not_covered, About::System).find(is) {
        record.find(
            Finding::new(&codes::L404_IT_SYSTEM, format!("board {name} {}", row.what))
                .at(load.place())
                .cure(row.cure.as_str())
                .reference(row.reference.as_str()),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::basis::BoardBasis;
    use crate::rules::services::of;
    use crate::sizing::testing::row;

    /// Codes, clauses and severities of a row under a book, on a board of that system.
    fn found(book: &str, cells: &[(&str, &str)], system_words: &str) -> Vec<(String, String)> {
        let load = row(cells);
        let mut basis = Basis::default();
        let board = BoardBasis { name: Some("B".to_owned()), system: Some(system_words.to_owned()), ..BoardBasis::default() };
        basis.boards.push(board);
        let mut record = Record::new();
        let not_covered = of(book);
        service(&load, not_covered, &mut record);
        supply(&load, not_covered, &mut record);
        let said = Saying::of(&load);
        surroundings(&load, &said, not_covered, &mut record);
        motors(&load, LoadKind::Motor, &said, not_covered, &mut record);
        safety(&load, Method::Direct, not_covered, &mut record);
        system(&load, "B", &basis, not_covered, &mut record);
        record.findings().iter().map(|finding| (finding.code.clone(), finding.reference.clone())).collect()
    }

    /// Articles of NFPA 70 by their titles: 695 fire pumps, 620 elevators, 610 cranes and hoists, 517 health care, 680 pools.
    #[rstest::rstest]
    #[case("fire-pump", "L401", "Article 695")]
    #[case("elevator", "L402", "Article 620")]
    #[case("crane", "L402", "Article 610")]
    #[case("healthcare-essential", "L402", "Article 517")]
    #[case("emergency", "L402", "Article 700")]
    #[case("pool", "L402", "Article 680")]
    #[case("smoke-control", "L402", "building code")]
    fn a_service_is_referred_to_its_article(#[case] class: &str, #[case] code: &str, #[case] article: &str) {
        let all = found("nec", &[("tag", "P-1"), ("service_class", class)], "480Y/277 4W solidly grounded");
        assert_eq!(all.len(), 1, "{all:?}");
        assert!(all[0].0 == code && all[0].1.contains(article), "{all:?}");
    }

    #[rstest::rstest]
    #[case("Fire pump room fan", "695")]
    #[case("Medical air compressor, duplex", "517")]
    #[case("Hydraulic elevator pump", "620")]
    #[case("Chain hoist", "610")]
    #[case("Atrium smoke exhaust fan", "building code")]
    #[case("Stair pressurization fan", "building code")]
    #[case("Therapy pool pump", "680")]
    fn a_description_that_suggests_a_service_asks(#[case] description: &str, #[case] article: &str) {
        let all = found("nec", &[("tag", "P-1"), ("description", description)], "");
        assert!(all.len() == 1 && all[0].0 == "L403" && all[0].1.contains(article), "{all:?}");
        let answered = found("nec", &[("tag", "P-1"), ("description", description), ("service_class", "general")], "");
        assert!(answered.is_empty(), "{answered:?}");
    }

    /// EN 12845 for pumps that fight fire, EN 81-20 and EN 115-1 for lifts and escalators; a lifting station is none of these.
    #[rstest::rstest]
    #[case("Deluge valve skid", Some("EN 12845"))]
    #[case("Wet riser booster", Some("EN 12845"))]
    #[case("Lift motor 2", Some("EN 81-20"))]
    #[case("Escalator, hall", Some("EN 115-1"))]
    #[case("Dumbwaiter", Some("EN 81-20"))]
    #[case("Sewage lift station pump", None)]
    fn people_and_fires_are_asked_about_under_iec_too(#[case] description: &str, #[case] document: Option<&str>) {
        let all = found("iec", &[("tag", "P-1"), ("description", description)], "");
        assert_eq!(all.len(), usize::from(document.is_some()), "{all:?}");
        assert!(all.iter().all(|finding| finding.0 == "L403" && finding.1.contains(document.unwrap_or_default())), "{all:?}");
    }

    #[test]
    fn a_description_that_plainly_names_a_fire_pump_is_refused_unless_the_class_says_otherwise() {
        for book in ["iec", "nec"] {
            let codes_of = |class: &[(&str, &str)]| {
                let cells = [&[("tag", "P-1"), ("description", "Fire pump, electric")], class].concat();
                found(book, &cells, "").into_iter().map(|finding| finding.0).collect::<Vec<_>>()
            };
            assert_eq!(codes_of(&[]), ["L401"], "{book}");
            assert_eq!(codes_of(&[("service_class", "general")]), Vec::<String>::new(), "{book}");
            assert_eq!(codes_of(&[("service_class", "smoke-control")]), ["L402"], "{book}");
        }
    }

    #[test]
    fn surroundings_systems_and_supplies_are_referred_by_each_book_to_its_own_documents() {
        let cells = [("tag", "P-1"), ("environment", "hazardous"), ("safety_level", "PL d"), ("supply_class", "emergency")];
        let nec = found("nec", &cells, "480 delta ungrounded");
        let codes: Vec<&str> = nec.iter().map(|nec| nec.0.as_str()).collect();
        assert_eq!(codes, ["L402", "L405", "L408", "L404"]);
        assert!(nec.iter().all(|(_, reference)| !reference.contains("IEC")), "{nec:?}");
        let iec = found("iec", &cells, "480 delta ungrounded");
        assert_eq!(iec.iter().map(|iec| iec.0.as_str()).collect::<Vec<_>>(), ["L405", "L408"]);
        assert!(iec.iter().all(|(_, reference)| !reference.contains("NFPA")), "{iec:?}");
    }

    /// NFPA 70, 440.22(A) and 430.6(B); Articles 500 to 516. `service_class general` answers for a motor, the marking for a place.
    #[rstest::rstest]
    #[case("nec", "Semi-hermetic compressor, RLA 48 A", "L411", "440.22(A)", ("service_class", "general"))]
    #[case("nec", "Torque motor", "L411", "430.6(B)", ("service_class", "general"))]
    #[case("nec", "Pump, Class I Div 2", "L410", "Articles 500", ("ex_marking", "safe area"))]
    #[case("iec", "Rührwerk, ATEX Zone 1", "L410", "IEC 60079-14", ("ex_marking", "none"))]
    fn words_that_name_what_no_column_states_ask(
        #[case] book: &str,
        #[case] description: &str,
        #[case] code: &str,
        #[case] document: &str,
        #[case] answer: (&str, &str),
    ) {
        let found_with =
            |more: &[(&str, &str)]| found(book, &[&[("tag", "P-1"), ("description", description)], more].concat(), "");
        let all = found_with(&[]);
        assert!(all.len() == 1 && all[0].0 == code && all[0].1.contains(document), "{all:?}");
        assert!(found_with(&[answer]).is_empty(), "{:?}", found_with(&[answer]));
    }

    #[test]
    fn a_marking_that_says_that_there_is_none_does_not_outvote_the_surroundings() {
        let cells = [("tag", "P-1"), ("ex_marking", "none"), ("environment", "hazardous")];
        assert_eq!(found("nec", &cells, "")[0].0, "L405");
        assert!(found("nec", &[("tag", "P-1"), ("ex_marking", "Safe area")], "").is_empty());
        assert_eq!(found("nec", &[("tag", "P-1"), ("ex_marking", "Ex nA")], "")[0].0, "L405");
    }

    #[test]
    fn a_class_that_no_book_knows_is_not_taken_for_general() {
        for book in ["iec", "nec"] {
            assert_eq!(found(book, &[("tag", "P-1"), ("service_class", "moon-base")], "")[0].0, "L402");
        }
    }
}
