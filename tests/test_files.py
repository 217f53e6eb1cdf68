"""The disk: whole folders or nothing, nothing of anybody's is lost."""

import os
import re
from pathlib import Path

import pytest

from vectorsep.api import read_design
from vectorsep.errors import FolderError
from vectorsep.files import read_file, read_source
from vectorsep.writing import write_file, write_folder

REPORT = "stacking-report.json"


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_a_folder_is_written_whole(tmp_path):
    out = tmp_path / "deep" / "plates"
    write_folder(out, {"01.svg": b"one", "02.svg": b"two"}, replace=False)
    assert names(out) == ["01.svg", "02.svg"]
    assert names(out.parent) == ["plates"]


def test_a_write_that_fails_leaves_nothing(tmp_path):
    with pytest.raises(FolderError, match="nothing was written"):
        write_folder(tmp_path / "plates", {"fine.svg": b"", "no/such/folder.svg": b""}, replace=False)
    assert names(tmp_path) == []


def test_a_replacement_that_fails_leaves_the_old_folder(tmp_path, finished_folder):
    before = {path.name: path.read_bytes() for path in finished_folder.iterdir()}
    with pytest.raises(FolderError, match="nothing was written"):
        write_folder(finished_folder, {"no/such/folder.svg": b""}, replace=True)
    assert {path.name: path.read_bytes() for path in finished_folder.iterdir()} == before


def test_a_folder_with_something_in_it_is_kept(tmp_path):
    (tmp_path / "letter.txt").write_text("mine")
    with pytest.raises(FolderError, match="not empty"):
        write_folder(tmp_path, {"a.svg": b""}, replace=False)
    with pytest.raises(FolderError, match="not a folder of plates"):
        write_folder(tmp_path, {"a.svg": b""}, replace=True)
    assert names(tmp_path) == ["letter.txt"]


def test_a_folder_below_a_file_is_told_with_a_remedy(tmp_path):
    (tmp_path / "art.svg").write_text("mine")
    for folder in (tmp_path / "art.svg", tmp_path / "art.svg" / "x", tmp_path / "art.svg" / "x" / "y"):
        with pytest.raises(FolderError, match=r"art\.svg: is a file, .*; give a folder"):
            write_folder(folder, {"a.svg": b""}, replace=False)


def test_the_switch_is_told_only_where_it_helps(finished_folder):
    with pytest.raises(FolderError, match="--replace"):
        write_folder(finished_folder, {"a.svg": b""}, replace=False)
    (finished_folder / "notes.txt").write_text("mine")
    with pytest.raises(FolderError) as without:
        write_folder(finished_folder, {"a.svg": b""}, replace=False)
    with pytest.raises(FolderError) as with_it:
        write_folder(finished_folder, {"a.svg": b""}, replace=True)
    assert str(without.value) == str(with_it.value)


def test_only_what_the_program_wrote_is_replaced(finished_folder):
    (finished_folder / "notes.txt").write_text("mine")
    with pytest.raises(FolderError, match=r"notes\.txt"):
        write_folder(finished_folder, {"a.svg": b""}, replace=True)
    (finished_folder / "notes.txt").unlink()
    write_folder(finished_folder, {"a.svg": b""}, replace=True)
    assert names(finished_folder) == ["a.svg"]
    assert names(finished_folder.parent) == ["plates"]


def test_a_film_changed_by_hand_is_not_replaced(finished_folder):
    film = finished_folder / "02-white.svg"
    film.write_bytes(film.read_bytes() + b"<!-- touched up -->")
    with pytest.raises(FolderError, match=r"02-white\.svg was changed by hand"):
        write_folder(finished_folder, {"a.svg": b""}, replace=True)
    assert b"touched up" in film.read_bytes()


@pytest.mark.parametrize(
    ("films", "strange", "told"),
    [
        (["01-blocker.svg", "02-white.svg"], [], "01-blocker.svg, 02-white.svg were changed by hand; move them away"),
        ([], ["a.txt"], "also holds a.txt; move it away"),
        ([], ["a.txt", "b.txt"], "also holds a.txt, b.txt; move them away"),
    ],
)
def test_what_is_kept_is_told_in_its_number(finished_folder, films, strange, told):
    for name in (*films, *strange):
        (finished_folder / name).write_text("mine")
    with pytest.raises(FolderError, match=re.escape(told)):
        write_folder(finished_folder, {"a.svg": b""}, replace=True)


@pytest.mark.parametrize("stopped_by", [OSError("no"), KeyboardInterrupt()], ids=["refused", "interrupted"])
def test_a_swap_that_is_stopped_half_way_is_undone(finished_folder, monkeypatch, stopped_by):
    before = names(finished_folder)
    rename = Path.rename

    def stopping(self, target):
        if self.name == "new":
            raise stopped_by
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", stopping)
    with pytest.raises((FolderError, KeyboardInterrupt)):
        write_folder(finished_folder, {"a.svg": b""}, replace=True)
    assert names(finished_folder) == before


@pytest.mark.parametrize(("stopped", "stands"), [("plates", "old"), ("new", "fresh")])
def test_an_interrupt_just_after_a_rename_loses_no_folder(finished_folder, monkeypatch, stopped, stands):
    """A signal that comes during a call is raised when it returns (Python's signal module, Execution of handlers)."""
    plates = finished_folder.rename(finished_folder.with_name("plates"))
    before, rename, heard = names(plates), Path.rename, []

    def interrupted(self, target):
        rename(self, target)
        if self.name == stopped and not heard:
            heard.append(self)
            raise KeyboardInterrupt

    monkeypatch.setattr(Path, "rename", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_folder(plates, {"a.svg": b""}, replace=True)
    assert names(plates) == {"old": before, "fresh": ["a.svg"]}[stands]


@pytest.mark.parametrize("moment", ["write_bytes", "rename"], ids=["files are written", "folder is swapped in"])
@pytest.mark.parametrize("stood", [False, True], ids=["nothing", "an empty folder"])
def test_what_another_run_wrote_meanwhile_is_kept(tmp_path, monkeypatch, moment, stood):
    plates, before = tmp_path / "plates", getattr(Path, moment)
    if stood:
        plates.mkdir()

    def overtaken(self, *args):
        if not (plates / "theirs.svg").exists() and self.is_relative_to(tmp_path):
            plates.mkdir(exist_ok=True)
            (plates / "theirs.svg").touch()
        return before(self, *args)

    monkeypatch.setattr(Path, moment, overtaken)
    with pytest.raises(FolderError, match="not empty"):
        write_folder(plates, {"ours.svg": b"ours"}, replace=False)
    assert names(plates) == ["theirs.svg"]
    assert names(tmp_path) == ["plates"]


def test_a_film_edited_while_the_folder_is_made_anew_is_kept(finished_folder, monkeypatch):
    film, write = next(finished_folder.glob("*white*.svg")), Path.write_bytes

    def edited(self, content):
        film.write_text("mine")
        return write(self, content)

    monkeypatch.setattr(Path, "write_bytes", edited)
    with pytest.raises(FolderError, match="changed by hand"):
        write_folder(finished_folder, {"a.svg": b""}, replace=True)
    assert film.read_text() == "mine"


def test_a_link_to_a_folder_stays_a_link(finished_folder, tmp_path):
    link = tmp_path / "link"
    link.symlink_to(finished_folder)
    write_folder(link, {"a.svg": b""}, replace=True)
    assert link.is_symlink()
    assert names(finished_folder) == ["a.svg"]


def test_a_single_file_is_written_whole_or_not_at_all(tmp_path):
    write_file(tmp_path / "chart.svg", b"one")
    assert (tmp_path / "chart.svg").stat().st_mode & 0o444 == 0o444 & ~_umask()
    (tmp_path / "taken").mkdir()
    with pytest.raises(FolderError, match="nothing was written"):
        write_file(tmp_path / "taken", b"two")
    assert names(tmp_path) == ["chart.svg", "taken"]


def test_a_single_file_may_have_the_longest_name(tmp_path):
    name = "x" * os.pathconf(tmp_path, "PC_NAME_MAX")
    write_file(tmp_path / name, b"one")
    assert names(tmp_path) == [name]


def _umask():
    mask = os.umask(0)
    os.umask(mask)
    return mask


@pytest.mark.parametrize("name", ["x" * 300, "nul\0l"])
def test_names_that_the_system_cannot_take_are_told(tmp_path, name):
    with pytest.raises(FolderError):
        write_folder(tmp_path / name, {"a.svg": b""}, replace=False)
    with pytest.raises(FolderError):
        read_file(tmp_path / name)


def test_an_empty_folder_is_filled(tmp_path):
    out = tmp_path / "plates"
    out.mkdir()
    write_folder(out, {"a.svg": b""}, replace=False)
    assert names(out) == ["a.svg"]


def test_a_missing_file_is_told_by_name(tmp_path):
    with pytest.raises(FolderError, match=r"nowhere\.svg.*check the name"):
        read_file(tmp_path / "nowhere.svg")


def test_a_source_is_a_path_text_or_bytes(tmp_path):
    art = tmp_path / "art.svg"
    art.write_bytes(b"<svg/>")
    assert read_source(art) == read_source(str(art)) == read_source("<svg/>") == read_source(b"<svg/>") == b"<svg/>"


@pytest.mark.parametrize("encoding", ["utf-16", "windows-1251", "us-ascii"])
def test_a_text_is_read_as_it_stands_whatever_encoding_it_declares(encoding):
    # XML 1.0, 4.3.3: a declaration names the encoding of bytes; text that was decoded no longer has that one.
    drawing = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">\n<path id="жук" d="M0 0H9V9 oops"/></svg>'
    declared = f'<?xml version="1.0" encoding="{encoding}"?>{drawing}'
    [notice] = [notice for notice in read_design(declared).notices if notice.code == "path-cut-short"]
    assert notice.message.startswith('<path id="жук"> at line 2')
