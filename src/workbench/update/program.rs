//! What becomes of what was picked in a list that the program offered.

use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::program::{AfterSave, ProgramPick};
use crate::workbench::state::State;
use crate::workbench::update::{colours, handout, leaving, versions};

/// Does what was picked.
pub fn take(state: &mut State, pick: ProgramPick) -> PaneReply {
    match pick {
        ProgramPick::WriteHandout(existing) => handout::write(state, existing),
        ProgramPick::SaveAnd(then) => leaving::save_and(state, then),
        ProgramPick::Version(pick, place) => versions::take(state, pick, place),
        ProgramPick::AskWhere(then) => leaving::ask_where(state, then),
        ProgramPick::Save(to) => leaving::save(state, to),
        ProgramPick::QuitUnsaved => leaving::leave_now(state, AfterSave::Quit),
        ProgramPick::CloseUnsaved => leaving::leave_now(state, AfterSave::Close),
        ProgramPick::AskToDiscard(then) => leaving::ask_to_discard(then),
        ProgramPick::Discard(then) => leaving::discard(state, then),
        ProgramPick::Colours(place) => colours::show(state, place),
    }
}
