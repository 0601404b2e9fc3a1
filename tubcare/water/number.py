"""The kind of number that a formula takes: one value, or an array of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Number = TypeVar("Number", float, NDArray[np.float64])
else:
    # numpy is not loaded for a single reading; the formulas need only arithmetic.
    Number = TypeVar("Number")
