//! Drawings of the submittal as inline SVG: the power circuit of a circuit, its time-current plot, the one-line diagrams of a board and
//! of the network.
//!
//! All of them are drawn by the same [`svg::Canvas`], in millimetres on paper: its line widths, type sizes and inks are the only ones
//! there are, and each is a class of the page's style sheet, so that a thousand drawings stay small. Coordinates are rounded to a
//! hundredth of a millimetre and printed as plain decimals, so that the same design gives the same bytes everywhere. Symbols that
//! many drawings share stand once on the page and are placed by reference.
//!
//! Words come from the design; the rule book decides between the symbols of IEC 60617 and those of IEEE 315.

pub mod network;
pub mod one_line;
pub mod power;
pub mod svg;
#[cfg(test)]
mod testing;
pub mod time_current;
