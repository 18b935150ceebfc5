"""Reading chunks whole: by machine code where that is worth while."""

from __future__ import annotations

from typing import Final

from analyzer.base.limits import Limits
from analyzer.base.place import Chunk
from analyzer.save.chunk.chunk import ChartWhole, ChunkContent, read_chunk
from analyzer.save.compiled.load import chunks_ahead, kernel_if_worth
from analyzer.save.compiled.quick_chart import QuickChart
from analyzer.save.compiled.quick_walk import QuickWalk
from analyzer.save.nbt.inflate import Stream

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

    Attributes
    ----------
    chart
        Charts a chunk by machine code, as soon as that is there.
    """

    def __init__(self, limits: Limits, sources: int | None) -> None:
        self._limits = limits
        self._sources = sources
        self._chunks = 0
        self.chart: ChartWhole | None = None
        if sources is not None:
            # It may be there already.
            self._load(0)

    def read(self, stream: Stream, chunk: Chunk) -> ChunkContent:
        """Do as `read_chunk`; the content's sections can be asked for at no further cost.

        Raises
        ------
        DamageError, MalformedError
            As `read_chunk`.
        """
        # As many as there were in this region so far, there will be in each.
        self._chunks += 1
        if self._sources is not None:
            self._load(chunks_ahead(self._chunks, self._sources) * _CHART_SECONDS)
        return read_chunk(stream, chunk, self._limits, for_blocks=True, chart=self.chart)

    def _load(self, seconds: float) -> None:
        if self.chart is None and QuickWalk.keeps(self._limits):
            kernel = kernel_if_worth(seconds)
            if kernel is not None:
                self.chart = QuickChart(kernel, self._limits).chart
