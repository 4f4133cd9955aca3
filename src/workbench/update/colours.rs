//! The colours of the screen: the themes there are, and the one chosen.

use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::jump::ON_NOW;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::drawing::appearance::Colours;
use crate::workbench::drawing::theme::Theme;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::program::ProgramPick;
use crate::workbench::state::State;

/// Offers the themes there are.
pub fn offer(state: &State) -> PaneReply {
    if state.appearance.colours == Colours::None {
        return PaneReply::say(Notice::note("no colours are shown, because NO_COLOR is set"));
    }
    let own = ("the 16 colours of the terminal".to_owned(), Pick::Program(ProgramPick::Colours(None)));
    let themes = state.chosen.themes.iter().enumerate().map(|(place, theme)| {
        let about = if theme.about.is_empty() { String::new() } else { format!(": {}", theme.about) };
        (format!("{}{about}", theme.name), Pick::Program(ProgramPick::Colours(Some(place))))
    });
    let mut lines: Vec<(String, Pick)> = std::iter::once(own).chain(themes).collect();
    let now = |theme: &Theme| state.appearance.colours == Colours::Theme(theme.palette());
    let selected = state.chosen.themes.iter().position(now).map_or(0, |place| place + 1);
    if let Some((text, _)) = lines.get_mut(selected) {
        text.push_str(ON_NOW);
    }
    PaneReply::ask(Overlay::Choice(ChoiceBox::new("Colours", Advice::NONE, lines).selecting(selected)))
}

/// Shows the screen in the colours of the theme at `place`; without one, in the terminal's own.
pub fn show(state: &mut State, place: Option<usize>) -> PaneReply {
    let theme = place.and_then(|place| state.chosen.themes.get(place));
    state.appearance.colours = theme.map_or(Colours::Sixteen, |theme| Colours::Theme(theme.palette()));
    let name = theme.map(|theme| theme.name.clone()).unwrap_or_default();
    let said = if name.is_empty() { "the colours of the terminal".to_owned() } else { format!("the colours {name}") };
    PaneReply { notice: Some(Notice::done(said)), ..PaneReply::want(FileEffect::KeepTheme(name)) }
}
