"""Making machine code of the kernel, with numba: once for a version on a kind of processor.

``python -m analyzer.save.compiled.build`` does it ahead of time: where those who run the tool may
not write into its folder, who installs it must.
"""

from __future__ import annotations

from types import FunctionType
from typing import Any, Final

from llvmlite import binding
from numba import cfunc, njit, types
from numba.extending import intrinsic

from analyzer.save.compiled import chart, kernel, octets
from analyzer.save.compiled.keep import Code
from analyzer.save.compiled.load import keep_code

# What machine code would call of the interpreter or of the compiler's own library. It is loaded
# beside neither, so it must not.
_FOREIGN: Final = (b"PyErr", b"PyExc", b"PyBytes", b"Py_", b"NRT_", b"numba_")

# Tables of where to go on would be data beside the code.
_NO_TABLES: Final = "--min-jump-table-entries=1000000"

_OURS: Final = octets.__name__.rpartition(".")[0]

_NUMBER: Final = types.int64
_OCTETS: Final = types.CPointer(types.uint8)
_ROOM: Final = types.CPointer(types.int64)


def make_code() -> Code:
    """Compile the kernel; it takes some seconds.

    Raises
    ------
    RuntimeError
        For machine code that could not run by itself.
    """
    binding.set_option("", _NO_TABLES)
    namespace = compiled_namespace()
    walk, chart = namespace["walk_chunk"], namespace["chart_chunk"]
    hold = namespace["may_hold"]
    # Numba takes functions of Python, not those that it has made already.
    entries = {
        "walk_chunk": _entry(_NUMBER(_OCTETS, _NUMBER, _ROOM, _ROOM))(
            lambda data, end, noted, stack: walk(data, end, noted, stack)  # noqa: PLW0108
        ),
        "chart_chunk": _entry(_NUMBER(_OCTETS, _NUMBER, _ROOM, _ROOM))(
            lambda data, end, noted, stack: chart(data, end, noted, stack)  # noqa: PLW0108
        ),
        "may_hold": _entry(_NUMBER(_OCTETS, _NUMBER, _OCTETS, _NUMBER))(
            lambda data, end, mark, size: hold(data, end, mark, size)  # noqa: PLW0108
        ),
    }
    made = {}
    for name, entry in entries.items():
        machine_code = _object_of(entry.inspect_llvm(), entry.native_name)
        if any(word in machine_code for word in _FOREIGN):
            raise RuntimeError(f"the machine code of {name} needs more than itself")
        made[name] = (entry.native_name, machine_code)
    return made


def _object_of(intermediate: str, entry: str) -> bytes:
    """Return the object file of a module for this machine's own processor, fit to lie anywhere."""
    machine = binding.Target.from_default_triple().create_target_machine(
        cpu=binding.get_host_cpu_name(),
        features=binding.get_host_cpu_features().flatten(),
        opt=3,
        reloc="pic",
        codemodel="small",
    )
    module = binding.parse_assembly(intermediate)
    for function in module.functions:
        # What others could replace would be called by a table.
        if function.name != entry and not function.is_declaration:
            function.linkage = binding.Linkage.internal
    return bytes(machine.emit_object(module))


def compiled_namespace(**options: Any) -> dict[str, Any]:
    """Return the names of all that is compiled, its functions as numba has them.

    Parameters
    ----------
    options
        Of numba's `njit`. With any, the functions take arrays of 64-bit numbers, as tests do that
        have every index checked; without, what they take are bare pointers.
    """
    # The functions see each other through the one dictionary that they share.
    namespace: dict[str, Any] = {}
    for module in (octets, kernel, chart):
        namespace.update(vars(module))
    for name, value in list(namespace.items()):
        if isinstance(value, FunctionType) and value.__module__.startswith(_OURS):
            function = FunctionType(value.__code__, namespace, name)
            namespace[name] = njit(**(options or _BARE))(function)
    if not options:
        namespace["octet"] = njit(**_BARE)(lambda data, at: _load(data, at))  # noqa: PLW0108
    return namespace


# All in one function and without references to count, so that nothing foreign is called.
_BARE: Final = {"forceinline": True}


def _entry(signature: Any) -> Any:
    return cfunc(signature)


def _load_typed(context: Any, data: Any, at: Any) -> Any:
    def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
        value = builder.load(builder.gep(arguments[0], [arguments[1]]))
        return context.cast(builder, value, types.uint8, types.int64)

    return _NUMBER(data, _NUMBER), generate


# Numba's own reading of a pointer gives an unsigned number, and with a signed one it makes a float.
_load: Final = intrinsic(_load_typed)


if __name__ == "__main__":
    print(keep_code(make_code()))
