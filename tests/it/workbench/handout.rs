//! The handout as it will print, looked at in the workbench.

use fingerpost::lesson::cut_video::VideoVersion;
use fingerpost::lesson::id::SegmentId;
use fingerpost::store::folders::Folders;
use fingerpost::store::settings::{Characters, HandoutChoice, HandoutSettings, Settings};
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::{Columns, HandoutOptions, TalkingPoints, UnusedMusic};
use fingerpost::text::charset::Charset;
use fingerpost::text::paper::Paper;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::boxes::preview::PreviewBox;
use fingerpost::workbench::jobs::queue::Jobs;
use fingerpost::workbench::keys::action::PreviewAction;
use fingerpost::workbench::messages::effect::{Effect, FileEffect};
use fingerpost::workbench::messages::message::Message;
use fingerpost::workbench::questions::program::Existing;
use fingerpost::workbench::runtime::session::Session;

use super::bench::{Bench, small_lesson};

#[track_caller]
fn preview(bench: &Bench) -> &PreviewBox {
    let Some(Overlay::Preview(preview)) = &bench.state.overlay else { panic!("no preview") };
    preview
}

/// The lines between the edges of the paper.
fn paper(bench: &Bench) -> Vec<String> {
    let inside = |line: &str| {
        let line = line.trim_start().strip_prefix('│')?.trim_end();
        Some(line.strip_suffix('│').unwrap_or(line).trim_end().to_owned())
    };
    bench.screen().lines().filter_map(inside).collect()
}

#[test]
fn going_down_by_screenfuls_shows_every_line_that_will_print_in_order() {
    let mut bench = Bench::small((80, 24));
    bench.strike("H");
    let pages = handout(&small_lesson(), &HandoutOptions::default()).pages;
    for page in &pages {
        let mut seen = Vec::new();
        let mut top = 0;
        while seen.len() < Paper::A4.lines() {
            let (first, shown) = (preview(&bench).top(21), paper(&bench));
            assert!(first <= seen.len(), "lines between {} and {first} were passed over", seen.len());
            seen.extend(shown.into_iter().skip(seen.len() - first));
            assert!(first >= top);
            top = first;
            bench.strike("PageDown");
        }
        let printed: Vec<String> = page.lines.clone();
        assert_eq!(seen.iter().take(printed.len()).collect::<Vec<_>>(), printed.iter().collect::<Vec<_>>());
        assert!(seen.iter().skip(printed.len()).all(String::is_empty));
    }
    assert_eq!(preview(&bench).place(), (pages.len() - 1, pages.len()));
}

#[test]
fn paper_characters_and_talking_points_are_switched_and_written_as_shown() {
    let mut bench = Bench::small((100, 30));
    bench.strike("H Tab z p");
    let shown = bench.screen();
    assert!(shown.contains("Letter, plain ASCII, with talking points   page 1 of"), "{shown}");
    let options = HandoutOptions {
        paper: Paper::Letter,
        charset: Charset::Ascii,
        talking_points: TalkingPoints::Print,
        ..HandoutOptions::default()
    };
    assert_eq!(preview(&bench).lines(), handout(&small_lesson(), &options).pages[0].lines);
    bench.strike("Ctrl+E");
    let Some(Effect::Files(FileEffect::WriteHandout(_, written, Existing::Ask))) = bench.wanted.pop() else {
        panic!("no handout")
    };
    assert_eq!(written, options);
    // The desk writes it the same way from then on.
    bench.strike("Esc Ctrl+E");
    let Some(Effect::Files(FileEffect::WriteHandout(_, written, Existing::Ask))) = bench.wanted.pop() else {
        panic!("no handout")
    };
    assert_eq!(written, options);
}

#[test]
fn what_the_command_can_choose_can_be_chosen_in_the_preview() {
    let mut bench = Bench::small((100, 30));
    bench.strike("H S \"1-2,9\" Enter");
    assert!(bench.screen().contains("there is no segment 9; the lesson has segments 1 to 4"), "{}", bench.screen());
    bench.strike("Ctrl+U \"1-2,walkthrough\" Enter t V l \"60\" Enter");
    let options = HandoutOptions {
        columns: Columns::new(60),
        segments: "1,2,walkthrough".parse().unwrap(),
        unused: UnusedMusic::Print,
        video: VideoVersion::Uncut,
        ..HandoutOptions::default()
    };
    assert_eq!(preview(&bench).options(), &options);
    assert_eq!(preview(&bench).lines(), handout(&small_lesson(), &options).pages[0].lines);
    let heading = bench.screen().lines().next().unwrap().to_owned();
    assert!(heading.contains("A4, width 60, segments 1-2,walkthrough, uncut times   page 1 of"), "{heading}");
    bench.strike("S \"loudly\" Enter");
    assert!(bench.screen().contains("`loudly` picks no segments"), "{}", bench.screen());
    bench.strike("Esc");
    assert_eq!(preview(&bench).options(), &options, "Esc leaves it as it was");
    bench.strike("S Ctrl+U Enter l Ctrl+U Enter t V l \"nine\" Enter");
    assert!(bench.screen().contains("`nine` is not a width: type a number from 40 to 200"), "{}", bench.screen());
    bench.strike("Esc");
    assert_eq!(preview(&bench).options(), &HandoutOptions::default());
}

#[test]
fn paper_characters_and_talking_points_are_kept_for_the_next_time() {
    let mut bench = Bench::small((100, 30));
    bench.strike("H");
    bench.wanted.clear();
    bench.strike("Tab z p z");
    let choice = |paper, characters, talking_points| {
        let rest = HandoutSettings { characters, talking_points };
        Effect::Files(FileEffect::KeepHandoutChoice(HandoutChoice { paper, rest }))
    };
    let expected = [
        choice(Paper::Letter, Characters::Automatic, false),
        choice(Paper::Letter, Characters::Ascii, false),
        choice(Paper::Letter, Characters::Ascii, true),
        choice(Paper::Letter, Characters::Automatic, true),
    ];
    assert_eq!(bench.wanted, expected);
    let home = tempfile::tempdir().unwrap();
    let folders = Folders::under(home.path());
    let mut session = Session::new(Some(folders.clone()));
    for effect in bench.wanted {
        let Effect::Files(effect) = effect else { panic!("{effect:?}") };
        assert_eq!(session.perform(effect, &mut Jobs::at_once()).len(), 0);
    }
    let kept = Settings::load(&folders).0.handout_choice();
    let mut next = Bench::small((100, 30));
    next.state.chosen.take_handout_choice(kept, Charset::Utf8);
    let options =
        HandoutOptions { paper: Paper::Letter, talking_points: TalkingPoints::Print, ..HandoutOptions::default() };
    assert_eq!(next.state.chosen.handout, options);
}

#[test]
fn the_hints_of_the_preview_name_its_choices_and_the_way_back_on_a_small_screen() {
    let mut bench = Bench::small((80, 24));
    bench.strike("H");
    let screen = bench.screen();
    let hints = screen.lines().nth(22).unwrap();
    for hint in ["Ctrl+E save as file", "Tab paper", "z ASCII", "p points", "Esc back"] {
        assert!(hints.contains(hint), "{hint}: {hints}");
    }
}

#[test]
fn the_question_about_a_file_in_the_way_leads_back_to_the_preview() {
    let mut bench = Bench::small((100, 30));
    bench.strike("H Ctrl+E");
    for answer in ["Enter", "Esc"] {
        bench.send(Message::HandoutExists("/lessons/workbench.handout.txt".into()));
        assert!(matches!(bench.state.overlay, Some(Overlay::Choice(_))));
        bench.strike(answer);
        preview(&bench);
    }
    bench.strike("Esc");
    assert!(bench.state.overlay.is_none());
}

#[test]
fn pages_are_turned_and_scrolled_to_and_fro() {
    let mut lesson = small_lesson();
    let long = lesson.segments[0].clone();
    for number in 0..60 {
        let mut segment = long.clone();
        segment.id = SegmentId(100 + number);
        segment.title = format!("part {number}");
        lesson.segments.push(segment);
    }
    let mut bench = Bench::on(lesson, (60, 16));
    bench.strike("H");
    let (_, pages) = preview(&bench).place();
    assert!(pages > 1);
    bench.strike("Right Left End");
    assert_eq!(preview(&bench).place().0, pages - 1);
    bench.strike("Home Down Down Up");
    assert_eq!((preview(&bench).place().0, preview(&bench).top(13)), (0, 1));
    bench.strike("PageUp PageUp");
    assert_eq!((preview(&bench).place().0, preview(&bench).top(13)), (0, 0));
    bench.strike("Right PageUp");
    assert_eq!((preview(&bench).place().0, preview(&bench).top(13)), (0, Paper::A4.lines() + 1 - 13));
    // The page is wider than this screen: the rest of it lies to the side.
    bench.strike("Home Shift+Right");
    assert_eq!(preview(&bench).left(58), 8);
    bench.strike("9 Shift+Right");
    assert_eq!(preview(&bench).left(58), Paper::A4.columns() - 58);
    bench.strike("9 Shift+Left");
    assert_eq!(preview(&bench).left(58), 0);
    let mut preview = preview(&bench).clone();
    preview.act(PreviewAction::LastPage, (58, 13));
    assert_eq!(preview.place().0, pages - 1);
}

/// What takes long is laid out elsewhere, and the paper stays empty until it is there.
#[test]
fn a_long_handout_is_shown_when_it_has_been_laid_out() {
    let mut lesson = small_lesson();
    let bar = lesson.passages[0].bars[0].clone();
    lesson.passages[0].bars = vec![bar; 300];
    let mut bench = Bench::on(lesson.clone(), (100, 30));
    bench.strike("H");
    assert!(bench.screen().contains("being laid out"), "{}", bench.screen());
    assert!(paper(&bench).iter().all(String::is_empty));
    let Some(Effect::Files(FileEffect::LayOut(asked, options))) = bench.wanted.pop() else {
        panic!("nothing is laid out")
    };
    assert_eq!((&*asked, &options), (&lesson, &HandoutOptions::default()));
    bench.strike("Tab");
    // The answer for the paper before comes too late.
    bench.send(Message::LaidOut(options.clone(), handout(&lesson, &options).pages));
    assert!(preview(&bench).is_awaited());
    let letter = HandoutOptions { paper: Paper::Letter, ..options };
    let pages = handout(&lesson, &letter).pages;
    bench.send(Message::LaidOut(letter, pages.clone()));
    assert_eq!(preview(&bench).place(), (0, pages.len()));
    assert!(paper(&bench).iter().zip(&pages[0].lines).all(|(shown, line)| shown == line));
}
