"""What tables promise: what was written is read, the same bytes for the same rows, and nothing lost or half written."""

from pathlib import Path

import boardwise as bw
import numpy as np
import pytest

FORMS = ["parquet", "arrow"]


def rows() -> dict[str, object]:
    return {"board": [17.25, np.nan, -0.1], "pin": np.array([1, 3, 10]), "ball": ["solid", "", "pearl, dull"]}


@pytest.mark.parametrize("form", FORMS)
def test_what_was_written_is_read(tmp_path: Path, form: str):
    path = tmp_path / f"table.{form}"
    bw.write_table(path, rows())
    table = bw.read_table(path)
    assert list(table) == ["board", "pin", "ball"]
    assert table.board.dtype == np.float64 and np.array_equal(table.board, [17.25, np.nan, -0.1], equal_nan=True)
    assert table.pin.dtype == np.int64 and table.pin.tolist() == [1, 3, 10]
    assert table.ball.tolist() == ["solid", "", "pearl, dull"]
    bytes_of_first = path.read_bytes()
    bw.write_table(path, rows(), replace=True)
    assert path.read_bytes() == bytes_of_first


@pytest.mark.parametrize("form", FORMS)
def test_a_file_stays_unless_it_is_to_be_replaced(tmp_path: Path, form: str):
    path = tmp_path / f"table.{form}"
    path.write_text("as it was")
    with pytest.raises(ValueError, match="there is something of that name already"):
        bw.write_table(path, rows())
    assert path.read_text() == "as it was" and [one.name for one in tmp_path.iterdir()] == [path.name]


def test_tables_that_cannot_be_say_what_is_allowed(tmp_path: Path):
    for columns, said in [
        ({"a": [1.0], "b": [1.0, 2.0]}, "the same length"),
        ({"a": [[1.0]]}, "a: give a column of cells"),
        ({"a": [1j]}, "a: holds complex128; give numbers or words"),
    ]:
        with pytest.raises(ValueError, match=said):
            bw.write_table(tmp_path / "table.parquet", columns)
    with pytest.raises(ValueError, match=r"table\.csv: the name must end with \.parquet or \.arrow"):
        bw.write_table(tmp_path / "table.csv", rows())
    with pytest.raises(ValueError, match="the folder does not exist"):
        bw.write_table(tmp_path / "none" / "table.parquet", rows())
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("form", FORMS)
def test_a_file_cut_short_is_refused(tmp_path: Path, form: str):
    path = tmp_path / f"table.{form}"
    bw.write_table(path, rows())
    whole = path.read_bytes()
    for kept in (0, 3, len(whole) // 2, len(whole) - 1):
        path.write_bytes(whole[:kept])
        with pytest.raises(ValueError, match=rf"table\.{form}"):
            bw.read_table(path)


def test_columns_are_attributes_too():
    columns = bw.Columns({"board": [1.0]})
    assert columns.board.tolist() == [1.0] and len(columns) == 1
    with pytest.raises(AttributeError, match="no column 'bord': there are board"):
        _ = columns.bord
