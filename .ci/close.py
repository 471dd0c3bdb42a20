"""Compares two CSV files of numbers: close.py NEW OLD. The solver's last digits may differ."""

import csv
import sys

new, old = (list(csv.reader(open(path, encoding="utf-8", newline=""))) for path in sys.argv[1:])
assert len(new) == len(old) > 1, (len(new), len(old))
numbers = 0
for line, (a, b) in enumerate(zip(new, old), 1):
    assert len(a) == len(b), line
    for x, y in zip(a, b):
        try:
            x, y = float(x), float(y)
        except ValueError:
            assert x == y, (line, x, y)
            continue
        assert abs(x - y) <= 1e-7 * abs(y), (line, x, y)
        numbers += 1
print(f"{numbers} numbers agree")
