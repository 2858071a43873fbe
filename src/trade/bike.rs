//! What describes a bicycle: style, model year, condition, tier, size, new price.

use super::calendar::Day;
use super::money::Money;
use super::years::Years;
use std::fmt;

/// Declares a word list as an enum with its words, in the order of the documentation.
macro_rules! words {
    ($(#[$meta:meta])* $name:ident { $($(#[$doc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$doc])* $variant),+ }

        impl $name {
            /// Every value, in the order of the documentation.
            pub const ALL: &'static [$name] = &[$($name::$variant),+];

            /// The word used in files, help and JSON.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word),+ }
            }

            /// The value with this word (case does not matter), if there is one.
            pub fn from_word(text: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|v| v.word().eq_ignore_ascii_case(text.trim()))
            }

            /// Position in [`Self::ALL`], from 0.
            pub fn index(self) -> usize {
                self as usize
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(self.word())
            }
        }
    };
}
pub(crate) use words;

words! {
    /// What a bicycle is built for.
    Style {
        Road = "road", Hybrid = "hybrid", Mountain = "mountain", City = "city",
        Cruiser = "cruiser", Touring = "touring", Folding = "folding", Kids = "kids",
        Other = "other",
    }
}

words! {
    /// Condition of the whole bicycle, 1 to 5.
    Condition {
        /// 1: good only for its parts.
        Donor = "donor",
        /// 2: needs repair before it is ridden.
        Project = "project",
        /// 3: safe and serviced, visibly worn.
        Rider = "rider",
        /// 4: fully serviced, light marks.
        Tidy = "tidy",
        /// 5: as new.
        Mint = "mint",
    }
}

words! {
    /// Component tier, 1 to 5.
    Tier { Basic = "basic", Sport = "sport", Club = "club", Race = "race", Pro = "pro" }
}

words! {
    /// Size class of the frame.
    SizeClass { XS = "XS", S = "S", M = "M", L = "L", XL = "XL" }
}

impl Condition {
    /// The grade as a number, 1 to 5.
    pub fn grade(self) -> u8 {
        self as u8 + 1
    }

    /// From a grade 1 to 5.
    pub fn from_grade(grade: u8) -> Option<Self> {
        Self::ALL.get(usize::from(grade).checked_sub(1)?).copied()
    }
}

impl Tier {
    /// The tier as a number, 1 to 5.
    pub fn grade(self) -> u8 {
        self as u8 + 1
    }

    /// From a grade 1 to 5.
    pub fn from_grade(grade: u8) -> Option<Self> {
        Self::ALL.get(usize::from(grade).checked_sub(1)?).copied()
    }
}

/// Size of the frame: the length of the seat tube in tenths of a millimetre, 12 cm (a
/// child's first bike) to 80 cm (whole tenths, so that `21in` = 533.4 mm is held exactly:
/// 1 in = 25.4 mm), or a size class of which no length is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SeatTube {
    /// Of this class; the length is unknown.
    Class(SizeClass),
    /// Tenths of a millimetre, 1,200 to 8,000: made by [`SeatTube::from_tenths`].
    Length(TubeLength),
}

/// A length of a seat tube that is possible.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TubeLength(u16);

impl SeatTube {
    /// From tenths of a millimetre; `None` outside 12 to 80 cm.
    pub fn from_tenths(tenths: i64) -> Option<Self> {
        (1200..=8000)
            .contains(&tenths)
            .then_some(Self::Length(TubeLength(tenths as u16)))
    }

    /// The length in tenths of a millimetre, where it is known.
    pub fn tenths(self) -> Option<i64> {
        match self {
            Self::Class(_) => None,
            Self::Length(TubeLength(tenths)) => Some(i64::from(tenths)),
        }
    }

    /// One number for each: the tenths of a millimetre, or 1 to 5 for a class from XS to
    /// XL, which no length is as small as. Books are written with it: don't change it.
    pub fn number(self) -> i64 {
        match self {
            Self::Class(class) => class.index() as i64 + 1,
            Self::Length(TubeLength(tenths)) => i64::from(tenths),
        }
    }

    /// From such a number; `None` for any other.
    pub fn from_number(number: i64) -> Option<Self> {
        let place = usize::try_from(number.checked_sub(1)?).ok()?;
        let class = SizeClass::ALL.get(place).copied().map(Self::Class);
        class.or_else(|| Self::from_tenths(number))
    }

    /// Size class for a style. The boundaries (each the smallest length of its
    /// class, in tenths of a millimetre) are common practice without a source:
    /// published charts disagree. Road in centimetres, mountain in inches,
    /// every other style by the hybrid table; `kids` have no class.
    pub fn class(self, style: Style) -> Option<SizeClass> {
        let from = match style {
            Style::Kids => return None,
            Style::Road => [5000, 5300, 5600, 5900],
            Style::Mountain => [3810, 4318, 4826, 5334], // 15, 17, 19, 21 in
            _ => [4400, 4900, 5400, 5800],
        };
        match self {
            Self::Class(class) => Some(class),
            Self::Length(TubeLength(tenths)) => {
                let above = from.iter().filter(|limit| tenths >= **limit).count();
                Some(SizeClass::ALL[above])
            }
        }
    }
}

impl fmt::Display for SeatTube {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tenths = match self {
            Self::Class(class) => return write!(f, "size {class}"),
            Self::Length(TubeLength(tenths)) => tenths,
        };
        match (tenths % 100, tenths % 10) {
            (0, _) => write!(f, "{} cm", tenths / 100),
            (_, 0) => write!(f, "{}.{} cm", tenths / 100, tenths % 100 / 10),
            _ => write!(f, "{}.{:02} cm", tenths / 100, tenths % 100),
        }
    }
}

/// A bicycle described by its features. Unknown features are `None`, never 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bike {
    /// What it is built for; always known.
    pub style: Style,
    /// Model year, or the years that it may be of.
    pub made: Option<Years>,
    /// Condition on the day in question.
    pub condition: Option<Condition>,
    /// Component tier.
    pub tier: Option<Tier>,
    /// Seat-tube length, or a size class.
    pub seat_tube: Option<SeatTube>,
    /// What the same or the nearest bike costs new today.
    pub new_price: Option<Money>,
}

impl Bike {
    /// A bike of which only the style is known.
    pub fn of(style: Style) -> Self {
        Self {
            style,
            made: None,
            condition: None,
            tier: None,
            seat_tube: None,
            new_price: None,
        }
    }

    /// Age in decimal years on `day`, if the model year is known; of a range of
    /// years the mean over them.
    pub fn age(&self, day: Day) -> Option<f64> {
        self.made.map(|made| made.mean_age(day))
    }

    /// Size class, if the seat tube or the class is known and the style has classes.
    pub fn size(&self) -> Option<SizeClass> {
        self.seat_tube.and_then(|tube| tube.class(self.style))
    }
}
