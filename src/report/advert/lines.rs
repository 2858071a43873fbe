//! What an advert says, in lines of its own.

use crate::report::text::amounts::plain;
use crate::report::text::counts::capital;
use crate::trade::{Bike, Condition, Currency, Day, Money, SeatTube, SizeClass, Style, Tier};

/// Whether it may be ridden.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ready {
    /// Every safety check and the road test have passed.
    Checked(Day),
    /// It has not been checked, or not all of it.
    NotChecked,
    /// Safety checks have not passed: these.
    ForRepair(Vec<&'static str>),
}

/// What is said of a bike that is for sale.
#[derive(Clone, Debug)]
pub struct Advert {
    /// Its features; the condition is what it counts as.
    pub bike: Bike,
    /// Whether it may be ridden.
    pub ready: Ready,
    /// What was renewed, in the user's words.
    pub renewed: Vec<String>,
    /// What is not perfect.
    pub faults: Vec<String>,
    /// What is asked, if anything.
    pub ask: Option<Money>,
    /// Of the money.
    pub currency: Currency,
}

impl Advert {
    /// The first line.
    pub(super) fn title(&self) -> String {
        let kind = match self.bike.style {
            Style::Kids => "Kids' bike".to_string(),
            Style::Other => "Bike".to_string(),
            style => format!("{} bike", capital(style.word())),
        };
        let mut parts = vec![kind];
        parts.extend(self.bike.made.map(|made| match made.exact() {
            Some(year) => year.to_string(),
            None => format!("{} to {}", made.first(), made.last()),
        }));
        parts.extend(self.bike.size().map(|size| format!("size {size}")));
        let name = parts.join(", ");
        match self.ready {
            Ready::ForRepair(_) => format!("For repair, not to be ridden as it is: {name}"),
            _ => name,
        }
    }

    /// Each further line; without the ask.
    pub(super) fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        lines.extend(self.size());
        lines.extend(
            self.bike
                .condition
                .map(|condition| format!("Condition: {}.", state(condition))),
        );
        lines.extend(
            self.bike
                .tier
                .map(|tier| format!("Parts: {}.", parts(tier))),
        );
        if !self.renewed.is_empty() {
            lines.push(format!("New on it: {}.", self.renewed.join(", ")));
        }
        lines.extend(match &self.ready {
            Ready::Checked(on) => Some(format!("Checked and test-ridden on {on}.")),
            Ready::NotChecked => None,
            Ready::ForRepair(checks) => Some(format!(
                "Needs work before it is ridden: {}.",
                checks.join(", ")
            )),
        });
        if !self.faults.is_empty() {
            lines.push(format!("Not perfect: {}.", self.faults.join(", ")));
        }
        lines
    }

    /// The ask.
    pub(super) fn price(&self) -> Option<String> {
        let ask = self.ask?;
        let amount = plain(ask, &self.currency);
        Some(format!("{amount} {}", self.currency))
    }

    fn size(&self) -> Option<String> {
        let tenths = self.bike.seat_tube.and_then(SeatTube::tenths);
        let tube = tenths.map(|tenths| format!("Seat tube {:.0} cm", tenths as f64 / 100.0));
        let fits = self.bike.size().map(|size| {
            let (from, to) = riders(size);
            format!("for riders of about {from} to {to} cm: come and try it")
        });
        match (tube, fits) {
            (Some(tube), Some(fits)) => Some(format!("{tube}, {fits}.")),
            (Some(tube), None) => Some(format!("{tube}.")),
            (None, fits) => fits.map(|fits| format!("{}.", capital(&fits))),
        }
    }
}

/// Heights of riders in centimetres that a size class usually fits (common practice, no
/// source).
fn riders(size: SizeClass) -> (u16, u16) {
    match size {
        SizeClass::XS => (150, 160),
        SizeClass::S => (157, 168),
        SizeClass::M => (166, 178),
        SizeClass::L => (176, 188),
        SizeClass::XL => (186, 198),
    }
}

fn state(condition: Condition) -> &'static str {
    match condition {
        Condition::Donor => "good only for its parts",
        Condition::Project => "needs repair before it is ridden",
        Condition::Rider => "visibly worn",
        Condition::Tidy => "tidy, light marks",
        Condition::Mint => "as new",
    }
}

fn parts(tier: Tier) -> &'static str {
    match tier {
        Tier::Basic => "basic",
        Tier::Sport => "sport level",
        Tier::Club => "club level",
        Tier::Race => "race level",
        Tier::Pro => "top level",
    }
}
