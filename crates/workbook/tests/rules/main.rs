//! Rules of the invented vehicle, proven, against an enumeration that solves the whole circuit anew for each combination and fault.

mod apart;
mod demo;
mod systems;
