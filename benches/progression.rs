//! How long the smoothest way through 32 chords takes, searching for their voicings included.

use std::collections::BTreeSet;

use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::neck::Fret;
use fingerpost::instrument::rig::Rig;
use fingerpost::instrument::voicing::board::ChordBoard;
use fingerpost::instrument::voicing::path::path;
use fingerpost::instrument::voicing::request::Request;
use fingerpost::theory::symbol::ChordSymbol;

fn main() {
    divan::main();
}

/// A song: eleven different chords.
const SONG: &str = "G D Em C G D C C Am7 D7 G Em Am7 D7 G G/B C Cm G/D E7 A7 D7 G B7 Em Em7 C D7 G C G D7";

/// A tune through the keys: 32 different chords.
const TUNE: &str = "Fm7 Bbm7 Eb7 Abmaj7 Dbmaj7 G7 Cmaj7 C6 Cm7 Fm9 Bb7 Ebmaj7 Abmaj9 Am7b5 D7b9 Gmaj7 \
                    Am7 D7 G6 Bm7 F#m7b5 B7#9 Emaj7 C7#5 Fm6 Bbm9 Eb9 Ab6 Gm7 Bdim7 Bb9sus4 Eb13";

fn rig(instrument: Option<&str>, tuning: Option<&str>, frets: u8) -> Rig {
    let (mut instrument, tuning) = setup_from_text(instrument, tuning).expect("in the catalogue");
    instrument.frets = Fret::new(frets).expect("a fret");
    Rig::new(instrument, tuning, None).expect("a rig")
}

#[divan::bench(args = [SONG, TUNE], sample_count = 100)]
fn thirty_two_chords_on_six_strings_and_24_frets(bencher: divan::Bencher, row: &str) {
    let rig = rig(None, None, 24);
    let symbols: Vec<ChordSymbol> = row.split_whitespace().map(|symbol| symbol.parse().expect("a chord")).collect();
    let request = Request::default();
    bencher.bench(|| path(divan::black_box(&rig), None, &symbols, &request).expect("a path"));
}

/// The same on eight strings.
#[divan::bench(args = [SONG], sample_count = 20)]
fn thirty_two_chords_on_eight_strings_and_24_frets(bencher: divan::Bencher, row: &str) {
    let rig = rig(None, Some("F#1 B1 E2 A2 D3 G3 B3 E4"), 24);
    let symbols: Vec<ChordSymbol> = row.split_whitespace().map(|symbol| symbol.parse().expect("a chord")).collect();
    let request = Request::default();
    bencher.bench(|| path(divan::black_box(&rig), None, &symbols, &request).expect("a path"));
}

/// The part that is the search, on six strings.
#[divan::bench(args = [SONG, TUNE], sample_count = 100)]
fn only_the_search_for_their_voicings(bencher: divan::Bencher, row: &str) {
    let rig = rig(None, None, 24);
    let texts: BTreeSet<&str> = row.split_whitespace().collect();
    let symbols: Vec<ChordSymbol> = texts.into_iter().map(|symbol| symbol.parse().expect("a chord")).collect();
    let request = Request::default();
    bencher.bench(|| {
        let board = ChordBoard::of(divan::black_box(&rig));
        symbols.iter().map(|symbol| board.search(symbol, &request).expect("tones").count()).sum::<usize>()
    });
}
