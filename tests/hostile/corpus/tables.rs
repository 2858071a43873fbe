//! Good files of every kind, cell by cell in the form in which the program
//! exports them, so that what went in can be compared with what comes out.

use super::csv_text::read;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// An id of its own, which must stand once.
    Id,
    /// A name that may stand more than once.
    Name,
    /// The id of a bike of the book.
    Bike,
    /// Free text.
    Text,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A condition or a tier: 1 to 5, or one of these words.
    Grade([&'static str; 5]),
    /// A model year or a range.
    Years,
    /// A seat-tube length.
    Tube,
    /// An amount, above 0.
    Price,
    /// An amount, 0 or more.
    Amount,
    /// A day.
    Day,
    /// Hours.
    Hours,
    /// Yes, or nothing.
    YesNo,
}

use Holds::{Amount, Bike, Day, Grade, Hours, Id, Name, Price, Text, Tube, Word, Years, YesNo};

/// A column: its name, what it holds, whether its cells must be filled.
pub type Column = (&'static str, Holds, bool);

/// A kind of file with good rows.
pub struct Table {
    /// Word of the kind.
    pub kind: &'static str,
    /// Its columns.
    pub columns: &'static [Column],
    /// Header and rows.
    pub text: &'static str,
    /// Sales that must be in the book before.
    pub bikes: &'static str,
}

impl Table {
    /// Header and rows, cell by cell.
    pub fn cells(&self) -> Vec<Vec<String>> {
        read(self.text.as_bytes(), b',')
    }
}

const STYLES: Holds = Word(&["road", "hybrid", "mountain", "city", "cruiser", "touring"]);
const CONDITION: Holds = Grade(["donor", "project", "rider", "tidy", "mint"]);
const TIER: Holds = Grade(["basic", "sport", "club", "race", "pro"]);

/// Bikes to which asks and costs belong.
const BIKES: &str = "bike,style\nK-104,road\nM-219,city\nP-337,hybrid\n";

/// Every kind that is kept in the book.
pub const KEPT: [Table; 5] = [
    Table {
        kind: "sales",
        columns: &[
            ("bike", Id, true),
            ("style", STYLES, true),
            ("made", Years, false),
            ("condition", CONDITION, false),
            ("tier", TIER, false),
            ("seat_tube", Tube, false),
            ("new_price", Price, false),
            ("bought_on", Day, false),
            ("listed_on", Day, false),
            ("ask", Price, false),
            ("sold_on", Day, false),
            ("sold_price", Amount, false),
            ("purchase", Amount, false),
            ("parts", Amount, false),
            ("fees", Amount, false),
            ("other_cost", Amount, false),
            ("hours", Hours, false),
            ("note", Text, false),
            ("guess", Amount, false),
            ("left_on", Day, false),
            ("left_as", Word(&["kept", "given", "scrapped", "stolen"]), false),
            ("box_value", Amount, false),
            ("box_item", Text, false),
        ],
        text: "\
bike,style,made,condition,tier,seat_tube,new_price,bought_on,listed_on,ask,sold_on,sold_price,purchase,parts,fees,other_cost,hours,note,guess,left_on,left_as,box_value,box_item
K-104,road,2015,4,3,53cm,890.00,2026-01-10,2026-03-01,240.00,2026-03-14,200.00,50.00,22.50,4.00,3.00,4.5,bar tape in grün,215.00,,,,
M-219,city,2012,3,2,50.8cm,450.00,2026-01-25,2026-03-05,110.00,2026-03-20,90.00,20.00,15.25,0.00,0.00,3,,,,,,
P-337,hybrid,2018..2019,5,2,48cm,,2026-02-16,2026-04-02,180.00,,,40.00,,,,2.25,\"new chain, old cassette\",170.00,,,,
T-446,mountain,,2,,,,2026-02-11,,,,,15.00,,,,,,,2026-03-30,scrapped,12.50,wheels
",
        bikes: "",
    },
    Table {
        kind: "comps",
        columns: &[
            ("listing", Id, true),
            ("source", Name, false),
            ("style", STYLES, true),
            ("made", Years, false),
            ("condition", CONDITION, false),
            ("tier", TIER, false),
            ("seat_tube", Tube, false),
            ("new_price", Price, false),
            ("listed_on", Day, false),
            ("first_seen", Day, false),
            ("last_seen", Day, false),
            ("ask", Price, true),
            ("last_ask", Price, false),
            ("outcome", Word(&["listed", "sold", "withdrawn", "gone"]), false),
            ("ended_on", Day, false),
            ("sold_price", Price, false),
        ],
        text: "\
listing,source,style,made,condition,tier,seat_tube,new_price,listed_on,first_seen,last_seen,ask,last_ask,outcome,ended_on,sold_price
L-7001,board,road,2016,4,3,54cm,900.00,2026-03-20,2026-03-21,2026-04-19,250.00,230.00,sold,2026-04-18,225.00
L-7152,board,city,2014,3,2,50.8cm,,,2026-03-22,2026-04-25,110.00,,listed,,
L-7293,\"Zettel, für alle\",hybrid,2017..2018,5,,48cm,600.00,2026-03-31,,2026-04-14,165.00,,withdrawn,,
L-7344,,mountain,,2,,,,,2026-04-13,2026-04-16,75.50,60.00,gone,,
",
        bikes: "",
    },
    Table {
        kind: "asks",
        columns: &[("bike", Bike, true), ("on", Day, true), ("ask", Price, true)],
        text: "\
bike,on,ask
K-104,2026-03-14,180.00
M-219,2026-03-25,95.50
P-337,2026-04-16,150.00
",
        bikes: BIKES,
    },
    Table {
        kind: "costs",
        columns: &[
            ("bike", Bike, false),
            ("on", Day, true),
            (
                "kind",
                Word(&["purchase", "part", "supply", "fee", "travel", "other"]),
                true,
            ),
            ("item", Text, false),
            ("amount", Amount, true),
            ("from_box", YesNo, false),
        ],
        text: "\
bike,on,kind,item,amount,from_box
K-104,2026-03-14,part,\"chain, 8 speed\",14.90,
M-219,2026-04-18,supply,Fett für Lager,3.25,yes
,2026-04-22,fee,,2.00,
P-337,2026-04-30,travel,,6.40,
",
        bikes: BIKES,
    },
    Table {
        kind: "gifts",
        columns: &[
            ("on", Day, true),
            ("beneficiary", Name, true),
            ("amount", Price, true),
            ("reference", Id, false),
        ],
        text: "\
on,beneficiary,amount,reference
2026-03-31,Ferry Lane Reading Room,60.00,T-113
2026-04-16,Hill Road Kitchen,25.50,T-227
2026-04-30,Lesestube für alle,12.00,
",
        bikes: "",
    },
];
