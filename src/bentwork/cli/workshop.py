"""``bentwork workshop``: where the maker's memory is, what it holds, backup and restore."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from bentwork.cli.edge import edge, job_path, put
from bentwork.cli.memory import folder_of, opened, workshop_option

SHORT = "Your workshop: test bends, benders, materials, stock."
HELP = """Your workshop keeps what jobs share: test bends, benders, materials, stock. It is one database in one folder.

Test bends are entered by bentwork testbend. A job may name a bender, a material or stock of the workshop without
describing it; what the job itself says comes first.

\b
Example: bentwork workshop keep crate-shelf
"""


@click.group("workshop", help=HELP, short_help=SHORT)
def workshop() -> None:
    """Gather the commands about the workshop."""


@workshop.command("where", short_help="Say which folder it is and what is in it.")
@workshop_option
def where(workshop: Path | None) -> None:
    r"""Say which folder the workshop is and how much is in it.

    \b
    Example: bentwork workshop where
    """
    with edge():
        from bentwork.workshop.place import database_in, has_workshop

        folder = folder_of(workshop)
        if not has_workshop(folder):
            put(f"{folder}\nNothing is kept there yet. Choose another folder by --workshop DIR or BENTWORK_WORKSHOP.")
            return
        with opened(workshop) as memory:
            counts = {
                "test bends": len(memory.test_bends.all()),
                "benders": len(memory.benders.all()),
                "materials": len(memory.materials.all()),
                "kinds of stock": len(memory.stock.all()),
                "logged bends": len(memory.log.all()),
            }
        put("\n".join([str(database_in(folder)), *(f"{count:6d} {name}" for name, count in counts.items())]))


@workshop.command("show", short_help="List benders, materials and stock.")
@workshop_option
def show(workshop: Path | None) -> None:
    r"""List the benders, materials and stock that are kept, and the test bends.

    \b
    Example: bentwork workshop show
    """
    with edge(), opened(workshop) as memory:
        from bentwork.cli.say_workshop import lines_of

        put("\n".join(lines_of(memory)))


@workshop.command("keep", short_help="Keep the benders, materials and stock of a job.")
@click.argument("job", type=click.Path(path_type=Path))
@workshop_option
def keep(job: Path, workshop: Path | None) -> None:
    r"""Keep the benders, materials and stock that a job describes, in the place of what had their names.

    \b
    Example: bentwork workshop keep crate-shelf
    """
    with edge():
        from bentwork.bending.stock_key import StockKey
        from bentwork.door.memory import owned_in
        from bentwork.door.models import models_for
        from bentwork.files.job_file import read_job, tables_of
        from bentwork.workshop.own_things import OwnBender, OwnMaterial, OwnStock

        path = job_path(job)
        with opened(workshop) as memory:
            read = read_job(path, owned_in(memory), models_for(path.parent))
            described = tables_of(path)
            kept = []
            for name, table in described.get("material", {}).items():
                memory.materials.put(OwnMaterial(name, table))
                kept.append(f"material {name}")
            for name, table in described.get("bender", {}).items():
                memory.benders.put(OwnBender(name, table, read.ruler.units))
                kept.append(f"bender {name}")
            for name in described.get("stock", {}):
                bar = read.stocks[name]
                key = StockKey(bar.section, bar.material.name)
                memory.stock.put(OwnStock(name, key, bar_length_mm=bar.bar_length, price=bar.price))
                kept.append(f"stock {name}")
        put("\n".join(kept) if kept else "the job describes nothing that could be kept")


@workshop.command("forget", short_help="Forget a bender, a material or stock.")
@click.argument("sort", type=click.Choice(["bender", "material", "stock"]))
@click.argument("name")
@workshop_option
def forget(sort: str, name: str, workshop: Path | None) -> None:
    r"""Forget a bender, a material or stock. Test bends stay: bentwork testbend --strike marks a wrong one.

    \b
    Example: bentwork workshop forget bender lever
    """
    with edge(), opened(workshop) as memory:
        remove: dict[str, Callable[[str], None]] = {
            "bender": memory.benders.remove,
            "material": memory.materials.remove,
            "stock": memory.stock.remove,
        }
        remove[sort](name)


@workshop.command("offcut", short_help="Lay an offcut on the rack, or take one off it.")
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("stock")
@click.argument("length")
@click.option("--count", type=click.IntRange(1, 1000), default=1, metavar="N", help="How many of this length.")
@click.option("--gone", is_flag=True, help="It is used up: take it off the rack.")
@workshop_option
def offcut(job: Path, stock: str, length: str, count: int, gone: bool, workshop: Path | None) -> None:
    r"""Lay an offcut of a job's stock on the rack; every job with the same section and metal finds it there.

    \b
    Example: bentwork workshop offcut crate-shelf rod 820
    """
    with edge():
        from bentwork.cli.memory import read_with
        from bentwork.door.offcuts import put_offcut, take_offcut
        from bentwork.errors import Fault, InputError
        from bentwork.units import parse_length

        read, _ = read_with(job, workshop)
        faults = []
        if stock not in read.stocks:
            faults.append(Fault("STOCK", repr(stock), f"a stock of the job: {', '.join(read.stocks)}"))
        try:
            size = parse_length(length, read.ruler.units)
        except ValueError as error:
            faults.append(Fault("LENGTH", repr(length), str(error)))
        if not faults and not 0.0 < size < 100_000.0:
            faults.append(Fault("LENGTH", repr(length), "a length above 0"))
        if faults:
            raise InputError("workshop offcut", faults)
        with opened(workshop) as memory:
            left = (take_offcut if gone else put_offcut)(memory, read.stocks[stock], size, count)
        put(f"{left.bars} of {read.ruler.length(size)}, {stock}")


@workshop.command("backup", short_help="Copy everything into one new file.")
@click.argument("file", type=click.Path(path_type=Path))
@workshop_option
def backup(file: Path, workshop: Path | None) -> None:
    r"""Copy everything into one new file, whole, while others may go on using the workshop.

    \b
    Example: bentwork workshop backup workshop-2026-03.sqlite3
    """
    with edge():
        _must_be_there(workshop)
        with opened(workshop) as memory:
            memory.backup(file)
        put(f"{file}")


@workshop.command("restore", short_help="Put a backup in the workshop's place.")
@click.argument("file", type=click.Path(path_type=Path))
@workshop_option
def restore(file: Path, workshop: Path | None) -> None:
    r"""Put a backup in the place of what is kept; what was kept before is laid aside, never lost.

    \b
    Example: bentwork workshop restore workshop-2026-03.sqlite3
    """
    with edge():
        from bentwork.workshop.restore import restore as put_back

        aside = put_back(folder_of(workshop), file)
        put(f"restored from {file}" + (f"; what was kept before is in {aside}" if aside else ""))


@workshop.command("export", short_help="Write everything as JSON, or test bends as CSV.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@workshop_option
def export(file: Path, force: bool, workshop: Path | None) -> None:
    r"""Write everything as JSON, or the test bends as CSV where FILE ends in .csv.

    \b
    Example: bentwork workshop export test-bends.csv
    """
    with edge():
        from bentwork.errors import FileError
        from bentwork.files.atomic import write_new
        from bentwork.workshop.export import csv_of_test_bends, json_of_everything

        _must_be_there(workshop)
        with opened(workshop) as memory:
            as_csv = file.suffix.lower() == ".csv"
            text = csv_of_test_bends(memory.test_bends.all(struck=True)) if as_csv else json_of_everything(memory)
        if file.exists() and not force:
            raise FileError(f"{file} is there already; give another name, or --force to write over it")
        write_new(file, text.encode(), replace=force)
        put(f"{file}")


def _must_be_there(given: Path | None) -> None:
    from bentwork.errors import WorkshopError
    from bentwork.workshop.place import has_workshop

    folder = folder_of(given)
    if not has_workshop(folder):
        raise WorkshopError(f"nothing is kept in {folder} yet. Name another folder with --workshop DIR.")
