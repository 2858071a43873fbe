//! Laws of reading: any bytes in, no panic; lines are counted rightly.

use super::hostile_tests::{comps, ids, open, read, settings};
use crate::intake::{Asks, Comps, Costs, DateOrder, Gifts, Sales};
use proptest::prelude::*;

proptest! {
    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = read::<Sales>(&bytes);
        let _ = read::<Asks>(&bytes);
        let below = |header: &str| [header.as_bytes(), b"\n", &bytes].concat();
        let _ = read::<Asks>(below("bike,on,ask"));
        let _ = read::<Costs>(below("bike,on,kind,item,amount,from_box"));
        let _ = read::<Gifts>(below("on,beneficiary,amount,reference"));
    }

    #[test]
    fn any_rows_are_read_or_refused(
        cells in prop::collection::vec(
            "\\PC{0,6}|\"|\"\"|\r|\n|\r\n|,|;|\t|[0-9.,'€-]{0,8}|road|2024-0[1-4]-[0-3][0-9]", 0..60,
        ),
        separator in "[,;\t]",
    ) {
        let header = ["listing", "source", "style", "made", "seat_tube", "listed_on", "ask"].join(&separator);
        let text = format!("{header}\n{}", cells.join(&separator));
        let mut settings = settings();
        settings.dates = Some(DateOrder::DayFirst);
        let mut reader = open::<Comps>(&text, &settings).unwrap();
        while let Ok(Some(row)) = reader.next_row() {
            let Err(bad) = row else { continue };
            prop_assert!(!bad.problems.is_empty());
            for problem in bad.problems {
                prop_assert!(problem.line >= bad.line);
                prop_assert!(problem.line_text.get(problem.at).is_some());
                prop_assert!(!problem.expected.is_empty() && !problem.mend.is_empty());
            }
        }
    }

    /// Lines are counted as an editor counts them, whatever the line ends.
    #[test]
    fn lines_are_counted_as_an_editor_counts_them(
        ends in prop::collection::vec(prop::sample::select(vec!["\n", "\r\n", "\r", "\n\n", "\r\r\n"]), 1..20),
    ) {
        let mut text = "listing,style,ask\n".to_string();
        for (at, end) in ends.iter().enumerate() {
            text.push_str(&format!("r{at},road,10{end}"));
        }
        let unified = text.replace("\r\n", "\n").replace('\r', "\n");
        let expected: Vec<(u64, &str)> = (1..)
            .zip(unified.split('\n'))
            .filter(|(_, line)| line.starts_with('r'))
            .filter_map(|(number, line)| Some((number, line.split_once(',')?.0)))
            .collect();
        let rows = comps(&text);
        prop_assert_eq!(ids(&rows), expected);
    }
}
