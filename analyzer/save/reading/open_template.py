"""Opening a structure template: the one place where its damage becomes a fault."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from analyzer.base.limits import Limits
from analyzer.save.chunk.template import Template, read_template
from analyzer.save.files.fault import Fault
from analyzer.save.files.opening import leaves, open_for_reading, why
from analyzer.save.files.save_files import TemplateFile
from analyzer.save.nbt.damage import DamageError
from analyzer.save.nbt.inflate import GZIP, open_stream
from analyzer.save.nbt.walker import MalformedError, TruncatedError
from analyzer.save.reading.looked import TemplateLook

# What cannot be compressed comes out of its compression a little larger.
_OVERHEAD_BYTES: Final = 64 * 1024


def look_at_template(
    file: TemplateFile, limits: Limits, take: Callable[[Template], None]
) -> TemplateLook:
    """Read one template.

    Parameters
    ----------
    file
        The file; one that cannot be read gives a fault.
    limits
        Bounds of reading it.
    take
        Called with the template, if it could be read. What it raises as damage becomes the fault;
        it must keep nothing of a template that it raises for.
    """
    if leaves(file.path, file.boundary):
        return _fault(file, "link-leaves-save", "the file is a link out of the folder")
    try:
        template = read_template(_inflated(file, limits), limits)
        take(template)
    except DamageError as damage:
        return _fault(file, damage.reason, damage.detail)
    except TruncatedError as error:
        return _fault(file, "cut-short", f"the file ends after {error.offset:,} inflated bytes")
    except MalformedError as error:
        return _fault(file, "bad-nbt", f"{error} of the inflated file")
    except OSError as error:
        return _fault(file, "cannot-open", f"the file cannot be read: {why(error)}")
    return TemplateLook(
        file, None, (template.data_version,), several_palettes=template.several_palettes
    )


def _inflated(file: TemplateFile, limits: Limits) -> bytes:
    most = limits.template_bytes
    with open_for_reading(file.path) as opened:
        stored = _read_up_to(opened.read, most + _OVERHEAD_BYTES + 1)
    if len(stored) > most + _OVERHEAD_BYTES:
        raise DamageError("too-large", f"its compressed bytes are more than {most:,}")
    stream = open_stream(GZIP, stored, limit=most)
    stream.grow(most + 1)
    return stream.data


def _read_up_to(read: Callable[[int], bytes], size: int) -> bytes:
    # An unbuffered file may give less than it holds.
    pieces = []
    while size > 0 and (piece := read(size)):
        pieces.append(piece)
        size -= len(piece)
    return b"".join(pieces)


def _fault(file: TemplateFile, reason: str, detail: str) -> TemplateLook:
    return TemplateLook(file, Fault(file.dimension, file.file, None, reason, detail))
