package org.cellherd.analysis.ageing;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.AtRoomTemperature;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.analysis.trend.TheilSen;

/**
 * Capacities over the years. A value that the cells cannot have had is kept out of the trend, and
 * the trend is one that a few wild values cannot move. Belongs to one thread.
 */
final class CapacityHistory {
  private static final int KEPT = 120;
  private static final int LEAST_TESTS = 4;
  private static final double LEAST_DAYS = 60;
  private static final int LEARNED = 5;

  /** Two tests of one pack agree no better than this share of the rating (common practice). */
  private static final double LEAST_SIGMA = 0.005;

  private static final double LEAST_SHARE = 0.2;
  private static final double MOST_SHARE = 1.3;
  private static final double WILD_SIGMAS = 6;
  private static final double WILD_SHARE = 0.1;
  private static final double CONFIDENCE = 0.95;

  private final double ratedAh;
  private final List<Entry> entries = new ArrayList<>();

  /**
   * One capacity.
   *
   * @param atMs ms UTC or of the fold
   * @param ah what the test gave
   * @param tempC mean temperature of the cells, degC
   * @param rate current in C
   * @param isComparable true when it may stand in one trend with the first
   */
  record Entry(double atMs, Interval ah, double tempC, double rate, boolean isComparable) {
    private static final Entry NONE = new Entry(0, Interval.exactly(0), 0, 0, false);

    /** Capacity at 25 degC, Ah; as it was measured where no correction is defined. */
    Interval room() {
      return AtRoomTemperature.ah(ah, tempC).orElse(ah);
    }

    private boolean isAtRoom() {
      return AtRoomTemperature.ah(ah, tempC).isPresent();
    }

    double roomAh() {
      return room().mid();
    }

    /** The same if the cold took as little or as much as it may. */
    private double roomAh(double perKelvin) {
      return AtRoomTemperature.ah(ah.mid(), tempC, perKelvin);
    }

    private Entry state(State io) {
      return new Entry(
          io.number(atMs), ah.state(io), io.number(tempC), io.number(rate), io.flag(isComparable));
    }
  }

  CapacityHistory(double ratedAh) {
    this.ratedAh = ratedAh;
  }

  void add(Entry entry) {
    entries.add(entry);
    if (entries.size() > KEPT) {
      entries.remove(1);
    }
  }

  List<Entry> entries() {
    return List.copyOf(entries);
  }

  /** True where each test that counts could be brought to 25 degC. */
  boolean isAtRoom() {
    return entries.stream().filter(e -> !isWild(e)).allMatch(Entry::isAtRoom);
  }

  /** True when the cells cannot have had this capacity. */
  boolean isWild(Entry entry) {
    if (entry.roomAh() < LEAST_SHARE * ratedAh || entry.roomAh() > MOST_SHARE * ratedAh) {
      return true;
    }
    double[] all = usable().stream().mapToDouble(Entry::roomAh).toArray();
    if (all.length <= LEAST_TESTS || !entry.isComparable()) {
      return false;
    }
    double middle = Medians.median(all);
    double sigma = Medians.MAD_TO_SIGMA * Medians.mad(all);
    return Math.abs(entry.roomAh() - middle) > Math.max(WILD_SIGMAS * sigma, WILD_SHARE * middle);
  }

  private List<Entry> usable() {
    return entries.stream()
        .filter(Entry::isComparable)
        .filter(e -> e.roomAh() >= LEAST_SHARE * ratedAh && e.roomAh() <= MOST_SHARE * ratedAh)
        .toList();
  }

  /**
   * The newest believable capacity, Ah at 25 degC; the middle of the last three where there are.
   */
  Optional<Interval> newest() {
    List<Interval> good = entries.stream().filter(e -> !isWild(e)).map(Entry::room).toList();
    if (good.isEmpty()) {
      return Optional.empty();
    }
    if (good.size() < 3) {
      return Optional.of(good.get(good.size() - 1));
    }
    return good.subList(good.size() - 3, good.size()).stream()
        .sorted(Comparator.comparingDouble(Interval::mid))
        .skip(1)
        .findFirst();
  }

  /**
   * Change of the capacity over time, Ah for each unit of time; empty with few tests or a short
   * time.
   *
   * @param unitMs length of the unit of time
   * @param leastUnits shortest time that says anything
   */
  Optional<Interval> trend(double unitMs, double leastUnits) {
    List<Entry> good = usable().stream().filter(e -> !isWild(e)).toList();
    if (good.size() < LEAST_TESTS) {
      return Optional.empty();
    }
    double start = good.get(0).atMs();
    double[] x = good.stream().mapToDouble(e -> (e.atMs() - start) / unitMs).toArray();
    if (x[x.length - 1] < leastUnits) {
      return Optional.empty();
    }
    return line(x, good, AtRoomTemperature.PER_KELVIN)
        .map(
            line -> {
              // A season of warmth or cold is no ageing.
              TheilSen least = line(x, good, AtRoomTemperature.LEAST_PER_KELVIN).orElse(line);
              TheilSen most = line(x, good, AtRoomTemperature.MOST_PER_KELVIN).orElse(line);
              return new Interval(
                  Math.min(line.low(), Math.min(least.low(), most.low())),
                  line.slope(),
                  Math.max(line.high(), Math.max(least.high(), most.high())));
            });
  }

  private static Optional<TheilSen> line(double[] x, List<Entry> tests, double perKelvin) {
    double[] y = tests.stream().mapToDouble(e -> e.roomAh(perKelvin)).toArray();
    return TheilSen.through(x, y, CONFIDENCE);
  }

  /**
   * Time of the first test after which the capacity was less than what the first five tests showed,
   * by a cumulative-sum chart; empty while it is not, or may not be by what the cold takes, or
   * before eight tests.
   */
  OptionalDouble leftEarlyLevelMs() {
    boolean isSure =
        leftEarlyLevelMs(AtRoomTemperature.LEAST_PER_KELVIN).isPresent()
            && leftEarlyLevelMs(AtRoomTemperature.MOST_PER_KELVIN).isPresent();
    return isSure ? leftEarlyLevelMs(AtRoomTemperature.PER_KELVIN) : OptionalDouble.empty();
  }

  private OptionalDouble leftEarlyLevelMs(double perKelvin) {
    List<Entry> good = usable().stream().filter(e -> !isWild(e)).toList();
    if (good.size() < LEARNED + 3) {
      return OptionalDouble.empty();
    }
    double[] early = good.stream().limit(LEARNED).mapToDouble(e -> e.roomAh(perKelvin)).toArray();
    double sigma = Math.max(Medians.MAD_TO_SIGMA * Medians.mad(early), LEAST_SIGMA * ratedAh);
    Cusum chart = Cusum.ofSigma(Medians.median(early), sigma);
    for (Entry entry : good.subList(LEARNED, good.size())) {
      if (chart.add(entry.roomAh(perKelvin)) && chart.low() > chart.high()) {
        return OptionalDouble.of(good.get(LEARNED + (int) chart.onset()).atMs());
      }
    }
    return OptionalDouble.empty();
  }

  /** Change a year as a share of the rated capacity; empty with few tests or below 60 days. */
  Optional<Interval> sharePerYear() {
    double year = 365.25 * 86_400_000;
    return trend(year, LEAST_DAYS / 365.25)
        .map(
            slope ->
                new Interval(slope.low() / ratedAh, slope.mid() / ratedAh, slope.high() / ratedAh));
  }

  void state(State io) {
    io.list(entries, KEPT, Entry.NONE, Entry::state);
  }
}
