"""The entry point: ``winrate-tools`` and ``python -m winrate_tools``."""

import gc
import os
import sys

THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
SEARCH_AFTER = 100_000
"""New objects after which Python looks for garbage; after 700 it would look while it loads."""
INTERRUPTED = 130


def main() -> None:
    """Run the program.

    Linear algebra gets one thread unless the user says otherwise: the problems are small, and
    threads would only wait for each other. This has to happen before numpy is imported. At the
    end nothing is searched for garbage once more: the memory goes back as a whole.
    """
    for variable in THREADS:
        os.environ.setdefault(variable, "1")
    gc.set_threshold(SEARCH_AFTER)
    try:
        from winrate_tools.cli.app import app

        app(prog_name="winrate-tools")
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    finally:
        gc.freeze()


if __name__ == "__main__":
    main()
