//! Fretted instruments: tunings, the neck and its geometry, shapes, harmonics.
//!
//! Start with [`neck`] (string numbers, frets, shapes) and [`tuning`]; [`body`] is the instrument
//! itself, and [`rig`] joins the three into what sounds. [`catalogue`] knows instruments and
//! tunings by name; [`shape_text`] and [`tuning_text`] read what people type; [`geometry`] and
//! [`harmonics`] measure. [`hand`] is the hand that frets, [`fingering`] which of its fingers hold a shape; [`voicing`] finds every way to
//! play a chord, [`placement`] where a line is played; [`retuning`] says what hands do between two setups.
//!
//! Arrays over strings always run from the highest string number down to string 1, as shapes are
//! written; nothing here assumes six strings, or that string order is pitch order. Nothing here
//! knows about lessons.

pub mod body;
pub mod catalogue;
pub mod fingering;
pub mod geometry;
pub mod hand;
pub mod harmonics;
pub mod neck;
pub mod placement;
pub mod retuning;
pub mod rig;
pub mod shape_text;
pub mod tuning;
pub mod tuning_text;
pub mod voicing;
