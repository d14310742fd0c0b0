//! Parts a text into its words and its figures, so that open points that differ in figures alone make one line: the words once, the
//! figures as a range, and each circuit's own figures beside its tag.

/// Units behind which a number is a figure. Numbers of clauses, tags, counts and sizes in AWG bear none of them and stay words.
const UNITS: [&str; 32] = [
    "A", "kA", "mA", "V", "kV", "W", "kW", "hp", "VA", "kVA", "kvar", "m", "km", "ft", "mm", "in", "mm²", "mm2", "s", "ms",
    "min", "h", "Hz", "%", "°C", "°F", "Ω", "mΩ", "N·m", "kcmil", "starts", "times",
];

/// Words before a number that make it the end of a range or of a list, which is no place for another range.
const JOINING: [&str; 4] = ["to", "and", "or", "x"];

/// A figure as it stands in a text.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Figure {
    number: f64,
    digits: String,
    unit: &'static str,
}

impl Figure {
    /// Reads a word as a figure of the unit that the next word states.
    fn read(word: &str, next: Option<&&str>) -> Option<Self> {
        let stated = next?.trim_end_matches([',', ';', '.', ':', ')']);
        let unit = *UNITS.iter().find(|unit| **unit == stated)?;
        let plain = word.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
        let number = word.parse().ok().filter(|_| plain)?;
        Some(Self { number, digits: word.to_owned(), unit })
    }

    /// The figure with its unit.
    fn words(&self) -> String {
        format!("{} {}", self.digits, self.unit)
    }
}

/// A text whose figures are parted from its words.
#[derive(Clone, Debug)]
pub(super) struct Parted {
    /// What stands before, between and behind the figures; the units belong to it.
    pub(super) words: Vec<String>,
    /// The figures, one fewer than the words.
    pub(super) figures: Vec<Figure>,
}

impl Parted {
    /// Parts a text.
    pub(super) fn of(text: &str) -> Self {
        let all: Vec<&str> = text.split(' ').collect();
        let (mut words, mut figures) = (vec![String::new()], Vec::new());
        for (index, word) in all.iter().enumerate() {
            let before = index.checked_sub(1).map_or("", |index| all[index]);
            let joins = JOINING.contains(&before) || before.ends_with(|last: char| last.is_ascii_digit());
            let space = if index == 0 { "" } else { " " };
            let figure = if joins { None } else { Figure::read(word, all.get(index + 1)) };
            let stretch = words.last_mut();
            if let Some(stretch) = stretch {
                stretch.push_str(space);
                if figure.is_none() {
                    stretch.push_str(word);
                }
            }
            if let Some(figure) = figure {
                figures.push(figure);
                words.push(String::new());
            }
        }
        Self { words, figures }
    }
}

/// Figures of several texts of the same words.
#[derive(Clone, Debug)]
pub(super) struct Ranges {
    words: Vec<String>,
    ends: Vec<[Figure; 2]>,
}

impl Ranges {
    /// The range of one text: its figures alone.
    pub(super) fn new(parted: Parted) -> Self {
        Self { words: parted.words, ends: parted.figures.into_iter().map(|figure| [figure.clone(), figure]).collect() }
    }

    /// Widens the ranges by the figures of another text of the same words.
    pub(super) fn widen(&mut self, figures: &[Figure]) {
        for ([least, most], figure) in self.ends.iter_mut().zip(figures) {
            if figure.number < least.number {
                least.clone_from(figure);
            } else if figure.number > most.number {
                most.clone_from(figure);
            }
        }
    }

    /// The text, with a range where figures differ.
    pub(super) fn text(&self) -> String {
        let figures = self.ends.iter().map(|[least, most]| {
            if least.number < most.number { format!("{} to {}", least.digits, most.digits) } else { least.digits.clone() }
        });
        let mut text = String::new();
        for (words, figure) in self.words.iter().zip(figures.chain([String::new()])) {
            text.push_str(words);
            text.push_str(&figure);
        }
        text
    }

    /// Those of a text's figures that differ from another's, with their units.
    pub(super) fn differing(&self, figures: &[Figure]) -> String {
        let differ = self.ends.iter().zip(figures).filter(|([least, most], _)| least.number < most.number);
        differ.map(|(_, figure)| figure.words()).collect::<Vec<_>>().join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ranges_of(texts: &[&str]) -> Ranges {
        let mut ranges = Ranges::new(Parted::of(texts[0]));
        texts.iter().for_each(|text| ranges.widen(&Parted::of(text).figures));
        ranges
    }

    #[test]
    fn a_text_is_its_words_and_figures_again() {
        for text in [
            "the run is 130 ft, and in sight is at most 50 ft",
            "",
            "430.102(B) asks 2 starters for 10 AWG",
            "the fault is 9 to 22 kA; 240 A peak",
            " 12 A",
        ] {
            assert_eq!(Ranges::new(Parted::of(text)).text(), text);
        }
    }

    #[test]
    fn figures_that_differ_make_a_range_and_the_others_stand_as_they_were() {
        let texts = [
            "the run is 130 ft, and at most 50 ft",
            "the run is 85.5 ft, and at most 50 ft",
            "the run is 215 ft, and at most 50 ft",
        ];
        let ranges = ranges_of(&texts);
        assert_eq!(ranges.text(), "the run is 85.5 to 215 ft, and at most 50 ft");
        assert_eq!(ranges.differing(&Parted::of(texts[1]).figures), "85.5 ft");
    }

    /// Texts that said the same of eight motors, each with its own number of starts.
    #[test]
    fn starts_and_times_are_figures() {
        let text = |starts: &str, times: &str| format!("{starts} starts an hour heat the release like {times} times its setting");
        let (one, other) = (text("30", "1.31"), text("60", "1.52"));
        assert_eq!(ranges_of(&[&one, &other]).text(), text("30 to 60", "1.31 to 1.52"));
    }

    #[test]
    fn clauses_counts_gauges_tags_and_ends_of_ranges_are_words() {
        for text in [
            "430.102 asks",
            "2 starters",
            "10 AWG",
            "P-101 A",
            "P 1 200 A",
            "between 9 and 22 kA",
            "9 to 22 kA",
            "0.4 of its torque",
            "1e5 A",
            "NaN A",
        ] {
            assert_eq!(Parted::of(text).figures, [], "{text}");
        }
    }
}
