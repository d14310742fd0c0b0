//! Starts that take too much voltage from the terminals of their motor: what the start drops along its own cable, along feeders and in the
//! source together, held against the limit of the basis. The run alone is held against it where it is chosen; what stands before it no run
//! can mend: where the cable is unknown, what the board alone loses is held against the limit.
//!
//! Only starts that may come near the limit are solved: a share more than the whole drop of their current, at nominal voltage, along cable
//! and network bounds the others. What runs beside the start drops voltage with and without it, and counts in what is left, not in the drop
//! of the start.

use super::{CableOf, Feed, Grid, Places};
use crate::finding::{Finding, codes};
use crate::quantity::{fits, round_to};

/// A start that takes too much voltage from its motor.
#[derive(Clone, Debug, PartialEq)]
pub struct WeakStart {
    /// The row that starts.
    pub row: usize,
    /// Drop of the voltage at its terminals by the start, per cent of nominal.
    pub drop_pct: f64,
    /// The drop is that of its board, because its own cable is unknown; the cable adds to it.
    pub of_board: bool,
    /// Voltage that is left there, per cent of nominal.
    pub left_pct: f64,
    /// The supply or source that feeds it then.
    pub feed: String,
}

/// The starts behind a feed that take more than the limit admits, in the order of the rows.
#[must_use]
pub fn starts(grid: &Grid<'_>, feed: &Feed, limit_pct: f64, cable: CableOf<'_>) -> Vec<WeakStart> {
    let places = Places::behind(grid, feed);
    let near = |row: &usize| places.most_drop(*row, cable(*row)).is_some_and(|pct| !fits(BY_WHAT_RUNS * pct, limit_pct));
    let solved = |row: usize| {
        let start = places.start(row, cable(row))?;
        let (before_pct, _) = places.deepest(grid.rows[row].node, &start)?;
        let drop_pct = start.least_pct;
        (!fits(drop_pct, limit_pct)).then(|| WeakStart {
            row,
            drop_pct,
            of_board: start.terminals_pct.is_none(),
            left_pct: before_pct - drop_pct,
            feed: feed.name.clone(),
        })
    };
    (0..grid.rows.len()).filter(|row| places.known(grid.rows[*row].node)).filter(near).filter_map(solved).collect()
}

/// Running loads draw more at a lower voltage, and deepen the drop of a start by no more than this.
const BY_WHAT_RUNS: f64 = 1.5;

impl WeakStart {
    /// The warning on its row.
    #[must_use]
    pub fn finding(&self, grid: &Grid<'_>, limit_pct: f64) -> Finding {
        let torque = (self.left_pct / 100.0) * (self.left_pct / 100.0);
        let (least, along) = if self.of_board {
            ("at least ", "along feeders and source alone, without its own cable")
        } else {
            ("", "along cable, feeders and source together")
        };
        let what = format!(
            "behind {} its start takes {least}{} % of the voltage from the motor's terminals, {along}; the limit is {limit_pct} %",
            self.feed,
            round_to(self.drop_pct, 1)
        );
        Finding::new(&codes::C324_START_VOLTAGE, what)
            .at(grid.rows[self.row].place.clone())
            .why(format!(
                "{}{} % are left, which give {} of the torque at nominal voltage; {}",
                if self.of_board { "at most " } else { "" },
                round_to(self.left_pct, 1),
                round_to(torque, 2),
                if self.of_board { "every cable takes more" } else { "the run alone keeps the limit or is told apart" }
            ))
            .cure(
                "start it another way, strengthen feeder or source, or agree starting_drop_pct with the makers of motor and load",
            )
            .reference("basis, design.starting_drop_pct")
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::basis::Basis;
    use crate::network::connected::{Connected, Starting};
    use crate::network::phases::assign;
    use crate::network::testing::{board, milliohms, motor, tree};
    use crate::network::together::Together;
    use crate::network::tree::Parent;
    use crate::network::voltages::Link;
    use crate::quantity::{Impedance, Volts};

    /// A motor of so many kW that starts at a power factor.
    fn starting(&(kw, at_start): &(f64, f64)) -> Connected {
        let row = motor("M", 0, kw, 0.85);
        Connected { starting: row.starting.map(|start| Starting { power_factor: at_start, ..start }), ..row }
    }

    /// The weak starts of motors on one board, and the rows that every start solved by itself gives.
    fn both(motors: &[(f64, f64)], source: Impedance, cable: Impedance, limit_pct: f64) -> (Vec<usize>, Vec<usize>) {
        let rows: Vec<Connected> = motors.iter().map(starting).collect();
        let tree = tree(vec![board("MB", Parent::Supply)]);
        let (phases, together, basis) = (assign(&tree, &rows), Together::of(&rows), Basis::default());
        let (links, stated) = ([Some(Link::default())], [None]);
        let grid = Grid {
            tree: &tree,
            rows: &rows,
            phases: &phases,
            together: &together,
            basis: &basis,
            links: &links,
            stated: &stated,
        };
        let feed = Feed { name: "supply".to_owned(), parent: Parent::Supply, impedance: Some(source), voltage: Volts(400.0) };
        let of_cable = |_: usize| Some(cable);
        let found = starts(&grid, &feed, limit_pct, &of_cable).iter().map(|start| start.row).collect();
        let places = Places::behind(&grid, &feed);
        let alone = |row: &usize| {
            let start = places.start(*row, Some(cable));
            start.and_then(|start| start.terminals_pct).is_some_and(|pct| !fits(pct, limit_pct))
        };
        (found, (0..rows.len()).filter(alone).collect())
    }

    /// 100 kW at 0.85 draw 169.8 A and start with 1018.9 A at 0.3: 0.2267 Ω, that is 0.0680 + j 0.2162 Ω. Behind 0.005 + j 0.02 Ω and a cable of
    /// 0.02 Ω: 0.2267 / |0.0930 + j 0.2362| = 0.893 at the terminals, a drop of 10.7 %, of which the cable alone is 3 %.
    #[test]
    fn cable_and_source_count_together() {
        let weak_at = |limit| both(&[(100.0, 0.3)], milliohms(5.0, 20.0), milliohms(20.0, 0.0), limit).0;
        assert_eq!((weak_at(10.6), weak_at(10.8)), (vec![0], vec![]));
    }

    /// Behind j 0.02 Ω. 100 kW, 0.2267 Ω at 0.95, that is 0.2153 + j 0.0708 Ω: 0.2267 / |0.2153 + j 0.0908| = 0.970, a drop of 3 %. 90 kW draw
    /// less, 0.2518 Ω, and at 0.2, 0.0504 + j 0.2467 Ω, take more: 0.2518 / |0.0504 + j 0.2667| = 0.928, 7.2 %.
    #[test]
    fn a_smaller_start_of_a_lower_power_factor_may_take_more_than_the_largest() {
        let motors = [(100.0, 0.95), (90.0, 0.2)];
        assert_eq!(both(&motors, milliohms(0.0, 20.0), Impedance::default(), 6.0).0, [1]);
    }

    proptest! {
        /// Passing over starts that can't come near the limit loses none.
        #[test]
        fn none_is_passed_over(
            motors in prop::collection::vec((1.0..120.0f64, 0.1..0.95f64), 1..6),
            (r, x) in (0.5..10.0f64, 1.0..20.0f64),
            (cable_r, cable_x) in (0.0..120.0f64, 0.0..20.0f64),
            limit in 3.0..25.0f64,
        ) {
            let (found, alone) = both(&motors, milliohms(r, x), milliohms(cable_r, cable_x), limit);
            prop_assert_eq!(found, alone);
        }
    }
}
