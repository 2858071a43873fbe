//! Cautions in words: what was seen, why it matters, what to do.

use super::amounts;
use crate::pricing::caution::Caution;
use crate::trade::Currency;

/// A short name for JSON, so that a script need not read the words.
pub fn code(caution: &Caution) -> &'static str {
    match caution {
        Caution::NothingToGoOn => "nothing_to_go_on",
        Caution::OutOfReach => "out_of_reach",
        Caution::OwnSaleAmongRecords { .. } => "own_sale_among_records",
        Caution::PriorOnly => "trade_prior_only",
        Caution::FewOwnSales { .. } => "few_own_sales",
        Caution::OutsideExperience { .. } => "outside_experience",
        Caution::Unknown { .. } => "unknown_features",
        Caution::Disagreement { .. } => "records_disagree_with_prior",
        Caution::NearNew { .. } => "near_new_price",
        Caution::OldComps { .. } => "comps_are_old",
        Caution::OwnSaleLeftOut { .. } => "own_sale_left_out",
    }
}

/// The caution as a sentence or two.
pub fn words(caution: &Caution, currency: &Currency) -> String {
    match caution {
        Caution::NothingToGoOn => {
            "There is nothing to go on: no sale and no comp with a price, and no new price. Import your sales \
             or comps, or give --new-price."
                .into()
        }
        Caution::OutOfReach => "The price lies outside what can be computed with. Check the year, the new price \
             and the day of the answer."
            .into(),
        Caution::OwnSaleAmongRecords { bike } => format!(
            "A bike {bike} of yours is sold, and that sale is among the records here; 'price --bike {bike}' leaves \
             it out."
        ),
        Caution::PriorOnly => {
            "Trade prior only: the book has no sales and no comps, so this is the new price less \
             the usual loss of value. Import comps before you rely on it."
                .into()
        }
        Caution::FewOwnSales { sales: 0 } => {
            "The book has no own sales: how far one sale strays from its value is \
             taken from the trade prior and from the comps. Record your sales as they happen."
                .into()
        }
        Caution::FewOwnSales { sales } => format!(
            "Only {sales} own sale{}: how far one sale strays from its value is taken mostly from the trade prior \
             and the comps. Record your sales as they happen.",
            if *sales == 1 { "" } else { "s" }
        ),
        Caution::OutsideExperience {
            feature: "style",
            here,
            seen,
        } => format!(
            "Outside your experience: the records hold {seen} ({here}). Look at asks of such bikes yourself \
             before you decide."
        ),
        Caution::OutsideExperience {
            feature,
            here,
            seen,
        } => format!(
            "Outside your experience: {feature} {here}, where the records show {seen}. Treat the price as a guess."
        ),
        Caution::Unknown { features } => format!(
            "Unknown: {}. The range is wider for it; find out what you can before you list it.",
            features.join(", ")
        ),
        Caution::Disagreement { effect, distance } => format!(
            "Your records disagree with the trade prior for '{effect}' (they say {}). The records win; if you doubt \
             them, look for wrong grades or years.",
            if *distance > 0.0 { "more" } else { "less" }
        ),
        Caution::NearNew { value, new_price } => format!(
            "The value, {}, is {} the {} that one costs new. Check the new price and the features; few buyers pay \
             so much for a used one.",
            amounts::round(*value, currency),
            if value > new_price { "above" } else { "near" },
            amounts::round(*new_price, currency)
        ),
        Caution::OldComps { newest, days } => format!(
            "The newest comp is of {newest}, {days} days ago: the market may have moved. Look around and import \
             what you see."
        ),
        Caution::OwnSaleLeftOut { bike, price, on } => format!(
            "{bike} was sold on {on} for {}; that sale was left out, so this is what the other records say of it.",
            amounts::exact(*price, currency)
        ),
    }
}
