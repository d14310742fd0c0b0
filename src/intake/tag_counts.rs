//! Counts of machines that stand beside a tag: `AHU-2 (2)`, `P-5 x2`, `2x P-6`, `P-9 - 2 off`.

const TIMES: [char; 3] = ['x', 'X', '×'];

/// The count and the tag without it. A lone 1 counts nothing; in brackets it is rather the number of a note.
pub(super) fn beside(text: &str) -> Option<(u32, &str)> {
    // Nearly every tag parts here.
    if !text.bytes().any(|byte| matches!(byte, b' ' | b'(' | b'x' | 0x80..)) {
        return None;
    }
    let text = text.trim();
    in_brackets(text).or_else(|| behind(text)).or_else(|| close_by(text)).or_else(|| in_front(text))
}

fn several(digits: &str) -> Option<u32> {
    digits.parse().ok().filter(|count| (2..=200).contains(count))
}

fn is_word(word: &str) -> bool {
    let word = word.trim().trim_end_matches('.');
    ["off", "no", "nos", "stk", "pcs", "pc", "units", "ea"].iter().any(|unit| word.eq_ignore_ascii_case(unit))
}

/// `2`, `x2`, `2x`, `2 off`.
fn counted(part: &str) -> Option<u32> {
    let part = part.trim().trim_matches(TIMES).trim();
    let end = part.bytes().take_while(u8::is_ascii_digit).count();
    let (digits, rest) = part.split_at(end);
    several(digits).filter(|_| rest.is_empty() || is_word(rest))
}

fn is_tag(text: &str) -> bool {
    text.bytes().any(|byte| byte.is_ascii_digit()) && text.bytes().any(|byte| byte.is_ascii_alphabetic())
}

fn in_brackets(text: &str) -> Option<(u32, &str)> {
    let (tag, inside) = text.strip_suffix(')')?.rsplit_once('(')?;
    let tag = tag.trim_end();
    counted(inside).filter(|_| is_tag(tag)).map(|count| (count, tag))
}

/// The last word or two, if they hold a mark of counting.
fn behind(text: &str) -> Option<(u32, &str)> {
    let cuts = text.match_indices(' ').map(|(at, _)| at).collect::<Vec<_>>();
    cuts.into_iter().rev().take(2).find_map(|at| {
        let (tag, back) = text.split_at(at);
        let tag = tag.trim_end_matches([' ', '-', '–', ',']);
        let marked = back.contains(TIMES) || is_word(back.trim().trim_start_matches(|letter: char| letter.is_ascii_digit()));
        counted(back).filter(|_| marked && is_tag(tag)).map(|count| (count, tag))
    })
}

/// `P-10x2`: a small x between figures.
fn close_by(text: &str) -> Option<(u32, &str)> {
    let (tag, back) = text.rsplit_once(['x', '×'])?;
    let numbered = tag.ends_with(|letter: char| letter.is_ascii_digit());
    several(back).filter(|_| numbered && is_tag(tag)).map(|count| (count, tag))
}

fn in_front(text: &str) -> Option<(u32, &str)> {
    let (first, rest) = text.split_once(' ')?;
    let rest = rest.trim_start();
    let bracketed = first.strip_prefix('(').and_then(|inside| inside.strip_suffix(')'));
    if let Some(count) = bracketed.or_else(|| first.strip_suffix(TIMES)).and_then(counted) {
        return is_tag(rest).then_some((count, rest));
    }
    let (second, tag) = rest.split_once(' ')?;
    let marked = is_word(second) || second.chars().all(|letter| TIMES.contains(&letter));
    several(first).filter(|_| marked && is_tag(tag)).map(|count| (count, tag))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("AHU-2 (2)", Some((2, "AHU-2")))]
    #[case("P-5 x2", Some((2, "P-5")))]
    #[case("P-5 x 2", Some((2, "P-5")))]
    #[case("P-7 (x3)", Some((3, "P-7")))]
    #[case("P-9 - 2 off", Some((2, "P-9")))]
    #[case("P-9 (2 No.)", Some((2, "P-9")))]
    #[case("2x P-6", Some((2, "P-6")))]
    #[case("2 x P-6", Some((2, "P-6")))]
    #[case("(2) P-6", Some((2, "P-6")))]
    #[case("P-10x2", Some((2, "P-10")))]
    #[case("P-10X2", None)]
    #[case("P-8 (spare)", None)]
    #[case("P-1 (1)", None)]
    #[case("P-101 2", None)]
    #[case("AHU 12", None)]
    #[case("Box2", None)]
    fn a_count_beside_a_tag_is_told_from_the_tag(#[case] text: &str, #[case] expected: Option<(u32, &str)>) {
        assert_eq!(beside(text), expected);
    }
}
