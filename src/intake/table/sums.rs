//! Tells a row that adds up those above it by its figures, in whatever language it is named, or with no name at all.

use super::Table;
use crate::intake::row::is_power;
use crate::intake::{Content, Row, numbers};
use crate::load::Field;

/// Share by which a printed sum may differ from the sum of printed figures: half of the last of three digits; common practice, no source.
const ROUNDING: f64 = 0.005;

/// Sums of the loads so far, column by column of powers and currents.
#[derive(Debug, Default)]
pub(super) struct Sums {
    columns: Vec<usize>,
    quantity: Option<usize>,
    /// Since the first load, and since the last sum.
    all: Vec<Sum>,
    section: Vec<Sum>,
    /// Whether loads so far named their starters.
    started: bool,
}

#[derive(Clone, Copy, Debug, Default)]
struct Sum {
    rows: u32,
    plain: f64,
    /// Each figure as often as its row says that there are machines.
    counted: f64,
}

impl Sum {
    fn add(&mut self, figure: f64, quantity: f64) {
        self.rows += 1;
        self.plain += figure;
        self.counted += figure * quantity;
    }

    fn is(&self, figure: f64) -> bool {
        let near = |sum: f64| (figure - sum).abs() <= ROUNDING * sum;
        self.rows > 1 && (near(self.plain) || near(self.counted))
    }
}

fn figure(row: Row<'_>, column: usize) -> Option<f64> {
    let read = match row.get(column)?.content {
        Content::Number(number) => number,
        Content::Text(ref text) => numbers::number(text).ok()?.0,
        _ => return None,
    };
    (read.is_finite() && read > 0.0).then_some(read)
}

impl Sums {
    pub(super) fn of(table: &Table<'_>) -> Self {
        let of = |wanted: &dyn Fn(Field) -> bool| {
            table
                .columns
                .iter()
                .filter(|column| column.tick.is_none() && wanted(column.spec.field))
                .map(|column| column.index)
                .collect::<Vec<_>>()
        };
        let columns = of(&is_power);
        let sums = vec![Sum::default(); columns.len()];
        let quantity = of(&|field| field == Field::Quantity).first().copied();
        Self { columns, quantity, all: sums.clone(), section: sums, started: false }
    }

    fn figures(&self, row: Row<'_>) -> Vec<Option<f64>> {
        self.columns.iter().map(|column| figure(row, *column)).collect()
    }

    /// Takes in a load.
    pub(super) fn add(&mut self, row: Row<'_>, started: bool) {
        let quantity = self.quantity.and_then(|column| figure(row, column)).unwrap_or(1.0);
        for (position, figure) in self.figures(row).into_iter().enumerate() {
            let Some(figure) = figure else { continue };
            for sums in [&mut self.all, &mut self.section] {
                if let Some(sum) = sums.get_mut(position) {
                    sum.add(figure, quantity);
                }
            }
        }
        self.started |= started;
    }

    /// A sum stood here; the next one counts from here, or all.
    pub(super) fn begin_section(&mut self) {
        self.section.iter_mut().for_each(|sum| *sum = Sum::default());
    }

    /// Whether all figures of a row are sums of those above, where the loads above name their starters and this row none.
    pub(super) fn are(&self, row: Row<'_>) -> bool {
        let figures = self.figures(row);
        let all = |sums: &[Sum]| figures.iter().zip(sums).all(|(figure, sum)| figure.is_none_or(|figure| sum.is(figure)));
        self.started && figures.iter().any(Option::is_some) && (all(&self.all) || all(&self.section))
    }
}
