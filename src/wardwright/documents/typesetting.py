"""Setting pages: templates, data and drawings in, a PDF out; the same input gives the same bytes."""

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path
from typing import Any

import typst

from wardwright.documents.lettering import font_folder
from wardwright.errors import PaperError


def typeset(
    template: str,
    data: Mapping[str, Any],
    *,
    drawings: Mapping[str, str] | None = None,
    attachments: Mapping[str, bytes] | None = None,
    date: str,
    archival: bool = True,
    fonts: Path | None = None,
) -> bytes:
    """A PDF from one of our templates.

    Parameters
    ----------
    template : str
        ``client`` or ``firm``.
    data : mapping
        What the template reads; only JSON values.
    drawings : mapping of str to str, optional
        SVG text by file name.
    attachments : mapping of str to bytes, optional
        Files embedded in the PDF, by name.
    date : str
        ISO date printed, and written into the file as its date of creation.
    archival : bool, optional
        PDF/A-3a, tagged, for keeping; False where the file is to be encrypted, which archives do not allow.
    fonts : Path, optional
        Another folder of fonts than the one shipped.

    Returns
    -------
    bytes
        The file.

    Raises
    ------
    PaperError
        If the typesetter warns of anything at all: a missing font, a figure that does not fit.
    """
    folder = resources.files("wardwright.documents").joinpath("templates")
    files: dict[str, bytes] = {
        entry.name: entry.read_bytes() for entry in folder.iterdir() if entry.name.endswith(".typ")
    }
    files["main.typ"] = files[f"{template}.typ"]
    files["data.json"] = json.dumps({**data, "attachments": sorted(attachments or {})}, sort_keys=True).encode()
    files |= {name: text.encode() for name, text in (drawings or {}).items()}
    files |= dict(attachments or {})
    stamp = datetime.fromisoformat(date).replace(tzinfo=UTC)
    try:
        pdf, warnings = typst.compile_with_warnings(  # type: ignore[call-overload]  # its stub leaves out the dict
            files,
            font_paths=[str(fonts or font_folder())],
            ignore_system_fonts=True,
            pdf_standards=["a-3a"] if archival else [],
            timestamp=stamp,
        )
    except typst.TypstError as error:
        raise PaperError(f"the paper could not be set: {error}") from error
    if warnings:
        raise PaperError(f"the paper could not be set as it should be: {warnings[0].message}")
    if not isinstance(pdf, bytes):
        raise PaperError("the typesetter returned no file")
    return pdf
