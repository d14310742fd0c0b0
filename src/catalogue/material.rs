//! The material of a circuit beside its devices and main cables: control cables, glands, lugs, terminals, enclosures, labels, fittings
//! of raceways; and the price list. A folder may lack any of these: what it lacks is not counted, or has no price.

use serde::Deserialize;

/// Families of this file. A catalogue may lack them.
pub const MATERIAL: &[&str] = &["control_cables", "glands", "lugs", "terminals", "enclosures", "labels", "fittings", "prices"];

/// A cable with control cores, sold by the metre.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ControlCable {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Cores, the protective one included.
    pub cores: u32,
    /// One of the cores is a protective conductor.
    pub protective: bool,
    /// Size of a core.
    pub size_mm2: f64,
    /// Screened, for signals.
    pub screened: bool,
    /// Outer diameter.
    pub outer_mm: Option<f64>,
    /// Length of a coil; none if it is not sold so.
    pub coil_m: Option<f64>,
    /// Length of a drum; none if it is not sold so.
    pub drum_m: Option<f64>,
    /// Price of one metre, or of one foot where lengths are bought so.
    pub price: Option<f64>,
}

/// A gland for a round cable.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gland {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Thread, such as `M25`.
    pub thread: String,
    /// Diameter of the hole in plate or enclosure.
    pub entry_mm: f64,
    /// Smallest cable that it holds.
    pub clamp_min_mm: f64,
    /// Largest cable that it holds.
    pub clamp_max_mm: f64,
    /// It contacts the screen of a cable.
    pub screened: bool,
    /// Price.
    pub price: Option<f64>,
}

/// A cable lug.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lug {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Conductor that it is made for.
    pub size_mm2: f64,
    /// `copper` or `aluminium`.
    pub material: String,
    /// Stud, such as `M8`.
    pub stud: String,
    /// Price.
    pub price: Option<f64>,
}

/// A terminal of a panel.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Terminal {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// `feed-through` or `protective`.
    pub kind: String,
    /// Smallest conductor.
    pub min_mm2: f64,
    /// Largest conductor.
    pub max_mm2: f64,
    /// Rated current.
    pub current_a: f64,
    /// Width.
    pub width_mm: f64,
    /// Price.
    pub price: Option<f64>,
}

/// An enclosure for the devices of one circuit.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Enclosure {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Degree of protection, such as `IP55`; or the enclosure types that it serves, separated by blanks.
    pub degree: String,
    /// Rows of devices.
    pub rows: u32,
    /// Height.
    pub height_mm: f64,
    /// Width.
    pub width_mm: f64,
    /// Depth.
    pub depth_mm: f64,
    /// Width of a row that devices may take.
    pub usable_width_mm: f64,
    /// Heat that it gives off at 15 K above the air of the room.
    pub dissipation_w: f64,
    /// Price.
    pub price: Option<f64>,
}

/// A label.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Label {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// `nameplate` or `cable-tag`.
    pub kind: String,
    /// Width.
    pub width_mm: f64,
    /// Height.
    pub height_mm: f64,
    /// Price.
    pub price: Option<f64>,
}

/// A fitting of a raceway.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fitting {
    /// Part number.
    pub part: String,
    /// Description, as the purchase list prints it.
    pub description: String,
    /// Kind of the raceway, such as `emt`.
    pub kind: String,
    /// Trade size.
    pub trade_size: String,
    /// `connector` or `coupling`.
    pub fitting: String,
    /// Price.
    pub price: Option<f64>,
}

/// A line of the price list. It prevails over the price that the part's own family states.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Price {
    /// Part number; of a contactor with its coil or without, which then holds for every coil.
    pub part: String,
    /// Price of one, or of one metre or foot of what is sold by length.
    pub price: Option<f64>,
    /// Currency; that of the project if empty.
    pub currency: String,
    /// Pieces in a pack; orders are rounded up to whole packs.
    pub packing_quantity: Option<f64>,
    /// Days from order to delivery.
    pub lead_days: Option<u32>,
    /// Remark, carried through.
    pub remark: String,
}
