//! `explain`: one circuit with every step of its working.

use super::{InputArguments, Outcome, print};
use crate::project::{self, ProjectError};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  motorwright explain example-schedules/water-works.csv SWP-113 --basis example-schedules/water-works.toml"
)]
pub(super) struct Arguments {
    #[command(flatten)]
    input: InputArguments,
    /// Tag of the circuit, or of one of its machines.
    tag: String,
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        let Self { input, tag } = self;
        let inputs = project::open(&input.options())?;
        let wanted = tag.trim();
        let index =
            inputs.intake.loads.iter().position(|load| load.tag() == wanted || load.tags().iter().any(|own| own == wanted));
        let Some(index) = index else {
            let near: Vec<String> = inputs
                .intake
                .loads
                .iter()
                .map(|load| load.tag())
                .filter(|own| own.to_lowercase().contains(&wanted.to_lowercase()))
                .take(5)
                .collect();
            let hint = if near.is_empty() { String::new() } else { format!("; near: {}", near.join(", ")) };
            return Err(ProjectError {
                message: format!("there is no circuit \"{wanted}\" in the schedule{hint}"),
                findings: Vec::new(),
            });
        };
        let design = inputs.design();
        let circuit = &design.circuits[index];
        let units = crate::rules::units::Units::of(&design.rule_book);
        let mut text = crate::report::text::circuit(circuit, units);
        text.push_str(&crate::report::text::working(circuit, inputs.working(index), units));
        if design.catalogue.demonstration {
            text.push_str(&format!("\nCatalogue: {}\n", crate::report::DEMONSTRATION));
        }
        text.push_str(&format!("{}\n", crate::report::CAUTION_LINE));
        print(&text);
        Ok(circuit.status == crate::design::Status::NotSized)
    }
}
