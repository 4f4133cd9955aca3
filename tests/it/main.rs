//! Checks across the whole house: one binary, so that it links once.

mod architecture;
