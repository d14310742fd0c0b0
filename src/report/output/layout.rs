//! The layout of design.json: a line for each key of a circuit and for each entry of its lists, and nothing broken further. It reads and
//! compares line by line, at two thirds of the bytes that a line for every value takes.

use std::io::{self, Write};

use serde_json::ser::Formatter;

/// Objects down to this depth have a line for each key: the design, its boards, circuits and purchase lines.
const OBJECTS: usize = 3;
/// Lists down to this depth have a line for each entry: those of the design and those of a circuit.
const LISTS: usize = 4;
const INDENT: &[u8] = b"  ";

#[derive(Default)]
pub(super) struct Layout {
    depth: usize,
    /// Whether what was last begun or ended holds something.
    filled: bool,
}

impl Layout {
    fn line(&self, out: &mut (impl Write + ?Sized)) -> io::Result<()> {
        out.write_all(b"\n")?;
        (0..self.depth).try_for_each(|_| out.write_all(INDENT))
    }

    fn begin(&mut self, out: &mut (impl Write + ?Sized), mark: &[u8]) -> io::Result<()> {
        self.depth += 1;
        self.filled = false;
        out.write_all(mark)
    }

    fn entry(&mut self, out: &mut (impl Write + ?Sized), first: bool, lines: usize) -> io::Result<()> {
        if !first {
            out.write_all(b",")?;
        }
        if self.depth <= lines {
            self.line(out)
        } else if first {
            Ok(())
        } else {
            out.write_all(b" ")
        }
    }

    fn end(&mut self, out: &mut (impl Write + ?Sized), mark: &[u8], lines: usize) -> io::Result<()> {
        let broken = self.filled && self.depth <= lines;
        self.depth = self.depth.saturating_sub(1);
        self.filled = true;
        if broken {
            self.line(out)?;
        }
        out.write_all(mark)
    }
}

impl Formatter for Layout {
    fn begin_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.begin(out, b"[")
    }

    fn end_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.end(out, b"]", LISTS)
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.entry(out, first, LISTS)
    }

    fn end_array_value<W: ?Sized + Write>(&mut self, _out: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }

    fn begin_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.begin(out, b"{")
    }

    fn end_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.end(out, b"}", OBJECTS)
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.entry(out, first, OBJECTS)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        out.write_all(b": ")
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, _out: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_circuits_keys_and_the_entries_of_its_lists_have_a_line_each() {
        let value = serde_json::json!({
            "boards": [],
            "circuits": [{"load": {"kind": "motor"}, "parts": [{"part": "A", "range_a": [1, 2]}, {}], "tag": "P-1", "tags": []}],
        });
        let mut out = Vec::new();
        serde::Serialize::serialize(&value, &mut serde_json::Serializer::with_formatter(&mut out, Layout::default()))
            .expect("JSON");
        let wanted = r#"{
  "boards": [],
  "circuits": [
    {
      "load": {"kind": "motor"},
      "parts": [
        {"part": "A", "range_a": [1, 2]},
        {}
      ],
      "tag": "P-1",
      "tags": []
    }
  ]
}"#;
        assert_eq!(String::from_utf8(out).expect("UTF-8"), wanted);
    }
}
