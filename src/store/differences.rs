//! Where two versions of one thing differ, in the words of the file: to be shown side by side.

use crate::lesson::edit::Edit;
use crate::store::ron_file::options;

/// The longest value that is shown, in characters.
const LONGEST: usize = 200;

/// A field in which two versions of a thing differ.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldDifference {
    /// What it is called; of a list, with the number of the item: `title`, `bars 3`.
    pub field: String,
    /// Its value in one version; `None` where it has none.
    pub one: Option<String>,
    /// Its value in the other.
    pub other: Option<String>,
}

/// Returns where two versions of a thing differ, each as the edit that makes it so; nothing where one of them takes the thing out.
pub fn differences(one: &Edit, other: &Edit) -> Vec<FieldDifference> {
    let (Some(one), Some(other)) = (text_of(one), text_of(other)) else { return Vec::new() };
    let (one, other) = (fields(&one), fields(&other));
    let mut found = Vec::new();
    for name in names(&one, &other) {
        let value =
            |of: &[(String, String)]| of.iter().find(|(field, _)| field == name).map(|(_, value)| value.clone());
        let (one, other) = (value(&one), value(&other));
        if one == other {
            continue;
        }
        match (one.as_deref().and_then(items), other.as_deref().and_then(items)) {
            (Some(one), Some(other)) => found.extend(of_items(name, &one, &other)),
            _ => found.push(FieldDifference {
                field: name.replace('_', " "),
                one: one.map(shortened),
                other: other.map(shortened),
            }),
        }
    }
    found
}

/// Compares two lists item by item.
fn of_items(name: &str, one: &[String], other: &[String]) -> Vec<FieldDifference> {
    (0..one.len().max(other.len()))
        .filter(|place| one.get(*place) != other.get(*place))
        .map(|place| FieldDifference {
            field: format!("{} {}", name.replace('_', " "), place + 1),
            one: one.get(place).cloned().map(shortened),
            other: other.get(place).cloned().map(shortened),
        })
        .collect()
}

/// Returns the names of the fields of both, in the order of the file.
fn names<'a>(one: &'a [(String, String)], other: &'a [(String, String)]) -> Vec<&'a str> {
    let mut names: Vec<&str> = Vec::new();
    for (name, _) in one.iter().chain(other) {
        if !names.contains(&name.as_str()) {
            names.push(name);
        }
    }
    names
}

/// Returns the thing that an edit puts in place, as the file has it: `(id:1,title:"a")`.
fn text_of(edit: &Edit) -> Option<String> {
    let text = options().to_string(edit).ok()?;
    let start = text.find("((")? + 1;
    let before = text.get(..start)?;
    // As many brackets end after the thing as begin before it.
    let end = text.len().checked_sub(before.matches('(').count())?;
    text.get(start..end).filter(|_| !before.contains("Remove")).map(str::to_owned)
}

/// Splits `(id:1,title:"a")` at its own commas.
fn fields(text: &str) -> Vec<(String, String)> {
    let parts = parts(text, '(', ')').unwrap_or_default();
    let field = |part: &String| part.split_once(':').map(|(name, value)| (name.to_owned(), value.to_owned()));
    parts.iter().filter_map(field).collect()
}

/// Splits `[1,2]` at its own commas; `None` where it is no list.
fn items(text: &str) -> Option<Vec<String>> {
    parts(text, '[', ']')
}

fn parts(text: &str, open: char, close: char) -> Option<Vec<String>> {
    let inside = text.strip_prefix(open)?.strip_suffix(close)?;
    let (mut parts, mut part, mut depth) = (Vec::new(), String::new(), 0_usize);
    let mut signs = inside.chars();
    while let Some(sign) = signs.next() {
        match sign {
            '"' => {
                part.push(sign);
                while let Some(sign) = signs.next() {
                    part.push(sign);
                    match sign {
                        '\\' => part.extend(signs.next()),
                        '"' => break,
                        _ => {}
                    }
                }
                continue;
            }
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => depth = depth.saturating_sub(1),
            ',' if depth == 0 => {
                parts.push(std::mem::take(&mut part));
                continue;
            }
            _ => {}
        }
        part.push(sign);
    }
    if !part.is_empty() {
        parts.push(part);
    }
    Some(parts)
}

fn shortened(value: String) -> String {
    if value.chars().count() <= LONGEST {
        return value;
    }
    value.chars().take(LONGEST).chain("...".chars()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::{Header, Segment, SegmentKind};
    use crate::lesson::edit::ListEdit;
    use crate::lesson::id::SegmentId;
    use crate::lesson::time::VideoLength;

    fn told(one: &Edit, other: &Edit) -> Vec<String> {
        let value = |value: Option<String>| value.unwrap_or_else(|| "-".to_owned());
        let line = |found: FieldDifference| format!("{}: {} | {}", found.field, value(found.one), value(found.other));
        differences(one, other).into_iter().map(line).collect()
    }

    fn segment(title: &str, points: &[&str]) -> Edit {
        let mut segment = Segment::new(SegmentId(1), SegmentKind::Talk, title, VideoLength::from_seconds(60));
        segment.talking_points = points.iter().map(ToString::to_string).collect();
        Edit::Segments(ListEdit::Replace(segment))
    }

    #[test]
    fn only_what_differs_is_told_and_lists_item_by_item() {
        let (one, other) = (segment("a, \"b\" (c)", &["x", "y, z"]), segment("a", &["x", "y", "w"]));
        assert_eq!(
            told(&one, &other),
            [
                "title: \"a, \\\"b\\\" (c)\" | \"a\"",
                "talking points 2: \"y, z\" | \"y\"",
                "talking points 3: - | \"w\""
            ]
        );
        assert_eq!(told(&one, &one), [""; 0]);
        let header = |title: &str| Edit::Header(Header { title: title.to_owned(), ..Header::default() });
        assert_eq!(told(&header("a"), &header("b")), ["title: \"a\" | \"b\""]);
        assert_eq!(told(&one, &Edit::Segments(ListEdit::Remove(SegmentId(1)))), [""; 0]);
    }
}
