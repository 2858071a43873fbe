"""Ten years of made-up sales, costs and gifts: make_books.py SALES FOLDER

Three costs a bike, two gifts a month, notes of no meaning. Seeded; invented.
"""

import csv
import datetime
import os
import random
import sys

count, folder = int(sys.argv[1]), sys.argv[2]
os.makedirs(folder, exist_ok=True)
random.seed(count)
FIRST = datetime.date(2016, 1, 1)


def write(name, header, rows):
    with open(os.path.join(folder, name), "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(header)
        writer.writerows(rows)


sales, costs = [], []
for number in range(count):
    bike, style = f"B-{number}", random.choice(["road", "hybrid", "city", "kids"])
    bought = FIRST + datetime.timedelta(days=random.randrange(3600))
    sold = bought + datetime.timedelta(days=random.randrange(5, 60))
    price, hours = random.randrange(60, 400), random.randrange(4, 36) / 4
    sales.append([bike, style, bought, sold, price, random.randrange(10, 90), "12.50", hours])
    for _ in range(3):
        kind, box = random.choice(["part", "supply", "fee"]), random.random() < 0.1
        amount = random.randrange(100, 3000) / 100
        costs.append([bike, bought, kind, "bits", f"{amount:.2f}", "yes" if box else ""])
gifts = []
for number in range(240):
    day = FIRST + datetime.timedelta(days=15 * number)
    gifts.append([day, "Reading room", f"{random.randrange(100, 900)}.00", f"G-{number}"])
write("sales.csv", "bike style bought_on sold_on sold_price purchase parts hours".split(), sales)
write("costs.csv", "bike on kind item amount from_box".split(), costs)
write("gifts.csv", "on beneficiary amount reference".split(), gifts)
