#!/usr/bin/env python3
"""The results of whole_program as Markdown: table.py RESULTS.tsv

A cell holds the fastest run and the peak memory. With the scripts measured, a
second table holds their time and memory over those of the quotes.
"""

import sys

SCRIPTS = ("analyst.py", "analyst_lean.py")
QUOTES = ("first `price`", "each further `price`")


def wall(ms):
    return f"{ms / 1000:.2f} s" if ms >= 1000 else f"{ms:.0f} ms" if ms >= 10 else f"{ms:.1f} ms"


def size(column):
    return f"{int(column):,} comps" if column.isdigit() else f"{int(column.split()[0]):,} sales"


def table(columns, names, cell):
    print("| | " + " | ".join(size(column) for column in columns) + " |")
    print("| --- |" + " ---: |" * len(columns))
    for name in names:
        print(f"| {name} | " + " | ".join(cell(column, name) for column in columns) + " |")
    print()


def main():
    lines = [line.rstrip("\n").split("\t") for line in open(sys.argv[1], encoding="utf-8")]
    figures = {(column, name): tuple(map(float, rest)) for column, name, *rest in lines}

    def cell(column, name):
        found = figures.get((column, name))
        return f"{wall(found[0])}, {found[2]:.0f} MB" if found else ""

    for counted in (str.isdigit, lambda column: not column.isdigit()):
        columns = list(dict.fromkeys(c for c, _ in figures if counted(c)))
        names = list(dict.fromkeys(n for c, n in figures if c in columns))
        if columns:
            table(columns, names, cell)
    if any(name in SCRIPTS for _, name in figures):
        print("The script's time and memory over the program's; above 1 the program is ahead.")
        print()

        def ratio(column, name):
            script, quote = name.split(" over ")
            theirs, ours = figures[column, script], figures[column, quote]
            return f"{theirs[0] / ours[0]:.1f}, {theirs[2] / ours[2]:.1f}"

        columns = list(dict.fromkeys(c for c, n in figures if n in SCRIPTS))
        pairs = [f"{script} over {quote}" for script in SCRIPTS for quote in QUOTES]
        table(columns, pairs, ratio)


if __name__ == "__main__":
    main()
