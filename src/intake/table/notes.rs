//! Findings about the rows and cells of a table, with the place of each; one for many cells of a column stands at the first.

use super::{Table, index};
use crate::finding::{Code, Finding, Place, Severity, codes, column_letters};
use crate::intake::cells::Note;
use crate::intake::skip::SkipReason;
use crate::intake::text;
use crate::load::Load;

impl Table<'_> {
    pub(super) fn skip(&mut self, number: usize, reason: SkipReason) {
        let place = Place { sheet: self.source.sheet.clone(), row: Some(index(number) + 1), ..Place::file(&self.source.file) };
        match reason {
            SkipReason::Deleted => self.findings.push(
                Finding::new(
                    &codes::I412_DELETED_ROW,
                    format!("row {} is struck out or marked as deleted and was not read", number + 1),
                )
                .at(place),
            ),
            SkipReason::Subtotal => self.findings.push(
                Finding::new(&codes::I414_SUBTOTAL, format!("row {} is a sum and was not read as a load", number + 1)).at(place),
            ),
            SkipReason::Header => {
                let words = self.line(number);
                let what =
                    format!("row {} goes on with the headings and was not understood: `{}`", number + 1, text::shortened(&words));
                self.findings.push(
                    Finding::new(&codes::I444_HEADINGS_NOT_READ, what)
                        .at(place)
                        .why("what it says of the columns counts for nothing")
                        .cure("write the headings into one row or two, with the units in them"),
                );
            }
            SkipReason::Vacant => {
                let words = self.line(number);
                let what =
                    format!("row {} is a spare way without a load (`{}`) and was not read", number + 1, text::shortened(&words));
                self.findings.push(
                    Finding::new(&codes::I433_VACANT_ROW, what)
                        .at(place)
                        .cure("give it a tag and a power if it is to be sized as an equipped spare"),
                );
            }
            _ => {}
        }
    }

    pub(super) fn note_placeholders(&mut self) {
        for (column, (count, place)) in std::mem::take(&mut self.placeholders) {
            let heading = self.source.headings.get(column).map_or("", String::as_str);
            let seen = place.text.clone().unwrap_or_default();
            let what = format!(
                "{} reads `{}` in {count} rows, first here: read as not given",
                text::shortened(heading),
                text::shortened(&seen)
            );
            self.findings.push(Finding::new(&codes::I205_PLACEHOLDER, what).at(place).cure("enter values where there are some"));
        }
    }

    /// Tells the changes of a column's values at the first of them.
    pub(super) fn note_values(&mut self) {
        for ((column, note), (count, place)) in std::mem::take(&mut self.notes) {
            if note == Note::Room {
                self.note_rooms(column, count, &place);
                continue;
            }
            let (code, what): (&Code, &str) = match note {
                Note::Converted => (&codes::I402_UNIT_CONVERTED, "was converted from another unit"),
                Note::Grouped => (&codes::I403_THOUSANDS, "has a mark between thousands, which was left out"),
                Note::Decimals => (
                    &codes::I479_DECIMALS_BY_COLUMN,
                    "could be thousands, and was read as decimals because the other figures of its column are written so",
                ),
                Note::Percent => (&codes::I405_PERCENT, "was read as per cent"),
                Note::AsText => (&codes::I404_NUMBER_AS_TEXT, "is a number stored as text"),
                Note::Neutral => {
                    (&codes::I439_NEUTRAL_NAMED, "names a neutral, which is run to the load unless it is a motor of three phases")
                }
                Note::Winding => (
                    &codes::I440_WINDING,
                    "was read as the voltages of the winding, in delta and in star; the voltage is that of the board",
                ),
                Note::TimeRating => (
                    &codes::I464_TIME_RATING,
                    "is a time rating without a kind of duty: short-time was taken, beside which no other kind but continuous asks for more",
                ),
                Note::Reactive => (
                    &codes::I469_REACTIVE_OF_MOTOR,
                    "kvar stand beside another power and were taken for what the load draws; a capacitor is a row of its own",
                ),
                Note::Pair => (
                    &codes::I481_STANDBY_PAIR,
                    "names machines that stand by for each other and does not say how many run: each counts as running",
                ),
                Note::Room | Note::ClassUnknown => (&codes::I411_COLUMN_KEPT, "is no class that is known and was not read"),
            };
            let seen = place.text.clone().unwrap_or_default();
            let rows = if count == 1 { "here".to_owned() } else { format!("in {count} rows, first here") };
            self.findings.push(Finding::new(code, format!("`{seen}` {what} ({rows})")).at(place));
        }
    }

    /// A column of places is not used where it names rooms, which is told at its heading.
    fn note_rooms(&mut self, column: usize, count: usize, first: &Place) {
        let seen = first.text.as_deref().unwrap_or_default();
        let rows = if count == 1 { "row".to_owned() } else { format!("{count} rows") };
        let what = format!("a room says neither dry, wet nor roof, and counts as no place: `{seen}` and the like in {rows}");
        let heading = self.source.headings.get(column).map_or("", String::as_str);
        let place = self.place(self.layout.header, column, heading);
        self.findings.push(Finding::new(&codes::I488_PLACE_IN_WORDS, what).at(place).cure("write dry, wet or rooftop"));
    }

    pub(in crate::intake) fn cell_finding(
        &mut self,
        load: &mut Load,
        code: &Code,
        column: usize,
        seen: &str,
        what: impl Into<String>,
        cure: impl Into<String>,
    ) {
        let finding = Finding::new(code, what).at(self.place(load.row as usize, column, seen)).cure(cure);
        load.rejected |= finding.severity == Severity::Error;
        self.findings.push(finding);
    }

    pub(in crate::intake) fn place(&self, row: usize, column: usize, seen: &str) -> Place {
        Place {
            file: self.source.file.clone(),
            sheet: self.source.sheet.clone(),
            row: Some(index(row) + 1),
            column: Some(column_letters(index(column))),
            heading: self
                .source
                .headings
                .get(column)
                .filter(|heading| !heading.is_empty())
                .map(|heading| text::shortened(heading)),
            text: Some(text::shortened(seen)),
        }
    }
}
