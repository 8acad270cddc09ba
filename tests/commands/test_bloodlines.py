"""``studbook bloodlines`` through a real book and a real command line."""

from pathlib import Path

import pytest

from tests.commands.conftest import Command

KEYS = {
    "birds",
    "living",
    "founders",
    "mean_kinship",
    "gene_diversity",
    "founder_equivalents",
    "ancestor_equivalents",
    "founder_genome_equivalents",
    "allele_retention_equivalents",
    "mean_inbreeding",
    "effective_size",
}

# Lacy 1989, Zoo Biology 8:111-123, the sample pedigree: founders A, B and E, of whom none lives.
LACY = (
    "mark,sex,sire,dam,status\n"
    "A,cock,,,died\nB,hen,,,died\nE,hen,,,died\n"
    "C,cock,A,B,\nD,cock,A,B,\nF,hen,D,E,\nG,hen,D,E,\n"
)


@pytest.fixture
def lacy(command: Command, tmp_path: Path) -> Path:
    path, listed = tmp_path / "lacy.db", tmp_path / "lacy.csv"
    listed.write_text(LACY)
    assert command("new", path).code == 0
    assert command("import", path, listed).code == 0
    return path


def test_the_published_sample_pedigree(command: Command, lacy: Path) -> None:
    """Lacy 1989: f_e 2.909, 2.18 by allele retention; Boichard et al. 1997: f_a, picked by hand, 8/3."""
    found = command("bloodlines", lacy, "--living", "--json").document
    assert (found["birds"], found["living"]) == (7, 4)
    assert {founder["mark"]: founder["contribution"] for founder in found["founders"]} == pytest.approx(
        {"A": 3 / 8, "B": 3 / 8, "E": 1 / 4}
    )
    for founder in found["founders"]:
        # the exact expectation, met within five standard errors of ten thousand gene drops
        assert founder["retained"] == pytest.approx(3 / 4, abs=0.02)
    assert found["founder_equivalents"] == pytest.approx(32 / 11)
    assert found["ancestor_equivalents"] == pytest.approx(8 / 3)
    assert found["allele_retention_equivalents"] == pytest.approx(2.18, abs=0.05)
    # by its own definition, 1 / (2 × mean kinship), with the mean kinship worked out by hand
    assert found["mean_kinship"] == pytest.approx(9 / 32)
    assert found["gene_diversity"] == pytest.approx(23 / 32)
    assert found["founder_genome_equivalents"] == pytest.approx(16 / 9)
    assert found["mean_inbreeding"] == 0
    # no bird is inbred, so no size can be told
    assert found["effective_size"] is None


def test_the_keys_are_fixed(command: Command, lacy: Path, flock: Path) -> None:
    for path in (lacy, flock):
        for choice in ([], ["--living"], ["--unknown", "flock"]):
            found = command("bloodlines", path, *choice, "--json").document
            assert set(found) >= KEYS
            assert all({"mark", "contribution", "retained"} <= set(founder) for founder in found["founders"])
            assert sum(founder["contribution"] for founder in found["founders"]) == pytest.approx(1)


def test_without_living_every_bird_counts(command: Command, lacy: Path) -> None:
    found = command("bloodlines", lacy, "--json").document
    # A and B: themselves, half of C and D, a quarter of F and G
    assert {founder["mark"]: founder["contribution"] for founder in found["founders"]} == pytest.approx(
        {"A": 2.5 / 7, "B": 2.5 / 7, "E": 2 / 7}
    )
    assert all(founder["retained"] == 1 for founder in found["founders"])


def test_each_unknown_half_is_a_founder(command: Command, tmp_path: Path) -> None:
    path, listed = tmp_path / "book.db", tmp_path / "list.csv"
    listed.write_text("mark,sex,sire,status\nW20-01,cock,,died\nW21-01,hen,W20-01,\nW21-02,hen,W20-01,\n")
    command("new", path)
    command("import", path, listed)
    found = command("bloodlines", path, "--living", "--json").document
    assert {founder["mark"]: founder["contribution"] for founder in found["founders"]} == pytest.approx(
        {"W20-01": 0.5, "unknown parent of W21-01": 0.25, "unknown parent of W21-02": 0.25}
    )


def test_an_empty_book_has_no_figures(command: Command, tmp_path: Path) -> None:
    command("new", tmp_path / "flock.db")
    found = command("bloodlines", tmp_path / "flock.db", "--json").document
    assert (found["birds"], found["founders"]) == (0, [])
    assert found["mean_kinship"] is found["founder_equivalents"] is found["effective_size"] is None
    told = command("bloodlines", tmp_path / "flock.db", "--living")
    assert (told.code, "No bird of the flock is living" in told.out) == (0, True)


def test_the_text_names_founders_and_figures(command: Command, lacy: Path) -> None:
    told = command("bloodlines", lacy, "--living").out
    assert "7 birds in the book, 4 of them living." in told
    assert "Founder genome equivalents: 1.8" in told
    assert "Founder genome equivalents, counting alleles kept: 2.2" in told
    lines = {line.split()[0]: line for line in told.splitlines() if line.strip()}
    assert "37.5 %" in lines["A"]
    assert "25.0 %" in lines["E"]


def test_the_same_book_gives_the_same_figures(command: Command, lacy: Path) -> None:
    assert command("bloodlines", lacy, "--json").out == command("bloodlines", lacy, "--json").out
