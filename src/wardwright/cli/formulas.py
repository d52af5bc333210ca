"""Formula: work out any formula of the calculation sheets by hand, with its units, range and source."""

import difflib
import importlib
import inspect
import json
import pkgutil
import re
from collections.abc import Callable, Iterable, Sequence
from typing import Annotated, Any, Literal, get_args, get_origin

import numpy as np
import typer
from numpy.typing import ArrayLike, NDArray
from rich.console import Console
from rich.table import Table

from wardwright import physics
from wardwright.cli.job_argument import AsJson
from wardwright.errors import InputError

Formula = Callable[..., Any]
DIGITS = 6
"""Digits printed: enough to compare with a sheet, more than any input justifies."""
LIST = re.compile(r"\s*[,;]\s*")


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("formula", rich_help_panel="Reference")(formula)


def formula(
    name: Annotated[str, typer.Argument(help="A formula, or a subject to list its formulas.", show_default=False)] = "",
    given: Annotated[list[str] | None, typer.Argument(metavar="ARGUMENT=VALUE", show_default=False)] = None,
    as_json: AsJson = False,
) -> None:
    """Work out one formula of the calculation sheets, in SI units; without values, say what it wants."""
    known = by_hand()
    wanted = name.replace("-", "_")
    subjects = sorted({subject for subject, _ in known.values()})
    if not wanted or wanted in subjects:
        _list({key: item for key, item in known.items() if wanted in ("", item[0])}, as_json)
        return
    if wanted not in known:
        near = ", ".join(difflib.get_close_matches(wanted, [*known, *subjects], 3, 0.5)).replace("_", "-")
        raise InputError(f"there is no formula “{name}”" + (f"; near: {near}" if near else ""), where="formula")
    function = known[wanted][1]
    if not given:
        typer.echo(f"{name}\n\n{inspect.getdoc(function) or ''}")
        return
    arguments = _arguments(function, given)
    result = np.asarray(function(**arguments)).tolist()
    unit = unit_returned(function)
    if as_json:
        typer.echo(json.dumps({"formula": wanted, "arguments": given, "result": result, "unit": unit}))
    else:
        typer.echo(f"{_shown(result)} {unit}".strip())


def by_hand() -> dict[str, tuple[str, Formula]]:
    """Formulas whose arguments can be written on one line: subject and function by name."""
    found: dict[str, tuple[str, Formula]] = {}
    for module in pkgutil.iter_modules(physics.__path__):
        home = importlib.import_module(f"{physics.__name__}.{module.name}")
        for key, function in inspect.getmembers(home, inspect.isfunction):
            if function.__module__ != home.__name__ or key.startswith("_"):
                continue
            parameters = inspect.signature(function).parameters.values()
            if all(_reader(p.annotation) for p in parameters):
                found[key] = (module.name, function)
    return found


def unit_returned(function: Formula) -> str:
    """Unit in square brackets at the end of what the docstring says is returned; empty where it names several."""
    text = inspect.getdoc(function) or ""
    told = text.partition("Returns\n-------\n")[2].partition("\n\n")[0]
    units = re.findall(r"\[([^\]]+)\]", told)
    return units[0].replace("-", "") if len(units) == 1 else ""


def _reader(kind: Any) -> Callable[[str], Any] | None:
    """How a value of this type is read from one word; None where it cannot be."""
    if kind is float:
        return float
    if kind is int:
        return int
    if kind is str:
        return str
    if kind is bool:
        return _yes
    if get_origin(kind) is Literal:
        return lambda text: _one_of(text, get_args(kind))
    if kind == float | None:
        return lambda text: None if text == "none" else float(text)
    if kind in (ArrayLike, NDArray[np.float64], NDArray[np.float64] | float):
        return lambda text: _array(text)
    if get_origin(kind) in (Iterable, Sequence) and get_args(kind) == (float,):
        return lambda text: [float(x) for x in LIST.split(text)]
    if get_origin(kind) is tuple and set(get_args(kind)) == {float}:
        return lambda text: _tuple(text, len(get_args(kind)))
    return None


def _yes(text: str) -> bool:
    return bool(_one_of(text, ("no", "yes")) == "yes")


def _one_of(text: str, allowed: tuple[Any, ...]) -> Any:
    if text not in allowed:
        raise ValueError(f"one of {', '.join(map(str, allowed))}")
    return text


def _array(text: str) -> Any:
    values = [float(x) for x in LIST.split(text)]
    return values[0] if len(values) == 1 else np.array(values)


def _tuple(text: str, count: int) -> tuple[float, ...]:
    values = tuple(float(x) for x in LIST.split(text))
    if len(values) != count:
        raise ValueError(f"{count} numbers, parted by commas")
    return values


def _arguments(function: Formula, given: list[str]) -> dict[str, Any]:
    parameters = inspect.signature(function).parameters
    found: dict[str, Any] = {}
    for word in given:
        key, sign, text = word.partition("=")
        if not sign or key not in parameters:
            wanted = ", ".join(f"{p}=" for p in parameters)
            raise InputError(f"it takes {wanted}", where=f"“{word}”")
        reader = _reader(parameters[key].annotation)
        try:
            found[key] = reader(text.strip()) if reader else text
        except ValueError as error:
            wanted = str(error) if "one of" in str(error) or "numbers" in str(error) else "a number"
            raise InputError(f"“{text}” is not {wanted}", where=key) from None
    missing = [k for k, p in parameters.items() if p.default is inspect.Parameter.empty and k not in found]
    if missing:
        raise InputError(f"it wants {', '.join(missing)} as well", where=function.__name__.replace("_", "-"))
    return found


def _shown(result: Any) -> str:
    if isinstance(result, list):
        return ", ".join(_shown(x) for x in result)
    return f"{result:.{DIGITS}g}" if isinstance(result, float) else str(result)


def _list(found: dict[str, tuple[str, Formula]], as_json: bool) -> None:
    if as_json:
        typer.echo(json.dumps([{"formula": k, "subject": s, "unit": unit_returned(f)} for k, (s, f) in found.items()]))
        return
    subjects = sorted({subject for subject, _ in found.values()})
    if len(subjects) > 1:
        table = Table("subject", "formulas")
        for subject in subjects:
            mine = sorted(key for key, item in found.items() if item[0] == subject)
            table.add_row(subject.replace("_", "-"), ", ".join(mine).replace("_", "-"))
    else:
        table = Table("formula", "what it is", "wants")
        for key, (_, function) in sorted(found.items()):
            about = (inspect.getdoc(function) or "").partition("\n")[0]
            table.add_row(key.replace("_", "-"), about, ", ".join(inspect.signature(function).parameters))
    Console().print(table)
