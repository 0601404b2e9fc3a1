"""Molar masses and the conversions that follow from them.

Atomic weights: IUPAC abridged standard atomic weights (Prohaska et al. 2022, Pure Appl. Chem.
94:573). All molar masses in g/mol.
"""

from __future__ import annotations

from typing import Final

H: Final = 1.008
B: Final = 10.81
C: Final = 12.011
N: Final = 14.007
O: Final = 15.999  # noqa: E741  the element's symbol
NA: Final = 22.990
S: Final = 32.06
CL: Final = 35.45
CA: Final = 40.078
BR: Final = 79.904

CHLORINE: Final = 2 * CL
BROMINE: Final = 2 * BR
CALCIUM_CARBONATE: Final = CA + C + 3 * O
ALKALINITY_EQUIVALENT: Final = CALCIUM_CARBONATE / 2
BICARBONATE: Final = H + C + 3 * O
SULFATE: Final = S + 4 * O
SODIUM_CHLORIDE: Final = NA + CL
CYANURIC_ACID: Final = 3 * (C + N + O + H)
HYDROGEN_PEROXIDE: Final = 2 * (H + O)
