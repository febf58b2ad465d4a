"""Names that the papers cannot print."""

from __future__ import annotations

from bentwork.door.example import example_bytes
from bentwork.files.job_file import parse_job
from bentwork.jobs.work import work
from bentwork.units import Ruler

EXAMPLE = example_bytes().decode()


def found(text: str) -> list[str]:
    result = work(parse_job(text.encode(), "job.toml"))
    return [one.told(Ruler())[0] for one in result.findings if one.code == "letters-not-printed"]


def test_names_in_another_script_are_told() -> None:
    assert found(EXAMPLE) == []
    assert found(EXAMPLE.replace("Crate shelf for a hand cart", "Étagère pour un diable, Größe 2")) == []
    text = EXAMPLE.replace("Crate shelf for a hand cart", "箱の棚").replace("[stock.strap]", '[stock."帯"]')
    assert found(text.replace('stock = "strap"', 'stock = "帯"')) == [
        "Papers print question marks in the names 箱の棚, 帯."
    ]
