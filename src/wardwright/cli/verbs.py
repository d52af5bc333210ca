"""The verbs of the command, each imported only when it is called: the list of them appears at once."""

from importlib import import_module
from typing import TYPE_CHECKING, Any, NamedTuple

import typer
from typer.core import TyperCommand, TyperGroup
from typer.main import get_command_from_info

if TYPE_CHECKING:
    from typer._click.core import Command, Context


class Verb(NamedTuple):
    """A verb: its module of this package, the panel of the help it stands in, and its sentence there."""

    name: str
    module: str
    panel: str
    sentence: str


VERBS = (
    Verb(
        "intake",
        "survey",
        "Survey",
        "Read a building from a file into a new job, and report every guess that was made.",
    ),
    Verb(
        "brief",
        "survey",
        "Survey",
        "Show or set what was asked for: client, profile, aims. ``firm.name=…`` and the like set the firm's own lines.",
    ),
    Verb(
        "survey",
        "survey",
        "Survey",
        "Add to a job what no drawing shows: goods, beds, pets, people, heat, locks, glass, roofs, response.",
    ),
    Verb(
        "check", "survey", "Survey", "Check a job file and explain every broken reference and impossible value in it."
    ),
    Verb("schema", "survey", "Survey", "Print the JSON Schema of a stored record, or of a scenario."),
    Verb(
        "design",
        "design",
        "Design",
        "Read a design sheet into a job: devices, loops, zones, feeds and the panel's programme.",
    ),
    Verb("kinds", "design", "Design", "List the kinds of device a design may use, or check your own CSV."),
    Verb(
        "keep",
        "design",
        "Design",
        "Keep the present design under the name of what it is: surveyed, sold, as fitted, altered.",
    ),
    Verb(
        "corners",
        "corners",
        "Design",
        "Fewest corners that between them see the whole of each floor: no layout of corner detectors does with fewer.",
    ),
    Verb(
        "place",
        "placing",
        "Design",
        "Propose detectors, panel and wiring for a job's brief, and say how much cheaper it could still be.",
    ),
    Verb("explain", "placing", "Design", "Say why a detector is there: which way in or route slips by without it."),
    Verb(
        "prove",
        "proof",
        "Proof",
        "Prove a job: every finding with its number, limit and source. The exit status tells the verdict.",
    ),
    Verb(
        "accept",
        "proof",
        "Proof",
        "Take on a finding: printed on the papers, and void as soon as what it rests on changes.",
    ),
    Verb(
        "confirm",
        "proof",
        "Proof",
        "Confirm a remembered row from the standard's own text, so that it can refute. Kept with the firm.",
    ),
    Verb(
        "audit",
        "audit",
        "Proof",
        "Prove a folder of jobs: what held in the last audit or on the last papers, and no longer does.",
    ),
    Verb(
        "verify",
        "verify",
        "Proof",
        "Search everything the panel's programme can do, and prove or refute each property with its shortest story.",
    ),
    Verb(
        "attack",
        "attack",
        "Proof",
        "Attack the system itself on every way in, by every smallest set of faults. For the firm only.",
    ),
    Verb(
        "play",
        "play",
        "Proof",
        "Play a scenario: who walks where, what trips, what the panel does. Same script and seed, same timeline.",
    ),
    Verb(
        "papers",
        "papers",
        "Papers",
        "Write papers: the client's PDF, or with --firm the contractor's, copy-numbered and logged in the job.",
    ),
    Verb("quote", "papers", "Papers", "Price a job: three offers side by side, with what each changes and gives up."),
    Verb("reading", "site", "Site", "Record something measured on site. It overrules the prediction it answers."),
    Verb("note", "site", "Site", "Record something done or seen on site."),
    Verb("merge", "site", "Site", "Add the site records of another copy of the job, as from a second phone."),
    Verb(
        "formula",
        "formulas",
        "Reference",
        "Work out one formula of the calculation sheets, in SI units; without values, say what it wants.",
    ),
    Verb(
        "serve",
        "workbench",
        "Workbench",
        "Open the workbench over a store of jobs, on this machine alone unless an address is given.",
    ),
    Verb(
        "password",
        "workbench",
        "Workbench",
        "Set the password for the workbench beyond this machine; every paired device is forgotten.",
    ),
)


def command_of(verb: Verb) -> "Command":
    """The command of a verb, whose module is imported for it."""
    stage = typer.Typer()
    import_module(f"wardwright.cli.{verb.module}").register(stage)
    return next(
        get_command_from_info(info, pretty_exceptions_short=True, rich_markup_mode="rich")
        for info in stage.registered_commands
        if info.name == verb.name
    )


class Verbs(TyperGroup):
    """Lists every verb by its sentence, and imports the one that is called."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        for verb in VERBS:
            self.add_command(TyperCommand(verb.name, help=verb.sentence, rich_help_panel=verb.panel))

    def resolve_command(self, ctx: "Context", args: list[str]) -> "tuple[str | None, Command | None, list[str]]":
        """Find the verb called, and put its own command for its line of the list."""
        name, _, rest = super().resolve_command(ctx, args)
        return name, next((command_of(verb) for verb in VERBS if verb.name == name), None), rest
