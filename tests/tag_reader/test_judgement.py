"""Which reading wins, and what is said where it cannot be told: the rules of the contract, on the reference book."""

from __future__ import annotations

import pytest

from hangtag.tag_reader import Reader, Reading, Tag, read


def numbers(tag: Tag) -> list[tuple[str, float | None, str | None]]:
    return [(its.term, its.value, its.unit) for its in tag.readings if its.value is not None]


def only(tag: Tag) -> Reading:
    assert len(tag.readings) == 1, tag.readings
    return tag.readings[0]


def test_the_tag_of_the_design(reader: Reader) -> None:
    tag = read(reader, "Fly: 15D ripstop nylon, sil/PU, 1200mm. Floor 20D, 1800 mm. Min 2 lb 4 oz")
    assert tag.kind == "tent"
    assert [(its.text, its.term, its.value, its.unit, its.part) for its in tag.readings] == [
        ("15D", "denier", 15.0, "denier", "fly"),
        ("ripstop", "ripstop", None, None, "fly"),
        ("nylon", "nylon", None, None, "fly"),
        ("sil/PU", "coated-fabric-names", None, None, "fly"),
        ("1200mm", "hydrostatic-head", 1200.0, "mmH2O", "fly"),
        ("20D", "denier", 20.0, "denier", "floor"),
        ("1800 mm", "hydrostatic-head", 1800.0, "mmH2O", "floor"),
        ("Min 2 lb 4 oz", "minimum-weight", 2.25, "lb", None),
    ]
    assert tag.unread == ()


def test_ounces_are_cloth_on_a_tarp_and_mass_on_a_pack(reader: Reader) -> None:
    assert numbers(read(reader, "1.1 oz", kind="tarp")) == [("fabric-weight", 1.1, "oz/yd^2")]
    assert numbers(read(reader, "28 oz", kind="pack")) == [("item-weight", 28.0, "oz")]


def test_ounces_that_may_be_either_are_both_named(reader: Reader) -> None:
    its = only(read(reader, "9 oz", kind="tarp"))
    assert {its.term, *(other.term for other in its.also_possible)} == {"item-weight", "fabric-weight"}
    assert all(other.because for other in its.also_possible)


def test_millimetres_beside_drop_are_not_water(reader: Reader) -> None:
    assert numbers(read(reader, "drop 8 mm")) == [("drop", 8.0, "mm")]
    assert numbers(read(reader, "loft 250 mm")) == [("loft", 250.0, "mm")]


def test_ten_k_ten_k_is_head_and_vapour(reader: Reader) -> None:
    tag = read(reader, "10k/10k")
    assert numbers(tag) == [
        ("hydrostatic-head", 10000.0, "mmH2O"),
        ("moisture-vapour-transmission", 10000.0, "g/(m^2*day)"),
    ]
    assert [its.text for its in tag.readings] == ["10k", "10k"]
    assert tag.readings[0].group == tag.readings[1].group is not None


def test_a_bare_temperature_says_that_its_kind_is_unknown(reader: Reader) -> None:
    its = only(read(reader, "20°F"))
    assert (its.term, its.role, its.value, its.unit) == ("temperature-rating", None, 20.0, "degF")
    assert "does not say what kind of rating" in its.because


def test_a_named_temperature_has_its_role(reader: Reader) -> None:
    tag = read(reader, "Comfort 2 / limit -4 C")
    assert [(its.role, its.value, its.unit, its.group) for its in tag.readings] == [
        ("comfort", 2.0, "degC", 0),
        ("limit", -4.0, "degC", 0),
    ]


def test_a_role_without_a_unit_keeps_the_other_unit_as_possible(reader: Reader) -> None:
    its = only(read(reader, "comfort 5"))
    assert (its.value, its.unit) == (5.0, "degC")
    assert [(other.value, other.unit) for other in its.also_possible] == [(5.0, "degF")]


def test_a_number_with_two_values_keeps_both(reader: Reader) -> None:
    its = only(read(reader, "R-value 1.500 or so", kind="pad"))
    assert its.value == 1.5  # 1500 is no R
    both = only(read(reader, "Martindale 1.500 cycles", kind="pack"))
    assert both.value == 1500.0


@pytest.mark.parametrize(
    "text",
    [
        "X20D", "lot 20D7", "Model FX1200", "#20D", "size 42", "EUR 89,90", "$199.95", "31/12/2025", "2024-03-15",
        "8:30",
        "0555 0100", "40 x 30 x 20 cm", "Length 2000 mm", "pole diameter 850 mm", "Wash 20 °C", "Rated 9/10",
        "ISO 4920", f"HH {'9' * 400} mm",
        "up to", "", "   ", "12 May 2024",
    ],
)  # fmt: skip
def test_figures_that_mean_nothing_to_gear_are_left_alone(text: str, reader: Reader) -> None:
    assert read(reader, text).readings == ()


def test_words_may_touch_their_numbers(reader: Reader) -> None:
    found = [(its.term, its.value) for its in read(reader, "PU3000mm, UPF50+, R4.1, 30Dx40D").readings]
    assert found == [
        ("polyurethane-coating", None),
        ("hydrostatic-head", 3000.0),
        ("upf", 50.0),
        ("r-value", 4.1),
        ("denier", 30.0),
        ("denier", 40.0),
    ]


def test_what_is_not_plausible_falls_unless_a_word_names_the_entry(reader: Reader) -> None:
    assert read(reader, "9 mm", kind="tent").readings == ()
    its = only(read(reader, "HH 9 mm", kind="tent"))
    assert (its.term, its.value) == ("hydrostatic-head", 9.0)
    assert "outside" in its.because


@pytest.mark.parametrize(
    ("text", "first", "second"),
    [("torso 43-53 cm", 43.0, 53.0), ("45 – 55 L pack", 45.0, 55.0), ("Ret 6-12", 6.0, 12.0)],
)
def test_the_ends_of_a_range_are_two_readings(text: str, first: float, second: float, reader: Reader) -> None:
    low, high = read(reader, text).readings
    assert (low.value, low.bound, high.value, high.bound) == (first, "at least", second, "at most")
    assert low.group == high.group


def test_the_same_again_is_two_readings_of_one_entry(reader: Reader) -> None:
    tag = read(reader, "Packed weight: 2 lb 4 oz (1.02 kg)")
    assert [(its.term, its.value, its.unit, its.text) for its in tag.readings] == [
        ("packed-weight", 2.25, "lb", "Packed weight: 2 lb 4 oz"),
        ("packed-weight", 1.02, "kg", "1.02 kg"),
    ]
    assert tag.contradictions == ()


def test_an_unknown_kind_is_refused(reader: Reader) -> None:
    with pytest.raises(ValueError, match="spaceship"):
        read(reader, "20D", kind="spaceship")
