//! The characters and colours that follow from the settings, the environment and the user's themes. What each colour is
//! used for is not decided here.

use std::io;

use crate::store::fault::shown;
use crate::store::folders::Folders;
use crate::store::settings::{Characters, Settings};
use crate::text::charset::Charset;
use crate::workbench::drawing::appearance::{Appearance, Colours};
use crate::workbench::drawing::theme::Theme;
use crate::workbench::messages::notice::Notice;

/// Returns the characters and colours for this terminal, and a notice where they are not those of the chosen theme.
pub fn appearance(settings: &Settings, folders: Option<&Folders>) -> (Appearance, Option<Notice>) {
    let charset = match settings.characters {
        Characters::Utf8 => Charset::Utf8,
        Characters::Ascii => Charset::Ascii,
        Characters::Automatic => charset_of_locale(),
    };
    // See no-color.org: any value except an empty one counts.
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

/// Returns the theme called `name`. Errors: there is no such theme, or the user's themes cannot be read.
fn theme(name: &str, folders: Option<&Folders>) -> Result<Theme, String> {
    let themes = themes(folders)?;
    let known = themes.iter().map(|theme| theme.name.clone()).collect::<Vec<String>>().join(", ");
    let found = themes.into_iter().find(|theme| theme.name == name);
    found.ok_or_else(|| format!("there is no theme `{name}`; `theme` in the settings may be one of: {known}"))
}

/// Returns all themes, the user's own before the built-in ones. Errors: the user's themes cannot be read.
pub fn themes(folders: Option<&Folders>) -> Result<Vec<Theme>, String> {
    let Some(path) = folders.map(Folders::themes) else { return Ok(Theme::built_in()) };
    match std::fs::read_to_string(&path) {
        Ok(text) => Theme::with_own(&text).map_err(|error| format!("{}: {error}", shown(&path))),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Theme::built_in()),
        Err(error) => Err(format!("themes.ron: {error}")),
    }
}

/// Returns the characters that the locale names, looking at its variables in the order that POSIX gives. Without a
/// locale it returns UTF-8, which today's terminals use.
fn charset_of_locale() -> Charset {
    let said = ["LC_ALL", "LC_CTYPE", "LANG"]
        .into_iter()
        .find_map(|name| std::env::var(name).ok().filter(|value| !value.is_empty()));
    match said {
        Some(locale) if !locale.to_ascii_lowercase().replace('-', "").contains("utf8") => Charset::Ascii,
        Some(_) | None => Charset::Utf8,
    }
}
