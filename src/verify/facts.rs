//! The load of a circuit, read anew from the design: voltage, method, currents and wishes, as the rule book asks for them.
//!
//! A value that neither row nor basis states and no table of the rules gives stays unknown here; what leans on it is then not tried.

use crate::basis::Basis;
use crate::design::{Circuit, LoadData};
use crate::finding::codes;
use crate::intake::powers::are_one_motor;
use crate::load::{EfficiencyClass, Known, LoadKind, Machine, Method, Origin, Start};
use crate::quantity::{Amperes, Celsius, Metres, Vars, VoltAmperes, Volts, Watts, fits};
use crate::rules::physics::devices::device_figure;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::nominal::voltage_limit;
use crate::rules::physics::starting::practice;
use crate::rules::{RatedCurrents, RuleBook};
use crate::verify::control::volts_of;
use crate::verify::methods::{If, Of, Role, Starter, starter};
use crate::verify::others::Others;
use crate::verify::shelf::{Item, Shelf};
use crate::verify::shown;
use crate::verify::{Disagreements, same};

mod start;

use start::{read as start, run_up};

/// A circuit with what its parts are held against.
pub(super) struct Facts<'a> {
    pub(super) circuit: &'a Circuit,
    pub(super) basis: &'a Basis,
    pub(super) book: &'static dyn RuleBook,
    pub(super) shelf: &'a Shelf<'a>,
    pub(super) machine: Machine,
    pub(super) start: Start,
    /// Equal motors behind the starter, for which the circuit must be.
    pub(super) motors: u32,
    pub(super) starter: &'static Starter,
    pub(super) others: &'a Others<'a>,
    /// The safety level asks for two contactors in series.
    redundant: bool,
}

impl LoadData {
    pub(super) fn number(&self, name: &str) -> Option<f64> {
        self.other.get(name).and_then(serde_json::Value::as_f64)
    }

    pub(super) fn words(&self, name: &str) -> Option<&str> {
        self.other.get(name).and_then(serde_json::Value::as_str)
    }

    fn yes(&self, name: &str) -> Option<bool> {
        self.other.get(name).and_then(serde_json::Value::as_bool)
    }
}

impl<'a> Facts<'a> {
    /// Reads a circuit; none where it has no rated current, so that nothing could be chosen.
    pub(super) fn of(
        circuit: &'a Circuit,
        basis: &'a Basis,
        book: &'static dyn RuleBook,
        shelf: &'a Shelf<'a>,
        others: &'a Others<'a>,
    ) -> Option<Self> {
        let mut facts = Self::of_load(circuit, basis, book, shelf, others)?;
        run_up(&circuit.load, &facts.machine, &mut facts.start);
        Some(facts)
    }

    /// The same without the course of its start.
    pub(super) fn of_load(
        circuit: &'a Circuit,
        basis: &'a Basis,
        book: &'static dyn RuleBook,
        shelf: &'a Shelf<'a>,
        others: &'a Others<'a>,
    ) -> Option<Self> {
        let method = Method::from_word(circuit.load.starting_method.as_deref()?)?;
        if circuit.currents.full_load_a <= 0.0 {
            return None;
        }
        let machine = machine(circuit, basis, book)?;
        let motors = group(&circuit.load, method, &machine, book);
        let of_one = circuit.currents.full_load_a / f64::from(motors);
        let start = start(&circuit.load, method, &machine, of_one, &basis.starting, book);
        let line_contactor = circuit.load.yes("line_contactor").unwrap_or_else(|| book.line_contactor());
        let starter = starter(method, circuit.load.reversing, line_contactor);
        let redundant = circuit.load.words("safety_level").is_some_and(asks_for_two);
        Some(Self { circuit, basis, book, shelf, machine, start, motors, starter, others, redundant })
    }

    pub(super) fn volts(&self) -> f64 {
        self.machine.voltage.0
    }

    /// Voltage of a fault in the circuit: between the lines of its board, or from one of them to the neutral of a star. A load may be
    /// made for less; for more it is not on that board, and its own counts.
    pub(super) fn volts_of_system(&self) -> f64 {
        let (volts, lines) = (self.volts(), self.basis.board_voltage(&self.circuit.board).unwrap_or(0.0));
        if self.machine.phases != 1 || !self.machine.neutral {
            return volts.max(lines);
        }
        let star = lines / 3f64.sqrt();
        let of_star = volts >= star * (1.0 - voltage_limit("voltage-tolerance"));
        if of_star { volts.max(star) } else { volts }
    }

    /// Number of a column that the row stated.
    pub(super) fn number(&self, name: &str) -> Option<f64> {
        self.circuit.load.number(name)
    }

    /// Text of a column that the row stated.
    pub(super) fn words(&self, name: &str) -> Option<&str> {
        self.circuit.load.words(name)
    }

    /// Answer of a column that the row stated.
    pub(super) fn yes(&self, name: &str) -> Option<bool> {
        self.circuit.load.yes(name)
    }

    /// A current of the circuit, A.
    pub(super) fn current(&self, of: Of) -> f64 {
        let currents = &self.circuit.currents;
        let drawn = || {
            let parts = self.circuit.starter_devices.iter().flat_map(|device| self.shelf.all(&device.part));
            parts.filter_map(|item| if let Item::Drive(drive) = item { Some(drive.input_a) } else { None }).next()
        };
        match of {
            // Harmonics and tolerance of a capacitor are in the current of its conductors.
            Of::Motor if self.machine.kind == LoadKind::Capacitor => currents.conductor_basis_a,
            Of::Motor => currents.full_load_a,
            Of::LowSpeed => currents.low_speed_a.unwrap_or(currents.full_load_a),
            Of::DriveInput => self.number("drive_input_current_a").or_else(drawn).unwrap_or_else(|| self.input_of_no_drive()),
            Of::DriveOrBypass => self.current(Of::DriveInput).max(currents.full_load_a),
            Of::Rotor => self.number("rotor_current_a").unwrap_or(currents.full_load_a),
        }
    }

    /// The input current of a drive that nobody chose: as the next larger one of the catalogue, else in the worst proportion of all.
    fn input_of_no_drive(&self) -> f64 {
        let currents = &self.circuit.currents;
        let needed = currents.full_load_a.max(currents.overload_basis_a).max(currents.conductor_basis_a);
        let (mut next, mut worst): (Option<(f64, f64)>, f64) = (None, 1.0);
        for drive in &self.shelf.catalogue.drives {
            let volts = (drive.min_voltage_v..=drive.max_voltage_v).contains(&self.machine.voltage.0);
            if drive.phases != self.machine.phases || !volts || drive.output_a <= 0.0 {
                continue;
            }
            worst = worst.max(drive.input_a / drive.output_a);
            let nearer = next
                .is_none_or(|(output, input)| drive.output_a < output || (same(drive.output_a, output) && drive.input_a > input));
            if fits(needed, drive.output_a) && nearer {
                next = Some((drive.output_a, drive.input_a));
            }
        }
        next.map_or(needed * worst, |(_, input)| input.max(needed))
    }

    /// Current to which relays of a motor or winding are set, before their share.
    pub(super) fn overload_current(&self, of: Of) -> f64 {
        match of {
            Of::Motor => self.circuit.currents.overload_basis_a,
            other => self.current(other),
        }
    }

    /// Line current at the board while the load runs.
    pub(super) fn line_current(&self) -> f64 {
        let currents = &self.circuit.currents;
        if self.start.method == Method::Drive {
            return self.current(if self.starts_over_bypass() { Of::DriveOrBypass } else { Of::DriveInput });
        }
        if self.machine.kind == LoadKind::Capacitor {
            return currents.conductor_basis_a;
        }
        currents.protection_basis_a.max(currents.low_speed_a.unwrap_or(0.0))
    }

    /// Rated currents, as the book asks for them.
    pub(super) fn rated(&self) -> RatedCurrents {
        let currents = &self.circuit.currents;
        RatedCurrents {
            full_load: Amperes(currents.full_load_a),
            source: "",
            nameplate: currents.nameplate_a.map(Amperes),
            table: currents.table_a.map(Amperes),
            computed: currents.computed_a.map(Amperes),
            low: currents.low_speed_a.map(Amperes),
            conductor: Amperes(currents.conductor_basis_a),
            protection: Amperes(currents.protection_basis_a),
            overload: Amperes(currents.overload_basis_a),
        }
    }

    /// The safety level asks for two channels.
    pub(super) fn redundant(&self) -> bool {
        self.redundant
    }

    /// Tap, or share of the voltage while starting.
    pub(super) fn tap(&self) -> f64 {
        self.start.tap.value
    }

    /// Contactors that the method has in this circuit.
    pub(super) fn roles(&self) -> Vec<Role> {
        let mut roles: Vec<Role> = self.starter.roles.iter().copied().filter(|role| self.there(role.there)).collect();
        if let Some(first) = self.starter.roles.first().filter(|_| self.redundant) {
            roles.push(self.safety(*first));
        }
        roles
    }

    /// A contactor before all others carries the whole line current; before a drive it may have to break the drive's input.
    fn safety(&self, first: Role) -> Role {
        let whole = Role { name: "safety", part: crate::verify::methods::Part::Whole, there: If::Always, ..first };
        if self.starts_over_bypass() {
            // The direct start flows through it, or the drive's input.
            return Role { of: Of::DriveOrBypass, duty: crate::rules::Duty::Motor, until_trip: true, ..whole };
        }
        if self.start.method == Method::Drive {
            return Role { of: Of::DriveInput, duty: crate::rules::Duty::Motor, until_trip: false, ..whole };
        }
        Role { of: Of::Motor, ..whole }
    }

    /// Tells whether something that is there under a condition is there.
    pub(super) fn there(&self, condition: If) -> bool {
        match condition {
            If::Always => true,
            If::LineContactor => self.start.line_contactor,
            If::Bypass => self.start.bypass && !self.bypass_built_in(),
        }
    }

    fn bypass_built_in(&self) -> bool {
        let parts = self.circuit.starter_devices.iter().flat_map(|device| self.shelf.all(&device.part));
        parts.into_iter().any(|item| matches!(item, Item::SoftStarter(starter) if starter.bypass_built_in))
    }

    /// Air at the devices and altitude.
    pub(super) fn surroundings(&self) -> (Celsius, Metres) {
        let rise = practice("enclosure-rise").unwrap_or(0.0);
        let least = device_figure("device-air-least-c");
        let device_ambient_c = self.basis.board(&self.circuit.board).and_then(|board| board.device_ambient_c);
        let air = device_ambient_c.unwrap_or_else(|| self.basis.design.ambient_c.map_or(least, |room| (room + rise).max(least)));
        (Celsius(air), Metres(self.basis.design.altitude_m.unwrap_or(0.0)))
    }

    /// A finding of that code is on the circuit.
    pub(super) fn told(&self, code: &str) -> bool {
        self.circuit.findings.iter().any(|finding| finding.code == code)
    }

    /// Control voltage, and whether it is direct: the circuit's, else what row, board or basis state, else the book's.
    pub(super) fn control_voltage(&self) -> (f64, bool) {
        if let Some(volts) = self.circuit.control.as_ref().and_then(|control| volts_of(&control.coil_voltage)) {
            return volts;
        }
        let board = self.basis.board(&self.circuit.board).and_then(|board| board.control_voltage.as_deref());
        let stated = self.words("control_voltage").or(board).or(self.basis.control.voltage.as_deref());
        let of_book = self.book.control_voltage();
        stated.and_then(stated_voltage).unwrap_or((of_book.volts, of_book.dc))
    }

    /// Largest fault current of the board, A.
    pub(super) fn fault(&self) -> Option<f64> {
        self.circuit.fault.board_max_ka.map(|ka| ka * 1000.0)
    }
}

fn machine(circuit: &Circuit, basis: &Basis, book: &dyn RuleBook) -> Option<Machine> {
    let load = &circuit.load;
    let voltage = Volts(load.voltage_v?);
    let phases = load.phases?;
    let connection = load.words("connection").unwrap_or("");
    let neutral = crate::verify::neutral::is_connected(connection, (voltage.0, phases), &circuit.board, basis, book);
    let amperes = |name: &str| load.number(name).map(Amperes);
    let kilo = |name: &str| load.number(name).map(|value| value * 1000.0);
    let low_of_hp = load.number("rated_power_low_hp").map(|hp| Watts::of_horsepower(hp).0);
    Some(Machine {
        kind: kind(&load.kind),
        power: load.rated_power_kw.map(|kw| Watts(kw * 1000.0)),
        power_low: kilo("rated_power_low_kw").into_iter().chain(low_of_hp).reduce(f64::max).map(Watts),
        horsepower: marked_horsepower(load.rated_power_kw, load.rated_power_hp),
        horsepower_low: marked_horsepower(load.number("rated_power_low_kw"), load.number("rated_power_low_hp")),
        design_letter: load.words("design_letter").unwrap_or("").trim().to_uppercase(),
        code_letter: load.words("locked_rotor_code").and_then(|words| words.trim().to_uppercase().chars().next()),
        service_factor: load.number("service_factor"),
        temperature_rise_k: load.number("temperature_rise_c"),
        equipment_rating: kilo("equipment_sccr_ka").map(Amperes),
        apparent: kilo("rated_power_kva").map(VoltAmperes),
        reactive: kilo("reactive_power_kvar").map(Vars),
        voltage,
        phases,
        neutral,
        frequency_hz: load.frequency_hz.unwrap_or_else(|| book.frequency_hz()),
        nameplate: amperes("full_load_current_a").or(amperes("rated_load_current_a")),
        rated_load: amperes("rated_load_current_a"),
        selection: amperes("branch_selection_current_a"),
        locked_rotor: amperes("rated_load_current_a")
            .zip(load.number("locked_rotor_ratio"))
            .map(|(current, ratio)| current * ratio),
        nameplate_low: amperes("full_load_current_low_a"),
        efficiency: load.efficiency_pct.map(|pct| Known::new(pct / 100.0, Origin::Cell)),
        power_factor: load.power_factor.map(|power_factor| Known::new(power_factor, Origin::Cell)),
        class: load.efficiency_class.as_deref().and_then(EfficiencyClass::from_word),
        poles: load.number("poles").map_or(4, whole),
        winding: None,
        leads: None,
        rotor_current: amperes("rotor_current_a"),
        rotor_voltage: load.number("rotor_voltage_v").map(Volts),
        minimum_ampacity: amperes("minimum_circuit_ampacity_a"),
        maximum_protection: amperes("maximum_protection_a"),
        fuse_only: load.words("maximum_protection_kind") == Some("fuse"),
        household: load.words("environment") == Some("household"),
        third_harmonic: (phases == 3 && neutral).then(|| third_harmonic(load)).flatten(),
    })
}

/// The stated horsepower, unless kilowatts beside it are those of another and larger motor.
fn marked_horsepower(kilowatts: Option<f64>, horsepower: Option<f64>) -> Option<f64> {
    let of_larger = |kilowatts: f64| {
        let apart = horsepower.is_some_and(|hp| !are_one_motor(kilowatts, hp, load_figure("powers-apart-share")));
        apart && horsepower.is_some_and(|hp| Watts::of_horsepower(hp).0 < kilowatts * 1000.0)
    };
    horsepower.filter(|_| !kilowatts.is_some_and(of_larger))
}

/// Stated, or what lighting is taken to have.
fn third_harmonic(load: &LoadData) -> Option<Known<f64>> {
    let stated = load.number("third_harmonic_pct").map(|pct| Known::new(pct / 100.0, Origin::Cell));
    let lighting = load.kind == "lighting";
    stated.or_else(|| lighting.then(|| Known::new(load_figure("lighting-third-harmonic"), Origin::Default)))
}

/// A control voltage as people write it: direct where they say so, and at 24 V and below where they say nothing.
fn stated_voltage(text: &str) -> Option<(f64, bool)> {
    let upper = text.to_uppercase();
    // A figure before Hz is no voltage; what is left must be one figure, of one kind.
    let mut words: Vec<String> = Vec::new();
    for letter in upper.chars() {
        let figure = letter.is_ascii_digit() || letter == '.';
        match words.last_mut() {
            Some(word) if word.ends_with(|last: char| last.is_ascii_digit() || last == '.') == figure => word.push(letter),
            _ => words.push(letter.to_string()),
        }
    }
    let hertz = |at: usize| {
        let behind = |at: usize| words.get(at + 1).map_or("", |word| word.trim());
        behind(at).starts_with("HZ") || behind(at) == "/" && behind(at + 2).starts_with("HZ")
    };
    let figures: Vec<f64> =
        words.iter().enumerate().filter(|(at, _)| !hertz(*at)).filter_map(|(_, word)| word.parse().ok()).collect();
    let [volts] = figures[..] else { return None };
    let direct = upper.contains("DC") || upper.contains('=');
    let alternating = upper.contains("AC") || upper.contains('~');
    if !(volts > 0.0 && volts <= 1000.0) || direct && alternating || upper.trim().starts_with(['-', '−', '–']) {
        return None;
    }
    Some((volts, direct || !alternating && volts <= 24.0))
}

fn kind(word: &str) -> LoadKind {
    match word {
        "heater" => LoadKind::Heater,
        "transformer" => LoadKind::Transformer,
        "capacitor" => LoadKind::Capacitor,
        "packaged" => LoadKind::Packaged,
        "lighting" => LoadKind::Lighting,
        "other" => LoadKind::Other,
        _ => LoadKind::Motor,
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // counts are small and positive: intake holds them to it
pub(super) fn whole(count: f64) -> u32 {
    count.clamp(0.0, 1e6) as u32
}

/// Performance level d or e, integrity level 2 or 3, category 3 or 4: from memory, ISO 13849-1 and IEC 62061.
pub(super) fn asks_for_two(level: &str) -> bool {
    const GRADES: [(&str, &[&str]); 5] =
        [("pl", &["d", "e"]), ("sil", &["2", "3"]), ("silcl", &["2", "3"]), ("cat", &["3", "4"]), ("category", &["3", "4"])];
    names_grade(level, &GRADES)
}

/// A safety level, as it is written, names one of these: scale, and its grades.
pub(super) fn names_grade(level: &str, scales: &[(&str, &[&str])]) -> bool {
    // Most rows have none.
    if matches!(level, "" | "none") {
        return false;
    }
    // Integrity levels are figures and categories B, 1 to 4: these letters alone are performance levels.
    let lone = ["a", "c", "d", "e"].iter().any(|letter| level.trim().eq_ignore_ascii_case(letter));
    let level = if lone { format!("pl {}", level.trim()) } else { level.to_owned() };
    let spaced: String = level.to_lowercase().chars().map(|letter| if letter.is_alphanumeric() { letter } else { ' ' }).collect();
    let words = format!(" {} ", spaced.split_whitespace().collect::<Vec<_>>().join(" "));
    scales.iter().any(|(scale, grades)| {
        grades.iter().any(|grade| words.contains(&format!(" {scale}{grade} ")) || words.contains(&format!(" {scale} {grade} ")))
    })
}

/// Motors that share the starter: three-phase ones that it connects to the line as they are, without a marking of their own, under a book
/// that has no rules apart for them.
fn group(load: &LoadData, method: Method, machine: &Machine, book: &dyn RuleBook) -> u32 {
    let whole_windings = matches!(method, Method::Direct | Method::SoftStarter | Method::Drive);
    let marked = machine.minimum_ampacity.is_some() || machine.maximum_protection.is_some();
    let together = machine.kind == LoadKind::Motor && machine.phases == 3 && whole_windings && !marked && book.key() != "nec";
    load.number("motors_per_starter").filter(|_| together).map_or(1, whole).max(1)
}

/// The rated current is the one that its source gives, of all motors of the starter together, and the nameplate's is the row's.
pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    let currents = &facts.circuit.currents;
    let motors = f64::from(facts.motors);
    found.unless(facts.circuit.motors == facts.motors, &codes::V201_CURRENT, || {
        format!("it is the circuit of {} motors; behind its starter stand {}", facts.circuit.motors, facts.motors)
    });
    if facts.motors > 1 {
        // Nothing else but the nameplate and the rated current can be what relays are set by.
        let relays = currents.nameplate_a.map_or(currents.full_load_a, |nameplate| nameplate * motors);
        let so = same(currents.overload_basis_a, relays)
            && same(currents.conductor_basis_a, currents.full_load_a)
            && same(currents.protection_basis_a, currents.full_load_a);
        found.unless(so, &codes::V201_CURRENT, || {
            format!("the currents of its {} motors together are not so many times that of one", facts.motors)
        });
        found.unless(facts.told(codes::C219_SEVERAL_MOTORS.code), &codes::V301_RELAYS, || {
            "several motors stand behind its starter, and nothing says that each has a relay of its own".to_owned()
        });
    }
    let of_source = match currents.source.as_str() {
        "nameplate" => currents.nameplate_a,
        "table" => currents.table_a,
        "computed" => currents.computed_a,
        _ => Some(currents.full_load_a),
    };
    let of_all = currents.source == "given"
        || of_source.is_some_and(|source| (source * motors - currents.full_load_a).abs() <= 1e-4 * (1.0 + motors));
    found.unless(of_source.is_some() && of_all, &codes::V201_CURRENT, || {
        format!("its rated current is {} A, which its source ({}) does not give", currents.full_load_a, currents.source)
    });
    found.unless(currents.line_a.is_none_or(|line| same(line, facts.line_current())), &codes::V201_CURRENT, || {
        format!("while it runs the line carries {} A; the circuit says {} A", facts.line_current(), shown(currents.line_a))
    });
    let starting = starting(facts);
    found.unless(
        starting.is_none_or(|starting| (starting - currents.starting_a).abs() <= 1e-3 + 1e-5 * starting),
        &codes::V201_CURRENT,
        || format!("while starting the line carries {} A; the circuit says {} A", shown(starting), currents.starting_a),
    );
    if let (Some(row), Some(kept)) = (facts.number("full_load_current_a"), currents.nameplate_a) {
        found.unless(same(row, kept), &codes::V201_CURRENT, || {
            format!("the nameplate current is kept as {kept} A; the row states {row} A")
        });
    }
}

/// Line current while starting: of a direct start, a third of it in star, the square of the tap through an autotransformer, the tap
/// behind an impedance in the stator, at most the limit of a soft starter, figures of practice for a part winding and a slip-ring motor.
fn starting(facts: &Facts<'_>) -> Option<f64> {
    let currents = &facts.circuit.currents;
    // Of two speeds either may be started.
    let full = currents.of_larger_speed_a();
    let (direct, tap) = (facts.start.ratio.value, facts.start.tap.value);
    Some(match facts.start.method {
        _ if !facts.starts() => full,
        Method::StarDelta | Method::StarDeltaClosed => full * direct / 3.0,
        Method::Autotransformer => full * direct * tap * tap,
        Method::PrimaryResistor | Method::Reactor => full * direct * tap,
        Method::PartWinding => full * direct * practice("part-winding-current")?,
        Method::SoftStarter | Method::SoftStarterInsideDelta => full * direct.min(facts.start.limit.value),
        Method::RotorResistance => full * practice("slip-ring-start-current")?,
        Method::Contactor => full,
        _ => full * direct,
    })
}
