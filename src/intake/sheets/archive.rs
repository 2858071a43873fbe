//! What is refused of a workbook before it is read: a zip archive that grows out of all
//! proportion, and parts for which the library would take memory on their word alone.

use quick_xml::Reader;
use quick_xml::events::Event;
use std::io::{BufReader, Cursor, Read};
use zip::ZipArchive;
use zip::read::ZipFile;

/// Most bytes of a workbook, packed and unpacked (256 and 512 MiB).
pub(in crate::intake) const MOST_PACKED: u64 = 1 << 28;
const MOST_UNPACKED: u64 = 1 << 29;

/// A part of more than this many bytes that is this many times its packed size is no
/// table: a million equal rows come to some 150 times (measured), what deflate can do at
/// most is 1,032 times.
const LARGE: u64 = 1 << 25;
const MOST_TIMES: u64 = 400;

/// Most parts of a workbook.
const MOST_PARTS: usize = 10_000;

/// Most bytes of the texts that cells share and of the styles (128 and 32 MiB), which the
/// library holds in memory; and of a tag of the styles, and most styles (the programs
/// have 65,490 at most): each style gets copies of its tags.
const MOST_SHARED: u64 = 1 << 27;
const MOST_STYLES: u64 = 1 << 25;
const MOST_LISTED: u64 = 1 << 24; // what lists the sheets (16 MiB)
const LONGEST_TAG: usize = 4096;
const MOST_FORMATS: usize = 2 * 65_490;

/// What a zip archive holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::intake) enum Archive {
    Xlsx,
    Ods,
    /// Something else, in words, and what to do.
    Other(&'static str, &'static str),
}

/// What a refused archive is told to be.
pub(in crate::intake) const BOMB: &str =
    "unpacked it would grow beyond all measure, as no table does";

const AS_SHEET: &str = "Save it as .xlsx, .ods or CSV from the program that made it.";

/// Reads every part once, counting, so that what is read afterwards is bounded.
pub(in crate::intake) fn check(bytes: &[u8]) -> Result<Archive, String> {
    let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(|_| DAMAGED.to_string())?;
    if zip.len() > MOST_PARTS {
        return Err(BOMB.into());
    }
    let mut names = Vec::new();
    let mut left = MOST_UNPACKED;
    for at in 0..zip.len() {
        let part = zip.by_index(at).map_err(|_| UNREADABLE.to_string())?;
        let name = String::from_utf8_lossy(part.name_raw()).to_lowercase();
        if part.size() > left {
            return Err(BOMB.into());
        }
        left -= unpacked(part, &name, left)?;
        names.push(name);
    }
    let has = |end: &str| names.iter().any(|name| name.ends_with(end));
    Ok(if has("xl/workbook.bin") {
        Archive::Other("a binary spreadsheet (.xlsb)", AS_SHEET)
    } else if has("workbook.xml") {
        Archive::Xlsx
    } else if has(".iwa") {
        Archive::Other(
            "a spreadsheet of a program that keeps them in a way of its own",
            AS_SHEET,
        )
    } else if has("content.xml") && names.iter().any(|name| name == "content.xml") {
        Archive::Ods
    } else if has("word/document.xml") {
        Archive::Other(
            "a text document",
            "Copy its table into a spreadsheet, and save that.",
        )
    } else {
        Archive::Other(
            "a zip file without a spreadsheet in it",
            "Unpack it, and name the file that holds the table.",
        )
    })
}

/// What is said of archives that cannot be read.
pub(in crate::intake) const DAMAGED: &str = "it is damaged or was not written to its end";
const UNREADABLE: &str = "it is damaged, or packed or encrypted in a way that is not read";

/// Bytes of a part when unpacked, which are counted and not kept.
fn unpacked<R: Read>(part: ZipFile<'_, R>, name: &str, left: u64) -> Result<u64, String> {
    let packed = part.compressed_size().max(1);
    let most = if name.ends_with("sharedstrings.xml") {
        left.min(MOST_SHARED)
    } else if name.ends_with("styles.xml") {
        left.min(MOST_STYLES)
    } else if ["workbook.xml", ".rels"]
        .iter()
        .any(|end| name.ends_with(end))
    {
        left.min(MOST_LISTED)
    } else {
        left
    };
    let mut counted = Counted {
        input: part,
        count: 0,
        most: most.min(LARGE.max(packed.saturating_mul(MOST_TIMES))),
        over: false,
    };
    let judged = if name.ends_with("sharedstrings.xml") {
        judge_shared(&mut counted, most)
    } else if name.ends_with("styles.xml") && name != "styles.xml" {
        judge_styles(&mut counted)
    } else {
        Ok(())
    };
    let read = judged.and_then(|()| {
        let read = std::io::copy(&mut counted, &mut std::io::sink());
        read.map(|_| ()).map_err(|_| DAMAGED.to_string())
    });
    match (counted.over, read) {
        (true, _) => Err(BOMB.into()),
        (false, Err(problem)) => Err(problem),
        (false, Ok(())) => Ok(counted.count),
    }
}

/// A reader that counts and stops.
struct Counted<R> {
    input: R,
    count: u64,
    most: u64,
    over: bool,
}

impl<R: Read> Read for Counted<R> {
    fn read(&mut self, out: &mut [u8]) -> std::io::Result<usize> {
        let count = self.input.read(out)?;
        self.count += count as u64;
        if self.count > self.most {
            self.over = true;
            return Err(std::io::Error::other(BOMB));
        }
        Ok(count)
    }
}

/// The texts that cells share say how many they are, and room is made for so many.
fn judge_shared(input: &mut impl Read, most: u64) -> Result<(), String> {
    let mut xml = Reader::from_reader(BufReader::new(input));
    let mut buffer = Vec::new();
    for _ in 0..100 {
        buffer.clear();
        match xml.read_event_into(&mut buffer) {
            Ok(Event::Start(tag) | Event::Empty(tag)) if tag.local_name().as_ref() == "sst" => {
                let mut pairs = tag.attributes();
                let counts = pairs.with_checks(false).flatten();
                let counts = counts.filter(|pair| pair.key.as_ref().ends_with("ount"));
                let mut said = counts.filter_map(|pair| pair.value.trim().parse::<u64>().ok());
                // The shortest has 5 bytes.
                return match said.any(|count| count > most / 5) {
                    true => Err(DAMAGED.into()),
                    false => Ok(()),
                };
            }
            Ok(Event::Eof) => return Ok(()),
            Err(_) => return Err(DAMAGED.into()),
            Ok(_) => {}
        }
    }
    Err(DAMAGED.into())
}

fn judge_styles(input: &mut impl Read) -> Result<(), String> {
    let mut xml = Reader::from_reader(BufReader::new(input));
    let (mut buffer, mut formats) = (Vec::new(), 0);
    loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer) {
            Ok(Event::Start(tag) | Event::Empty(tag)) => {
                formats += usize::from(tag.local_name().as_ref() == "xf");
                if tag.len() > LONGEST_TAG || formats > MOST_FORMATS {
                    return Err(BOMB.into());
                }
            }
            Ok(Event::Eof) => return Ok(()),
            Err(_) => return Err(DAMAGED.into()),
            Ok(_) => {}
        }
    }
}
