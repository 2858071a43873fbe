//! The size class by two methods, and the class next to it where it is near.
//!
//! The first method is the seat tube by the style's table; the second the reach,
//! or the effective top tube where no reach was measured. Sloping frames have
//! short seat tubes, so the two may disagree: by one class the second names the
//! class that the first is near; by more, the bike is to be measured again. A size class
//! that was noted in the place of the seat tube's length counts where nothing was measured.
//! No standard defines these classes and published charts disagree: tables and
//! margins are common practice and judgement, without a source.

use crate::trade::inspection::Sheet;
use crate::trade::{SeatTube, SizeClass, Style};

/// A seat tube or top tube within 1 cm of a boundary is near it; a reach within
/// 5 mm. In tenths of a millimetre.
const NEAR_TUBE: i64 = 100;
const NEAR_REACH: i64 = 50;

/// Smallest reach of S, M, L and XL in tenths of a millimetre: road, mountain, any
/// other style.
const REACH: [[i64; 4]; 3] = [
    [3650, 3750, 3900, 4000],
    [3900, 4200, 4550, 4850],
    [3600, 3850, 4100, 4350],
];

/// Smallest effective top tube, likewise.
const TOP_TUBE: [[i64; 4]; 3] = [
    [5150, 5350, 5550, 5750],
    [5500, 5750, 6000, 6250],
    [5200, 5500, 5800, 6100],
];

/// One way to a size class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Method {
    /// The item that was measured.
    pub by: &'static str,
    /// The measure in tenths of a millimetre.
    pub tenths: i64,
    /// Its class.
    pub class: SizeClass,
    /// The class whose boundary is near.
    pub near: Option<SizeClass>,
}

/// The size of a bike.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Size {
    /// The class; `None` where nothing was measured or noted, for children's bikes, and
    /// where the methods are more than one class apart.
    pub class: Option<SizeClass>,
    /// The class that it borders on.
    pub near: Option<SizeClass>,
    /// The ways to it: seat tube first.
    pub methods: Vec<Method>,
    /// Whether the methods are more than one class apart.
    pub measure_again: bool,
    /// Whether the style was not given, so that the table for hybrids was used.
    pub style_assumed: bool,
}

/// The size by what the sheet says. Without a style the hybrids' table is used.
pub fn size(sheet: &Sheet) -> Size {
    let style = sheet.style();
    if style == Some(Style::Kids) {
        return Size::default();
    }
    let of_style = style.unwrap_or(Style::Hybrid);
    let seat_tube = sheet
        .length("seat tube")
        .and_then(|tenths| by_seat_tube(tenths, of_style));
    let second = match (sheet.length("reach"), sheet.length("top tube")) {
        (Some(tenths), _) => Some(by_table("reach", tenths, &REACH, of_style, NEAR_REACH)),
        (None, Some(tenths)) => Some(by_table("top tube", tenths, &TOP_TUBE, of_style, NEAR_TUBE)),
        (None, None) => None,
    };
    let methods: Vec<Method> = seat_tube.into_iter().chain(second).collect();
    let (class, near, measure_again) = match methods.as_slice() {
        [] => (sheet.size(), None, false),
        [only] => (Some(only.class), only.near, false),
        [first, second, ..] => together(first, second),
    };
    Size {
        class,
        near,
        style_assumed: style.is_none() && !methods.is_empty(),
        methods,
        measure_again,
    }
}

/// Class, the class it is near, and whether to measure again.
fn together(first: &Method, second: &Method) -> (Option<SizeClass>, Option<SizeClass>, bool) {
    match first.class.index().abs_diff(second.class.index()) {
        0 => {
            let near = match (first.near, second.near) {
                (Some(a), Some(b)) if a != b => None, // one leans down, the other up
                (a, b) => a.or(b),
            };
            (Some(first.class), near, false)
        }
        1 => (Some(first.class), Some(second.class), false),
        _ => (None, None, true),
    }
}

fn by_seat_tube(tenths: i64, style: Style) -> Option<Method> {
    let class_of = |tenths: i64| SeatTube::from_tenths(tenths).and_then(|tube| tube.class(style));
    let class = class_of(tenths)?;
    let other = |tenths: i64| class_of(tenths).filter(|other| *other != class);
    Some(Method {
        by: "seat tube",
        tenths,
        class,
        near: other(tenths - NEAR_TUBE).or_else(|| other(tenths + NEAR_TUBE)),
    })
}

fn by_table(
    by: &'static str,
    tenths: i64,
    tables: &[[i64; 4]; 3],
    style: Style,
    margin: i64,
) -> Method {
    let [road, mountain, other] = tables;
    let from = match style {
        Style::Road => road,
        Style::Mountain => mountain,
        _ => other,
    };
    let class_of = |tenths: i64| {
        let above = from.iter().filter(|least| tenths >= **least).count();
        SizeClass::ALL[above]
    };
    let class = class_of(tenths);
    let differs = |other: &SizeClass| *other != class;
    let near = Some(class_of(tenths - margin))
        .filter(differs)
        .or_else(|| Some(class_of(tenths + margin)).filter(differs));
    Method {
        by,
        tenths,
        class,
        near,
    }
}
