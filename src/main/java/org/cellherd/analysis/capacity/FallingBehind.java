package org.cellherd.analysis.capacity;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.ToDoubleFunction;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.AtRoomTemperature;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.StraightLine;

/**
 * How fast the cell that ends each discharge falls behind the one that is full first, where it was
 * not full when the charge before ended. From that top on it gives what it holds less what it is
 * behind; it holds the same for weeks, so what it gives less from one discharge to the next it is
 * further behind. A worn cell gives less, too, but is full with the others. One thread.
 */
final class FallingBehind {
  private static final int KEPT = 24;
  private static final int LEAST_TESTS = 4;
  private static final double LEAST_DAYS = 3;
  private static final double DAY_MS = 86_400_000;
  private static final double SAME_END_MV = 50;

  /** Where no temperature is told: a room or hut over some weeks (common practice, no source). */
  private static final double UNTOLD_KELVIN = 10;

  /** Peukert's exponent of a lithium cell is 1.00 to 1.05 (from memory). */
  private static final double MOST_OVER_ONE = 0.05;

  private final double ratedAh;
  private final Deque<CapacityTest> tests = new ArrayDeque<>();

  FallingBehind(double ratedAh) {
    this.ratedAh = ratedAh;
  }

  /**
   * A discharge has ended.
   *
   * @param wasBehind true when the cell that ended it was not full at the top before
   */
  void add(CapacityTest test, boolean wasBehind) {
    boolean isAnother = !tests.isEmpty() && tests.getLast().bottomCell() != test.bottomCell();
    if (isAnother || !wasBehind) {
      tests.clear();
    }
    if (wasBehind) {
      tests.addLast(test);
    }
    if (tests.size() > KEPT) {
      tests.removeFirst();
    }
  }

  /**
   * By how much the cell of the latest discharge falls behind, Ah a day, 95 %; empty unless it
   * surely does.
   */
  Optional<Interval> ahPerDay() {
    List<CapacityTest> alike = tests.stream().filter(this::isLikeTheLast).toList();
    if (alike.size() < LEAST_TESTS) {
      return Optional.empty();
    }
    double[] days = alike.stream().mapToDouble(test -> test.upMs() / DAY_MS).toArray();
    double[] given = alike.stream().mapToDouble(FallingBehind::given).toArray();
    return StraightLine.through(days, given)
        .filter(line -> line.spanX() >= LEAST_DAYS)
        .map(line -> fall(line, alike))
        .filter(fall -> fall.low() > 0);
  }

  private boolean isLikeTheLast(CapacityTest test) {
    CapacityTest last = tests.getLast();
    return test.startKind() == last.startKind()
        && Math.abs(test.endMv() - last.endMv()) <= SAME_END_MV;
  }

  private static double given(CapacityTest test) {
    return room(test).orElse(test.ah().mid());
  }

  private static OptionalDouble room(CapacityTest test) {
    return AtRoomTemperature.ah(test.ah().mid(), test.tempC());
  }

  /** The gain of the current is the same in all tests: it stretches the fall and bends nothing. */
  private Interval fall(StraightLine line, List<CapacityTest> alike) {
    double fall = -line.slope();
    // Errors turn with warmth and load over the weeks; at worst one bound in the first half and the
    // other in the second, which tilts the line by three of them.
    double unsure = Math.max(2.2 * line.slopeError(), 3 / line.spanX() * error(alike));
    CapacityTest last = alike.get(alike.size() - 1);
    double gain = (last.ah().high() - last.ah().low()) / 2 / last.ah().mid();
    return new Interval((fall - unsure) * (1 - gain), fall, (fall + unsure) * (1 + gain));
  }

  /** How far one test may be off beside another, Ah, the greatest of all. */
  private double error(List<CapacityTest> alike) {
    double warmth = mean(alike, CapacityTest::tempC);
    double amps = mean(alike, CapacityTest::amps);
    return alike.stream()
        .mapToDouble(
            test -> {
              double kelvin =
                  room(test).isPresent() ? Math.abs(test.tempC() - warmth) : UNTOLD_KELVIN;
              double cold = AtRoomTemperature.UNSURE_PER_KELVIN * kelvin * ratedAh;
              double rate = MOST_OVER_ONE * Math.abs(Math.log(test.amps() / amps)) * ratedAh;
              return Math.hypot(test.unsureAh(), Math.hypot(cold, rate));
            })
        .max()
        .orElse(0);
  }

  private static double mean(List<CapacityTest> of, ToDoubleFunction<CapacityTest> part) {
    return of.stream().mapToDouble(part).filter(Double::isFinite).average().orElse(Double.NaN);
  }

  void state(State io) {
    io.list(tests, KEPT, CapacityTest.NONE, CapacityTest::state);
  }
}
