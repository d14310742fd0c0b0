//! Turns a motor load schedule into a complete, checked, purchasable and reviewable set of motor circuits.
//!
//! One way through: [`intake`] reads a file into loads, `sizing` turns each into a circuit under a rule book ([`rules`]) from a
//! [`catalogue`], and `report` writes the [`design`].
//!
//! A clause function takes quantities and leaves its working in a record:
//!
//! ```
//! use motorwright::quantity::{Volts, Watts};
//! use motorwright::record::Record;
//! use motorwright::rules::physics::currents::motor_current;
//!
//! let mut record = Record::new();
//! // 5.5 kW, 400 V, efficiency 0.86, power factor 0.82: 11.3 A in a published table of motor currents (DIN VDE 0636 practice).
//! let current = motor_current(&mut record, Watts(5500.0), Volts(400.0), 0.86, 0.82, 3);
//! assert!((current.0 - 11.3).abs() < 0.1);
//! assert_eq!(record.steps().len(), 1);
//! ```
//!
//! A whole schedule is opened, sized and written by [`project::open`], [`project::Inputs::design`] and [`report::output::write`]:
//!
//! ```
//! use motorwright::project::{self, Options};
//! use motorwright::report::output;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let folder = std::env::temp_dir().join("motorwright-example");
//! std::fs::create_dir_all(&folder)?;
//! let schedule = folder.join("loads.csv");
//! std::fs::write(&schedule, "tag,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\nP-1,7.5,400,3,direct,48\n")?;
//!
//! // Without a rule book nothing is sized: a wrong one is dangerous.
//! let options = Options { schedule, rules: Some("iec".to_owned()), ..Options::default() };
//! let inputs = project::open(&options)?;
//! let mut design = inputs.design();
//!
//! let pump = &design.circuits[0];
//! assert_eq!((pump.tag.as_str(), pump.contactors[0].category.as_str()), ("P-1", "AC-3"));
//! // Whatever somebody must decide is a finding with its cause and cure, and so is whatever was assumed.
//! assert!(project::all_findings(&design).iter().any(|(_, finding)| finding.what.contains("demonstration range")));
//!
//! let written = output::write(&inputs, &mut design, &folder.join("out"))?;
//! assert_eq!(written.files, ["schedule.xlsx", "submittal.html", "purchase-list.csv", "labels.csv", "design.json"]);
//! # Ok(())
//! # }
//! ```

pub mod basis;
pub mod boards;
pub mod catalogue;
pub mod commands;
pub mod compare;
pub mod design;
pub mod finding;
pub mod intake;
pub mod load;
pub mod network;
pub mod project;
pub mod purchase;
pub mod quantity;
pub mod record;
pub mod report;
pub mod rules;
pub mod sizing;
pub mod supply;
pub mod threads;
pub mod verify;
