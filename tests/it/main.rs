//! Checks across the whole house: one binary, so that it links once.
#![allow(clippy::unwrap_used, reason = "the helpers of a test fail the test")]

/// Lets a test see whether memory is asked for where none may be: in what runs for each block of sound.
#[global_allocator]
static ALLOCATOR: assert_no_alloc::AllocDisabler = assert_no_alloc::AllocDisabler;

mod arbitrary;
mod architecture;
mod check;
mod commands;
mod corpus;
mod demos;
mod elsewhere;
mod extremes;
mod fingering;
mod glossary;
mod handout;
mod hostile;
mod instrument;
mod lesson;
mod links;
mod names_over_tab;
mod phrase;
mod placement;
mod plan;
mod practice;
mod progressions;
mod promises;
mod published;
mod readme;
mod reference;
mod shapes_along;
mod sound;
mod store;
mod tab;
mod terminal;
mod text;
mod theory_pitch;
mod theory_readings;
mod theory_symbols;
mod tunings;
mod voicings;
mod voicings_along;
mod workbench;
