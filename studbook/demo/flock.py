"""The story of `story` played into a new book, through the one door, the same rows every time."""

import uuid
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from random import Random

from studbook.book import changes
from studbook.book.opening import create_book
from studbook.book.records import BirdId, MarkKind
from studbook.dates import PartialDate
from studbook.demo import people, story
from studbook.demo.arrivals import buy
from studbook.demo.choosing import plan_choosing
from studbook.demo.chores import plan_chores
from studbook.demo.diary import Diary
from studbook.demo.gathering import plan_gathering
from studbook.demo.hatches import plan_hatches, plan_naming
from studbook.demo.ledger import DUCKS, FOWL, SEED, Ledger
from studbook.demo.partings import leave, plan_partings
from studbook.demo.pens import plan_pens
from studbook.demo.portraits import portrait
from studbook.demo.sittings import plan_sittings
from studbook.demo.trials import plan_trials


def build_flock(path: Path) -> None:
    """Write the sample book to `path`.

    Raises
    ------
    BookUnusable
        If something stands there already.
    """
    diary = Diary(story.BEGUN)
    numbers = Random(SEED)

    def new_id() -> str:
        return str(uuid.UUID(int=numbers.getrandbits(128), version=4))

    with create_book(path, people.DETAILS, clock=diary.now, ids=new_id) as book:
        _plan(Ledger(book, diary))
        diary.play()


def _plan(ledger: Ledger) -> None:
    """Put the whole story into the diary, from the first bird bought to the last remark."""

    def plan(on: str, deed: partial[None]) -> None:
        ledger.diary.plan(date.fromisoformat(on), deed)

    ledger.diary.plan(story.BEGUN, partial(_write_people, ledger))
    for arrived in sorted({bought.arrived for bought in story.FOUNDERS}):
        group = tuple(bought for bought in story.FOUNDERS if bought.arrived == arrived)
        plan(arrived, partial(buy, ledger, group, FOWL))
    plan(story.NEW_COCK.arrived, partial(buy, ledger, (story.NEW_COCK,), FOWL))
    plan(story.CALL_DUCKS[0].arrived, partial(buy, ledger, story.CALL_DUCKS, DUCKS))
    for season in story.SEASONS:
        plan_hatches(ledger, season, FOWL, season.broods)
        plan_hatches(ledger, season, DUCKS, season.ducklings)
        plan_partings(ledger, season)
        plan_naming(ledger, season)
    plan_pens(ledger)
    plan_choosing(ledger)
    plan_trials(ledger)
    plan_gathering(ledger)
    plan_sittings(ledger)
    plan_chores(ledger)
    for leaving in story.LEAVINGS:
        plan(leaving.on, partial(leave, ledger, leaving))
    for remark in story.REMARKS:
        on = PartialDate.parse(remark.on)
        ledger.diary.plan(on.latest, partial(_remark, ledger, remark, on))
    for taken, name, caption in story.PHOTOGRAPHED:
        plan(taken, partial(_photograph, ledger, name, caption))
    plan(story.RERINGED.on, partial(_ring_again, ledger))
    plan(story.RING_CUT_OFF.on, partial(_take_ring_off, ledger, story.RING_CUT_OFF))
    plan(story.MISTAKEN_DAM.on, partial(_mistake_parents, ledger))
    plan(story.MISTAKEN_DAM.seen, partial(_correct_parents, ledger))
    plan(story.ENTERED_TWICE.on, partial(_enter_twice, ledger))


def _write_people(ledger: Ledger) -> None:
    for contact in people.CONTACTS:
        ledger.apply(changes.AddContact(contact))
    for origin in people.ORIGINS:
        ledger.apply(changes.AddOrigin(origin))


def _remark(ledger: Ledger, remark: story.Remark, on: PartialDate) -> None:
    ledger.apply(changes.AddNote(ledger.named[remark.name], on, remark.text))


def _photograph(ledger: Ledger, name: str, caption: str) -> None:
    bird = ledger.bird_named(name)
    drawn = portrait(bird.species, bird.sex, bird.colour, name)
    ledger.apply(
        changes.AddPhoto(
            bird.id, drawn.content, drawn.thumbnail, drawn.width, drawn.height, caption, ledger.today
        )
    )


def _take_ring_off(ledger: Ledger, mishap: story.Mishap) -> None:
    worn = (mark for mark in ledger.bird_named(mishap.name).marks if mark.is_worn)
    ring = next(mark for mark in worn if mark.kind is MarkKind.RING)
    ledger.apply(changes.EditMark(ring, replace(ring, until=ledger.today)), why=mishap.why)


def _ring_again(ledger: Ledger) -> None:
    """A ring is lost; its bird wears the next of the year from today."""
    bird = ledger.bird_named(story.RERINGED.name)
    _take_ring_off(ledger, story.RERINGED)
    season = next(season for season in story.SEASONS if season.year == ledger.diary.today.year)
    ring = ledger.next_ring(FOWL, bird.sex, season.year, season.ring_colour)
    ledger.apply(changes.AddMarks(((bird.id, ring),)))


def _mistake_parents(ledger: Ledger) -> None:
    mistake = story.MISTAKEN_DAM
    ledger.apply(changes.SetParents(ledger.named[mistake.name], ledger.pairs(mistake.wrong)))


def _correct_parents(ledger: Ledger) -> None:
    mistake = story.MISTAKEN_DAM
    change = changes.SetParents(ledger.named[mistake.name], ledger.pairs(mistake.right))
    ledger.apply(change, why=mistake.why)


def _enter_twice(ledger: Ledger) -> None:
    """A chick that was registered with its hatch is entered on its own as well, and struck out again."""
    twice = story.ENTERED_TWICE
    again = replace(ledger.bird_named(twice.name), id=BirdId(ledger.book.new_id()), marks=())
    ledger.apply(changes.AddBirds((again,)))
    ledger.apply(changes.StrikeOut((again.id,), twice.why))
