import pytest

from studbook.genetics.random_mating import random_mating


def test_it_goes_on_from_where_a_flock_stands():
    whole = random_mating(3, 12, 10)
    later = random_mating(3, 12, 6, whole.inbreeding[4], whole.kinship[4])
    assert later.inbreeding == pytest.approx(whole.inbreeding[4:])
    assert later.kinship == pytest.approx(whole.kinship[4:])


def test_inbreeding_is_the_kinship_of_the_parents():
    course = random_mating(2, 8, 9)
    assert course.inbreeding[1:] == pytest.approx(course.kinship[:-1])
    assert (course.inbreeding <= 1).all()


@pytest.mark.parametrize(("cocks", "hens", "generations"), [(0, 4, 3), (1, 0, 3), (1, 1, -1)])
def test_what_cannot_be_is_refused(cocks, hens, generations):
    with pytest.raises(ValueError, match="at least one cock"):
        random_mating(cocks, hens, generations)
