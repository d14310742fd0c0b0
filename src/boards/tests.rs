//! Boards of rows, for both books.
