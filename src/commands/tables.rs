//! `tables`: prints a table of a rule book with its source, or lists all.

use super::{Outcome, print};
use crate::project::{ProjectError, ProjectErrorKind};
use crate::rules;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  motorwright tables\n  motorwright tables capacity-enclosed\n  motorwright tables --rules nec"
)]
pub(super) struct Arguments {
    /// Name of a table; all are listed without it.
    name: Option<String>,
    /// Rule book.
    #[arg(long, default_value = "iec", value_name = "BOOK")]
    rules: String,
    /// Edition of the rule book, where it has several.
    #[arg(long, value_name = "YEAR")]
    edition: Option<String>,
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        let book = rules::book(&self.rules, self.edition.as_deref())
            .map_err(|why| ProjectError::new(ProjectErrorKind::RuleBook, why.to_string()))?;
        let Some(name) = self.name else {
            let width = book.documents().iter().map(|document| document.name.len()).max().unwrap_or(0);
            let lines: Vec<String> =
                book.documents().iter().map(|document| format!("{:width$}  {}\n", document.name, document.title())).collect();
            print(&lines.concat());
            return Ok(false);
        };
        let wanted = name.trim_end_matches(".csv");
        let Some(document) = book.documents().into_iter().find(|document| document.name == wanted) else {
            let message = format!("there is no table \"{wanted}\"; `motorwright tables` lists all");
            return Err(ProjectError::new(ProjectErrorKind::UnknownName, message));
        };
        print(document.text);
        Ok(false)
    }
}
