//! Labels to be made anew, in words.

use crate::compare::{LabelChange, LabelLine};

/// Names the labels and their number, such as `nameplate CHWP-1` or `cable tags W-CHWP-1-1, 2`.
pub(in crate::report) fn name(change: &LabelChange) -> String {
    let kind = match (change.kind.as_str(), change.quantity.max(1)) {
        ("nameplate", 1) => "nameplate",
        ("nameplate", _) => "nameplates",
        (_, 1) => "cable tag",
        _ => "cable tags",
    };
    let count = if change.quantity > 1 { format!(", {}", change.quantity) } else { String::new() };
    format!("{kind} {}{count}", change.label)
}

/// The texts that differ, before and now, with what a fitter must know at the cable. Where only more are needed, nothing differs.
pub(in crate::report) fn lines(change: &LabelChange) -> [String; 2] {
    if change.what == LabelChange::GONE {
        let bearer = if change.kind == "nameplate" { "device" } else { "cable" };
        return [side(change, |line| &line.old), format!("take it off: no {bearer} bears it any more")];
    }
    let [old, new] = texts(change);
    match &change.cables {
        Some([before, now]) => {
            let bore =
                if change.old_label.is_empty() { String::new() } else { format!(", which bore {} before", change.old_label) };
            let named = |text: String, cable: &str| if text.is_empty() { cable.to_owned() } else { format!("{cable}, {text}") };
            [named(old, before), format!("names another cable: {}{bore}", named(new, now))]
        }
        None => [old, new],
    }
}

fn texts(change: &LabelChange) -> [String; 2] {
    if change.lines.is_empty() && change.quantity == 0 {
        return [String::new(), String::new()];
    }
    if change.lines.is_empty() {
        return [String::new(), "more of the same".to_owned()];
    }
    [side(change, |line| &line.old), side(change, |line| &line.new)]
}

/// One side of what differs; a board or an end that stands in another line already is not repeated.
fn side(change: &LabelChange, of: fn(&LabelLine) -> &String) -> String {
    let mut told: Vec<String> = Vec::new();
    for line in change.lines.iter().filter(|line| !of(line).is_empty()) {
        let text = of(line);
        let repeats = change.lines.iter().any(|other| other.line == "line_2" && of(other).contains(text.as_str()));
        match line.line.as_str() {
            "fed_from" | "end" if repeats => {}
            "fed_from" => told.push(format!("fed from {text}")),
            _ => told.push(text.clone()),
        }
    }
    told.join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_read_as_they_are_ordered() {
        let line = LabelLine { line: "line_2".to_owned(), old: "Fan".to_owned(), new: "Exhaust fan".to_owned() };
        let mut change =
            LabelChange { kind: "nameplate".to_owned(), label: "EF-1".to_owned(), quantity: 1, ..LabelChange::default() };
        assert_eq!(lines(&change)[1], "more of the same");
        change.lines.push(line);
        assert_eq!((name(&change), lines(&change)), ("nameplate EF-1".to_owned(), ["Fan", "Exhaust fan"].map(str::to_owned)));
        (change.kind, change.quantity) = ("cable-tag".to_owned(), 2);
        assert_eq!(name(&change), "cable tags EF-1, 2");
        let line =
            |line: &str, old: &str, new: &str| LabelLine { line: line.to_owned(), old: old.to_owned(), new: new.to_owned() };
        change.lines = vec![line("line_2", "M-1 to F", "M-2 to F"), line("fed_from", "M-1", "M-2"), line("end", "M-1", "M-2")];
        assert_eq!(lines(&change), ["M-1 to F", "M-2 to F"].map(str::to_owned));
        change.lines.remove(0);
        change.lines.remove(1);
        assert_eq!(lines(&change), ["fed from M-1", "fed from M-2"].map(str::to_owned));
    }
}
