//! Sizing is one pure function of a case, its board's supply point, the pins and the tools.
//!
//! Choosing and judging are one ([`judge`]): a device that is chosen and one that is given go through the same checks.

pub mod conductors;
pub mod judge;
