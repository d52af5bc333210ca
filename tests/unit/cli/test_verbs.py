"""The list of verbs says what the verbs themselves say, and costs no import of the work."""

import subprocess
import sys

import pytest
from typer.testing import CliRunner

from wardwright.cli import app
from wardwright.cli.verbs import VERBS, Verb, command_of


@pytest.mark.parametrize("verb", VERBS, ids=lambda verb: verb.name)
def test_a_verb_is_listed_by_the_first_sentence_of_its_own_help(verb: Verb) -> None:
    command = command_of(verb)
    assert (command.help or "").split("\n\n")[0].replace("\n", " ") == verb.sentence
    assert getattr(command, "rich_help_panel", None) == verb.panel


def test_listing_the_verbs_imports_none_of_the_work() -> None:
    script = (
        "import sys\n"
        "from typer.testing import CliRunner\n"
        "from wardwright.cli import app\n"
        "assert 'corners' in CliRunner().invoke(app, ['--help']).output\n"
        "print([name for name in ('numpy', 'scipy', 'shapely', 'pydantic', 'highspy') if name in sys.modules])\n"
    )
    told = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"


def test_a_mistyped_verb_is_answered_with_its_neighbour() -> None:
    result = CliRunner().invoke(app, ["proove"])
    assert result.exit_code == 2
    assert "prove" in result.output


def test_a_verb_called_shows_its_own_arguments() -> None:
    assert "--workers" in CliRunner().invoke(app, ["audit", "--help"], env={"COLUMNS": "120"}).output
