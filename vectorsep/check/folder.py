"""The folder around the films: what is gone, what is too many, what is no longer what its report was written of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from vectorsep.check.whereabouts import Whereabouts
from vectorsep.model import Finding

REGISTRATION = "registration_mm"
"""The setting that may be another when films are checked."""
OTHER_TOLERANCE = ", and give another tolerance with --registration, not in the report"


@dataclass(frozen=True, slots=True)
class FolderState:
    """What became of a folder's files since its report was written: names of files, each in one place at most.

    Films are the SVG files that the report lists as plates; papers, the PDF files that it lists. Both are burnt.
    """

    films_missing: tuple[str, ...] = ()
    films_edited: tuple[str, ...] = ()
    papers_missing: tuple[str, ...] = ()
    papers_changed: tuple[str, ...] = ()
    papers_kept: tuple[str, ...] = ()
    """Papers as they were written."""
    unlisted: tuple[str, ...] = ()
    """Files that could be taken for films or papers, which the report does not list as such."""
    renamed: tuple[tuple[str, str], ...] = ()
    """Films and papers that lie under another name as they were written, each with that name."""
    sheets_changed: tuple[str, ...] = ()
    """What the crew reads, and nobody burns, and is not as it was written."""
    copies: tuple[tuple[str, str], ...] = ()
    """Names under which a copy of a film or paper lies that has a place of its own, each with that film or paper."""


def folder_state(
    plates: Sequence[str], papers: Sequence[str], unlisted: Sequence[str], whereabouts: Whereabouts
) -> FolderState:
    """What became of films and papers, given by the names the report has for them, and of what it does not list."""
    gone = [file for file in (*plates, *papers) if whereabouts.place_of(file) is None]
    renamed, copies = whereabouts.renamed, whereabouts.copies
    kept = [file for file in (*plates, *papers) if whereabouts.is_as_written(file)]
    changed = {*plates, *papers}.difference(gone, kept, (file for file, _ in renamed))
    known = {name for _, name in renamed} | {name for name, _ in copies}
    return FolderState(
        films_missing=tuple(file for file in plates if file in gone),
        films_edited=tuple(file for file in plates if file in changed),
        papers_missing=tuple(file for file in papers if file in gone),
        papers_changed=tuple(file for file in papers if file in changed),
        papers_kept=tuple(file for file in papers if file in kept),
        unlisted=tuple(name for name in unlisted if name not in known),
        renamed=renamed,
        copies=copies,
    )


def folder_findings(state: FolderState) -> Iterator[Finding]:
    """Findings for everything in a folder that could be burnt without having been checked, and a note of edits.

    Only films are measured. A paper shows them as they were written: once a film is edited, a paper that is still
    there shows another set than the one that was checked. A paper that is gone is no risk, whether films were edited or
    not: nobody burns what is not there, and no film of the stack is lost with it. So it is a note.
    """
    for file, name in state.renamed:
        message = f"{file} lies in the folder under the name {name}: name it {file} again"
        yield Finding("film-renamed", "unsafe", file, message)
    yield from _missing_findings(state)
    yield from _copy_findings(state)
    for file in state.unlisted:
        message = f"{file} is not in the report, so it was not checked; move it away"
        yield Finding("film-unlisted", "unsafe", file, message)
    yield from _paper_findings(state)
    for file in state.sheets_changed:
        message = f"{file} is not as it was written, and what it says was not checked: make it again with separate"
        yield Finding("sheet-changed", "warning", None, message)
    if state.films_edited:
        message = f"edited since the folder was written: {', '.join(state.films_edited)}"
        yield Finding("film-edited", "note", None, message)


def _missing_findings(state: FolderState) -> Iterator[Finding]:
    """Films that are gone. One that was edited and renamed is not known again by its bytes: the user may know it."""
    copies, instead = dict(state.copies), ", or name the film that stands for it so again" if state.unlisted else ""
    for file in state.films_missing:
        if file in copies:
            message = f"{file} holds the same as {copies[file]}, and its own film is gone: put it back{instead}"
        else:
            message = f"{file} is listed in the report but not in the folder: put it back{instead}"
        yield Finding("film-missing", "unsafe", file, f"{message}, or separate again")


def _copy_findings(state: FolderState) -> Iterator[Finding]:
    """Copies beside the films and papers, which would be burnt twice."""
    for name, file in state.copies:
        if name not in state.films_missing:
            listed = "holds" if name in state.papers_missing else "is not in the report, but"
            yield Finding("film-unlisted", "unsafe", name, f"{name} {listed} the same as {file}: delete it")


def _paper_findings(state: FolderState) -> Iterator[Finding]:
    for file in state.papers_changed:
        message = (
            f"{file} is not as it was written, and it is not what was checked: delete it and burn the films "
            "themselves, or make it again with separate"
        )
        yield Finding("paper-changed", "unsafe", file, message)
    for file in (file for file in state.papers_missing if file not in dict(state.copies)):
        message = f"{file} is listed in the report but not in the folder: burn the films themselves"
        yield Finding("paper-missing", "note", file, message)
    for file in state.papers_kept if state.films_edited else ():
        message = (
            f"{file} shows the films as they were before they were edited, and it is not what was checked: "
            "delete it and burn the films themselves, or separate again, without the edits"
        )
        yield Finding("paper-stale", "unsafe", file, message)


def settings_findings(changed: Sequence[str]) -> Iterator[Finding]:
    """An unsafe finding for settings of the report that are not those its plates were made with.

    What they were is not known, so nothing can be measured by the stricter of the two; to call films safe by a number
    that somebody wrote into the report would be to take his word for it.
    """
    if changed:
        value = "value is" if len(changed) == 1 else "values are"
        message = (
            f"{', '.join(changed)}: the report's {value} not what the plates were made with; restore the report or "
            f"separate again{OTHER_TOLERANCE if REGISTRATION in changed else ''}"
        )
        yield Finding("settings-changed", "unsafe", None, message)
