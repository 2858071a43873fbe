//! How prices held up, as text.

use super::words::{drift, looks_like, rule_name, verdict};
use crate::pricing::accuracy::Accuracy;
use crate::pricing::accuracy::days::Told;
use crate::pricing::accuracy::rule_study::RuleFigures;
use crate::pricing::accuracy::study::{FEWEST, Figures, RANKS_BELOW, Study};
use crate::pricing::accuracy::trial::WITHIN;
use crate::pricing::eye::sighting::EyeSource;
use crate::report::text::amounts::{exact, round};
use crate::report::text::counts::many;
use crate::report::text::shares::{level_percent, one_percent};
use crate::report::text::table::{Column, Table};
use crate::trade::Currency;
use std::fmt::Write as _;

/// The answer: how far off the prices were, in plain words; with `why` every figure.
pub fn text(found: &Accuracy, why: bool) -> String {
    let mut out = String::new();
    let question = &found.question;
    let currency = &question.currency;
    let days = found.bikes.iter().filter_map(|b| b.sale.sold.map(|s| s.on));
    let span = match (days.clone().min(), days.max()) {
        (Some(from), Some(to)) => format!(" ({from} to {to})"),
        _ => String::new(),
    };
    let _ = writeln!(
        out,
        "How prices held up on {}{span}, as of {}, money in {currency}",
        many(found.sold(), "own sale"),
        question.as_of
    );
    if found.older > 0 {
        let _ = writeln!(
            out,
            "The {} before them are not tried again.",
            many(found.older, "bike")
        );
    }
    let _ = writeln!(out, "\n  => {}", verdict(found));
    if why && found.sold() >= FEWEST {
        prices(&mut out, found);
        rules(&mut out, found);
    } else if found.sold() >= FEWEST {
        in_short(&mut out, found);
    }
    own_eye(&mut out, found);
    days_told(&mut out, found, why);
    let said = drift(found);
    if !said.is_empty() {
        let _ = writeln!(out, "\nRunning errors, in the order of sale");
        for line in said {
            let _ = writeln!(out, "  {line}");
        }
    }
    worst(
        &mut out,
        found,
        if why { usize::MAX } else { WORST },
        currency,
    );
    if !why && found.sold() >= FEWEST {
        let _ = writeln!(
            out,
            "\nEvery figure, and the measures that assessors use: the same with --why."
        );
    }
    out
}

/// Sales missed most that the short answer names.
const WORST: usize = 3;

/// Predicted against actual prices in a few lines, by what was known before listing where
/// there are such figures.
fn in_short(out: &mut String, found: &Accuracy) {
    let Some((figures, sales)) = studies(found)
        .into_iter()
        .rev()
        .find_map(|study| Some((study.figures.as_ref()?, study.sales)))
    else {
        return;
    };
    let share = |part: f64| format!("{:.0} %", 100.0 * part);
    let _ = writeln!(
        out,
        "\nPredicted against actual prices, {}",
        many(sales, "sale")
    );
    let mut table = Table::new([
        Column::left(0).fitted().after("  "),
        Column::right(7).fitted().after("  "),
    ]);
    table.row([
        "half were off by less than".to_string(),
        one_percent(figures.mdape),
    ]);
    table.row(["off by 10 % at most".to_string(), share(figures.within_10)]);
    table.row(["off by 20 % at most".to_string(), share(figures.within_20)]);
    let level = level_percent(found.question.level);
    table.row([
        format!("fell into the {level} range"),
        share(figures.coverage),
    ]);
    let median = figures.ratios.median;
    let lean = match () {
        () if median > 1.005 => format!("{} too high", one_percent(median - 1.0)),
        () if median < 0.995 => format!("{} too low", one_percent(1.0 - median)),
        () => "neither".to_string(),
    };
    table.row(["too high or too low, on the whole".to_string(), lean]);
    table.write(out);
}

/// Columns for the two trials, after the name of a figure and before a remark.
fn trials() -> Table {
    let trial = Column::right(0).fitted().after("  ");
    Table::new([
        Column::left(0).fitted().after("  "),
        trial,
        trial,
        Column::broken(8).after("  "),
    ])
}

/// A row of [`trials`]; a figure that is not known is `-`.
fn row(table: &mut Table, name: &str, of: [Option<String>; 2], remark: &str) {
    let [left, right] = of.map(|cell| cell.unwrap_or_else(|| "-".into()));
    table.row([name.to_string(), left, right, remark.to_string()]);
}

fn heading(table: &mut Table, remark: &str) {
    table.row(["", "all others", "the day before", remark]);
}

fn prices(out: &mut String, found: &Accuracy) {
    let _ = writeln!(
        out,
        "\nPredicted against actual prices. Left: predicted from all other records. Right: from what was known on the \
         day before it was listed. In brackets: after a figure, where it can lie by chance (95 %); after a \
         name, where it should lie.\n"
    );
    let mut table = trials();
    heading(&mut table, "");
    misses(&mut table, found);
    ratios(&mut table, found);
    ranges(&mut table, found);
    table.write(out);
    let _ = writeln!(
        out,
        "  Ratio: predicted to actual, in the middle. COD: how far ratios spread around that, in percent. \
         PRD and PRB: whether expensive bikes are predicted lower than cheap ones (PRB: by how much for each \
         doubling; below 20 sales Spearman's correlation says more). Interval score: \
         less is better. IAAO, Standard on Ratio Studies, 2013, made for assessed houses; used goods spread more."
    );
}

fn studies(found: &Accuracy) -> [&Study; 2] {
    [&found.leave_one_out, &found.back_test]
}

/// A cell of each trial that has figures.
fn each(found: &Accuracy, cell: impl Fn(&Figures) -> Option<String>) -> [Option<String>; 2] {
    studies(found).map(|study| study.figures.as_ref().and_then(&cell))
}

fn misses(table: &mut Table, found: &Accuracy) {
    let sales = studies(found).map(|study| Some(study.sales.to_string()));
    row(table, "sales", sales, "");
    let median = each(found, |f| Some(one_percent(f.mdape)));
    row(table, "half were off by less than", median, "");
    let percent = |share: f64| Some(format!("{:.0} %", 100.0 * share));
    let within = each(found, |f| percent(f.within_10));
    row(table, "off by 10 % at most", within, "");
    let within = each(found, |f| percent(f.within_20));
    row(table, "off by 20 % at most", within, "");
}

/// What assessors look at.
fn ratios(table: &mut Table, found: &Accuracy) {
    let median = each(found, |f| {
        let interval = f.ratios.median_interval;
        let ends = interval.map_or(String::new(), |(low, high)| {
            format!(" ({low:.2} to {high:.2})")
        });
        Some(format!("{:.2}{ends}", f.ratios.median))
    });
    row(table, "ratio (0.90 to 1.10)", median, "");
    let cod = each(found, |f| Some(format!("{:.1}", f.ratios.cod)));
    row(table, "COD (5 to 20)", cod, "");
    let prd = each(found, |f| Some(format!("{:.3}", f.ratios.prd)));
    row(table, "PRD (0.98 to 1.03)", prd, "");
    let prb = each(found, |f| {
        let prb = f.ratios.prb.as_ref()?;
        let (low, high) = prb.interval;
        Some(format!("{:+.3} ({low:+.2} to {high:+.2})", prb.slope))
    });
    row(table, "PRB (-0.05 to 0.05)", prb, "");
    let by_ranks = |study: &Study| (FEWEST..RANKS_BELOW).contains(&study.sales);
    if studies(found).into_iter().any(by_ranks) {
        let ranks = studies(found).map(|study| {
            let figures = study.figures.as_ref();
            let rho = figures
                .filter(|_| study.sales < RANKS_BELOW)?
                .ratios
                .spearman;
            rho.map(|rho| format!("{rho:+.2}"))
        });
        row(table, "Spearman (near 0)", ranks, "");
    }
}

fn ranges(table: &mut Table, found: &Accuracy) {
    let currency = &found.question.currency;
    let level = level_percent(found.question.level);
    let held = each(found, |f| {
        let (low, high) = f.coverage_interval;
        let ends = format!("({:.0} to {:.0} %)", 100.0 * low, 100.0 * high);
        Some(format!("{:.0} % {ends}", 100.0 * f.coverage))
    });
    row(table, &format!("fell into the {level} range"), held, "");
    let score = each(found, |f| {
        let score = currency.round(f.interval_score);
        score.map(|score| round(score, currency))
    });
    row(
        table,
        &format!("interval score, in {}", currency.code()),
        score,
        "",
    );
}

fn rules(out: &mut String, found: &Accuracy) {
    let _ = writeln!(
        out,
        "\nRules of thumb with the same knowledge: half were off by less than this, in brackets \
         the same of the prices on the same sales. \
         Nearer: in how many sales the price, in how many the rule.\n"
    );
    let mut table = trials();
    heading(&mut table, "nearer");
    let cell = |of: Option<RuleFigures>| {
        of.map(|f| format!("{} ({})", one_percent(f.mdape), one_percent(f.model_mdape)))
    };
    for rule in &found.rules {
        let nearer = rule
            .back_test
            .map_or(String::new(), |f| format!("{}, {}", f.nearer.0, f.nearer.1));
        let of = [rule.leave_one_out, rule.back_test].map(cell);
        let name = rule_name(rule.rule);
        row(&mut table, &name, of, &nearer);
    }
    table.write(out);
}

/// What the user said before the sale, beside the price without it and with it.
fn own_eye(out: &mut String, found: &Accuracy) {
    let Some(study) = &found.eye else { return };
    let said = match study.from {
        EyeSource::FirstAsk => "first ask",
        EyeSource::Guess | EyeSource::Trade => "guess",
    };
    let _ = writeln!(
        out,
        "\nYour own eye, {} with a {said}: half were off by less than",
        many(study.sales, "sale")
    );
    let mut table = Table::new([
        Column::left(0).fitted().after("  "),
        Column::right(7).fitted().after("  "),
    ]);
    let rows = [
        (format!("your {said} as it was"), study.mdape),
        ("the price without it".to_string(), study.priced_without),
        ("both together".to_string(), study.priced_with),
    ];
    for (name, missed) in rows {
        table.row([name, one_percent(missed)]);
    }
    table.write(out);
}

/// Chances of a sale against what happened; with `all` those by all other records too.
fn days_told(out: &mut String, found: &Accuracy, all: bool) {
    let both = [&found.days_left_out, &found.days];
    if both
        .iter()
        .all(|days| days.horizons.iter().all(Option::is_none))
    {
        return;
    }
    let _ = writeln!(
        out,
        "\nDays on market at the asks that each bike had: share sold, predicted and actual\n"
    );
    let mut table = trials();
    match all {
        true => heading(&mut table, "actual"),
        false => table.row(["", "predicted", "", "actual"]),
    }
    for (place, days) in WITHIN.into_iter().enumerate() {
        let of = both.map(|held| held.horizons[place]);
        let cell = |told: Option<Told>| told.map(|t| format!("{:.0} %", 100.0 * t.expected));
        let happened = match of[1].or(of[0]) {
            Some(told) => format!(
                "{:.0} % ({:.0} to {:.0} %) of {}",
                100.0 * told.observed,
                100.0 * told.interval.0,
                100.0 * told.interval.1,
                many(told.bikes, "bike"),
            ),
            None => "too few bikes were listed so long ago".into(),
        };
        let name = format!("sold within {days:.0} days");
        let cells = match all {
            true => of.map(cell),
            false => [
                of[1].or(of[0]).and_then(|t| cell(Some(t))),
                Some(String::new()),
            ],
        };
        row(&mut table, &name, cells, &happened);
    }
    table.write(out);
}

fn worst(out: &mut String, found: &Accuracy, most: usize, currency: &Currency) {
    if found.worst.is_empty() {
        return;
    }
    let units = |units: f64| {
        let money = currency.round(units);
        money.map_or("-".into(), |money| round(money, currency))
    };
    let _ = writeln!(out, "\nMissed most, worst first, and what each looks like");
    for miss in found.worst.iter().take(most) {
        let range = if miss.in_range {
            ", within its range"
        } else {
            ""
        };
        let told = if miss.back_test {
            "the price said"
        } else {
            "all other records said"
        };
        let _ = writeln!(
            out,
            "  {} sold on {} for {}, {told} {}{range}:\n      {}",
            miss.bike,
            miss.sold_on,
            currency
                .round(miss.brought)
                .map_or("-".into(), |paid| exact(paid, currency)),
            units(miss.priced_at),
            looks_like(miss.looks_like, currency)
        );
    }
}
