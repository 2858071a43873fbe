//! Tyre sizes by ISO 5775: nominal section width and bead-seat diameter.

use std::fmt;

/// `40-622`: 40 mm wide on a rim whose bead seat is 622 mm across.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct TyreSize {
    /// Nominal section width in millimetres.
    pub width: u16,
    /// Bead-seat diameter in millimetres.
    pub bead: u16,
}

/// Bead-seat diameters in millimetres and what such wheels are called. A decimal
/// and a fraction are not the same size: 26 x 1.75 sits on 559, 26 x 1 3/8 on 590.
///
/// 622, 559, 507, 406, 355 and 305 are those of published summaries of ISO 5775;
/// 590, 571 and 203 those of a tyre maker's published chart; the others are from
/// memory.
pub const BEADS: [(u16, &str); 17] = [
    (635, "28 x 1 1/2"),
    (630, "27 x 1 1/4"),
    (622, "28 inch, 29 inch or 700C"),
    (597, "26 x 1 1/4"),
    (590, "26 x 1 3/8 or 650A"),
    (584, "27.5 inch or 650B"),
    (571, "26 x 1 or 650C"),
    (559, "26 inch with a decimal, as 26 x 1.75"),
    (540, "24 x 1 3/8"),
    (507, "24 inch with a decimal, as 24 x 1.75"),
    (451, "20 x 1 3/8"),
    (406, "20 inch with a decimal, as 20 x 1.75"),
    (355, "18 inch with a decimal"),
    (349, "16 x 1 3/8"),
    (305, "16 inch with a decimal"),
    (254, "14 inch with a decimal"),
    (203, "12 1/2 inch"),
];

impl TyreSize {
    /// A size; `None` for a width outside 18 to 150 mm or a bead outside 150 to
    /// 800 mm (no bicycle tyre is known to us beyond them; no source).
    pub fn new(width: u16, bead: u16) -> Option<Self> {
        let fits = (18..=150).contains(&width) && (150..=800).contains(&bead);
        fits.then_some(Self { width, bead })
    }

    /// What wheels of this bead are called, where it is a size of the table.
    pub fn called(self) -> Option<&'static str> {
        let found = BEADS.iter().find(|(bead, _)| *bead == self.bead);
        found.map(|(_, called)| *called)
    }
}

impl fmt::Display for TyreSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.width, self.bead)
    }
}
