//! `check`: reads, validates and resolves; writes nothing.

use super::{FindingFormat, InputArguments, Outcome, as_json, print};
use crate::finding::Severity;
use crate::project;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  motorwright check example-schedules/water-works.csv --basis example-schedules/water-works.toml"
)]
pub(super) struct Arguments {
    #[command(flatten)]
    input: InputArguments,
    /// Exit with 1 on warnings too.
    #[arg(long)]
    strict: bool,
    /// How findings are printed.
    #[arg(long, value_enum, default_value_t)]
    format: FindingFormat,
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        let inputs = project::open(&self.input.options())?;
        let findings = inputs.check();
        if self.format == FindingFormat::Json {
            print(&as_json(&findings));
        } else {
            let mut text = String::new();
            for finding in &findings {
                let excerpt = crate::intake::excerpt(&inputs.intake, finding);
                text.push_str(&crate::finding::render_coloured(finding, excerpt.as_ref()));
                text.push_str("\n\n");
            }
            let count = |severity: Severity| findings.iter().filter(|finding| finding.severity == severity).count();
            let counted = |number: usize, one: &str| if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") };
            text.push_str(&format!(
                "{} read: {}, {}, {}\n",
                counted(inputs.intake.loads.len(), "row"),
                counted(count(Severity::Error), "error"),
                counted(count(Severity::Warning), "warning"),
                counted(count(Severity::Note), "note")
            ));
            print(&text);
        }
        let warned = findings.iter().any(|finding| finding.severity == Severity::Warning);
        Ok(project::has_errors(&findings) || (self.strict && warned))
    }
}
