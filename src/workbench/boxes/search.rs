//! The search for an action: what is typed picks rows of the key table, the best first, and Enter
//! does what the selected row says.

use std::sync::LazyLock;

use crate::instrument::catalogue;
use crate::lesson::segment::{Progress, SegmentKind};
use crate::lesson::technique::TECHNIQUES;
use crate::workbench::boxes::narrowed_list::{ListStep, NarrowedList};
use crate::workbench::boxes::other_words::same_word;
use crate::workbench::boxes::pointers::{Pointer, pointed, pointers};
use crate::workbench::boxes::typed_query::{TypedQuery, Wording, plain};
use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::keys::action::{
    Action, Focus, FretboardAction, Pane, PassageAction, SearchAction, SoundAction, TimelineAction,
};
use crate::workbench::keys::near::distance;
use crate::workbench::keys::table::{KeyTable, Row};
use crate::workbench::typing::lines::{NoRoom, TypedLine};

/// How an action can be done from where one is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfferWay {
    /// It can be done here.
    Here,
    /// Another pane has to be in focus, which the search sees to.
    By(Focus),
    /// It cannot be done now: its place is not on the screen, or it needs a key of its own.
    NotNow,
}

/// One action that is offered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// The action.
    pub action: Action,
    /// Its keys, as the help screen writes them.
    pub keys: String,
    /// What it does.
    pub help: String,
    /// The name of its place.
    pub place: &'static str,
    /// How it can be done.
    pub way: OfferWay,
    /// Its words in the line of hints; often empty.
    pub hint: String,
    /// Help, place, keys and the words to find it by, as they are compared.
    searched: [String; 4],
    /// The names that stand in the list which the action opens; often empty.
    listed: String,
}

/// The box in which one types to find an action.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SearchBox {
    offers: Vec<Offer>,
    /// The places of the offers that answer to what is typed, best first.
    list: NarrowedList<usize>,
    /// What is said where no key does what is looked for.
    pointers: Vec<Pointer>,
}

impl SearchBox {
    /// How many lines a screenful is.
    pub const PAGE: usize = 10;

    /// Returns the search as begun at `here`; `open` are the panes one could go to.
    pub fn new(keys: &KeyTable, here: Pane, open: &[Focus]) -> Self {
        let mut offers: Vec<Offer> = Vec::new();
        let others = Pane::ALL.iter().copied().filter(|place| *place != here && !here.also().contains(place));
        for place in std::iter::once(here).chain(here.also().iter().copied()).chain(others) {
            for row in keys.rows_of(place) {
                // What works in several places is offered once, where it is nearest.
                if !offers.iter().any(|offer| offer.action == row.action) {
                    offers.push(Offer::of(row, here, open));
                }
            }
        }
        let list = NarrowedList::new(Self::PAGE, |typed| answering(&offers, typed));
        Self { offers, list, pointers: pointers(keys, here) }
    }

    /// Returns what is typed.
    pub const fn line(&self) -> &TypedLine {
        self.list.line()
    }

    /// Returns the offers that answer to what is typed, best first.
    pub fn found(&self) -> impl ExactSizeIterator<Item = &Offer> {
        self.list.rows().iter().map(|place| &self.offers[*place])
    }

    /// Says that nothing was found, and what to type instead.
    pub fn nothing_found(&self) -> String {
        nothing_found(self.line().text(), self.offers.iter(), &self.pointers)
    }

    /// Returns the command that does what is typed, or what comes near, where no key does it.
    pub fn pointed(&self) -> Option<&str> {
        pointed(&self.pointers, &TypedQuery::of(self.line().text()))
    }

    /// Returns the number of the selected line, from 0.
    pub const fn selected(&self) -> usize {
        self.list.selected()
    }

    /// Returns the selected offer; `None` where nothing answers.
    pub fn offer(&self) -> Option<&Offer> {
        self.list.selected_row().and_then(|place| self.offers.get(*place))
    }

    /// Types a text in one go. Errors: there is no room for all of it, and nothing of it was taken.
    pub fn type_all(&mut self, text: &str) -> Result<(), NoRoom> {
        self.list.type_all(text, |typed| answering(&self.offers, typed))
    }

    /// Does what was asked.
    pub fn act(&mut self, action: SearchAction) -> BoxVerdict {
        let step = match action {
            SearchAction::Previous => ListStep::Previous,
            SearchAction::Next => ListStep::Next,
            SearchAction::First => ListStep::First,
            SearchAction::Last => ListStep::Last,
            SearchAction::PageUp => ListStep::PageUp,
            SearchAction::PageDown => ListStep::PageDown,
            SearchAction::Erase => ListStep::Erase,
            SearchAction::EraseAll => ListStep::EraseAll,
            SearchAction::Accept => return BoxVerdict::Accept,
            SearchAction::Cancel => return BoxVerdict::Cancel,
        };
        self.list.step(step, |typed| answering(&self.offers, typed));
        BoxVerdict::Stay
    }
}

/// Returns the places of the offers that answer to what is typed, best first, the best selected.
fn answering(offers: &[Offer], typed: &str) -> (Vec<usize>, usize) {
    let query = TypedQuery::of(typed);
    let rank = |offer: &Offer| {
        let far = offer.distance_of(&query)?;
        Some((offer.way == OfferWay::NotNow, offer.called(&query), far))
    };
    let mut found: Vec<_> =
        offers.iter().enumerate().filter_map(|(place, offer)| Some((rank(offer)?, place))).collect();
    // Letters that stand apart are tried where no words answer.
    if found.iter().any(|((_, _, far), _)| *far < SCATTERED) {
        found.retain(|((_, _, far), _)| *far < SCATTERED);
    }
    found.sort_unstable();
    (found.into_iter().map(|(_, place)| place).collect(), 0)
}

impl Offer {
    /// Returns what a row offers to somebody at `here`; `open` are the panes one could go to.
    pub fn of(row: &Row, here: Pane, open: &[Focus]) -> Self {
        let keys = row.keys.iter().map(ToString::to_string).collect::<Vec<String>>().join(", ");
        let place = row.place().word();
        let searched = [plain(&row.help), plain(place), plain(&keys), plain(&row.find)];
        let (help, hint) = (row.help.clone(), row.hint.clone());
        let listed = listed(row.action);
        Self { action: row.action, keys, help, place, way: way(row, here, open), hint, searched, listed }
    }

    /// Returns whether the words as typed are the very name of the action (0), or what the program writes for them is (1), or
    /// neither (2).
    pub(super) fn called(&self, query: &TypedQuery) -> usize {
        let mut wordings = query.wordings().iter();
        let called = wordings.find(|wording| self.is_called(&wording.together()));
        let listed = || if query.wordings().iter().any(|wording| self.lists(&wording.together())) { 1 } else { 2 };
        called.map_or_else(listed, |wording| wording.replaced.min(1))
    }

    /// Returns whether several words stand in their order in the list which the action opens.
    fn lists(&self, query: &str) -> bool {
        query.contains(' ') && in_words(&self.listed, query)
    }

    /// Returns whether this is the very name of the action, or several words of it in their order.
    fn is_called(&self, query: &str) -> bool {
        let [help, _, _, find] = &self.searched;
        let several = || query.contains(' ') && (in_words(help, query) || in_words(find, query));
        !query.is_empty() && (plain(&self.hint) == query || several())
    }

    /// Returns whether every word as typed stands in the words of the line of hints.
    pub(super) fn is_hinted(&self, query: &TypedQuery) -> bool {
        let hint = plain(&self.hint);
        let stands = |word: &String| hint.split_whitespace().any(|part| part == word);
        !query.typed().is_empty() && query.typed().iter().all(stands)
    }

    /// Returns how far what is typed lies from what is offered; `None` where a word of it is not in it. Other words for the same lie
    /// further.
    fn distance_of(&self, query: &TypedQuery) -> Option<usize> {
        let far = |wording: &Wording| -> Option<usize> {
            let far: Option<usize> = wording.words.iter().map(|word| self.distance(word)).sum();
            Some(far? + wording.replaced)
        };
        query.wordings().iter().filter_map(far).min()
    }

    /// Returns how far what is typed lies from what is offered, as [`Self::distance_of`] does. Letters that stand apart do not count.
    pub(super) fn distance_in_words(&self, query: &TypedQuery) -> Option<usize> {
        let far = |wording: &Wording| -> Option<usize> {
            let near = |word: &String| self.distance(word).filter(|far| *far < SCATTERED);
            let far: Option<usize> = wording.words.iter().map(near).sum();
            Some(far? + wording.replaced)
        };
        query.wordings().iter().filter_map(far).min()
    }

    /// Returns the words that an action may be looked for by.
    fn words(&self) -> impl Iterator<Item = &str> {
        let [help, _, _, find] = &self.searched;
        [help, find, &self.listed].into_iter().flat_map(|text| text.split(|letter: char| !letter.is_alphanumeric()))
    }

    /// Returns how far a word lies from what the offer says; `None` where it is not in it.
    ///
    /// Nearest is a whole word that it is found by or a key, then a whole word of the help or a form of it, then a word of what it
    /// lists or the beginning of a word, then the place, then what begins anywhere; last, letters that stand apart but in order.
    fn distance(&self, word: &str) -> Option<usize> {
        let [help, place, keys, find] = &self.searched;
        let words = |text: &str, fits: &dyn Fn(&str) -> bool| {
            text.split(|letter: char| !letter.is_alphanumeric()).any(|part| !part.is_empty() && fits(part))
        };
        if words(find, &|part| part == word) || keys.split(", ").any(|key| key == word) {
            return Some(0);
        }
        let is_form = |part: &str| same_word(part, word);
        if words(help, &|part| part == word) || words(find, &is_form) {
            return Some(1);
        }
        // What stands in a list that it opens comes behind what is called so itself.
        if words(help, &is_form) || words(&self.listed, &|part| is_form(part) || part.starts_with(word)) {
            return Some(2);
        }
        if words(find, &|part| part.starts_with(word)) || words(help, &|part| part.starts_with(word)) {
            return Some(2);
        }
        if words(place, &|part| part.starts_with(word)) {
            return Some(3);
        }
        // Letters within a word are there by chance, as `stem` in `system`.
        let begins = |text: &String| {
            text.match_indices(word)
                .any(|(at, _)| !text.get(..at).is_some_and(|before| before.ends_with(char::is_alphanumeric)))
        };
        if self.searched.iter().any(begins) {
            return Some(4);
        }
        scattered(help, word).map(|gaps| SCATTERED + gaps)
    }
}

/// Returns the names that stand in the list which an action opens; empty for an action that opens none.
fn listed(action: Action) -> String {
    let all = |names: &[&str]| names.join(", ");
    if action == Action::Passage(PassageAction::Techniques) {
        return all(&TECHNIQUES.iter().map(|row| row.name).collect::<Vec<&str>>());
    }
    if action == Action::Timeline(TimelineAction::ChooseKind) {
        let called = |kind: SegmentKind| [&[kind.word()], kind.also_called()].concat().join(", ");
        return SegmentKind::ALL.map(called).join(", ").to_lowercase();
    }
    if action == Action::Timeline(TimelineAction::ChooseProgress) {
        return all(&Progress::ALL.map(Progress::word));
    }
    let listed = LISTED.iter().find(|(opens, _)| *opens == action).map_or("", |(_, names)| names);
    if TUNES.contains(&action) { format!("{listed}, {}", TUNINGS.as_str()) } else { listed.to_owned() }
}

/// The actions that ask for a tuning and a capo.
const TUNES: [Action; 3] = [
    Action::Timeline(TimelineAction::ChooseSetup),
    Action::Timeline(TimelineAction::AddSetup),
    Action::Passage(PassageAction::PlaceAnew),
];

/// What may be answered there, as it may be typed: every instrument and tuning that is known by name, and some words for any.
static TUNINGS: LazyLock<String> = LazyLock::new(|| {
    let any = "standard tuning, open tuning, alternate tuning, no capo, without capo, capo 1 2 3 4 5 6 7 8 9";
    let instruments = catalogue::instruments().iter().map(|known| (&known.instrument.name, &known.also));
    let tunings = catalogue::tunings().iter().map(|known| (&known.name, &known.also));
    let named = instruments.chain(tunings).flat_map(|(name, also)| std::iter::once(name).chain(also));
    let names: Vec<&str> = std::iter::once(any).chain(named.map(String::as_str)).collect();
    // A compound is looked for as two words.
    plain(&names.join(", ")).replace('-', " ")
});

/// What stands in the boxes of some actions, as it may be typed, or what they do in several words of a player.
const LISTED: [(Action, &str); 5] = [
    (Action::Passage(PassageAction::DeadStrum), "mute all strings"),
    (
        Action::Passage(PassageAction::ChooseBar),
        "repeat starts here, repeat ends here, straight, swung eighths, swung sixteenths, rename passage, change passage title passage, \
         delete passage",
    ),
    (Action::Timeline(TimelineAction::ChooseSetup), "change tuning or capo, rename tuning, delete tuning"),
    (Action::Timeline(TimelineAction::ListPieces), "rename piece, credits, author, permission, delete piece"),
    (Action::Sound(SoundAction::Choose), "metronome click, count in, sound device"),
];

/// How far letters that stand apart lie from a word, even where they stand close.
const SCATTERED: usize = 8;

/// Returns whether some words stand in a text in their order, each of them whole.
fn in_words(text: &str, words: &str) -> bool {
    let inside = |sign: Option<char>| sign.is_some_and(char::is_alphanumeric);
    text.match_indices(words).any(|(at, _)| {
        let (before, after) = (text.get(..at).unwrap_or(""), text.get(at + words.len()..).unwrap_or(""));
        !inside(before.chars().next_back()) && !inside(after.chars().next())
    })
}

/// Says that nothing was found for what is typed, and what to do instead: what is pointed to, or else words to type that are nearly the
/// same, or others.
pub(super) fn nothing_found<'a>(
    typed: &str,
    offers: impl Iterator<Item = &'a Offer> + Clone,
    pointers: &[Pointer],
) -> String {
    let query = TypedQuery::of(typed);
    if let Some(said) = pointed(pointers, &query) {
        return said.to_owned();
    }
    let is_known = |word: &str| {
        let alone = TypedQuery::of(word);
        offers.clone().any(|offer| offer.distance_in_words(&alone).is_some())
    };
    let unknown: Vec<&str> = query.typed().iter().map(String::as_str).filter(|word| !is_known(word)).collect();
    if unknown.is_empty() {
        return "Nothing found for all these words together: fewer of them find more.".to_owned();
    }
    let mut near: Vec<(usize, &str)> = Vec::new();
    for typed in &unknown {
        let known = offers.clone().flat_map(Offer::words).filter(|known| known.len() > 3);
        near.extend(known.map(|known| (distance(known, typed), known)).filter(|(far, known)| far * 3 <= known.len()));
    }
    near.sort_unstable();
    near.dedup();
    let near: Vec<&str> = near.into_iter().map(|(_, word)| word).take(4).collect();
    let said = unknown.iter().map(|word| format!("\"{word}\"")).collect::<Vec<String>>().join(", ");
    match near.as_slice() {
        [] => format!(
            "Nothing found for {said}: the program may not have it, or call it otherwise. Try another word for it, or for what it \
             does: mute, repeat, tempo, tuning, chord, print."
        ),
        near => format!("Nothing found for {said}. Perhaps: {}.", near.join(", ")),
    }
}

/// Returns how many letters lie between those of `word`, which stand in `text` in their order, and each of which begins a word or follows
/// the one before it; `None` where as many or more lie between them as it has, which is by chance.
fn scattered(text: &str, word: &str) -> Option<usize> {
    let (text, word): (Vec<char>, Vec<char>) = (text.chars().collect(), word.chars().collect());
    let spare = word.len().checked_sub(1)?;
    (0..text.len()).filter(|at| begins_word(&text, *at)).filter_map(|at| gaps_from(&text, at, &word, spare)).min()
}

fn begins_word(text: &[char], at: usize) -> bool {
    let is_letter = |at: usize| text.get(at).is_some_and(|letter| letter.is_alphanumeric());
    is_letter(at) && at.checked_sub(1).is_none_or(|before| !is_letter(before))
}

/// Returns how many letters lie between those of `word`, of which the first stands at `at`; at most `spare`.
fn gaps_from(text: &[char], at: usize, word: &[char], spare: usize) -> Option<usize> {
    let (first, rest) = word.split_first()?;
    if text.get(at) != Some(first) {
        return None;
    }
    if rest.is_empty() {
        return Some(0);
    }
    let further = (0..=spare).filter(|gap| *gap == 0 || begins_word(text, at + 1 + gap));
    further.filter_map(|gap| Some(gap + gaps_from(text, at + 1 + gap, rest, spare - gap)?)).min()
}

fn way(row: &Row, here: Pane, open: &[Focus]) -> OfferWay {
    // Which digit is meant, only the key can say.
    if row.action == Action::Fretboard(FretboardAction::TypeFret) {
        return OfferWay::NotNow;
    }
    let place = row.place();
    if place == here || here.also().contains(&place) {
        return OfferWay::Here;
    }
    // A pane may have keys in more than one place.
    let has = |focus: &&Focus| focus.pane() == place || focus.pane().also().contains(&place);
    open.iter().find(has).map_or(OfferWay::NotNow, |focus| OfferWay::By(*focus))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(here: Pane, open: &[Focus], query: &str) -> Vec<(String, OfferWay)> {
        let mut search = SearchBox::new(&KeyTable::built_in(), here, open);
        search.type_all(query).unwrap();
        search.found().map(|offer| (offer.help.clone(), offer.way)).collect()
    }

    #[test]
    fn every_action_is_offered_once() {
        let search = SearchBox::new(&KeyTable::built_in(), Pane::Timeline, &Focus::ALL);
        let mut offered: Vec<Action> = search.found().map(|offer| offer.action).collect();
        offered.sort_unstable();
        let mut all: Vec<Action> = Action::all().collect();
        all.sort_unstable();
        assert_eq!(offered, all);
    }

    #[test]
    fn what_can_be_done_comes_before_what_cannot() {
        for (here, open) in [(Pane::Fretboard, &Focus::ALL[..]), (Pane::Start, &[])] {
            for query in ["", "e", "select", "take"] {
                let found = found(here, open, query);
                assert!(found.is_sorted_by_key(|(_, way)| *way == OfferWay::NotNow), "{query}");
            }
        }
    }

    #[test]
    fn words_may_stand_in_any_order_and_whole_ones_come_first() {
        assert_eq!(
            found(Pane::Timeline, &Focus::ALL, "handout write")[0].0,
            "save the handout as text next to the lesson file"
        );
        assert_eq!(
            found(Pane::Timeline, &Focus::ALL, "string MUTE")[0],
            ("mute the string".into(), OfferWay::By(Focus::Fretboard))
        );
        assert_eq!(found(Pane::Timeline, &Focus::ALL, "ctrl+s")[0].0, "save the lesson");
        assert_eq!(found(Pane::Start, &[], "mute string")[0].1, OfferWay::NotNow);
        assert!(found(Pane::Timeline, &Focus::ALL, "zzz").is_empty());
    }

    #[test]
    fn letters_that_stand_apart_are_found_in_their_order() {
        assert_eq!(scattered("move this up", "movthis"), Some(2));
        assert_eq!(scattered("mute", "tm"), None);
        // What begins within a word, or has too much between, is there by chance.
        assert_eq!(scattered("speed playback up", "backup"), None);
        assert_eq!(scattered("mute the string", "mts"), None);
        assert_eq!(
            found(Pane::Timeline, &Focus::ALL, "undwhat")[0].0,
            "undo what was done last, to the fingers or to the lesson"
        );
    }
}
