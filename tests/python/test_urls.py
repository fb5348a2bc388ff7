"""Photos and datasets behind URLs: a store in memory, a web server, and connections that break."""

from __future__ import annotations

import contextlib
import functools
import http.server
import threading
from pathlib import Path

import pytest
from clusters import have
from PIL import Image
from sample_photos import sample_photos

from maturity.cluster import measure_into_dataset
from maturity.cluster.needs import need

COUNT = 5


@pytest.fixture(scope="module")
def photos(tmp_path_factory):
    """Small photos in folders of two blocks."""
    have("pyarrow.parquet", "fsspec")
    root = tmp_path_factory.mktemp("urls") / "photos"
    for number, source in enumerate(sample_photos(COUNT)):
        place = root / ("Weir", "Saddle")[number % 2] / "2026-11-01" / str(number)
        place.mkdir(parents=True)
        with Image.open(source) as photo:
            photo.resize((640, 640 * photo.height // photo.width)).save(place / "a.jpg")
    return root


def results_of(dataset):
    """The JSON text of each photo by SHA-256, as the dataset has it."""
    frame = need("pandas").read_parquet(dataset)
    return dict(zip(frame["sha256"], frame["result"]))


@pytest.fixture(scope="module")
def by_path(photos, tmp_path_factory):
    dataset = tmp_path_factory.mktemp("by-path") / "d"
    assert measure_into_dataset([photos], dataset).measured == COUNT
    return results_of(dataset)


@pytest.fixture
def memory(photos):
    """The same photos in fsspec's store in memory, which has keys and no folders, as others do."""
    system = need("fsspec").filesystem("memory")
    system.store.clear()
    for path in photos.rglob("*.jpg"):
        system.pipe_file(f"/orchard/{path.relative_to(photos).as_posix()}", path.read_bytes())
    yield system
    system.store.clear()


def test_photos_and_dataset_in_an_object_store_have_the_same_bytes(by_path, memory, tmp_path):
    run = measure_into_dataset(["memory://orchard"], "memory://measured", batch_photos=2)
    assert (run.measured, run.not_measured, run.skipped) == (COUNT, {}, [])
    memory.get("/measured", str(tmp_path / "d"), recursive=True)
    assert results_of(tmp_path / "d") == by_path
    assert {path.parts[-3] for path in (tmp_path / "d").rglob("*.parquet")} == {
        "block=Weir",
        "block=Saddle",
    }
    again = measure_into_dataset(["memory://orchard"], "memory://measured")
    assert (again.measured, again.known) == (0, COUNT)


class Cut:
    """A file whose connection breaks after a kilobyte."""

    def __init__(self, data):
        self._data = data

    def read(self, _size=-1):
        if not self._data:
            raise ConnectionResetError(104, "Connection reset by peer")
        piece, self._data = self._data[:1024], b""
        return piece

    def __enter__(self):
        return self

    def __exit__(self, *_exception):
        return None


@pytest.mark.parametrize("moment", ["gone", "breaks", "breaks the second time"])
def test_an_object_that_goes_or_breaks_off_costs_only_itself(
    moment, by_path, memory, tmp_path, monkeypatch
):
    (bad,) = [name for name in memory.store if "/2/" in name]
    real, opened = type(memory)._open, []

    def open_it(self, path, mode="rb", **more):
        if path.endswith(bad.lstrip("/")) and "r" in mode:
            opened.append(path)
            if moment == "gone":
                raise FileNotFoundError(path)
            if moment == "breaks" or len(opened) > 1:
                return Cut(memory.store[bad].getvalue())
        return real(self, path, mode, **more)

    monkeypatch.setattr(type(memory), "_open", open_it)
    run = measure_into_dataset(["memory://orchard"], tmp_path / "d")
    assert opened, "the photo was not asked for"
    assert [name.rpartition("orchard")[2] for name in run.not_measured] == [
        bad.rpartition("orchard")[2]
    ]
    assert run.measured == COUNT - 1
    found = results_of(tmp_path / "d")
    assert found == {sha256: by_path[sha256] for sha256 in found}
    monkeypatch.undo()
    whole = measure_into_dataset(["memory://orchard"], tmp_path / "d")
    assert (whole.measured, whole.known) == (1, COUNT - 1)
    assert results_of(tmp_path / "d") == by_path


class Server(http.server.SimpleHTTPRequestHandler):
    """Serves a folder; of a photo named `cut.jpg` half, and then it hangs up."""

    def do_GET(self):
        if not self.path.endswith("cut.jpg"):
            super().do_GET()
            return
        data = Path(self.translate_path(self.path)).read_bytes()
        self.send_response(200)
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        self.wfile.write(data[: len(data) // 2])

    def log_message(self, *_arguments):
        return None


@contextlib.contextmanager
def served(folder):
    """The address of a web server of this folder."""
    handler = functools.partial(Server, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def test_photos_of_a_web_server_have_the_same_bytes(photos, by_path, tmp_path):
    try:
        import aiohttp  # noqa: F401
    except ImportError:
        pytest.skip("NOT TESTED: http:// URLs, which need the package aiohttp")
    (photos / "cut.jpg").write_bytes((photos / "Weir/2026-11-01/0/a.jpg").read_bytes() + b"\0")
    try:
        with served(photos) as address:
            urls = [
                f"{address}/{path.relative_to(photos).as_posix()}"
                for path in sorted(photos.rglob("*.jpg"))
            ]
            run = measure_into_dataset([*urls, f"{address}/none.jpg"], tmp_path / "d")
            nowhere = measure_into_dataset([urls[0], "http://127.0.0.1:9/a.jpg"], tmp_path / "e")
    finally:
        (photos / "cut.jpg").unlink()
    assert [name.rpartition("/")[2] for name in run.not_measured] == ["cut.jpg"]
    assert len(run.skipped) == 1 and "none.jpg" in run.skipped[0]
    assert results_of(tmp_path / "d") == by_path
    assert nowhere.measured == 1 and "127.0.0.1:9" in nowhere.skipped[0]
