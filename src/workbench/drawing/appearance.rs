//! How things look: the characters and the styles. The terminal's own 16 colours unless a theme is
//! chosen, and nothing is said by colour alone.

use ratatui::style::{Color, Modifier, Style};

use crate::text::charset::Charset;
use crate::text::safe::clean;
use crate::text::wrap::wrap;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::theme::Palette;

/// Whether colours may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Colours {
    /// The 16 colours that the terminal has of its own.
    #[default]
    Sixteen,
    /// Those of a theme.
    Theme(Palette),
    /// None: bold, underlined and reversed only.
    None,
}

/// The characters that lines and marks are drawn with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Glyphs {
    /// A level line.
    pub level: &'static str,
    /// An upright line.
    pub upright: &'static str,
    /// A fret wire crossing a string.
    pub wire: &'static str,
    /// The nut, or the capo.
    pub nut: &'static str,
    /// The string behind a fret.
    pub string: &'static str,
    /// A finger.
    pub finger: &'static str,
    /// An open string.
    pub open: &'static str,
    /// A muted string.
    pub mute: &'static str,
    /// The mark before a selected line.
    pub pointer: &'static str,
    /// The mark before a name that is kept.
    pub kept: &'static str,
    /// What stands for text that has no room.
    pub more: &'static str,
    /// The mark of what lies above.
    pub up: &'static str,
    /// The mark of what lies below.
    pub down: &'static str,
    /// Between two facts on a line.
    pub dot: &'static str,
    /// The brackets of the fretboard's cursor.
    pub cursor: (&'static str, &'static str),
    /// A mark on the neck.
    pub inlay: &'static str,
    /// A note of the key.
    pub guide: &'static str,
    /// The tonic of the key.
    pub tonic: &'static str,
    /// The corners of a box: top left, top right, bottom left, bottom right.
    pub corners: [&'static str; 4],
}

/// UTF-8 characters of one column each.
const UTF8: Glyphs = Glyphs {
    level: "─",
    upright: "│",
    wire: "┼",
    nut: "║",
    string: "─",
    finger: "●",
    open: "○",
    mute: "×",
    pointer: "▸",
    kept: "✓",
    more: "…",
    up: "↑",
    down: "↓",
    dot: "·",
    cursor: ("[", "]"),
    inlay: "•",
    guide: "·",
    tonic: "◇",
    corners: ["┌", "┐", "└", "┘"],
};

/// Printable ASCII only.
const ASCII: Glyphs = Glyphs {
    level: "-",
    upright: "|",
    wire: "+",
    nut: "|",
    string: "-",
    finger: "*",
    open: "o",
    mute: "x",
    pointer: ">",
    kept: "=",
    more: "~",
    up: "^",
    down: "v",
    dot: "-",
    cursor: ("[", "]"),
    inlay: ".",
    guide: ".",
    tonic: ":",
    corners: ["+", "+", "+", "+"],
};

/// Characters and colours together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Appearance {
    /// The characters that may be used.
    pub charset: Charset,
    /// Whether colours may be used.
    pub colours: Colours,
}

impl Appearance {
    /// Returns the characters to draw with.
    pub const fn glyphs(self) -> Glyphs {
        match self.charset {
            Charset::Utf8 => UTF8,
            Charset::Ascii => ASCII,
        }
    }

    /// Returns the style of text that plays `role`.
    pub fn style(self, role: Role) -> Style {
        let style = Style::new();
        let (modifier, colour) = match role {
            Role::Plain => (Modifier::empty(), None),
            Role::Strong => (Modifier::BOLD, None),
            Role::Faint => (Modifier::DIM, None),
            Role::FocusedTitle => (Modifier::BOLD, Some(Color::Cyan)),
            Role::Title => (Modifier::empty(), Some(Color::Cyan)),
            Role::Selected | Role::Cursor => (Modifier::REVERSED, None),
            Role::SelectedElsewhere => (Modifier::UNDERLINED, None),
            Role::Finger => (Modifier::BOLD, Some(Color::Yellow)),
            Role::Good => (Modifier::empty(), Some(Color::Green)),
            Role::Caution => (Modifier::BOLD, Some(Color::Yellow)),
            Role::Bad => (Modifier::BOLD, Some(Color::Red)),
            Role::Key => (Modifier::BOLD, None),
            Role::Recorded => (Modifier::empty(), Some(Color::Green)),
            Role::Heard => (Modifier::REVERSED.union(Modifier::BOLD), Some(Color::Green)),
        };
        let style = style.add_modifier(modifier);
        match (self.colours, colour) {
            (Colours::Sixteen, Some(colour)) => style.fg(colour),
            // What has a colour of its own need not be dimmed, which many terminals draw too weakly.
            (Colours::Theme(palette), _) => match palette.colour(role) {
                Some(colour) => style.remove_modifier(Modifier::DIM).fg(colour.into()),
                None => style,
            },
            (Colours::Sixteen | Colours::None, _) => style,
        }
    }

    /// Returns `text` as one line that is safe to show and uses only the characters that may be used.
    pub fn shown(self, text: &str) -> std::borrow::Cow<'_, str> {
        clean(text, self.charset)
    }

    /// Returns `text` as it is shown, in lines of at most `columns`: each of its own lines is wrapped by itself.
    pub fn wrapped(self, text: &str, columns: usize) -> Vec<String> {
        text.lines().flat_map(|line| wrap(&self.shown(line), columns)).collect()
    }
}
