//! Turns a motor load schedule into a complete, checked, purchasable and reviewable set of motor circuits.
//!
//! The way of a schedule, station by station:
//!
//! 1. [`intake`] reads a file or bytes into loads; a cell that can't be read is a finding on its row.
//! 2. [`basis`] holds what counts for the whole job, [`catalogue`] what can be bought, [`rules`] what a book of rules demands.
//! 3. [`network`] goes from the sources to the boards: it adds up the rows, chooses feeders, and gives each board its fault currents and
//!    voltages. What a circuit finds at its board is its [`supply`].
//! 4. [`sizing`] resolves each row and sizes it: devices, settings, conductors, control, accessories, each with its check.
//! 5. [`boards`] gives each board what its circuits bring to it: control supplies, heat, space.
//! 6. [`purchase`] adds up what to order, and what has to wait.
//! 7. [`verify`] tries the finished [`design`] again, with code of its own.
//! 8. [`report`] writes it: workbook, submittal, lists, `design.json`.
//! 9. [`compare`] holds two designs against each other, or one against the revision before.
//!
//! [`project`] goes this way for the whole schedule. With all of it in memory:
//!
//! ```
//! use motorwright::intake::{self, ReadOptions};
//! use motorwright::project::{Inputs, ReadBasis};
//! use motorwright::report::output;
//! use motorwright::rules;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let schedule = b"tag,rated_power_kw,efficiency_class,voltage_v,phases,starting_method,cable_length_m\nP-1,7.5,IE2,400,3,direct,48\n";
//! let loads = intake::read_bytes("loads.csv", schedule, &ReadOptions::default())?;
//! let basis = ReadBasis::from_toml("basis.toml", "[design]\nambient_c = 40\n")?;
//! assert!(basis.findings.is_empty());
//! // Without a catalogue of one's own the built-in demonstration range is used.
//! let inputs = Inputs::new(loads, basis, rules::book("iec", None)?, None);
//!
//! let design = inputs.design();
//! let pump = &design.circuits[0];
//! assert_eq!((pump.tag.as_str(), pump.contactors[0].category.as_str()), ("P-1", "AC-3"));
//! assert_eq!(design.counts().not_sized, 0);
//! // Whatever somebody must decide is a finding with its cause and cure, and so is whatever was assumed.
//! assert!(design.all_findings().iter().any(|(_, finding)| finding.what.contains("demonstration range")));
//! let text = output::json(&design)?;
//! assert!(text.starts_with(b"{"));
//! # Ok(())
//! # }
//! ```
//!
//! From files, by [`project::open`], and written to a folder by [`report::output::write`]; a failure of the world has a kind that a
//! caller can match on:
//!
//! ```
//! use motorwright::project::{self, Options, ProjectErrorKind};
//! use motorwright::report::output;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! # let parent = std::env::temp_dir().join(format!("motorwright-example-{}", std::process::id()));
//! # let folder = parent.as_path();
//! # std::fs::create_dir_all(folder)?;
//! let schedule = folder.join("loads.csv");
//! std::fs::write(&schedule, "tag,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\nP-1,7.5,400,3,direct,48\n")?;
//!
//! // Without a rule book nothing is sized: a wrong one is dangerous.
//! let mut options = Options { schedule, ..Options::default() };
//! assert!(project::open(&options).is_err_and(|error| error.kind == ProjectErrorKind::NoRuleBook));
//!
//! options.rules = Some("iec".to_owned());
//! let inputs = project::open(&options)?;
//! let mut design = inputs.design();
//! let written = output::write(&inputs, &mut design, &folder.join("out"))?;
//! assert_eq!(written.files, ["schedule.xlsx", "submittal.html", "purchase-list.csv", "labels.csv", "design.json"]);
//! # std::fs::remove_dir_all(folder)?;
//! # Ok(())
//! # }
//! ```
//!
//! A clause function takes quantities and leaves its working in a [`record`]:
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

pub mod basis;
pub mod boards;
pub mod catalogue;
// The command line is part of the program, not of the library.
#[doc(hidden)]
pub mod commands;
pub mod compare;
pub mod conductors;
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
