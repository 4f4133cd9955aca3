//! Drafts.

use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::messages::message::Message;

use super::*;
use crate::workbench::bench::Bench;

/// Words with what was being written, as the first versions kept them.
#[test]
fn a_draft_of_words_is_found() {
    for format in formats().into_iter().filter(|format| format.join("journals/draft").exists()) {
        let found = draft::left(&format.join("journals/draft/porch.lesson.ron")).unwrap();
        let words = "one\ntwo \"quoted\" ♭".to_owned();
        let (fingers, about) = ("x 3 2? 0 1 0".into(), "Talking points".into());
        assert_eq!(found, Draft { fingers, about, words, ..Draft::default() });
    }
}

/// Every box in which something may be written, with its words and its cursor, and where the person stood.
#[test]
fn every_box_of_a_draft_opens_again_and_is_kept_as_it_was() {
    let mut panes = BTreeSet::new();
    for (path, draft) in of_todays_shape().iter().flat_map(|format| drafts(format)) {
        let mut bench = Bench::on(lesson_file::load(&path).unwrap().lesson, (100, 30));
        bench.send(Message::Drafted(Box::new(draft.clone())));
        let place = path.display();
        assert!(bench.state.draft.homeless.is_empty(), "{place}: {:?}", bench.state.draft.homeless);
        let open = bench.state.laid_aside.iter().chain(&bench.state.overlay);
        let words = open.map(|overlay| match overlay {
            Overlay::Entry(entry) => entry.line.text().to_owned(),
            Overlay::Points(points) => points.lines.text(),
            other => panic!("{place}: {other:?}"),
        });
        let kept: Vec<String> = draft.boxes.iter().map(|kept| kept.words.clone()).collect();
        assert_eq!(words.collect::<Vec<String>>(), kept, "{place}");
        // Earlier versions did not say in which tuning the fingers were put down.
        let known = if draft.tuning.is_empty() { bench.draft.tuning.clone() } else { draft.tuning.clone() };
        assert_eq!(bench.draft, Draft { tuning: known, ..draft.clone() }, "{place}");
        let focus = format!("{:?}", bench.desk().focus).to_lowercase();
        // The folder is named after the pane, and after what else it is about.
        let folder = path.parent().and_then(Path::file_name).and_then(|name| name.to_str()).unwrap();
        assert_eq!(folder.split('-').next(), Some(focus.as_str()), "{place}");
        panes.insert(focus);
    }
    assert_eq!(panes.len(), Focus::ALL.len());
}
