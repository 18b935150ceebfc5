"""Reading chunks whole: by machine code where that is worth while."""

from __future__ import annotations

from typing import Final

from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.save.chunk import ChunkContent, read_chunk
from analyzer.save.compiled.load import chunks_ahead, kernel_if_worth
from analyzer.save.compiled.quick_chart import QuickChart
from analyzer.save.compiled.quick_walk import QuickWalk
from analyzer.save.inflate import Stream

# Seconds that machine code saves at a chunk.
_CHART_SECONDS: Final = 300e-6


class WholeRead:
    """Reads the chunks of one region that are read whole.

    Parameters
    ----------
    limits
        Bounds of reading one chunk.
    sources
        How many files like this one are read in all; None where all shall be read plainly.
    """

    def __init__(self, limits: Limits, sources: int | None) -> None:
        self._limits = limits
        self._sources = sources
        self._chunks = 0
        self._chart: QuickChart | None = None

    def read(self, stream: Stream, chunk: Chunk) -> ChunkContent:
        """Do as `read_chunk`; the content's sections can be asked for at no further cost.

        Raises
        ------
        DamageError, MalformedError
            As `read_chunk`.
        """
        limits = self._limits
        if self._chart is None and self._sources is not None and QuickWalk.keeps(limits):
            self._load(self._sources)
        if self._chart is not None:
            stream.grow(limits.inflated_bytes + 1)
            content = self._chart.read(stream.data, chunk)
            if content is not None:
                return content
        return read_chunk(stream, chunk, limits, for_blocks=True)

    def _load(self, sources: int) -> None:
        # As many as there were in this region so far, there will be in each.
        self._chunks += 1
        kernel = kernel_if_worth(chunks_ahead(self._chunks, sources) * _CHART_SECONDS)
        if kernel is not None:
            self._chart = QuickChart(kernel, self._limits)
