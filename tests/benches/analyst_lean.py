#!/usr/bin/env python3
"""The same as analyst.py, written leanly: polars, numpy, nothing fitted by a package.

    analyst_lean.py FOLDER      (with sales.csv and comps.csv in it)

Text columns are dictionary-coded and each different cell is parsed once. The
normal equations are added up in blocks of rows, so that the whole design never
exists; the Weibull is fitted by Newton's steps on its profile likelihood. It leaves
out what analyst.py leaves out.
"""

import sys
from datetime import date
from math import exp, log
from pathlib import Path
from statistics import NormalDist

import numpy as np
import polars as pl

AS_OF = date(2026, 5, 2)
STYLES = ["hybrid", "road", "mountain", "city", "cruiser", "touring", "folding", "kids", "other"]
CONDITIONS = {word: n for n, word in enumerate(["donor", "project", "rider", "tidy", "mint"], 1)}
TIERS = {word: n for n, word in enumerate(["basic", "sport", "club", "race", "pro"], 1)}
KINDS = ["own", "price", "sold", "gone", "listed", "withdrawn"]
# How much one row says beside an own sale, by what kind of price it is.
WEIGHTS = np.array([1.0, 0.6, 0.4, 0.3, 0.3, 0.25])
# The bike: style, made, condition, tier, seat tube, kind, day.
BIKE = [np.array([v]) for v in (0, 2016.0, 4, 2, 53.0, 0, 0.0)]
WIDTH = 1 + 8 + 2 + 5 + 5 + 2 + 1 + 5
BLOCK = 8192

FEATURES = ["style", "made", "condition", "tier", "seat_tube"]
COMP_COLUMNS = FEATURES + [
    "listed_on", "first_seen", "last_seen", "ask", "last_ask", "outcome", "ended_on", "sold_price",
]  # fmt: skip
SALE_COLUMNS = FEATURES + ["listed_on", "sold_on", "sold_price"]


def money(cell):
    return float(cell.replace(",", ""))


def grade(words):
    return lambda cell: words[cell] if cell in words else int(cell)


def centimetres(cell):
    if cell.endswith("mm"):
        return float(cell[:-2]) / 10
    if cell.endswith("in"):
        return float(cell[:-2]) * 2.54
    number = float(cell)
    return number * 2.54 if number < 30 else number / 10 if number > 250 else number


def day(cell):
    return (date.fromisoformat(cell) - AS_OF).days


def read(file, columns):
    """A function that gives a column, parsed cell by different cell."""
    frame = pl.read_csv(
        file,
        columns=columns,
        schema_overrides=dict.fromkeys(columns, pl.Categorical) | {"made": pl.Float32},
    )

    def column(name, parse, unknown=np.nan, kind=np.float32):
        cells = frame.get_column(name)
        distinct = cells.unique()
        codes = distinct.to_physical().to_numpy()  # NaN for unknown, if there is any
        texts = distinct.cast(pl.String).to_list()
        known = [(int(code), text) for code, text in zip(codes, texts) if text is not None]
        top = max((code for code, _ in known), default=-1) + 1
        parsed = np.full(top + 1, unknown, dtype=kind)
        for code, text in known:
            parsed[code] = parse(text)
        return parsed[cells.to_physical().fill_null(top).to_numpy()]

    return frame, column


def features(frame, column):
    return [
        column("style", STYLES.index, 0, np.int8),
        frame.get_column("made").fill_null(float("nan")).to_numpy(),
        column("condition", grade(CONDITIONS), 0, np.int8),
        column("tier", grade(TIERS), 0, np.int8),
        column("seat_tube", centimetres),
    ]


def otherwise(first, second):
    return np.where(np.isnan(first), second, first)


def own_sales(folder):
    frame, column = read(folder / "sales.csv", SALE_COLUMNS)
    price = column("sold_price", money)
    when = otherwise(column("listed_on", day), column("sold_on", day))
    rows = features(frame, column) + [np.zeros(len(price), np.int8), when, np.log(price)]
    return [values[~np.isnan(price)] for values in rows]


def comparables(folder):
    frame, column = read(folder / "comps.csv", COMP_COLUMNS)
    kind = column("outcome", KINDS.index, 4, np.int8)
    sold_price = column("sold_price", money)
    price = otherwise(sold_price, otherwise(column("last_ask", money), column("ask", money)))
    end = otherwise(column("ended_on", day), column("last_seen", day))
    start = otherwise(column("listed_on", day), column("first_seen", day))
    ended_well = (kind == 2) | (kind == 3)
    kind[~np.isnan(sold_price)] = 1
    return features(frame, column) + [kind, end, np.log(price)], end - start + 0.5, ended_well


def design(style, made, condition, tier, seat_tube, kind, when):
    """Columns: level, style, age and whether unknown, condition, tier, size, market, kind."""
    x = np.zeros((len(style), WIDTH))
    row = np.arange(len(style))

    def mark(first, level):
        """A 1 in column first + level - 1, none for level 0."""
        x[row[level > 0], first + level[level > 0] - 1] = 1.0

    x[:, 0] = 1.0
    mark(1, style)
    age = np.clip(AS_OF.year + 0.33 - 0.5 + when / 365.25 - made, 0.0, 25.0)
    x[:, 9] = np.nan_to_num(age - 8.0, nan=0.0)
    x[:, 10] = np.isnan(made)
    mark(11, np.array([1, 2, 3, 0, 4, 5])[condition])  # 3 is the base
    mark(16, np.array([1, 2, 0, 3, 4, 5])[tier])  # 2 is the base
    x[:, 21] = np.nan_to_num(seat_tube - 53.0, nan=0.0)
    x[:, 22] = x[:, 21] ** 2
    x[:, 23] = when / 365.25
    mark(24, kind)
    return x


def weighted_fit(tables):
    """Coefficients, variance of one own sale, inverse of the normal matrix."""
    normal = np.zeros((WIDTH + 1, WIDTH + 1))
    count = 0
    for *facts, ln_price in tables:
        count += len(ln_price)
        for at in range(0, len(ln_price), BLOCK):
            part = [values[at : at + BLOCK] for values in facts]
            x = np.column_stack((design(*part), ln_price[at : at + BLOCK]))
            x *= np.sqrt(WEIGHTS[part[5]])[:, None]
            normal += x.T @ x
    inverse = np.linalg.pinv(normal[:-1, :-1], hermitian=True)
    b = inverse @ normal[:-1, -1]
    return b, (normal[-1, -1] - b @ normal[:-1, -1]) / (count - WIDTH), inverse


def weibull(time, ended_well):
    """Shape and scale of a right-censored Weibull (profile likelihood)."""
    # Days are few: count each length once.
    length, where = np.unique(time, return_inverse=True)
    every = np.bincount(where).astype(float)
    ends = np.bincount(where, weights=ended_well)
    logs = np.log(length)
    mean_log = (ends @ logs) / ends.sum()
    shape = 1.0
    for _ in range(50):
        powers = every * length**shape
        s0, s1, s2 = powers.sum(), powers @ logs, powers @ logs**2
        gap = s1 / s0 - 1 / shape - mean_log
        slope = s2 / s0 - (s1 / s0) ** 2 + 1 / shape**2
        shape = max(shape - gap / slope, shape / 4)
        if abs(gap) < 1e-10:
            break
    return shape, ((every * length**shape).sum() / ends.sum()) ** (1 / shape)


def main():
    folder = Path(sys.argv[1])
    comps, days_on_market, ended_well = comparables(folder)
    b, variance, inverse = weighted_fit([own_sales(folder), comps])
    x = design(*BIKE)[0]
    centre = x @ b
    reach = NormalDist().inv_cdf(0.9) * (variance * (1 + x @ inverse @ x)) ** 0.5
    shape, scale = weibull(days_on_market, ended_well)
    print(f"value {exp(centre):.2f}, range {exp(centre - reach):.2f} to {exp(centre + reach):.2f}")
    print(f"half are gone after {scale * log(2) ** (1 / shape):.1f} days (shape {shape:.3f})")


if __name__ == "__main__":
    main()
