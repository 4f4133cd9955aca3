//! The workbench without a terminal: keys in, effects and cells out.
//!
//! [`bench`] plays the part of the runtime in memory; nothing here touches a file.

mod actions;
pub mod bench;
mod both_sides;
mod boxes;
mod changes;
mod counts;
mod cut_texts;
mod deleting;
mod desk;
mod drafts;
mod drawing;
mod fewer_keys;
mod findings;
mod handout;
mod hearing;
mod help;
mod key_rules;
mod keys;
mod keystrokes;
mod mouse;
mod neck;
mod panes;
mod passage;
mod prompts;
mod protection;
pub mod random;
mod recording;
pub mod room;
mod said_and_done;
mod said_of;
mod search;
mod search_words;
mod shelf;
mod silent;
mod spare_lines;
mod standing_hints;
mod steady;
mod timeline;
mod times;
mod tunings;
mod typed_letters;
mod undo;
mod unheard_bass;
mod what_keys_remove;
