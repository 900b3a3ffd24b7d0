"""How the type of an array is spelt, all over the package."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

#: Numbers, float64; shape and unit stand in the docstring of what takes or gives them.
Array: TypeAlias = NDArray[np.float64]
#: Yes or no for each.
BoolArray: TypeAlias = NDArray[np.bool_]
#: Places in another array, or counts.
IntArray: TypeAlias = NDArray[np.intp]
#: A word for each.
TextArray: TypeAlias = NDArray[np.str_]
