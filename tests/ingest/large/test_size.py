"""Which tables stream."""

import gzip

from winrate_tools.ingest.large import size
from winrate_tools.ingest.large.size import is_large

TABLE = "card,games,wins\n" + "Ash Vine,1204,602\n" * 9


def test_only_large_files_of_text_stream(tmp_path, monkeypatch):
    path = tmp_path / "cards.csv"
    path.write_text(TABLE)

    assert not is_large(path)
    assert not is_large(TABLE.encode())
    assert not is_large("-")
    assert not is_large(tmp_path / "missing.csv")
    monkeypatch.setattr(size, "LARGE", 2 * len(TABLE))
    assert not is_large(str(path))
    path.write_bytes(gzip.compress(TABLE.encode()))
    assert is_large(str(path))
    path.write_bytes(b"PAR1" + bytes(3 * len(TABLE)))
    assert not is_large(path)
    path.write_text(2 * TABLE)
    assert is_large(path)
