//! Forms of the market beside the usual one, each with one thing that a model of prices
//! may not expect.

use wheelworth::trade::calendar::DAYS_PER_YEAR;

/// What is strange about a market.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Form {
    /// Nothing: as in the rest of these files.
    #[default]
    Usual,
    /// Other sellers hope for twice as much, seldom cut and wait for months, so that
    /// most asks on the board are stale.
    Stubborn,
    /// The user looked at the board on a few days only.
    FewLooks,
    /// On top of everything, all prices fall by a fifth a year.
    Falling,
    /// The spring peak is three times as high, and all own bikes were listed outside it.
    MissedSpring,
}

/// How other people sell.
#[derive(Clone, Copy, Debug)]
pub struct Others {
    /// Mean (ln) of what a seller hopes for above the worth, beside ignorance.
    pub hope: f64,
    /// Share of those who never cut.
    pub stubborn: f64,
    /// Mean days after which they give up, beyond the first ten.
    pub patience: f64,
}

impl Form {
    /// All forms.
    pub const ALL: [Form; 5] = [
        Form::Usual,
        Form::Stubborn,
        Form::FewLooks,
        Form::Falling,
        Form::MissedSpring,
    ];

    /// A short name.
    pub fn name(self) -> &'static str {
        match self {
            Form::Usual => "usual",
            Form::Stubborn => "stubborn",
            Form::FewLooks => "few looks",
            Form::Falling => "falling",
            Form::MissedSpring => "missed spring",
        }
    }

    /// How other people sell.
    pub fn others(self) -> Others {
        if self == Form::Stubborn {
            Others {
                hope: 0.22,
                stubborn: 0.85,
                patience: 250.0,
            }
        } else {
            Others {
                hope: 0.11,
                stubborn: 0.4,
                patience: 75.0,
            }
        }
    }

    /// Days between two looks at the board: fewest and most.
    pub fn between_looks(self) -> (u32, u32) {
        if self == Form::FewLooks {
            (120, 300)
        } else {
            (7, 21)
        }
    }

    /// ln of all prices `days` before the end beside those at the end.
    pub fn ln_level(self, days: f64) -> f64 {
        if self == Form::Falling {
            -0.8_f64.ln() * days.max(0.0) / DAYS_PER_YEAR
        } else {
            0.0
        }
    }

    /// Height (ln) of the spring peak.
    pub fn spring(self) -> f64 {
        if self == Form::MissedSpring {
            0.18
        } else {
            0.06
        }
    }

    /// Whether the user lists bikes at a place in the year.
    pub fn lists_at(self, season: f64) -> bool {
        self != Form::MissedSpring || !(0.15..0.55).contains(&season)
    }
}
