package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import org.cellherd.protocol.bringup.ColumnGuess.Role;
import org.cellherd.protocol.bringup.Known.Quantity;

/** Finds rows of neighbours that behave like temperatures: plausible, close, slow. */
final class TemperatureRows {

  /** A coding: number, degC per unit, offset in degC, and in words. */
  private record Form(Code code, double scale, double offset, String words) {
    double celsius(double raw) {
      return raw * scale + offset;
    }

    String keys() {
      String by = scale == 1 ? "" : ", scale = " + scale;
      return by + (offset == 0 ? "" : ", offset = " + offset) + ", unit = \"C\"";
    }
  }

  private static final List<Form> FORMS =
      List.of(
          new Form(new Code("u16", 16, "big"), 0.1, -273.1, "0.1 K"),
          new Form(new Code("u16", 16, "little"), 0.1, -273.1, "0.1 K"),
          new Form(new Code("s16", 16, "big"), 0.1, 0, "0.1 degC"),
          new Form(new Code("s16", 16, "little"), 0.1, 0, "0.1 degC"),
          new Form(new Code("f32", 32, "big"), 1, 0, "degC"),
          new Form(new Code("f32", 32, "little"), 1, 0, "degC"),
          new Form(new Code("u8", 8, "big"), 1, -40, "degC + 40"),
          new Form(new Code("s8", 8, "big"), 1, 0, "degC"));

  /** Where packs are looked after, degC. */
  private static final double COLDEST = -20;

  private static final double HOTTEST = 70;

  /** Sensors of one pack read within this much of each other, K. */
  private static final double SPAN = 25;

  /** A pack weighs kilograms: from one message to the next it does not warm more, K, on average. */
  private static final double LEAST_PACE = 0.3;

  /** Most packs are set up in a room, degC; to choose between codings of one byte. */
  private static final double ROOM = 22;

  private static final double METER = 1.5;

  /** A warm hand warms a sensor by more than this, K; a state of charge hardly moves in minutes. */
  private static final double WARMED = 3;

  /** Other bytes read as a float are mostly far below or above any temperature, degC. */
  private static final double LEAST_FLOAT = 0.05;

  /** A row under one coding; {@code isUsualOrder} when its bytes stand as those of the cells do. */
  private record Row(
      Form form,
      int at,
      int count,
      double mean,
      double range,
      long leaps,
      boolean isUsualOrder,
      boolean isOftenNothing) {
    int coverage() {
      return count * form.code.bits();
    }

    boolean isMoving() {
      return range > 0;
    }

    boolean isWarmed() {
      return range >= WARMED;
    }

    /** A single column among many: only one in 0.1 K, or one that a hand warmed, is told apart. */
    boolean isTold() {
      return count > 1 || form.offset < -200 || isWarmed();
    }

    double oddness() {
      return Math.abs(mean - ROOM);
    }
  }

  /**
   * What moves tells more than what does not, most what moves as if a hand warmed it; a board sends
   * all its numbers in one order of bytes, and temperatures whose high byte is 0 can be read in the
   * other; the more bytes are explained the less it is chance; read across the bounds of numbers a
   * carry leaps; then what is nearest to a room's.
   */
  private static final Comparator<Row> LIKELIEST =
      Comparator.comparing((Row r) -> !r.isMoving() || r.isOftenNothing)
          .thenComparing(r -> !r.isWarmed())
          .thenComparing(r -> r.count == 1)
          .thenComparing(r -> !r.isUsualOrder())
          .thenComparingInt(r -> -r.coverage())
          .thenComparingLong(Row::leaps)
          .thenComparingDouble(Row::oddness);

  record Found(Row row, boolean isSettled) {
    ColumnGuess guess() {
      String words = row.form.words;
      return isSettled
          ? TemperatureRows.guess(row, "temperatures in " + words + ": the meter agrees").settled()
          : TemperatureRows.guess(row, "perhaps temperatures in " + words);
    }

    int count() {
      return row.count;
    }

    /**
     * Sensors of one board are coded alike, and a row that never moves is none beside one that
     * does, nor a single number that no hand warmed beside a row of several, nor what often is 0
     * beside what is not: flags.
     */
    boolean isOfOneBoard(Found best) {
      boolean isSensor = !row.isOftenNothing || best.row.isOftenNothing;
      boolean isAsTold = isSensor && (row.count > 1 || best.row.count == 1 || row.isWarmed());
      return row.form.equals(best.row.form) && row.isMoving() == best.row.isMoving() && isAsTold;
    }
  }

  /** Of several kinds of message the row that most likely holds temperatures. */
  static Optional<Found> likeliest(Collection<Found> all) {
    return all.stream()
        .min(Comparator.comparing((Found f) -> !f.isSettled).thenComparing(Found::row, LIKELIEST));
  }

  private final Stretch kind;
  private final Taken taken;
  private final Meter meter;
  private final Optional<Code> cells;

  /** A search; {@code cells} as they stand, where they are known. */
  TemperatureRows(Stretch kind, Taken taken, Meter meter, Optional<Code> cells) {
    this.kind = kind;
    this.taken = taken;
    this.meter = meter;
    this.cells = cells;
  }

  private boolean isUsualOrder(Form form) {
    boolean isOneByte = form.code.bits() == Byte.SIZE;
    return isOneByte || cells.filter(c -> c.isLowFirst() != form.code.isLowFirst()).isEmpty();
  }

  /** The likeliest row; several sensors, or one in 0.1 K, whose numbers hardly mean else. */
  Optional<Found> find() {
    Optional<Known> known = meter.of(Quantity.TEMPERATURE);
    List<Row> rows = new ArrayList<>();
    for (Form form : FORMS) {
      for (int at = kind.from(); at + form.code.span(1) <= kind.to(); at++) {
        Row row = rowFrom(form, at);
        if (row.count > 0) {
          rows.add(row);
        }
      }
    }
    Optional<Row> fits = known.flatMap(k -> byMeter(rows, k));
    Optional<Row> likely = rows.stream().filter(Row::isTold).min(LIKELIEST);
    return fits.map(r -> new Found(r, true)).or(() -> likely.map(r -> new Found(r, false)));
  }

  private static ColumnGuess guess(Row row, String what) {
    return ColumnGuess.of(
        row.at, row.form.code, row.count, Role.TEMPERATURES, what, row.form.keys());
  }

  /** The longest row from a place on; a member that never changes among others is none. */
  private Row rowFrom(Form form, int at) {
    int width = form.code.span(1);
    List<double[]> members = new ArrayList<>();
    while (at + width * (members.size() + 1) <= kind.to()) {
      int place = at + width * members.size();
      double[] values = celsius(form, place);
      boolean isNothing = form.code.isFloat() && Math.abs(mean(values)) < LEAST_FLOAT;
      boolean isNear = members.isEmpty() || Math.abs(mean(values) - mean(members.get(0))) < SPAN;
      boolean isFlag = isFlagBeside(form, values, members);
      boolean isNone = isNothing || isFlag || !isNear || !isPlausible(values);
      if (isNone || !taken.isFree(place, place + width)) {
        break;
      }
      members.add(values);
    }
    boolean isMoving = members.stream().anyMatch(m -> !isStill(m));
    while (isMoving && isStill(members.get(members.size() - 1))) {
      members.remove(members.size() - 1);
    }
    boolean isFlagsFront = areFlags(form, members);
    double range = members.stream().mapToDouble(TemperatureRows::range).max().orElse(0);
    boolean isDeadFront = isMoving && isStill(members.get(0));
    double mean = members.stream().mapToDouble(TemperatureRows::mean).average().orElse(0);
    long leaps = members.stream().mapToLong(TemperatureRows::leaps).sum();
    boolean isNothing = form.offset == 0 && !members.isEmpty() && isOftenNothing(members.get(0));
    int count = isDeadFront || isFlagsFront ? 0 : members.size();
    return new Row(form, at, count, mean, range, leaps, isUsualOrder(form), isNothing);
  }

  /**
   * True when the first of several members is no sensor: a third of its numbers is 0, none below,
   * and the others are none of that. A sensor so near to freezing reads below it, too.
   */
  private static boolean areFlags(Form form, List<double[]> members) {
    return form.offset == 0
        && members.size() > 1
        && isOftenNothing(members.get(0))
        && members.stream().skip(1).noneMatch(TemperatureRows::isOftenNothing);
  }

  /** The same behind sensors: what follows it is none either. */
  private static boolean isFlagBeside(Form form, double[] values, List<double[]> members) {
    return form.offset == 0
        && !members.isEmpty()
        && isOftenNothing(values)
        && !isOftenNothing(members.get(0));
  }

  private static boolean isOftenNothing(double[] values) {
    long nothing = DoubleStream.of(values).filter(v -> v == 0).count();
    return nothing * 3 >= values.length && DoubleStream.of(values).noneMatch(v -> v < 0);
  }

  private double[] celsius(Form form, int place) {
    return withoutDamage(
        DoubleStream.of(kind.values(form.code, place, 0)).map(form::celsius).toArray());
  }

  /**
   * Values without the few that leap and are back in the next message: damage that no check value
   * found. Where many do, they stay.
   */
  private static double[] withoutDamage(double[] values) {
    double[] calm = values.clone();
    int lone = 0;
    for (int i = 1; i + 1 < values.length; i++) {
      boolean isLeap = Math.abs(values[i] - calm[i - 1]) >= WARMED;
      if (isLeap && Math.abs(values[i + 1] - calm[i - 1]) < WARMED) {
        calm[i] = calm[i - 1];
        lone++;
      }
    }
    return lone <= Stretch.fewOf(values.length) ? calm : values;
  }

  private static double mean(double[] values) {
    return DoubleStream.of(values).average().orElse(0);
  }

  /**
   * How far a column goes without leaps, K: what a hand warms does not leap, what is broken does.
   */
  private static double range(double[] values) {
    double at = 0;
    double low = 0;
    double high = 0;
    for (int i = 1; i < values.length; i++) {
      double step = values[i] - values[i - 1];
      at += Math.abs(step) < WARMED ? step : 0;
      low = Math.min(low, at);
      high = Math.max(high, at);
    }
    return high - low;
  }

  private static long leaps(double[] values) {
    return IntStream.range(1, values.length)
        .filter(i -> Math.abs(values[i] - values[i - 1]) >= WARMED)
        .count();
  }

  private static boolean isStill(double[] values) {
    return DoubleStream.of(values).distinct().count() == 1;
  }

  private static boolean isPlausible(double[] values) {
    long right = DoubleStream.of(values).filter(v -> v >= COLDEST && v <= HOTTEST).count();
    double pace = 0;
    for (int i = 1; i < values.length; i++) {
      pace += Math.abs(values[i] - values[i - 1]);
    }
    return Stretch.nearlyAll(right, values.length)
        && pace <= LEAST_PACE * Math.max(1, values.length - 1);
  }

  /** The row in which the sensor shows what the meter did; the row begins at the first sensor. */
  private Optional<Row> byMeter(List<Row> rows, Known known) {
    List<Row> fitting = new ArrayList<>();
    for (Row row : rows) {
      for (int i = known.number() - 1; i < row.count; i++) {
        int width = row.form.code.span(1);
        double[] values = celsius(row.form, row.at + width * i);
        if (Math.abs(meter.at(known, kind, values) - known.value()) <= METER) {
          int skipped = i - known.number() + 1;
          fitting.add(
              new Row(
                  row.form,
                  row.at + width * skipped,
                  row.count - skipped,
                  row.mean,
                  row.range,
                  row.leaps,
                  row.isUsualOrder,
                  row.isOftenNothing));
          break;
        }
      }
    }
    return fitting.stream().min(LIKELIEST);
  }
}
