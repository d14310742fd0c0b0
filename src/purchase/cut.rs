//! Cable cut from coils and drums. Cuts are never joined: they are packed by first-fit-decreasing, which needs at most 11/9 of the
//! fewest drums and one more (D. S. Johnson, 1973), and the ways of doing so are compared by the length that must be ordered.

use crate::quantity::round_to;

/// How a cable is sold, in the unit in which it is bought.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Sold {
    pub(super) coil: Option<f64>,
    pub(super) drum: Option<f64>,
}

/// An order of cable.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Order {
    /// Length that is ordered.
    pub(super) length: f64,
    /// Coils.
    pub(super) coils: u64,
    /// Drums.
    pub(super) drums: u64,
    /// Cuts that are ordered at their length: all of them where the cable is sold so, else those longer than any drum.
    pub(super) to_length: u64,
    /// The longest of these that no drum holds.
    pub(super) too_long: Option<f64>,
    /// The rest on coils and drums.
    pub(super) left: f64,
}

impl Order {
    /// In words, such as `2 drums of 500 m, 1 coil of 100 m; 37 m left`.
    pub(super) fn words(&self, sold: Sold, unit: &str) -> String {
        let several = |count: u64, one: &str| if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") };
        let mut said = Vec::new();
        // Where lengths are in feet the trade says reel.
        let drum = if unit == "ft" { "reel" } else { "drum" };
        for (count, what, length) in [(self.drums, drum, sold.drum), (self.coils, "coil", sold.coil)] {
            if let Some(length) = length.filter(|_| count > 0) {
                said.push(format!("{} of {} {unit}", several(count, what), round_to(length, 1)));
            }
        }
        if self.to_length > 0 {
            said.push(format!("{} to length", several(self.to_length, "cut")));
        }
        let left = if self.left > 0.0 { format!("; {} {unit} left", round_to(self.left, 1)) } else { String::new() };
        said.join(", ") + &left
    }
}

/// A coil or drum that is cut from.
#[derive(Clone, Copy)]
struct Package {
    length: f64,
    left: f64,
}

impl Package {
    fn holds(&self, cut: f64) -> u64 {
        pieces_in(self.left, cut)
    }
}

/// Cuts of a length that a length gives.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // above nothing, and bounded by the length of a drum over a cut
fn pieces_in(length: f64, cut: f64) -> u64 {
    if cut <= 0.0 { u64::MAX } else { (length / cut + 1e-9).floor().clamp(0.0, 1e15) as u64 }
}

#[allow(clippy::cast_precision_loss)] // counts of cuts are far below 2^53
fn times(cut: f64, count: u64) -> f64 {
    cut * count as f64
}

/// Packs cuts, each a length with how many there are of it.
pub(super) fn pack(cuts: &[(f64, u64)], sold: Sold) -> Order {
    let mut cuts: Vec<(f64, u64)> = cuts.iter().copied().filter(|(cut, count)| *cut > 0.0 && *count > 0).collect();
    cuts.sort_by(|a, b| b.0.total_cmp(&a.0));
    let Some(longest) = sold.drum.into_iter().chain(sold.coil).reduce(f64::max) else {
        return Order { length: to_length(&cuts), to_length: cuts.iter().map(|(_, count)| count).sum(), ..Order::default() };
    };
    let (fitting, beyond): (Vec<_>, Vec<_>) = cuts.into_iter().partition(|(cut, _)| *cut <= longest + 1e-9);
    let ways = [by_largest(&fitting, longest, sold), by_size(&fitting, sold), last_in_coils(&fitting, longest, sold)];
    let best = ways.into_iter().min_by(|a, b| ordered(a).total_cmp(&ordered(b)).then(a.len().cmp(&b.len()))).unwrap_or_default();
    let count = |length: Option<f64>| best.iter().filter(|package| Some(package.length) == length).count();
    let coils = count(sold.coil);
    let own_coil = sold.coil == sold.drum;
    Order {
        length: round_to(ordered(&best) + to_length(&beyond), 3),
        coils: if own_coil { 0 } else { u64::try_from(coils).unwrap_or(u64::MAX) },
        drums: u64::try_from(count(sold.drum)).unwrap_or(u64::MAX),
        to_length: beyond.iter().map(|(_, count)| count).sum(),
        too_long: beyond.first().map(|(cut, _)| *cut),
        left: round_to(best.iter().map(|package| package.left).fold(0.0, |sum, left| sum + left), 3),
    }
}

/// Cuts that are ordered at their length are whole metres or feet each.
fn to_length(cuts: &[(f64, u64)]) -> f64 {
    cuts.iter().map(|(cut, count)| times(round_to(*cut, 6).ceil(), *count)).fold(0.0, |sum, length| sum + length)
}

fn ordered(packages: &[Package]) -> f64 {
    packages.iter().map(|package| package.length).fold(0.0, |sum, length| sum + length)
}

/// First-fit-decreasing into packages that `opened` gives for a cut that fits in none.
fn first_fit(cuts: &[(f64, u64)], opened: &dyn Fn(f64) -> f64) -> Vec<Package> {
    let mut packages: Vec<Package> = Vec::new();
    for &(cut, count) in cuts {
        let mut waiting = count;
        for package in &mut packages {
            let taken = package.holds(cut).min(waiting);
            package.left -= times(cut, taken);
            waiting -= taken;
            if waiting == 0 {
                break;
            }
        }
        while waiting > 0 {
            let length = opened(cut);
            let mut package = Package { length, left: length };
            // A cut that just fits must not fail on the last digit.
            let taken = package.holds(cut).clamp(1, waiting);
            package.left = (package.left - times(cut, taken)).max(0.0);
            waiting -= taken;
            packages.push(package);
        }
    }
    packages
}

/// Packages that a coil would do for are coils.
fn smaller(mut packages: Vec<Package>, sold: Sold) -> Vec<Package> {
    for package in &mut packages {
        let used = package.length - package.left;
        if let Some(coil) = sold.coil.filter(|coil| used <= coil + 1e-9 && *coil < package.length) {
            *package = Package { length: coil, left: (coil - used).max(0.0) };
        }
    }
    packages
}

fn by_largest(cuts: &[(f64, u64)], longest: f64, sold: Sold) -> Vec<Package> {
    smaller(first_fit(cuts, &|_| longest), sold)
}

/// Each cut from a coil if one holds it, else from a drum.
fn by_size(cuts: &[(f64, u64)], sold: Sold) -> Vec<Package> {
    let opened = |cut: f64| match (sold.coil, sold.drum) {
        (Some(coil), _) if cut <= coil + 1e-9 => coil,
        (_, Some(drum)) => drum,
        (Some(coil), None) => coil,
        (None, None) => cut,
    };
    smaller(first_fit(cuts, &opened), sold)
}

/// Full drums first; the cuts that would open the last drum come from coils, as far as coils hold them.
fn last_in_coils(cuts: &[(f64, u64)], longest: f64, sold: Sold) -> Vec<Package> {
    let drums = first_fit(cuts, &|_| longest).len();
    let Some(coil) = sold.coil.filter(|_| drums > 0) else { return by_largest(cuts, longest, sold) };
    let mut packages = vec![Package { length: longest, left: longest }; drums - 1];
    for &(cut, count) in cuts {
        let mut waiting = count;
        for package in &mut packages {
            let taken = package.holds(cut).min(waiting);
            package.left -= times(cut, taken);
            waiting -= taken;
        }
        let length = if cut <= coil + 1e-9 { coil } else { longest };
        while waiting > 0 {
            let mut package = Package { length, left: length };
            let taken = package.holds(cut).clamp(1, waiting);
            package.left = (package.left - times(cut, taken)).max(0.0);
            waiting -= taken;
            packages.push(package);
        }
    }
    packages.retain(|package| package.left < package.length);
    smaller(packages, sold)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOTH: Sold = Sold { coil: Some(100.0), drum: Some(500.0) };

    // Lengths by hand: each case shows its sum.
    #[rstest::rstest]
    #[case::nothing(&[], BOTH, 0, 0, 0.0)]
    #[case::one_coil(&[(48.0, 2)], BOTH, 1, 0, 4.0)] // 96 of 100
    #[case::cuts_are_not_joined(&[(60.0, 2)], BOTH, 2, 0, 80.0)] // 60 + 60 > 100: two coils, not 1.2
    #[case::a_run_longer_than_a_coil_needs_a_drum(&[(120.0, 1)], BOTH, 0, 1, 380.0)]
    #[case::full_drums_and_a_coil(&[(50.0, 12)], BOTH, 1, 1, 0.0)] // 600 = 500 + 100
    #[case::small_cuts_fill_the_drum_of_a_long_one(&[(450.0, 1), (25.0, 2)], BOTH, 0, 1, 0.0)]
    #[case::only_drums(&[(30.0, 1)], Sold { coil: None, drum: Some(500.0) }, 0, 1, 470.0)]
    fn cuts_are_packed(
        #[case] cuts: &[(f64, u64)],
        #[case] sold: Sold,
        #[case] coils: u64,
        #[case] drums: u64,
        #[case] left: f64,
    ) {
        let order = pack(cuts, sold);
        assert_eq!((order.coils, order.drums, order.left), (coils, drums, left), "{order:?}");
        assert_eq!(order.too_long, None);
    }

    #[test]
    fn a_cable_without_coil_and_drum_is_cut_to_whole_units() {
        // 20.4 is cut as 21, twice; 7 stays 7: 49.
        let order = pack(&[(20.4, 2), (7.0, 1)], Sold::default());
        assert_eq!((order.length, order.to_length, order.left), (49.0, 3, 0.0));
        assert_eq!(order.words(Sold::default(), "m"), "3 cuts to length");
    }

    #[test]
    fn a_cut_longer_than_any_drum_is_said() {
        let order = pack(&[(620.0, 1), (80.0, 1)], BOTH);
        assert_eq!((order.too_long, order.coils, order.to_length, order.length), (Some(620.0), 1, 1, 720.0));
        assert_eq!(order.words(BOTH, "m"), "1 coil of 100 m, 1 cut to length; 20 m left");
    }

    proptest::proptest! {
        #[test]
        fn what_is_ordered_is_what_is_cut_and_what_is_left(
            cuts in proptest::collection::vec((0.5..480.0f64, 1..40u64), 1..12),
            coil in proptest::option::of(50.0..200.0f64),
        ) {
            let sold = Sold { coil, drum: Some(500.0) };
            let order = pack(&cuts, sold);
            let used: f64 = cuts.iter().map(|(cut, count)| times(*cut, *count)).sum();
            proptest::prop_assert!((order.length - used - order.left).abs() < 0.01 * used.max(1.0) * 1e-2 + 0.01);
            proptest::prop_assert!(order.left >= 0.0);
            // No more drums and coils than cuts, and never more length than a drum for every cut.
            let count: u64 = cuts.iter().map(|(_, count)| count).sum();
            proptest::prop_assert!(order.coils + order.drums <= count);
            // The order of the cuts does not matter.
            let mut turned = cuts.clone();
            turned.reverse();
            proptest::prop_assert_eq!(pack(&turned, sold), order);
        }
    }
}
