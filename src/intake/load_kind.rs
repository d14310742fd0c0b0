//! Tells the kind of load where no column states it: by its marking, its method, and the words of description, column of types and
//! section, under whatever headings.

use super::table::Table;
use super::values::Wrong;
use super::{Row, fold, load_words, methods, text};
use crate::finding::codes;
use crate::load::{Entry, Field, Load, Text, Value};

/// A text that may say what a load is, and the column where it stands.
#[derive(Clone, Debug)]
struct Saying {
    column: u32,
    text: Text,
    /// The title of the section of a row that has a description of its own: it may say where the load stands.
    is_place: bool,
}

impl Table<'_> {
    /// Tells the kind of load by its marking, its method and its name.
    pub(super) fn kind_of_load(&mut self, load: &mut Load, row: Row<'_>) {
        if load.entry(Field::LoadKind).is_some() {
            return;
        }
        if load.text(Field::Running) == Some("spare") {
            return self.unnamed_supply(load);
        }
        let method = load.text(Field::StartingMethod).map(str::to_owned);
        // Who fills in this program's own columns and names neither kind nor method is asked for the method.
        if self.plain && method.is_none() {
            return;
        }
        // Under canonical headings a marked circuit is that of a motor unless the column of kinds says otherwise.
        let starts = method.as_deref().is_some_and(methods::starts_a_motor);
        // A motor with a starter of ours may state the largest device that is allowed before it.
        let limited = starts && !load.has(Field::MinimumCircuitAmpacityA);
        let marked = if self.plain || limited { None } else { marking(load) };
        if let Some(Saying { column, text, .. }) = marked {
            if method.is_none() && !self.columns.iter().any(|column| column.spec.field == Field::StartingMethod) {
                // Equipment with a marked circuit brings its own starters.
                load.set(Field::StartingMethod, Entry { value: Value::Choice("feeder"), column, text: text.clone() });
            }
            return load.set(Field::LoadKind, Entry { value: Value::Choice("packaged"), column, text });
        }
        let method_said = load.entry(Field::StartingMethod).filter(|entry| load_words::names_a_package(&entry.text)).cloned();
        if let Some(entry) = method_said.filter(|_| is_supply_alone(method.as_deref())) {
            let said = Saying { column: entry.column, text: entry.text, is_place: false };
            return self.take_for(load, "packaged", &said, "");
        }
        let sayings = self.sayings(load, row);
        if self.asks_who_ec_is(load, &sayings) {
            return;
        }
        if is_supply_alone(method.as_deref())
            && let Some(said) = brings_electronics(load, &sayings)
        {
            return self.take_for(load, "other", &said, ELECTRONICS);
        }
        // `Heizungspumpe` is a motor, whatever it heats.
        let description = load.text(Field::Description).unwrap_or_default().to_owned();
        let description = description.as_str();
        let board = is_supply_alone(method.as_deref()) && load_words::names_a_board(description);
        let motor = (load_words::names_what_turns(description) && !board) || states_what_motors_alone_have(load);
        if motor || starts {
            return;
        }
        match kind_said(load, &sayings) {
            Some((kind, said)) => self.take_for(load, kind, said, ""),
            None if is_supply_alone(method.as_deref()) => self.unnamed_supply(load),
            None if method.is_none() && load_words::names_what_is_heated(description) => self.ask_of_oven(load),
            None => self.say_kind_uncertain(load, method.as_deref()),
        }
    }

    /// Description, columns of types that are not the description, and the section, in the order in which they are believed.
    fn sayings(&self, load: &Load, row: Row<'_>) -> Vec<Saying> {
        let described = load.entry(Field::Description);
        let mut sayings: Vec<Saying> = described
            .map(|entry| Saying { column: entry.column, text: entry.text.clone(), is_place: false })
            .into_iter()
            .collect();
        for (column, heading) in (0_u32..).zip(&self.layout.headings) {
            if matches!(fold::key(heading).as_str(), "type" | "typ" | "tipo" | "loadtype" | "typeofload" | "kind") {
                sayings.push(Saying { column, text: row.seen(column as usize).into_owned().into(), is_place: false });
            }
        }
        let named = described.or_else(|| load.entry(Field::Tag)).map_or(0, |entry| entry.column);
        let is_place = described.is_some();
        sayings.extend(self.section.as_ref().map(|section| Saying { column: named, text: section.clone(), is_place }));
        sayings
    }

    /// `EC` as a starting method is the electrical contractor in American lists, and elsewhere unless the machine is one that is made with
    /// electronics of its own; whether it was asked.
    fn asks_who_ec_is(&mut self, load: &mut Load, sayings: &[Saying]) -> bool {
        let Some(entry) = load.entry(Field::StartingMethod).filter(|entry| fold::key(&entry.text) == "ec").cloned() else {
            return false;
        };
        let commutated =
            |text: &str| load_words::names_electronics(text) || !self.sheet.american && load_words::may_be_commutated(text);
        if sayings.iter().any(|said| commutated(&said.text)) || load.text(Field::Notes).is_some_and(commutated) {
            return false;
        }
        let what = "starting_method reads `EC`: electronics of the motor's own, or the electrical contractor".to_owned();
        let cure =
            "write feeder for a motor with electronics of its own, by-others for a starter that others bring, else the method";
        load.remove(Field::StartingMethod);
        let wrong = Wrong { code: &codes::I418_UNDECIDED, what, cure: cure.to_owned() };
        self.wrong(load, entry.column as usize, &entry.text, wrong);
        true
    }

    /// Takes a load for the kind that a text names, and says which text did.
    fn take_for(&mut self, load: &mut Load, kind: &'static str, said: &Saying, because: &str) {
        let what = format!("`{}` was taken for a load of the kind {kind}{because}", text::shortened(&said.text));
        let cure = "state load_kind if it is another";
        self.cell_finding(load, &codes::I447_KIND_INFERRED, said.column as usize, &said.text, what, cure);
        load.set(Field::LoadKind, Entry { value: Value::Choice(kind), column: said.column, text: said.text.clone() });
    }

    /// A supply alone to what nothing says to be a motor is that of a load with no starting current: its conductors, which a device
    /// for a motor would leave unprotected, are protected at what they carry.
    fn unnamed_supply(&mut self, load: &mut Load) {
        let supplied = is_supply_alone(load.text(Field::StartingMethod));
        let drawn = [Field::FullLoadCurrentA, Field::RatedPowerKva].into_iter().find_map(|field| load.entry(field));
        let Some(drawn) = drawn.filter(|_| supplied && !self.may_be_a_motor(load)).cloned() else { return };
        let what = format!(
            "`{}` is supplied only, and nothing says that it is a motor: it was taken for a load of the kind other",
            text::shortened(load.text(Field::Description).filter(|said| !said.is_empty()).unwrap_or(&load.tag()))
        );
        let cure = "state its power if it is a motor, or load_kind";
        self.cell_finding(load, &codes::I447_KIND_INFERRED, drawn.column as usize, &drawn.text, what, cure);
        load.set(Field::LoadKind, Entry { value: Value::Choice("other"), column: drawn.column, text: drawn.text });
    }

    /// Whether power, a figure that only motors have, description or section say that the load is a motor.
    fn may_be_a_motor(&self, load: &Load) -> bool {
        FIELDS_OF_MOTORS.iter().any(|(field, _)| load.has(*field))
            || load.text(Field::Description).is_some_and(load_words::names_a_motor)
            || self.section.as_deref().is_some_and(load_words::names_a_motor)
    }

    /// `Kiln belt`, `Oven bakery`: what stands behind the oven may be a machine at it, or only say where the oven is.
    fn ask_of_oven(&mut self, load: &mut Load) {
        let Some(entry) = load.entry(Field::Description).cloned() else { return };
        let what = format!("`{}` may be an oven, or a machine at one: it was taken for a motor", text::shortened(&entry.text));
        let cure = "state load_kind heater or motor";
        self.cell_finding(load, &codes::I490_OVEN_OR_MACHINE, entry.column as usize, &entry.text, what, cure);
    }

    /// A contactor alone switches what is no motor; where nothing says what that is, the load stays the motor that it is by default,
    /// with its overload relay, and does not compete for the largest start of its board.
    fn say_kind_uncertain(&mut self, load: &mut Load, method: Option<&str>) {
        let Some(entry) = load.entry(Field::StartingMethod).filter(|_| method == Some("contactor")).cloned() else { return };
        let described = load.text(Field::Description).is_some_and(load_words::names_a_motor);
        if described || FIELDS_OF_MOTORS.iter().any(|(field, said_of)| *said_of != SaidOf::OthersToo && load.has(*field)) {
            return;
        }
        load.kind_in_doubt = true;
        let what = format!(
            "the starter reads `{}`, and nothing says what it switches: it was taken for a motor",
            text::shortened(&entry.text)
        );
        let cure = "state load_kind, such as heater or capacitor, or the starting method of the motor";
        self.cell_finding(load, &codes::I448_KIND_UNCERTAIN, entry.column as usize, &entry.text, what, cure);
    }
}

/// The figures of equipment that is marked as a whole.
fn marking(load: &Load) -> Option<Saying> {
    let marked = [Field::MinimumCircuitAmpacityA, Field::MaximumProtectionA].into_iter().find_map(|field| load.entry(field))?;
    Some(Saying { column: marked.column, text: marked.text.clone(), is_place: false })
}

/// What is said of a motor behind electronics of its own.
const ELECTRONICS: &str =
    ": electronics of its own stand before the motor, so that its nameplate current counts and no table of cage motors";

/// The text that says that a load brings its own electronics: description, type, section or remark, or `EC` as the starting method. It must
/// state what it draws, which no efficiency of a cage motor tells.
fn brings_electronics(load: &Load, sayings: &[Saying]) -> Option<Saying> {
    if !(load.has(Field::FullLoadCurrentA) || load.has(Field::RatedPowerKva)) {
        return None;
    }
    let of =
        |field: Field| load.entry(field).map(|entry| Saying { column: entry.column, text: entry.text.clone(), is_place: false });
    let texts = sayings.iter().cloned().chain(of(Field::Notes));
    let said = texts.into_iter().find(|said| load_words::names_electronics(&said.text));
    said.or_else(|| of(Field::StartingMethod).filter(|method| load_words::is_commutated(&method.text)))
}

/// The kind of load that texts name, and the first of them that does.
fn kind_said<'s>(load: &Load, sayings: &'s [Saying]) -> Option<(&'static str, &'s Saying)> {
    let lights = |text: &str| load_words::names_lighting(text) && !is_lighting_transformer(load);
    let first = |names: &dyn Fn(&str) -> bool| sayings.iter().find(|said| names(&said.text));
    // In a section `Oven` stands anything, in one `Heaters` what heats.
    let heats: [fn(&str) -> bool; 2] = [load_words::names_a_heater, load_words::titles_heaters];
    let heater = sayings.iter().find(|said| heats[usize::from(said.is_place)](&said.text));
    let in_horsepower = load.has(Field::RatedPowerHp);
    let said = None
        .or_else(|| Some(("capacitor", first(&load_words::names_a_capacitor)?)))
        .or_else(|| Some(("lighting", first(&lights)?)))
        .or_else(|| Some(("heater", heater?)))
        // No transformer has horsepower: `Transformer vault` is where a fan stands.
        .or_else(|| Some(("transformer", first(&|text| !in_horsepower && load_words::names_a_transformer(text))?)))
        // `Oven convection`: what is supplied only is an oven before it is a motor, whose device its conductors would not bear.
        .or_else(|| {
            let supplied = is_supply_alone(load.text(Field::StartingMethod));
            let heated = |said: &&Saying| !said.is_place && load_words::names_what_is_heated(&said.text);
            Some(("heater", sayings.iter().filter(|_| supplied).find(heated)?))
        })
        .or_else(|| {
            Some((
                "other",
                first(&|text| load_words::names_a_supply(text) || !in_horsepower && load_words::names_what_is_no_motor(text))?,
            ))
        });
    said.or_else(|| sayings.first().filter(|_| is_reactive_alone(load)).map(|said| ("capacitor", said)))
}

/// Whether a row asks for a supply and for no starter.
pub(super) fn is_supply_alone(method: Option<&str>) -> bool {
    matches!(method, Some("feeder" | "by-others" | "none"))
}

/// Of which loads lists state a figure, where rows of motors do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SaidOf {
    /// Of nothing but a motor.
    MotorsAlone,
    /// Of motors, and of other loads where a list states it of every row: an efficiency, the poles of a switch.
    Motors,
    /// Of whatever is switched, or of packaged equipment.
    OthersToo,
}

/// Columns that rows of motors fill.
pub(super) const FIELDS_OF_MOTORS: &[(Field, SaidOf)] = &[
    (Field::RatedPowerLowKw, SaidOf::MotorsAlone),
    (Field::RatedPowerLowHp, SaidOf::MotorsAlone),
    (Field::FullLoadCurrentLowA, SaidOf::MotorsAlone),
    (Field::RatedLoadCurrentA, SaidOf::MotorsAlone),
    (Field::BranchSelectionCurrentA, SaidOf::MotorsAlone),
    (Field::MotorVoltages, SaidOf::Motors),
    (Field::MotorLeads, SaidOf::MotorsAlone),
    (Field::EfficiencyClass, SaidOf::MotorsAlone),
    (Field::Poles, SaidOf::Motors),
    (Field::SpeedRpm, SaidOf::MotorsAlone),
    (Field::ServiceFactor, SaidOf::MotorsAlone),
    (Field::LockedRotorCurrentA, SaidOf::MotorsAlone),
    (Field::LockedRotorRatio, SaidOf::MotorsAlone),
    (Field::LockedRotorCode, SaidOf::MotorsAlone),
    (Field::DesignLetter, SaidOf::MotorsAlone),
    (Field::LoadTorque, SaidOf::MotorsAlone),
    (Field::MotorsPerStarter, SaidOf::MotorsAlone),
    (Field::AbsorbedPowerKw, SaidOf::Motors),
    (Field::EfficiencyPct, SaidOf::Motors),
    (Field::MinimumCircuitAmpacityA, SaidOf::OthersToo),
    (Field::MaximumProtectionA, SaidOf::OthersToo),
    (Field::RatedPowerKw, SaidOf::OthersToo),
    (Field::RatedPowerHp, SaidOf::OthersToo),
    (Field::StartsPerHour, SaidOf::OthersToo),
];

fn states_what_motors_alone_have(load: &Load) -> bool {
    FIELDS_OF_MOTORS.iter().any(|(field, said_of)| *said_of == SaidOf::MotorsAlone && load.has(*field))
}

/// Whether the description is that of a transformer for lighting, and not of the lighting of a transformer's room.
fn is_lighting_transformer(load: &Load) -> bool {
    let description = load.text(Field::Description).unwrap_or_default();
    load_words::names_a_transformer(description) && !load_words::is_beside_a_transformer(description)
}

/// Whether the load states a reactive power and no other: in its column, or in words, as `25kvar` of remarks does. Load lists state
/// that of a heater or a motor beside its power.
fn is_reactive_alone(load: &Load) -> bool {
    let says = |field: Field| load.text(field).is_some_and(|text| text.to_lowercase().contains("kvar"));
    let powers = [Field::RatedPowerKw, Field::RatedPowerHp, Field::RatedPowerKva, Field::AbsorbedPowerKw];
    !powers.iter().any(|field| load.has(*field))
        && (load.has(Field::ReactivePowerKvar) || says(Field::Notes) || says(Field::Description))
}
