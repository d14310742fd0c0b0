//! Contacts, suppressors, interlocks and timers on rows.
