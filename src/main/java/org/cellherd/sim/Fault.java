package org.cellherd.sim;

import java.util.List;
import java.util.Optional;
import org.cellherd.pack.Worded;

/**
 * A fault as it happens in one run: what a test or benchmark compares findings with.
 *
 * @param kind which
 * @param pack index of the pack, from 0
 * @param number of the cell, strap, tap or sensor; 0 where it has none
 * @param amounts numbers in the order of {@link Kind#amounts}
 * @param fromMs begins, ms UTC
 * @param toMs is over, ms UTC; {@link Long#MAX_VALUE} never
 */
public record Fault(Kind kind, int pack, int number, List<Double> amounts, long fromMs, long toMs) {

  public Fault {
    amounts = List.copyOf(amounts);
    if (amounts.size() != kind.amounts().size()) {
      throw new IllegalArgumentException(
          kind.word() + " has " + kind.amounts().size() + " amounts");
    }
  }

  /** The first number, 0 where there is none. */
  public double amount() {
    return amounts.isEmpty() ? 0 : amounts.get(0);
  }

  /** True from its beginning until before its end. */
  public boolean covers(long timeMs) {
    return timeMs >= fromMs && timeMs < toMs;
  }

  /** The faults of the scenario language. */
  public enum Kind implements Worded {
    /** A cell leaks so much more for each Ah of its capacity. */
    LEAK(Place.CELL, new Amount("ma_per_ah", 0, 1000, 0.2)),
    /** A cell has a short inside. */
    SHORT(Place.CELL, new Amount("ohm", 0.001, 1e6, 50)),
    /** A cell loses capacity at its empty end. */
    LOW_CAPACITY(Place.CELL, new Amount("pct", 0, 95, 10)),
    /** The strap between this cell and the next one. */
    BAD_STRAP(Place.STRAP, new Amount("mohm", 0, 1000, 1)),
    /** A sense lead makes bad contact. */
    LOOSE_TAP(
        Place.TAP,
        new Amount("mv", -500, 500, 12),
        new Amount("wander_mv", 0, 500, 5),
        new Amount("ohm", 0, 1000, 0.5)),
    /** This tap and the next one are swapped at the plug. */
    SWAPPED_TAPS(Place.INNER_TAP),
    SENSOR_OPEN(Place.SENSOR),
    SENSOR_SHORT(Place.SENSOR),
    /** A temperature sensor keeps its number. */
    SENSOR_STUCK(Place.SENSOR),
    /** A cell keeps its number. */
    STUCK_CELL(Place.CELL),
    /** All numbers stay while the board goes on answering. */
    FROZEN(Place.PACK),
    /** The current is wrong by so much. */
    CURRENT_OFFSET(Place.PACK, new Amount("ma", -100_000, 100_000, 300)),
    /** The board prints another number of cells. */
    CELL_COUNT(Place.PACK, new Amount("cells", 0, 64, 0)),
    /** Answers do not come. */
    DROPPED(Place.LINE, new Amount("share_pct", 0, 100, 5)),
    /** Answers come late. */
    LATE(Place.LINE, new Amount("share_pct", 0, 100, 5), new Amount("ms", 0, 60_000, 500)),
    /** Answers end early. */
    TRUNCATED(Place.LINE, new Amount("share_pct", 0, 100, 5)),
    /** Answers hold a wrong bit. */
    CORRUPTED(Place.LINE, new Amount("share_pct", 0, 100, 5)),
    /** What is sent comes back. */
    ECHO(Place.LINE),
    /** Random bytes before answers and while nobody talks. */
    NOISE(Place.LINE, new Amount("share_pct", 0, 100, 5)),
    /** The cable is pulled. */
    UNPLUGGED(Place.LINE),
    /** The boards do not answer. */
    SILENT(Place.LINE),
    /** The listening computer loses its power, and boots with a wrong clock. */
    BROWN_OUT(
        Place.MONITOR,
        new Amount("clock_off_min", -1e7, 1e7, 0),
        new Amount("right_after_min", 0, 1e7, 0));

    /** What a fault has a number of. */
    public enum Place {
      PACK,
      CELL,
      STRAP,
      TAP,
      INNER_TAP,
      SENSOR,
      LINE,
      MONITOR
    }

    /**
     * A number of a fault.
     *
     * @param key its name in files
     * @param least smallest allowed
     * @param most greatest allowed
     * @param usual where a file says nothing
     */
    public record Amount(String key, double least, double most, double usual) {}

    private final Place place;
    private final List<Amount> amounts;

    Kind(Place place, Amount... amounts) {
      this.place = place;
      this.amounts = List.of(amounts);
    }

    /** The kind of a file's word. */
    public static Optional<Kind> ofWord(String word) {
      return Worded.find(values(), word);
    }

    /** What it has a number of. */
    public Place place() {
      return place;
    }

    /** Its numbers. */
    public List<Amount> amounts() {
      return amounts;
    }
  }
}
