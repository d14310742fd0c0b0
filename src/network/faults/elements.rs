//! The elements on the way of a fault current, each as its impedances: networks, transformers, generators, feeders. A figure that
//! nobody states and that is assumed is told once.

use crate::basis::{SourceBasis, SupplyBasis, TransformerBasis};
use crate::finding::{Finding, codes};
use crate::network::feeders::FeederImpedance;
use crate::network::tree::place;
use crate::quantity::{Impedance, Ohms, VoltAmperes, Volts, Watts};
use crate::record::Record;
use crate::rules::physics::fault::{self, Convention, VoltageFactors, figure};

/// Impedances of a stretch of the way, or of a source, a phase, at the voltage of its end.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Stretch {
    /// For the largest fault current.
    pub largest: Option<Impedance>,
    /// Its zero sequence.
    pub largest_zero: Option<Impedance>,
    /// For the peak of the largest: at the equivalent frequency.
    pub equivalent: Option<Impedance>,
    /// For the smallest fault current.
    pub smallest: Option<Impedance>,
    /// Its zero sequence.
    pub smallest_zero: Option<Impedance>,
}

impl Stretch {
    /// Two stretches one after the other; the zero sequence of the first does not pass a transformer.
    pub(super) fn then_transformer(self, transformer: Self) -> Self {
        use super::sum;
        Self {
            largest: sum(self.largest, transformer.largest),
            equivalent: sum(self.equivalent, transformer.equivalent),
            smallest: sum(self.smallest, transformer.smallest),
            ..transformer
        }
    }

    /// No way at all.
    pub(super) fn none() -> Self {
        let none = Some(super::NONE);
        Self { largest: none, largest_zero: none, equivalent: none, smallest: none, smallest_zero: none }
    }
}

/// Where findings of the network go.
pub(super) struct Said<'a> {
    pub basis_file: Option<&'a str>,
    pub findings: &'a mut Vec<Finding>,
}

impl Said<'_> {
    /// A figure that is assumed.
    fn assumed(&mut self, key: &str, what: String, cure: &str, reference: &str) {
        let finding = Finding::new(&codes::B111_FAULT_ASSUMED, what).at(place(self.basis_file, key));
        self.findings.push(finding.cure(cure).reference(reference));
    }

    /// A load loss that can't be true.
    fn load_loss(&mut self, title: &str, kilowatts: f64) {
        let what = format!("a load loss of {kilowatts} kW is more than kva and impedance_pct of {title} allow");
        let finding = Finding::new(&codes::B117_LOAD_LOSS, what).at(place(self.basis_file, &format!("{title}: load_loss_kw")));
        self.findings.push(
            finding
                .why("its resistance alone would be more than its impedance; the load loss is not used")
                .cure("compare the three with the nameplate; the load loss is in kW"),
        );
    }

    /// Nobody states the voltage of the boards behind a machine: reactances in per cent are no ohms without it.
    pub(super) fn voltage_unknown(&mut self, title: &str) {
        let what =
            format!("the voltage of what {title} feeds is nowhere stated: its fault currents, dips and loading stay unknown");
        self.unknown("supply: voltage_v", what, "state voltage_v of the board that it feeds, or of [supply]");
    }

    /// A figure without which nothing is known.
    fn unknown(&mut self, key: &str, what: String, cure: &str) {
        let finding = Finding::new(&codes::B112_FAULT_UNKNOWN, what).at(place(self.basis_file, key));
        self.findings.push(finding.why("what depends on the fault current is not checked").cure(cure));
    }
}

/// Title of the transformer that `[supply]` itself describes.
pub(super) const SUPPLY: &str = "supply";

const PRACTICE: &str = "common practice, no source";

fn megavolt_amperes(megavolt_amperes: f64) -> VoltAmperes {
    VoltAmperes(megavolt_amperes * 1e6)
}

/// The network in front, at a voltage; `before_transformer` if a transformer bounds the fault current where nobody states its level.
pub(super) fn network(
    supply: &SupplyBasis,
    factors: VoltageFactors,
    voltage: Volts,
    before_transformer: bool,
    record: &mut Record,
    said: &mut Said<'_>,
) -> Stretch {
    let (most, least) = (supply.upstream_fault_mva, supply.upstream_fault_min_mva);
    if most.or(least).is_some() && supply.upstream_x_over_r.is_none() {
        let what = format!("the X/R of the network in front is not stated; {} is assumed", 1.0 / figure("network-r-over-x"));
        said.assumed("supply: upstream_x_over_r", what, "enter upstream_x_over_r", "IEC 60909-0, network feeders");
    }
    let ratio = supply.upstream_x_over_r.unwrap_or_else(|| 1.0 / figure("network-r-over-x"));
    let mut impedance = |factor: f64, mva: f64| fault::network(record, factor, voltage, megavolt_amperes(mva), ratio);
    let largest = match most {
        Some(mva) => Some(impedance(factors.greatest, mva)),
        // A stated current says more than a bound.
        None if before_transformer && supply.prospective_fault_ka.is_some() => None,
        None if before_transformer => {
            let what =
                "the fault level of the network in front is not stated; for the largest fault current it is taken as unlimited";
            said.assumed("supply: upstream_fault_mva", what.to_owned(), "enter upstream_fault_mva", PRACTICE);
            Some(super::NONE)
        }
        None => None,
    };
    let smallest = match (least, most) {
        (Some(mva), _) => Some(impedance(factors.least, mva)),
        (None, Some(mva)) => {
            let share = figure("network-least-share");
            let what = format!(
                "the smallest fault level of the network in front is not stated; {} MVA is assumed, {share} of the largest",
                mva * share
            );
            said.assumed("supply: upstream_fault_min_mva", what, "enter upstream_fault_min_mva", PRACTICE);
            Some(impedance(factors.least, mva * share))
        }
        (None, None) => {
            if before_transformer && supply.prospective_fault_min_ka.is_none() {
                let what =
                    "the fault level of the network in front is not stated; the smallest fault currents are unknown".to_owned();
                said.unknown("supply: upstream_fault_min_mva", what, "enter upstream_fault_min_mva, or upstream_fault_mva");
            }
            None
        }
    };
    Stretch {
        largest,
        largest_zero: None,
        equivalent: largest.map(fault::at_equivalent_frequency),
        smallest,
        smallest_zero: None,
    }
}

/// Figures of a transformer, as far as they are known.
#[derive(Clone, Copy, Default)]
pub(super) struct Transformer<'a> {
    /// Where it stands in the basis, as `transformer T1`.
    pub title: &'a str,
    pub kva: Option<f64>,
    pub impedance_pct: Option<f64>,
    pub load_loss_kw: Option<f64>,
    /// X/R where no load loss is stated.
    pub x_over_r: Option<f64>,
    pub zero_sequence: [Option<f64>; 2],
    /// Vector group as it is stated.
    pub vector_group: Option<&'a str>,
    /// Names of its rating and impedance as keys.
    pub keys: [&'a str; 2],
}

/// A transformer at its secondary voltage. Behind its delta the zero sequence begins anew.
pub(super) fn transformer(
    transformer: Transformer<'_>,
    secondary: Volts,
    convention: &Convention,
    record: &mut Record,
    said: &mut Said<'_>,
) -> Stretch {
    let key = |name: &str| format!("{}: {name}", transformer.title);
    let (Some(kva), Some(pct)) = (transformer.kva.filter(|kva| *kva > 0.0), transformer.impedance_pct.filter(|pct| *pct > 0.0))
    else {
        let missing = if transformer.kva.is_some() { transformer.keys[1] } else { transformer.keys[0] };
        let what = format!("{} has no {missing}; the fault currents behind it are unknown", transformer.title);
        said.unknown(&key(missing), what, "enter it from the nameplate");
        return Stretch::default();
    };
    let rated = VoltAmperes(kva * 1000.0);
    let magnitude = fault::transformer(record, pct / 100.0, secondary, rated);
    let [for_largest, for_smallest] = split(transformer, magnitude, secondary, rated, record, said);
    let corrected = if convention.corrected {
        let base = secondary.0 * secondary.0 / rated.0;
        fault::transformer_factor(record, convention.low_voltage.greatest, for_largest.x.0 / base)
    } else {
        1.0
    };
    let [r, x] =
        transformer.zero_sequence.map(|zero_sequence| zero_sequence.unwrap_or_else(|| figure("transformer-zero-sequence")));
    let open = transformer.zero_sequence.iter().any(Option::is_none);
    let winding = transformer.vector_group.map(winding);
    // A star before it lets the zero sequence pass, or bears it in the tank: its impedance is some times larger, and nobody knows how much.
    // Of words that are no vector group nobody knows more.
    let passes_on = open && matches!(winding, Some(Winding::Star | Winding::Unknown));
    if passes_on {
        let group = transformer.vector_group.unwrap_or_default();
        let because = match winding {
            Some(Winding::Unknown) => "is not understood",
            _ => "does not end it in a delta",
        };
        let what = format!(
            "the zero-sequence impedance of {} is not stated, and its vector group {group} {because}; the smallest fault currents to earth behind it are unknown",
            transformer.title
        );
        said.unknown(&key("zero_sequence_x_ratio"), what, "enter zero_sequence_r_ratio and zero_sequence_x_ratio");
    } else if open {
        let assumed = match (transformer.vector_group, winding) {
            (Some(group), Some(Winding::Zigzag)) => format!(
                "as its vector group {group} ends it in the halves of its secondary, and {} times for the largest fault currents",
                figure("transformer-zero-sequence-zigzag")
            ),
            (Some(group), _) => format!("as its vector group {group} ends it in the transformer"),
            _ => "with its primary in delta".to_owned(),
        };
        let what = format!(
            "the zero-sequence impedance of {} is not stated; {} times that of the positive sequence is assumed, {assumed}",
            transformer.title,
            figure("transformer-zero-sequence")
        );
        let (key, cure) = if transformer.title == SUPPLY {
            (
                key(transformer.keys[0]),
                "describe the transformer in [[transformer]], with zero_sequence_r_ratio and zero_sequence_x_ratio",
            )
        } else {
            (key("zero_sequence_x_ratio"), "enter zero_sequence_r_ratio and zero_sequence_x_ratio")
        };
        said.assumed(&key, what, cure, PRACTICE);
    }
    let zero = |impedance: Impedance| Impedance { r: impedance.r * r, x: impedance.x * x };
    let largest = for_largest * corrected;
    // Between the halves of a zigzag hardly any impedance is left, which gives the most.
    let zigzag = open && winding == Some(Winding::Zigzag);
    let least_zero = if zigzag { largest * figure("transformer-zero-sequence-zigzag") } else { zero(largest) };
    Stretch {
        largest: Some(largest),
        largest_zero: Some(least_zero),
        equivalent: Some(fault::at_equivalent_frequency(largest)),
        smallest: Some(for_smallest),
        smallest_zero: (!passes_on).then(|| zero(for_smallest)),
    }
}

/// What a vector group says of the way of the zero sequence (IEC 60076-1, 7.1).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Winding {
    /// It ends in the delta of the primary.
    Delta,
    /// It ends between the halves of the secondary's zigzag.
    Zigzag,
    /// The primary is a star.
    Star,
    /// The words are no vector group.
    Unknown,
}

/// The primary and the secondary winding: `Dyn11`, `Yzn5`, `YNyn0`, in whatever letters. A third winding (`+d`) changes the zero sequence
/// by what nobody states.
fn winding(group: &str) -> Winding {
    let letters: String = group.to_lowercase().chars().filter(|letter| letter.is_alphabetic() || *letter == '+').collect();
    let secondary =
        |primary: &str| letters.strip_prefix(primary).filter(|secondary| ["yn", "y", "d", "zn", "z"].contains(secondary));
    match ["yn", "y", "d"].iter().find_map(|primary| Some((*primary, secondary(primary)?))) {
        Some((_, "zn" | "z")) => Winding::Zigzag,
        Some(("d", _)) => Winding::Delta,
        Some(_) => Winding::Star,
        None => Winding::Unknown,
    }
}

/// A transformer as it is, for voltages: where neither load loss nor X/R is stated, with the resistance of the smallest fault current.
pub(super) fn plain_transformer(transformer_basis: &TransformerBasis, secondary: Volts) -> Option<Impedance> {
    let (kva, pct) = (transformer_basis.kva.filter(|kva| *kva > 0.0)?, transformer_basis.impedance_pct.filter(|pct| *pct > 0.0)?);
    let (record, findings) = (&mut Record::silent(), &mut Vec::new());
    let rated = VoltAmperes(kva * 1000.0);
    let magnitude = fault::transformer(record, pct / 100.0, secondary, rated);
    let figures = Transformer { load_loss_kw: transformer_basis.load_loss_kw, ..Transformer::default() };
    let [_, least] = split(figures, magnitude, secondary, rated, record, &mut Said { basis_file: None, findings });
    (secondary.0 > 0.0).then_some(least)
}

/// Resistance and reactance of a transformer, for the largest and for the smallest fault current; they differ only where neither load
/// loss nor X/R is stated.
fn split(
    transformer: Transformer<'_>,
    magnitude: Ohms,
    secondary: Volts,
    rated: VoltAmperes,
    record: &mut Record,
    said: &mut Said<'_>,
) -> [Impedance; 2] {
    if let Some(kilowatts) = transformer.load_loss_kw {
        let r = fault::transformer_resistance(record, Watts(kilowatts * 1000.0), secondary, rated);
        if r.fits(magnitude) {
            let x = Ohms((magnitude.0 * magnitude.0 - r.0 * r.0).max(0.0).sqrt());
            return [Impedance { r, x }; 2];
        }
        said.load_loss(transformer.title, kilowatts);
    }
    if let Some(ratio) = transformer.x_over_r {
        return [Impedance::of_ratio(magnitude, ratio); 2];
    }
    let ratios = [figure("transformer-x-over-r-greatest"), figure("transformer-x-over-r-least")];
    let what = format!(
        "no load loss of {} is known; X/R is assumed to be {} for the largest and {} for the smallest fault current",
        transformer.title, ratios[0], ratios[1]
    );
    let (key, cure) = if transformer.title == SUPPLY {
        (
            "supply: x_over_r".to_owned(),
            "enter x_over_r of the supply at the main board, or describe the transformer in [[transformer]]",
        )
    } else {
        (format!("{}: load_loss_kw", transformer.title), "enter load_loss_kw")
    };
    said.assumed(&key, what, cure, PRACTICE);
    ratios.map(|ratio| Impedance::of_ratio(magnitude, ratio))
}

/// A generator: by its subtransient reactance for the largest, by its sustained current for the smallest fault current.
pub(super) fn generator(
    source: &SourceBasis,
    title: &str,
    voltage: Volts,
    convention: &Convention,
    record: &mut Record,
    said: &mut Said<'_>,
) -> Stretch {
    let mut known = |value: Option<f64>, key: &str, which: &str| {
        let value = value.filter(|value| *value > 0.0);
        if value.is_none() {
            let what = format!("{title} has no {key}; its {which} unknown");
            said.unknown(&format!("{title}: {key}"), what, "enter it from the data sheet of the generator");
        }
        value
    };
    let Some(kva) = known(source.kva, "kva", "fault currents are") else { return Stretch::default() };
    let subtransient = known(source.subtransient_reactance_pct, "subtransient_reactance_pct", "largest fault current is");
    let multiple = known(source.sustained_current_ratio, "sustained_current_ratio", "smallest fault current is");
    let rated = VoltAmperes(kva * 1000.0);
    let reactance = |x: Ohms| Impedance { r: Ohms(0.0), x };
    let largest = subtransient.map(|pct| {
        let x = fault::generator(record, pct / 100.0, voltage, rated);
        let factor = convention.low_voltage.greatest;
        let corrected = if convention.corrected { fault::generator_factor(record, factor, pct / 100.0) } else { 1.0 };
        reactance(x * corrected)
    });
    let smallest =
        multiple.map(|multiple| reactance(fault::sustained(record, convention.low_voltage.least, voltage, multiple, rated)));
    if convention.corrected && largest.is_some() {
        let what = format!("the rated power factor of {title} is not known; a sine of {} is assumed", figure("generator-sine"));
        said.assumed(&format!("{title}: subtransient_reactance_pct"), what, "compare it with the data sheet", PRACTICE);
    }
    if smallest.is_some() {
        let what = format!(
            "the current of {title} into a fault to earth is not known; that of a three-phase fault is assumed, which is less"
        );
        said.assumed(&format!("{title}: sustained_current_ratio"), what, "compare it with the data sheet", PRACTICE);
    }
    let for_peak = |impedance: Impedance| Impedance { r: impedance.x * figure("generator-peak-r-over-x"), x: impedance.x };
    Stretch {
        largest,
        // Its zero sequence is not among the figures of the basis.
        largest_zero: None,
        equivalent: largest.map(for_peak).map(fault::at_equivalent_frequency),
        smallest,
        smallest_zero: smallest,
    }
}

/// A feeder; the zero sequence is that of a phase with three times the protective conductor.
pub(super) fn feeder(impedance: &FeederImpedance) -> Stretch {
    let zero = |path: Impedance, whole: Option<Impedance>| whole.map(|whole| whole * 3.0 - path * 2.0);
    Stretch {
        largest: Some(impedance.cold),
        largest_zero: zero(impedance.cold, impedance.cold_loop),
        equivalent: Some(fault::at_equivalent_frequency(impedance.cold)),
        smallest: Some(impedance.hot),
        smallest_zero: zero(impedance.hot, impedance.hot_loop),
    }
}
