"""`studbook forecast`: the flock simulated forward, as text and as JSON."""

import pytest

from studbook import places

BOOK = (places.demo_flock(), "--today", "2027-02-14")
QUICK = ("--replicates", 60, "--years", 8)


@pytest.fixture
def forecast(command):
    return lambda *words: command("forecast", *BOOK, *QUICK, *words)


def test_it_tells_in_sentences_and_by_year(forecast):
    told = forecast("--cocks", 2, "--hens-per-cock", 5)
    assert (told.code, told.err) == (0, "")
    assert "2 cocks a year, 5 hens to each" in told.out
    assert "not a promise" in told.out
    assert "exact expectation of this policy" in told.out
    lines = told.out.splitlines()
    assert [line.split()[0] for line in lines if line.startswith("20")] == [
        str(year) for year in range(2027, 2035)
    ]


def test_the_document_has_the_figures_of_every_year(forecast):
    told = forecast("--cocks", 2, "--hens-per-cock", 5, "--json").document
    assert told["first_year"] == 2027
    assert [row["year"] for row in told["by_year"]] == list(range(2027, 2035))
    for row in told["by_year"]:
        span = row["mean_inbreeding"]
        assert 0 <= span["low"] <= span["mean"] <= span["high"] <= 1
        # 60 runs: the mean is near the exact expectation, the bands lie around it
        assert span["mean"] == pytest.approx(row["expected_inbreeding"], abs=0.02)
        assert span["low"] < row["expected_inbreeding"] < span["high"]
    assert told["expected_is_of_policy"]
    assert {"limit", "year", "early", "late", "share"} == set(told["passes"])
    assert told["start"]["cocks"]
    assert not set(told["start"]["cocks"]) & set(told["start"]["hens"])
    assert 0 < told["start"]["gene_diversity"] < 1


def test_the_same_seed_repeats_and_another_differs(forecast):
    first, again, other = (forecast("--json", "--seed", seed).document for seed in (7, 7, 8))
    assert first == again
    assert first["by_year"] != other["by_year"]


def test_choosing_and_new_blood_help(forecast):
    def last(*words):
        return forecast("--cocks", 2, "--hens-per-cock", 5, "--json", *words).document["by_year"][-1]

    chance, chosen = last(), last("--keep", "least-related")
    fresh = last("--keep", "least-related", "--new-blood", 2, "--from", "alder yard")
    kin = last("--keep", "least-related", "--new-blood", 2, "--related", 0.125)
    order = [row["mean_inbreeding"]["mean"] for row in (chance, chosen, kin, fresh)]
    assert order == sorted(order, reverse=True)


def test_the_limit_is_passed_earlier_when_it_is_lower(forecast):
    years = [
        forecast("--cocks", 1, "--hens-per-cock", 8, "--json", "--limit", limit).document["passes"]["year"]
        for limit in (0.3, 0.05)
    ]
    assert years == sorted(years, reverse=True)
    assert "12.5 %" in forecast("--limit", 0.125).out


def test_when_to_buy_in(forecast):
    told = forecast("--buy-in", "--json").document["buy_in"]
    assert {yard["from"] for yard in told["yards"]} > {"Alder Yard", "an unrelated yard"}
    assert all(yard["best_years"] for yard in told["yards"])
    said = forecast("--buy-in").out
    assert "next season would bring the mean F" in said
    assert "kept apart first" in said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--years", 0), "0 is not a whole number from 1 to 60"),
        (("--replace", 2), "2 is not a share from 0 to 1"),
        (("--cocks", 3, "--hens-per-cock", 30, "--chicks", 20), "20 chicks a year are too few"),
        (
            ("--new-blood", 2, "--from", "Nowhere"),
            "No origin of the book is called “Nowhere”; it has Alder Yard",
        ),
        (("--from", "Alder Yard"), "say how often with --new-blood K"),
        (("--related", "0.1"), "say how often with --new-blood K"),
        (("--new-blood", 2, "--related", "0.1", "--from", "Alder Yard"), "give one of them"),
    ],
)
def test_a_wrong_call_is_one_sentence(forecast, words, said):
    told = forecast(*words)
    assert told.code == 2
    assert said in told.err
    assert told.out == ""


def test_a_flock_without_a_pair_is_told_so(command, tmp_path):
    book = tmp_path / "empty.db"
    command("new", book)
    told = command("forecast", book)
    assert told.code == 1
    assert "no cock or no hen" in told.err
