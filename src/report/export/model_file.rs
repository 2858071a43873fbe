//! How the files of the models are laid out: JSON with a line for each record, and
//! numbers with as many digits as read back to the very same number.

use serde::{Deserialize, Serialize};
use serde_json::ser::{Formatter, Serializer};
use std::collections::HashSet;
use std::io::{self, Write};

/// The kinds of records.
pub(in crate::report) const SALE: &str = "sale";
pub(in crate::report) const COMP: &str = "comp";

/// Parts of the file that stand on lines of their own are nested this deep at most.
const LINES: usize = 2;

/// The bytes of a file.
///
/// # Errors
/// None in practice: every number is finite.
pub(in crate::report) fn bytes(model: &impl Serialize) -> Result<Vec<u8>, serde_json::Error> {
    let mut bytes = Vec::new();
    model.serialize(&mut Serializer::with_formatter(
        &mut bytes,
        Lines::default(),
    ))?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// A record that a model has seen.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Seen {
    /// `sale` or `comp`.
    kind: String,
    id: String,
    /// Where a comp was seen; none where nothing is noted.
    source: Option<String>,
}

impl Seen {
    /// An own bike.
    pub fn sale(id: &str) -> Self {
        Self {
            kind: SALE.into(),
            id: id.into(),
            source: None,
        }
    }

    /// Somebody else's.
    pub fn comp(id: &str, source: &str) -> Self {
        Self {
            kind: COMP.into(),
            id: id.into(),
            source: (!source.is_empty()).then(|| source.into()),
        }
    }
}

/// The records that the model in a file has seen; `None` for what is no such file.
pub fn seen(bytes: &[u8]) -> Option<HashSet<Seen>> {
    #[derive(Deserialize)]
    struct Model {
        #[serde(alias = "records")]
        rows: HashSet<Seen>,
    }
    let model: Model = serde_json::from_slice(bytes).ok()?;
    Some(model.rows)
}

/// How every file of the model `word` begins.
pub fn beginning(word: &str) -> Vec<u8> {
    format!("{{\n  \"export\": \"{word}\",\n").into_bytes()
}

/// Puts members and items on lines of their own down to [`LINES`].
#[derive(Default)]
struct Lines {
    depth: usize,
    /// Whether what was opened last holds something.
    holds: bool,
}

impl Lines {
    fn open<W: ?Sized + Write>(&mut self, out: &mut W, bracket: &[u8]) -> io::Result<()> {
        self.depth += 1;
        self.holds = false;
        out.write_all(bracket)
    }

    fn next<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        if !first {
            out.write_all(b",")?;
        }
        if self.depth <= LINES {
            return self.line(out);
        }
        if first { Ok(()) } else { out.write_all(b" ") }
    }

    fn close<W: ?Sized + Write>(&mut self, out: &mut W, bracket: &[u8]) -> io::Result<()> {
        let broken = self.holds && self.depth <= LINES;
        self.depth -= 1;
        self.holds = true;
        if broken {
            self.line(out)?;
        }
        out.write_all(bracket)
    }

    fn line<W: ?Sized + Write>(&self, out: &mut W) -> io::Result<()> {
        out.write_all(b"\n")?;
        (0..self.depth).try_for_each(|_| out.write_all(b"  "))
    }
}

impl Formatter for Lines {
    fn begin_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open(out, b"[")
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.next(out, first)
    }

    fn end_array_value<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.holds = true;
        Ok(())
    }

    fn end_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.close(out, b"]")
    }

    fn begin_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open(out, b"{")
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.next(out, first)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        out.write_all(b": ")
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.holds = true;
        Ok(())
    }

    fn end_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.close(out, b"}")
    }
}

/// A bound; none where it is infinite.
pub(in crate::report) fn bound(limit: f64) -> Option<f64> {
    limit.is_finite().then_some(limit)
}
