//! Cautions that a submittal prints, by what they apply to: the row that both books share.

use serde::Deserialize;

/// The circuits to which a caution applies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Applies {
    /// Every submittal.
    Always,
    /// Stored energy: a drive, an electronic soft starter or a capacitor.
    StoredEnergy,
    /// A board at 400 V and above, or a prospective fault current of 5 kA and more.
    #[serde(rename = "voltage-400-or-fault-5ka")]
    Voltage400OrFault5ka,
    /// Automatic reset or maintained control.
    TwoWireOrAutoReset,
    /// A controller, building management or drive starts the load.
    Plc,
    /// An emergency stop.
    EmergencyStop,
    /// A contactor is the last element of a safety function.
    SafetyFunction,
    /// Safe torque off.
    SafeTorqueOff,
    /// A fire pump.
    FirePump,
    /// An explosive atmosphere.
    Hazardous,
    /// An increased-safety motor.
    IncreasedSafety,
    /// Machinery that turns.
    Rotating,
    /// A hermetic compressor.
    Hermetic,
    /// A star-delta starter.
    StarDelta,
    /// A second current peak: star-delta, part winding, open autotransformer start.
    SecondPeak,
    /// A soft starter.
    SoftStarter,
    /// A drive.
    Drive,
    /// A drive with a bypass.
    DriveBypass,
    /// A drive on a supply whose fault current is many times its own.
    DriveOnStrongSupply,
    /// A capacitor at a motor.
    MotorCapacitor,
    /// Direct current.
    Dc,
    /// A co-ordination of type 1.
    #[serde(rename = "type-1")]
    Type1,
    /// A co-ordination of type 2.
    #[serde(rename = "type-2")]
    Type2,
    /// More than 2000 m above the sea.
    Altitude,
    /// A generator or a weak supply.
    Generator,
    /// A long control cable with AC control.
    LongControlCable,
    /// Lifts, cranes, medical or marine duty.
    SpecialDuty,
    /// A load that can fall.
    Lifting,
    /// A motor of class IE3 and better.
    HighEfficiency,
    /// Assumed data.
    AssumedData,
    /// Aluminium conductors.
    Aluminium,
}

#[cfg(test)]
impl Applies {
    /// The last of all: a new kind goes before it, so that a test finds one without a caution.
    pub(crate) const LAST: Self = Self::Aluminium;
}

/// One caution.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CautionRow {
    /// Number.
    pub id: String,
    /// The circuits to which it applies.
    pub applies: Applies,
    /// The text that is printed.
    pub text: String,
    /// Documents behind it.
    pub source: String,
    /// How far they were seen.
    pub status: String,
}

#[cfg(test)]
pub(crate) mod tests {
    use super::{Applies, CautionRow};

    /// Holds a list of cautions to the rules of every such list.
    pub(crate) fn hold(rows: &[CautionRow]) {
        assert!(rows.windows(2).all(|w| w[0].id < w[1].id));
        for row in rows {
            assert!(row.text.ends_with('.') && row.text.len() > 30 && !row.source.is_empty(), "{}", row.id);
            assert!(!row.text.to_lowercase().contains("please") && !row.text.contains('!'), "{}", row.id);
            assert!(["memory", "confirmed-1", "confirmed-2"].contains(&row.status.as_str()), "{}", row.id);
        }
        assert!(rows.iter().filter(|row| row.applies == Applies::Always).count() >= 5);
    }
}
