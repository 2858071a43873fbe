//! The tables, as numbered steps. A book's version (`SQLite`'s `user_version`)
//! is the number of steps it has had. A step that shipped is never edited:
//! append a new one.
//!
//! How values are kept:
//! * money: whole minor units of the book's currency
//! * days: whole numbers `yyyymmdd` (20260502), because they sort as days, are
//!   read by eye in any `SQLite` browser, and turn into a day with two divisions;
//!   ISO text takes three times the room and is slower to read, day counts
//!   since 1970 gain one byte and can no longer be read by eye
//! * model year: `yyyy`; a range of years `yyyyyyyy`, first and last (20102013),
//!   which is read by eye like a day and cannot be mistaken for a year
//! * condition and tier: the grade 1 to 5
//! * style, outcome and how a bike left: the numbers in `styles`, `outcomes` and
//!   `ways_to_leave`
//! * seat tube: tenths of a millimetre, or 1 to 5 for a size class from XS to XL of which
//!   no length is known; hours: hundredths
//! * unknown: NULL

/// Marks the file as a book of wheelworth in `SQLite`'s header: "`WhWr`" in ASCII.
pub(in crate::book) const APPLICATION_ID: i32 = i32::from_be_bytes(*b"WhWr");

/// Step `n` (counted from 1) takes a book from version `n - 1` to `n`.
pub(in crate::book) const MIGRATIONS: &[&str] = &[
    FIRST,
    ASKS,
    MONEY,
    INSPECTIONS,
    RANGES_OF_YEARS,
    OFFERS,
    LEARNT,
    RULES,
    LIVES,
];

const FIRST: &str = "
CREATE TABLE workshop (
    one         INTEGER PRIMARY KEY CHECK (one = 1),
    currency    TEXT NOT NULL CHECK (length(currency) = 3),
    give        TEXT NOT NULL CHECK (give IN ('price', 'net')),
    share       INTEGER NOT NULL CHECK (share BETWEEN 1 AND 10000),
    year_starts INTEGER NOT NULL CHECK (year_starts BETWEEN 1 AND 12)
) STRICT;
CREATE TABLE beneficiaries (
    position INTEGER PRIMARY KEY,
    name     TEXT NOT NULL UNIQUE,
    weight   INTEGER NOT NULL CHECK (weight BETWEEN 1 AND 4294967295)
) STRICT;
CREATE TABLE settings (
    key   TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE styles (number INTEGER PRIMARY KEY, word TEXT NOT NULL UNIQUE) STRICT;
INSERT INTO styles VALUES (0, 'road'), (1, 'hybrid'), (2, 'mountain'), (3, 'city'),
    (4, 'cruiser'), (5, 'touring'), (6, 'folding'), (7, 'kids'), (8, 'other');
CREATE TABLE outcomes (number INTEGER PRIMARY KEY, word TEXT NOT NULL UNIQUE) STRICT;
INSERT INTO outcomes VALUES (0, 'listed'), (1, 'sold'), (2, 'withdrawn'), (3, 'gone');

CREATE TABLE imports (
    number    INTEGER PRIMARY KEY,
    made_on   INTEGER NOT NULL,
    kind      TEXT NOT NULL,
    file      TEXT NOT NULL,
    added     INTEGER NOT NULL DEFAULT 0,
    updated   INTEGER NOT NULL DEFAULT 0,
    unchanged INTEGER NOT NULL DEFAULT 0,
    undone_on INTEGER
) STRICT;
-- What an import changed: the row's earlier state as JSON (column: value as
-- stored) and the import that had written it.
CREATE TABLE superseded (
    import     INTEGER NOT NULL REFERENCES imports (number),
    kind       TEXT NOT NULL,
    row        INTEGER NOT NULL,
    old_import INTEGER NOT NULL REFERENCES imports (number),
    old        TEXT NOT NULL,
    PRIMARY KEY (kind, row, import)
) STRICT, WITHOUT ROWID;
CREATE TABLE column_maps (
    kind   TEXT NOT NULL,
    header TEXT NOT NULL,
    map    TEXT NOT NULL,
    dates  TEXT,
    PRIMARY KEY (kind, header)
) STRICT, WITHOUT ROWID;

CREATE TABLE sales (
    row        INTEGER PRIMARY KEY,
    bike       TEXT NOT NULL UNIQUE,
    style      INTEGER NOT NULL,
    made       INTEGER,
    condition  INTEGER CHECK (condition BETWEEN 1 AND 5),
    tier       INTEGER CHECK (tier BETWEEN 1 AND 5),
    seat_tube  INTEGER,
    new_price  INTEGER,
    bought_on  INTEGER,
    listed_on  INTEGER,
    ask        INTEGER,
    sold_on    INTEGER,
    sold_price INTEGER,
    purchase   INTEGER,
    parts      INTEGER,
    fees       INTEGER,
    other_cost INTEGER,
    hours      INTEGER,
    note       TEXT,
    import     INTEGER NOT NULL REFERENCES imports (number),
    CHECK ((sold_on IS NULL) = (sold_price IS NULL))
) STRICT;

CREATE TABLE sources (number INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE) STRICT;
CREATE TABLE comps (
    row        INTEGER PRIMARY KEY,
    source     INTEGER NOT NULL REFERENCES sources (number),
    listing    TEXT NOT NULL,
    style      INTEGER NOT NULL,
    made       INTEGER,
    condition  INTEGER CHECK (condition BETWEEN 1 AND 5),
    tier       INTEGER CHECK (tier BETWEEN 1 AND 5),
    seat_tube  INTEGER,
    new_price  INTEGER,
    listed_on  INTEGER,
    first_seen INTEGER,
    last_seen  INTEGER,
    ask        INTEGER NOT NULL,
    last_ask   INTEGER,
    outcome    INTEGER NOT NULL,
    ended_on   INTEGER,
    sold_price INTEGER,
    likeness   INTEGER,
    import     INTEGER NOT NULL REFERENCES imports (number),
    UNIQUE (source, listing)
) STRICT;
CREATE INDEX comps_by_likeness ON comps (likeness) WHERE likeness IS NOT NULL;
";

/// Price changes of the user's own listings. `on` is a word of SQL, so it
/// stands in quotes.
const ASKS: &str = "
CREATE TABLE asks (
    row    INTEGER PRIMARY KEY,
    bike   INTEGER NOT NULL REFERENCES sales (row),
    \"on\"   INTEGER NOT NULL,
    ask    INTEGER NOT NULL CHECK (ask > 0),
    import INTEGER NOT NULL REFERENCES imports (number),
    UNIQUE (bike, \"on\")
) STRICT;
";

/// Costs, gifts and closed quarters. `mark` tells a record that has no id of
/// its own from every other. `taken_back` keeps what an undone import had
/// written, so that the records can be told as they stood on any day.
const MONEY: &str = "
CREATE TABLE cost_kinds (number INTEGER PRIMARY KEY, word TEXT NOT NULL UNIQUE) STRICT;
INSERT INTO cost_kinds VALUES (0, 'purchase'), (1, 'part'), (2, 'supply'), (3, 'fee'),
    (4, 'travel'), (5, 'other');
CREATE TABLE costs (
    row      INTEGER PRIMARY KEY,
    mark     TEXT NOT NULL UNIQUE,
    bike     INTEGER REFERENCES sales (row),
    \"on\"     INTEGER NOT NULL,
    kind     INTEGER NOT NULL,
    item     TEXT,
    amount   INTEGER NOT NULL CHECK (amount >= 0),
    from_box INTEGER NOT NULL CHECK (from_box IN (0, 1)),
    import   INTEGER NOT NULL REFERENCES imports (number)
) STRICT;
CREATE INDEX costs_by_bike ON costs (bike) WHERE bike IS NOT NULL;
CREATE TABLE gifts (
    row         INTEGER PRIMARY KEY,
    mark        TEXT NOT NULL UNIQUE,
    \"on\"        INTEGER NOT NULL,
    beneficiary TEXT NOT NULL,
    amount      INTEGER NOT NULL CHECK (amount > 0),
    reference   TEXT,
    import      INTEGER NOT NULL REFERENCES imports (number)
) STRICT;
-- The state (column: value as stored; a bike by its id) that an import had
-- written and that its undoing took back, and the row it was in.
CREATE TABLE taken_back (
    import INTEGER NOT NULL REFERENCES imports (number),
    kind   TEXT NOT NULL,
    key    TEXT NOT NULL,
    row    INTEGER NOT NULL,
    state  TEXT NOT NULL,
    PRIMARY KEY (import, kind, key)
) STRICT, WITHOUT ROWID;
CREATE TABLE closings (
    quarter   TEXT PRIMARY KEY,
    closed_on INTEGER NOT NULL,
    figures   TEXT NOT NULL
) STRICT, WITHOUT ROWID;
-- A closed quarter's report as it was written, to be printed again.
CREATE TABLE closed_pages (
    quarter TEXT NOT NULL REFERENCES closings (quarter),
    name    TEXT NOT NULL,
    page    TEXT NOT NULL,
    PRIMARY KEY (quarter, name)
) STRICT;
";

/// Inspections of own bikes: what was found, as text; what it means is judged
/// when it is read. An item or a word that leaves the list needs a step here.
const INSPECTIONS: &str = "
CREATE TABLE inspections (
    row    INTEGER PRIMARY KEY,
    bike   INTEGER NOT NULL REFERENCES sales (row),
    \"on\"   INTEGER NOT NULL,
    import INTEGER NOT NULL REFERENCES imports (number)
) STRICT;
CREATE INDEX inspections_by_bike ON inspections (bike, \"on\");
CREATE TABLE inspection_rows (
    inspection INTEGER NOT NULL REFERENCES inspections (row) ON DELETE CASCADE,
    item       TEXT NOT NULL,
    result     TEXT NOT NULL,
    measure    TEXT,
    note       TEXT,
    PRIMARY KEY (inspection, item)
) STRICT, WITHOUT ROWID;
-- What was found once is never written over: it is inspected again.
CREATE TRIGGER inspections_stay BEFORE UPDATE ON inspections
    BEGIN SELECT RAISE(ABORT, 'an inspection is never written over'); END;
CREATE TRIGGER inspection_rows_stay BEFORE UPDATE ON inspection_rows
    BEGIN SELECT RAISE(ABORT, 'an inspection is never written over'); END;
";

/// No table changes: `made` may hold a range of years from here on, which a
/// program that knows only single years would take for damage.
const RANGES_OF_YEARS: &str = "";

/// Offers that were made. `bike` is the id that the bike has or will have: most
/// offers come before the bike is among the sales, and many bikes never are. Jobs
/// stand one a line; days are tenths.
const OFFERS: &str = "
CREATE TABLE offers (
    row           INTEGER PRIMARY KEY,
    bike          TEXT NOT NULL,
    \"on\"          INTEGER NOT NULL,
    asking        INTEGER,
    margin        INTEGER NOT NULL,
    most_mean     INTEGER NOT NULL,
    most_cautious INTEGER NOT NULL,
    jobs          TEXT,
    cost          INTEGER NOT NULL,
    hours         INTEGER NOT NULL,
    fees          INTEGER NOT NULL,
    price         INTEGER NOT NULL,
    days          INTEGER NOT NULL,
    condition     INTEGER CHECK (condition BETWEEN 1 AND 5),
    tier          INTEGER CHECK (tier BETWEEN 1 AND 5),
    import        INTEGER NOT NULL REFERENCES imports (number),
    UNIQUE (bike, \"on\")
) STRICT;
";

/// What was learnt from the records, and the state of the file that it is for. All of
/// it may be deleted at any time, also in part; so no key refers from one to another.
const LEARNT: &str = "
CREATE TABLE learnt_from (
    one     INTEGER PRIMARY KEY CHECK (one = 1),
    counter INTEGER NOT NULL,
    cookie  INTEGER NOT NULL
) STRICT;
CREATE TABLE learnt (
    number INTEGER PRIMARY KEY,
    key    TEXT NOT NULL UNIQUE,
    sum    INTEGER NOT NULL,
    model  BLOB NOT NULL
) STRICT;
CREATE TABLE learnt_comps (
    learnt INTEGER NOT NULL,
    part   INTEGER NOT NULL,
    sum    INTEGER NOT NULL,
    comps  BLOB NOT NULL,
    PRIMARY KEY (learnt, part)
) STRICT;
";

/// Changes of the rule of giving, each from the first day of a quarter on (of one day the
/// last counts; the first rule stands in `workshop`); what money does by the
/// beneficiaries' own figures; and bikes that were given another id. From here on a
/// seat tube may be a size class, which an older program would take for damage.
const RULES: &str = "
CREATE TABLE rules (
    number  INTEGER PRIMARY KEY,
    \"from\"  INTEGER NOT NULL,
    made_on INTEGER NOT NULL,
    give    TEXT NOT NULL CHECK (give IN ('price', 'net')),
    share   INTEGER NOT NULL CHECK (share BETWEEN 1 AND 10000)
) STRICT;
CREATE TABLE rule_beneficiaries (
    rule     INTEGER NOT NULL REFERENCES rules (number),
    position INTEGER NOT NULL,
    name     TEXT NOT NULL,
    weight   INTEGER NOT NULL CHECK (weight BETWEEN 1 AND 4294967295),
    PRIMARY KEY (rule, position),
    UNIQUE (rule, name)
) STRICT, WITHOUT ROWID;
CREATE TABLE means (
    number      INTEGER PRIMARY KEY,
    beneficiary TEXT NOT NULL,
    \"on\"        INTEGER NOT NULL,
    unit        TEXT NOT NULL,
    units       TEXT NOT NULL,
    amount      INTEGER NOT NULL CHECK (amount > 0)
) STRICT;
-- The import that entered it, the bike's row, its id before and after.
CREATE TABLE renames (
    import INTEGER PRIMARY KEY REFERENCES imports (number),
    row    INTEGER NOT NULL,
    old    TEXT NOT NULL,
    new    TEXT NOT NULL
) STRICT;
";

/// The whole life of a bike: what was expected of it, how it left without a sale,
/// what the parts box got of it, money handed back to its buyers (with the sale that
/// came back, where the bike did), and how it was when an offer was made for it.
const LIVES: &str = "
ALTER TABLE sales ADD COLUMN guess INTEGER;
ALTER TABLE sales ADD COLUMN left_on INTEGER CHECK (left_on IS NULL OR sold_on IS NULL);
ALTER TABLE sales ADD COLUMN left_as INTEGER CHECK ((left_as IS NULL) = (left_on IS NULL));
ALTER TABLE sales ADD COLUMN box_value INTEGER;
ALTER TABLE sales ADD COLUMN box_item TEXT;
CREATE TABLE ways_to_leave (number INTEGER PRIMARY KEY, word TEXT NOT NULL UNIQUE) STRICT;
INSERT INTO ways_to_leave VALUES (0, 'kept'), (1, 'given'), (2, 'scrapped'), (3, 'stolen');
CREATE TABLE returns (
    row        INTEGER PRIMARY KEY,
    bike       INTEGER NOT NULL REFERENCES sales (row),
    \"on\"       INTEGER NOT NULL,
    refund     INTEGER NOT NULL CHECK (refund >= 0),
    sold_on    INTEGER,
    sold_price INTEGER,
    import     INTEGER NOT NULL REFERENCES imports (number),
    UNIQUE (bike, \"on\"),
    CHECK ((sold_on IS NULL) = (sold_price IS NULL))
) STRICT;
ALTER TABLE offers ADD COLUMN style INTEGER;
ALTER TABLE offers ADD COLUMN made INTEGER;
ALTER TABLE offers ADD COLUMN found_condition INTEGER;
ALTER TABLE offers ADD COLUMN found_tier INTEGER;
ALTER TABLE offers ADD COLUMN seat_tube INTEGER;
ALTER TABLE offers ADD COLUMN new_price INTEGER;
";
