//! A row with nothing missing any more.
