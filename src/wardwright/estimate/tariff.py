"""A firm's tariff: overhead, margin, tax, times, recurring charges."""

import tomllib
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Annotated

from pydantic import Field, ValidationError

from wardwright.errors import InputError
from wardwright.model import Id, Record

Share = Annotated[Decimal, Field(ge=0, lt=1)]
Amount = Annotated[Decimal, Field(ge=0, le=1_000_000)]
Hours = Annotated[Decimal, Field(ge=0, le=1000)]


class Tariff(Record):
    """What a firm reckons with. Shares are fractions of one."""

    name: str
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")]
    sundries_share: Share
    overhead_share: Share
    margin_share: Share
    """Of the price before tax."""
    tax_share: Share
    rounding: Annotated[Decimal, Field(gt=0, le=100)]
    valid_days: Annotated[int, Field(ge=1, le=365)]
    survey_h: Hours
    handover_h: Hours
    test_minutes: Hours
    zone_minutes: Hours
    removal_minutes: Hours
    day_h: Annotated[Decimal, Field(gt=0, le=24)]
    travel_h: Hours
    cable_kind: Id
    monitoring_month: Amount
    maintenance_visit: Amount
    visits_year: Annotated[int, Field(ge=0, le=12)]
    exchange: Mapping[str, Annotated[Decimal, Field(gt=0)]] = {}
    """Worth of one unit of another currency in this one."""


@cache
def _shipped() -> str:
    return resources.files("wardwright.estimate").joinpath("tariff.toml").read_text(encoding="utf-8")


def load_tariff(path: str | Path | None = None) -> Tariff:
    """The tariff that is shipped (invented figures), or a firm's own file laid over it.

    Parameters
    ----------
    path : str or Path, optional
        A TOML file; what it does not say is taken from the shipped tariff.

    Returns
    -------
    Tariff
        The tariff.

    Raises
    ------
    InputError
        If the file cannot be read, or says something a tariff cannot.
    """
    values = tomllib.loads(_shipped())
    where = "tariff"
    if path is not None:
        where = str(path)
        try:
            own = tomllib.loads(Path(path).read_text(encoding="utf-8"))
        except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
            raise InputError(f"this is no readable tariff in TOML ({error})", where=where) from error
        values |= own
        values["name"] = own.get("name", "Tariff of the firm")
    try:
        return Tariff.model_validate({k: str(v) if isinstance(v, float) else v for k, v in values.items()})
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(part) for part in first["loc"])
        raise InputError(f"“{place}” cannot be used: {first['msg'].lower()}", where=where) from error
