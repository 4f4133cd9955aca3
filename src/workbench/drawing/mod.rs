//! What all drawing is made with: a [`region`] of the screen to write in, the parts that text plays ([`role`]), characters
//! and styles ([`appearance`]), colours ([`theme`]), how far a list is scrolled (`scroll`), the sign that it goes on ([`unseen`]), and times rounded for the eye (`short_time`).
//!
//! Nothing here knows a pane, a box or a lesson.

pub mod appearance;
pub mod region;
pub mod role;
pub mod scroll;
pub mod short_time;
pub mod theme;
pub mod unseen;
