"""The entry point."""

import os

from winrate_tools import __main__ as entry


def test_linear_algebra_gets_one_thread_unless_the_user_says_otherwise(monkeypatch):
    for variable in entry.THREADS:
        monkeypatch.delenv(variable, raising=False)
    monkeypatch.setenv("OMP_NUM_THREADS", "4")
    called = []
    monkeypatch.setattr(entry, "app", lambda **options: called.append(options))
    entry.main()

    assert called == [{"prog_name": "winrate-tools"}]
    assert {variable: os.environ[variable] for variable in entry.THREADS} == {
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "4",
        "MKL_NUM_THREADS": "1",
    }
    for variable in entry.THREADS:
        monkeypatch.delenv(variable)
