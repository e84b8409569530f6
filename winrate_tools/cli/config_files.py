"""Which configuration files count."""

from pathlib import Path

import typer

from winrate_tools.cli.configuration import FILE_NAME
from winrate_tools.cli.options import Configured
from winrate_tools.cli.suggest import did_you_mean_file
from winrate_tools.errors import SettingError


def files_for(table: str | None, configured: Configured) -> list[Path]:
    """List the configuration files that count for a table, the one that counts least first.

    Parameters
    ----------
    table : str or None
        Path of the table, ``"-"`` or None where there is none.
    configured : Configured
        Which file to take in place of the project's, or whether to take no other.

    Returns
    -------
    list of Path
        The user's own file; then the project's: beside the table, else in this folder.

    Raises
    ------
    SettingError
        If the file to take does not exist.
    """
    config, no_config = configured.config, configured.no_config
    if config is not None and not config.is_file():
        near = [path.name for path in config.parent.glob("*.toml")]
        msg = f"no configuration file {str(config)!r}{did_you_mean_file(config.name, near)}"
        raise SettingError(msg)
    own = [] if no_config else [user_file()]
    project = [config] if config else [] if no_config else project_files(table)[:1]
    return [path for path in [*own, *project] if path.is_file()]


def user_file() -> Path:
    """Return where the user's own configuration stands."""
    return Path(typer.get_app_dir("winrate_tools")) / FILE_NAME


def project_files(table: str | None) -> list[Path]:
    """List the project's configuration files: beside the table, then in this folder."""
    folders = [Path()] if table in {None, "-"} else [Path(str(table)).parent, Path()]
    return [folder / FILE_NAME for folder in folders if (folder / FILE_NAME).is_file()]
