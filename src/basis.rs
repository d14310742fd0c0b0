//! The basis of a design: what holds for the whole project. Read from a TOML file, or from a two-column `Basis` sheet with the same keys.
//!
//! All keys are optional. What is absent stays absent here; defaults are set, with a note each, by `sizing::resolve`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

mod bounds;
pub mod keys;
mod read;

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
    pub boards: Vec<BoardBasis>,
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
    /// Headings of the schedule and the canonical columns that they mean, where they are not understood by themselves.
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
        /// `iec` or `nec`.
        book: Option<String>,
        /// Local code that prevails, in words.
        local_code: Option<String>,
        /// Edition, where the book has several.
        edition: Option<String>,
    }
}
section! {
    /// Supply at the main board.
    SupplyBasis {
        /// Nominal voltage between lines.
        voltage_v: Option<f64>,
        /// Frequency.
        frequency_hz: Option<f64>,
        /// Phases.
        phases: Option<u32>,
        /// System in words, such as `480Y/277 4W`.
        system: Option<String>,
        /// `TN-S`, `TN-C-S`, `TT`, `IT`.
        earthing: Option<String>,
        /// Rating of the supply transformer.
        transformer_kva: Option<f64>,
        /// Its impedance.
        transformer_impedance_pct: Option<f64>,
        /// Largest prospective fault current at the main board.
        prospective_fault_ka: Option<f64>,
        /// Smallest prospective fault current at the main board.
        prospective_fault_min_ka: Option<f64>,
        /// X/R of the supply at the main board.
        x_over_r: Option<f64>,
        /// Largest fault level of the network before the transformer.
        upstream_fault_mva: Option<f64>,
        /// Its smallest fault level.
        upstream_fault_min_mva: Option<f64>,
        /// X/R of that network.
        upstream_x_over_r: Option<f64>,
        /// Tolerance of the voltage of low-voltage networks, upwards and downwards.
        voltage_tolerance_pct: Option<f64>,
    }
}
section! {
    /// A source.
    SourceBasis {
        /// Name.
        name: Option<String>,
        /// `utility` or `generator`.
        kind: Option<String>,
        /// Rating.
        kva: Option<f64>,
        /// Subtransient reactance.
        subtransient_reactance_pct: Option<f64>,
        /// Sustained fault current over rated current.
        sustained_current_ratio: Option<f64>,
    }
}
section! {
    /// A transformer.
    TransformerBasis {
        /// Name.
        name: Option<String>,
        /// What feeds it.
        from: Option<String>,
        /// What it feeds.
        to: Option<String>,
        /// Rating.
        kva: Option<f64>,
        /// Impedance.
        impedance_pct: Option<f64>,
        /// Load loss.
        load_loss_kw: Option<f64>,
        /// Secondary voltage.
        secondary_voltage_v: Option<f64>,
        /// System of the secondary in words.
        system: Option<String>,
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
        /// Board, transformer or source that feeds it.
        fed_from: Option<String>,
        /// Voltage between lines.
        voltage_v: Option<f64>,
        /// Phases.
        phases: Option<u32>,
        /// System in words.
        system: Option<String>,
        /// Earthing.
        earthing: Option<String>,
        /// Length of its feeder.
        feeder_length_m: Option<f64>,
        /// Length of its feeder in feet.
        feeder_length_ft: Option<f64>,
        /// Conductor of its feeder in words, such as `185 mm2 copper xlpe`.
        feeder_conductor: Option<String>,
        /// Resistance of its feeder, a phase.
        feeder_r_ohm: Option<f64>,
        /// Reactance of its feeder, a phase.
        feeder_x_ohm: Option<f64>,
        /// How its feeder is laid.
        feeder_installation: Option<String>,
        /// Largest prospective fault current.
        prospective_fault_ka: Option<f64>,
        /// Smallest prospective fault current.
        prospective_fault_min_ka: Option<f64>,
        /// Air temperature at the devices.
        device_ambient_c: Option<f64>,
        /// Rating of its bars.
        bus_rating_a: Option<f64>,
        /// Its short-circuit rating.
        short_circuit_rating_ka: Option<f64>,
        /// Load that is there already.
        existing_load_a: Option<f64>,
        /// Demand factor.
        demand_factor: Option<f64>,
        /// Spare capacity wanted.
        spare_pct: Option<f64>,
        /// Part number of its enclosure in the catalogue.
        enclosure: Option<String>,
        /// Heat that its enclosure gives off at 15 K above the air of the room.
        enclosure_dissipation_w: Option<f64>,
        /// Control voltage.
        control_voltage: Option<String>,
        /// Device at its head that parts it from the supply: `switch-disconnector`, `circuit-breaker` or `none`.
        incoming: Option<String>,
    }
}
section! {
    /// Design values.
    DesignBasis {
        /// Kind of short-circuit protective device where a row gives none.
        protection_kind: Option<String>,
        /// `iec-frames` or `nema`.
        controller_family: Option<String>,
        /// Smallest NEMA size.
        minimum_nema_size: Option<String>,
        /// Air temperature at cables.
        ambient_c: Option<f64>,
        /// Ground temperature.
        ground_c: Option<f64>,
        /// Thermal resistivity of the soil.
        soil_k_m_w: Option<f64>,
        /// Altitude.
        altitude_m: Option<f64>,
        /// Largest voltage drop while running.
        running_drop_pct: Option<f64>,
        /// Largest voltage drop while starting.
        starting_drop_pct: Option<f64>,
        /// Largest voltage drop along the feeders from the origin to a board.
        feeder_drop_pct: Option<f64>,
        /// `copper` or `aluminium`.
        conductor: Option<String>,
        /// Insulation.
        insulation: Option<String>,
        /// How cables are laid.
        installation_method: Option<String>,
        /// Smallest conductor in mm².
        minimum_size_mm2: Option<f64>,
        /// Smallest conductor in AWG.
        minimum_size_awg: Option<String>,
        /// Smallest raceway.
        minimum_raceway: Option<String>,
        /// Co-ordination type wanted.
        coordination: Option<String>,
        /// `nameplate`, `table` or `larger`.
        current_source: Option<String>,
        /// Temperature of terminations.
        termination_c: Option<f64>,
        /// Shrouds where a frame isn't finger-safe by itself.
        finger_protection: Option<bool>,
        /// Hours in which a starter is in service in a year.
        service_hours_per_year: Option<f64>,
        /// Years that contacts must last.
        contact_life_years: Option<f64>,
    }
}
section! {
    /// Limits of starting.
    StartingBasis {
        /// Largest motor that may be started direct.
        direct_limit_kw: Option<f64>,
        /// Largest dip of a direct start.
        direct_limit_dip_pct: Option<f64>,
    }
}
section! {
    /// Control circuits.
    ControlBasis {
        /// Control voltage, such as `230 V AC`.
        voltage: Option<String>,
        /// What switches coils where a row does not say.
        drive: Option<String>,
        /// `per-board` or `per-starter`.
        supply: Option<String>,
    }
}
section! {
    /// Demand factors.
    DemandBasis {
        /// Continuous loads.
        continuous: Option<f64>,
        /// Intermittent loads.
        intermittent: Option<f64>,
        /// Standby loads.
        standby: Option<f64>,
    }
}
section! {
    /// Catalogue.
    CatalogueBasis {
        /// Folder of CSV files; the built-in demonstration range if absent.
        folder: Option<String>,
        /// `smallest`, `cheapest` (contactors, isolators and switches, soft starters, drives by the price list) or `fewest-kinds`.
        prefer: Option<String>,
        /// `never` or `where-suitable`.
        reduced_life_contactors: Option<String>,
    }
}
section! {
    /// Purchase list.
    PurchaseBasis {
        /// Spares of consumables and small parts, per cent; 0: none, not even a set of fuse-links.
        spare_pct: Option<f64>,
        /// Allowance on every cut of cable.
        cable_allowance_pct: Option<f64>,
        /// Currency.
        currency: Option<String>,
    }
}
section! {
    /// A warning that somebody has decided; it no longer keeps its circuit waiting.
    DecidedBasis {
        /// Tag of the circuit, or name of the board.
        tag: Option<String>,
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
        /// `A4` or `Letter`.
        paper: Option<String>,
        /// Data sheets in the submittal: `all`, `flagged` or `none`.
        sheets: Option<String>,
        /// Steps in design.json: `all`, `flagged` or `none`.
        working: Option<String>,
        /// Data sheets that show their working: `all`, `flagged` or `none`.
        sheet_working: Option<String>,
    }
}

/// Marks between the names in `fed_from`.
pub(crate) const LISTED: [char; 2] = [',', ';'];

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
        self.boards.iter().find(|board| board.name.as_deref() == Some(name))
    }
}

fn named_or_numbered(name: Option<&str>, index: usize) -> String {
    name.map(str::trim).filter(|name| !name.is_empty()).map_or_else(|| (index + 1).to_string(), str::to_owned)
}
