//! Palette and formats of the workbook, made once. A state is told by sign, word and shade; colour only repeats it.

use rust_xlsxwriter::{Format, FormatAlign, FormatBorder};

use super::columns::{Align, Decimals};
use crate::finding::Severity;

pub(super) const INK: u32 = 0x18_21_26;
pub(super) const SECOND_INK: u32 = 0x47_54_5B;
pub(super) const BLUE: u32 = 0x12_4E_60;
pub(super) const RULE: u32 = 0x7D_8A_91;
pub(super) const HAIR: u32 = 0xCD_D4_D8;
pub(super) const OURS: u32 = 0xF1_F4_F5;
const ERROR: u32 = 0xF6_DF_D6;
const WARNING: u32 = 0xFB_F1_D8;
const NOTE: u32 = 0xE8_F0_F3;

/// Sign of a severity.
pub(super) fn sign(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "■",
        Severity::Warning => "▲",
        Severity::Note => "○",
    }
}

fn tint(severity: Severity) -> u32 {
    match severity {
        Severity::Error => ERROR,
        Severity::Warning => WARNING,
        Severity::Note => NOTE,
    }
}

/// One format a severity.
pub(super) struct BySeverity([Format; 3]);

impl BySeverity {
    fn new(make: impl Fn(Severity) -> Format) -> Self {
        Self([make(Severity::Error), make(Severity::Warning), make(Severity::Note)])
    }

    pub(super) fn get(&self, severity: Severity) -> &Format {
        &self.0[severity as usize]
    }
}

/// All formats.
pub(super) struct Styles {
    pub(super) title: Format,
    pub(super) small: Format,
    pub(super) band: Format,
    pub(super) sent_head: Format,
    pub(super) sent: Format,
    pub(super) sent_section: Format,
    pub(super) sent_wrapped: Format,
    /// Numbers with so many decimals and one.
    pub(super) sent_decimals: [Format; 6],
    pub(super) sent_date: Format,
    pub(super) sent_moment: Format,
    pub(super) sent_time: Format,
    pub(super) head: Format,
    pub(super) head_right: Format,
    pub(super) head_edge: Format,
    pub(super) head_edge_right: Format,
    pub(super) head_first: Format,
    pub(super) head_group: Format,
    pub(super) head_words: Format,
    pub(super) flagged: BySeverity,
    pub(super) flagged_date: BySeverity,
    pub(super) state: BySeverity,
    pub(super) state_good: Format,
    pub(super) severity: BySeverity,
    pub(super) failed: Format,
    pub(super) passed: Format,
    pub(super) unchecked: Format,
    pub(super) label: Format,
    pub(super) section: Format,
    pub(super) wrapped: Format,
    pub(super) link: Format,
    pub(super) block: Format,
    pub(super) block_edge: Format,
    pub(super) hair: Format,
    pub(super) hair_edge: Format,
    pub(super) new_tag: Format,
    pub(super) same_tag: Format,
    pub(super) same_tag_words: Format,
}

impl Styles {
    pub(super) fn new() -> Self {
        let base = || Format::new().set_font_color(INK).set_align(FormatAlign::VerticalCenter);
        let head = || base().set_bold().set_text_wrap().set_align(FormatAlign::Bottom).set_border_bottom(FormatBorder::Medium);
        let ours = || head().set_background_color(OURS);
        let right = |format: Format| format.set_align(FormatAlign::Right).set_indent(1);
        let left = |format: Format| format.set_align(FormatAlign::Left).set_indent(1);
        let edge = |format: Format| format.set_border_left(FormatBorder::Thin).set_border_left_color(RULE);
        let framed = |severity| base().set_background_color(tint(severity)).set_border(FormatBorder::Thin).set_border_color(RULE);
        let marked = |severity| {
            let sign = sign(severity);
            framed(severity).set_num_format(format!("\"{sign} \"General;\"{sign} \"-General;\"{sign} \"0;\"{sign} \"@"))
        };
        Self {
            title: base().set_bold().set_font_size(16),
            small: base().set_font_color(SECOND_INK).set_font_size(9),
            band: base().set_bold().set_font_size(10),
            sent_head: head(),
            sent: base(),
            sent_section: base().set_bold(),
            sent_wrapped: base().set_text_wrap(),
            sent_decimals: std::array::from_fn(|more| base().set_num_format(decimals(more + 1))),
            sent_date: base().set_num_format("yyyy-mm-dd"),
            sent_moment: base().set_num_format("yyyy-mm-dd hh:mm"),
            sent_time: base().set_num_format("hh:mm"),
            head: left(ours()),
            head_right: right(ours()),
            head_edge: left(edge(ours())),
            head_edge_right: right(edge(ours())),
            head_first: left(ours()).set_border_left(FormatBorder::Medium),
            head_group: Format::new().set_font_color(BLUE),
            head_words: Format::new().set_bold().set_font_color(INK),
            flagged: BySeverity::new(marked),
            flagged_date: BySeverity::new(|severity| {
                framed(severity).set_num_format(format!("\"{} \"yyyy-mm-dd", sign(severity)))
            }),
            state: BySeverity::new(|severity| {
                left(base())
                    .set_bold()
                    .set_background_color(tint(severity))
                    .set_border_left(FormatBorder::Medium)
                    .set_num_format(format!("\"{} \"@", sign(severity)))
            }),
            state_good: left(base()).set_bold().set_border_left(FormatBorder::Medium).set_num_format("\"✓ \"@"),
            severity: BySeverity::new(|severity| {
                left(base())
                    .set_bold()
                    .set_background_color(tint(severity))
                    .set_num_format(format!("\"{} \"@", sign(severity)))
                    .set_align(FormatAlign::Top)
            }),
            failed: left(base()).set_align(FormatAlign::Top).set_bold().set_background_color(ERROR).set_num_format("\"✗ \"@"),
            passed: left(base()).set_align(FormatAlign::Top).set_num_format("\"✓ \"@"),
            unchecked: left(base())
                .set_align(FormatAlign::Top)
                .set_bold()
                .set_background_color(WARNING)
                .set_num_format("\"– \"@"),
            label: left(base()).set_bold().set_align(FormatAlign::Top),
            section: base().set_bold().set_font_size(12).set_border_bottom(FormatBorder::Thin).set_border_bottom_color(RULE),
            wrapped: left(base()).set_text_wrap().set_align(FormatAlign::Top),
            link: Format::new()
                .set_font_color(BLUE)
                .set_underline(rust_xlsxwriter::FormatUnderline::Single)
                .set_align(FormatAlign::Left)
                .set_indent(1)
                .set_align(FormatAlign::Top),
            block: Format::new().set_background_color(OURS),
            block_edge: left(edge(base().set_bold().set_font_color(BLUE).set_background_color(OURS))),
            hair: Format::new().set_border_bottom(FormatBorder::Thin).set_border_bottom_color(HAIR),
            hair_edge: Format::new()
                .set_border_bottom(FormatBorder::Thin)
                .set_border_bottom_color(HAIR)
                .set_border_left(FormatBorder::Thin)
                .set_border_left_color(RULE),
            new_tag: Format::new().set_border_top(FormatBorder::Thin).set_border_top_color(INK),
            same_tag: Format::new().set_border_top(FormatBorder::Thin).set_border_top_color(HAIR),
            same_tag_words: Format::new()
                .set_font_color(SECOND_INK)
                .set_border_top(FormatBorder::Thin)
                .set_border_top_color(HAIR),
        }
    }
}

/// The format of cells that lead somewhere.
pub(super) fn leading(format: Format) -> Format {
    format.set_font_color(BLUE).set_underline(rust_xlsxwriter::FormatUnderline::Single)
}

/// Number format with so many decimals.
pub(super) fn decimals(count: usize) -> String {
    format!("0.{}", "0".repeat(count))
}

/// Number format of a column: decimals that always stand as `0`, further ones as `?`, which keeps their place.
pub(super) fn number_format(decimals: Decimals) -> String {
    let mut format = "0".to_owned();
    if decimals.fixed + decimals.further > 0 {
        format.push('.');
    }
    format.extend(std::iter::repeat_n('0', usize::from(decimals.fixed)));
    // A lone decimal point would stay where only further decimals exist, so those use General there.
    if decimals.fixed == 0 && decimals.further > 0 {
        return "General".to_owned();
    }
    format.extend(std::iter::repeat_n('?', usize::from(decimals.further)));
    format
}

/// Where the words of a column stand.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Rows {
    /// Rows of one line.
    Single,
    /// Rows of several lines; this column wraps if it is wide.
    Tall(bool),
}

/// Format of a whole column.
pub(super) fn column(align: Align, decimals: Option<Decimals>, rows: Rows) -> Format {
    let mut format = Format::new().set_font_color(INK).set_indent(1);
    format = format.set_align(if align == Align::Right { FormatAlign::Right } else { FormatAlign::Left });
    format = format.set_align(if rows == Rows::Single { FormatAlign::VerticalCenter } else { FormatAlign::Top });
    if let Some(decimals) = decimals {
        format = format.set_num_format(number_format(decimals));
    }
    if rows == Rows::Tall(true) { format.set_text_wrap() } else { format }
}
