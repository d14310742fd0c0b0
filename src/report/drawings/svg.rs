//! A canvas in millimetres: strokes, inks, sizes of type as classes, text that is escaped, an estimate of how wide a text runs.

use std::fmt::Write as _;

/// Width of a stroke, mm: the series of ISO 128-2 (0.13 to 1.0) with what each is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stroke {
    /// 0.13: fine grid.
    Fine,
    /// 0.18: grid of the decades, leaders.
    Thin,
    /// 0.25: outlines of devices, mechanical links.
    Outline,
    /// 0.35: conductors, frames.
    Conductor,
    /// 0.5: limits.
    Limit,
    /// 0.7: curves, protective bar.
    Curve,
    /// 1.0: busbar.
    Busbar,
}

/// Colour of a stroke, a fill or a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Text, conductors.
    Ink,
    /// Units, remarks.
    Second,
    /// Curves, bars.
    Deep,
    /// Bands.
    Pale,
    /// Fault currents, what is beyond a limit.
    Rust,
    /// Lines of a grid.
    Rule,
    /// Fine lines of a grid.
    Hair,
}

/// Pattern of a stroke; curves are told apart by it without colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dash {
    /// Unbroken.
    Solid,
    /// Dashes.
    Dashes,
    /// Dash and dot.
    DashDot,
    /// Fine dots.
    Dots,
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pen(pub Stroke, pub Ink, pub Dash);

impl Pen {
    /// An unbroken line.
    #[must_use]
    pub const fn solid(stroke: Stroke, ink: Ink) -> Self {
        Self(stroke, ink, Dash::Solid)
    }

    /// The same line in another pattern.
    #[must_use]
    pub const fn dashed(self, dash: Dash) -> Self {
        Self(self.0, self.1, dash)
    }
}

/// Size of a text, mm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// 2.7: tags.
    Tag,
    /// 2.4: text.
    Text,
    /// 2.2: labels.
    Label,
    /// 1.95: marks of terminals.
    Mark,
}

impl Size {
    /// Height of the type, mm.
    #[must_use]
    pub const fn mm(self) -> f64 {
        match self {
            Self::Tag => 2.7,
            Self::Text => 2.4,
            Self::Label => 2.2,
            Self::Mark => 1.95,
        }
    }
}

/// Where a text stands to its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Begins at it.
    Start,
    /// Is centred on it.
    Middle,
    /// Ends at it.
    End,
}

/// How a text is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Type {
    /// Height.
    pub size: Size,
    /// Side.
    pub anchor: Anchor,
    /// Weight 600.
    pub strong: bool,
    /// Colour.
    pub ink: Ink,
    /// A white rim that keeps it readable over lines.
    pub halo: bool,
}

impl Type {
    /// Plain text that begins at its point.
    #[must_use]
    pub const fn plain(size: Size) -> Self {
        Self { size, anchor: Anchor::Start, strong: false, ink: Ink::Ink, halo: false }
    }

    /// The same in weight 600.
    #[must_use]
    pub const fn strong(self) -> Self {
        Self { strong: true, ..self }
    }

    /// The same on another side of its point.
    #[must_use]
    pub const fn at(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// The same in another ink.
    #[must_use]
    pub const fn ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// The same with a white rim.
    #[must_use]
    pub const fn halo(self) -> Self {
        Self { halo: true, ..self }
    }
}

/// Width of a character, em: that of a wide face, so that a text never needs more than is left for it.
const EM_A_CHARACTER: f64 = 0.62;

/// About how wide a text runs, mm; rather too wide.
#[must_use]
#[allow(clippy::cast_precision_loss)] // texts are short
pub fn width_of(text: &str, size: Size) -> f64 {
    text.chars().count() as f64 * EM_A_CHARACTER * size.mm()
}

/// A text that fits into a width, mm: cut with an ellipsis where it would not.
#[must_use]
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded by the length of the text
pub fn fitted(text: &str, size: Size, width: f64) -> String {
    if width_of(text, size) <= width {
        return text.to_owned();
    }
    let most = (width / (EM_A_CHARACTER * size.mm()) + 1e-9).floor().max(1.0) as usize;
    let kept: String = text.chars().take(most - 1).collect();
    format!("{}…", kept.trim_end())
}

/// A text in two lines at most, each of which fits into a width, mm; what goes beyond is cut.
#[must_use]
pub fn two_lines(text: &str, size: Size, width: f64) -> Vec<String> {
    let fits = |text: &str| width_of(text, size) <= width;
    if text.is_empty() || fits(text) {
        return if text.is_empty() { Vec::new() } else { vec![text.to_owned()] };
    }
    let at = text.match_indices(' ').map(|(at, _)| at).rfind(|at| fits(&text[..*at]));
    let Some(at) = at else { return vec![fitted(text, size, width)] };
    vec![text[..at].to_owned(), fitted(text[at..].trim_start(), size, width)]
}

/// A drawing that grows.
#[derive(Clone, Debug)]
pub struct Canvas {
    width: f64,
    height: f64,
    body: String,
}

impl Canvas {
    /// An empty drawing, mm.
    #[must_use]
    pub fn new(width: f64, height: f64) -> Self {
        Self { width, height, body: String::new() }
    }

    /// Makes room for what was drawn further down.
    pub fn grow_to(&mut self, height: f64) {
        self.height = self.height.max(height);
    }

    /// A line through points.
    pub fn line(&mut self, points: &[(f64, f64)], pen: Pen) {
        self.path(&through(points), pen);
    }

    /// A path in the notation of SVG.
    pub fn path(&mut self, d: &str, pen: Pen) {
        let _ = write!(self.body, "<path class=\"{}\" d=\"{d}\"/>", pen_class(pen));
    }

    /// An area bounded by points, filled and without an outline.
    pub fn area(&mut self, points: &[(f64, f64)], ink: Ink) {
        let _ = write!(self.body, "<path class=\"f{}\" d=\"{}z\"/>", ink_class(ink), through(points));
    }

    /// A rectangle with an outline, white inside.
    pub fn frame(&mut self, x: f64, y: f64, width: f64, height: f64, pen: Pen) {
        let (x, y, width, height) = (mm(x), mm(y), mm(width), mm(height));
        let _ = write!(
            self.body,
            "<rect class=\"{} fw\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"/>",
            pen_class(pen)
        );
    }

    /// A circle with an outline, white inside.
    pub fn ring(&mut self, x: f64, y: f64, radius: f64, pen: Pen) {
        let _ =
            write!(self.body, "<circle class=\"{} fw\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>", pen_class(pen), mm(x), mm(y), mm(radius));
    }

    /// A dot: a junction.
    pub fn dot(&mut self, x: f64, y: f64, radius: f64, ink: Ink) {
        let _ =
            write!(self.body, "<circle class=\"f{}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>", ink_class(ink), mm(x), mm(y), mm(radius));
    }

    /// Junctions as one path: strokes without a length and with round ends.
    pub fn junctions(&mut self, places: &[(f64, f64)]) {
        if places.is_empty() {
            return;
        }
        let d: String = places.iter().map(|(x, y)| format!("M{} {}h0", mm(*x), mm(*y))).collect();
        let _ = write!(self.body, "<path class=\"wj\" d=\"{d}\"/>");
    }

    /// A symbol of the page, its origin at the point.
    pub fn symbol(&mut self, id: &'static str, x: f64, y: f64) {
        let _ = write!(self.body, "<use href=\"#{id}\" x=\"{}\" y=\"{}\"/>", mm(x), mm(y));
    }

    /// A piece that several drawings of the page share: drawn once, and placed by reference where it is not drawn.
    pub fn shared(&mut self, id: &str, drawn: bool, draw: impl FnOnce(&mut Self)) {
        let id = escaped(id);
        if drawn {
            // A copy is a tree of its own: rules of the style sheet that begin with the drawing's class must find it there too.
            let _ = write!(self.body, "<g id=\"{id}\" class=\"dw\">");
            draw(self);
            self.body.push_str("</g>");
        } else {
            let _ = write!(self.body, "<use href=\"#{id}\"/>");
        }
    }

    /// A text, its foot at the point.
    pub fn text(&mut self, x: f64, y: f64, text: &str, kind: Type) {
        if text.is_empty() {
            return;
        }
        let _ =
            write!(self.body, "<text class=\"{}\" x=\"{}\" y=\"{}\">{}</text>", type_class(kind), mm(x), mm(y), escaped(text));
    }

    /// Begins a link to a place of the page; all that is drawn belongs to it until [`Canvas::close_link`].
    pub fn open_link(&mut self, anchor: &str) {
        let _ = write!(self.body, "<a href=\"#{}\">", escaped(anchor));
    }

    /// Ends what leads to a place.
    pub fn close_link(&mut self) {
        self.body.push_str("</a>");
    }

    /// A mark of the page, its upper left corner at the point.
    pub fn small_mark(&mut self, id: &str, x: f64, y: f64, side: f64) {
        let _ = write!(
            self.body,
            "<use href=\"#{}\" x=\"{}\" y=\"{}\" width=\"{side}\" height=\"{side}\"/>",
            escaped(id),
            mm(x),
            mm(y)
        );
    }

    /// The finished drawing. `id` makes its title and description those of no other; what a reader should see stands in `description`.
    #[must_use]
    pub fn finish(self, id: &str, title: &str, description: &str) -> String {
        self.finished("img", id, title, description)
    }

    /// The same for a drawing with links: they are reached one by one, which those of an image are not.
    #[must_use]
    pub fn finish_linked(self, id: &str, title: &str, description: &str) -> String {
        self.finished("group", id, title, description)
    }

    fn finished(self, role: &str, id: &str, title: &str, description: &str) -> String {
        let (width, height) = (mm(self.width), mm(self.height));
        let (id, title, description) = (escaped(id), escaped(title), escaped(description));
        format!(
            "<svg class=\"dw\" viewBox=\"0 0 {width} {height}\" width=\"{width}mm\" height=\"{height}mm\" role=\"{role}\" \
             aria-labelledby=\"{id}-t {id}-d\"><title id=\"{id}-t\">{title}</title><desc id=\"{id}-d\">{description}</desc>{}</svg>",
            self.body
        )
    }
}

/// A length or a place, mm, to a hundredth, without needless zeros.
#[must_use]
#[allow(clippy::cast_possible_truncation)] // a drawing is below a kilometre; a cast saturates, and of what is no number it is 0
pub fn mm(value: f64) -> Millimetres {
    Millimetres { hundredths: (value * 100.0).round_ties_even() as i64 }
}

/// A length as a drawing states it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Millimetres {
    hundredths: i64,
}

impl std::fmt::Display for Millimetres {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let sign = if self.hundredths < 0 { "-" } else { "" };
        let (whole, part) = (self.hundredths.unsigned_abs() / 100, self.hundredths.unsigned_abs() % 100);
        match (part, part % 10) {
            (0, _) => write!(f, "{sign}{whole}"),
            (_, 0) => write!(f, "{sign}{whole}.{}", part / 10),
            _ => write!(f, "{sign}{whole}.{part:02}"),
        }
    }
}

fn through(points: &[(f64, f64)]) -> String {
    let mut d = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        let _ = write!(d, "{}{} {}", if index == 0 { 'M' } else { 'L' }, mm(*x), mm(*y));
    }
    d
}

fn pen_class(pen: Pen) -> String {
    let stroke = match pen.0 {
        Stroke::Fine => "w1",
        Stroke::Thin => "w2",
        Stroke::Outline => "w3",
        Stroke::Conductor => "w4",
        Stroke::Limit => "w5",
        Stroke::Curve => "w6",
        Stroke::Busbar => "w7",
    };
    let dash = match pen.2 {
        Dash::Solid => "",
        Dash::Dashes => " da",
        Dash::DashDot => " dd",
        Dash::Dots => " dt",
    };
    // Ink is the colour of every line that names no other.
    let ink = if pen.1 == Ink::Ink { String::new() } else { format!(" s{}", ink_class(pen.1)) };
    format!("{stroke}{ink}{dash}")
}

fn ink_class(ink: Ink) -> char {
    match ink {
        Ink::Ink => 'k',
        Ink::Second => 'g',
        Ink::Deep => 'b',
        Ink::Pale => 'p',
        Ink::Rust => 'r',
        Ink::Rule => 'l',
        Ink::Hair => 'h',
    }
}

fn type_class(kind: Type) -> String {
    let size = match kind.size {
        Size::Tag => "t1",
        Size::Text => "t2",
        Size::Label => "t3",
        Size::Mark => "t4",
    };
    let anchor = match kind.anchor {
        Anchor::Start => "",
        Anchor::Middle => " am",
        Anchor::End => " ae",
    };
    let ink = if kind.ink == Ink::Ink { String::new() } else { format!(" f{}", ink_class(kind.ink)) };
    format!("{size}{anchor}{ink}{}{}", if kind.strong { " b" } else { "" }, if kind.halo { " o" } else { "" })
}

/// A text between tags or in an attribute: nothing in it can end either.
#[must_use]
pub fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            letter if letter.is_control() => safe.push(' '),
            letter => safe.push(letter),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_hundredths_without_needless_zeros() {
        for (value, text) in [
            (0.0, "0"),
            (-0.001, "0"),
            (1.5, "1.5"),
            (2.0, "2"),
            (0.125, "0.12"),
            (-3.456, "-3.46"),
            (-2.0, "-2"),
            (f64::NAN, "0"),
            (100.0, "100"),
        ] {
            assert_eq!(mm(value).to_string(), text);
        }
    }

    #[test]
    fn no_text_ends_its_element() {
        let mut canvas = Canvas::new(10.0, 10.0);
        canvas.text(1.0, 2.0, "</text><script>\"'&", Type::plain(Size::Text));
        let drawn = canvas.finish("c1\"", "<b>", "a & b");
        assert!(!drawn.contains("<script") && !drawn.contains("<b>") && drawn.contains("a &amp; b"), "{drawn}");
        assert!(drawn.contains("&lt;/text&gt;&lt;script&gt;&quot;&#39;&amp;") && drawn.contains("c1&quot;-t"));
    }

    #[test]
    fn what_is_shared_brings_the_class_that_its_styles_ask_for() {
        let mut canvas = Canvas::new(10.0, 10.0);
        canvas.shared("g1", true, |canvas| canvas.text(1.0, 2.0, "a", Type::plain(Size::Text)));
        canvas.shared("g1", false, |_| {});
        let drawn = canvas.finish("c1", "a", "b");
        assert!(drawn.contains("<g id=\"g1\" class=\"dw\"><text") && drawn.contains("</g><use href=\"#g1\"/>"), "{drawn}");
    }

    #[test]
    fn a_text_that_is_too_long_is_cut_to_its_width() {
        let width = width_of("twelve chars", Size::Text);
        assert!((width - 12.0 * 0.62 * 2.4).abs() < 1e-9);
        assert_eq!(fitted("twelve chars", Size::Text, width), "twelve chars");
        assert_eq!(fitted("twelve chars and more", Size::Text, width), "twelve char…");
        assert_eq!(fitted("any", Size::Text, 0.0), "…");
    }
}
