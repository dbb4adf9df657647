"""The standard library's frozen `dataclass` and `cached_property` again, as it describes them, with less work behind.

Its `dataclass` writes and compiles six methods of each class when a module is loaded: with hundreds of records, a tenth
of a check. Here the constructor is compiled when the first record of a class is made, and the rest are plain functions.
Its `cached_property` of Python 3.11 takes a lock at each first use.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

__all__ = ["cached_property", "dataclass"]

if TYPE_CHECKING:
    from dataclasses import dataclass
    from functools import cached_property
else:
    import dataclasses
    from dataclasses import MISSING, FrozenInstanceError, fields
    from functools import partial
    from operator import attrgetter
    from reprlib import recursive_repr

    def dataclass(cls=None, /, *, frozen=False, eq=True, slots=False, **more):
        """As the standard library's; only frozen records without slots are made otherwise."""
        if not frozen or slots:
            return dataclasses.dataclass(cls, frozen=frozen, eq=eq, slots=slots, **more)
        if cls is None:
            return partial(dataclass, frozen=True, eq=eq, **more)
        cls = dataclasses.dataclass(cls, init=False, repr=False, eq=False, **more)
        methods = {
            "__init__": _first_constructor(cls), "__repr__": _shown,
            "__setattr__": _refuse_assignment, "__delattr__": _refuse_deletion,
        }  # fmt: skip
        if eq:
            methods |= _comparison(cls)
        for name, method in methods.items():
            if name not in cls.__dict__:
                setattr(cls, name, method)
        return cls

    def _first_constructor(cls):
        def __init__(self, *values, **named):  # noqa: N807 - it stands for the class's own until this is made
            cls.__init__ = _constructor(cls)
            cls.__init__(self, *values, **named)

        return __init__

    def _constructor(cls):
        """The constructor that takes a value for each field."""
        known, positional, by_name, body = {"missing": MISSING}, [], [], ["kept = self.__dict__"]
        for one in fields(cls):
            name, default, value = one.name, "", one.name
            if one.default is not MISSING:
                known[f"_default_{name}"], default = one.default, f"=_default_{name}"
            elif one.default_factory is not MISSING:
                known[f"_made_{name}"], default = one.default_factory, "=missing"
                value = f"_made_{name}() if {name} is missing else {name}"
            (by_name if one.kw_only else positional).append(name + default)
            body.append(f"kept[{name!r}] = {value}")
        if hasattr(cls, "__post_init__"):
            body.append("self.__post_init__()")
        taken = ", ".join(["self", *positional, *(["*", *by_name] if by_name else [])])
        exec(f"def __init__({taken}):\n " + "\n ".join(body), known)  # noqa: S102 - names of fields are identifiers
        made = known["__init__"]
        made.__qualname__ = f"{cls.__qualname__}.__init__"
        return made

    def _comparison(cls):
        names = [one.name for one in fields(cls) if one.compare]
        read = attrgetter(*names) if len(names) > 1 else lambda record: tuple(getattr(record, name) for name in names)

        def __eq__(self, other):  # noqa: N807
            return read(self) == read(other) if other.__class__ is self.__class__ else NotImplemented

        def __hash__(self):  # noqa: N807
            return hash(read(self))

        return {"__eq__": __eq__, "__hash__": __hash__}

    @recursive_repr()
    def _shown(self):
        shown = ", ".join(f"{one.name}={getattr(self, one.name)!r}" for one in fields(self) if one.repr)
        return f"{self.__class__.__qualname__}({shown})"

    def _refuse_assignment(self, name, value):
        message = f"cannot assign to field {name!r}"
        raise FrozenInstanceError(message)

    def _refuse_deletion(self, name):
        message = f"cannot delete field {name!r}"
        raise FrozenInstanceError(message)

    class cached_property:  # noqa: N801 - the standard library's name
        """A property that is worked out once for each record, and kept in it."""

        def __init__(self, function):
            self.function, self.__doc__ = function, function.__doc__

        def __set_name__(self, owner, name):
            self.name = name

        def __get__(self, record, owner=None):
            if record is None:
                return self
            value = record.__dict__[self.name] = self.function(record)
            return value
