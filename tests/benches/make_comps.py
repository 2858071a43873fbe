#!/usr/bin/env python3
"""Write an invented comps.csv of N rows and a sales.csv of 40 bikes.

    make_comps.py ROWS FOLDER [--seed SEED]

Prices follow a log-linear model: style, age, condition, tier and new price with
the coefficients below, a slow rise of the market, and normal noise. About one
cell in eight of an optional column is unknown. The same arguments give the same
bytes. Standard library only, Python 3.11 or newer.
"""

import argparse
import math
from datetime import date, timedelta
from pathlib import Path
from random import Random

# style: share of the listings, ln value against a hybrid, usual new price
STYLES = {
    "road": (0.20, 0.30, 1100),
    "hybrid": (0.24, 0.00, 650),
    "mountain": (0.22, 0.12, 900),
    "city": (0.12, -0.10, 550),
    "cruiser": (0.03, -0.20, 450),
    "touring": (0.05, 0.25, 1050),
    "folding": (0.05, 0.05, 700),
    "kids": (0.07, -0.80, 260),
    "other": (0.02, 0.15, 800),
}
CONDITIONS = ["donor", "project", "rider", "tidy", "mint"]
TIERS = ["basic", "sport", "club", "race", "pro"]
CONDITION_EFFECT = [-1.10, -0.55, 0.0, 0.20, 0.36]
TIER_EFFECT = [-0.22, 0.0, 0.24, 0.52, 0.85]
LN_BASE = math.log(190)  # a hybrid of 8 years, a rider, sport
AGE_EFFECT = -0.075  # a year, up to 25 years
MARKET_RISE = 0.03  # a year
PREMIUM = {"listed": 0.14, "sold": 0.04, "withdrawn": 0.16, "gone": 0.08}
OUTCOMES, OUTCOME_SHARES = list(PREMIUM), (0.25, 0.35, 0.10, 0.30)
NOISE = 0.20
SOURCES = ["small ads", "notice board", "auction page", "repair café list", "club forum"]
SOURCE_SHARES = (0.50, 0.12, 0.18, 0.08, 0.12)
UNKNOWN = 0.12
FIRST, LAST = date(2023, 11, 1), date(2026, 5, 1)
# Every day once, so that a million rows format no date.
DAYS = [(FIRST + timedelta(days=n)).isoformat() for n in range((LAST - FIRST).days + 1)]

COMPS_HEADER = (
    "listing,source,style,made,condition,tier,seat_tube,new_price,listed_on,"
    "first_seen,last_seen,ask,last_ask,outcome,ended_on,sold_price\n"
)
SALES_HEADER = (
    "bike,style,made,condition,tier,seat_tube,new_price,bought_on,listed_on,ask,"
    "sold_on,sold_price,purchase,parts,fees,other_cost,hours,note\n"
)


class Market:
    """Draws bikes and their prices."""

    def __init__(self, seed):
        self.random = Random(seed)
        self.styles = list(STYLES)
        self.style_shares = [share for share, _, _ in STYLES.values()]

    def bike(self, listed, everything=False):
        """A bike's cells, and ln of what it is worth on day number `listed`."""
        rnd = self.random
        draw, gauss = rnd.random, rnd.gauss
        style = rnd.choices(self.styles, self.style_shares)[0]
        _, effect, usual_new = STYLES[style]
        condition = rnd.choices((0, 1, 2, 3, 4), (4, 14, 42, 30, 10))[0]
        tier = rnd.choices((0, 1, 2, 3, 4), (24, 36, 25, 11, 4))[0]
        today = 2023.8 + listed / 365.25
        age = min(2.0 + rnd.expovariate(1 / 7.5), 50.0)
        made = min(int(today - age), 2025)
        ln_value = (
            LN_BASE
            + effect
            + AGE_EFFECT * (min(age, 25.0) - 8.0)
            + CONDITION_EFFECT[condition]
            + TIER_EFFECT[tier]
            + MARKET_RISE * (today - 2026.3)
        )
        ln_new = gauss(0.0, 0.25)
        new_price = round(usual_new * math.exp(0.8 * TIER_EFFECT[tier] + ln_new), -1)
        ln_value += 0.5 * ln_new
        tube = rnd.randrange(300, 400) if style == "kids" else int(gauss(530, 42))
        tube = min(max(tube, 251), 700)
        if draw() < 0.3:
            tube_cell = f"{tube}mm"
        elif draw() < 0.2:
            tube_cell = f"{tube / 25.4:.1f}in"
            tube_cell = "10in" if tube < 256 else tube_cell
        else:
            tube_cell = f"{tube / 10:.1f}"
        known = (lambda: True) if everything else (lambda: draw() >= UNKNOWN)
        cells = (
            f"{style},"
            f"{made if known() else ''},"
            f"{(CONDITIONS[condition] if draw() < 0.5 else condition + 1) if known() else ''},"
            f"{(TIERS[tier] if draw() < 0.5 else tier + 1) if known() else ''},"
            f"{tube_cell if known() else ''},"
            f"{f'{new_price:.0f}' if draw() < 0.35 else ''}"
        )
        return cells, ln_value

    def comp(self, number):
        """One row of comps.csv."""
        rnd = self.random
        draw = rnd.random
        last_day = len(DAYS) - 1
        listed = rnd.randrange(last_day + 1)
        cells, ln_value = self.bike(listed)
        outcome = rnd.choices(OUTCOMES, OUTCOME_SHARES)[0]
        first_seen = min(listed + int(rnd.expovariate(1 / 6)), last_day)
        last_seen = min(first_seen + int(rnd.expovariate(1 / 25)), last_day)
        ask = math.exp(ln_value + PREMIUM[outcome] + rnd.gauss(0.0, NOISE))
        ask = max(5, round(ask / 5) * 5)
        cut = draw() < 0.3
        last_ask = max(5, round(ask * (1 - 0.2 * draw()) / 5) * 5) if cut else ask
        ended = sold_price = ""
        if outcome in ("sold", "withdrawn") and draw() < 0.6:
            ended = DAYS[rnd.randint(first_seen, last_seen)]
        if outcome == "sold" and draw() < 0.15:
            sold_price = f"{last_ask * (1 - 0.15 * draw()):.2f}"
        source = rnd.choices(SOURCES, SOURCE_SHARES)[0]
        if draw() < 0.1:
            ask = f'"{ask:,}.00"' if ask >= 1000 else f"{ask}.00"
        return (
            f"L{number:07},{source},{cells},"
            f"{DAYS[listed] if draw() >= UNKNOWN else ''},"
            f"{DAYS[first_seen]},{DAYS[last_seen]},"
            f"{ask},{last_ask if draw() < 0.8 else ''},{outcome},{ended},{sold_price}\n"
        )

    def sale(self, number):
        """One row of sales.csv, sold."""
        rnd = self.random
        bought = rnd.randrange(len(DAYS) - 130)
        listed = bought + rnd.randrange(5, 60)
        sold = listed + rnd.randrange(1, 70)
        cells, ln_value = self.bike(listed, everything=True)
        price = math.exp(ln_value + rnd.gauss(0.0, 0.15))
        ask = round(price * 1.08 / 5) * 5 + 5
        return (
            f"B-{number:02},{cells},{DAYS[bought]},{DAYS[listed]},{ask},{DAYS[sold]},"
            f"{price:.0f},{0.3 * price:.0f},{0.15 * price:.2f},,,{rnd.randrange(2, 24) / 4},\n"
        )


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("rows", type=int)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seed", type=int, default=20260501)
    arguments = parser.parse_args()
    arguments.folder.mkdir(parents=True, exist_ok=True)

    own = Market(arguments.seed)
    with open(arguments.folder / "sales.csv", "w", encoding="utf-8", newline="") as out:
        out.write(SALES_HEADER)
        out.writelines(own.sale(number) for number in range(1, 41))

    market = Market(arguments.seed + 1)
    with open(arguments.folder / "comps.csv", "w", encoding="utf-8", newline="") as out:
        out.write(COMPS_HEADER)
        out.writelines(market.comp(number) for number in range(1, arguments.rows + 1))


if __name__ == "__main__":
    main()
