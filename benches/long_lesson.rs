//! A lesson of 10,000 bars: load, check, handout, save. The goal is load + check + handout in under
//! a second.

mod shared;

use std::path::Path;

use fingerpost::lesson::check::check;
use fingerpost::lesson::document::Lesson;
use fingerpost::store::lesson_file::{Replace, load, save, to_text};
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::HandoutOptions;
use shared::large_lesson;

fn main() {
    // Kept for measuring the program itself.
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("long.lesson.ron");
    save(&path, &lesson(), Replace::Anything).expect("saved");
    divan::main();
}

fn lesson() -> Lesson {
    large_lesson(100, 100)
}

#[divan::bench]
fn checking(bencher: divan::Bencher) {
    let lesson = lesson();
    bencher.bench(|| check(divan::black_box(&lesson)));
}

#[divan::bench]
fn laying_out_the_handout(bencher: divan::Bencher) {
    let lesson = lesson();
    bencher.bench(|| handout(divan::black_box(&lesson), &HandoutOptions::default()).to_text());
}

#[divan::bench]
fn writing_the_text(bencher: divan::Bencher) {
    let lesson = lesson();
    bencher.bench(|| to_text(divan::black_box(&lesson)));
}

#[divan::bench]
fn saving(bencher: divan::Bencher) {
    let lesson = lesson();
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("long.lesson.ron");
    bencher.bench(|| save(&path, &lesson, Replace::Anything).expect("saved"));
}

#[divan::bench]
fn loading(bencher: divan::Bencher) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("long.lesson.ron");
    save(&path, &lesson(), Replace::Nothing).expect("saved");
    bencher.bench(|| load(&path).expect("loaded"));
}

#[divan::bench]
fn loading_checking_and_laying_out(bencher: divan::Bencher) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("long.lesson.ron");
    save(&path, &lesson(), Replace::Nothing).expect("saved");
    bencher.bench(|| {
        let loaded = load(&path).expect("loaded");
        (check(&loaded.lesson).len(), handout(&loaded.lesson, &HandoutOptions::default()).to_text().len())
    });
}
