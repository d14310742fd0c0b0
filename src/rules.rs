//! The rule books. A book states demands and lists, never devices; what both books share stands in [`physics`].
//!
//! Clause functions take quantities, not loads, so that published examples can call them with their own figures. Numbers from
//! standards live in `tables/*.csv` beside the book, each with its source, edition and status; they are parsed once.

pub mod iec;
pub mod physics;
pub mod table;
