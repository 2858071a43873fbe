//! What to doubt about the market's figures.

use super::answer::Market;
use super::cautions::MarketCaution;
use crate::pricing::records::gathered::OLD_COMPS;
use crate::trade::calendar::days_between;

/// Comps below which a market is a first impression (judgement).
const FEW_COMPS: usize = 20;

/// Own sales below which nothing can be said of them (judgement).
const FEW_SALES: usize = 5;

/// What to doubt about an answer.
pub(super) fn about(market: &Market) -> Vec<MarketCaution> {
    let mut found = Vec::new();
    let (comps, sales) = (&market.comps, &market.sales);
    if market.is_empty() {
        let not_yet = comps.not_yet + sales.not_yet;
        return vec![MarketCaution::NoRecords { not_yet }];
    }
    if comps.comps < FEW_COMPS {
        found.push(MarketCaution::FewComps { comps: comps.comps });
    }
    if sales.sold < FEW_SALES {
        found.push(MarketCaution::FewOwnSales { sales: sales.sold });
    }
    if let Some((_, newest)) = comps.dates {
        let days = days_between(newest, market.question.as_of);
        if days > OLD_COMPS {
            found.push(MarketCaution::OldComps { newest, days });
        }
    }
    if comps.undated > 0 {
        let comps = comps.undated;
        found.push(MarketCaution::Undated { comps });
    }
    if comps.not_yet > 0 {
        let comps = comps.not_yet;
        found.push(MarketCaution::NotYet { comps });
    }
    let used = comps.listings.saturating_sub(market.days.unused.comps());
    if 2 * used < comps.listings {
        let listings = comps.listings;
        found.push(MarketCaution::DaysRestOnFew { used, listings });
    }
    if let Some(style) = market.question.style {
        found.push(MarketCaution::OneStyle { style });
    }
    found
}
