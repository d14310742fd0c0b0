//! Rows of a table that are no loads: sections, sums, page marks, footnotes, deleted rows, empty ways.

use super::{Cell, Struck, fold, text};

/// Why a row was not read as a load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SkipReason {
    /// Above the table.
    Title,
    /// Headings.
    Header,
    /// Units below the headings.
    Units,
    /// Names of columns.
    ColumnLetters,
    /// A subtitle between loads.
    Section,
    /// A sum.
    Subtotal,
    /// A note below the table.
    Footnote,
    /// Headings of a further page.
    RepeatedHeader,
    /// A page number or title of a further page.
    PageMark,
    /// Struck out, or marked as deleted.
    Deleted,
    /// A way without equipment.
    Vacant,
}

impl SkipReason {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Title => "title",
            Self::Header => "header",
            Self::Units => "units",
            Self::ColumnLetters => "column-letters",
            Self::Section => "section",
            Self::Subtotal => "subtotal",
            Self::Footnote => "footnote",
            Self::RepeatedHeader => "repeated-header",
            Self::PageMark => "page-mark",
            Self::Deleted => "deleted",
            Self::Vacant => "vacant",
        }
    }
}

/// A row that was not read as a load.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Skipped {
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// Row from 1.
    pub row: u32,
    /// Why.
    pub reason: SkipReason,
}

/// Texts of the filled cells of a row, with their columns.
pub(super) fn filled(row: &[Cell]) -> Vec<(usize, String)> {
    row.iter()
        .enumerate()
        .filter(|(_, cell)| !text::is_blank(&cell.content))
        .map(|(column, cell)| (column, fold::tidy(&text::of(&cell.content))))
        .collect()
}

/// The cells of a row as one key, for telling repeated rows.
pub(super) fn signature(row: &[Cell]) -> String {
    filled(row).iter().map(|(column, text)| format!("{column}:{}|", fold::key(text))).collect()
}

/// Whether all that a row holds is struck through.
pub(super) fn is_struck(row: &[Cell]) -> bool {
    let mut filled = row.iter().filter(|cell| !text::is_blank(&cell.content)).peekable();
    filled.peek().is_some() && filled.all(|cell| cell.struck == Struck::Whole)
}

fn begins_with(text: &str, words: &[&str]) -> bool {
    // Asked of every row: most texts part from every phrase at the first word.
    let Some(first) = fold::first_word(text) else { return false };
    let begins = |phrase: &str| phrase.strip_prefix(first.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '));
    let mut begun = words.iter().filter(|phrase| begins(phrase)).peekable();
    if begun.peek().is_none() {
        return false;
    }
    let own = fold::words(text);
    begun.any(|phrase| {
        let mut own = own.iter();
        phrase.split(' ').all(|word| own.next().is_some_and(|own| own == word))
    })
}

/// `DELETED`, `entfällt`, ...
pub(super) fn says_deleted(text: &str) -> bool {
    begins_with(
        text,
        &[
            "deleted",
            "delete",
            "cancelled",
            "canceled",
            "omitted",
            "void",
            "removed",
            "entfallt",
            "entfallen",
            "geloscht",
            "gestrichen",
            "supprime",
            "supprimee",
            "annule",
            "annulee",
            "eliminado",
            "eliminada",
            "anulado",
            "anulada",
            "suprimido",
            "suprimida",
            "eliminato",
            "eliminata",
            "annullato",
            "annullata",
            "soppresso",
            "excluido",
            "excluida",
            "cancelado",
            "cancelada",
        ],
    )
}

/// A word of sums.
pub(super) fn says_total(text: &str) -> bool {
    begins_with(
        text,
        &[
            "total",
            "totals",
            "sub total",
            "subtotal",
            "subtotals",
            "grand total",
            "sum",
            "summe",
            "zwischensumme",
            "gesamtsumme",
            "gesamt",
            "ubertrag",
            "sous total",
            "soustotal",
            "total general",
            "a reporter",
            "suma",
            "totale",
            "subtotale",
            "riporto",
            "somma",
            "soma",
            "carried forward",
            "brought forward",
            "total geral",
            "parcial",
            "totale generale",
            "suma total",
            "transporte",
        ],
    ) || fold::key(text) == "report"
}

/// `Page 2 of 3`, `Seite 2`, ...
pub(super) fn is_page_mark(text: &str) -> bool {
    let words = fold::words(text);
    let page = ["page", "seite", "pagina", "pag", "sheet", "blatt", "folio", "feuille", "folha", "foglio", "hoja"];
    let number = |word: &String| word.bytes().all(|byte| byte.is_ascii_digit());
    match words.as_slice() {
        [first, second] => page.contains(&first.as_str()) && number(second),
        [first, second, of, last] => {
            page.contains(&first.as_str())
                && number(second)
                && ["of", "von", "sur", "de", "di", "da"].contains(&of.as_str())
                && number(last)
        }
        [first, second, last] => page.contains(&first.as_str()) && number(second) && number(last),
        _ => false,
    }
}

/// `NOTES`, `* see ...`, `1. ...`.
pub(super) fn begins_footnotes(text: &str) -> bool {
    begins_with(
        text,
        &[
            "note",
            "notes",
            "general notes",
            "remark",
            "remarks",
            "legend",
            "footnotes",
            "abbreviations",
            "anmerkung",
            "anmerkungen",
            "hinweis",
            "hinweise",
            "bemerkungen",
            "legende",
            "remarque",
            "remarques",
            "notas",
            "nota",
            "observaciones",
            "observacoes",
            "legenda",
            "leyenda",
            "key notes",
            "keynotes",
            "keyed notes",
        ],
    ) || text.starts_with(['*', '†', '‡'])
}

/// `1. ...` or `(1) ...`.
pub(super) fn is_numbered(text: &str) -> bool {
    let text = text.trim_start_matches('(');
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    (1..=2).contains(&digits)
        && text[digits..].starts_with(['.', ')'])
        && !text[digits + 1..].starts_with(|c: char| c.is_ascii_digit())
}

/// `SPARE`, `RESERVE`.
pub(super) fn says_spare(text: &str) -> bool {
    begins_with(text, &["spare", "reserve", "reserva", "riserva", "equipped spare", "spare equipped", "res"]) && !is_vacant(text)
}

/// `SPACE`, `VACANT`, `NOT USED`.
pub(super) fn is_vacant(text: &str) -> bool {
    begins_with(
        text,
        &[
            "space",
            "vacant",
            "not used",
            "unused",
            "future",
            "blank",
            "frei",
            "leer",
            "leerplatz",
            "reserveplatz",
            "platzreserve",
            "libre",
            "vide",
            "emplacement libre",
            "non utilise",
            "vacante",
            "no utilizado",
            "espacio",
            "libero",
            "vuoto",
            "non utilizzato",
            "spazio",
            "vago",
            "livre",
            "vazio",
            "nao utilizado",
            "espaco",
            "spare space",
        ],
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("Total connected MCC-1", true)]
    #[case("Sub-total Area 100", true)]
    #[case("Zwischensumme", true)]
    #[case("Totaliser pump", false)]
    fn totals(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(says_total(text), expected);
    }

    #[test]
    fn other_marks() {
        assert!(is_page_mark("Page 2 of 2") && is_page_mark("Seite 3/4") && !is_page_mark("Page turner 2"));
        assert!(says_deleted("DELETED - pump") && says_deleted("entfällt") && !says_deleted("Undeleted"));
        assert!(is_numbered("1. Lengths") && is_numbered("(2) x") && !is_numbered("1.1 Pumps") && !is_numbered("P-1"));
        assert!(says_spare("SPARE (equipped)") && !says_spare("Pump (spare)") && is_vacant("SPACE"));
    }
}
