//! The list of all keys: headings, of which one is open at a time; what is typed narrows it to the actions that answer.

use crate::workbench::boxes::narrowed_list::{ListStep, Narrowed, NarrowedList};
use crate::workbench::boxes::pointers::{Pointer, pointers};
use crate::workbench::boxes::search::{Offer, OfferWay, nothing_found};
use crate::workbench::boxes::typed_query::{TypedQuery, plain};
use crate::workbench::boxes::verdict::BoxVerdict;
use crate::workbench::keys::action::{Focus, HelpAction, Pane};
use crate::workbench::keys::headings::HelpHeading;
use crate::workbench::keys::table::KeyTable;
use crate::workbench::typing::lines::{NoRoom, TypedLine};

/// The list of all keys.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HelpBox {
    jobs: Vec<KeysOfJob>,
    /// The job whose actions are listed while nothing is typed.
    open: Option<usize>,
    list: NarrowedList<HelpLine>,
    /// What is said where no key does what is looked for.
    pointers: Vec<Pointer>,
}

/// A heading, and the actions that stand under it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeysOfJob {
    /// The heading.
    pub heading: String,
    /// The actions, in the order of the table of keys.
    pub offers: Vec<Offer>,
}

/// One line of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum HelpLine {
    /// The heading with this number.
    Heading(usize),
    /// Of this heading the action with this number.
    Offer(usize, usize),
}

/// One line of the list, with what it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShownLine<'a> {
    /// A heading.
    Heading(&'a KeysOfJob),
    /// An action under one.
    Offer(&'a Offer),
}

impl HelpBox {
    /// How many lines a screenful is.
    const PAGE: usize = 12;

    /// Returns the list as seen from `here`, whose headings come first; `open` are the panes one could go to.
    pub fn new(keys: &KeyTable, here: Pane, open: &[Focus]) -> Self {
        let headings = HelpHeading::all();
        let none = |heading: &HelpHeading| (2, KeysOfJob { heading: heading.heading.clone(), offers: Vec::new() });
        let mut jobs: Vec<(usize, KeysOfJob)> = headings.iter().map(none).collect();
        for row in keys.rows() {
            let rank = match row.place() {
                place if place == here => 0,
                place if here.also().contains(&place) => 1,
                _ => 2,
            };
            if let Some((first, job)) = HelpHeading::of(&headings, row).and_then(|number| jobs.get_mut(number)) {
                *first = rank.min(*first);
                job.offers.push(Offer::of(row, here, open));
            }
        }
        jobs.sort_by_key(|(rank, _)| *rank);
        let jobs: Vec<KeysOfJob> = jobs.into_iter().map(|(_, job)| job).collect();
        let list = NarrowedList::new(Self::PAGE, |typed| answering(&jobs, None, typed));
        Self { jobs, open: None, list, pointers: pointers(keys, here) }
    }

    /// Returns what is typed.
    pub const fn line(&self) -> &TypedLine {
        self.list.line()
    }

    /// Returns the lines that are shown.
    pub fn shown(&self) -> impl ExactSizeIterator<Item = Option<ShownLine<'_>>> {
        self.list.rows().iter().map(|line| self.at(*line))
    }

    /// Returns the number of the selected line, from 0.
    pub const fn selected(&self) -> usize {
        self.list.selected()
    }

    /// Returns the selected line; `None` where nothing is found.
    pub fn selected_line(&self) -> Option<ShownLine<'_>> {
        self.list.selected_row().and_then(|line| self.at(*line))
    }

    /// Returns the selected action; `None` where a heading is selected, or nothing is found.
    pub fn offer(&self) -> Option<&Offer> {
        match self.selected_line() {
            Some(ShownLine::Offer(offer)) => Some(offer),
            Some(ShownLine::Heading(_)) | None => None,
        }
    }

    /// Says that nothing was found, and what to type instead.
    pub fn nothing_found(&self) -> String {
        nothing_found(self.line().text(), self.jobs.iter().flat_map(|job| &job.offers), &self.pointers)
    }

    /// Types a text in one go. Errors: there is no room for all of it, and nothing of it was taken.
    pub fn type_all(&mut self, text: &str) -> Result<(), NoRoom> {
        self.list.type_all(text, |typed| answering(&self.jobs, self.open, typed))
    }

    /// Does what was asked.
    pub fn act(&mut self, action: HelpAction) -> BoxVerdict {
        let step = match action {
            HelpAction::Previous => ListStep::Previous,
            HelpAction::Next => ListStep::Next,
            HelpAction::First => ListStep::First,
            HelpAction::Last => ListStep::Last,
            HelpAction::PageUp => ListStep::PageUp,
            HelpAction::PageDown => ListStep::PageDown,
            HelpAction::Erase => ListStep::Erase,
            HelpAction::EraseAll => ListStep::EraseAll,
            HelpAction::Open => match self.list.selected_row() {
                Some(HelpLine::Heading(job)) => return self.open_or_close(*job),
                // What is selected is done; where nothing is found, it is said so.
                Some(HelpLine::Offer(..)) | None => return BoxVerdict::Accept,
            },
            HelpAction::Close => return BoxVerdict::Cancel,
        };
        self.list.step(step, |typed| answering(&self.jobs, self.open, typed));
        BoxVerdict::Stay
    }

    /// Lists the actions under a heading, or closes it where they are listed. What was typed is forgotten: the heading has more.
    fn open_or_close(&mut self, job: usize) -> BoxVerdict {
        let is_open = self.line().text().is_empty() && self.open == Some(job);
        self.open = (!is_open).then_some(job);
        self.list.step(ListStep::EraseAll, |typed| {
            let (lines, _) = answering(&self.jobs, self.open, typed);
            let heading = lines.iter().position(|line| *line == HelpLine::Heading(job)).unwrap_or(0);
            (lines, heading)
        });
        BoxVerdict::Stay
    }

    fn at(&self, line: HelpLine) -> Option<ShownLine<'_>> {
        Some(match line {
            HelpLine::Heading(job) => ShownLine::Heading(self.jobs.get(job)?),
            HelpLine::Offer(job, offer) => ShownLine::Offer(self.jobs.get(job)?.offers.get(offer)?),
        })
    }
}

/// Returns what is shown: all headings and what is `open`, or what answers to what is typed, the best of it selected.
fn answering(jobs: &[KeysOfJob], open: Option<usize>, typed: &str) -> Narrowed<HelpLine> {
    let query = TypedQuery::of(typed);
    if query.typed().is_empty() {
        let lines = |number: usize, job: &KeysOfJob| {
            let offers = if open == Some(number) { job.offers.len() } else { 0 };
            let offers = (0..offers).map(move |offer| HelpLine::Offer(number, offer));
            std::iter::once(HelpLine::Heading(number)).chain(offers)
        };
        return (jobs.iter().enumerate().flat_map(|(number, job)| lines(number, job)).collect(), 0);
    }
    let found = |(number, job): (usize, &KeysOfJob)| {
        let mut found = job.found(&query);
        found.sort_unstable();
        Some((found.first()?.0, number, found))
    };
    let mut found: Vec<_> = jobs.iter().enumerate().filter_map(found).collect();
    found.sort_unstable();
    let lines = found.into_iter().flat_map(|(_, number, offers)| {
        let offers = offers.into_iter().map(move |(_, offer)| HelpLine::Offer(number, offer));
        std::iter::once(HelpLine::Heading(number)).chain(offers)
    });
    // Under the first heading the first action is the nearest.
    let lines: Vec<HelpLine> = lines.collect();
    let selected = usize::from(lines.len() > 1);
    (lines, selected)
}

/// How near an action lies to what is typed; the least is the nearest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
struct Nearness {
    /// What can be done from here comes before what cannot.
    not_now: bool,
    /// Whether it is called so: see [`Offer::called`].
    called: usize,
    /// Whether a typed word is missing in its words in the line of hints.
    no_words_of_hint: bool,
    /// How far it lies from all of its words.
    far: usize,
}

impl KeysOfJob {
    /// How far an action lies from what is typed whose heading has it.
    const BY_HEADING: usize = 4;

    /// Returns the actions that answer to all of some words, by themselves or by the heading, each with how near it lies to them.
    fn found(&self, query: &TypedQuery) -> Vec<(Nearness, usize)> {
        let heading = plain(&self.heading);
        let in_heading = |typed: &str| heading.split_whitespace().any(|word| word.starts_with(typed));
        let by_heading = query.typed().iter().all(|word| in_heading(word)).then_some(Self::BY_HEADING);
        let offers = self.offers.iter().enumerate();
        let near = |offer: &Offer| {
            let far = offer.distance_in_words(query).or(by_heading)?;
            let (not_now, called) = (offer.way == OfferWay::NotNow, offer.called(query));
            Some(Nearness { not_now, called, no_words_of_hint: !offer.is_hinted(query), far })
        };
        offers.filter_map(|(number, offer)| Some((near(offer)?, number))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(help: &HelpBox) -> Vec<String> {
        let text = |line| match line {
            Some(ShownLine::Heading(job)) => format!("= {}", job.heading),
            Some(ShownLine::Offer(offer)) => offer.help.clone(),
            None => String::new(),
        };
        help.shown().map(text).collect()
    }

    #[test]
    fn headings_come_first_and_those_of_the_pane_before_all() {
        for (here, first) in [
            (Pane::Passage, "= write notes"),
            (Pane::Timeline, "= segments of the video"),
            (Pane::Library, "= library of voicings"),
        ] {
            let help = HelpBox::new(&KeyTable::built_in(), here, &Focus::ALL);
            let lines = lines(&help);
            assert_eq!(lines[0], first);
            assert_eq!(lines.len(), HelpHeading::all().len(), "only headings: {lines:?}");
        }
    }

    #[test]
    fn enter_opens_a_heading_and_closes_it_and_one_is_open_at_a_time() {
        let mut help = HelpBox::new(&KeyTable::built_in(), Pane::Passage, &Focus::ALL);
        let closed = lines(&help);
        help.act(HelpAction::Open);
        assert_eq!(
            lines(&help)[1],
            "put this fret on the string; type 1 2 for fret 12; at the end, the next fret begins a new note"
        );
        for _ in 0..lines(&help).len() {
            help.act(HelpAction::Next);
        }
        help.act(HelpAction::Open);
        assert_eq!(lines(&help)[1], closed[1]);
        assert!(lines(&help).len() > closed.len());
        help.act(HelpAction::Open);
        assert_eq!(lines(&help), closed);
    }

    #[test]
    fn what_is_typed_narrows_to_what_answers_under_its_headings() {
        let mut help = HelpBox::new(&KeyTable::built_in(), Pane::Timeline, &Focus::ALL);
        help.type_all("palm mute").unwrap();
        assert_eq!(lines(&help)[0], "= techniques");
        assert!(lines(&help).len() <= 3, "and the list that has it too: {:?}", lines(&help));
        assert!(help.offer().is_some_and(|offer| offer.help.starts_with("palm mute on or off")));
        assert!(matches!(help.selected_line(), Some(ShownLine::Offer(_))), "the action is selected, not its heading");
        assert!(help.offer().is_some());
        help.act(HelpAction::EraseAll);
        help.type_all("techn").unwrap();
        assert!(lines(&help).len() > 12, "a heading leads to all that is under it: {:?}", lines(&help));
        help.act(HelpAction::EraseAll);
        help.type_all("zzz").unwrap();
        assert_eq!(lines(&help), [""; 0]);
        assert!(help.nothing_found().starts_with("Nothing found for \"zzz\""));
    }
}
