//! The lists of a lesson, each declared once.
//!
//! What is the same for every list is made from this table by whoever needs it, with a macro of its own that is
//! handed the rows: identities ([`super::id`]), edits and their inverses ([`super::edit`]), looking up
//! ([`super::lookup`]), links ([`super::links`]), places ([`super::place`]), what was touched ([`super::touched`]), merging
//! ([`super::merge`]), what is told of a thing ([`super::details`]) and the check of its texts. Nobody
//! else names all lists one after the other. The lists stand in the order of the document. The table itself imports
//! nothing: the words are looked up where they are used.

/// Hands every row of the table to the macro `$take`.
///
/// A row says the field of [`Lesson`](super::document::Lesson), then
///
/// - `item`: what the list holds, and in which file of this folder that is declared;
/// - `id`: the type of its identity, made by this row;
/// - `edit`: the variant of [`Edit`](super::edit::Edit) that changes it. It is a word of the journal: never rename one;
/// - `place`: the variant of [`LessonPlace`](super::place::LessonPlace) and of [`ItemId`](super::id::ItemId) for one of them, and
///   in brackets what is known of a spot within it. A word of the journal as well;
/// - `one`: the method of `Lesson` that looks one up;
/// - `word`: what a player calls one of them; an `s` makes it many.
///
/// `$take` gets each row in braces: first what most of them ask for, so that it can leave off what it does not need
/// with `$($rest:tt)*`. Whole, a row is
/// `{ $field:ident $id:ident $place:ident $word:literal $edit:ident $item:ty, $one:ident ($($part:ident: $part_type:ty)?) }`.
macro_rules! each_list {
    ($take:ident) => {
        each_list! {
            @hand_to $take;
            instruments {
                item: OwnedInstrument in document,
                id: InstrumentId,
                edit: Instruments,
                place: Instrument,
                one: instrument,
                word: "instrument",
            }
            setups {
                item: Setup in document,
                id: SetupId,
                edit: Setups,
                place: Setup,
                one: setup,
                word: "tuning",
            }
            pieces {
                item: Piece in document,
                id: PieceId,
                edit: Pieces,
                place: Piece,
                one: piece,
                word: "piece",
            }
            passages {
                item: Passage in music,
                id: PassageId,
                edit: Passages,
                place: Passage (spot: Spot),
                one: passage,
                word: "passage",
            }
            voicings {
                item: Voicing in document,
                id: VoicingId,
                edit: Voicings,
                place: Voicing (string: Option<StringNumber>),
                one: voicing,
                word: "voicing",
            }
            segments {
                item: Segment in document,
                id: SegmentId,
                edit: Segments,
                place: Segment,
                one: segment,
                word: "segment",
            }
        }
    };
    (@hand_to $take:ident; $($field:ident {
        item: $item:ident in $file:ident,
        id: $id:ident,
        edit: $edit:ident,
        place: $place:ident $(($part:ident: $part_type:ty))?,
        one: $one:ident,
        word: $word:literal,
    })+) => {
        $take! {
            $({ $field $id $place $word $edit super::$file::$item, $one ($($part: $part_type)?) })+
        }
    };
}

pub(super) use each_list;
