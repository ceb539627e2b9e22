"""Changes through the door: whatever is done, it can be undone, and nothing is half done."""

from dataclasses import replace
from itertools import count

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from made_edits import EDITS, edited, full

from perennate.holding.model import Holding
from perennate.server.store import models
from perennate.server.store.door import OvertakenError, apply, begin, undo
from perennate.server.store.rows import MODELS, holding_of
from perennate.terms import BadInput, text

DRAWN = settings(
    max_examples=8,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
WHAT = text("change.settings")
numbers = count()


def begun(weather=None) -> models.Holding:
    named = replace(full(), weather_files=tuple(weather or ()))
    return begin("Nook", named, weather or {}, WHAT, f"nook-{next(numbers)}")


def stands(store: models.Holding) -> Holding:
    store.refresh_from_db()
    return holding_of(store)


def assert_whole(store: models.Holding) -> None:
    """The log is unbroken, and no two rows of a table have one place or one key."""
    said = list(store.changes.order_by("number").values_list("number", flat=True))
    assert said == list(range(1, store.edition + 1))
    for kind in MODELS.values():
        rows = list(kind.objects.filter(holding=store))
        assert len({row.position for row in rows}) == len({row.key for row in rows}) == len(rows)


def tried(store: models.Holding, act) -> models.Change | None:
    """What came of it; where it was refused, everything is as it was."""
    before, edition = stands(store), store.edition
    try:
        change = act()
    except (BadInput, OvertakenError):
        assert stands(store) == before
        assert store.edition == edition
        return None
    store.refresh_from_db()
    return change


@pytest.mark.django_db
@given(st.lists(EDITS, min_size=1, max_size=9))
@DRAWN
def test_undoing_all_gives_the_beginning_and_undoing_that_gives_the_end(edits):
    store = begun()
    beginning = stands(store)
    assert beginning == full()
    done = []
    for edit in edits:
        before = stands(store)
        after = edited(before, edit)
        change = tried(store, lambda b=before, a=after: apply(store.pk, WHAT, b, a))
        if change is not None:
            assert stands(store) == after
            done.append(change)
    end = stands(store)
    undone = [undo(change.pk) for change in reversed(done)]
    assert stands(store) == beginning
    for change in reversed(undone):
        undo(change.pk)
    assert stands(store) == end
    assert_whole(store)


@pytest.mark.django_db
@given(st.lists(EDITS | st.integers(0, 30), min_size=4, max_size=16))
@DRAWN
def test_changes_and_undos_in_any_order_are_done_whole_or_refused_whole(acts):
    store = begun()
    for act in acts:
        if isinstance(act, int):
            changes = list(store.changes.order_by("number"))
            chosen = changes[act % len(changes)]
            tried(store, lambda one=chosen: undo(one.pk))
        else:
            before = stands(store)
            after = edited(before, act)
            if tried(store, lambda b=before, a=after: apply(store.pk, WHAT, b, a)):
                assert stands(store) == after
    assert_whole(store)


@pytest.mark.django_db
@given(EDITS, EDITS)
@DRAWN
def test_two_who_thought_of_the_same_holding_keep_both_changes_or_the_second_is_told(one, other):
    store = begun()
    seen = stands(store)
    first = tried(store, lambda: apply(store.pk, WHAT, seen, edited(seen, one)))
    between = stands(store)
    second = tried(store, lambda: apply(store.pk, WHAT, seen, edited(seen, other)))
    if first and second:
        # each can be taken back by itself: neither has overwritten the other
        undo(second.pk)
        assert stands(store) == between
        undo(first.pk)
        assert stands(store) == seen
    assert_whole(store)


@pytest.mark.django_db
def test_a_row_keeps_its_place_through_a_change_a_removal_and_its_undoing():
    store = begun()
    seen = stands(store)
    noted = replace(seen.records[1], note="wet")
    apply(store.pk, WHAT, seen, replace(seen, records=(seen.records[0], noted, seen.records[2])))
    assert [one.key for one in stands(store).records] == ["r0", "r1", "r2"]
    seen = stands(store)
    gone = apply(store.pk, WHAT, seen, replace(seen, records=(seen.records[0], seen.records[2])))
    seen = stands(store)
    more = replace(seen.records[0], key="later")
    apply(store.pk, WHAT, seen, replace(seen, records=(*seen.records, more)))
    undo(gone.pk)
    assert [one.key for one in stands(store).records] == ["r0", "r1", "r2", "later"]


@pytest.mark.django_db
def test_moves_of_a_lot_are_taken_back_one_by_one_in_any_order():
    store = begun()
    (move, *_) = full().lot_moves
    bare = replace(full(), lot_moves=())
    apply(store.pk, WHAT, full(), bare)
    twice = [
        apply(store.pk, WHAT, seen, replace(seen, lot_moves=(*seen.lot_moves, move)))
        for seen in (bare, replace(bare, lot_moves=(move,)))
    ]
    undo(twice[0].pk)
    assert stands(store).lot_moves == (move,)
    undo(twice[1].pk)
    assert stands(store).lot_moves == ()


@pytest.mark.django_db
def test_settings_changed_by_two_at_once_are_both_kept():
    store = begun()
    seen = stands(store)
    apply(store.pk, WHAT, seen, replace(seen, weeks=30))
    apply(store.pk, WHAT, seen, replace(seen, site=replace(seen.site, elevation_m=900.0)))
    assert (stands(store).weeks, stands(store).site.elevation_m) == (30, 900.0)


@pytest.mark.django_db
def test_what_was_changed_since_is_not_undone():
    store = begun()
    seen = stands(store)
    first = apply(store.pk, WHAT, seen, replace(seen, weeks=30))
    apply(store.pk, WHAT, stands(store), replace(stands(store), weeks=31))
    with pytest.raises(OvertakenError):
        undo(first.pk)
    assert stands(store).weeks == 31
    assert store.edition == 3


@pytest.mark.django_db
def test_a_change_is_undone_once_and_its_undoing_too():
    store = begun()
    first = apply(store.pk, WHAT, full(), replace(full(), weeks=30))
    back = undo(first.pk)
    with pytest.raises(OvertakenError):
        undo(first.pk)
    forth = undo(back.pk)
    assert stands(store).weeks == 30
    undo(forth.pk)
    assert stands(store) == full()


@pytest.mark.django_db
def test_the_first_taking_in_is_not_undone_into_nothing():
    store = begun()
    with pytest.raises(BadInput):
        undo(store.changes.get().pk)
    assert stands(store) == full()


@pytest.mark.django_db
@pytest.mark.parametrize(
    "unsound",
    [
        lambda seen: replace(seen, beds=(replace(seen.beds[0], length_m=-1.0), *seen.beds[1:])),
        lambda seen: replace(seen, beds=seen.beds[1:]),
        lambda seen: replace(seen, trees=()),
        lambda seen: replace(seen, site=replace(seen.site, latitude_deg=91.0)),
        lambda seen: replace(
            seen, own_values=(replace(seen.own_values[0], figure="no such figure"),)
        ),
        lambda seen: replace(seen, own_values=(replace(seen.own_values[0], figure="yield_claim"),)),
        lambda seen: replace(seen, weather_files=("nowhere.csv",)),
        lambda seen: replace(seen, limbs=(*seen.limbs, seen.limbs[0])),
    ],
)
def test_an_unsound_holding_does_not_pass(unsound):
    store = begun()
    with pytest.raises(BadInput):
        apply(store.pk, WHAT, full(), unsound(full()))
    assert stands(store) == full()
    assert store.edition == 1


@pytest.mark.django_db
def test_weather_files_come_change_and_go_and_are_brought_back():
    store = begun({"a.csv": b"one", "b.csv": b"two"})
    seen = stands(store)
    assert seen.weather_files == ("a.csv", "b.csv")
    named = replace(seen, weather_files=("b.csv", "c.csv"))
    change = apply(store.pk, WHAT, seen, named, weather={"b.csv": b"2", "c.csv": b"3"})
    assert stands(store) == named
    undo(change.pk)
    assert stands(store) == seen
    without = replace(seen, weather_files=("b.csv",))
    gone = apply(store.pk, WHAT, seen, without)
    assert stands(store) == without
    undo(gone.pk)
    assert stands(store) == seen


@pytest.mark.django_db
def test_a_change_of_nothing_is_no_change():
    store = begun()
    assert apply(store.pk, WHAT, full(), full()) is None
    assert stands(store) == full()
    assert store.edition == 1


@pytest.mark.django_db
def test_a_change_from_before_a_table_had_all_its_columns_is_taken_back():
    store = begun()
    seen = stands(store)
    noted = replace(seen.beds[0], note="stony")
    change = apply(store.pk, WHAT, seen, replace(seen, beds=(noted, *seen.beds[1:])))
    assert change is not None
    for _, _, before, after in change.rows:
        for kept in (before, after):
            for name in ("ece_on", "cover", "sheltered"):
                del kept[name]
    change.save()
    undo(change.pk)
    assert stands(store) == seen


@pytest.mark.django_db
def test_a_setting_is_changed_that_was_not_there_when_the_holding_was_begun():
    store = begun()
    del store.settings["habits"]["watering"]
    del store.settings["site"]["coast"]
    store.save()
    seen = stands(store)
    assert (seen.habits.watering, seen.site.coast) == ("full", False)
    sparing = replace(seen, habits=replace(seen.habits, watering="sparing"))
    by_the_sea = replace(sparing, site=replace(seen.site, coast=True))
    change = apply(store.pk, WHAT, seen, by_the_sea)
    assert stands(store) == by_the_sea
    undo(change.pk)
    assert stands(store) == seen
