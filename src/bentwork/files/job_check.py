"""Reading one table by its model, with what pydantic finds said in the maker's words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import islice
from typing import Annotated, Any, Literal, TypeVar, get_args, get_origin

from pydantic import ValidationError

from bentwork.files.job_faults import Faults, WrongFormError
from bentwork.files.job_lines import Path
from bentwork.files.job_model import MOST, Table
from bentwork.files.job_values import Listed, Plain
from bentwork.files.job_words import did_you_mean, listed, near, told
from bentwork.units import Units

__all__ = ["check", "check_keys", "given_keys", "wanted_of"]

T = TypeVar("T", bound=Table)


def check(model: type[T], path: Path, table: Mapping[str, Any], units: Units, faults: Faults) -> T:
    """Return the table as its model; a key that is wrong is told and then read as if it were not there.

    Args:
        model: what the table may hold; none of its keys is required.
        path: where the table stands.
        table: as ``tomllib`` read it.
        units: of its lengths.
        faults: gathers what is wrong.
    """
    context = {"units": units}
    try:
        return model.model_validate(dict(table), context=context)
    except ValidationError as error:
        wrong = error.errors(include_url=False)
    for one in wrong:
        if one["type"] == "missing" and one["loc"][-1] in _given_at(model, one["loc"][:-1], one["input"]):
            continue  # it is there, mistyped
        _tell(model, (*path, *one["loc"]), one["loc"], one["type"], one.get("ctx", {}).get("error"), faults)
    bad = {one["loc"][0] for one in wrong}
    return model.model_validate({key: value for key, value in table.items() if key not in bad}, context=context)


def given_keys(model: type[Table], table: Mapping[str, Any]) -> set[str]:
    """Return the keys that a table has, and those that it seems to have, mistyped: they are not missing besides."""
    known = _keys(model)
    meant = (near(key, known) for key in islice(table, MOST) if key not in known)
    return {*table, *filter(None, meant)}


def check_keys(
    model: type[Table],
    path: Path,
    table: Mapping[str, Any],
    keys: tuple[Iterable[str], Iterable[str]],
    what: str,
    faults: Faults,
) -> None:
    """Tell which keys are missing from a table, and which have no meaning in it although others of its model have them.

    Args:
        model: of the table.
        path: where the table stands.
        table: as ``tomllib`` read it.
        keys: those that must be there, and those that must not.
        what: the thing that the table describes, such as ``a round bar``.
        faults: gathers what is wrong.
    """
    needed, senseless = keys
    given = given_keys(model, table)
    for key in needed:
        if key not in given:
            faults.add((*path, key), wanted_of(model, key), f"{what.capitalize()} needs {key} = …")
    for key in senseless:
        if key in table:
            faults.add((*path, key), f"no such key: {what} has no {key}", "Take it out.")


def _unknown_key(path: Path, known: list[str], faults: Faults) -> None:
    key = str(path[-1])
    otherwise = "Take it out, or put # before it to keep it as a note."
    faults.add(path, "one of " + listed(known, 40), did_you_mean(key, known, otherwise), found=f"the key {told(key)}")


def _tell(model: type[Table], path: Path, loc: Path, kind: str, cause: Any, faults: Faults) -> None:
    if faults.full:
        faults.add(path, "")  # only counted
    elif isinstance(cause, WrongFormError):
        faults.add(path, cause.wanted, cause.do, cause.found)
    elif kind == "extra_forbidden":
        _unknown_key(path, _keys(_model_at(model, loc[:-1])), faults)
    elif kind == "missing":
        faults.add(path, wanted_of(_model_at(model, loc[:-1]), str(loc[-1])), "Add it.")
    else:  # what remains is something else where a table should be
        keys = _keys(_model_at(model, loc))
        faults.add(path, f"a table in braces with {listed(keys)}: {{ {keys[0]} = …, … }}")


def _given_at(model: type[Table], loc: Path, table: Any) -> set[str]:
    return given_keys(_model_at(model, loc), table) if isinstance(table, Mapping) else set()


def _keys(model: type[Table]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()]


def wanted_of(model: type[Table], key: str) -> str:
    """Return what a key of a table wants, to follow the word "wanted"."""
    field = next(field for name, field in model.model_fields.items() if key == (field.alias or name))
    words = (_wanted_in(part) for part in (*field.metadata, field.annotation))
    return next(filter(None, words), "a value")


def _wanted_in(annotation: Any) -> str | None:
    if isinstance(annotation, Plain | Listed):
        return annotation.wanted
    if get_origin(annotation) is Literal:
        return listed(map(told, get_args(annotation)))
    inside = get_args(annotation)
    if get_origin(annotation) is Annotated:
        inside = inside[::-1]  # what is said of a list or a point goes before what is said of one value in it
    return next(filter(None, map(_wanted_in, inside)), None)


def _model_at(model: type[Table], loc: Path) -> type[Table]:
    """Return the model of the table at this place of a table."""
    for key in loc:
        if isinstance(key, str):
            field = next(field for name, field in model.model_fields.items() if key == (field.alias or name))
            model = _table_in(field.annotation) or model
    return model


def _table_in(annotation: Any) -> type[Table] | None:
    """Return the table that a key holds, alone, in a list, or perhaps."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    return next(filter(None, map(_table_in, get_args(annotation))), None)
