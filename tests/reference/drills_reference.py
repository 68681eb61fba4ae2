"""Prints drill sizes in inches as the PyPI package nf6x-eetools 1.0.1 gives them.

    pip install nf6x-eetools && python drills_reference.py > drills_reference.csv
"""

from decimal import Decimal
from string import ascii_uppercase

from nf6x_eetools.drilltables import (
    fractional_drill_table,
    letter_drill_table,
    number_drill_table,
)


def row(name, inches):
    print(f"{name},{format(Decimal(inches).normalize(), 'f')}")


print("name,inch")
for number in range(80, 0, -1):
    row(f"#{number}", number_drill_table[f"no{number}"])
for letter in ascii_uppercase:
    row(letter, letter_drill_table[letter])
for name, inches in fractional_drill_table.items():
    if Decimal(1) / 16 <= inches <= Decimal(1) / 2:
        row(name.removesuffix("in"), inches)
