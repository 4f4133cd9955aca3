//! The lines of a journal: what is written, and what can be read of a journal that any version wrote.
//!
//! ```text
//! CHECKSUM base FINGERPRINT format 2 fingerpost 0.2.0 chained lesson 7k3m-q2xf-9dwb-r8tz at PATH
//! CHECKSUM file FINGERPRINT (the text of that file, on one line)
//! CHECKSUM change (reason:…,edits:[…])
//! CHECKSUM apart (reason:…,edits:[…])
//! CHECKSUM format 2 fingerpost 0.2.0
//! CHECKSUM torn 57
//! ```
//!
//! A `base` line names the content of the lesson file that the changes after it belong to, the format they are written in (that of
//! the lesson file: both hold the same things), the version that writes them, which lesson it is and
//! where it lies. A `file` line holds that
//! content itself, so that the changes can be carried over to a file that another program has changed since. An `apart`
//! line holds the version of one thing that could not be carried over and waits to be decided about. Where another version
//! goes on with a journal, a `format` line says so. A `torn` line says that the so many bytes before it are half a line of
//! a write that failed, which was told when it failed. The first versions wrote neither format nor version: that is format 1.
//!
//! The lines of a journal that says `chained` are a chain: each checksum is that of the checksum before it and of what the line
//! says, so that a line that is missing, moved or of another journal ends it. Only the text of a `file` line is left out: its
//! fingerprint stands before it.
//!
//! These lines, their checksums and their order of words stay as they are in every format, so that any version can tell
//! damage from what another version wrote; only what stands after `change` and `apart` may change.

use std::path::{Path, PathBuf};

use crate::lesson::history::Transaction;
use crate::lesson::id::LessonId;
use crate::store::fingerprint::Fingerprint;
use crate::store::formats::LESSON_FORMAT;
use crate::store::migration::{self, MIGRATIONS, Migration, SAME_WORDS};
use crate::store::ron_file::options;

/// The version that writes.
pub(super) const PROGRAM: &str = env!("CARGO_PKG_VERSION");

/// The format of a journal that states none.
const UNSTATED: u32 = 1;

/// Which version wrote a part of a journal, and in which format.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Writer {
    /// The format.
    pub format: u32,
    /// The version of the program; empty where it was not stated.
    pub program: String,
}

impl Writer {
    /// Returns this version.
    pub fn current() -> Self {
        Self { format: LESSON_FORMAT, program: PROGRAM.to_owned() }
    }

    /// Reads `format 1 fingerpost 0.1.0`; what a later version may add after it is passed over.
    fn parse(text: &str) -> Option<Self> {
        let mut words = text.split(' ');
        let (format, number, name, program) = (words.next()?, words.next()?, words.next()?, words.next()?);
        let format = (format == "format" && name == "fingerpost").then(|| number.parse().ok())??;
        Some(Self { format, program: program.to_owned() })
    }

    fn unstated() -> Self {
        Self { format: UNSTATED, program: String::new() }
    }
}

/// What the base line of a chain says after the version.
const CHAINED: &str = "chained";

/// What stands before the path of the lesson, which is the last that a base line says.
const AT: &str = " at ";

/// Lines about to be written, each checked by the one before it.
#[derive(Debug, Clone, Default)]
pub(super) struct Chain {
    /// The lines.
    pub text: String,
    /// The checksum of the last line.
    pub last: Option<u64>,
}

impl Chain {
    /// Returns no lines yet, to stand after one with this checksum; after nothing where there is none.
    pub const fn after(last: Option<u64>) -> Self {
        Self { text: String::new(), last }
    }

    /// Adds the line that names what the file holds, or is about to hold.
    pub fn base(&mut self, base: Fingerprint, lesson: Option<LessonId>, path: &Path) {
        let lesson = lesson.map_or_else(String::new, |lesson| format!(" lesson {lesson}"));
        let path = escaped(&path.to_string_lossy());
        self.add(&format!("base {base} format {LESSON_FORMAT} fingerpost {PROGRAM} {CHAINED}{lesson}{AT}{path}"), "");
    }

    /// Adds what the file holds.
    pub fn file(&mut self, base: Fingerprint, text: &str) {
        self.add(&format!("file {base}"), &format!(" {}", escaped(text)));
    }

    /// Adds a change.
    pub fn change(&mut self, change: &str) {
        self.add(&format!("change {change}"), "");
    }

    /// Adds a version that waits to be decided about.
    pub fn apart(&mut self, version: &str) {
        self.add(&format!("apart {version}"), "");
    }

    /// Adds that the so many bytes before it are half a line.
    pub fn torn(&mut self, bytes: u64) {
        self.add(&format!("torn {bytes}"), "");
    }

    fn add(&mut self, checked: &str, unchecked: &str) {
        let sum = checksum(self.last, checked);
        self.text.push_str(&format!("{sum:016x} {checked}{unchecked}\n"));
        self.last = Some(sum);
    }
}

/// Returns the checksum of what a line says, after a line with the checksum `before`.
fn checksum(before: Option<u64>, checked: &str) -> u64 {
    match before {
        None => Fingerprint::of(checked.as_bytes()).short(),
        Some(before) => Fingerprint::of(format!("{before:016x} {checked}").as_bytes()).short(),
    }
}

/// Returns a text on one line.
fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\").replace('\n', "\\n").replace('\r', "\\r")
}

/// Takes the escapes of a text on one line back.
fn unescaped(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut signs = text.chars();
    while let Some(sign) = signs.next() {
        plain.push(match sign {
            '\\' => match signs.next() {
                Some('n') => '\n',
                Some('r') => '\r',
                Some(other) => other,
                None => sign,
            },
            other => other,
        });
    }
    plain
}

/// What a line says.
#[derive(Debug)]
pub enum Entry {
    /// The file holds this, or is about to.
    Base(Fingerprint),
    /// It holds this text.
    File(String),
    /// The lesson was changed.
    Change {
        /// The change.
        change: Transaction,
        /// The same as it is written today.
        text: String,
    },
    /// What a change would have made of something that another program changed as well waits to be decided about.
    Apart(Transaction),
    /// Another version goes on from here.
    Format,
    /// What stands before it is passed over.
    Torn,
}

/// A line that was read.
#[derive(Debug)]
pub struct Line {
    /// What it says.
    pub entry: Entry,
    /// Its number in the file, counted from 1.
    pub number: usize,
    /// The bytes up to its end.
    pub end: u64,
    /// Its checksum.
    pub sum: Option<u64>,
}

/// Why a journal could not be read to its end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// A line is not as it was written.
    Damaged {
        /// The line, counted from 1.
        line: usize,
    },
    /// A line is as it was written, and this version cannot make sense of it.
    NotUnderstood {
        /// The line, counted from 1.
        line: usize,
        /// Who wrote it.
        writer: Writer,
    },
}

/// The formats that are understood.
struct Formats<'a> {
    /// The newest.
    newest: u32,
    /// The oldest whose words are those of the newest.
    same_words: u32,
    /// The steps up to that one.
    steps: &'a [Migration],
}

/// What a journal holds.
#[derive(Debug)]
pub struct Lines {
    /// The lines that could be read, up to the first trouble.
    pub lines: Vec<Line>,
    /// Whether it ends in half a line of what may have been a change.
    pub is_cut_off: bool,
    /// Why the rest could not be read.
    pub trouble: Option<Trouble>,
    /// What the file held or was to hold, by every line that names it, also after the trouble.
    pub bases: Vec<Fingerprint>,
    /// Who wrote last.
    pub writer: Writer,
    /// The lesson, where it is said.
    pub lesson: Option<LessonId>,
    /// Where it lay, where that is said.
    pub path: Option<PathBuf>,
    /// Whether each line is checked by the one before it.
    pub linking: Linking,
    /// The checksum of the last of its lines that could be read.
    pub last: Option<u64>,
}

/// Whether a journal is a chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Linking {
    /// Each line stands for itself, as the first versions wrote them.
    #[default]
    Apart,
    /// Each line is checked by the one before it.
    Chained,
}

impl Lines {
    /// Reads a journal.
    pub fn of(bytes: &[u8]) -> Self {
        Self::upgraded(bytes, &Formats { newest: LESSON_FORMAT, same_words: SAME_WORDS, steps: MIGRATIONS })
    }

    /// Returns the changes, in order.
    pub fn changes(&self) -> impl Iterator<Item = &Transaction> {
        self.lines.iter().filter_map(|line| match &line.entry {
            Entry::Change { change, .. } => Some(change),
            Entry::Base(_) | Entry::File(_) | Entry::Apart(_) | Entry::Format | Entry::Torn => None,
        })
    }

    fn upgraded(bytes: &[u8], formats: &Formats<'_>) -> Self {
        let mut read = Self {
            lines: Vec::new(),
            is_cut_off: false,
            trouble: None,
            bases: Vec::new(),
            writer: Writer::unstated(),
            lesson: None,
            path: None,
            linking: Linking::Apart,
            last: None,
        };
        let mut end = 0;
        // The first of the pieces just read that are no lines, and where it begins.
        let mut unread: Option<(usize, u64)> = None;
        // What the piece before says its checksum is. After a break in the chain whole lines are told from damage by it.
        let mut stated: Option<u64> = None;
        for (piece, number) in bytes.split_inclusive(|byte| *byte == b'\n').zip(1..) {
            let start = end;
            end += piece.len() as u64;
            let linked = match read.linking {
                Linking::Apart => content(piece, None),
                Linking::Chained => {
                    content(piece, read.last).or_else(|| stated.and_then(|sum| content(piece, Some(sum))))
                }
            };
            match linked {
                Some((content, sum)) => {
                    if let Some((line, from)) = unread.take()
                        && torn_bytes(content) != Some(start - from)
                    {
                        read.trouble.get_or_insert(Trouble::Damaged { line });
                    }
                    read.last = Some(sum);
                    read.take(content, number, end, formats);
                }
                None if !piece.ends_with(b"\n") => read.is_cut_off = may_be_change(piece),
                None => _ = unread.get_or_insert((number, start)),
            }
            stated = stated_sum(piece);
        }
        if let Some((line, _)) = unread {
            read.trouble.get_or_insert(Trouble::Damaged { line });
        }
        read
    }

    fn take(&mut self, content: &str, number: usize, end: u64, formats: &Formats<'_>) {
        let (word, rest) = content.split_once(' ').unwrap_or((content, ""));
        let entry = match word {
            "base" => {
                let (named, writer) = rest.split_once(' ').unwrap_or((rest, ""));
                let (writer, path) =
                    writer.split_once(AT).map_or((writer, None), |(writer, path)| (writer, Some(path)));
                let (lesson, linking) = (lesson_of(writer), linking_of(writer));
                let writer = if writer.is_empty() { Some(Writer::unstated()) } else { Writer::parse(writer) };
                named.parse().ok().zip(writer).map(|(named, writer)| {
                    self.bases.push(named);
                    self.writer = writer;
                    self.lesson = self.lesson.or(lesson);
                    self.path = path.map(|path| PathBuf::from(unescaped(path))).or(self.path.take());
                    self.linking = linking;
                    Entry::Base(named)
                })
            }
            "file" => rest.split_once(' ').map(|(_, text)| Entry::File(unescaped(text))),
            "format" => Writer::parse(content).map(|writer| {
                self.writer = writer;
                Entry::Format
            }),
            "torn" => torn_bytes(content).map(|_| Entry::Torn),
            "change" if self.writer.format <= formats.newest => {
                let text = migration::upgrade_change(rest, self.writer.format, formats.same_words, formats.steps);
                text.and_then(|text| {
                    let change = options().from_str(&text).ok()?;
                    Some(Entry::Change { change, text })
                })
            }
            "apart" if self.writer.format <= formats.newest => {
                let text = migration::upgrade_change(rest, self.writer.format, formats.same_words, formats.steps);
                text.and_then(|text| options().from_str(&text).ok()).map(Entry::Apart)
            }
            _ => None,
        };
        match entry {
            Some(entry) if self.trouble.is_none() => self.lines.push(Line { entry, number, end, sum: self.last }),
            Some(_) => {}
            None => {
                self.trouble.get_or_insert(Trouble::NotUnderstood { line: number, writer: self.writer.clone() });
            }
        }
    }
}

/// Returns whether a piece of a line may be a piece of a change: nothing is missing with any other.
fn may_be_change(piece: &[u8]) -> bool {
    let word = piece.get("0123456789abcdef ".len()..).unwrap_or_default();
    let others: [&[u8]; 4] = [b"base", b"file", b"format", b"torn"];
    word.is_empty() || !others.iter().any(|other| word.starts_with(other) || other.starts_with(word))
}

/// Returns how many bytes before it a line says to be half a line.
fn torn_bytes(content: &str) -> Option<u64> {
    content.strip_prefix("torn ").and_then(|bytes| bytes.parse().ok())
}

/// Returns the lesson that a base line states after the version.
fn lesson_of(writer: &str) -> Option<LessonId> {
    let mut words = writer.split(' ').skip_while(|word| *word != "lesson");
    words.nth(1)?.parse().ok()
}

/// Returns whether a base line says that a chain begins.
fn linking_of(writer: &str) -> Linking {
    if writer.split(' ').any(|word| word == CHAINED) { Linking::Chained } else { Linking::Apart }
}

/// Returns the checksum that a line states, whether it is right or not.
fn stated_sum(piece: &[u8]) -> Option<u64> {
    let sum = std::str::from_utf8(piece.get(..16)?).ok()?;
    u64::from_str_radix(sum, 16).ok()
}

/// Returns what a line says, without checksum and line feed, and its checksum; `None` where it is not as it was written after a
/// line with the checksum `before`.
fn content(piece: &[u8], before: Option<u64>) -> Option<(&str, u64)> {
    let text = std::str::from_utf8(piece).ok()?.strip_suffix('\n')?;
    let (sum, content) = text.split_once(' ')?;
    let sum = (sum.len() == 16).then(|| u64::from_str_radix(sum, 16).ok())??;
    (checksum(before, checked(content)) == sum).then_some((content, sum))
}

/// Returns the part of what a line says that its checksum is of.
fn checked(content: &str) -> &str {
    let text = content.strip_prefix("file ").and_then(|rest| rest.find(' ')).map(|at| at + "file ".len());
    text.and_then(|at| content.get(..at)).unwrap_or(content)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::Header;
    use crate::lesson::edit::Edit;
    use crate::lesson::history::Reason;

    /// A change of the title, as text.
    fn change(title: &str) -> String {
        let header = Header { title: title.to_owned(), ..Header::default() };
        options().to_string(&Transaction::one(Reason::EditHeader, Edit::Header(header))).unwrap()
    }

    /// One line as the first versions wrote it, without a chain.
    fn line(word: &str, rest: &str) -> String {
        let content = format!("{word} {rest}");
        format!("{:016x} {content}\n", checksum(None, &content))
    }

    fn torn_line(bytes: u64) -> String {
        line("torn", &bytes.to_string())
    }

    fn titles(lines: &Lines) -> Vec<String> {
        let title = |change: &Transaction| match &change.edits[..] {
            [Edit::Header(header)] => header.title.clone(),
            other => panic!("{other:?}"),
        };
        lines.changes().map(title).collect()
    }

    fn base(format: &str) -> String {
        line("base", &format!("{}{format}", Fingerprint::of(b"the file")))
    }

    /// Two made-up steps: what is `Head` in format 1 is `Top` in 2 and `Header` in 3.
    const STEPS: &[Migration] = &[
        Migration { from: 1, upgrade: |text| Ok(text.to_owned()), change: |text| Some(text.replace("Head(", "Top(")) },
        Migration {
            from: 2,
            upgrade: |text| Ok(text.to_owned()),
            change: |text| text.contains("Top(").then(|| text.replace("Top(", "Header(")),
        },
    ];

    /// Format 4 has the words of 3.
    const FORMATS: Formats<'static> = Formats { newest: 4, same_words: 3, steps: STEPS };

    #[test]
    fn lines_of_older_formats_are_read_step_by_step() {
        let (first, second) = (change("one").replace("Header(", "Head("), change("two").replace("Header(", "Top("));
        for start in [base(""), base(" format 1 fingerpost 0.1.0")] {
            let journal = start
                + &line("change", &first)
                + &line("format", "2 fingerpost 0.2.0")
                + &line("change", &second)
                + &line("format", "3 fingerpost 0.3.0")
                + &line("change", &change("three"))
                + &line("format", "4 fingerpost 0.4.0")
                + &line("change", &change("four"));
            let lines = Lines::upgraded(journal.as_bytes(), &FORMATS);
            assert_eq!((titles(&lines).join(" "), lines.trouble), ("one two three four".to_owned(), None));
            assert_eq!(lines.writer, Writer { format: 4, program: "0.4.0".into() });
        }
    }

    #[test]
    fn what_no_step_understands_is_named_with_who_wrote_it_and_is_no_damage() {
        let journal = base(" format 2 fingerpost 0.2.0") + &line("change", &change("one").replace("Header(", "Up("));
        let lines = Lines::upgraded(journal.as_bytes(), &FORMATS);
        let writer = Writer { format: 2, program: "0.2.0".into() };
        assert_eq!(lines.trouble, Some(Trouble::NotUnderstood { line: 2, writer }));
    }

    #[test]
    fn of_a_newer_format_only_what_every_format_has_is_read() {
        let saved = Fingerprint::of(b"saved since");
        let journal = base(" format 5 fingerpost 0.5.0 and more")
            + &line("change", &change("one"))
            + &line("flourish", "of a kind not known")
            + &line("base", &format!("{saved} format 5 fingerpost 0.5.0"));
        let lines = Lines::upgraded(journal.as_bytes(), &FORMATS);
        let writer = Writer { format: 5, program: "0.5.0".into() };
        assert_eq!(lines.trouble, Some(Trouble::NotUnderstood { line: 2, writer }));
        assert_eq!(lines.bases, [Fingerprint::of(b"the file"), saved]);
    }

    #[test]
    fn half_a_line_is_passed_over_only_where_the_next_one_says_so() {
        let (one, two) = (line("change", &change("one")), line("change", &change("two")));
        let half = &two[..two.len() / 2];
        let bytes = half.len() as u64 + 1;
        let told = format!("{}{one}{half}\n{}{two}", base(""), torn_line(bytes));
        let lines = Lines::of(told.as_bytes());
        assert_eq!((titles(&lines), &lines.trouble), (vec!["one".to_owned(), "two".to_owned()], &None));
        let twice = format!("{}{one}{half}\n{half}\n{}{two}", base(""), torn_line(2 * bytes));
        assert_eq!(titles(&Lines::of(twice.as_bytes())).len(), 2);
        // A damaged line before it is not covered by it.
        for untold in
            [format!("{}{one}{half}\n{two}", base("")), twice.replace(&torn_line(2 * bytes), &torn_line(bytes))]
        {
            let lines = Lines::of(untold.as_bytes());
            assert_eq!((titles(&lines), lines.trouble), (vec!["one".to_owned()], Some(Trouble::Damaged { line: 3 })));
        }
        let ended = format!("{}{one}{half}", base(""));
        let lines = Lines::of(ended.as_bytes());
        assert_eq!((titles(&lines).len(), lines.is_cut_off, lines.trouble), (1, true, None));
        for cut in [18, 21, 40] {
            let of_base = format!("{}{one}{}", base(""), &base("")[..cut]);
            assert!(!Lines::of(of_base.as_bytes()).is_cut_off, "no change is missing with {cut} bytes of a base line");
        }
    }

    /// A chain of a base, the file and these titles.
    fn chain(changes: &[&str]) -> Chain {
        let mut chain = Chain::default();
        let lesson = "7k3m-q2xf-9dwb-r8tz".parse().ok();
        chain.base(Fingerprint::of(b"the file"), lesson, Path::new("/a b/at c.lesson.ron"));
        chain.file(Fingerprint::of(b"the file"), "two\r\nlines \\n and \\");
        changes.iter().for_each(|title| chain.change(&change(title)));
        chain
    }

    #[test]
    fn a_chain_says_which_lesson_it_is_where_it_lies_and_what_the_file_holds() {
        let chain = chain(&["one"]);
        let lines = Lines::of(chain.text.as_bytes());
        assert_eq!((titles(&lines).join(" "), &lines.trouble), ("one".to_owned(), &None));
        assert_eq!(lines.lesson.map(|lesson| lesson.to_string()).as_deref(), Some("7k3m-q2xf-9dwb-r8tz"));
        assert_eq!(lines.path.as_deref(), Some(Path::new("/a b/at c.lesson.ron")));
        assert_eq!((lines.linking, lines.last, lines.writer), (Linking::Chained, chain.last, Writer::current()));
        assert!(matches!(&lines.lines[1].entry, Entry::File(text) if text == "two\r\nlines \\n and \\"));
    }

    #[test]
    fn a_chain_ends_where_a_line_is_missing_moved_doubled_or_from_another_journal() {
        let whole = chain(&["one", "two", "three", "four"]).text;
        let lines: Vec<&str> = whole.split_inclusive('\n').collect();
        let other = chain(&["other", "two"]).text;
        let other = other.lines().last().unwrap().to_owned() + "\n";
        let broken = |order: &[usize]| order.iter().map(|place| lines[*place]).collect::<String>();
        for (text, survived, line) in [
            (broken(&[0, 1, 2, 4, 5]), "one", 4),
            (broken(&[0, 1, 3, 2, 4, 5]), "", 3),
            (broken(&[0, 1, 2, 2, 3]), "one", 4),
            (broken(&[0, 1, 2]) + &other, "one", 4),
            (broken(&[0, 2, 3]), "", 2),
            (broken(&[2, 3]), "", 1),
        ] {
            let read = Lines::of(text.as_bytes());
            assert_eq!(titles(&read).join(" "), survived, "{text}");
            assert_eq!(read.trouble, Some(Trouble::Damaged { line }), "{text}");
        }
        // What the file is said to hold after the break is known all the same.
        let saved = Fingerprint::of(b"saved since");
        let mut after = Chain::after(chain(&["one", "two"]).last);
        after.base(saved, None, Path::new("x"));
        let text = broken(&[0, 1]) + lines[3] + &after.text;
        assert_eq!(Lines::of(text.as_bytes()).bases, [Fingerprint::of(b"the file"), saved]);
    }

    #[test]
    fn half_a_line_in_a_chain_is_passed_over_where_the_next_one_says_so() {
        let whole = chain(&["one"]);
        let half = "0123456789abcdef change (rea";
        let mut next = Chain::after(whole.last);
        next.torn(half.len() as u64 + 1);
        next.change(&change("two"));
        let lines = Lines::of(format!("{}{half}\n{}", whole.text, next.text).as_bytes());
        assert_eq!((titles(&lines).join(" "), lines.trouble), ("one two".to_owned(), None));
    }
}
