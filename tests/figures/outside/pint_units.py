"""Units from standard input, one a line; writes the number of SI base units in a number of each."""
import re
import sys

from pint import UnitRegistry

units = UnitRegistry(autoconvert_offset_to_baseunit=True)
for line in sys.stdin:
    if not line.strip() or line.startswith("#"):
        continue
    code, _, name, base = line.rstrip("\n").split("\t")
    base = re.sub(r"(?<=[A-Za-z])(\d)", r"**\1", base).replace(".", "*")
    for number in (-40, 0, 100) if code in ("Cel", "[degF]") else (1,):
        if name == "-":
            print("-")
        elif name.startswith("deg"):
            print(repr(float(units.Quantity(float(number), name).to("kelvin").magnitude)))
        else:
            quantity = float(number) * units.parse_expression(name)
            print(repr(float(quantity.to("" if base == "1" else base).magnitude)))
