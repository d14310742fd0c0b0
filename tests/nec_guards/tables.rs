//! Tables of NFPA 70 and of NEMA ICS 2, read from the copies under `tests/`, never from those of the program.

use std::sync::LazyLock;

/// Rows of cells without the comment lines and the headings.
fn rows(text: &'static str) -> (Vec<&'static str>, Vec<Vec<&'static str>>) {
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let heads = lines.next().expect("headings").split(',').collect();
    (heads, lines.map(|line| line.split(',').map(str::trim).collect()).collect())
}

/// A table with one word and numbers in each row.
pub(crate) struct Table {
    heads: Vec<&'static str>,
    rows: Vec<Vec<&'static str>>,
}

impl Table {
    fn new(text: &'static str) -> Self {
        let (heads, rows) = rows(text);
        assert!(rows.iter().all(|row| row.len() == heads.len()), "{heads:?}");
        Self { heads, rows }
    }

    fn column(&self, name: &str) -> usize {
        self.heads.iter().position(|head| *head == name).unwrap_or_else(|| panic!("no column {name}"))
    }

    /// A cell as a number; none if it is empty.
    pub(crate) fn number(&self, row: usize, column: &str) -> Option<f64> {
        self.rows[row][self.column(column)].parse().ok()
    }

    /// Row whose first cell is a word.
    pub(crate) fn row(&self, word: &str) -> Option<usize> {
        self.rows.iter().position(|row| row[0] == word)
    }

    /// Row whose first two cells are words.
    fn row_of_two(&self, one: &str, other: &str) -> Option<usize> {
        self.rows.iter().position(|row| row[0] == one && row[1] == other)
    }

    fn len(&self) -> usize {
        self.rows.len()
    }
}

macro_rules! tables { ($($name:ident: $file:literal;)*) => { $(
    pub(crate) static $name: LazyLock<Table> = LazyLock::new(|| Table::new(include_str!($file)));
)* }; }

tables! {
    AMPACITY: "../nec-reference/ampacity.csv";
    AMBIENT: "../nec-reference/ambient.csv";
    ADJUSTMENT: "../nec-reference/adjustment.csv";
    GROUNDING: "../nec-reference/grounding.csv";
    RACEWAYS: "../nec-reference/raceway-areas.csv";
    INSULATED: "../nec-reference/conductor-areas.csv";
    RATINGS: "../nec-reference/standard-ratings.csv";
    PERCENT: "../nec-reference/device-percent.csv";
    SINGLE_PHASE: "../nec-reference/full-load-1ph.csv";
    THREE_PHASE: "../nec-catalogue/t430-250-flc-3ph.csv";
    AREAS: "../nec-catalogue/ch9-t8-areas.csv";
    NEMA_ONE: "../nec-catalogue/nema-ics2-1ph.csv";
    NEMA_THREE: "../nec-catalogue/nema-ics2-3ph-full-voltage.csv";
    NEMA_REDUCED: "../nec-catalogue/nema-ics2-reduced.csv";
}

/// Full-load current of the table; none where it has none.
pub(crate) fn full_load(hp: f64, volts: u32, phases: u32) -> Option<f64> {
    let table = if phases == 1 { &*SINGLE_PHASE } else { &*THREE_PHASE };
    let column = format!("a_{volts}v");
    if !table.heads.contains(&column.as_str()) {
        return None;
    }
    let row = (0..table.len()).find(|row| table.number(*row, "hp").is_some_and(|number| (number - hp).abs() < 1e-3))?;
    table.number(row, &column)
}

/// Name of a size as the tables write it: `12`, `3/0`, `250`.
pub(crate) fn bare(size: &str) -> &str {
    size.trim_end_matches(" AWG").trim_end_matches(" kcmil")
}

/// Circular mils of a size.
pub(crate) fn cmil(size: &str) -> f64 {
    let row = AREAS.row(bare(size)).unwrap_or_else(|| panic!("no size {size}"));
    AREAS.number(row, "area_cmil").expect("an area")
}

/// Sizes of Table 310.16, the smallest first.
pub(crate) fn sizes() -> impl Iterator<Item = &'static str> {
    AMPACITY.rows.iter().map(|row| row[0])
}

/// Ampacity of Table 310.16; none where it has none.
pub(crate) fn ampacity(size: &str, copper: bool, column_c: u32) -> Option<f64> {
    let metal = if copper { "cu" } else { "al" };
    AMPACITY.number(AMPACITY.row(bare(size))?, &format!("{metal}_{column_c}c_a"))
}

/// Correction for the air; none where the column may not be used.
pub(crate) fn correction(air_c: f64, column_c: u32) -> Option<f64> {
    let row = (0..AMBIENT.len()).find(|row| air_c <= AMBIENT.number(*row, "ambient_max_c").expect("a band") + 1e-9)?;
    AMBIENT.number(row, &format!("f_{column_c}c"))
}

/// Adjustment for so many current-carrying conductors.
pub(crate) fn adjustment(count: u32) -> f64 {
    let within = |row: &usize| ADJUSTMENT.number(*row, "count_max").is_none_or(|most| f64::from(count) <= most);
    let row = (0..ADJUSTMENT.len()).find(within).expect("the last band is open");
    ADJUSTMENT.number(row, "factor_pct").expect("a factor") / 100.0
}

/// Equipment grounding conductor of Table 250.122.
pub(crate) fn grounding(rating: f64, copper: bool) -> &'static str {
    let row = (0..GROUNDING.len())
        .find(|row| rating <= GROUNDING.number(*row, "ocpd_up_to_a").expect("a rating") + 1e-9)
        .unwrap_or_else(|| panic!("no row for {rating} A"));
    GROUNDING.rows[row][if copper { 1 } else { 2 }]
}

/// Whole area of a raceway, in².
pub(crate) fn raceway_area(kind: &str, trade_size: &str) -> f64 {
    let row = RACEWAYS.row_of_two(kind, trade_size).unwrap_or_else(|| panic!("no {kind} {trade_size}"));
    RACEWAYS.number(row, "area_in2").expect("an area")
}

/// Area of a conductor with its insulation, in².
pub(crate) fn insulated_area(size: &str, insulation: &str) -> f64 {
    let column = match insulation.to_lowercase().as_str() {
        "thhn" | "thwn" | "thwn-2" => "thhn_in2",
        "xhhw" | "xhhw-2" => "xhhw_in2",
        "thw" => "thw_in2",
        other => panic!("{other} is none of the guards' types"),
    };
    let row = INSULATED.row(bare(size)).unwrap_or_else(|| panic!("no size {size}"));
    INSULATED.number(row, column).expect("an area")
}

/// Standard ratings of fuses or circuit breakers in an edition, the smallest first.
pub(crate) fn ratings(edition: &str, fuse: bool) -> Vec<f64> {
    let years = if edition == "2023" { "2023" } else { "2017_2020" };
    let column = format!("{}_{years}", if fuse { "fuse" } else { "breaker" });
    (0..RATINGS.len())
        .filter(|row| RATINGS.number(*row, &column) == Some(1.0))
        .map(|row| RATINGS.number(row, "rating_a").expect("a rating"))
        .collect()
}

/// Largest horsepower of a NEMA size: `use` is `full`, `yd` or `pw`.
pub(crate) fn nema_horsepower(size: &str, volts: u32, phases: u32, usage: &str) -> Option<f64> {
    // 208 V motors are switched by the ratings at 200 V; single-phase ones at 200 V and above by those at 230 V.
    let (table, column) = match (phases, usage, volts) {
        (1, _, 115) => (&*NEMA_ONE, "hp_115v".to_owned()),
        (1, ..) => (&*NEMA_ONE, "hp_230v".to_owned()),
        (_, "full", 208) => (&*NEMA_THREE, "hp_200v".to_owned()),
        (_, "full", _) => (&*NEMA_THREE, format!("hp_{volts}v")),
        (_, _, 460 | 575) => (&*NEMA_REDUCED, format!("{usage}_hp_460_575v")),
        (_, _, 208) => (&*NEMA_REDUCED, format!("{usage}_hp_200v")),
        _ => (&*NEMA_REDUCED, format!("{usage}_hp_{volts}v")),
    };
    table.number(table.row(size)?, &column)
}
