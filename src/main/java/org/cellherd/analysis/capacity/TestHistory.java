package org.cellherd.analysis.capacity;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.function.ToIntFunction;
import org.cellherd.analysis.state.State;

/** The first accepted test of a pack and its newest. Belongs to one thread. */
final class TestHistory {
  private static final int KEPT = 12;
  private static final int EVENTS = 3;

  private Optional<CapacityTest> first = Optional.empty();
  private final Deque<CapacityTest> newest = new ArrayDeque<>();

  void add(CapacityTest test) {
    if (first.isEmpty()) {
      first = Optional.of(test);
    }
    newest.addLast(test);
    if (newest.size() > KEPT) {
      newest.removeFirst();
    }
  }

  /** The earliest kept test that may be compared with this one: the pack's own first, if it may. */
  Optional<Comparison> withFirst(CapacityTest test) {
    List<CapacityTest> candidates = new ArrayList<>();
    first.ifPresent(candidates::add);
    candidates.addAll(newest);
    return candidates.stream()
        .map(before -> new Comparison(before, test))
        .filter(Comparison::isComparable)
        .findFirst();
  }

  /** The newest test before this one. */
  Optional<Comparison> withPrevious(CapacityTest test) {
    return Optional.ofNullable(newest.peekLast()).map(before -> new Comparison(before, test));
  }

  /** The newest test at another rate that gives Peukert's exponent with this one. */
  Optional<Comparison> atAnotherRate(CapacityTest test) {
    for (var it = newest.descendingIterator(); it.hasNext(); ) {
      Comparison comparison = new Comparison(it.next(), test);
      if (comparison.exponent().isPresent()) {
        return Optional.of(comparison);
      }
    }
    return Optional.empty();
  }

  /** The cell that was lowest at the end of this and the two tests before; 0 when it changed. */
  int alwaysLowest(CapacityTest now) {
    return same(now, CapacityTest::bottomCell);
  }

  /** The cell that was highest at the top before this and the two before; 0 when it changed. */
  int alwaysHighest(CapacityTest now) {
    return same(now, CapacityTest::topCell);
  }

  private int same(CapacityTest now, ToIntFunction<CapacityTest> which) {
    int cell = which.applyAsInt(now);
    List<CapacityTest> before = new ArrayList<>(newest);
    boolean isSame =
        before.size() >= EVENTS - 1
            && before.subList(before.size() - EVENTS + 1, before.size()).stream()
                .allMatch(test -> which.applyAsInt(test) == cell);
    return isSame ? cell : 0;
  }

  void state(State io) {
    first = io.optional(first, CapacityTest.NONE, CapacityTest::state);
    io.list(newest, KEPT, CapacityTest.NONE, CapacityTest::state);
  }
}
