"""Prints paper sizes in PDF units (1/72 in) as the PyPI package papersize 1.6.1 gives them, and
the larger sizes of ASME Y14.1 as the package papersizes 0.6.1 does.

    pip install papersize papersizes && python paper_reference.py > paper_reference.csv

The package's unit `pt` is the printer's point of 1/72.27 in; `bp` is the 1/72 in of PDF.
"""

import papersize
import papersizes

print("name,width_bp,height_bp")
for name in "letter legal tabloid ledger a5 a4 a3 a2 a1 a0".split():
    width, height = papersize.parse_papersize(name, "bp")
    print(f"{name},{width:.9f},{height:.9f}")
for name in "cde":
    size = getattr(papersizes, f"ANSI_{name.upper()}")
    print(f"{name},{float(size.width):.9f},{float(size.height):.9f}")
