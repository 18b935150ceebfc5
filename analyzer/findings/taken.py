"""Networks of which something was written while the scan ran."""

from __future__ import annotations

from analyzer.base.place import Chunk
from analyzer.couplings.couplings import Couplings
from analyzer.networks.networks import Networks
from analyzer.parts.parts import Parts
from analyzer.save.scan.scan import Coverage


def find_taken_while_running(
    coverage: Coverage, parts: Parts, couplings: Couplings, networks: Networks
) -> frozenset[int]:
    """Return the networks with a part, or cut towards a block, in a chunk written meanwhile.

    Each of their chunks is what it was at some moment of the scan, but perhaps not all of them at
    the same moment. Of a save that nobody writes: none.
    """
    written = coverage.written_chunks()
    if not written:
        return frozenset()
    taken = set()
    dimension = parts.dimension.tolist()
    network = networks.network.tolist()
    for part, (x, _, z) in enumerate(parts.xyz.tolist()):
        if (dimension[part], Chunk(x >> 4, z >> 4)) in written:
            taken.add(network[part])
    cuts = couplings.cuts
    for part, (x, _, z) in zip(cuts.part.tolist(), cuts.towards.tolist(), strict=True):
        if (dimension[part], Chunk(x >> 4, z >> 4)) in written:
            taken.add(network[part])
    return frozenset(taken)
