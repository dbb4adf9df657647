"""platemaker: from a folder of specs to plates, bosses, rails and brackets that a shop can cut.

Lengths are millimetres, angles degrees, forces newtons, pressures and stresses megapascals.

Rooms import to the left only:

    errors, units < catalog < formulas < plane, space < spec < survey < parts
    < solids < checks < views < export < report < study < cli
"""

__version__ = "0.1.0"
