//! The lesson document and every way to change it.
//!
//! Start with [`document`] (what a lesson holds), [`segment`] (a stretch of its video) and [`music`] (what a passage holds), with the two
//! kinds of [`time`] in them ([`seconds`] are for sound); what the teacher calls a thing is [`named`]. [`lookup`] finds things, [`assumed_tunings`] the tuning of what states none, and [`check`]
//! what is wrong with them; [`blank`] is the lesson to start from; [`edit`] is
//! the only door through which it changes, [`history`] takes changes back, [`reason`] says why they were made. [`place`] says where
//! something is, [`bar_numbers`] which number a bar has for players; [`placing`] makes passages of pitches, [`phrase`] edits them; [`cutting`] splits, joins and
//! shifts segments, [`recording`] has them in the order of the video, [`cut_video`] leaves out
//! what was taken again; [`template`] holds lessons to begin from; [`technique`] is the table of ways of playing, [`joining`] that of ways of
//! leading to the next note; [`harmony`] says which chords the notes make and whether a name agrees; [`tunings`] takes what is played in one tuning to another, [`keys_along`] says what becomes of keys then, [`tunings_along`] which segments come along, [`voicings_along`] which voicings do ([`moved_voicing`]: one of them) and [`linked_shapes`] which links from tab to them, [`kept_tunings`] keeps that of each segment while their list changes, [`idle_retunings`] are those that change nothing, [`deleting`] deletes a thing with the links to it;
//! [`touched`] says what edits have touched; [`merge`] carries changes over to another state of a lesson, and [`details`] tell two
//! versions of a thing apart, by what each thing says of itself ([`detailed`]). Links are by identity ([`id`]; new ones: [`fresh`]) and walked in
//! [`links`]; the lists of the document are declared once, in `lists.rs`. Nothing here knows how a
//! lesson is stored or shown.

pub mod assumed_tunings;
pub mod bar_numbers;
pub mod blank;
pub mod check;
pub mod cut_video;
pub mod cutting;
pub mod deleting;
pub mod detailed;
pub mod details;
pub mod document;
pub mod edit;
pub mod fresh;
pub mod harmony;
pub mod history;
pub mod id;
pub mod idle_retunings;
pub mod joining;
pub mod kept_tunings;
pub mod keys_along;
pub mod linked_shapes;
pub mod links;
mod lists;
pub mod lookup;
pub mod merge;
pub mod moved_voicing;
pub mod music;
pub mod named;
pub mod phrase;
pub mod place;
pub mod placing;
pub mod reason;
pub mod recording;
pub mod seconds;
pub mod segment;
pub mod technique;
pub mod template;
pub mod time;
pub mod touched;
pub mod tunings;
pub mod tunings_along;
pub mod voicings_along;
