//! The characters and colours that settings, environment and the user's themes come to.

use std::io;

use crate::store::fault::shown;
use crate::store::folders::Folders;
use crate::store::settings::{Characters, Settings};
use crate::text::charset::Charset;
use crate::workbench::drawing::appearance::{Appearance, Colours};
use crate::workbench::drawing::theme::Theme;
use crate::workbench::messages::notice::Notice;

/// Returns the characters and colours this terminal can take, and why it is not the theme asked for.
pub fn appearance(settings: &Settings, folders: Option<&Folders>) -> (Appearance, Option<Notice>) {
    let charset = match settings.characters {
        Characters::Utf8 => Charset::Utf8,
        Characters::Ascii => Charset::Ascii,
        Characters::Automatic => charset_of_locale(),
    };
    // See no-color.org: any value but an empty one counts.
    let plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    let (colours, trouble) = match (plain, settings.theme.as_str()) {
        (true, _) => (Colours::None, None),
        (false, "") => (Colours::Sixteen, None),
        (false, name) => match theme(name, folders) {
            Ok(theme) => (Colours::Theme(theme.palette()), None),
            Err(why) => (Colours::Sixteen, Some(Notice::trouble(format!("the usual colours are used: {why}")))),
        },
    };
    (Appearance { charset, colours }, trouble)
}

/// Returns the theme of this name. Errors: in words, why there is none.
fn theme(name: &str, folders: Option<&Folders>) -> Result<Theme, String> {
    let themes = themes(folders)?;
    let known = themes.iter().map(|theme| theme.name.clone()).collect::<Vec<String>>().join(", ");
    let found = themes.into_iter().find(|theme| theme.name == name);
    found.ok_or_else(|| format!("there is no theme `{name}`; `theme` in the settings may be one of: {known}"))
}

/// Returns the themes there are; the user's own go before ours. Errors: in words, why those cannot be read.
pub fn themes(folders: Option<&Folders>) -> Result<Vec<Theme>, String> {
    let Some(path) = folders.map(Folders::themes) else { return Ok(Theme::built_in()) };
    match std::fs::read_to_string(&path) {
        Ok(text) => Theme::with_own(&text).map_err(|error| format!("{}: {error}", shown(&path))),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Theme::built_in()),
        Err(error) => Err(format!("themes.ron: {error}")),
    }
}

/// Returns what the locale says, by the order POSIX gives its variables; without one, UTF-8 as
/// today's terminals are.
fn charset_of_locale() -> Charset {
    let said = ["LC_ALL", "LC_CTYPE", "LANG"]
        .into_iter()
        .find_map(|name| std::env::var(name).ok().filter(|value| !value.is_empty()));
    match said {
        Some(locale) if !locale.to_ascii_lowercase().replace('-', "").contains("utf8") => Charset::Ascii,
        Some(_) | None => Charset::Utf8,
    }
}
