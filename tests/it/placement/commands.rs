//! `fingerpost place` as a shell sees it.
