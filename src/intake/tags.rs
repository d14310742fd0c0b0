//! Expands tags of several machines: `P-101A/B`, `EF-1 thru EF-4`, `FIV-231 to FIV-238`, `P-1, P-2 & P-5`.

use super::{duty, tag_counts};

/// Most machines that one row may stand for.
const MOST: u64 = 200;
/// Longest plain tag that is read without a further look, in bytes.
const MOST_PLAIN: usize = 64;

/// Tags that were read.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Tags {
    /// Expanded; one or more.
    Read(Vec<String>),
    /// It looks like a list, but which tags it lists is not clear: one tag as it stands.
    Unclear(String),
    /// A range that can't be expanded, and why.
    BadRange(String),
}

/// Expands the text of a tag cell.
pub(super) fn expand(text: &str) -> Tags {
    // `01 t/m 08` is a range, whose bar parts no tags.
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ").replace(" t/m ", " to ");
    if text.starts_with(['=', '+']) {
        return designations(text);
    }
    if let Some((count, bare)) = tag_counts::beside(&text) {
        // `P-101A/B (2)` says the number of the tags once more; elsewhere nobody knows what it counts.
        return match expand(bare) {
            Tags::Read(tags) if tags.len() > 1 && tags.len() == count as usize => Tags::Read(tags),
            _ => Tags::Read(vec![text]),
        };
    }
    // Brackets of either kind, and what stands in them about duty: `P-1701[A-B]`, `P-202A/B (duty/standby)`.
    let round = text.replace('[', "(").replace(']', ")");
    let bare = without_duty(&round);
    let one = |tags: &[String]| tags.len() < 2;
    match list(bare) {
        // Which machines run and stand by there is not clear.
        Tags::Read(tags) if one(&tags) && bare.len() < round.len() => Tags::Unclear(text),
        // A name keeps its brackets.
        Tags::Read(tags) if one(&tags) && round != text => Tags::Read(vec![text.trim_matches([' ', ',', ';', '&']).to_owned()]),
        Tags::Unclear(_) => Tags::Unclear(text),
        read => read,
    }
}

/// Expands a list of tags or a range of them, in round brackets where it has any.
fn list(text: &str) -> Tags {
    // `P-201 A/B/C (2+1)` says once more how many there are.
    if let Some((bare, count)) = summed(text) {
        return match expand(bare) {
            Tags::Read(tags) if tags.len() == count => Tags::Read(tags),
            _ => Tags::Unclear(text.to_owned()),
        };
    }
    let text = unbracketed(text).unwrap_or_else(|| text.to_owned());
    let spaced = listed(&text);
    let parts: Vec<&str> = spaced.split([',', ';', '&']).map(str::trim).filter(|part| !part.is_empty()).collect();
    let letter = |part: &&str| part.len() == 1 && part.bytes().all(|byte| byte.is_ascii_uppercase());
    let followed = parts.iter().skip(1).any(letter);
    if parts.len() > 1 && !parts.iter().enumerate().all(|(at, part)| has_digit(part) || (at > 0 && letter(part))) {
        return Tags::Unclear(text);
    }
    let mut tags: Vec<String> = Vec::new();
    for part in &parts {
        // `P-203A & P-203B standby`
        let bare = part.rsplit_once(' ').filter(|(tag, word)| parts.len() > 1 && has_digit(tag) && says_duty(word));
        let part = bare.map_or(*part, |(tag, _)| tag);
        // `P-108 A & B`: the first letter stands apart like the others.
        let close = if followed { close_up(part) } else { part.to_owned() };
        match expand_part(&close, tags.last().map(String::as_str)) {
            Tags::Read(more) => tags.extend(more),
            Tags::Unclear(_) => return Tags::Unclear(text),
            bad @ Tags::BadRange(_) => return bad,
        }
        if tags.len() as u64 > MOST {
            return Tags::BadRange(format!("it names more than {MOST} machines"));
        }
    }
    if tags.is_empty() { Tags::Unclear(text) } else { Tags::Read(tags) }
}

/// A designation such as `=A1+M01` names one thing; `=L4+NAS-M1..M6` and `=L4+RAF-M1/M2` name several, where the shortened end repeats
/// the last letters (IEC 81346-1, designations of several objects in one text are customary and not of the standard).
fn designations(text: String) -> Tags {
    let read = match range_ends(&text) {
        Some((first, last)) => range(first, last),
        None if text.contains('/') => slashed(&text),
        None => Tags::Unclear(String::new()),
    };
    // `=A1-M1/2` may say on which page of the diagrams it stands.
    let repeats = |tags: &[String]| tags.iter().all(|tag| tag.starts_with(['=', '+'])) && !ends_with_a_number_alone(&text);
    match read {
        Tags::Read(tags) if repeats(&tags) => Tags::Read(tags),
        _ => Tags::Read(vec![text]),
    }
}

/// `/2` behind a designation.
fn ends_with_a_number_alone(text: &str) -> bool {
    text.rsplit_once('/').is_some_and(|(_, end)| end.bytes().all(|byte| byte.is_ascii_digit()))
}

/// Whether a tag holds nothing that could part it or make it a range, as most tags: it stands for itself.
pub(super) fn is_plain(text: &str) -> bool {
    !text.is_empty()
        && text.bytes().all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_'))
        && lettered(text).is_none()
        && whole_ends(text).is_none()
}

/// Whether a tag is plain and numbered, as most are, and of usual length: no word that says something else, no mark beside it.
pub(super) fn says_itself(text: &str) -> bool {
    text.len() <= MOST_PLAIN && has_digit(text) && is_plain(text)
}

/// Words and marks between two tags of a list, in six languages.
const AND: [&str; 8] = [" and ", " und ", " u. ", " et ", " y ", " e ", " ed ", " + "];

/// A list with one mark between its tags: `P-105 + P-106`, `P-301 AND 302`, `P-108 A u. B`.
fn listed(text: &str) -> String {
    let mut list = text.to_owned();
    for word in AND {
        while let Some(at) = list.to_ascii_lowercase().find(word) {
            let (front, back) = (list.get(..at).unwrap_or_default(), list.get(at + word.len()..).unwrap_or_default());
            let next = back.split([',', ';', '&']).next().unwrap_or_default().trim();
            let letter = next.len() == 1 && next.bytes().all(|byte| byte.is_ascii_uppercase());
            if !has_digit(front) || !(has_digit(next) || letter) {
                break;
            }
            list = format!("{front}, {back}");
        }
    }
    // No tag follows, as in `P-7 and standby`: which machines are meant is not clear.
    list.replace(" and ", " & ")
}

/// A sum of two counts in brackets behind tags, such as duty and standby: the text before it, and the sum.
fn summed(text: &str) -> Option<(&str, usize)> {
    let (front, inside) = text.strip_suffix(')')?.rsplit_once('(')?;
    let (one, other) = inside.split_once('+')?;
    let count = |text: &str| text.trim().parse::<usize>().ok().filter(|count| *count < 100);
    Some((front.trim_end(), count(one)? + count(other)?)).filter(|_| has_digit(front))
}

/// A text without the pair of words about duty and standby in brackets behind it. One word alone says what its own column should, and
/// stays.
fn without_duty(text: &str) -> &str {
    let words = |inside: &str| {
        let mut words = inside.split(['/', '+', ',', '&', ' ']).filter(|word| !word.is_empty());
        words.clone().count() > 1 && words.all(says_duty)
    };
    let bare = text.strip_suffix(')').and_then(|text| text.rsplit_once('(')).filter(|(_, inside)| words(inside));
    bare.map_or(text, |(front, _)| front.trim_end())
}

/// Whether a word says that a machine runs or stands by.
fn says_duty(word: &str) -> bool {
    word.len() > 2 && matches!(duty::running(word), duty::Duty::Running(_))
}

/// `P-101 (A/B)` as `P-101A/B`, `P-101 (A to D)` as `P-101A to D`.
fn unbracketed(text: &str) -> Option<String> {
    let (front, inside) = text.strip_suffix(')')?.rsplit_once('(')?;
    let front = front.trim_end();
    let pieces = || inside.split(['/', ',', '+']).map(str::trim);
    let short = |piece: &str| (1..=2).contains(&piece.len()) && piece.bytes().all(|byte| byte.is_ascii_alphanumeric());
    if has_digit(front) && pieces().count() > 1 && pieces().all(short) {
        return Some(format!("{front}{}", pieces().collect::<Vec<_>>().join("/")));
    }
    let lower = inside.to_ascii_lowercase();
    let ends =
        [" to ", " thru ", "-"].iter().find_map(|word| lower.find(word).map(|at| (&inside[..at], &inside[at + word.len()..])));
    if let Some((first, last)) = ends.map(|(first, last)| (first.trim(), last.trim()))
        && has_digit(front)
        && [first, last].iter().all(|end| end.len() == 1 && end.bytes().all(|byte| byte.is_ascii_alphabetic()))
    {
        return Some(format!("{front}{first} to {last}"));
    }
    None
}

/// Whether a text that was read as one tag may have been meant as several.
pub(super) fn looks_like_several(text: &str) -> bool {
    // Nearly every tag parts here.
    if !text
        .bytes()
        .any(|byte| matches!(byte, b',' | b';' | b'&' | b'+' | b'/' | b'|' | b' ' | b':' | b'-' | b'[' | b'.' | b'~' | 0x80..))
    {
        return false;
    }
    if text.starts_with(['=', '+', '-'])
        && (["…", "..", "~"].iter().any(|mark| text.contains(mark)) || ends_with_a_number_alone(text))
    {
        return true;
    }
    let piece = |piece: &str| !piece.trim().is_empty() && piece.trim().bytes().all(|byte| byte.is_ascii_alphabetic());
    let short = |piece: &str| {
        let piece = piece.trim();
        (1..=3).contains(&piece.len())
            && (piece.bytes().all(|byte| byte.is_ascii_digit()) || piece.bytes().all(|byte| byte.is_ascii_alphabetic()))
    };
    text.contains([',', ';', '&'])
        || says_several(text)
        || names_two_alike(text)
        || without_duty(&text.replace('[', "(").replace(']', ")")).len() < text.len()
        || parts_by_stroke(text)
        || text
            .split_once('+')
            .is_some_and(|(first, rest)| has_digit(first) && !first.starts_with('=') && rest.split('+').all(short))
        || text.split_once('/').is_some_and(|(first, rest)| has_digit(first) && rest.split('/').all(piece))
}

/// Two words that are numbered tags of one kind, whatever stands between them: `P-1201 ~> P-1204`.
fn names_two_alike(text: &str) -> bool {
    let kind = |word: &str| {
        let (prefix, number) = split_digits(word);
        let letters = prefix.bytes().filter(u8::is_ascii_alphabetic).count();
        (letters > 0 && !number.is_empty()).then(|| prefix.to_ascii_uppercase())
    };
    let kinds: Vec<String> = text.split([' ', '(', ')', '[', ']', '→', '>']).filter_map(kind).collect();
    kinds.iter().enumerate().any(|(at, one)| kinds[at + 1..].contains(one))
}

/// Strokes between what are tags or parts of tags of their own: `MCC-1/P-1`, `EF-1A/1B`, `P-901 A|B`.
fn parts_by_stroke(text: &str) -> bool {
    let pieces: Vec<&str> = text.split(['/', '|']).map(str::trim).collect();
    let numbered = |piece: &&str| has_digit(piece) && piece.bytes().any(|byte| byte.is_ascii_alphabetic());
    let letter = |piece: &&str| piece.len() == 1 && piece.bytes().all(|byte| byte.is_ascii_alphabetic());
    let plain = !text.starts_with(['=', '+', '-']);
    plain && pieces.len() > 1 && has_digit(pieces[0]) && pieces[1..].iter().all(|piece| numbered(piece) || letter(piece))
}

/// Words and marks of several machines: `TYP. 4`, `P-108 A u. B`, `EF-3 A-C`, `P-701 (A TO D)`, `M51–M54`.
fn says_several(text: &str) -> bool {
    let lower = text.to_lowercase();
    let typical = lower.split(|letter: char| !letter.is_alphanumeric()).any(|word| word == "typ" || word == "typical");
    let letters = |front: &str, back: &str| {
        let last = front.trim_end().rsplit([' ', '(']).next().unwrap_or_default();
        let next = back.trim_start().split([' ', ')']).next().unwrap_or_default();
        let one = |text: &str| text.len() == 1 && text.bytes().all(|byte| byte.is_ascii_lowercase());
        one(next) && (one(last) || last.ends_with(|letter: char| letter.is_ascii_lowercase()) && has_digit(last))
    };
    let words = [" und ", " u. ", " et ", " y ", " e ", " and ", " to ", " al ", " a ", " bis ", "-", "–", "÷"];
    let joined =
        words.iter().any(|word| lower.rsplit_once(word).is_some_and(|(front, back)| has_digit(front) && letters(front, back)))
            && lettered(text).is_none();
    let spaced = text.contains(' ') || !text.contains('-');
    typical || (joined && spaced && !text.starts_with('='))
}

fn expand_part(part: &str, previous: Option<&str>) -> Tags {
    if let Some((first, last)) = range_ends(part) {
        return range(first, last);
    }
    if part.contains('/') {
        return slashed(part);
    }
    // `EF-3 A-C`: the letters stand apart from the number.
    let close = part.rsplit_once('-').map(|(first, last)| format!("{}-{last}", close_up(first)));
    if let Some((first, last)) = lettered(close.as_deref().unwrap_or(part)) {
        return letters(first, last);
    }
    // `P-101, 102`: a bare number goes on from the tag before it.
    if let Some(previous) = previous
        && (part.bytes().all(|byte| byte.is_ascii_digit()) || part.len() == 1)
    {
        return continued(previous, part).map_or_else(|| Tags::Unclear(part.to_owned()), |tag| Tags::Read(vec![tag]));
    }
    Tags::Read(vec![part.to_owned()])
}

/// Both ends of a range, if the part is one.
fn range_ends(part: &str) -> Option<(&str, &str)> {
    if let Some(ends) = whole_ends(part) {
        return Some(ends);
    }
    // Each of the words below holds one of these.
    if !part.contains([' ', '…', '.', '~', '→']) {
        return None;
    }
    let lower = part.to_ascii_lowercase();
    if let Some(ends) = ends_by_article(part, &lower) {
        return Some(ends);
    }
    const WORDS: [&str; 18] = [
        " up to ",
        " thru ",
        " through ",
        " to ",
        " bis ",
        " à ",
        " al ",
        " até ",
        " ate ",
        " hasta ",
        " au ",
        " - ",
        " – ",
        "…",
        "...",
        "..",
        "~",
        "→",
    ];
    for word in WORDS {
        if let Some(at) = lower.find(word) {
            let (first, last) = (part.get(..at)?.trim(), part.get(at + word.len()..)?.trim());
            let both = has_digit(first) && !last.is_empty() && (has_digit(last) || last.len() == 1);
            return both.then_some((first, last));
        }
    }
    None
}

/// `P-1201 a P-1204`, Spanish and Portuguese: the word may be an article or a letter elsewhere, so both ends are whole tags of one prefix.
fn ends_by_article<'t>(part: &'t str, lower: &str) -> Option<(&'t str, &'t str)> {
    let at = lower.find(" a ")?;
    let (first, last) = (part.get(..at)?.trim(), part.get(at + " a ".len()..)?.trim());
    let ((prefix, from), (other, to)) = (split_digits(first), split_digits(last));
    let ascends = from.parse::<u64>().ok()? < to.parse::<u64>().ok()?;
    (ascends && !prefix.is_empty() && prefix.eq_ignore_ascii_case(other)).then_some((first, last))
}

/// `M1-M4`, `M51–M54`, `M61:M64`: two whole tags of one prefix, the lower number first. `MCC-1-P-2` is one tag.
pub(super) fn whole_ends(part: &str) -> Option<(&str, &str)> {
    part.char_indices().filter(|(_, letter)| matches!(letter, '-' | '–' | ':' | '÷')).find_map(|(at, letter)| {
        let (first, last) = (part.get(..at)?.trim(), part.get(at + letter.len_utf8()..)?.trim());
        let ((prefix, from), (other, to)) = (split_digits(first), split_digits(last));
        let named = !prefix.is_empty() && prefix.bytes().all(|byte| byte.is_ascii_alphabetic() || byte == b'-');
        let ascends = from.parse::<u64>().ok()? < to.parse::<u64>().ok()?;
        (named && prefix.starts_with(|first: char| first.is_ascii_alphabetic()) && prefix == other && ascends)
            .then_some((first, last))
    })
}

/// `P-101A-C`: a letter, a hyphen and a later letter close by.
fn lettered(part: &str) -> Option<(&str, &str)> {
    let (first, last) = part.rsplit_once('-')?;
    let (from, to) = (first.bytes().last()?, last.bytes().next()?);
    let numbered = first.len() > 1 && first.as_bytes()[first.len() - 2].is_ascii_digit();
    (last.len() == 1 && numbered && from.is_ascii_uppercase() && to.is_ascii_uppercase() && from < to && to - from < 8)
        .then_some((first, last))
}

fn range(first: &str, last: &str) -> Tags {
    let (prefix, start) = split_digits(first);
    let (last_prefix, end) = split_digits(last);
    if !start.is_empty() && !end.is_empty() {
        let same = last_prefix.is_empty() || last_prefix.eq_ignore_ascii_case(prefix);
        if !(same || repeats_letters(prefix, last_prefix) || repeats_number(prefix, last_prefix)) {
            return Tags::BadRange(format!("its ends `{first}` and `{last}` begin differently"));
        }
        let (Ok(from), Ok(to)) = (start.parse::<u64>(), end.parse::<u64>()) else {
            return Tags::BadRange("its numbers are too long".to_owned());
        };
        if to < from || to - from >= MOST {
            return Tags::BadRange(format!("it runs from {from} to {to}"));
        }
        let width = start.len();
        return Tags::Read((from..=to).map(|number| format!("{prefix}{number:0width$}")).collect());
    }
    letters(first, last)
}

/// `M` behind `NAS-M`: the last letters before the number, which are not all that stands before it, with or without the mark before them.
fn repeats_letters(prefix: &str, shortened: &str) -> bool {
    let bare = shortened.strip_prefix('-').unwrap_or(shortened);
    let last = prefix.trim_end_matches(|letter: char| letter.is_ascii_alphabetic());
    !bare.is_empty() && !last.is_empty() && prefix[last.len()..].eq_ignore_ascii_case(bare)
}

/// `3-` behind `FCU 3-`: the last number before that of the tag, whole, with the mark behind it.
fn repeats_number(prefix: &str, shortened: &str) -> bool {
    let numbered = shortened.starts_with(|first: char| first.is_ascii_digit());
    let before = prefix.strip_suffix(shortened).filter(|_| numbered);
    before.is_some_and(|before| before.ends_with(|last: char| !last.is_ascii_digit()))
}

/// `P-101A to D` and `P-101A to P-101D`.
fn letters(first: &str, last: &str) -> Tags {
    let unclear = || Tags::BadRange(format!("from `{first}` to `{last}` is no run of numbers or letters"));
    let (Some(from), Some(to)) = (first.chars().last(), last.chars().last()) else { return unclear() };
    let stem = &first[..first.len() - from.len_utf8()];
    let last_stem = &last[..last.len() - to.len_utf8()];
    let same_case =
        (from.is_ascii_uppercase() && to.is_ascii_uppercase()) || (from.is_ascii_lowercase() && to.is_ascii_lowercase());
    if !same_case || from > to || !(last_stem.is_empty() || last_stem.eq_ignore_ascii_case(stem)) {
        return unclear();
    }
    Tags::Read((from..=to).map(|letter| format!("{stem}{letter}")).collect())
}

fn slashed(part: &str) -> Tags {
    let pieces: Vec<&str> = part.split('/').map(str::trim).collect();
    let close = close_up(pieces[0]);
    let first = close.as_str();
    // `A/C-1` is the tag of one air conditioner: nothing before the stroke is numbered.
    if !has_digit(first) {
        return Tags::Read(vec![part.to_owned()]);
    }
    let mut tags = vec![first.to_owned()];
    for piece in &pieces[1..] {
        match continued(first, piece) {
            Some(tag) => tags.push(tag),
            None => return Tags::Unclear(part.to_owned()),
        }
    }
    Tags::Read(tags)
}

/// The tag that a short piece stands for, after a first tag: its last letters or digits give way to the piece.
fn continued(first: &str, piece: &str) -> Option<String> {
    let (stem, digits) = split_digits(first);
    if piece.is_empty() {
        return None;
    }
    if piece.bytes().all(|byte| byte.is_ascii_digit()) {
        let keep = digits.len().checked_sub(piece.len()).filter(|_| !digits.is_empty())?;
        return Some(format!("{stem}{}{piece}", &digits[..keep]));
    }
    if piece.bytes().all(|byte| byte.is_ascii_alphabetic()) {
        let letters = first.bytes().rev().take_while(u8::is_ascii_alphabetic).count();
        return (letters == piece.len()).then(|| format!("{}{piece}", &first[..first.len() - letters]));
    }
    // `EF-1A/1B`: figures and a letter in the place of as many.
    if let Some(tag) = digits_and_letter(first, piece) {
        return Some(tag);
    }
    // `NAS-M1/M2`: the last letters and another number.
    let (letters, number) = split_digits(piece);
    if !number.is_empty() && !digits.is_empty() && repeats_letters(stem, letters) {
        let kept = stem.trim_end_matches(|letter: char| letter.is_ascii_alphabetic());
        return Some(format!("{kept}{}{number}", letters.trim_start_matches('-')));
    }
    // A whole tag of its own, such as `P-101/P-102`; in `MCC-1/P-1` the first is rather the board of the second.
    let letters =
        |tag: &str| tag.bytes().take_while(u8::is_ascii_alphabetic).map(|byte| byte.to_ascii_uppercase()).collect::<Vec<u8>>();
    let whole = piece.starts_with(|c: char| c.is_ascii_alphabetic()) && has_digit(piece);
    (whole && letters(first) == letters(piece)).then(|| piece.to_owned())
}

/// `EF-1B` for `1B` behind `EF-1A`.
fn digits_and_letter(first: &str, piece: &str) -> Option<String> {
    let parted = |text: &str| {
        let letter = text.bytes().next_back().filter(u8::is_ascii_alphabetic)?;
        let (stem, digits) = split_digits(text.get(..text.len() - 1)?);
        (!digits.is_empty()).then(|| (stem.to_owned(), digits.to_owned(), char::from(letter)))
    };
    let ((stem, digits, _), (none, number, letter)) = (parted(first)?, parted(piece)?);
    (none.is_empty() && digits.len() == number.len()).then(|| format!("{stem}{number}{letter}"))
}

/// `P-101 A` as `P-101A`, where further machines follow.
fn close_up(first: &str) -> String {
    match first.rsplit_once(' ') {
        Some((stem, letter)) if letter.len() == 1 && letter.bytes().all(|byte| byte.is_ascii_alphabetic()) && has_digit(stem) => {
            format!("{stem}{letter}")
        }
        _ => first.to_owned(),
    }
}

fn has_digit(text: &str) -> bool {
    text.bytes().any(|byte| byte.is_ascii_digit())
}

/// The text before its last digits, and those digits.
fn split_digits(text: &str) -> (&str, &str) {
    let digits = text.bytes().rev().take_while(u8::is_ascii_digit).count();
    text.split_at(text.len() - digits)
}

#[cfg(test)]
mod tests;
