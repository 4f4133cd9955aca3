//! Tab that is read or pasted fills a passage in which nothing is written.

use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::music::Passage;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::messages::message::Message;

use crate::workbench::bench::Bench;

const TAB: &str = "e|-----0---|\nB|---1---1-|\nG|-0-------|\nD|---------|\nA|-3-------|\nE|---------|\n";

/// Stands in a new passage of one empty bar, which a segment about one piece plays.
fn in_a_new_passage() -> Bench {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down P a \"Ferry riff\" Enter Ctrl+U \"3/4\" Enter Ctrl+U \"1/4=70\" Enter");
    bench
}

fn last(lesson: &Lesson) -> &Passage {
    lesson.passages.last().unwrap()
}

fn paste(bench: &mut Bench, text: &str) {
    bench.send(Message::Pasted(text.to_owned()));
}

#[test]
fn pasted_tab_fills_the_empty_passage_that_one_stands_in() {
    let mut bench = in_a_new_passage();
    let before = bench.lesson().clone();
    paste(&mut bench, &format!("Porch idea\n\n{TAB}"));
    assert!(!matches!(bench.state.overlay, Some(Overlay::Entry(_))), "no title is asked for: it has one");
    let filled = last(bench.lesson());
    assert_eq!((filled.id, filled.title.as_str()), (last(&before).id, "Ferry riff"));
    assert_eq!((filled.meter, filled.tempo, filled.piece), {
        let empty = last(&before);
        (empty.meter, empty.tempo, empty.piece)
    });
    assert!(!filled.is_unwritten());
    assert_eq!(bench.lesson().passages.len(), before.passages.len());
    assert_eq!(bench.lesson().segments, before.segments);
    assert!(bench.notice().starts_with("read \"Ferry riff\" in "), "{}", bench.notice());
    bench.strike("Esc u");
    assert_eq!(bench.lesson(), &before, "one step of undo");
    assert_eq!(&bench.replayed, &before);
}

#[test]
fn tab_from_a_file_fills_it_too_and_the_next_makes_a_passage_of_its_own() {
    let mut bench = in_a_new_passage();
    let count = bench.lesson().passages.len();
    let read = |bench: &mut Bench| {
        bench.strike("A \"porch.txt\" Enter");
        bench.send(Message::TabRead("porch.txt".into(), Ok(format!("Porch idea\n\n{TAB}"))));
        bench.strike("Esc");
    };
    read(&mut bench);
    assert_eq!((bench.lesson().passages.len(), last(bench.lesson()).title.as_str()), (count, "Ferry riff"));
    read(&mut bench);
    let new = last(bench.lesson());
    assert_eq!((bench.lesson().passages.len(), new.title.as_str()), (count + 1, "Porch idea"));
    assert_eq!(new.piece, Some(bench.lesson().pieces[0].id), "it is of the piece that the segment is about");
}

#[test]
fn the_title_that_the_tab_gives_is_offered() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down P");
    paste(&mut bench, &format!("Porch idea\n\n{TAB}"));
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("no title is asked for") };
    assert_eq!(entry.line.text(), "Porch idea");
    bench.strike("Enter");
    assert_eq!(last(bench.lesson()).title, "Porch idea");
}
