"""STEP files taken apart by their text: every part whole, every solid in one of them, odd files left alone."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np
import pytest

from bentwork.takeoff.step_parts import ring_of, solids_in, taken_apart
from bentwork.takeoff.step_statements import statements_of

HEAD = "ISO-10303-21;\nHEADER;\nFILE_NAME('a; ENDSEC; #1=',(''));\nENDSEC;\nDATA;\n"
TAIL = "ENDSEC;\nEND-ISO-10303-21;\n"
FACES = 40


def solid(number: int, count: int = FACES) -> str:
    """A solid of many faces with a point each, all round one placement."""
    faces = [number + 2 * k + 3 for k in range(count)]
    lines = [f"#{number}=MANIFOLD_SOLID_BREP('bar',#{number + 1});"]
    lines.append(f"#{number + 1}=CLOSED_SHELL('',({','.join(f'#{face}' for face in faces)}));")
    for face in faces:
        lines.append(f"#{face}=ADVANCED_FACE('a #{face + 1}; b',(#{face + 1}),\n  #2,.T.);")
        lines.append(f"#{face + 1}=VERTEX_POINT('it''s',#2);")
    return "\n".join(lines) + "\n"


def model(count: int, more: str = "") -> str:
    solids = [1000 * (k + 1) for k in range(count)]
    shapes = ",".join(f"#{number}" for number in solids)
    top = f"#1=ADVANCED_BREP_SHAPE_REPRESENTATION('',({shapes}),#2);\n#2=CARTESIAN_POINT('',(0.,0.,0.));\n"
    return HEAD + top + "".join(map(solid, solids)) + more + TAIL


def statements(text: str) -> dict[int, str]:
    """Statements by number; a reading of the text of its own, good enough for these files."""
    data = text[text.index("DATA;") + 5 : text.rindex("ENDSEC;")]
    bare = re.sub(r"'(?:[^']|'')*'", "''", data)
    return {int(number): what for number, what in re.findall(r"#(\d+)\s*=\s*([^;]*);", bare)}


def pieces_of(text: str, count: int, here: Sequence[int] = ()) -> list[list[bytes]]:
    read = statements_of(text.encode())
    if read is None:
        return []
    solids = solids_in(read)
    return taken_apart(read, solids, np.isin(np.arange(len(solids.shells)), here), count)


def apart(text: str, count: int, here: Sequence[int] = ()) -> list[dict[int, str]]:
    parts = pieces_of(text, count, here)
    assert here or len(parts) == count
    found = []
    for pieces in parts:
        part = b"".join(pieces).decode()
        assert part.startswith(HEAD)
        assert part.endswith(TAIL)
        found.append(statements(part))
    for part_statements in found:
        for what in part_statements.values():
            assert all(int(number) in part_statements for number in re.findall(r"#(\d+)", what)), what
    return found


def ring(part: dict[int, str], shell: int) -> int | None:
    """Which solid a shell stands for: the ring in it is so many times as wide as thick, from 2."""
    face = re.fullmatch(r"CLOSED_SHELL\('',\(#(\d+)\)\)", part[shell])
    surface = face and re.fullmatch(r"ADVANCED_FACE\('',\(\),#(\d+),\.T\.\)", part[int(face[1])])
    thick = surface and re.fullmatch(r"TOROIDAL_SURFACE\('',#\d+,(.*),1\.\)", part[int(surface[1])])
    return ring_of(float(thick[1])) if thick else None


def test_no_ring_that_is_drawn_stands_for_another_solid() -> None:
    assert [ring_of(ratio) for ratio in (1.0, 2.0, 2.5, 3.0, 60.0 / 7.0, 4.27183, 1e9, 1e300)] == [-1] * 8
    assert [ring_of(25.4 * ratio / 25.4) for ratio in (2.2718281828, 3.2718281828, 50002.2718281828)] == [0, 1, 50000]


@pytest.mark.parametrize("count", [2, 3])
def test_every_solid_is_in_one_part_and_the_tree_in_all(count: int) -> None:
    whole = statements(model(12))
    shells = [number for number, what in whole.items() if what.startswith("CLOSED_SHELL")]
    parts = apart(model(12), count)
    for shell in shells:
        full = [part for part in parts if part[shell] == whole[shell]]
        absent = [part for part in parts if ring(part, shell) == shells.index(shell)]
        assert (len(full), len(absent)) == (1, count - 1)
        assert all(full[0][number] == whole[number] for number in range(shell + 2, shell + 2 + 2 * FACES))
        assert not any(shell + 2 in part for part in absent)
    for part in parts:
        assert (part[1], part[2]) == (whole[1], whole[2])
        assert sum(part[shell] == whole[shell] for shell in shells) == 12 // count


def with_voids() -> str:
    """Six solids with a void each, in place of twelve."""
    text = model(12)
    for outer in range(1000, 7000, 1000):
        inner = outer + 6000
        void = f"BREP_WITH_VOIDS('bar',#{outer + 1},(#{inner}));"
        text = text.replace(f"MANIFOLD_SOLID_BREP('bar',#{outer + 1});", void)
        turned = f"ORIENTED_CLOSED_SHELL('a void',*,#{inner + 1},.F.);"
        text = text.replace(f"MANIFOLD_SOLID_BREP('bar',#{inner + 1});", turned)
    return text


def test_a_solid_and_its_voids_are_in_one_part() -> None:
    whole = statements(with_voids())
    parts = apart(with_voids(), 1, [3, 4])
    parts += apart(with_voids(), 1, [0, 1, 2, 5])
    for number in range(6):
        for shell in (1000 * (number + 1) + 1, 1000 * (number + 7) + 1):
            full = [part[shell] == whole[shell] for part in parts]
            assert full == [number not in (3, 4), number in (3, 4)]
            assert [ring(part, shell) for part in parts] == [None if there else number for there in full]
    read = statements_of(with_voids().encode())
    assert read is not None
    assert solids_in(read).shells.turned.tolist() == [False, True] * 6


def test_what_is_read_without_the_kernel_is_in_no_part() -> None:
    (part,) = apart(model(12), 2, [0, 1, 2, 3, 4, 7, 8, 9, 10, 11])
    assert [ring(part, 1000 * (k + 1) + 1) for k in range(12)] == [0, 1, 2, 3, 4, None, None, 7, 8, 9, 10, 11]
    assert len(apart(model(12), 2, [3])) == 2
    (part,) = apart(model(12), 2, range(12))
    assert not any(what.startswith("VERTEX_POINT") for what in part.values())


def test_faces_with_a_colour_do_not_keep_a_solid_together() -> None:
    styles = "".join(f"#{90000 + k}=STYLED_ITEM('',(#2),#{1000 * (k % 12 + 1) + 3});\n" for k in range(24))
    for part in apart(model(12, styles), 2):
        assert {part[1000 * (k + 1) + 3][:10] for k in range(12)} == {"ADVANCED_F", "CARTESIAN_"}


def test_what_else_refers_to_a_face_keeps_it() -> None:
    sheet = "#90000=OPEN_SHELL('',(#1003,#2003));\n#90001=SHELL_BASED_SURFACE_MODEL('',(#90000));\n"
    for part in apart(model(12, sheet), 2):
        assert part[1003].startswith("ADVANCED_FACE")
        assert part[2003].startswith("ADVANCED_FACE")
        assert 1004 in part


def test_sizes_are_shared_out() -> None:
    text = HEAD + "#2=CARTESIAN_POINT('',(0.,0.,0.));\n"
    text += "".join(solid(1000 * (k + 1), 6 * FACES if k == 3 else FACES) for k in range(10)) + TAIL
    parts = apart(text, 2)
    shares = [sum(part[1000 * (k + 1) + 1].count("#") > 1 for k in range(10)) for part in parts]
    assert sorted(shares) == [3, 7]


@pytest.mark.parametrize(
    "text",
    [
        model(7),
        model(12).replace("DATA;", "/* a word */\nDATA;").replace("#2=", "/* 3 */ #2="),
        model(12, "ENDSEC;\nDATA;\n#77=CARTESIAN_POINT('',(0.,0.));\n"),
        model(12, "#2=CARTESIAN_POINT('',(1.,1.,1.));\n"),
        model(12, "#77=VERTEX_POINT('',#78);\n"),
        model(12, "#77=VERTEX_POINT('',#2)"),
        model(12, "#77=PRODUCT('a);\n"),
        model(12, "#77=MANIFOLD_SOLID_BREP('',#1001);\n"),
        model(12, "X=VERTEX_POINT('',2);\n"),
        re.sub(r"MANIFOLD_SOLID_BREP\('bar',(#\d+)\)", r"BREP_WITH_VOIDS('bar',\1,(#2))", model(12)),
        model(12).replace("CLOSED_SHELL", "OPEN_SHELL"),
        model(12, "#77=ADVANCED_FACE('',(),#2,.T.);\n"),
        model(12).replace("ADVANCED_FACE('a", "ADVANCED_FACE(#1,'a"),
        HEAD + TAIL,
        HEAD,
        "ISO-10303-21;",
        "",
    ],
    ids=[
        "few solids",
        "a comment",
        "two data sections",
        "a number twice",
        "a number of nothing",
        "no end of a statement",
        "no end of a string",
        "two solids of one shell",
        "a statement without a number",
        "voids without a shell",
        "open shells",
        "a face without bounds",
        "all solids in one another",
        "no data",
        "cut off",
        "cut off before",
        "empty",
    ],
)
def test_what_is_not_as_plain_is_left_alone(text: str) -> None:
    assert pieces_of(text, 2) == []
