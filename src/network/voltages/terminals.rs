//! What the start of a circuit takes of the voltage at the terminals of its motor: along its own cable, along feeders and in the source
//! together, held against the limit of the basis. The run alone is held against it where it is chosen; what stands before it no run can
//! mend: where the cable is unknown, what the board alone loses is held against the limit.
//!
//! What runs beside the start drops voltage with and without it, and counts in what is left, not in the drop of the start.

use super::{CableOf, Feed, Grid, Places};
use crate::finding::{Finding, codes};
use crate::quantity::{fits, round_to};
use crate::threads;

/// The voltage that a start takes from its motor.
#[derive(Clone, Debug, PartialEq)]
pub struct StartAtTerminals {
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

/// The starts behind a feed, in the order of the rows; without those whose network is unknown or can't carry them.
#[must_use]
pub fn starts(grid: &Grid<'_>, feed: &Feed, cable: CableOf<'_>) -> Vec<StartAtTerminals> {
    let places = Places::behind(grid, feed);
    let solved = |row: usize| {
        let start = places.start(row, cable(row))?;
        let (before_pct, _) = places.deepest(grid.rows[row].node, &start)?;
        let drop_pct = start.least_pct;
        Some(StartAtTerminals {
            row,
            drop_pct,
            of_board: start.terminals_pct.is_none(),
            left_pct: before_pct - drop_pct,
            feed: feed.name.clone(),
        })
    };
    // Each start is a load flow of the whole network by itself.
    let known: Vec<usize> = (0..grid.rows.len()).filter(|row| places.known(grid.rows[*row].node)).collect();
    let runs = threads::of(known.len(), threads::worth(known.len()));
    let parts = threads::each(runs, |run| known[run].iter().filter_map(|row| solved(*row)).collect::<Vec<_>>());
    parts.into_iter().flatten().collect()
}

impl StartAtTerminals {
    /// The warning on its row; none where the limit holds.
    #[must_use]
    pub fn finding(&self, grid: &Grid<'_>, limit_pct: f64) -> Option<Finding> {
        if fits(self.drop_pct, limit_pct) {
            return None;
        }
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
        let finding = Finding::new(&codes::C324_START_VOLTAGE, what)
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
            .reference("basis, design.starting_drop_pct");
        Some(finding)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::basis::Basis;
    use crate::network::connected::{Connected, Starting};
    use crate::network::phases::assign;
    use crate::network::testing::{board, milliohms, motor, tree};
    use crate::network::together::Together;
    use crate::network::tree::{Node, Parent};
    use crate::network::voltages::Link;
    use crate::quantity::{Amperes, Impedance, Volts};

    /// A motor of so many kW that starts at a power factor.
    fn starting(&(kw, at_start): &(f64, f64)) -> Connected {
        let row = motor("M", 0, kw, 0.85);
        Connected { starting: row.starting.map(|start| Starting { power_factor: at_start, ..start }), ..row }
    }

    /// What is done with the starts of rows on one board behind a source, each behind such a cable.
    fn of_starts<T>(
        rows: &[Connected],
        board: Node,
        source: Impedance,
        cable: Impedance,
        with: impl Fn(&Grid<'_>, Vec<StartAtTerminals>) -> T,
    ) -> T {
        let feed = Feed { name: "supply".to_owned(), parent: Parent::Supply, impedance: Some(source), voltage: board.voltage };
        let tree = tree(vec![board]);
        let (phases, together, basis) = (assign(&tree, rows), Together::of(rows), Basis::default());
        let (links, stated) = ([Some(Link::default())], [None]);
        let grid =
            Grid { tree: &tree, rows, phases: &phases, together: &together, basis: &basis, links: &links, stated: &stated };
        with(&grid, starts(&grid, &feed, &|_: usize| Some(cable)))
    }

    /// Rows of motors on one board whose start takes more than the limit from its terminals.
    fn weak(motors: &[(f64, f64)], source: Impedance, cable: Impedance, limit_pct: f64) -> Vec<usize> {
        let rows: Vec<Connected> = motors.iter().map(starting).collect();
        of_starts(&rows, board("MB", Parent::Supply), source, cable, |grid, found| {
            found.iter().filter(|start| start.finding(grid, limit_pct).is_some()).map(|start| start.row).collect()
        })
    }

    /// 100 kW at 0.85 draw 169.8 A and start with 1018.9 A at 0.3: 0.2267 Ω, that is 0.0680 + j 0.2162 Ω. Behind 0.005 + j 0.02 Ω and a
    /// cable of
    /// 0.02 Ω: 0.2267 / |0.0930 + j 0.2362| = 0.893 at the terminals, a drop of 10.7 %, of which the cable alone is 3 %.
    #[test]
    fn cable_and_source_count_together() {
        let weak_at = |limit| weak(&[(100.0, 0.3)], milliohms(5.0, 20.0), milliohms(20.0, 0.0), limit);
        assert_eq!((weak_at(10.6), weak_at(10.8)), (vec![0], vec![]));
    }

    /// Behind j 0.02 Ω. 100 kW, 0.2267 Ω at 0.95, that is 0.2153 + j 0.0708 Ω: 0.2267 / |0.2153 + j 0.0908| = 0.970, a drop of 3 %. 90 kW
    /// draw less, 0.2518 Ω, and at 0.2, 0.0504 + j 0.2467 Ω, take more: 0.2518 / |0.0504 + j 0.2667| = 0.928, 7.2 %.
    #[test]
    fn a_smaller_start_of_a_lower_power_factor_may_take_more_than_the_largest() {
        let motors = [(100.0, 0.95), (90.0, 0.2)];
        assert_eq!(weak(&motors, milliohms(0.0, 20.0), Impedance::default(), 6.0), [1]);
    }

    /// A motor of one phase of 4 Ω behind a cable of 0.2 Ω there and 0.2 Ω back, nothing before it: 4 / 4.4 at its terminals, a drop of
    /// 9.09 % (circuit theory), whichever voltage of its board drives it.
    #[rstest::rstest]
    #[case::line_to_neutral(3, 400.0, 400.0 / 3f64.sqrt(), true)]
    #[case::between_lines(3, 400.0, 400.0, false)]
    #[case::high_leg_delta(3, 240.0, 120.0, true)]
    #[case::the_whole_of_one_phase(1, 230.0, 230.0, true)]
    #[case::one_leg_of_one_phase(1, 240.0, 120.0, true)]
    fn both_wires_of_a_cable_of_one_phase_count(
        #[case] phases: u32,
        #[case] board_volts: f64,
        #[case] volts: f64,
        #[case] neutral: bool,
    ) {
        use crate::network::testing::single;
        let start = Starting { current: Amperes(volts / 4.0), power_factor: 1.0 };
        let row = Connected { voltage: Volts(volts), starting: Some(start), ..single("M", 0, 0.1, neutral) };
        let system = (phases == 3 && volts * 2.0 == board_volts).then(|| "240/120 V high-leg delta".to_owned());
        let board = Node { phases, voltage: Volts(board_volts), system, ..board("MB", Parent::Supply) };
        let cable = milliohms(200.0, 0.0);
        let drop_pct = of_starts(&[row], board, Impedance::default(), cable, |_, found| found[0].drop_pct);
        // Between two lines each phase is seen by itself, a little on the safe side.
        let exact = 100.0 * (1.0 - 4.0 / 4.4);
        assert!(drop_pct >= exact - 0.01 && drop_pct <= exact + 0.5, "{drop_pct} against {exact}");
    }
}
