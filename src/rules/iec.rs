//! The IEC rule book.
