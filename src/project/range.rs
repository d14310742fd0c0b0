//! The catalogue of a job: where it comes from, and what the job must know of it.

use std::path::Path;

use super::ProjectError;
use crate::basis::Basis;
use crate::catalogue::{self, Catalogue};
use crate::design::PurchaseLine;
use crate::finding::codes::{K204_ORDER, K205_NO_BASE, K207_TWO_FAMILIES, K213_HOUSEKEEPING, K214_NO_PRICES, K901_DEMONSTRATION};
use crate::finding::{Finding, Severity};
use crate::rules::RuleBook;

/// A catalogue: the built-in one of a rule book, or one that was read.
pub(super) struct Range(Source);

enum Source {
    /// By the key of the rule book.
    BuiltIn(&'static str),
    /// From a folder or from memory.
    Read(Box<Catalogue>),
}

impl Range {
    /// A catalogue that was read, or the built-in demonstration range of a rule book.
    pub(super) fn of(catalogue: Option<Catalogue>, book: &dyn RuleBook) -> Self {
        Self(catalogue.map_or_else(|| Source::BuiltIn(book.key()), |catalogue| Source::Read(Box::new(catalogue))))
    }

    /// The catalogue of a folder, or the built-in range of a rule book.
    pub(super) fn of_folder(folder: Option<&Path>, book: &dyn RuleBook) -> Result<Self, ProjectError> {
        let catalogue = folder.map(|folder| catalogue::from_folder(folder, book.key())).transpose()?;
        Ok(Self::of(catalogue, book))
    }

    /// The catalogue.
    pub(super) fn get(&self) -> &Catalogue {
        match &self.0 {
            Source::BuiltIn(key) => catalogue::builtin(key),
            Source::Read(catalogue) => catalogue,
        }
    }

    /// Tells a job about its catalogue before anything is chosen: that it is invented, or how much of it is for its owner to
    /// settle, and whether a preference for low prices finds any. What concerns a circuit is told there, by what it asks for and does
    /// not get.
    pub(super) fn findings(&self, basis: &Basis) -> Vec<Finding> {
        let Source::Read(catalogue) = &self.0 else {
            let what = format!("the built-in {} is used; no part of it can be bought", catalogue::DEMONSTRATION);
            let cure =
                "name a folder with the catalogue of a real supplier: --catalogue FOLDER, or [catalogue] folder in the basis";
            let demonstration = Finding::new(&K901_DEMONSTRATION, what).cure(cure);
            return std::iter::once(demonstration).chain(no_prices(self.get(), basis)).collect();
        };
        housekeeping(catalogue).into_iter().chain(no_prices(catalogue, basis)).collect()
    }

    /// Contradictions of a catalogue of one's own about parts that are bought for this job: a choice may rest on the wrong figure.
    pub(super) fn contradictions_of_used(&self, bought: &[PurchaseLine]) -> Vec<Finding> {
        let Source::Read(catalogue) = &self.0 else { return Vec::new() };
        let base =
            |part: &str| catalogue.contactor_with_coil(part).map_or_else(|| part.to_owned(), |contactor| contactor.part.clone());
        let used: std::collections::BTreeSet<String> = bought.iter().map(|line| base(&line.part)).collect();
        let of_part =
            |finding: &Finding| [K204_ORDER.code, K205_NO_BASE.code, K207_TWO_FAMILIES.code].contains(&finding.code.as_str());
        let concerns = |finding: &Finding| {
            let part = finding.place.as_ref().and_then(|place| place.text.as_deref());
            of_part(finding) && part.is_some_and(|part| used.contains(part))
        };
        catalogue::check(catalogue).into_iter().filter(concerns).collect()
    }
}

fn housekeeping(catalogue: &Catalogue) -> Option<Finding> {
    let points = catalogue::check(catalogue).iter().filter(|point| point.severity != Severity::Note).count();
    let counted = match points {
        0 => return None,
        1 => "1 point".to_owned(),
        more => format!("{more} points"),
    };
    let what = format!("{counted} of the catalogue {} for its owner to look at", catalogue.name);
    let why = "what a circuit of this job lacks stands with that circuit";
    Some(Finding::new(&K213_HOUSEKEEPING, what).why(why).cure("`motorwright catalogue check` lists them"))
}

fn no_prices(catalogue: &Catalogue, basis: &Basis) -> Option<Finding> {
    let cheapest = basis.catalogue.prefer.as_deref() == Some("cheapest");
    let priced =
        || catalogue::Register::new(catalogue).numbers().any(|(_, part)| part.family == "contactors" && part.price.is_some());
    (cheapest && !priced()).then(|| {
        Finding::new(&K214_NO_PRICES, "catalogue.prefer is \"cheapest\", and no contactor has a price")
            .why("contactors are taken by size, the smallest first")
            .cure("enter prices in prices.csv of the catalogue, or leave prefer out")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The invented ranges have no prices, so that nobody takes one for real: a preference for low prices finds none there either.
    #[rstest::rstest]
    #[case::iec("iec")]
    #[case::nec("nec")]
    fn cheapest_without_prices_is_said_of_the_built_in_range_too(#[case] book: &'static str) {
        let codes = |prefer: &str| {
            let mut basis = Basis::default();
            basis.catalogue.prefer = Some(prefer.to_owned());
            Range::of(None, crate::rules::book(book, None).expect("a book"))
                .findings(&basis)
                .into_iter()
                .map(|finding| finding.code.to_string())
                .collect::<Vec<_>>()
        };
        assert_eq!(codes("cheapest"), ["K901", "K214"]);
        assert_eq!(codes("smallest"), ["K901"]);
    }
}
