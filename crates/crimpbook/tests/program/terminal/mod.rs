//! The screens, in a pseudo-terminal of 80 by 24.

mod altered;
mod build;
mod colours;
mod first_run;
mod killed;
mod leaving;
mod merged;
mod meter;
mod moved;
mod sizes;
mod story;
mod suspended;
mod two;
mod typing;
