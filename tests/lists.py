"""Lists of birds as breeders send them, made without any of the program's own code.

A flock is bred here from a few founders, season by season, with a seeded generator; its true parents are
known, so that what an import says can be compared with what was bred.
"""

import csv
import io
import random
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path

HEADINGS = ("mark", "name", "sex", "hatched", "sire", "dam", "colour", "status", "left", "note")

_COCK_NAMES = (
    "Avon",
    "Brue",
    "Cale",
    "Derwent",
    "Exe",
    "Frome",
    "Goyt",
    "Humber",
    "Irwell",
    "Kennet",
    "Lune",
)
_HEN_NAMES = ("Bramble", "Sloe", "Teasel", "Yarrow", "Dogrose", "Bryony", "Campion", "Hazel", "Ivy", "Vetch")
_COLOURS = ("blue", "black", "splash")


@dataclass(frozen=True)
class ListedBird:
    """One line of a list; `sire` and `dam` are marks, empty for a founder."""

    mark: str
    name: str
    sex: str
    hatched: date
    sire: str = ""
    dam: str = ""
    colour: str = "blue"
    status: str = "living"
    left: str = ""
    note: str = ""

    def cells(self) -> dict[str, str]:
        """The line under the headings of `HEADINGS`."""
        return {name: str(getattr(self, name)) for name in HEADINGS}


def bred_flock(
    count: int, seed: int = 1, *, first_year: int = 2005, hatched_per_year: int = 40
) -> list[ListedBird]:
    """`count` birds, parents before chicks: eight founders, then seasons with a few cocks and a dozen hens."""
    rng = random.Random(seed)
    flock: list[ListedBird] = []
    for number in range(min(8, count)):
        sex = "cock" if number < 3 else "hen"
        day = date(first_year, 3, 1) + timedelta(days=rng.randrange(60))
        flock.append(_bird(rng, f"F{first_year % 100:02d}-{number + 1:02d}", sex, day))
    year = first_year
    while len(flock) < count:
        year += 1
        old_enough = [bird for bird in flock if year - 4 <= bird.hatched.year < year]
        cocks = [bird for bird in old_enough if bird.sex == "cock"]
        hens = [bird for bird in old_enough if bird.sex == "hen"]
        cocks = rng.sample(cocks, min(3, len(cocks)))
        hens = rng.sample(hens, min(12, len(hens)))
        for number in range(min(hatched_per_year, count - len(flock))):
            sex = "cock" if number % 3 == 0 else "hen"
            day = date(year, 4, 1) + timedelta(days=rng.randrange(70))
            bird = _bird(rng, f"W{year % 100:02d}-{number + 1:03d}", sex, day)
            flock.append(replace(bird, sire=rng.choice(cocks).mark, dam=rng.choice(hens).mark))
    return flock


def _bird(rng: random.Random, mark: str, sex: str, hatched: date) -> ListedBird:
    name = rng.choice(_COCK_NAMES if sex == "cock" else _HEN_NAMES)
    return ListedBird(mark, name, sex, hatched, colour=rng.choice(_COLOURS))


def shuffled(birds: list[ListedBird], seed: int = 1) -> list[ListedBird]:
    """The same birds in another order."""
    return random.Random(seed).sample(birds, len(birds))


def list_text(birds: list[ListedBird], delimiter: str = ",", headings: tuple[str, ...] = HEADINGS) -> str:
    """The birds as CSV text."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter)
    writer.writerow(headings)
    for bird in birds:
        cells = bird.cells()
        writer.writerow(cells[name] for name in headings)
    return text.getvalue()


def write_list(
    path: Path, birds: list[ListedBird], delimiter: str = ";", encoding: str = "utf-8-sig"
) -> Path:
    """Write the birds as a breeder's spreadsheet would: semicolons and a byte-order mark by default."""
    path.write_bytes(list_text(birds, delimiter).encode(encoding))
    return path


def with_loop(birds: list[ListedBird]) -> list[ListedBird]:
    """The list with one founder cock made the son of one of his own late descendants."""
    by_mark = {bird.mark: bird for bird in birds}
    founder = next(
        bird for bird in birds if not bird.sire and bird.sex == "cock" and _descendants(birds, bird.mark)
    )
    line = _descendants(birds, founder.mark)
    cocks = [mark for mark in line if by_mark[mark].sex == "cock"]
    return [replace(bird, sire=cocks[-1]) if bird.mark == founder.mark else bird for bird in birds]


def with_hen_as_sire(birds: list[ListedBird]) -> list[ListedBird]:
    """The list with the last chick's dam entered as its sire too."""
    chick = next(bird for bird in reversed(birds) if bird.sire)
    return [replace(bird, sire=bird.dam) if bird.mark == chick.mark else bird for bird in birds]


def with_duplicate_mark(birds: list[ListedBird], has_chicks: bool = False) -> list[ListedBird]:
    """The list with one bird given the mark of another, of a bird that bred or of one that did not."""
    parents = {mark for bird in birds for mark in (bird.sire, bird.dam)}
    able = [bird for bird in birds if bird.sire and (bird.mark in parents) is has_chicks]
    wrong, other = able[len(able) // 2], able[0]
    return [replace(bird, mark=other.mark) if bird.mark == wrong.mark else bird for bird in birds]


def _descendants(birds: list[ListedBird], mark: str) -> list[str]:
    line = {mark}
    found: list[str] = []
    for bird in birds:
        if bird.sire in line or bird.dam in line:
            line.add(bird.mark)
            found.append(bird.mark)
    return found
