//! What a kept sheet and the book say differently of a bike. The book stays as it
//! is: the sheet may be wrong, or another bike's.

use crate::pricing::inspection::Assessment;
use crate::trade::inspection::Sheet;
use crate::trade::inspection::measure::decimal;
use crate::trade::{Condition, Sale};

/// Each difference in words, with what to do.
pub(crate) fn differences(sale: &Sale, sheet: &Sheet, found: &Assessment) -> Vec<String> {
    let (id, bike) = (&sale.id, &sale.bike);
    let mend = |flag: &str, value: &str| {
        format!("If the sheet is right: wheelworth record sale --bike {id} --{flag} {value}")
    };
    let mut told = Vec::new();
    if let Some(style) = sheet.style().filter(|style| *style != bike.style) {
        told.push(format!(
            "the book says style {}, the sheet {style}; the book's counts. {}",
            bike.style,
            mend("style", &format!("{} --correct", style.word()))
        ));
    }
    if let Some(tier) = found.tier.filter(|tier| Some(*tier) != bike.tier) {
        let (grade, mend) = (tier.grade(), mend("tier", &tier.grade().to_string()));
        told.push(match bike.tier {
            Some(book) => format!(
                "the book says tier {} {book}, the sheet's facts say {grade} {tier}; the book's counts. {mend}",
                book.grade()
            ),
            None => format!(
                "the book knows no tier, and the price goes by the book; by the sheet's facts it is {grade} {tier}. \
                 {mend}"
            ),
        });
    }
    if let Some(class) = found.size.class.filter(|class| Some(*class) != bike.size()) {
        let book = bike.size().map(|size| format!("size {size}"));
        let measured = sheet.length("seat tube");
        let mend = match (measured, sheet.size()) {
            (Some(tenths), _) => mend("seat-tube", &format!("{}mm", decimal(tenths, 10))),
            (None, Some(class)) => mend("seat-tube", class.word()),
            (None, None) => "Measure the seat tube, and note it in both.".into(),
        };
        told.push(format!(
            "the book says {}, {} {class}; the book's counts. {mend}",
            book.unwrap_or("no size".into()),
            if found.size.methods.is_empty() {
                "the sheet says size"
            } else {
                "the sheet's lengths say"
            }
        ));
    }
    if let Some(inspected) = found.condition {
        let grade = inspected.grade().to_string();
        told.extend(condition(sale, found, &mend("condition", &grade)));
    }
    told
}

/// The condition, and for which one its price is told.
fn condition(sale: &Sale, found: &Assessment, mend: &str) -> Option<String> {
    let inspected = found.condition?;
    let recorded = sale.bike.condition;
    if recorded == Some(inspected) {
        return None;
    }
    let graded = |condition: Condition| format!("condition {} {condition}", condition.grade());
    let book = recorded.map_or("no condition".into(), graded);
    let differ = format!("the book says {book}, the sheet {}", graded(inspected));
    Some(match found.counts(recorded) {
        Some(counts) if Some(counts) != recorded => format!(
            "{differ}; while this is its latest inspection, 'price' and 'stock' count it as {} {counts}",
            counts.grade()
        ),
        _ => format!("{differ}; the book's counts. {mend}"),
    })
}
