"""The sample flock is a likely one, and everything it is meant to show is there."""

from collections import Counter

import pytest

from studbook.book.door import Book
from studbook.book.opening import SAMPLE_TODAY
from studbook.book.records import Bird, MarkKind, Sex, Snapshot, Status
from studbook.book.relatedness import Relatedness
from studbook.demo import story
from studbook.demo.plumage import Plumage, colours_of
from studbook.papers.content import CertificateOptions, certificate_checksum, certificate_content
from studbook.season.species import species


def named(flock: Snapshot, name: str) -> Bird:
    """The bird of this name."""
    return next(bird for bird in flock.birds if bird.name == name)


def fowl(flock: Snapshot) -> list[Bird]:
    """The birds of the larger flock that are known as birds."""
    return [bird for bird in flock.birds if bird.species == "chicken" and not bird.placeholder]


def test_it_is_a_sample_and_has_the_size_of_one_flock(flock: Snapshot) -> None:
    assert flock.details.sample
    assert 300 <= len(flock.birds) <= 360
    assert 18 <= len(flock.living) <= 28
    years = {bird.hatched.year for bird in flock.birds if bird.hatched.is_known}
    assert years == set(range(2017, 2027))


def test_nothing_is_wrong_with_it(committed: Book) -> None:
    problems = committed.check()
    assert not [problem.message for problem in problems if problem.is_error]
    # one founder is known by her year alone
    assert [problem.birds[0] for problem in problems] == ["W17-11"]


@pytest.mark.parametrize("season", story.SEASONS, ids=lambda season: str(season.year))
def test_each_spring_has_one_to_three_cocks_and_nine_to_fourteen_hens(
    flock: Snapshot, season: story.Season
) -> None:
    spring = f"{season.year}-03-20"
    grown = [
        bird
        for bird in fowl(flock)
        if bird.name
        and (bird.hatched.year or 0) < season.year
        and (bird.arrived is None or str(bird.arrived) < spring)
        and (bird.is_living or str(bird.left) > spring)
    ]
    sexes = Counter(bird.sex for bird in grown)
    assert 1 <= sexes[Sex.COCK] <= 3
    assert 9 <= sexes[Sex.HEN] <= 14


def test_colours_obey_the_blue_factor(flock: Snapshot) -> None:
    judged = 0
    for chick in fowl(flock):
        possible: set[Plumage] = set()
        for pair in chick.pairs:
            parents = [flock.bird(parent) if parent else None for parent in (pair.sire, pair.dam)]
            if any(parent is not None and parent.placeholder for parent in parents):
                break
            possible |= colours_of(*(Plumage(parent.colour) if parent else None for parent in parents))
        else:
            if chick.pairs:
                judged += 1
                assert chick.colour in possible, f"{chick.called} is {chick.colour}"
    assert judged > 250


def test_sexes_are_about_even(flock: Snapshot) -> None:
    sexes = Counter(bird.sex for bird in fowl(flock) if bird.pairs)
    known = sexes[Sex.COCK] + sexes[Sex.HEN]
    assert 0.42 < sexes[Sex.COCK] / known < 0.58


def test_only_birds_that_stayed_have_names(flock: Snapshot) -> None:
    home = [bird for bird in fowl(flock) if bird.origin is None]
    kept = {name for season in story.SEASONS for brood in season.broods for name in brood.keeps.split()}
    assert {bird.name for bird in home if bird.name} == kept


def test_no_two_living_birds_wear_one_ring(flock: Snapshot) -> None:
    worn = Counter(
        mark.code for bird in flock.living for mark in bird.marks if mark.is_worn and mark.kind.is_own
    )
    assert max(worn.values()) == 1


def test_founders_come_from_their_yards_and_two_are_full_sibs(flock: Snapshot) -> None:
    yards = {origin.id: origin.name for origin in flock.origins}
    bought = [bird for bird in fowl(flock) if bird.origin]
    assert {yards[bird.origin] for bird in bought if bird.hatched.year == 2017 and bird.origin} == {
        "Alder Yard",
        "Larkfold",
        "Marlcote",
    }
    hawthorn, hazel = named(flock, "Hawthorn"), named(flock, "Hazel")
    assert hawthorn.pairs
    assert (hawthorn.sire, hawthorn.dam) == (hazel.sire, hazel.dam)
    assert all(flock.bird(parent).placeholder for parent in (*hazel.sires, *hazel.dams))
    tees = named(flock, "Tees")
    assert tees.origin
    assert yards[tees.origin] == "Saltmoor"
    assert (tees.arrived or tees.hatched).year == 2021
    assert min(flock.bird(chick).hatched.year or 0 for chick in flock.offspring[tees.id]) == 2022


def test_two_cocks_in_one_pen_leave_the_sire_in_doubt(flock: Snapshot) -> None:
    dart, lune = named(flock, "Dart").id, named(flock, "Lune").id
    doubtful = [bird for bird in fowl(flock) if set(bird.sires) == {dart, lune}]
    assert len(doubtful) > 10
    for bird in doubtful:
        assert bird.sire is None
        assert bird.dam is not None
        assert sorted(pair.weight for pair in bird.pairs) == [0.4, 0.6]


def test_eggs_of_two_pens_are_two_pairs_and_not_four(flock: Snapshot) -> None:
    mixed = [bird for bird in fowl(flock) if len(bird.sires) == len(bird.dams) == 2]
    assert mixed
    assert all(len(bird.pairs) == 2 for bird in mixed)


def test_a_hatch_has_unknown_dams(flock: Snapshot) -> None:
    foxglove = named(flock, "Foxglove")
    assert foxglove.sire is not None
    assert foxglove.dams == ()
    assert foxglove.is_living
    assert not foxglove.is_founder


def test_a_broody_reared_chicks_that_were_not_hers(flock: Snapshot) -> None:
    cicely, eyebright = named(flock, "Cicely"), named(flock, "Eyebright")
    assert eyebright.rearer == cicely.id
    assert eyebright.dam == named(flock, "Medlar").id


def test_the_fox_came_in_one_month(flock: Snapshot) -> None:
    taken = [bird for bird in fowl(flock) if bird.cause == "fox"]
    assert len(taken) >= 12
    assert {(bird.left.year, bird.left.month) for bird in taken} == {(2021, 6)}


def test_the_call_ducks_are_a_second_small_flock(flock: Snapshot) -> None:
    ducks = [bird for bird in flock.living if bird.species == "duck"]
    assert 4 <= len(ducks) <= 6
    called = {species("duck").what_called(bird.sex, bird.hatched, SAMPLE_TODAY) for bird in ducks}
    assert {"drake", "duck"} <= called


def test_certificates_run_in_series_and_say_what_the_book_says(flock: Snapshot) -> None:
    assert len(flock.certificates) > 15
    by_year = Counter(certificate.issued.year for certificate in flock.certificates)
    numbers = {certificate.number for certificate in flock.certificates}
    assert numbers == {f"{year}-{n:03d}" for year, count in by_year.items() for n in range(1, count + 1)}
    for certificate in flock.certificates:
        bird = flock.bird(certificate.bird)
        taker = flock.contact(bird.taker)
        assert bird.status is Status.SOLD
        assert taker
        assert taker.name == certificate.owner
    last = max(flock.certificates, key=lambda certificate: certificate.issued)
    content = certificate_content(
        flock, Relatedness(flock), last.bird, CertificateOptions(), last.issued, last.number, last.owner
    )
    assert certificate_checksum(content) == last.checksum


def test_marks_have_a_history(flock: Snapshot) -> None:
    celandine = named(flock, "Celandine")
    rings = [mark for mark in celandine.marks if mark.kind is MarkKind.RING]
    assert [ring.is_worn for ring in rings] == [False, True]
    assert rings[0].code.startswith("W19-")
    assert rings[1].code.startswith("W21-")
    assert any(mark.kind is MarkKind.TOE_PUNCH for mark in celandine.marks)
    otter = named(flock, "Otter")
    provisional = next(mark for mark in otter.marks if mark.kind is MarkKind.RING_COLOUR)
    assert not provisional.is_worn
    assert otter.mark.startswith("W26-")
    assert named(flock, "Guelder").mark == ""


def test_some_dates_are_only_about_right(flock: Snapshot) -> None:
    assert str(named(flock, "Mallow").hatched) == "2019-05~"
    assert str(named(flock, "Spindle").hatched) == "2017-05~"


def test_birds_left_in_every_way_and_one_was_struck_out(flock: Snapshot) -> None:
    assert {bird.status for bird in flock.birds} == set(Status)
    assert [bird.struck for bird in flock.struck] == [story.ENTERED_TWICE.why]


def test_inbreeding_rose_and_the_bought_cock_pushed_it_back(flock: Snapshot) -> None:
    relatedness = Relatedness(flock)

    def mean(birds: list[Bird]) -> float:
        return float(sum(relatedness.inbreeding[flock.rows[bird.id]] for bird in birds) / len(birds))

    by_year = {
        year: mean([bird for bird in fowl(flock) if bird.hatched.year == year]) for year in range(2018, 2027)
    }
    assert by_year[2018] == 0
    assert by_year[2022] < by_year[2021] < by_year[2026]
    assert 0.05 < mean([bird for bird in flock.living if bird.species == "chicken"]) < 0.12


def test_the_next_season_offers_good_pairs_and_close_ones(flock: Snapshot) -> None:
    birds = [bird for bird in flock.living if bird.species == "chicken"]
    cocks = [bird.id for bird in birds if bird.sex is Sex.COCK]
    hens = [bird.id for bird in birds if bird.sex is Sex.HEN]
    kinship = Relatedness(flock).kinship(cocks, hens)
    assert kinship.min() < 0.09
    assert kinship.max() > 0.3


def test_every_portrait_opens_as_a_picture(committed: Book, flock: Snapshot) -> None:
    assert 12 <= len(flock.photos) <= 16
    for photo in flock.photos:
        content = committed.photo(photo.sha256)
        assert content.startswith(b"\x89PNG\r\n\x1a\n")
        assert int.from_bytes(content[16:20], "big") == photo.width
        assert len(committed.thumbnail(photo.sha256)) < len(content)
