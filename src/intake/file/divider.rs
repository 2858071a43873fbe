//! Rows that only part others: `--- 2025 ---`.

use crate::intake::problems::pointing::shortened;
use csv::StringRecord;

/// Signs of which a line is drawn.
const SIGNS: &[char] = &['-', '–', '—', '=', '*', '_', '~', '#', '+', '•', '.'];

/// The text of a row whose only filled cell begins and ends with a drawn line, or is one.
/// A row has more cells than one, so that no row with what a row needs is meant.
pub(in crate::intake) fn divider(cells: &StringRecord) -> Option<String> {
    let mut filled = cells.iter().map(str::trim).filter(|cell| !cell.is_empty());
    let only = filled.next().filter(|cell| cell.starts_with(SIGNS))?;
    if cells.len() < 2 || filled.next().is_some() {
        return None;
    }
    let before = only.len() - only.trim_start_matches(SIGNS).len();
    let after = only.len() - only.trim_end_matches(SIGNS).len();
    (before >= 2 && after >= 2).then(|| shortened(only))
}

#[cfg(test)]
mod tests {
    use super::divider;
    use csv::StringRecord;

    #[test]
    fn a_drawn_line_parts_rows() {
        let of = |cells: &[&str]| divider(&StringRecord::from(cells.to_vec()));
        for line in ["--- 2025 ---", "-----", "*** sold ***", "== Spring =="] {
            assert_eq!(of(&["", line, ""]).as_deref(), Some(line));
            assert_eq!(of(&[line, "road", ""]), None);
            assert_eq!(of(&[line]), None);
        }
        for cell in ["-", "-5-", "2025", "B--2", "--note", "A1"] {
            assert_eq!(of(&[cell, "", ""]), None, "{cell}");
        }
    }
}
