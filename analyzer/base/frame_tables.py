"""The frame and its poses as arrays, for many parts at once: `analyzer.base.frame` in numpy."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from analyzer.base.frame import FACES_OF_POSE, UNITS
from analyzer.base.tables import frozen

#: Unit vector of each face or side, shape (6, 3), in the axes it is numbered by.
UNIT_VECTORS: Final[npt.NDArray[np.int8]] = frozen(np.array(UNITS, np.int8))
#: World face of each own side, shape (24, 6): ``POSE_FACES[pose, side]``.
POSE_FACES: Final[npt.NDArray[np.int8]] = frozen(np.array(FACES_OF_POSE, np.int8))
#: Rotation of each pose, shape (24, 3, 3): ``world = POSE_MATRIX[pose] @ own``.
POSE_MATRIX: Final[npt.NDArray[np.int8]] = frozen(
    np.ascontiguousarray(UNIT_VECTORS[POSE_FACES[:, ::2]].transpose(0, 2, 1))
)
#: Own side on each world face, shape (24, 6): ``POSE_SIDES[pose, face]``.
POSE_SIDES: Final[npt.NDArray[np.int8]] = frozen(np.argsort(POSE_FACES, axis=1).astype(np.int8))
