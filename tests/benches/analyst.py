#!/usr/bin/env python3
"""What a good analyst would write instead: CSV files to the price of one bike.

    analyst.py FOLDER      (with sales.csv and comps.csv in it)

pandas reads the files, statsmodels fits one weighted regression of ln price,
lifelines fits a Weibull to the days on market. Text columns are read as
categories, so that each different cell is parsed once. What it leaves out: no cell
is checked, double listings count in full, nonsense asks are not set aside, asks
that lean high get an offset and nothing more, unknown features one step, nothing
is believed beforehand, days are not told apart by ask or season, there is no plan
of asks, nothing is kept for the next bike.
"""

import sys
from pathlib import Path

import numpy as np
import pandas as pd
import statsmodels.api as sm
from lifelines import WeibullFitter

AS_OF = pd.Timestamp("2026-05-02")
CONDITIONS = {word: n for n, word in enumerate(["donor", "project", "rider", "tidy", "mint"], 1)}
TIERS = {word: n for n, word in enumerate(["basic", "sport", "club", "race", "pro"], 1)}
# How much one row says beside an own sale, by what kind of price it is.
WEIGHTS = {"own": 1.0, "price": 0.6, "sold": 0.4, "gone": 0.3, "listed": 0.3, "withdrawn": 0.25}
KINDS = list(WEIGHTS)
STYLES = ["hybrid", "road", "mountain", "city", "cruiser", "touring", "folding", "kids", "other"]
BIKE = {"style": 0, "made": 2016, "condition": 4, "tier": 2, "seat_tube": 53.0}

FEATURES = ["style", "made", "condition", "tier", "seat_tube"]
COMP_COLUMNS = FEATURES + [
    "listed_on", "first_seen", "last_seen", "ask", "last_ask", "outcome", "ended_on", "sold_price",
]  # fmt: skip
SALE_COLUMNS = FEATURES + ["listed_on", "sold_on", "sold_price"]


def by_category(column, parse, kind="float64"):
    """Parses each different cell once; unknown is NaN, or 0 among whole numbers."""
    unknown = np.nan if kind == "float64" else 0
    parsed = np.array([parse(cell) for cell in column.cat.categories] + [unknown], dtype=kind)
    return parsed[column.cat.codes]  # the code of an unknown cell is -1: the last


def days(column):
    """Dates as days before the day of the answer (negative), NaN when unknown."""
    at = (pd.to_datetime(column.cat.categories) - AS_OF).days.to_numpy(dtype=float)
    return np.append(at, np.nan)[column.cat.codes]


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


def read(file, columns):
    types = dict.fromkeys(columns, "category") | {"made": "float64"}
    return pd.read_csv(file, usecols=columns, dtype=types)


def features(frame):
    return {
        "style": by_category(frame["style"], STYLES.index, "int8"),
        "made": frame["made"],
        "condition": by_category(frame["condition"], grade(CONDITIONS), "int8"),
        "tier": by_category(frame["tier"], grade(TIERS), "int8"),
        "seat_tube": by_category(frame["seat_tube"], centimetres),
    }


def own_sales(folder):
    frame = read(folder / "sales.csv", SALE_COLUMNS)
    frame = frame[frame["sold_price"].notna()]
    listed, sold = days(frame["listed_on"]), days(frame["sold_on"])
    return pd.DataFrame(
        features(frame)
        | {
            "kind": np.int8(KINDS.index("own")),
            "price": by_category(frame["sold_price"], money),
            "day": np.where(np.isnan(listed), sold, listed),
        }
    )


def comparables(folder):
    frame = read(folder / "comps.csv", COMP_COLUMNS)
    ask, last_ask = by_category(frame["ask"], money), by_category(frame["last_ask"], money)
    sold_price = by_category(frame["sold_price"], money)
    price = np.where(np.isnan(last_ask), ask, last_ask)
    last_seen, ended = days(frame["last_seen"]), days(frame["ended_on"])
    listed, first_seen = days(frame["listed_on"]), days(frame["first_seen"])
    end = np.where(np.isnan(ended), last_seen, ended)
    start = np.where(np.isnan(listed), first_seen, listed)
    outcome = by_category(frame["outcome"], KINDS.index, "int8")
    comps = pd.DataFrame(
        features(frame)
        | {
            "kind": np.where(np.isnan(sold_price), outcome, np.int8(KINDS.index("price"))),
            "price": np.where(np.isnan(sold_price), price, sold_price),
            "day": end,
        }
    )
    ended_well = frame["outcome"].isin(["sold", "gone"]).to_numpy()
    return comps, end - start + 0.5, ended_well


def levels(values, wanted, name):
    """0/1 columns for all levels but the first; unknown is level 0 of a grade."""
    return {f"{name} {level}": (values == level).astype(float) for level in wanted[1:]}


def design(rows):
    age = np.maximum((AS_OF.year + 0.33 - 0.5) + rows["day"] / 365.25 - rows["made"], 0.0)
    columns = {"level": np.ones(len(rows))}
    columns |= levels(rows["style"].to_numpy(), range(len(STYLES)), "style")
    columns["age"] = np.minimum(age, 25.0).fillna(8.0) - 8.0
    columns["age unknown"] = age.isna().astype(float)
    columns |= levels(rows["condition"].to_numpy(), [3, 0, 1, 2, 4, 5], "condition")
    columns |= levels(rows["tier"].to_numpy(), [2, 0, 1, 3, 4, 5], "tier")
    columns["size"] = rows["seat_tube"].fillna(53.0) - 53.0
    columns["size squared"] = columns["size"] ** 2
    columns["market"] = rows["day"] / 365.25
    columns |= levels(rows["kind"].to_numpy(), range(len(KINDS)), "kind")
    return pd.DataFrame(columns)


def main():
    folder = Path(sys.argv[1])
    own = own_sales(folder)
    comps, days_on_market, ended_well = comparables(folder)
    rows = pd.concat([own, comps], ignore_index=True)

    weights = np.array(list(WEIGHTS.values()))[rows["kind"]]
    fit = sm.WLS(np.log(rows["price"]), design(rows), weights=weights).fit()
    bike = pd.DataFrame([BIKE | {"kind": KINDS.index("own"), "day": 0.0}])
    bike = design(bike)[fit.model.exog_names]
    value = np.exp(fit.get_prediction(bike, weights=1.0).summary_frame(alpha=0.2)).iloc[0]

    weibull = WeibullFitter().fit(days_on_market, event_observed=ended_well)
    low, high = value["obs_ci_lower"], value["obs_ci_upper"]
    print(f"value {value['mean']:.2f}, range {low:.2f} to {high:.2f}")
    print(f"half are gone after {weibull.median_survival_time_:.1f} days (shape {weibull.rho_:.3f})")


if __name__ == "__main__":
    main()
