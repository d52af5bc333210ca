"""A firm that holds a standard's text confirms a remembered row: who, which edition, when."""

from collections.abc import Iterable
from datetime import date

from wardwright.errors import InputError
from wardwright.findings import Weight
from wardwright.model import Id, Record
from wardwright.rules.register import Row, row, rows


class Confirmation(Record):
    """One row, read in the standard's own text by somebody of the firm."""

    row: Id
    edition: str
    by: str
    when: str
    """ISO date."""

    @classmethod
    def of(cls, row_id: str, *, edition: str, by: str, when: str) -> "Confirmation":
        """A confirmation of a row that exists.

        Parameters
        ----------
        row_id : str
            Id of the row, for example ``EU-PWR-04``.
        edition : str
            Edition of the text that was read.
        by : str
            Who read it.
        when : str
            ISO date.

        Returns
        -------
        Confirmation
            The record, to be kept with the firm.

        Raises
        ------
        InputError
            If no row is called so, edition or name is empty, the date is none, or the row asks for nothing.
        """
        known = row(row_id)
        if not edition.strip() or not by.strip():
            raise InputError("name the edition you hold and who read it", where=row_id)
        if known.nature == "information":
            raise InputError("this row explains and asks for nothing: there is nothing to confirm", where=row_id)
        try:
            date.fromisoformat(when)
        except ValueError as error:
            raise InputError(f"“{when}” is no date; YYYY-MM-DD was expected", where=row_id) from error
        return cls(row=row_id, edition=edition.strip(), by=by.strip(), when=when)


def weight_of(known: Row, confirmations: Iterable[Confirmation] = ()) -> tuple[Weight, str]:
    """How much a row weighs, and in words how it is known.

    Parameters
    ----------
    known : Row
        The row.
    confirmations : iterable of Confirmation
        The firm's.

    Returns
    -------
    (Weight, str)
        A row whose own words were seen, or that the firm confirmed, weighs as required (a recommendation, as
        recommended). Anything remembered, or known from a summary, refutes nothing.
    """
    strength = Weight.REQUIRED if known.nature == "requirement" else Weight.RECOMMENDED
    for confirmation in confirmations:
        if confirmation.row == known.id:
            said = f"confirmed from {confirmation.edition} by {confirmation.by} on {confirmation.when}"
            return strength, said
    if known.known == "seen":
        return strength, "text seen"
    if known.known == "common practice":
        return Weight.RECOMMENDED, "common practice, no source"
    words: str = "derived from other rows" if known.known == "derived" else known.known
    words += f", {known.confidence} confidence" if known.confidence else ""
    return Weight.REMEMBERED, f"{words}: refutes nothing until confirmed"


def stale(confirmations: Iterable[Confirmation]) -> tuple[Confirmation, ...]:
    """Confirmations of rows that no longer exist.

    Parameters
    ----------
    confirmations : iterable of Confirmation
        The firm's.

    Returns
    -------
    tuple of Confirmation
        Those to be looked at again.
    """
    return tuple(c for c in confirmations if c.row not in rows())
