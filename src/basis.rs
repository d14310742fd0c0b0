//! The basis of a design: what holds for the whole project. Read from a TOML file, or from a two-column `Basis` sheet with the same keys.
//!
//! All keys are optional. What is absent stays absent here; defaults are set, with a note each, by `sizing::resolve`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

mod boards;
mod bounds;
pub mod keys;
mod places;
mod read;

pub use boards::Boards;
pub use places::KeyLines;
pub(crate) use read::SHEET;
pub use read::{BasisError, from_pairs, from_toml};

/// The whole basis.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Basis {
    /// Title block.
    pub project: ProjectBasis,
    /// Rule book and local code.
    pub rules: RulesBasis,
    /// Supply at the main board.
    pub supply: SupplyBasis,
    /// Sources.
    #[serde(rename = "source")]
    pub sources: Vec<SourceBasis>,
    /// Transformers.
    #[serde(rename = "transformer")]
    pub transformers: Vec<TransformerBasis>,
    /// Boards.
    #[serde(rename = "board")]
    #[schemars(with = "Vec<BoardBasis>")]
    pub boards: Boards,
    /// Design values.
    pub design: DesignBasis,
    /// Limits of starting.
    pub starting: StartingBasis,
    /// Control circuits.
    pub control: ControlBasis,
    /// Demand factors.
    pub demand: DemandBasis,
    /// Catalogue.
    pub catalogue: CatalogueBasis,
    /// Purchase list.
    pub purchase: PurchaseBasis,
    /// Reports.
    pub report: ReportBasis,
    /// Warnings that somebody has decided.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub decided: Vec<DecidedBasis>,
    /// Headings of the schedule and the canonical columns that they mean, where they are not understood by themselves; none, or an empty
    /// text, where a column is not to be read.
    #[serde(skip_serializing_if = "std::collections::BTreeMap::is_empty")]
    pub columns: std::collections::BTreeMap<String, String>,
}

macro_rules! section { ($(#[$doc:meta])* $name:ident { $($(#[$field_doc:meta])* $field:ident: $type:ty,)* }) => {
    $(#[$doc])*
    #[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
    #[serde(default, deny_unknown_fields)]
    pub struct $name { $($(#[$field_doc])* pub $field: $type,)* }
}; }

section! {
    /// Title block of the project.
    ProjectBasis {
        /// Name of the project.
        name: Option<String>,
        /// Document or project number.
        number: Option<String>,
        /// Client.
        client: Option<String>,
        /// Location.
        location: Option<String>,
        /// Role or initials of who prepared it.
        prepared_by: Option<String>,
        /// Who checked it.
        checked_by: Option<String>,
        /// Who approved it.
        approved_by: Option<String>,
        /// Contractor.
        contractor: Option<String>,
        /// Engineer.
        engineer: Option<String>,
        /// Submittal number.
        submittal_number: Option<String>,
        /// Specification section.
        specification_section: Option<String>,
        /// Revision.
        revision: Option<String>,
        /// Date of issue, as `2026-11-25`.
        issue_date: Option<String>,
    }
}
section! {
    /// Rule book and the deferral to local code.
    RulesBasis {
        /// `iec` or `nec`; `--rules` names it where the basis does not, and without either the program refuses.
        book: Option<String>,
        /// Local code that prevails, in words for the deferral of every report.
        local_code: Option<String>,
        /// Edition of the book: of `nec` 2017, 2020 or 2023, the newest where nothing is said.
        edition: Option<String>,
    }
}
section! {
    /// Supply at the main board.
    SupplyBasis {
        /// Nominal voltage between lines, V.
        voltage_v: Option<f64>,
        /// Frequency, Hz: 50 or 60.
        frequency_hz: Option<f64>,
        /// Phases: 1 or 3.
        phases: Option<u32>,
        /// System in words, such as `480Y/277 4W solidly grounded`, `480 delta corner-grounded` or `400 V 3L+N`: whether there
        /// is a neutral, and how it is grounded.
        system: Option<String>,
        /// Earthing (`iec`); what nobody states is not assumed.
        earthing: Option<String>,
        /// Rating of the supply transformer, kVA.
        transformer_kva: Option<f64>,
        /// Its impedance, per cent.
        transformer_impedance_pct: Option<f64>,
        /// Largest prospective fault current at the main board, kA.
        prospective_fault_ka: Option<f64>,
        /// Smallest prospective fault current at the main board, kA: what devices must still clear.
        prospective_fault_min_ka: Option<f64>,
        /// X/R of the supply at the main board.
        x_over_r: Option<f64>,
        /// Largest fault level of the network before the transformer, MVA.
        upstream_fault_mva: Option<f64>,
        /// Its smallest fault level, MVA; half of the largest where only that is stated, and told (B111).
        upstream_fault_min_mva: Option<f64>,
        /// X/R of that network.
        upstream_x_over_r: Option<f64>,
        /// Tolerance of the voltage of low-voltage networks (`iec`): 6 or 10 per cent, which sets the voltage factors.
        voltage_tolerance_pct: Option<f64>,
    }
}
section! {
    /// A source.
    SourceBasis {
        /// Name, as `fed_from` of a board and `from` of a transformer call it.
        name: Option<String>,
        /// `utility` (the network of `[supply]`) or `generator`.
        kind: Option<String>,
        /// Rating, kVA.
        kva: Option<f64>,
        /// Subtransient reactance of a generator, per cent.
        subtransient_reactance_pct: Option<f64>,
        /// Sustained fault current of a generator over its rated current.
        sustained_current_ratio: Option<f64>,
    }
}
section! {
    /// A transformer.
    TransformerBasis {
        /// Name, as `fed_from` of a board calls it.
        name: Option<String>,
        /// Board or source that feeds it; the supply where nothing is said.
        from: Option<String>,
        /// Board that it feeds.
        to: Option<String>,
        /// Rating, kVA.
        kva: Option<f64>,
        /// Impedance, per cent.
        impedance_pct: Option<f64>,
        /// Load loss, kW, which gives its resistance.
        load_loss_kw: Option<f64>,
        /// Secondary voltage without load, V; the nominal voltage of its board is the one below it, unless that states
        /// `voltage_v` (B107).
        secondary_voltage_v: Option<f64>,
        /// System of the secondary in words; nothing is taken over from before the transformer.
        system: Option<String>,
        /// Vector group, as `Dyn11`: whether the current of a fault to earth ends in the transformer or goes on before it.
        vector_group: Option<String>,
        /// Zero-sequence over positive-sequence resistance.
        zero_sequence_r_ratio: Option<f64>,
        /// Zero-sequence over positive-sequence reactance.
        zero_sequence_x_ratio: Option<f64>,
    }
}
section! {
    /// A board.
    BoardBasis {
        /// Name, as in the schedule's `board` column.
        name: Option<String>,
        /// Board, transformer or source that feeds it; behind it, set off by commas, sources that stand in for it.
        fed_from: Option<String>,
        /// Voltage between lines, V.
        voltage_v: Option<f64>,
        /// Phases: 1 or 3; those of what feeds it where nothing is said.
        phases: Option<u32>,
        /// System in words; that of what feeds it where nothing is said.
        system: Option<String>,
        /// Earthing (`iec`); that of what feeds it where nothing is said, transformers between or not.
        earthing: Option<String>,
        /// Length of its feeder, m. A board with a feeder does not have the fault level of the supply.
        feeder_length_m: Option<f64>,
        /// Length of its feeder, ft.
        feeder_length_ft: Option<f64>,
        /// Conductor of its feeder in words, such as `185 mm2 copper xlpe` or `2x 250 kcmil copper`; one is chosen where nothing
        /// is said.
        feeder_conductor: Option<String>,
        /// Resistance of its feeder, ohms a phase.
        feeder_r_ohm: Option<f64>,
        /// Reactance of its feeder, ohms a phase.
        feeder_x_ohm: Option<f64>,
        /// How its feeder is laid.
        feeder_installation: Option<String>,
        /// Largest prospective fault current at the board, kA; a less favourable one of the network is taken instead, and told.
        prospective_fault_ka: Option<f64>,
        /// Smallest prospective fault current at the board, kA; a less favourable one of the network is taken instead, and told.
        prospective_fault_min_ka: Option<f64>,
        /// Air temperature at the devices, °C.
        device_ambient_c: Option<f64>,
        /// Rating of its bars, A.
        bus_rating_a: Option<f64>,
        /// Its short-circuit rating, kA.
        short_circuit_rating_ka: Option<f64>,
        /// Load that is there already, A.
        existing_load_a: Option<f64>,
        /// Factor on the sum of its loads, for what stands before it.
        demand_factor: Option<f64>,
        /// Spare capacity wanted of its width and of its feeder, per cent.
        spare_pct: Option<f64>,
        /// Part number of its enclosure in the catalogue.
        enclosure: Option<String>,
        /// Heat that its enclosure gives off at 15 K above the air of the room, W.
        enclosure_dissipation_w: Option<f64>,
        /// Control voltage of its starters, such as `24 V DC`.
        control_voltage: Option<String>,
        /// Kind of short-circuit protective device of its circuits where a row does not say; as in `[design]`, which it outranks.
        protection_kind: Option<String>,
        /// Device at its head that parts it from the supply: `switch-disconnector`, `circuit-breaker`, or `none` where there is
        /// none. Nothing is chosen where nothing is said.
        incoming: Option<String>,
    }
}
section! {
    /// Design values.
    DesignBasis {
        /// Kind of short-circuit protective device: `motor-breaker`, `moulded-case`, `gG`, `aM` (`iec`); `inverse-time`,
        /// `instantaneous`, `dual-element`, `non-time-delay`, `class-J`, `class-CC`, `class-RK1` (`nec`).
        protection_kind: Option<String>,
        /// An engineering evaluation demonstrates that instantaneous-trip circuit-breakers must be set above the percentage of Table
        /// 430.52(C)(1), as far as the first half-cycle of each start asks and 430.52(C)(3) admits (`nec`).
        instantaneous_evaluated: Option<bool>,
        /// Contactors of the NEC range: `nema` sizes or `iec-frames` rated in horsepower.
        controller_family: Option<String>,
        /// Smallest NEMA size that is used.
        minimum_nema_size: Option<String>,
        /// Air temperature at cables, °C.
        ambient_c: Option<f64>,
        /// Ground temperature at cables, °C.
        ground_c: Option<f64>,
        /// Thermal resistivity of the soil, K·m/W.
        soil_k_m_w: Option<f64>,
        /// Altitude, m.
        altitude_m: Option<f64>,
        /// Largest voltage drop while running, per cent: from the origin (`iec`), along a branch circuit (`nec`).
        running_drop_pct: Option<f64>,
        /// Largest voltage drop at a motor while it starts, per cent.
        starting_drop_pct: Option<f64>,
        /// Largest voltage drop along the feeders from the origin to a board, per cent.
        feeder_drop_pct: Option<f64>,
        /// `copper` or `aluminium`.
        conductor: Option<String>,
        /// Insulation of cables: `pvc`, `xlpe` (`iec`); a type of conductor, such as `THWN-2` (`nec`).
        insulation: Option<String>,
        /// How cables are laid: `A1` to `G` (`iec`), a raceway such as `emt` (`nec`).
        installation_method: Option<String>,
        /// Circuits that lie together, each itself included, where a row does not say: cables in one group (`iec`), circuits in one
        /// raceway (`nec`).
        grouped_circuits: Option<u32>,
        /// Smallest conductor, mm² (`iec`).
        minimum_size_mm2: Option<f64>,
        /// Smallest conductor, AWG (`nec`).
        minimum_size_awg: Option<String>,
        /// Smallest trade size of raceways (`nec`).
        minimum_raceway: Option<String>,
        /// Co-ordination type wanted; it is claimed only for tested combinations of the catalogue.
        coordination: Option<String>,
        /// Current that counts where nameplate and table differ (`iec`): `nameplate`, `table` or `larger`.
        current_source: Option<String>,
        /// Temperature of terminations, °C (`nec`): 60 or 75.
        termination_c: Option<f64>,
        /// Shrouds where the terminals of a frame are not finger-safe by themselves.
        finger_protection: Option<bool>,
        /// A local isolator or disconnect switch at each load whose row does not say.
        isolator: Option<bool>,
        /// An industrial establishment whose written safety procedures ensure that only qualified persons service equipment: a
        /// disconnecting means out of sight may be one that is locked open (`nec`).
        supervised_industrial: Option<bool>,
        /// Hours in which a starter is in service in a year, for the life of contacts.
        service_hours_per_year: Option<f64>,
        /// Years that contacts must last.
        contact_life_years: Option<f64>,
    }
}
section! {
    /// Limits of starting.
    StartingBasis {
        /// Largest motor that may be started direct, kW.
        direct_limit_kw: Option<f64>,
        /// Largest dip of a direct start at its board, per cent.
        direct_limit_dip_pct: Option<f64>,
        /// Start time at full voltage where a row does not say, s.
        start_time_s: Option<f64>,
        /// Starting current over rated current where a row does not say.
        locked_rotor_ratio: Option<f64>,
    }
}
section! {
    /// Control circuits.
    ControlBasis {
        /// Control voltage, such as `230 V AC` or `24 V DC`.
        voltage: Option<String>,
        /// What switches the coils where a row does not say: `pushbutton`, `plc-output`, ...
        drive: Option<String>,
        /// Control supplies: one `per-board`, or one `per-starter`.
        supply: Option<String>,
    }
}
section! {
    /// Demand factors.
    DemandBasis {
        /// Factor of continuous loads that state no `demand_factor`.
        continuous: Option<f64>,
        /// Factor of intermittent loads that state none.
        intermittent: Option<f64>,
        /// Factor of standby loads that state none.
        standby: Option<f64>,
    }
}
section! {
    /// Catalogue.
    CatalogueBasis {
        /// Folder of CSV files, from where the basis lies; the built-in demonstration range where nothing is said.
        folder: Option<String>,
        /// `smallest`; `cheapest` (contactors, isolators and switches, soft starters, drives by the price list); or
        /// `fewest-kinds` (a larger part that is on the list anyway).
        prefer: Option<String>,
        /// Whether frames of reduced life are chosen: `never`, or `where-suitable` by starts and hours.
        reduced_life_contactors: Option<String>,
    }
}
section! {
    /// Purchase list.
    PurchaseBasis {
        /// Spares of consumables and small parts, per cent; 0: none, not even a set of fuse-links.
        spare_pct: Option<f64>,
        /// Allowance on every cut of cable, per cent; 5 where nothing is said.
        cable_allowance_pct: Option<f64>,
        /// Currency in which prices are expected.
        currency: Option<String>,
    }
}
section! {
    /// A warning that somebody has decided; it no longer keeps its circuit waiting.
    DecidedBasis {
        /// Tag of the circuit, or name of the board.
        tag: Option<String>,
        /// Several of them, parted by semicolons, whose finding reads alike.
        tags: Option<String>,
        /// Code of the finding, such as `L402`.
        code: Option<String>,
        /// The finding in its own words; where it reads otherwise the decision is not applied.
        what: Option<String>,
        /// Role or initials of who decided.
        by: Option<String>,
        /// Date of the decision, as `2026-11-25`.
        date: Option<String>,
        /// What was decided, and why it holds.
        why: Option<String>,
    }
}
section! {
    /// Reports.
    ReportBasis {
        /// `A4` or `Letter`; the one that is usual where the rule book is, where nothing is said. Wide sheets of the workbook are set to A3
        /// or Tabloid beside it, and the schedule to as many pages side by side as leave it readable.
        paper: Option<String>,
        /// Which circuits have a data sheet in the submittal: `all`, `flagged` or `none`.
        sheets: Option<String>,
        /// Which circuits keep their steps in `design.json` and the workbook: `all`, `flagged` or `none`.
        working: Option<String>,
        /// Which data sheets show their working: `all`, `flagged`, which is taken where nothing is stated, or `none`. Flagged are the
        /// circuits that wait for somebody. The sheet Working of the workbook and `explain` show it of every circuit.
        sheet_working: Option<String>,
    }
}

/// Marks between the names in `fed_from`.
pub(crate) const LISTED: [char; 2] = [',', ';'];

impl SourceBasis {
    /// It is a machine of its own, not the network of `[supply]`: by its kind, else by figures that only a machine has.
    #[must_use]
    pub fn is_machine(&self) -> bool {
        let figures = || self.subtransient_reactance_pct.or(self.sustained_current_ratio).is_some();
        self.kind.as_deref().map_or_else(figures, |kind| kind == "generator")
    }
}

impl BoardBasis {
    /// Whether anything is stated of a feeder: its length, its conductor, how it is laid or its impedance.
    #[must_use]
    pub fn describes_feeder(&self) -> bool {
        let figures = [self.feeder_length_m, self.feeder_length_ft, self.feeder_r_ohm, self.feeder_x_ohm];
        let words = [&self.feeder_conductor, &self.feeder_installation];
        figures.iter().any(Option::is_some) || words.iter().any(|words| words.is_some())
    }

    /// Whether it is fed over a feeder or from something that is named, so that it does not stand at the supply itself.
    #[must_use]
    pub fn stands_apart(&self) -> bool {
        self.fed_from.is_some() || self.describes_feeder()
    }
}

impl Basis {
    /// What a source is called: by its name, else by its number.
    #[must_use]
    pub fn source_name(&self, index: usize) -> String {
        named_or_numbered(self.sources.get(index).and_then(|source| source.name.as_deref()), index)
    }

    /// What a transformer is called: by its name, else by its number.
    #[must_use]
    pub fn transformer_name(&self, index: usize) -> String {
        named_or_numbered(self.transformers.get(index).and_then(|transformer| transformer.name.as_deref()), index)
    }

    /// The board of that name.
    #[must_use]
    pub fn board(&self, name: &str) -> Option<&BoardBasis> {
        self.boards.named(name)
    }
}

fn named_or_numbered(name: Option<&str>, index: usize) -> String {
    name.map(str::trim).filter(|name| !name.is_empty()).map_or_else(|| (index + 1).to_string(), str::to_owned)
}
