//! The rules as text.

use crate::book::KeptRule;
use crate::report::quarter::words::{percent, rule};
use crate::report::text::amounts::exact;
use crate::report::text::counts::listed;
use crate::report::text::dates::{MONTHS, long_day};
use crate::report::text::wrap::paragraph;
use crate::trade::{Currency, Day, Give, Giving, Means, Quarter, RuleChange, Rules};

/// Columns of the screen.
const WIDTH: usize = 80;

/// All rules, which of them is in force, and the figures. `kept`: the changes as they were
/// made, for the days on which that was.
pub fn all(
    rules: &Rules,
    kept: &[KeptRule],
    means: &[Means],
    as_of: Day,
    currency: &Currency,
) -> String {
    let mut out = String::new();
    let starts = rules.year_starts();
    let month = MONTHS[usize::from(starts.clamp(1, 12)) - 1];
    say(
        &mut out,
        "",
        &format!("The rule of giving; the year starts in {month}"),
    );
    let in_force = |from: Option<Day>| {
        let last = rules.changes().iter().rfind(|change| change.from <= as_of);
        let mark = last.map(|change| change.from) == from;
        if mark { ", in force now" } else { "" }
    };
    out.push('\n');
    say(
        &mut out,
        "",
        &format!("From the start on{}", in_force(None)),
    );
    one(&mut out, rules.first());
    for change in rules.changes() {
        let made = kept
            .iter()
            .rev()
            .find(|kept| kept.change.from == change.from);
        let made = made.map_or(String::new(), |kept| {
            format!(", set on {}", long_day(kept.made_on))
        });
        let title = format!(
            "From {} ({}) on{}{made}",
            long_day(change.from),
            Quarter::of(change.from, starts),
            in_force(Some(change.from))
        );
        out.push('\n');
        say(&mut out, "", &title);
        one(&mut out, &change.giving);
    }
    if !means.is_empty() {
        out.push('\n');
        say(
            &mut out,
            "",
            "What money does, by the beneficiaries' own figures",
        );
    }
    for figure in means {
        let line = format!(
            "{}, {}: one {} costs {} {currency}",
            figure.beneficiary,
            long_day(figure.on),
            figure.unit,
            exact(figure.amount, currency)
        );
        say(&mut out, "  ", &line);
    }
    out
}

fn say(out: &mut String, mark: &str, text: &str) {
    paragraph(out, WIDTH, mark, text);
}

fn one(out: &mut String, giving: &Giving) {
    say(out, "  ", &rule(giving));
    say(out, "  ", &format!("For {}.", who(giving)));
}

/// Those who receive it, with their parts in percent where there are several: `A (70 %)
/// and B (30 %)`.
fn who(giving: &Giving) -> String {
    let all: u64 = giving
        .beneficiaries
        .iter()
        .map(|who| u64::from(who.weight))
        .sum();
    let part = |weight: u32| {
        // Hundredths of a percent, rounded half up, for reading alone.
        let hundredths = (u64::from(weight) * 20_000 + all) / (2 * all);
        percent(u16::try_from(hundredths).unwrap_or(10_000))
    };
    match giving.beneficiaries.as_slice() {
        [] => "nobody by name yet".into(),
        [only] => only.name.clone(),
        several => {
            let names = several.iter();
            let names = names.map(|who| format!("{} ({})", who.name, part(who.weight)));
            listed(&names.collect::<Vec<_>>())
        }
    }
}

/// What was done, a paragraph each.
pub fn told(sentences: &[String]) -> String {
    let mut out = String::new();
    for sentence in sentences {
        say(&mut out, "", sentence);
    }
    out
}

/// That a change reaches back to a quarter that is over.
pub fn of_a_quarter_that_is_over(quarter: Quarter) -> String {
    format!(
        "{quarter} is over and not closed: what is due for it changes too. If its report was sent, look at \
         'wheelworth quarter {quarter}' again."
    )
}

/// What a change does, in sentences; `rules` are those of before.
pub fn of_change(rules: &Rules, change: &RuleChange) -> Vec<String> {
    let starts = rules.year_starts();
    let before = rules.on(change.from);
    let quarter = Quarter::of(change.from, starts);
    if *before == change.giving {
        return vec![format!(
            "That is the rule from {} ({quarter}) on already. Nothing was changed.",
            long_day(change.from)
        )];
    }
    let mut told = vec![format!(
        "From {} ({quarter}) on: {} For {}.",
        long_day(change.from),
        rule(&change.giving),
        who(&change.giving)
    )];
    let replaced = rules
        .changes()
        .iter()
        .any(|known| known.from == change.from);
    told.push(if replaced {
        "It takes the place of the change from the same day. Quarters before it stay as they are.".into()
    } else {
        "Quarters before it stay as they are. Another 'wheelworth rule' from the same day takes its place.".into()
    });
    let previous = rules.of(quarter.previous());
    if previous.give == Give::Net && change.giving.give == Give::Price {
        told.push(
            "A shortfall of the quarter before ends there, also what of it was handed back to buyers: \
             under 'give price' no cost counts."
                .into(),
        );
    }
    let named =
        |giving: &Giving, name: &str| giving.beneficiaries.iter().any(|who| who.name == name);
    let left: Vec<&str> = previous
        .beneficiaries
        .iter()
        .map(|who| who.name.as_str())
        .filter(|name| !named(&change.giving, name))
        .collect();
    if !left.is_empty() {
        told.push(format!("What is owed to {} stays owed.", listed(&left)));
    }
    if let Some(next) = rules
        .changes()
        .iter()
        .find(|known| known.from > change.from)
    {
        told.push(format!(
            "From {} on the rule that was set for then holds; 'wheelworth rule' shows it.",
            long_day(next.from)
        ));
    }
    told
}

/// What a figure does, in sentences.
pub fn of_figure(means: &Means, currency: &Currency) -> Vec<String> {
    let amount = exact(means.amount, currency);
    let many = crate::trade::Money::from_minor(means.amount.minor().saturating_mul(20));
    vec![
        format!(
            "By the figure of {} of {}, one {} costs {amount} {currency}.",
            means.beneficiary,
            long_day(means.on),
            means.unit
        ),
        format!(
            "The quarter's report says of {} {currency} handed over to them: about 20 {}. For other words give \
             --means \"{}/SEVERAL={amount}\"; a figure of the same day takes its place.",
            exact(many, currency),
            means.units,
            means.unit
        ),
    ]
}
