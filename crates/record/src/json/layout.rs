//! How the document is laid out: one field a line, what is inside a field on that line.

use std::io;

use serde_json::ser::Formatter;

use crate::text::acts_unseen;

/// Rows stand this deep: document, `records`, a list, a row.
const ROW_DEPTH: usize = 4;

/// Breaks lines down to the fields of a row and no deeper, so that a change of a field is a change of one line.
pub(super) struct Layout {
    depth: usize,
    filled: bool,
}

impl Layout {
    /// A layout for a value that already stands `depth` levels deep.
    pub(super) fn inside(depth: usize) -> Self {
        Self { depth, filled: false }
    }

    fn broken(&self) -> bool {
        self.depth <= ROW_DEPTH
    }

    fn open<W: ?Sized + io::Write>(&mut self, writer: &mut W, bracket: &[u8]) -> io::Result<()> {
        self.depth += 1;
        self.filled = false;
        writer.write_all(bracket)
    }

    fn close<W: ?Sized + io::Write>(&mut self, writer: &mut W, bracket: &[u8]) -> io::Result<()> {
        let broken = self.broken() && self.filled;
        self.depth -= 1;
        if broken {
            self.line(writer)?;
        }
        writer.write_all(bracket)
    }

    fn item<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        if !first {
            writer.write_all(b",")?;
        }
        if self.broken() {
            self.line(writer)
        } else if first {
            Ok(())
        } else {
            writer.write_all(b" ")
        }
    }

    fn line<W: ?Sized + io::Write>(&self, writer: &mut W) -> io::Result<()> {
        writer.write_all(b"\n")?;
        (0..self.depth).try_for_each(|_| writer.write_all(b"  "))
    }
}

impl Formatter for Layout {
    fn begin_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b"[")
    }
    fn end_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b"]")
    }
    fn begin_array_value<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.item(writer, first)
    }
    fn end_array_value<W: ?Sized + io::Write>(&mut self, _writer: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }
    fn begin_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b"{")
    }
    fn end_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b"}")
    }
    fn begin_object_key<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.item(writer, first)
    }
    fn begin_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        writer.write_all(b": ")
    }
    fn end_object_value<W: ?Sized + io::Write>(&mut self, _writer: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }
    /// Characters that act unseen are escaped, so that a reviewer of a difference sees them.
    fn write_string_fragment<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        if !fragment.contains(acts_unseen) {
            return writer.write_all(fragment.as_bytes());
        }
        for c in fragment.chars() {
            if acts_unseen(c) {
                write!(writer, "\\u{:04x}", u32::from(c))?;
            } else {
                write!(writer, "{c}")?;
            }
        }
        Ok(())
    }
}
