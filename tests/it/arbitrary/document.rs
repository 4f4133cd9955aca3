//! Random lessons and edits.

use fingerpost::instrument::body::{Instrument, Millimetres, ShortString};
use fingerpost::instrument::hand::{Barre, Finger};
use fingerpost::instrument::neck::{Fret, Shape};
use fingerpost::instrument::tuning::{Capo, Tuning};
use fingerpost::lesson::document::{
    BarRange, ChordNames, Header, Lesson, OwnedInstrument, PassageUse, Piece, Progress, Recorded, Segment, SegmentKind,
    Setup, VideoCut, Voicing,
};
use fingerpost::lesson::edit::{Edit, Item, ListEdit};
use fingerpost::lesson::id::{
    Identity, InstrumentId, ItemId, LessonId, PassageId, PieceId, SegmentId, SetupId, VoicingId,
};
use fingerpost::lesson::music::Passage;
use fingerpost::lesson::time::{VideoLength, VideoTime};
use fingerpost::theory::pitch::{Hertz, MidiNote, Pitch};
use fingerpost::theory::reading::Doubt;

use super::choices::{Choices, any_key, any_tempo, fret, perhaps_words, string, words};
use super::music::{CHORDS, Music, WORDS};
use super::passage::PassageMaker;

/// Builds a lesson from numbers: the first list shapes everything but the music, the others are bars.
pub fn lesson_from(numbers: &[Vec<u16>]) -> Lesson {
    let (first, bars) = numbers.split_first().map_or((&[][..], &[][..]), |(first, bars)| (first.as_slice(), bars));
    let mut maker = LessonMaker { choices: Choices::new(first), lesson: Lesson::default() };
    maker.lesson.id = Some(LessonId::new([maker.choices.number(0..=255); LessonId::BYTES]));
    maker.lesson.header = maker.header();
    for place in 0..maker.choices.below(3) {
        let item = maker.instrument(number_of(place));
        maker.lesson.instruments.push(item);
    }
    for place in 0..maker.choices.below(4) {
        let item = maker.setup(number_of(place));
        maker.lesson.setups.push(item);
    }
    for place in 0..maker.choices.below(4) {
        let item = maker.piece(number_of(place));
        maker.lesson.pieces.push(item);
    }
    for place in 0..maker.choices.below(5) {
        let item = maker.voicing(number_of(place));
        maker.lesson.voicings.push(item);
    }
    for (place, bars) in bars.chunks(3).enumerate() {
        let item = maker.passage(number_of(place), bars);
        maker.lesson.passages.push(item);
    }
    for place in 0..maker.choices.below(7) {
        let item = maker.segment(number_of(place));
        maker.lesson.segments.push(item);
    }
    maker.lesson
}

/// Identities with holes, out of order, and never twice.
fn number_of<Id: Identity>(place: usize) -> Id {
    numbered((place * 7 + 3) % 20)
}

/// Returns an identity whose number is told apart from any other in the document, and from that of another list:
/// a number of its list, from 30 upward, and seven places.
pub fn numbered<Id: Identity>(number: usize) -> Id {
    let list = match Id::from(0).into() {
        ItemId::Instrument(_) => 30,
        ItemId::Setup(_) => 31,
        ItemId::Piece(_) => 32,
        ItemId::Passage(_) => 33,
        ItemId::Voicing(_) => 34,
        ItemId::Segment(_) => 35,
    };
    Id::from(list * 100_000_000 + u32::try_from(number).unwrap())
}

/// Builds an edit of `lesson` from numbers, which it uses up; some do not fit.
pub fn edit_from(lesson: &Lesson, choices: &mut Choices) -> Edit {
    let mut maker = LessonMaker { choices: choices.clone(), lesson: lesson.clone() };
    let edit = maker.edit(lesson);
    *choices = maker.choices;
    edit
}

struct LessonMaker<'a> {
    choices: Choices<'a>,
    lesson: Lesson,
}

impl LessonMaker<'_> {
    fn edit(&mut self, lesson: &Lesson) -> Edit {
        let maker = self;
        match maker.choices.below(9) {
            0 => Edit::Header(maker.header()),
            1 => Edit::Instruments(maker.list_edit(&lesson.instruments, LessonMaker::instrument)),
            2 => Edit::Setups(maker.list_edit(&lesson.setups, LessonMaker::setup)),
            3 => Edit::Pieces(maker.list_edit(&lesson.pieces, LessonMaker::piece)),
            4 => Edit::Passages(maker.list_edit(&lesson.passages, LessonMaker::short_passage)),
            5 => Edit::Voicings(maker.list_edit(&lesson.voicings, LessonMaker::voicing)),
            6 | 7 => Edit::Segments(maker.list_edit(&lesson.segments, LessonMaker::segment)),
            _ => {
                let passage = maker.link(&lesson.passages);
                let bars = lesson.passages.iter().find(|known| known.id == passage).map_or(0, |known| known.bars.len());
                let at = maker.choices.below(bars + 2);
                let remove = maker.choices.below((bars + 2).saturating_sub(at));
                let insert = maker.short_passage(passage).bars;
                Edit::Bars { passage, at, remove, insert }
            }
        }
    }

    fn list_edit<T: Item<Id = Id> + Clone, Id: Identity>(
        &mut self,
        list: &[T],
        make: fn(&mut Self, Id) -> T,
    ) -> ListEdit<T, Id> {
        match self.choices.below(5) {
            0 => {
                let new = numbered(self.choices.below(60));
                ListEdit::Insert { at: self.choices.below(list.len() + 2), item: make(self, new) }
            }
            1 => ListEdit::Remove(self.link(list)),
            2 => {
                let known = self.link(list);
                ListEdit::Replace(make(self, known))
            }
            3 => ListEdit::Move { id: self.link(list), to: self.choices.below(list.len() + 1) },
            _ => {
                // Now and then two things end up with one identity, as a file edited by hand may have it.
                let at = self.choices.below(list.len() + 1);
                let other = if self.choices.happens(3) { self.link(list) } else { numbered(60 + at) };
                ListEdit::Renumber { at, id: other }
            }
        }
    }

    /// Returns the identity of something in `list`, or now and then of nothing.
    fn link<T: Item<Id = Id>, Id: Identity>(&mut self, list: &[T]) -> Id {
        let ids: Vec<Id> = list.iter().map(Item::id).collect();
        if self.choices.happens(2) { numbered(99) } else { self.choices.one_of(&ids).unwrap_or(numbered(99)) }
    }

    fn perhaps_setup(&mut self) -> Option<SetupId> {
        let setups = self.lesson.setups.clone();
        self.choices.happens(8).then(|| self.link(&setups))
    }

    fn header(&mut self) -> Header {
        let choices = &mut self.choices;
        Header {
            title: words(choices, &WORDS, 4),
            series: perhaps_words(choices),
            number: if choices.happens(4) { Some(7) } else { None },
            author: perhaps_words(choices),
            date: perhaps_words(choices),
            credit: perhaps_words(choices),
            rights: perhaps_words(choices),
            chord_names: choices.one_of(&[ChordNames::PlayedAs, ChordNames::SoundsAs]).unwrap(),
            target: if choices.happens(4) { Some(VideoLength::from_seconds(860)) } else { None },
        }
    }

    fn instrument(&mut self, id: InstrumentId) -> OwnedInstrument {
        let choices = &mut self.choices;
        let strings = [6, 3, 4, 5, 7, 8, 12][choices.below(7)];
        let short = (strings == 5 && choices.happens(8)).then(|| ShortString { string: string(5), starts_at: fret(5) });
        let body = Instrument {
            name: words(choices, &WORDS, 2),
            strings,
            frets: fret(choices.number(5..=30)),
            scale: Millimetres([648.0, 330.5, 864.0][choices.below(3)]),
            short,
        };
        OwnedInstrument { id, body }
    }

    fn setup(&mut self, id: SetupId) -> Setup {
        let instruments = self.lesson.instruments.clone();
        let instrument = self.link(&instruments);
        let strings = instruments.iter().find(|known| known.id == instrument).map_or(6, |known| known.body.strings);
        let choices = &mut self.choices;
        let open = (0..strings).map(|_| Pitch::usual(MidiNote::new(choices.number(28..=70)).unwrap())).collect();
        let capo = choices.happens(5).then(|| Capo {
            fret: fret(choices.number(1..=7)),
            strings: if choices.happens(5) { vec![string(2), string(3)] } else { Vec::new() },
        });
        Setup {
            id,
            name: words(choices, &WORDS, 2),
            instrument,
            tuning: Tuning::new(open).unwrap(),
            capo,
            reference: if choices.happens(3) { Some(Hertz(432.5)) } else { None },
            tone: perhaps_words(choices),
        }
    }

    fn piece(&mut self, id: PieceId) -> Piece {
        let setup = self.perhaps_setup();
        let choices = &mut self.choices;
        Piece {
            id,
            title: words(choices, &WORDS, 3),
            credit: perhaps_words(choices),
            recording: perhaps_words(choices),
            permission: perhaps_words(choices),
            setup,
            key: if choices.happens(8) { Some(any_key(choices)) } else { None },
            tempo: if choices.happens(8) { Some(any_tempo(choices)) } else { None },
            notes: perhaps_words(choices),
        }
    }

    fn voicing(&mut self, id: VoicingId) -> Voicing {
        let setup = self.perhaps_setup();
        let choices = &mut self.choices;
        let strings = choices.number(3..=12);
        let places: Vec<Option<Fret>> =
            (0..strings).map(|_| if choices.happens(4) { None } else { Some(fret(choices.number(0..=15))) }).collect();
        let doubts = [Doubt::Sure, Doubt::Unsure, Doubt::NotHeard];
        let fingers = [None, Some(Finger::Index), Some(Finger::Little), Some(Finger::Thumb)];
        Voicing {
            id,
            shape: Shape::new(places).unwrap(),
            doubts: if choices.happens(5) {
                (0..strings).filter_map(|_| choices.one_of(&doubts)).collect()
            } else {
                Vec::new()
            },
            setup,
            readings: (0..choices.below(3)).filter_map(|_| choices.one_of(&CHORDS)).map(str::to_owned).collect(),
            fingers: if choices.happens(5) {
                (0..strings).filter_map(|_| choices.one_of(&fingers)).collect()
            } else {
                Vec::new()
            },
            barre: choices.happens(3).then(|| Barre { fret: fret(5), from: string(strings), to: string(1) }),
            tags: (0..choices.below(3)).map(|_| words(choices, &WORDS, 1)).collect(),
            notes: perhaps_words(choices),
        }
    }

    fn short_passage(&mut self, id: PassageId) -> Passage {
        let mut numbers: Vec<u16> = Vec::new();
        for _ in 0..24 {
            numbers.push(u16::try_from(self.choices.below(1 << 16)).unwrap());
        }
        self.passage(id, &[numbers.clone(), numbers])
    }

    fn passage(&mut self, id: PassageId, bars: &[Vec<u16>]) -> Passage {
        let setup = self.perhaps_setup();
        let pieces = self.lesson.pieces.clone();
        let voicings = self.lesson.voicings.iter().map(|voicing| voicing.id).collect();
        let music = Music { voicings, strings: self.choices.number(3..=12), ..Music::everything() };
        let head: Vec<u16> = (0..20).map(|_| u16::try_from(self.choices.below(1 << 16)).unwrap()).collect();
        let piece = self.choices.happens(10).then(|| self.link(&pieces));
        Passage { piece, setup, ..PassageMaker { music: &music }.passage(id, &head, bars) }
    }

    fn segment(&mut self, id: SegmentId) -> Segment {
        let setup = self.perhaps_setup();
        let lesson = self.lesson.clone();
        let pieces = (0..self.choices.below(2)).map(|_| self.link(&lesson.pieces)).collect();
        let voicings = (0..self.choices.below(3)).map(|_| self.link(&lesson.voicings)).collect();
        let passages = (0..self.choices.below(3))
            .map(|_| {
                let passage = self.link(&lesson.passages);
                let first = 1 + u32::try_from(self.choices.below(4)).unwrap();
                PassageUse {
                    bars: self.choices.happens(6).then_some(BarRange { first, last: first + 1 }),
                    slow_times: self.choices.number(0..=3),
                    ..PassageUse::whole(passage)
                }
            })
            .collect();
        let choices = &mut self.choices;
        let milliseconds = |choices: &mut Choices| u32::try_from(choices.below(1 << 16)).unwrap() * 20;
        let start = milliseconds(choices);
        let recorded = choices.happens(6).then(|| Recorded {
            start: VideoTime(start),
            end: choices.happens(8).then(|| VideoTime(start + 1 + milliseconds(choices))),
        });
        let cut = recorded.filter(|_| choices.happens(3)).map(|Recorded { start, end }| {
            let length = end.map_or(4_000, |end| end.0 - start.0);
            VideoCut { from: VideoTime(start.0 + length / 4), to: VideoTime(start.0 + length / 4 + length.div_ceil(2)) }
        });
        let cuts = cut.into_iter().collect();
        Segment {
            id,
            kind: choices.one_of(&SegmentKind::ALL).unwrap(),
            title: words(choices, &WORDS, 3),
            planned: VideoLength(milliseconds(choices)),
            progress: choices.one_of(&Progress::ALL).unwrap(),
            recorded,
            cuts,
            setup,
            pieces,
            passages,
            voicings,
            talking_points: (0..choices.below(3)).map(|_| words(choices, &WORDS, 6)).collect(),
            shot: perhaps_words(choices),
            tone: perhaps_words(choices),
        }
    }
}
