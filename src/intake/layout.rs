//! Finds the tables of a sheet: heading rows of one or two lines, unit rows, rows of column letters, several tables one below another.

use super::headings::{self, Recognised};
use super::mapping::Overrides;
use super::units::{Unit, unit_of};
use super::{Content, Grid, Row, fold, machines, other_lists};
use crate::load::Field;
use crate::threads;

/// Rows that are searched for the first headings.
const SEARCHED_ROWS: usize = 1_000;
/// Columns that must be recognised, `tag` among them, for a row of canonical names to be the heading row.
const LEAST_HEADINGS: usize = 2;

/// The kind of a row in a heading block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum BlockRow {
    Header,
    Units,
    Letters,
}

/// A table as found, before its columns are decided.
#[derive(Clone, Debug, Default)]
pub(super) struct Layout {
    /// Rows of the heading block.
    pub(super) block: Vec<(usize, BlockRow)>,
    /// Row whose headings a finding points at.
    pub(super) header: usize,
    /// Headings by column, group heading in front.
    pub(super) headings: Vec<String>,
    /// The meaning of each heading.
    pub(super) recognised: Vec<Option<Recognised>>,
    /// Units of the unit row by column.
    pub(super) units: Vec<Option<Unit>>,
    /// First row below the block.
    pub(super) first: usize,
    /// Row behind the last of the table.
    pub(super) end: usize,
    /// Headings that name no tags or no power: the rows below them can't be read, and belong to no other table either.
    pub(super) unread: bool,
}

impl Layout {
    /// First row of the heading block.
    pub(super) fn start(&self) -> usize {
        self.block.first().map_or(self.header, |(row, _)| *row)
    }
}

/// All tables of a sheet, in order.
pub(super) fn tables(grid: &Grid, overrides: &Overrides) -> Vec<Layout> {
    let mut found: Vec<Layout> = Vec::new();
    let mut below = 0;
    for row in candidates(grid) {
        if found.is_empty() && row >= SEARCHED_ROWS {
            break;
        }
        if row < below {
            continue;
        }
        let Some(layout) = block_at(grid, row, overrides) else { continue };
        below = layout.first;
        // The same headings again are those of a further page.
        if found.last().is_none_or(|last| last.headings != layout.headings) {
            if let Some(last) = found.last_mut() {
                last.end = layout.start();
            }
            found.push(layout);
        }
    }
    if let Some(last) = found.last_mut() {
        last.end = grid.rows.len();
    }
    if found.iter().all(|layout| layout.unread) {
        found.clear();
    }
    found
}

/// Headings of a table that can't be read: several are known, a measured one among them, but none of tags or none of power.
fn unread_block(grid: &Grid, row: usize, single: Vec<Option<Recognised>>, headings: Vec<String>) -> Option<Layout> {
    let filled = headings.iter().filter(|text| !text.is_empty()).count();
    let fields = |found: &&Recognised| found.meanings.iter().all(|meaning| matches!(meaning, headings::Meaning::Field(_)));
    let known = single.iter().flatten().filter(fields).count();
    let measured = single.iter().flatten().any(Recognised::is_measured);
    // A row of loads has a figure somewhere.
    let figures = headings.iter().any(|text| text.bytes().any(|byte| byte.is_ascii_digit()));
    (known >= 3 && known * 3 >= filled * 2 && measured && !figures)
        .then(|| Layout { unread: true, ..finish(grid, vec![(row, BlockRow::Header)], headings, single) })
}

/// The lack of a row of headings, in words.
pub(super) fn lacking(recognised: &[Option<Recognised>]) -> &'static str {
    if recognised.iter().flatten().any(|found| found.may_be(Field::Tag)) {
        "name no power or current that is read"
    } else {
        "name no tags that are read"
    }
}

/// The row that comes nearest to a heading row.
pub(super) struct Near {
    /// Row from zero.
    pub(super) row: usize,
    /// How many headings are known.
    pub(super) known: usize,
    /// Its lack, in words.
    pub(super) lacks: &'static str,
    /// The field that it lacks.
    pub(super) field: &'static str,
    /// Loads stand below it: it names their power, and a column that nobody knows holds what looks like tags.
    pub(super) of_loads: bool,
    /// Headings that are not known.
    pub(super) unknown: Vec<String>,
}

/// The row that comes nearest to a heading row, if one comes near.
pub(super) fn nearest_headings(grid: &Grid) -> Option<Near> {
    let near = |(row, cells): (usize, Row<'_>)| {
        if !may_be_headings(cells) {
            return None;
        }
        let recognised = recognised(cells);
        let known = recognised.iter().flatten().count();
        let unknown = (0..cells.len()).filter(|column| recognised[*column].is_none()).filter_map(|at| heading_text(cells, at));
        let unknown: Vec<String> = unknown.map(|text| fold::tidy(text).into_owned()).take(5).collect();
        let tag = recognised.iter().flatten().any(|found| found.may_be(Field::Tag));
        let field = if tag { "rated_power_kw" } else { "tag" };
        let headings = || (0..cells.len()).filter_map(|column| heading_text(cells, column));
        let of_loads = !tag && is_powered(&recognised) && !other_lists::are_headed_by(headings) && {
            let unnamed = |column: &usize| recognised[*column].is_none() && heading_text(cells, *column).is_some();
            // What each row is stands first.
            let marks = (0..cells.len()).filter(unnamed).find(|column| holds_tags(grid, row, *column));
            marks.and_then(|column| heading_text(cells, column)).is_some_and(|heading| !other_lists::are_marked_by(heading))
        };
        (known >= 2 && !unknown.is_empty()).then(|| Near { row, known, lacks: lacking(&recognised), field, of_loads, unknown })
    };
    grid.rows.iter().enumerate().take(SEARCHED_ROWS).filter_map(near).max_by_key(|near| (near.known, std::cmp::Reverse(near.row)))
}

/// Whether the first column holds the headings, so that loads stand in columns.
pub(super) fn looks_transposed(grid: &Grid) -> bool {
    (0..2).any(|column| {
        let names = grid.rows.iter().take(60).filter_map(|row| heading_text(row, column));
        let recognised: Vec<Option<Recognised>> = names.map(headings::recognise).collect();
        is_heading_row(&recognised) && recognised.iter().flatten().count() >= 4
    })
}

fn heading_text(row: Row<'_>, column: usize) -> Option<&str> {
    row.text(column).filter(|text| !text.trim().is_empty())
}

/// The meaning of each cell of a row.
fn recognised(row: Row<'_>) -> Vec<Option<Recognised>> {
    (0..row.len()).map(|column| headings::recognise(heading_text(row, column)?)).collect()
}

fn cell_text(grid: &Grid, row: usize, column: usize) -> &str {
    grid.rows.get(row).and_then(|row| heading_text(row, column)).unwrap_or("")
}

/// Rows that a heading block may begin with.
fn candidates(grid: &Grid) -> Vec<usize> {
    let runs = threads::of(grid.rows.len(), threads::worth(grid.rows.len()));
    let may_be = |row: &usize| grid.rows.get(*row).is_some_and(may_be_headings);
    threads::each(runs, |run| run.filter(may_be).collect::<Vec<_>>()).concat()
}

/// A row of headings holds two texts or more and no numbers. It is a cheap test: every row of the schedule passes through it.
fn may_be_headings(row: Row<'_>) -> bool {
    let mut texts = 0;
    // Figures stand rather at the right.
    for column in (0..row.len()).rev() {
        let Some(text) = row.text(column) else {
            match row.get(column).unwrap_or_default().content {
                Content::Empty | Content::Error(_) => continue,
                _ => return false,
            }
        };
        let text = text.trim();
        if text.bytes().next().is_some_and(|byte| byte.is_ascii_digit())
            && text.bytes().all(|byte| !byte.is_ascii_alphabetic() && byte < 128)
        {
            return false;
        }
        texts += usize::from(!text.is_empty());
    }
    texts >= LEAST_HEADINGS
}

fn block_at(grid: &Grid, row: usize, overrides: &Overrides) -> Option<Layout> {
    let cells = grid.rows.get(row)?;
    if !may_be_headings(cells) {
        return None;
    }
    let mut single = recognised(cells);
    let headings: Vec<String> = (0..cells.len()).map(|column| cells.seen(column).trim().to_owned()).collect();
    machines::settle(&headings, &mut single);
    overrides.apply(&headings, &mut single);
    parts_of_tags(&headings, &mut single);
    settle_tags(grid, row, &mut single);
    let below = row + 1;
    if let Some((names, recognised)) = two_lines(grid, row, &single, overrides) {
        return Some(finish(grid, vec![(row, BlockRow::Header), (below, BlockRow::Header)], names, recognised));
    }
    if !is_heading_row(&single) {
        return unread_block(grid, row, single, headings);
    }
    Some(finish(grid, vec![(row, BlockRow::Header)], headings, single))
}

/// Rows below headings that are looked at for tags.
const TAG_ROWS: usize = 40;

/// Whether most cells of a column below a row are like tags: a letter first, and a figure.
pub(super) fn holds_tags(grid: &Grid, row: usize, column: usize) -> bool {
    let below = grid.rows.iter().skip(row + 1).take(TAG_ROWS);
    let texts: Vec<String> = below.map(|cells| cells.seen(column).trim().to_owned()).filter(|text| !text.is_empty()).collect();
    let tag_like = |text: &&String| {
        text.len() <= 24
            && text.starts_with(|first: char| first.is_alphabetic())
            && text.bytes().any(|byte| byte.is_ascii_digit())
    };
    texts.iter().filter(tag_like).count() * 2 > texts.len()
}

/// `Unit` and `Symbol` name tags only above what looks like tags: a unit is one of measure too.
fn settle_tags(grid: &Grid, row: usize, recognised: &mut [Option<Recognised>]) {
    let either = [headings::Meaning::Unused, headings::Meaning::Field(Field::Tag)];
    for (column, slot) in recognised.iter_mut().enumerate() {
        if slot.as_ref().is_some_and(|found| found.meanings == either) && !holds_tags(grid, row, column) {
            *slot = None;
        }
    }
}

/// Whether a row of units names columns of its own: `V`, `PH` and `HZ` below `ELECTRICAL`, which stands over the first of them alone.
fn names_columns(upper: Row<'_>, lower: Row<'_>) -> bool {
    let below_nothing = |column: &usize| heading_text(upper, *column).is_none();
    let named = |column: usize| heading_text(lower, column).is_some_and(|text| headings::recognise(text).is_some());
    (0..lower.len()).filter(below_nothing).any(named)
}

/// Group headings with headings below them.
fn two_lines(
    grid: &Grid,
    row: usize,
    single: &[Option<Recognised>],
    overrides: &Overrides,
) -> Option<(Vec<String>, Vec<Option<Recognised>>)> {
    let (upper, lower) = (grid.rows.get(row)?, grid.rows.get(row + 1)?);
    if !may_be_headings(lower) || (is_unit_row(lower) && !names_columns(upper, lower)) {
        return None;
    }
    // A single text that begins no further right than the headings is the title of the table, not a group of its columns.
    let filled = |row: Row<'_>| (0..row.len()).find(|column| heading_text(row, *column).is_some());
    if (0..upper.len()).filter(|column| heading_text(upper, *column).is_some()).count() == 1 && filled(upper) <= filled(lower) {
        return None;
    }
    // Most of the upper texts must be groups or headings: a line of a title block is neither.
    let known = |column: usize| {
        heading_text(upper, column).map(|text| single.get(column).is_some_and(Option::is_some) || headings::is_group(text))
    };
    let upper_known: Vec<bool> = (0..upper.len()).filter_map(known).collect();
    if upper_known.iter().filter(|known| **known).count() * 2 < upper_known.len() {
        return None;
    }
    let width = upper.len().max(lower.len());
    let groups = group_texts(grid, row, width);
    let mut names = Vec::with_capacity(width);
    let mut recognised = Vec::with_capacity(width);
    for (column, group) in groups.iter().enumerate() {
        let (upper, sub) = (cell_text(grid, row, column).trim(), cell_text(grid, row + 1, column).trim());
        let group = if sub.is_empty() { upper } else { group.as_str() };
        let found = headings::recognise_below(group, sub);
        // A row of loads below one line of headings is no second line.
        let tag = |found: &Option<Recognised>| found.as_ref().is_some_and(|found| found.may_be(Field::Tag));
        if !upper.is_empty() && !sub.is_empty() && tag(&headings::recognise(upper)) && headings::recognise(sub).is_none() {
            return None;
        }
        names.push([group, sub].iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join(" "));
        recognised.push(found);
    }
    machines::settle(&names, &mut recognised);
    overrides.apply(&names, &mut recognised);
    parts_of_tags(&names, &mut recognised);
    settle_tags(grid, row + 1, &mut recognised);
    let lower_alone: Vec<Option<Recognised>> =
        (0..width).map(|column| headings::recognise(cell_text(grid, row + 1, column))).collect();
    let count = |all: &[Option<Recognised>]| all.iter().flatten().count();
    let better = count(&recognised) > count(single) || (count(&recognised) >= count(single) && is_heading_row(&lower_alone));
    let enough = count(&recognised) >= count(&lower_alone) && better;
    (is_heading_row(&recognised) && enough).then_some((names, recognised))
}

/// Whether a heading begins what belongs to the load itself, behind a group of something else.
fn ends_group(group: &str, heading: &str) -> bool {
    let of_load = [Field::Board, Field::StartingMethod, Field::Tag, Field::Description];
    let starts =
        |found: Recognised| matches!(found.meanings.as_slice(), [headings::Meaning::Field(field)] if of_load.contains(field));
    headings::is_foreign(group)
        && !headings::groups(group).iter().any(|group| group == "starter")
        && headings::recognise(heading).is_some_and(starts)
}

/// The group heading over each column: by merged cells where there are some, else up to the next text.
fn group_texts(grid: &Grid, row: usize, width: usize) -> Vec<String> {
    let number = u32::try_from(row).unwrap_or(u32::MAX);
    let merged: Vec<(usize, usize)> = grid
        .merged
        .iter()
        .filter(|((top, left), (bottom, right))| *top <= number && number <= *bottom && left < right)
        .map(|((_, left), (_, right))| (*left as usize, *right as usize))
        .collect();
    let mut last = String::new();
    (0..width)
        .map(|column| {
            let group = cell_text(grid, row, column).trim();
            if !group.is_empty() {
                group.clone_into(&mut last);
                return last.clone();
            }
            if merged.is_empty() {
                // Without merged cells nothing says where a group ends; no control circuit and no heater has a board or a starter.
                if ends_group(&last, cell_text(grid, row + 1, column)) {
                    last.clear();
                }
                return last.clone();
            }
            let area = merged.iter().find(|(left, right)| (*left..=*right).contains(&column));
            area.map(|(left, _)| cell_text(grid, row, *left).trim().to_owned()).unwrap_or_default()
        })
        .collect()
}

/// Whether a heading is that of a power or a current.
fn is_powered(recognised: &[Option<Recognised>]) -> bool {
    let power = [
        Field::RatedPowerKw,
        Field::RatedPowerHp,
        Field::RatedPowerKva,
        Field::ReactivePowerKvar,
        Field::MinimumCircuitAmpacityA,
        Field::MaximumProtectionA,
        Field::FullLoadCurrentA,
    ];
    recognised.iter().flatten().any(|found| power.iter().any(|field| found.may_be(*field)))
}

/// Tag-like and power-like headings, or canonical names with `tag` among them.
fn is_heading_row(recognised: &[Option<Recognised>]) -> bool {
    let all = || recognised.iter().flatten();
    let tag = all().any(|found| found.may_be(Field::Tag));
    let powered = is_powered(recognised);
    let mut canonical: Vec<Field> = all().filter_map(|found| found.canonical).collect();
    canonical.sort_unstable();
    canonical.dedup();
    (tag && powered && all().count() >= LEAST_HEADINGS) || (canonical.contains(&Field::Tag) && canonical.len() >= LEAST_HEADINGS)
}

fn is_unit_row(row: Row<'_>) -> bool {
    let filled: Vec<usize> = (0..row.len()).filter(|column| !row.is_blank(*column)).collect();
    let unit = |column: &usize| heading_text(row, *column).and_then(unit_of);
    !filled.is_empty() && (filled.iter().all(|column| unit(column).is_some()) || is_mostly_units(row, &filled))
}

/// Units with a word or two between them, such as `Kategorie` below `Not-Halt`. A load has figures, and other headings have meanings.
fn is_mostly_units(row: Row<'_>, filled: &[usize]) -> bool {
    const LEAST_UNITS: usize = 4;
    let units =
        filled.iter().filter(|column| heading_text(row, **column).and_then(unit_of).is_some_and(Unit::is_measure)).count();
    let idle = |column: &usize| {
        heading_text(row, *column).is_some_and(|text| {
            let word = !text.bytes().any(|byte| byte.is_ascii_digit()) && headings::recognise(text).is_none();
            unit_of(text).is_some() || word
        })
    };
    units >= LEAST_UNITS && units * 2 > filled.len() && filled.iter().all(idle)
}

/// `A`, `B`, `C = A/B` or 1, 2, 3: the names of columns.
fn is_letter_row(row: Row<'_>) -> bool {
    let texts: Vec<String> =
        (0..row.len()).filter(|column| !row.is_blank(*column)).map(|column| row.seen(column).trim().to_owned()).collect();
    if texts.len() < 2 {
        return false;
    }
    let head = |text: &str| text.split('=').next().unwrap_or("").trim().trim_matches(['(', ')', '[', ']']).to_owned();
    let letter = |text: &String| {
        let head = head(text);
        (head.len() == 1 && head.bytes().all(|byte| byte.is_ascii_alphabetic())).then(|| head.to_ascii_uppercase().as_bytes()[0])
    };
    let letters: Option<Vec<u8>> = texts.iter().map(letter).collect();
    if let Some(letters) = letters {
        return letters.windows(2).all(|pair| pair[0] < pair[1]) && letters[0] <= b'C';
    }
    let numbers: Option<Vec<u32>> = texts.iter().map(|text| head(text).parse().ok()).collect();
    numbers.is_some_and(|numbers| numbers.len() > 2 && numbers[0] == 1 && numbers.windows(2).all(|pair| pair[0] + 1 == pair[1]))
}

/// Takes in the rows of units and of column letters.
fn finish(
    grid: &Grid,
    mut block: Vec<(usize, BlockRow)>,
    mut headings: Vec<String>,
    mut recognised: Vec<Option<Recognised>>,
) -> Layout {
    let header = block.last().map_or(0, |(row, _)| *row);
    let mut units: Vec<Option<Unit>> = vec![None; headings.len()];
    let mut next = header + 1;
    while let Some(row) = grid.rows.get(next) {
        let tag = recognised.iter().position(|found| found.as_ref().is_some_and(|found| found.may_be(Field::Tag)));
        let at_tag = tag.map(|column| cell_text(grid, next, column).trim()).unwrap_or("");
        if is_letter_row(row) {
            block.push((next, BlockRow::Letters));
        } else if is_unit_row(row) && (at_tag.is_empty() || matches!(unit_of(at_tag), Some(Unit::Other | Unit::Pieces))) {
            for (column, unit) in units.iter_mut().enumerate() {
                *unit = unit_of(cell_text(grid, next, column));
                if let Some(recognised) = recognised.get_mut(column) {
                    let of_cable =
                        recognised.is_none() && headings::groups(&headings[column]).iter().any(|group| group == "cable");
                    let of_motor =
                        recognised.is_none() && headings::groups(&headings[column]).iter().any(|group| group == "motor");
                    let named = of_cable && matches!(unit, Some(Unit::Metre | Unit::Foot))
                        || of_motor && unit.is_some_and(|unit| unit.is_power() || unit == Unit::Ampere);
                    if named {
                        *recognised = headings::recognise_below(&headings[column], cell_text(grid, next, column));
                    }
                    *recognised = recognised.take().and_then(|found| headings::admitting(found, *unit));
                }
            }
            block.push((next, BlockRow::Units));
        } else {
            break;
        }
        next += 1;
    }
    let end = headings.iter().rposition(|heading| !heading.is_empty()).map_or(0, |last| last + 1);
    headings.truncate(end);
    recognised.truncate(end);
    units.truncate(end);
    Layout { block, header, headings, recognised, units, first: next, end: grid.rows.len(), unread: false }
}

/// Columns that share a first word, which is a heading of tags, hold the parts of the tag.
fn parts_of_tags(names: &[String], recognised: &mut [Option<Recognised>]) {
    let first_word = |name: &String| fold::words(name).first().cloned().unwrap_or_default();
    let firsts: Vec<String> = names.iter().map(first_word).collect();
    for column in 0..names.len() {
        let first = &firsts[column];
        let shared = !first.is_empty() && firsts.iter().filter(|other| *other == first).count() > 1;
        if !shared || recognised[column].as_ref().is_some_and(|found| !found.may_be(Field::Tag)) {
            continue;
        }
        if let Some(found) = headings::recognise(first).filter(|found| found.meanings == [headings::Meaning::Field(Field::Tag)]) {
            recognised[column] = Some(Recognised { canonical: None, ..found });
        }
    }
}
