package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.DoubleStream;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.bringup.ColumnGuess.Role;
import org.cellherd.protocol.bringup.Known.Quantity;

/**
 * Finds the current: when a load is switched, the cells' voltages step with it, and by Ohm's law
 * the step is proportional to the current's. A meter's value settles scale, zero and sign.
 */
final class CurrentSearch {

  /**
   * Steps must agree so well. Of some thousand unrelated columns of {@link #FEWEST} messages the
   * best agrees to about 0.6 by chance (three to four standard errors of 1 / sqrt(n)).
   */
  private static final double LEAST_TIE = 0.75;

  private static final int FEWEST = 25;

  /** Ties within this much are equal: then the more usual coding is taken. */
  private static final double SAME_TIE = 0.002;

  /** A cell with its straps has about 1.5 mohm; common practice of rebuilt packs, no source. */
  private static final double USUAL_MOHM = 1.5;

  /** Cells of rebuilt packs lie within a factor of 50 of that: 0.03 to 75 mohm. */
  private static final double MOST_ODD = 50;

  /** Readings of a meter and of the board differ so much. */
  private static final double METER_PART = 0.03;

  private static final int MOST_LOOKED_AT = 2000;

  /** A column, how it is tied to the mean cell, and mV of the mean cell per unit. */
  private static final class Tie {
    private final Code code;
    private final int at;
    private final double[] values;
    private final double tie;
    private final double slope;

    Tie(Code code, int at, double[] values, double tie, double slope) {
      this.code = code;
      this.at = at;
      this.values = values;
      this.tie = tie;
      this.slope = slope;
    }

    double size() {
      return Math.abs(tie);
    }

    /** Cells rise with the current that charges them. */
    boolean isSignOf(double milliamps) {
      return size() < LEAST_TIE || milliamps * slope > 0;
    }

    private double low() {
      return DoubleStream.of(values).min().orElse(0);
    }

    private double high() {
      return DoubleStream.of(values).max().orElse(0);
    }

    boolean isNearZero() {
      double width = high() - low();
      return low() - 2 * width <= 0 && high() + 2 * width >= 0;
    }

    boolean holdsZero() {
      return low() <= 0 && high() >= 0;
    }

    /** Multiples of some steps that are not far from the values. */
    List<Double> round(double... steps) {
      double width = high() - low();
      List<Double> round = new ArrayList<>();
      for (double step : steps) {
        for (double zero = step; zero <= 65_536; zero += step) {
          if (zero >= low() - width && zero <= high() + width) {
            round.add(zero);
          }
        }
      }
      return round;
    }

    long distinct() {
      return DoubleStream.of(values).distinct().count();
    }
  }

  /**
   * What makes milliamperes of a number: (raw - zero) x mA, positive charges.
   *
   * @param zero the number at rest
   */
  private record Scale(double zero, double milliamps) {}

  private final Stretch kind;
  private final double[] means;
  private final Meter meter;
  private final Code cells;

  /**
   * A search.
   *
   * @param means the mean cell at each message, mV
   * @param cells how cells stand: a board sends its numbers in one order
   */
  CurrentSearch(Stretch whole, double[] means, Meter meter, Code cells) {
    int n = Math.min(MOST_LOOKED_AT, whole.samples().size());
    this.kind =
        new Stretch(
            whole.samples().subList(0, n), whole.places().subList(0, n), whole.from(), whole.to());
    this.means = Stretch.withoutLoneLeaps(java.util.Arrays.copyOf(means, n));
    this.meter = meter;
    this.cells = cells;
  }

  /** How well the best column is tied, and what it is. */
  record Found(double tie, ColumnGuess guess) {}

  Optional<Found> find(Taken taken) {
    List<Tie> ties = ties(taken);
    double best = ties.stream().mapToDouble(Tie::size).max().orElse(0);
    Optional<Known> known = meter.of(Quantity.CURRENT);
    if (best >= LEAST_TIE && kind.samples().size() >= FEWEST) {
      List<Tie> same =
          ties.stream()
              .filter(t -> t.size() >= best - SAME_TIE && !CellMotion.isSurer(best, t.size()))
              .toList();
      return finest(known.map(k -> agreeing(same, k)).orElse(same))
          .map(t -> new Found(t.size(), guess(widened(t, taken), known)));
    }
    return known.flatMap(k -> byMeterAlone(ties, k));
  }

  /** Those that show the meter's value under a usual scale; all when none does. */
  private List<Tie> agreeing(List<Tie> ties, Known known) {
    List<Tie> agreeing = ties.stream().filter(t -> decade(t, known).isPresent()).toList();
    return agreeing.isEmpty() ? ties : agreeing;
  }

  /**
   * Half of a number's bytes follow the whole number, but tell fewer values; with bytes of its
   * neighbour it tells more, but then cells would have an odd resistance, or its bytes stand in
   * another order than theirs.
   */
  private Optional<Tie> finest(List<Tie> ties) {
    List<Tie> usual = orAll(ties, CurrentSearch::isOfCells);
    List<Tie> left = orAll(usual, t -> t.code.isLowFirst() == cells.isLowFirst());
    long most = left.stream().mapToLong(Tie::distinct).max().orElse(0);
    return left.stream().filter(t -> t.distinct() * 10 >= most * 9).findFirst();
  }

  private static List<Tie> orAll(List<Tie> ties, Predicate<Tie> wanted) {
    List<Tie> left = ties.stream().filter(wanted).toList();
    return left.isEmpty() ? ties : left;
  }

  /** A word whose sign goes on in the two bytes beside it is the lower half of a longer number. */
  private Tie widened(Tie tie, Taken taken) {
    for (Code whole : Code.CURRENTS) {
      int at = whole.isHalfFirst() ? tie.at : tie.at - 2;
      boolean isPossible =
          whole.isTwiceOf(tie.code)
              && at >= kind.from()
              && at + whole.span(1) <= kind.to()
              && taken.isFree(at, at + whole.span(1));
      if (isPossible) {
        double[] values = Stretch.withoutLoneLeaps(kind.values(whole, at, 0));
        if (Arrays.equals(values, tie.values) && DoubleStream.of(values).anyMatch(v -> v < 0)) {
          return tie(whole, at, values);
        }
      }
    }
    return tie;
  }

  private static boolean isOfCells(Tie tie) {
    return decades(tie.code).stream().anyMatch(ma -> oddness(tie, ma) <= Math.log(10));
  }

  private List<Tie> ties(Taken taken) {
    List<Tie> ties = new ArrayList<>();
    for (Code code : Code.CURRENTS) {
      for (int at = kind.from(); at + code.span(1) <= kind.to(); at++) {
        if (taken.isFree(at, at + code.span(1))) {
          double[] values = Stretch.withoutLoneLeaps(kind.values(code, at, 0));
          boolean isPossible = DoubleStream.of(values).allMatch(v -> Math.abs(v) < 1e9);
          if (isPossible && !isReadAcross(code, values)) {
            ties.add(tie(code, at, values));
          }
        }
      }
    }
    return ties;
  }

  /**
   * True of floats that are at times smaller than normal ones and yet not 0: half of the number is
   * another column, which shows when the current is 0.
   */
  private static boolean isReadAcross(Code code, double[] values) {
    long tiny =
        DoubleStream.of(values).filter(v -> v != 0 && Math.abs(v) < Float.MIN_NORMAL).count();
    return code.isFloat() && tiny > Stretch.fewOf(values.length);
  }

  private Tie tie(Code code, int at, double[] values) {
    double xx = 0;
    double xy = 0;
    double yy = 0;
    int before = -1;
    for (int i = 0; i < values.length; i++) {
      if (Double.isNaN(means[i])) {
        continue;
      }
      double x = before < 0 ? 0 : values[i] - values[before];
      double y = before < 0 ? 0 : means[i] - means[before];
      xx += x * x;
      xy += x * y;
      yy += y * y;
      before = i;
    }
    double tie = xx > 0 && yy > 0 ? xy / Math.sqrt(xx * yy) : 0;
    return new Tie(code, at, values, tie, xx > 0 ? xy / xx : 0);
  }

  // ---- scale and zero --------------------------------------------------------------------------

  private ColumnGuess guess(Tie tie, Optional<Known> known) {
    Optional<Scale> told =
        known
            .flatMap(k -> byMeter(tie, k))
            .filter(s -> oddness(tie, Math.abs(s.milliamps)) <= Math.log(MOST_ODD));
    Scale scale = told.orElseGet(() -> usual(tie));
    String evidence =
        String.format(
            java.util.Locale.ROOT,
            "the current: its steps are tied to the cells' (%.2f of 1); cells would have %.2f mohm",
            tie.size(),
            Math.abs(tie.slope * 1000 / scale.milliamps));
    String open =
        told.isPresent()
            ? "; the meter settles scale and sign"
            : known.isPresent()
                ? "; the meter's current contradicts the capture, since cells would have no such"
                    + " resistance: look at its value, sign and time"
                : "; scale and zero are guessed, settle them with --known \"current = ...\"";
    ColumnGuess guess = guess(tie, scale, evidence + open);
    return told.isPresent() ? guess.settled() : guess;
  }

  private static ColumnGuess guess(Tie tie, Scale scale, String what) {
    double amps = Math.abs(scale.milliamps) / 1000;
    String sign = scale.milliamps > 0 ? "charging" : "discharging";
    String keys =
        (amps == 1 ? "" : ", scale = " + number(amps))
            + (scale.zero == 0 ? "" : ", offset = " + number(-scale.zero * amps))
            + ", unit = \"A\", positive = \""
            + sign
            + "\"";
    return ColumnGuess.of(tie.at, tie.code, 1, Role.CURRENT, what, keys);
  }

  private static String number(double value) {
    return java.math.BigDecimal.valueOf(Math.rint(value * 1e7) / 1e7)
        .stripTrailingZeros()
        .toPlainString();
  }

  /** The decade under which cells have the resistance that cells have. */
  private Scale usual(Tie tie) {
    double sign = tie.slope < 0 ? -1 : 1;
    double best = decades(tie.code).get(0);
    for (double ma : decades(tie.code)) {
      if (oddness(tie, ma) < oddness(tie, best)) {
        best = ma;
      }
    }
    return new Scale(zeros(tie).get(0), sign * best);
  }

  private static double oddness(Tie tie, double milliamps) {
    double mohm = Math.abs(tie.slope * 1000 / milliamps);
    return Math.abs(Math.log(Math.max(1e-9, mohm) / USUAL_MOHM));
  }

  private static List<Double> decades(Code code) {
    return code.isFloat() ? List.of(1000.0, 1.0) : List.of(1.0, 10.0, 100.0, 1000.0);
  }

  /** Numbers that may stand for no current: 0, or where that lies far off, round ones. */
  private static List<Double> zeros(Tie tie) {
    if (tie.isNearZero() || tie.code.isFloat()) {
      return List.of(0.0);
    }
    List<Double> round = tie.round(10_000, 32_768, 5000, 16_384, 1000, 2048, 500, 100);
    round.add(0.0);
    return round;
  }

  /** Those that a meter may tell apart: a shifted zero may be near enough to look like none. */
  private static List<Double> zerosToldApart(Tie tie) {
    List<Double> all = new ArrayList<>(zeros(tie));
    if (tie.isNearZero() && !tie.code.isFloat()) {
      all.addAll(tie.round(10_000, 32_768, 5000, 16_384));
    }
    return all;
  }

  /** The scale that gives the meter's value: a usual one, else whatever it takes. */
  private Optional<Scale> byMeter(Tie tie, Known known) {
    double ratio = known.value() * 1000 / meter.at(known, kind, tie.values);
    boolean isUsable = Double.isFinite(ratio) && ratio != 0 && tie.holdsZero();
    return decade(tie, known)
        .or(
            () ->
                isUsable && tie.isSignOf(ratio)
                    ? Optional.of(new Scale(0, ratio))
                    : Optional.empty());
  }

  /** Of the usual scales that give the meter's value that of the likeliest cells. */
  private Optional<Scale> decade(Tie tie, Known known) {
    return DoubleStream.of(meter.near(known, kind, tie.values))
        .boxed()
        .flatMap(raw -> decade(tie, raw, known.value() * 1000).stream())
        .findFirst();
  }

  private static Optional<Scale> decade(Tie tie, double raw, double told) {
    for (double zero : zerosToldApart(tie)) {
      Optional<Double> fit =
          decades(tie.code).stream()
              .filter(ma -> matches(Math.abs((raw - zero) * ma), Math.abs(told), ma))
              .min(Comparator.comparingDouble(ma -> oddness(tie, ma)));
      if (fit.isPresent()) {
        double sign = (raw - zero) * told < 0 ? -1 : 1;
        boolean isClear = Math.abs(told) > 2 * fit.get();
        double milliamps = (isClear ? sign : Math.signum(tie.slope)) * fit.get();
        if (tie.isSignOf(milliamps)) {
          return Optional.of(new Scale(zero, milliamps));
        }
      }
    }
    return Optional.empty();
  }

  private static boolean matches(double here, double told, double unit) {
    return Math.abs(here - told) <= unit + told * METER_PART;
  }

  /** Without steps: the column that shows the meter's value, if only one does. */
  private Optional<Found> byMeterAlone(List<Tie> ties, Known known) {
    double told = known.value() * 1000;
    List<Tie> fitting =
        ties.stream()
            .filter(t -> DoubleStream.of(t.values).distinct().count() > 1)
            .filter(
                t -> {
                  double raw = meter.at(known, kind, t.values);
                  return decades(t.code).stream()
                      .anyMatch(ma -> matches(Math.abs(raw * ma), Math.abs(told), ma / 2));
                })
            .toList();
    if (fitting.isEmpty() || Math.abs(told) < 500) {
      return Optional.empty();
    }
    Tie first = fitting.get(0);
    String what =
        "perhaps the current: "
            + (fitting.size() == 1
                ? "it alone shows"
                : Spoken.counted(fitting.size(), "column") + " show")
            + " the meter's value; a load switched on and off would settle it";
    return byMeter(first, known).map(s -> new Found(0, guess(first, s, what)));
  }
}
