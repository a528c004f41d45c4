"""What a server of ours gives of the learner's folder: nothing that a link leads out of it to."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from jupyter_server.base.handlers import AuthenticatedFileHandler
from jupyter_server.services.contents.filecheckpoints import AsyncFileCheckpoints
from jupyter_server.services.contents.largefilemanager import AsyncLargeFileManager
from tornado.web import HTTPError
from traitlets import default

SENTENCE = "{} is a link that leads out of this folder, or lies behind one. Copy what it leads to into this folder."


def leads_out(path: str | Path, root: str) -> bool:
    """Whether a path below `root` ends elsewhere once its links are followed.

    >>> leads_out("/lessons/../elsewhere", "/lessons"), leads_out("/lessons/01.ipynb", "/lessons")
    (True, False)
    """
    return not Path(path).resolve().is_relative_to(Path(root).resolve())


class _Checkpoints(AsyncFileCheckpoints):
    """Kept copies; none is written or read through a link."""

    def checkpoint_path(self, checkpoint_id: str, path: str) -> str:
        # asked before the folder of the copies is made: a link in its place could lead anywhere
        folder = Path(self._get_os_path(path.strip("/"))).parent
        if leads_out(folder / self.checkpoint_dir, self.root_dir):
            raise HTTPError(403, SENTENCE.format(self.checkpoint_dir))
        found = Path(super().checkpoint_path(checkpoint_id, path))
        if found.is_symlink():
            raise HTTPError(403, SENTENCE.format(found.name))
        return str(found)


class _Files(AuthenticatedFileHandler):
    """Files as they are, for downloads and pictures; the server gives them past the manager below."""

    def validate_absolute_path(self, root: str, absolute_path: str) -> str | None:
        if leads_out(absolute_path, root):
            raise HTTPError(403, SENTENCE.format(Path(absolute_path).name))
        found: str | None = super().validate_absolute_path(root, absolute_path)
        return found


class OwnFolder(AsyncLargeFileManager):
    """The files of one folder; a link within it is followed, one that leads out is listed and refused."""

    @default("checkpoints_class")
    def _keep_copies_with(self) -> type[_Checkpoints]:
        return _Checkpoints

    @default("files_handler_class")
    def _give_files_with(self) -> type[_Files]:
        return _Files

    def _get_os_path(self, path: str) -> str:
        found = str(super()._get_os_path(path))
        if leads_out(found, self.root_dir):
            raise HTTPError(403, SENTENCE.format(path.strip("/").rpartition("/")[2] or path))
        return found

    async def get(self, path: str, content: bool = True, **more: Any) -> dict[str, Any]:
        """As the server asks for it; of a link that leads out only that it is there, so that a list shows it."""
        found = str(super()._get_os_path(path))
        if content or not leads_out(found, self.root_dir):
            model: dict[str, Any] = await super().get(path, content, **more)
            return model
        try:
            changed = datetime.datetime.fromtimestamp(Path(found).lstat().st_mtime, datetime.UTC)
        except OSError:  # behind the link, where nobody looks
            changed = datetime.datetime.fromtimestamp(0, datetime.UTC)
        return {
            "name": path.rpartition("/")[2], "path": path.strip("/"), "type": "file", "writable": False,
            "created": changed, "last_modified": changed, "size": None, "mimetype": None, "format": None,
            "content": None,
        }  # fmt: skip
