"""Reads what was uploaded in a process of its own, with limits on memory, time and what it unpacks to.

Run as ``python -m wardwright.web.sandbox WHAT IN OUT OPTIONS``. The process is given a file and a folder of its own, no
open connection and no key; if it dies, the upload is refused in words and nothing else is touched.
"""

import io
import json
import logging
import os
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path
from typing import Any

from wardwright.errors import IntakeError, SeveralPlansError, WardwrightError

_log = logging.getLogger("wardwright.web")

MEMORY_BYTES = 3 * 2**30
"""Address space of the process. [B]"""
CPU_S = 120
WALL_S = 180
"""Time it is given. [s]"""
UNPACKED_BYTES = 200_000_000
"""What a packed file may unpack to, and what may be written. [B]"""
PIXELS = 120_000_000
"""Largest picture taken in. [-]"""
LONG_SIDE = 4000
"""Longer pictures are made smaller. [-]"""
PDF_DPI = 200.0
BESIDE = ".beside"
"""Name of the file an upload is read over."""


def read_apart(what: str, content: bytes, options: dict[str, Any], beside: bytes = b"") -> bytes:
    """Read an upload in a process of its own.

    Parameters
    ----------
    what : str
        ``building``, ``services`` or ``picture``.
    content : bytes
        The upload.
    options : dict
        For the reader; ``name`` is the file's name, for messages.
    beside : bytes
        What it is read over: for services, the job file of their building.

    Returns
    -------
    bytes
        A job file, or a picture in PNG.

    Raises
    ------
    IntakeError
        In words, if the file cannot be used, needs too much, or the reader fell over it.
    """
    name = _plain_name(str(options.get("name") or "upload"))
    with tempfile.TemporaryDirectory(prefix="wardwright-upload-") as folder:
        given, made = Path(folder) / name, Path(folder) / ".made"
        given.write_bytes(content)
        if beside:
            (Path(folder) / BESIDE).write_bytes(beside)
        environment = {k: v for k, v in os.environ.items() if k in ("PATH", "HOME", "LANG", "SYSTEMROOT")}
        environment |= {"PYTHONPATH": str(Path(__file__).resolve().parents[2]), "TMPDIR": folder}
        environment |= {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "WARDWRIGHT_CACHE": "off"}
        # -P: what lies in the folder must never be taken for a module
        command = [sys.executable, "-P", "-s", "-m", __name__, what, str(given), str(made)]
        try:
            done = subprocess.run(
                [*command, json.dumps({**options, "name": name})],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.PIPE,
                env=environment,
                cwd=folder,
                timeout=WALL_S,
                check=False,
            )
        except subprocess.TimeoutExpired:
            raise IntakeError(f"reading it took more than {WALL_S} s; save only the building", where=name) from None
        if done.returncode == 0 and made.is_file():
            return made.read_bytes()
        if done.returncode == 3:
            told = json.loads(done.stderr.decode("utf-8", "replace").strip().splitlines()[-1])
            if told["plans"]:
                raise SeveralPlansError(told["plans"], where=told["where"])
            raise IntakeError(told["message"], where=told["where"])
        if done.returncode in (-24, -9) or b"MemoryError" in done.stderr or b"bad_alloc" in done.stderr:
            raise IntakeError("reading it needs more time or memory than a building should", where=name)
        _log.warning(
            "reading an upload failed (%s): %s", done.returncode, done.stderr.decode("utf-8", "replace")[-2000:]
        )
        raise IntakeError("this file is damaged, or built so that it cannot be read", where=name)


def _plain_name(name: str) -> str:
    """The last part of a file's name, without anything a file system or a reader could stumble over."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    kept = "".join(c if c.isalnum() or c in " ._-" else "-" for c in last).strip(" .")[-80:]
    return kept.encode("utf-8", "replace").decode() or "upload"


def _limit() -> None:
    """Bind this process; where the system knows no such limits, time alone binds."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S + 5))
    resource.setrlimit(resource.RLIMIT_FSIZE, (UNPACKED_BYTES, UNPACKED_BYTES))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _building(path: Path, options: dict[str, Any]) -> bytes:
    from wardwright.job.from_file import job_from_file
    from wardwright.storage.job_file import job_text

    _refuse_bombs(path)
    wanted = {name: options.get(name) for name in ("title", "scale", "unit", "plan")}
    return job_text(job_from_file(path, key=options["key"], **wanted)).encode()


def _services(path: Path, _options: dict[str, Any]) -> bytes:
    """The building services of the same project laid over the job's building."""
    from wardwright.intake.ifc_services import read_ifc_services
    from wardwright.intake.services import overlay_services
    from wardwright.job.from_file import notes_of
    from wardwright.storage.job_file import job_from_text, job_text

    _refuse_bombs(path)
    job = job_from_text((path.parent / BESIDE).read_text(encoding="utf-8"), where=path.name)
    premises, found = overlay_services(job.premises, read_ifc_services(path))
    return job_text(job.model_copy(update={"premises": premises, "intake": (*job.intake, *notes_of(found))})).encode()


def _refuse_bombs(path: Path) -> None:
    if not zipfile.is_zipfile(path):
        return
    with zipfile.ZipFile(path) as archive:
        unpacked = sum(i.file_size for i in archive.infolist())
    if unpacked > UNPACKED_BYTES:
        raise IntakeError(
            f"it unpacks to {unpacked / 1e6:.0f} MB, more than the {UNPACKED_BYTES / 1e6:.0f} MB a building may have",
            where=path.name,
        )


def _picture(path: Path, options: dict[str, Any]) -> bytes:
    """A picture or a page of a PDF, drawn afresh: what was hidden in the file, such as where it was taken, is left."""
    from PIL import Image, ImageOps, UnidentifiedImageError

    Image.MAX_IMAGE_PIXELS = PIXELS
    if path.read_bytes()[:1024].lstrip().startswith(b"%PDF"):
        picture = _pdf_page(path, int(options.get("page") or 1))
    else:
        try:
            with Image.open(path, formats=("PNG", "JPEG", "WEBP", "TIFF")) as opened:
                if opened.width * opened.height > PIXELS:
                    raise IntakeError(
                        f"the picture has more than {PIXELS // 1_000_000} million pixels", where=path.name
                    )
                opened.load()
                picture = ImageOps.exif_transpose(opened).convert("RGB")
        except UnidentifiedImageError:
            raise IntakeError("this is no PDF and no PNG, JPEG, WebP or TIFF picture", where=path.name) from None
        except (Image.DecompressionBombError, Image.DecompressionBombWarning):
            raise IntakeError(
                f"the picture has more than {PIXELS // 1_000_000} million pixels", where=path.name
            ) from None
        except (OSError, SyntaxError, ValueError):
            raise IntakeError("the picture is damaged or cut short", where=path.name) from None
    picture.thumbnail((LONG_SIDE, LONG_SIDE))
    fresh = Image.frombytes("RGB", picture.size, picture.tobytes())
    out = io.BytesIO()
    fresh.save(out, "PNG", optimize=False)
    return out.getvalue()


def _pdf_page(path: Path, page: int) -> Any:
    import pypdfium2

    try:
        with pypdfium2.PdfDocument(path) as document:
            if not 1 <= page <= len(document):
                raise IntakeError(f"the PDF has {len(document)} pages; there is no page {page}", where=path.name)
            sheet = document[page - 1]
            scale = min(PDF_DPI / 72.0, LONG_SIDE / max(sheet.get_width(), sheet.get_height(), 1.0))
            return sheet.render(scale=scale).to_pil().convert("RGB")
    except pypdfium2.PdfiumError:
        raise IntakeError("the PDF is damaged, cut short, or locked by a password", where=path.name) from None


def main(arguments: list[str]) -> int:
    """Read one upload; 0 and a file, or 3 and the reason as the last line on standard error."""
    what, given, made, options = arguments
    _limit()
    try:
        reader = {"building": _building, "services": _services, "picture": _picture}[what]
        Path(made).write_bytes(reader(Path(given), json.loads(options)))
    except WardwrightError as error:
        message, where = getattr(error, "message", str(error)), getattr(error, "where", "") or Path(given).name
        plans = getattr(error, "plans", ())
        print(json.dumps({"message": message, "where": where, "plans": plans}), file=sys.stderr)
        return 3
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
