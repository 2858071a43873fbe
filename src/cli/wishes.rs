//! The decision settings: from flags, or else as the book keeps them.

use super::failure::Failure;
use super::workbench::Workbench;
use crate::book::Book;
use crate::pricing::asking::pace::{self, Earned};
use crate::pricing::asking::{SellingWishes, WeekCostFrom};
use clap::Args;

/// How you decide what to ask.
#[derive(Clone, Debug, Args)]
pub(super) struct WishFlags {
    /// What a week of waiting costs, in percent of the sale price, or 'own': what a week
    /// on hand has earned by your records [default: own]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub week_cost: Option<String>,
    /// How many weeks the bike may stay listed [default: 26]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub weeks: Option<String>,
    /// What it is sold for in the end if it is still unsold after those weeks, in percent
    /// of its value [default: 60]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub quick_sale: Option<String>,
    /// Keep the three above in the book for the next time
    #[arg(long)]
    pub keep: bool,
}

/// A setting: its flag, the name under which a book keeps it, what it may be.
struct Setting {
    flag: &'static str,
    key: &'static str,
    low: f64,
    high: f64,
    expected: &'static str,
}

const WEEK_COST: Setting = Setting {
    flag: "--week-cost",
    key: "week_cost",
    low: 0.0,
    high: 50.0,
    expected: "a percentage from 0 to 50, or own",
};
const WEEKS: Setting = Setting {
    flag: "--weeks",
    key: "weeks",
    low: 1.0,
    high: 104.0,
    expected: "a whole number of weeks from 1 to 104",
};
const QUICK_SALE: Setting = Setting {
    flag: "--quick-sale",
    key: "quick_sale",
    low: 0.0,
    high: 100.0,
    expected: "a percentage from 0 to 100",
};

impl Setting {
    fn read(&self, text: &str) -> Option<f64> {
        let bare = text.trim().trim_end_matches('%').trim();
        let plain = bare.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        bare.parse::<f64>()
            .ok()
            .filter(|v| plain && v.is_finite() && (self.low..=self.high).contains(v))
            .filter(|v| self.key != WEEKS.key || v.fract() == 0.0)
    }

    /// The flag's value, or the book's, or the default.
    fn value(&self, flag: Option<&String>, book: &Book, default: f64) -> Result<f64, Failure> {
        if let Some(text) = flag {
            return self.read(text).ok_or_else(|| {
                Failure::usage(
                    format!("{} '{text}': expected {}", self.flag, self.expected),
                    format!("Give a number such as {default}."),
                )
            });
        }
        let kept = book.setting(self.key)?;
        // What this program kept reads back; anything else is not ours.
        Ok(kept.and_then(|text| self.read(&text)).unwrap_or(default))
    }
}

/// The word for what a week on hand has earned.
const OWN: &str = "own";

/// What a week costs, in percent of the sale price, by the flag, else by the book;
/// `None` for what a week on hand has earned.
fn week_cost_given(flags: &WishFlags, book: &Book) -> Result<Option<f64>, Failure> {
    let own = |text: &String| text.trim() == OWN;
    if let Some(text) = &flags.week_cost {
        let percent = || WEEK_COST.value(Some(text), book, 3.0);
        return if own(text) {
            Ok(None)
        } else {
            percent().map(Some)
        };
    }
    let kept = book.setting(WEEK_COST.key)?.filter(|text| !own(text));
    Ok(kept.and_then(|text| WEEK_COST.read(&text)))
}

/// What a week on hand has earned, or what is believed of that.
fn week_cost_own(bench: &Workbench<'_>) -> (f64, WeekCostFrom) {
    match Earned::of(&bench.records.turns(&bench.currency)) {
        Some(earned) => (earned.week_cost(), WeekCostFrom::Own(earned)),
        None => (pace::BELIEVED, WeekCostFrom::Trade),
    }
}

/// The settings for this call; keeps those that were given where asked to.
///
/// # Errors
/// A flag out of its range, or a book that cannot be read or written.
pub(super) fn wishes(
    flags: &WishFlags,
    bench: &Workbench<'_>,
    err: &mut dyn std::io::Write,
) -> Result<SellingWishes, Failure> {
    let default = SellingWishes::default();
    let book = bench.records.book();
    let percent = week_cost_given(flags, book)?;
    let (week_cost, from) = match percent {
        Some(percent) => (percent / 100.0, WeekCostFrom::Given),
        None => week_cost_own(bench),
    };
    let weeks = WEEKS.value(flags.weeks.as_ref(), book, default.weeks as f64)?;
    let quick = QUICK_SALE.value(flags.quick_sale.as_ref(), book, 100.0 * default.quick_sale)?;
    if flags.keep {
        let cost = percent.map_or(OWN.to_string(), |percent| percent.to_string());
        let given = [
            (&WEEK_COST, &flags.week_cost, cost),
            (&WEEKS, &flags.weeks, weeks.to_string()),
            (&QUICK_SALE, &flags.quick_sale, quick.to_string()),
        ];
        for (setting, flag, value) in given {
            if flag.is_some() {
                book.keep_setting(setting.key, &value)?;
                writeln!(err, "Kept in the book: {} {value}.", setting.flag)?;
            }
        }
    }
    Ok(SellingWishes {
        week_cost,
        from,
        weeks: weeks as usize,
        quick_sale: quick / 100.0,
    })
}
