//! Why a lesson was changed: what undo and redo say, typed.

use serde::{Deserialize, Serialize};

/// Declares the reasons, each once: its variant, what it did, and what to say of it.
macro_rules! reasons {
    ($($(#[$attribute:meta])* $name:ident => $label:literal,)+) => {
        /// What a user action did, and so what an undo takes back.
        ///
        /// Journals hold the names of the variants, so none is renamed without an alias. An alias is a name that journals
        /// may hold and that is written no longer.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum Reason {
            $($(#[$attribute])* $name,)+
        }

        impl Reason {
            /// Every reason.
            pub const ALL: &[Self] = &[$(Self::$name,)+];

            /// Returns what to say after "undone" or "done again", in lower case.
            pub const fn label(self) -> &'static str {
                match self {
                    $(Self::$name => $label,)+
                }
            }
        }
    };
}

reasons! {
    /// Changed title, author, credit, rights or target length.
    #[serde(alias = "AddInstrument", alias = "EditInstrument", alias = "RemoveInstrument")]
    EditHeader => "title or goal of the lesson",
    /// Added a setup.
    AddSetup => "new tuning",
    /// Changed or renamed a setup.
    EditSetup => "tuning changed",
    /// Deleted a setup.
    RemoveSetup => "tuning deleted",
    /// Chose the setup of a segment, passage or piece.
    ChooseSetup => "tuning chosen",
    /// Added a piece.
    AddPiece => "new piece",
    /// Changed a piece.
    EditPiece => "piece changed",
    /// Deleted a piece.
    RemovePiece => "piece deleted",
    /// Added a passage.
    AddPassage => "new passage",
    /// Changed the title of a passage.
    #[serde(alias = "EditPassage", alias = "MovePassage")]
    RetitlePassage => "title of the passage",
    /// Deleted a passage.
    RemovePassage => "passage deleted",
    /// Placed a passage anew on the strings of another setup.
    PlaceAnew => "passage moved to another tuning",
    /// Put a chord under the cursor of a passage.
    PutChord => "chord inserted",
    /// Put a fret on a string.
    #[serde(alias = "EditBars")]
    PutFret => "fret",
    /// Took a note off its string.
    LiftNote => "note deleted",
    /// Wrote a rest.
    Rest => "rest",
    /// Put a beat in.
    InsertBeat => "note or rest inserted",
    /// Took a beat out.
    RemoveBeat => "note or rest deleted",
    /// Filled a bar with rests.
    FillBar => "bar filled with rests",
    /// Changed how long notes are.
    ChangeLength => "length",
    /// Joined two notes on a string, or parted them.
    JoinNotes => "tie, slur or slide",
    /// Changed how notes are played.
    ChangeTechnique => "technique",
    /// Changed the stroke of a chord.
    ChangeStroke => "pick stroke",
    /// Bent a note.
    Bend => "bend",
    /// Changed the grace notes before a note.
    GraceNotes => "grace notes",
    /// Chose the fretting finger of a note.
    ChooseFinger => "fretting finger",
    /// Named the chord over a beat.
    NameChord => "chord name",
    /// Wrote words over a beat.
    WriteWords => "words",
    /// Changed the meter.
    ChangeMeter => "time signature",
    /// Changed the tempo.
    ChangeTempo => "tempo",
    /// Changed the key of a passage.
    ChangeKey => "key",
    /// Changed a repeat, or how often it is played.
    ChangeRepeat => "repeat",
    /// Changed the endings of a repeat.
    ChangeEndings => "endings",
    /// Made a bar a pickup, or a whole bar again.
    ChangePickup => "pickup",
    /// Changed how even the notes of a bar are played.
    ChangeFeel => "straight or swung feel",
    /// Put a bar in.
    InsertBar => "bar inserted",
    /// Split a bar in two.
    SplitBar => "bar split",
    /// Joined a bar to the next.
    JoinBars => "bars joined",
    /// Took a bar out.
    RemoveBar => "bar deleted",
    /// Cut a stretch of music.
    Cut => "notes cut",
    /// Pasted a stretch of music.
    Paste => "notes pasted",
    /// Put notes on another string with the pitch they have.
    MoveToString => "note moved to another string",
    /// Moved music by semitones.
    Transpose => "transposed",
    /// Took over the version of a thing that had waited since another program changed the file.
    TakeOver => "your version used",
    /// Read text tab into a passage.
    ReadTab => "tab read",
    /// Put a voicing into the lesson.
    #[serde(alias = "KeepReading", alias = "MarkDoubt")]
    SaveVoicing => "voicing saved",
    /// Added a segment.
    AddSegment => "new segment",
    /// Changed a segment's title.
    RetitleSegment => "segment title",
    /// Changed a segment's planned length.
    RetimeSegment => "planned length",
    /// Changed when a segment was recorded.
    StampSegment => "recorded time",
    /// Changed a segment's kind.
    ChangeSegmentKind => "kind of segment",
    /// Said how far a segment is.
    ChangeSegmentProgress => "progress",
    /// Changed what a segment says.
    EditTalkingPoints => "talking points",
    /// Changed which pieces, passages or voicings a segment shows.
    LinkSegment => "passages or shapes of the segment",
    /// Changed a segment's shot or tone notes.
    EditSegmentNotes => "shot and tone notes",
    /// Moved a segment.
    MoveSegment => "segment moved",
    /// Split a segment in two, or joined two.
    SplitOrJoinSegments => "segments split or joined",
    /// Removed a segment.
    RemoveSegment => "segment deleted",
    /// Applied the remedy of a finding.
    #[serde(alias = "Renumber")]
    Remedy => "fix",
    /// Put a voicing into a segment.
    LinkVoicing => "voicing added to the segment",
    /// Took a voicing out of a segment.
    UnlinkVoicing => "voicing deleted from the segment",
    /// Deleted a voicing, also from whatever showed it.
    DeleteVoicing => "voicing deleted from the lesson",
    /// Changed the tags of a voicing.
    #[serde(alias = "EditVoicing", alias = "EditShape", alias = "RemoveVoicing", alias = "MoveVoicing")]
    TagVoicing => "tags",
    /// Began a segment of the recording anew.
    Retake => "retake",
}

#[cfg(test)]
mod tests {
    use super::Reason;

    #[test]
    fn every_reason_has_its_own_label() {
        let mut labels: Vec<&str> = Reason::ALL.iter().map(|reason| reason.label()).collect();
        labels.sort_unstable();
        labels.dedup();
        assert_eq!(labels.len(), Reason::ALL.len());
    }

    #[test]
    fn names_that_are_written_no_longer_are_still_read() {
        for (old, now) in
            [("EditPassage", Reason::RetitlePassage), ("Renumber", Reason::Remedy), ("EditBars", Reason::PutFret)]
        {
            assert_eq!(ron::from_str::<Reason>(old).unwrap(), now);
        }
    }
}
