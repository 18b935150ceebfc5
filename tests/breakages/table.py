"""Rules of motion broken on purpose, one at a time: a place in the code and what is put there.

The checks against the outside world must notice every one of them.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Breakage:
    """One rule broken.

    Parameters
    ----------
    rule
        What holds no longer, said as the wrong rule.
    path
        File of the package.
    old, new
        Text that stands there once, and what takes its place.
    """

    rule: str
    path: str
    old: str
    new: str


PLACEMENTS = "analyzer/base/placements.py"
FRAME = "analyzer/base/frame.py"
NEIGHBOURS = "analyzer/couplings/neighbours.py"
PORTS = "analyzer/couplings/ports.py"
OFFSETS = "analyzer/couplings/offsets.py"
LINKS = "analyzer/couplings/links.py"
BATCH = "analyzer/couplings/batch.py"
GUARDS = "analyzer/couplings/guards.py"
ENGAGE = "analyzer/couplings/engage.py"
NUMBERS = "analyzer/parts/numbers.py"
POTENTIALS = "analyzer/networks/potentials.py"
GROUP = "analyzer/networks/group.py"
MOVERS = "analyzer/solution/movers.py"
SPEEDS = "analyzer/solution/speeds.py"
SOLVE = "analyzer/solution/solve.py"
POWER = "analyzer/solution/power.py"
EDGES = "analyzer/solution/edges.py"
REACH = "analyzer/solution/reach.py"
SETTLE = "analyzer/solution/settle.py"
GOVERNORS = "analyzer/solution/governors.py"

FRAMES = (
    Breakage(
        "right is top x front",
        FRAME,
        "cross(UNITS[front], UNITS[top])",
        "cross(UNITS[top], UNITS[front])",
    ),
    Breakage("a front facing up has its top to the north", FRAME, "{2: 4, 3: 5}", "{2: 5, 3: 5}"),
    Breakage("a front facing down has its top to the south", FRAME, "{2: 4, 3: 5}", "{2: 4, 3: 4}"),
    Breakage(
        "a rated speed is about the front in the world too",
        NUMBERS,
        "sign_of(POSES[result.pose][0]) if field in _SIGNED else 1",
        "1",
    ),
)
ENDS = (
    Breakage(
        "facing ends turn alike about their own normals",
        NEIGHBOURS,
        "ratios(-(parts.numbers[factor_a]",
        "ratios((parts.numbers[factor_a]",
    ),
    Breakage(
        "the factor of an end divides on the wrong side",
        NEIGHBOURS,
        "ratios(-(parts.numbers[factor_a] * sense_a) / (parts.numbers[factor_b] * sense_b))",
        "ratios(-(parts.numbers[factor_b] * sense_b) / (parts.numbers[factor_a] * sense_a))",
    ),
    Breakage(
        "an end turns about its part's front whichever way that looks",
        NEIGHBOURS,
        "(parts.numbers[factor_a] * sense_a)",
        "(parts.numbers[factor_a])",
    ),
    Breakage(
        "ends along the second axis do not couple",
        NEIGHBOURS,
        "for face in (0, 2, 4):",
        "for face in (0, 4):",
    ),
    Breakage(
        "ends and rims couple whatever their class",
        NEIGHBOURS,
        "fit = ports.kinds.fits[kinds[:, 0]] == ports.kinds.fits[kinds[:, 1]]",
        "fit = ports.kinds.fits[kinds[:, 0]] >= 0",
    ),
)
MESHES = (
    Breakage(
        "rims beside each other turn alike",
        NEIGHBOURS,
        "yield offset, beside, beside, -1",
        "yield offset, beside, beside, 1",
    ),
    Breakage(
        "a near rim turns a diagonal far one its own way",
        NEIGHBOURS,
        "yield offset, diagonal_near, diagonal_far, -1",
        "yield offset, diagonal_near, diagonal_far, 1",
    ),
    Breakage(
        "a far rim turns a diagonal near one its own way",
        NEIGHBOURS,
        "yield offset, diagonal_far, diagonal_near, -1",
        "yield offset, diagonal_far, diagonal_near, 1",
    ),
    Breakage(
        "two far rims mesh diagonally",
        NEIGHBOURS,
        "yield offset, diagonal_near, diagonal_far, -1",
        "yield offset, diagonal_far, diagonal_far, -1",
    ),
    Breakage(
        "two near rims mesh diagonally",
        NEIGHBOURS,
        "yield offset, diagonal_far, diagonal_near, -1",
        "yield offset, diagonal_near, diagonal_near, -1",
    ),
    Breakage(
        "crossed rims keep one sign wherever they lie",
        PLACEMENTS,
        "other, alpha * beta)",
        "other, 1)",
    ),
    Breakage(
        "crossed rims take the sign of one side alone",
        PLACEMENTS,
        "other, alpha * beta)",
        "other, beta)",
    ),
    Breakage(
        "crossed rims turn the other way",
        PLACEMENTS,
        "other, alpha * beta)",
        "other, -alpha * beta)",
    ),
    Breakage(
        "rims mesh beside each other along their axis",
        PLACEMENTS,
        "for other in range(3) if other != axis for sign in (-1, 1))",
        "for other in range(3) if other != (axis + 1) % 3 for sign in (-1, 1))",
    ),
    Breakage(
        "the wheel with more teeth turns faster",
        NEIGHBOURS,
        "parts.numbers[teeth_a] / parts.numbers[teeth_b]",
        "parts.numbers[teeth_b] / parts.numbers[teeth_a]",
    ),
    Breakage(
        "teeth do not matter",
        NEIGHBOURS,
        "ratios(signed * parts.numbers[teeth_a] / parts.numbers[teeth_b])",
        "ratios(signed * parts.numbers[teeth_a] / parts.numbers[teeth_a])",
    ),
    Breakage(
        "own toothed offsets of parallel axes turn alike",
        PLACEMENTS,
        "[-1 if other == axis else 0",
        "[1 if other == axis else 0",
    ),
    Breakage(
        "wheels at a stated contact slip",
        PLACEMENTS,
        "signs[other] = (along > 0) - (along < 0)",
        "signs[other] = (along < 0) - (along > 0)",
    ),
    Breakage(
        "the contact is seen from one wheel alone",
        PLACEMENTS,
        "cross(UNITS[2 * other], beyond)",
        "cross(UNITS[2 * other], contact)",
    ),
    Breakage(
        "a stated ratio is seen from the other part",
        OFFSETS,
        "ratios(meeting.ratio)",
        "ratios(1 / meeting.ratio)",
    ),
)
LINKED = (
    Breakage("a crossed belt keeps the sense", LINKS, "(-1 if reverses else 1)", "(1)"),
    Breakage("an open belt reverses", LINKS, "(-1 if reverses else 1)", "(-1)"),
    Breakage(
        "the larger pulley turns faster",
        LINKS,
        "* parts.numbers[of_a] / parts.numbers[of_b]",
        "* parts.numbers[of_b] / parts.numbers[of_a]",
    ),
    Breakage(
        "a belt joins pulleys whose axes are not parallel",
        LINKS,
        "parallel = ports.axis[part] == ports.axis[partner]",
        "parallel = ports.axis[part] >= 0",
    ),
)
SWITCHED = (
    Breakage(
        "a clutch that is out still couples",
        GUARDS,
        "guard_a=np.where(_has(opens, rows.a, rows.port_a), 1, -1)",
        "guard_a=np.where(_has(opens, rows.a, rows.port_a), -1, -1)",
    ),
    Breakage(
        "a clutch couples while it is out",
        GUARDS,
        "guard_b=np.where(_has(opens, rows.b, rows.port_b), 1, -1)",
        "guard_b=np.where(_has(opens, rows.b, rows.port_b), 0, -1)",
    ),
    Breakage("a reverser never reverses", GUARDS, "ratios(-value)", "ratios(value)"),
    Breakage(
        "a reverser reverses while it is off",
        GUARDS,
        "np.where(flipped, 0, -1), np.ones(len(again), np.int64)",
        "np.where(flipped, 1, -1), np.zeros(len(again), np.int64)",
    ),
)
CONSISTENCY = (
    Breakage(
        "a ratio is not turned round with its parts",
        BATCH,
        "np.where(turned, inverse[ratio], ratio)",
        "np.where(turned, ratio, ratio)",
    ),
    Breakage(
        "a coupling walked backwards keeps its ratio",
        POTENTIALS,
        "ratios.exponents, -ratios.exponents",
        "ratios.exponents, ratios.exponents",
    ),
    Breakage(
        "signs are not carried along a train",
        POTENTIALS,
        "turned = np.logical_xor.accumulate(turned)",
        "turned = turned.copy()",
    ),
    Breakage(
        "ratios are not multiplied along a train",
        POTENTIALS,
        "np.cumsum(exponents, axis=0, dtype=np.int32)",
        "exponents.copy()",
    ),
    Breakage(
        "signs are not carried from a train to one that branches off",
        POTENTIALS,
        "turned[child] ^= running[0][turning]",
        "turned[child] ^= False",
    ),
    Breakage(
        "ratios are not carried from a train to one that branches off",
        POTENTIALS,
        "exponents[child] += running[1][turning]",
        "exponents[child] += 0",
    ),
    Breakage(
        "signs are not carried over several branches",
        POTENTIALS,
        "turned[child] ^= turned[before]",
        "turned[child] ^= False",
    ),
    Breakage(
        "ratios are not carried over several branches",
        POTENTIALS,
        "exponents[child] += exponents[before]",
        "exponents[child] += 0",
    ),
    Breakage(
        "a loop whose directions clash turns",
        POTENTIALS,
        "clash: npt.NDArray[np.bool_] = sign | ",
        "clash: npt.NDArray[np.bool_] = ",
    ),
    Breakage(
        "a loop whose speeds clash turns",
        POTENTIALS,
        "sign | (size != potentials.exponents[of_b]).any(axis=1)",
        "sign",
    ),
    Breakage(
        "a loop locks only where directions and speeds clash",
        POTENTIALS,
        "= sign | (size",
        "= sign & (size",
    ),
)
DRIVEN = (
    Breakage(
        "the slowest of several movers leads",
        MOVERS,
        "lead = magnitude == fastest[zone]",
        "lead = magnitude == slowest[zone]",
    ),
    Breakage(
        "movers of opposite senses do not contradict",
        MOVERS,
        "both = _any_by(zone, forwards, zones) & _any_by(zone, ~forwards, zones)",
        "both = _any_by(zone, forwards, zones) & False",
    ),
    Breakage(
        "a mover's speed is not carried back to the root",
        MOVERS,
        "parts.numbers[speed] / networks.potentials[potential]",
        "parts.numbers[speed] * networks.potentials[potential]",
    ),
    Breakage(
        "the sense of a mover is that of its own part",
        MOVERS,
        "senses: npt.NDArray[np.bool_] = positive[rated] == upright",
        "senses: npt.NDArray[np.bool_] = positive[rated]",
    ),
    Breakage(
        "a mover that is switched off drives",
        MOVERS,
        "& nonzero[rated] & (torque >= 0) & switched_on",
        "& nonzero[rated] & (torque >= 0)",
    ),
    Breakage(
        "unequal movers never contradict, whatever the rule",
        MOVERS,
        "unequal = (strict & (fastest != slowest))",
        "unequal = (strict & (fastest < slowest))",
    ),
    Breakage(
        "a part turns as its root does",
        SPEEDS,
        "asks[ask] * networks.potentials[potential]",
        "asks[ask]",
    ),
    Breakage(
        "a part turns at the inverse of its potential",
        SPEEDS,
        "asks[ask] * networks.potentials[potential]",
        "asks[ask] / networks.potentials[potential]",
    ),
)
BUDGETS = (
    Breakage(
        "a full network is overloaded",
        SOLVE,
        "state[demand > capacity]",
        "state[demand >= capacity]",
    ),
    Breakage(
        "no network is overloaded",
        SOLVE,
        "state[demand > capacity]",
        "state[demand > capacity + len(powers)]",
    ),
    Breakage(
        "power does not depend on speed",
        POWER,
        "torques[row[0]] * abs(speeds[row[1]])",
        "torques[row[0]] * abs(speeds[row[1]] or 1) / abs(speeds[row[1]] or 1)",
    ),
    Breakage(
        "machines that turn backwards give power",
        POWER,
        "torques[row[0]] * abs(speeds[row[1]])",
        "torques[row[0]] * speeds[row[1]]",
    ),
    Breakage(
        "of several equal machines or movers one counts",
        POWER,
        "np.add.at(counted, group, np.array(terms, np.int64)[term])",
        "np.maximum.at(counted, group, np.array(terms, np.int64)[term])",
    ),
    Breakage(
        "a dragged mover gives power at the speed it is dragged at",
        SOLVE,
        "speed=parts.column(Field.RATED_RPM)[movers],\n        speeds=parts.numbers,",
        "speed=np.maximum(speed[movers], 0),\n        speeds=(*speeds, Fraction(0)),",
    ),
    Breakage(
        "capacity counts movers that are not active",
        SOLVE,
        "movers = np.flatnonzero(active)\n    capacity",
        "movers = np.flatnonzero(parts.column(Field.RATED_RPM) >= 0)\n    capacity",
    ),
)
LIMITS = (
    Breakage(
        "the greatest allowed speed is too fast",
        "analyzer/findings/rules/over_speed.py",
        "rpm > limit:",
        "rpm >= limit:",
    ),
    Breakage(
        "the least allowed speed is too slow",
        "analyzer/findings/rules/too_slow.py",
        "if rpm < needed",
        "if rpm <= needed",
    ),
    Breakage(
        "speeds may spread over any range",
        SPEEDS,
        "out_of_range = spread > MAX_SPREAD_BITS",
        "out_of_range = spread > 2 * MAX_SPREAD_BITS",
    ),
    Breakage(
        "a spread of 2^256 itself is out of range",
        SPEEDS,
        "max(potentials) > min(potentials) * 2**MAX_SPREAD_BITS",
        "max(potentials) >= min(potentials) * 2**MAX_SPREAD_BITS",
    ),
)
GOVERNED = (
    Breakage(
        "a governor's port turns at the set speed times its factor",
        EDGES,
        "set_rpm / abs(factor) * ratio",
        "set_rpm * abs(factor) * ratio",
    ),
    Breakage(
        "what is behind a governor turns as if it were the root",
        EDGES,
        "* ratio / per_root",
        "* ratio",
    ),
    Breakage(
        "a governor passes nothing on",
        REACH,
        "if edge.driving in turning and edge.root_rpm and",
        "if edge.driving in turning and not edge.root_rpm and",
    ),
    Breakage(
        "a zone at set speed 0 turns",
        REACH,
        "edge.driving in turning and not edge.root_rpm\n",
        "edge.driving in turning and False\n",
    ),
    Breakage(
        "a governor's own sense follows what drives it",
        EDGES,
        "if entry.follows:",
        "if not entry.follows:",
    ),
    Breakage(
        "movers outrank a governor",
        GOVERNORS,
        "asked[zone] = len(asks) if in_range[zone] else -1",
        "asked[zone] = asked[zone] if leads.asked[zone] >= 0 else len(asks)",
    ),
    Breakage(
        "two governors may ask one zone for different speeds",
        SETTLE,
        "return asked == found\n",
        "return True\n",
    ),
    Breakage(
        "a mover may push against a governor",
        SETTLE,
        "if self._sense(mover) != (1 if rpm > 0 else -1):",
        "if self._sense(mover) == 0:",
    ),
    Breakage(
        "zones joined by a governor share no budget",
        GROUP,
        "if not len(governed):",
        "if not len(governed) or True:",
    ),
)
STORED = (
    Breakage(
        "a stored number is not scaled",
        NUMBERS,
        "value = found * self.number.scale",
        "value = found",
    ),
    Breakage(
        "a stored float of four bytes means its binary value",
        "analyzer/base/exact.py",
        "_shortest_single(real) if tag == 5 else repr(real)",
        "real if tag == 5 else repr(real)",
    ),
    Breakage(
        "a stored float of eight bytes means its binary value",
        "analyzer/base/exact.py",
        "_shortest_single(real) if tag == 5 else repr(real)",
        "_shortest_single(real) if tag == 5 else real",
    ),
)
#: Every rule that is broken on purpose.
BREAKAGES = (
    *FRAMES,
    *ENDS,
    *MESHES,
    *LINKED,
    *SWITCHED,
    *CONSISTENCY,
    *DRIVEN,
    *BUDGETS,
    *LIMITS,
    *GOVERNED,
    *STORED,
)
