//! The layout of the files: one item a line where it fits, broken into its parts where it does not.
//!
//! The `ron` crate can break lines down to one fixed depth only: deep enough for the notes of a bar,
//! it would also put every fret of a shape on a line of its own. So the text comes out of `ron`
//! without line breaks and is broken here by width, which keeps a voicing, a setup or an event on
//! one line and a change to it a change of one line.

/// What a line should not exceed, in characters after its indentation; a single long text may.
/// The notes of a strum over six strings fit.
const WIDTH: usize = 140;
/// What a level is indented by.
const INDENT: &str = "  ";

/// What is known of a bracketed group before it is written.
#[derive(Debug, Clone, Copy, Default)]
struct Brackets {
    /// Characters from the opening to the closing bracket, written on one line.
    width: usize,
    /// How many items stand in it.
    items: usize,
}

/// How an open group is being written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Breaking {
    /// On one line.
    Flat,
    /// Each item on a line of its own.
    Broken,
    /// A list that holds nothing but one list: `[[`, so that a bar with one voice is not indented twice.
    Hugging,
}

/// A piece of compact RON.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Token<'a> {
    Open(char),
    Close(char),
    Comma,
    Colon,
    /// Text in quotes, a number or a word.
    Atom(&'a str),
}

/// Lays out `compact`, which is RON as the `ron` crate writes it without line breaks.
///
/// Groups at a depth below `always_broken` (the outermost has depth 0) take several lines even if
/// they would fit on one. The result ends in a line feed.
pub fn lay_out(compact: &str, always_broken: usize) -> String {
    let groups = measure(compact);
    let mut out = String::with_capacity(compact.len() * 2);
    let mut modes: Vec<Breaking> = Vec::new();
    let mut levels = 0;
    let mut column = 0;
    let mut next_group = groups.iter().copied();
    let mut tokens = tokens(compact).peekable();
    while let Some(token) = tokens.next() {
        match token {
            Token::Open(bracket) => {
                let group = next_group.next().unwrap_or_default();
                out.push(bracket);
                column += 1;
                let inside_flat = modes.last() == Some(&Breaking::Flat);
                let fits = column - levels * INDENT.len() + group.width <= WIDTH && modes.len() >= always_broken;
                let mode = if inside_flat || group.items == 0 || fits {
                    Breaking::Flat
                } else if bracket == '[' && group.items == 1 && tokens.peek() == Some(&Token::Open('[')) {
                    Breaking::Hugging
                } else {
                    Breaking::Broken
                };
                modes.push(mode);
                if mode == Breaking::Broken {
                    levels += 1;
                    column = start_line(&mut out, levels);
                }
            }
            Token::Close(bracket) => {
                if modes.pop() == Some(Breaking::Broken) {
                    levels -= 1;
                    out.push(',');
                    column = start_line(&mut out, levels);
                }
                out.push(bracket);
                column += 1;
            }
            Token::Comma => {
                out.push(',');
                if modes.last() == Some(&Breaking::Broken) {
                    column = start_line(&mut out, levels);
                } else {
                    out.push(' ');
                    column += 2;
                }
            }
            Token::Colon => {
                out.push_str(": ");
                column += 2;
            }
            Token::Atom(atom) => column += push_atom(&mut out, atom),
        }
    }
    out.push('\n');
    out
}

fn start_line(out: &mut String, levels: usize) -> usize {
    out.push('\n');
    for _ in 0..levels {
        out.push_str(INDENT);
    }
    levels * INDENT.len()
}

/// Writes an atom and returns its width. An apostrophe in quoted text needs no backslash.
fn push_atom(out: &mut String, atom: &str) -> usize {
    if !atom.starts_with('"') || !atom.contains("\\'") {
        out.push_str(atom);
        return atom.chars().count();
    }
    let mut width = 0;
    let mut chars = atom.chars();
    while let Some(sign) = chars.next() {
        let (first, second) = if sign == '\\' { (sign, chars.next()) } else { (sign, None) };
        match second {
            Some('\'') => out.push('\''),
            Some(escaped) => {
                out.push(first);
                out.push(escaped);
                width += 1;
            }
            None => out.push(first),
        }
        width += 1;
    }
    width
}

/// Returns every group of `compact` in the order of their opening brackets.
fn measure(compact: &str) -> Vec<Brackets> {
    let mut groups: Vec<Brackets> = Vec::new();
    // The open groups: their place in `groups` and the characters written before them.
    let mut open: Vec<(usize, usize)> = Vec::new();
    let mut written = 0;
    for token in tokens(compact) {
        if !matches!(token, Token::Close(_))
            && let Some(group) = open.last().and_then(|(index, _)| groups.get_mut(*index))
        {
            group.items = group.items.max(1);
            if token == Token::Comma {
                group.items += 1;
            }
        }
        match token {
            Token::Open(_) => {
                open.push((groups.len(), written));
                groups.push(Brackets::default());
                written += 1;
            }
            Token::Close(_) => {
                written += 1;
                if let Some((index, before)) = open.pop()
                    && let Some(group) = groups.get_mut(index)
                {
                    group.width = written - before;
                }
            }
            Token::Comma | Token::Colon => written += 2,
            Token::Atom(atom) => written += atom.chars().count(),
        }
    }
    groups
}

/// Cuts compact RON into tokens; nothing is lost, so any text comes out whole.
fn tokens(compact: &str) -> impl Iterator<Item = Token<'_>> {
    let mut rest = compact;
    std::iter::from_fn(move || {
        // Bytes will do: none of these signs is ever a part of another character in UTF-8.
        let first = *rest.as_bytes().first()?;
        let length = match first {
            b'(' | b'[' | b'{' | b')' | b']' | b'}' | b',' | b':' => 1,
            b'"' => quoted_length(rest),
            _ => rest.bytes().position(is_sign).unwrap_or(rest.len()),
        };
        let (piece, after) = rest.split_at(length);
        rest = after;
        Some(match first {
            b'(' | b'[' | b'{' => Token::Open(char::from(first)),
            b')' | b']' | b'}' => Token::Close(char::from(first)),
            b',' => Token::Comma,
            b':' => Token::Colon,
            _ => Token::Atom(piece),
        })
    })
}

/// Returns whether `byte` stands for itself or begins quoted text.
fn is_sign(byte: u8) -> bool {
    matches!(byte, b'(' | b'[' | b'{' | b')' | b']' | b'}' | b',' | b':' | b'"')
}

/// Returns the length in bytes of the quoted text that `text` starts with, both quotes included.
pub(super) fn quoted_length(text: &str) -> usize {
    let mut escaped = false;
    for (at, byte) in text.bytes().enumerate().skip(1) {
        match byte {
            _ if escaped => escaped = false,
            b'\\' => escaped = true,
            b'"' => return at + 1,
            _ => {}
        }
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_fits_stays_on_one_line() {
        assert_eq!(lay_out("(a:1,b:[None,3,2],c:\"x\")", 0), "(a: 1, b: [None, 3, 2], c: \"x\")\n");
    }

    #[test]
    fn outer_groups_are_always_broken() {
        assert_eq!(
            lay_out("(format:1,list:[(id:1),(id:2)],none:[])", 2),
            "(\n  format: 1,\n  list: [\n    (id: 1),\n    (id: 2),\n  ],\n  none: [],\n)\n"
        );
    }

    #[test]
    fn long_groups_break_into_items_and_a_lone_list_is_not_indented_twice() {
        let event = format!("(text:\"{}\")", "x".repeat(80));
        let laid_out = lay_out(&format!("(voices:[[{event},{event}]])"), 0);
        let lines: Vec<&str> = laid_out.lines().collect();
        assert_eq!(lines[..2], ["(", "  voices: [["]);
        assert!(lines[2].starts_with("    (text: \"xxx") && lines[2].ends_with("\"),"), "{}", lines[2]);
        assert_eq!(lines[4..], ["  ]],", ")"]);
    }

    #[test]
    fn brackets_and_quotes_inside_text_are_text() {
        assert_eq!(lay_out(r#"("a\"(,:[",'x')"#, 0), "(\"a\\\"(,:[\", 'x')\n");
        assert_eq!(lay_out(r#"("don\'t \\' ok")"#, 0), "(\"don't \\\\' ok\")\n");
    }
}
