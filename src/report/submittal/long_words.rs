//! Words that no column holds: what shows one, with the table that it stands in, may break words anywhere, and nothing beside it does.

/// Longest word, in characters, that every column of a page holds without breaking it.
const LONGEST_WORD: usize = 40;
/// The class of what may break its words.
const CLASS: &str = "breaks";
/// Elements without an end tag.
const EMPTY: &[&str] = &["br", "hr", "img", "input", "link", "meta", "wbr"];

/// Elements of drawings, whose words never break.
const DRAWN: &[&str] = &["desc", "text", "title", "tspan"];

/// The page with a mark on each element that shows a word which may have to be broken. Ordinary pages have none, so that no tag or name of
/// theirs is broken where a blank could be.
pub(super) fn breakable(page: String) -> String {
    let mut marked: Vec<usize> =
        long_words(&page).into_iter().filter_map(|word| table_around(&page, word).or_else(|| around(&page, word))).collect();
    // What stands around a later word may begin before what stands around an earlier one.
    marked.sort_unstable();
    marked.dedup();
    if marked.is_empty() {
        return page;
    }
    let mut text = String::with_capacity(page.len() + marked.len() * (CLASS.len() + 10));
    let mut done = 0;
    for tag in marked {
        let end = page[tag..].find('>').map_or(page.len(), |end| tag + end);
        // A tag that has a class has one more.
        let (at, words) = match page[tag..end].find(" class=\"") {
            Some(class) => (tag + class + " class=\"".len(), format!("{CLASS} ")),
            None => (end, format!(" class=\"{CLASS}\"")),
        };
        text.push_str(&page[done..at]);
        text.push_str(&words);
        done = at;
    }
    text.push_str(&page[done..]);
    text
}

/// Where the long words begin that a page shows.
fn long_words(page: &str) -> Vec<usize> {
    let from = page.find("<body").unwrap_or(0);
    let shown = page.rsplit_once("<script>").map_or(page, |(body, _)| body);
    // Bytes, as a page of thousands of circuits is long: what parts words is none of a longer character's bytes. Where the last bytes of
    // a stretch part it, no long word begins before them, so most bytes are never looked at.
    let bytes = shown.as_bytes();
    let parts = |byte: &u8| matches!(byte, b' ' | b'\n' | b'-' | b'<' | b'>');
    let is_text = |first: usize| shown[..first].rfind(['<', '>']).is_some_and(|at| shown[at..].starts_with('>'));
    let mut found = Vec::new();
    let mut first = from;
    while let Some(stretch) = bytes.get(first..=first + LONGEST_WORD) {
        if let Some(at) = stretch.iter().rposition(parts) {
            first += at + 1;
            continue;
        }
        let end = bytes.iter().skip(first).position(parts).map_or(bytes.len(), |long| first + long);
        if is_text(first) && shown[first..end].chars().count() > LONGEST_WORD {
            found.push(first);
        }
        first = end + 1;
    }
    found
}

/// Where the tag of the table begins in which a place is: its other columns must give way to the long word.
fn table_around(page: &str, place: usize) -> Option<usize> {
    let table = page[..place].rfind("<table")?;
    (!page[table..place].contains("</table")).then_some(table)
}

/// Where the tag of the element begins that stands around a place. Cells and rows have no end tags: one that is met behind an element which
/// has ended is part of that.
fn around(page: &str, place: usize) -> Option<usize> {
    let mut ended: Vec<&str> = Vec::new();
    let mut before = place;
    loop {
        let tag = page[..before].rfind('<')?;
        before = tag;
        let inside = page[tag + 1..].split('>').next().unwrap_or("");
        let name = inside.trim_start_matches('/').split([' ', '\n', '/']).next().unwrap_or("");
        if inside.starts_with('/') {
            ended.push(name);
        } else if EMPTY.contains(&name) || inside.ends_with('/') {
            continue;
        } else if ended.is_empty() {
            return (!DRAWN.contains(&name)).then_some(tag);
        } else if ended.last() == Some(&name) {
            ended.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_word_is_found_where_it_is_shown_and_nowhere_else() {
        let (fits, long) = ("é".repeat(LONGEST_WORD), "é".repeat(LONGEST_WORD + 1));
        for before in ["", " ", "two words ", "<i class=\"x\">", "a&nbsp;b-", "\n"] {
            for after in ["", " ", "</p> and", "-b", "<br>"] {
                let page = |word: &str| format!("<html><body><p>{before}{word}{after}</p><script>x</script>");
                assert_eq!(long_words(&page(&long)).len(), 1, "{before}|{after}");
                assert!(long_words(&page(&fits)).is_empty(), "{before}|{after}");
            }
        }
        let hidden =
            format!("<title>{long}</title><body><a href=\"{long}\">short</a> <b {long}>words</b><script>{long}</script>");
        assert_eq!(breakable(hidden.clone()), hidden);
    }

    #[test]
    fn only_what_shows_a_long_word_and_its_table_break_it() {
        let long = "x".repeat(LONGEST_WORD + 1);
        let page = format!(
            "<body><table><tr><th class=\"n\">{long}<td>A<td>B<br><b>C</b> {long} {long}<tr><td><a href=\"#\">{long}</a></table><p>D</p>\
             <p><b>{long}</b> {long}</p>"
        );
        let marked = format!(
            "<body><table class=\"breaks\"><tr><th class=\"n\">{long}<td>A<td>B<br><b>C</b> {long} {long}<tr><td>\
             <a href=\"#\">{long}</a></table><p>D</p><p class=\"breaks\"><b class=\"breaks\">{long}</b> {long}</p>"
        );
        assert_eq!(breakable(page), marked);
    }
}
