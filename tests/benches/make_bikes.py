#!/usr/bin/env python3
"""Write an invented bikes.csv of N bikes to price: make_bikes.py BIKES FILE

Seeded: the same arguments give the same bytes. About one optional cell in five is
unknown. Standard library only.
"""

import csv
import sys
from random import Random

STYLES = "road hybrid mountain city cruiser touring folding kids other".split()


def main():
    count, path = int(sys.argv[1]), sys.argv[2]
    chance = Random(count)

    def known(cell):
        return cell if chance.random() > 0.2 else ""

    with open(path, "w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file)
        rows.writerow("bike style made condition tier seat_tube new_price cost hours".split())
        for number in range(1, count + 1):
            year = chance.randint(1985, 2025)
            style = chance.choice(STYLES)
            cells = [
                f"Q-{number}",
                style,
                known(chance.choice([str(year), str(year), f"{year - 3}..{year}"])),
                known(chance.randint(2, 5)),
                known(chance.randint(1, 4)),
                known(chance.randint(30, 40) if style == "kids" else chance.randint(44, 62)),
                known(chance.randint(200, 1500)),
                chance.randint(5, 80),
                chance.randint(1, 9),
            ]
            rows.writerow(cells)


if __name__ == "__main__":
    main()
