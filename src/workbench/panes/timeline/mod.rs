//! The timeline: which segment is selected, and every change to the list of segments.
//!
//! Start with [`pane`]: what the pane knows, and who does what is asked of it. Under it stand its parts, which know
//! nothing of it: [`list_heading`] says where the list begins, [`lane_scale`] where plan and recording lie in the lanes,
//! [`drag`] what a border comes to that the mouse has hold of; [`flaws`] knows what is wrong with each segment and
//! [`mending`] mends it; `moving` moves segments and `deleting` deletes them; `chapter_list` copies the chapters;
//! `asking` opens boxes. Over it, [`taking_answers`] takes what comes back from those (`piece`, `piece_list` and
//! `tunings` do the longer of them), and [`view`] draws: `lanes`, and the list or, in `columns`, every time side by side,
//! in rows by `row`, which say by `row_tuning` which tuning comes now, in columns by `row_widths`; `list_rows` has what they say, and
//! counts the lines that all of it takes.

pub mod asking;
mod chapter_list;
mod columns;
mod deleting;
pub mod drag;
pub mod flaws;
pub mod lane_scale;
mod lanes;
pub mod list_heading;
mod list_rows;
pub mod mending;
mod moving;
pub mod pane;
mod piece;
mod piece_list;
mod row;
mod row_tuning;
mod row_widths;
pub mod taking_answers;
mod tunings;
pub mod view;
