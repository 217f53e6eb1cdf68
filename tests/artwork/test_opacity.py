"""Partial opacity over known art: mixed on request, exactly; refused over bare cloth."""

import pytest
import shapely
from rendered import in_pixels, painted_svg, rendered
from svg import drawing, shapes_of

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError, SettingsError
from vectorsep.settings import ReadOptions, Settings

GROUND = '<rect width="100" height="100" fill="gold"/>'
MIX = ReadOptions(flatten_opacity=True)
DRAWINGS = {
    "fill": GROUND + '<circle cx="50" cy="50" r="30" fill="blue" fill-opacity=".5"/>',
    "stroke over its own fill": GROUND + '<rect x="20" y="20" width="50" height="50" fill="red" stroke="#00f8" '
    'stroke-width="14"/>',
    "group": GROUND + '<g opacity=".6"><rect x="10" y="10" width="50" height="50" fill="red"/><circle cx="60" cy="60" '
    'r="25" fill="green"/></g>',
    "tint in a group": GROUND + '<g opacity=".7"><rect x="10" y="10" width="50" height="50" fill="red" opacity=".5"/>'
    '<circle cx="60" cy="60" r="25" fill="green" opacity=".5"/></g>',
    "over an edge": '<rect width="50" height="100" fill="red"/><rect x="50" width="50" height="100" fill="lime"/>'
    '<circle cx="50" cy="50" r="30" opacity=".25"/>',
    "hidden after": GROUND + '<circle cx="50" cy="50" r="30" opacity=".5"/><rect x="40" y="40" width="60" height="20" '
    'fill="white"/>',
}  # fmt: skip


@pytest.mark.parametrize("name", DRAWINGS)
def test_mixed_colours_are_those_of_the_renderer(name):
    data = drawing(DRAWINGS[name])
    reference = rendered(in_pixels(data))
    artwork = read_artwork(data, MIX)
    assert all(shape.opacity == 1 for shape in artwork.shapes)
    differing = (abs(rendered(painted_svg(artwork, 300, 300)) - reference).max(axis=2) > 2).mean()
    assert differing < 0.01  # edges only: anti-aliasing of neighbouring areas


def test_the_new_colours_are_named():
    [notice] = read_artwork(drawing(DRAWINGS["fill"]), MIX).notices
    assert notice.code == "opacity-flattened"
    assert "#806c80" in notice.message  # half of #0000ff on #ffd700, CSS Compositing 1, 5.1


def test_the_mixed_area_is_exact():
    shapes = shapes_of('<rect width="50" height="50" fill="red"/><rect width="10" height="10" fill-opacity=".5"/>',
                       flatten_opacity=True)  # fmt: skip
    assert [(shape.hex, shape.area.area) for shape in shapes] == [("#ff0000", 2500), ("#800000", 100)]


def test_a_tint_over_bare_cloth_is_refused():
    body = '<rect width="50" height="50" fill="red"/><rect id="t" x="45" width="10" height="10" opacity=".5"/>'
    with pytest.raises(ArtworkError, match="bare cloth") as caught:
        read_artwork(drawing(body), MIX)
    assert [offence.place.id for offence in caught.value.offences] == ["t"]
    skipped = read_artwork(drawing(body), ReadOptions(flatten_opacity=True, skip_unprintable=True))
    assert [shape.hex for shape in skipped.shapes] == ["#ff0000"]
    assert any('id="t"' in notice.message for notice in skipped.notices)


def test_a_tint_exactly_on_its_ground_is_not_over_cloth():
    body = '<circle cx="50" cy="50" r="30" fill="red"/><circle cx="50" cy="50" r="30" opacity=".5"/>'
    top = shapes_of(body, flatten_opacity=True)[-1]
    assert top.hex == "#800000"
    assert shapely.area(top.area) == pytest.approx(3.14159265 * 900, rel=1e-3)


SLIPS = {
    "fill": GROUND + '<circle cx="50" cy="50" r="30" fill="blue" fill-opacity=".996"/>',
    "stroke by alpha": GROUND + '<path d="M10 50h80" stroke="#5a00a0fd" stroke-width="20"/>',
    "group": GROUND + '<g opacity=".99"><rect x="10" y="10" width="50" height="50" fill="red"/></g>',
}


@pytest.mark.parametrize("mixes", [False, True])
@pytest.mark.parametrize("name", SLIPS)
def test_what_is_all_but_opaque_prints_in_full(name, mixes):
    data = drawing(SLIPS[name])
    artwork = read_artwork(data, ReadOptions(flatten_opacity=mixes))
    assert len(artwork.shapes) == 2
    assert all(shape.opacity == 1 for shape in artwork.shapes)
    [notice] = artwork.notices
    assert (notice.code, notice.severity) == ("nearly-opaque", "note")
    differing = (abs(rendered(painted_svg(artwork, 300, 300)) - rendered(in_pixels(data))).max(axis=2) > 3).mean()
    assert differing < 0.01  # edges only, and no renderer's flat colour by more than 3 of 255


@pytest.mark.parametrize("options", [ReadOptions(as_film=True), ReadOptions()])
def test_a_tint_beyond_that_and_any_on_a_film_is_refused(options):
    share = ".99" if options.as_film else ".98"
    with pytest.raises(ArtworkError, match="% opacity is a tint"):
        read_artwork(drawing(f'<rect width="9" height="9" fill-opacity="{share}"/>'), options)


@pytest.mark.parametrize("name", ["over an edge", "tint in a group", "fill", "group"])
def test_tints_over_bare_cloth_mixed_with_white_are_as_the_renderer_shows_them_on_a_white_page(name):
    data = drawing(DRAWINGS[name].replace(GROUND, ""))
    artwork = read_artwork(data, ReadOptions(tints_on="#ffffff"))
    assert all(shape.opacity == 1 for shape in artwork.shapes)
    differing = (abs(rendered(painted_svg(artwork, 300, 300)) - rendered(in_pixels(data))).max(axis=2) > 2).mean()
    assert differing < 0.01


def test_over_cloth_they_are_mixed_with_the_colour_that_the_job_names():
    body = '<rect width="50" height="50" fill="red"/><rect x="45" width="10" height="10" fill="black" opacity=".5"/>'
    shapes = shapes_of(body, tints_on="#0000ff")
    assert [(shape.hex, shape.area.area) for shape in shapes] == [("#ff0000", 2500), ("#800000", 50), ("#000080", 50)]
    [notice] = read_artwork(drawing(body), ReadOptions(tints_on="#0000ff")).notices
    assert "the art below, and over bare cloth with #0000ff, into flat colours" in notice.message


def test_what_is_no_colour_to_mix_tints_with_is_told():
    with pytest.raises(SettingsError, match=r"'white' is no colour: write it as #rrggbb @ art.tints_on"):
        Settings(art=ReadOptions(tints_on="white"))
