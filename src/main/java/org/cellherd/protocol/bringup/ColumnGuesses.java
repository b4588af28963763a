package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.IntPredicate;
import org.cellherd.protocol.bringup.Structure.Kind;

/** Looks for bytes that behave like cell voltages, the pack's voltage, temperatures, counters. */
final class ColumnGuesses {
  private static final int FEWEST_CELLS = 3;

  private static final int MOST_CELLS = 64;

  /** Cells of one pack lie closer together than this, mV. */
  private static final int CELL_SPAN_MV = 250;

  private static final int LOWEST_CELL_MV = 2000;
  private static final int HIGHEST_CELL_MV = 4400;

  /** -20 and 60 degC in 0.1 K. */
  private static final int COLD_TENTH_K = 2531;

  private static final int HOT_TENTH_K = 3331;

  private final List<Sample> samples;
  private final int from;
  private final int to;
  private final List<ColumnGuess> guesses = new ArrayList<>();

  private ColumnGuesses(List<Sample> samples, int from, int to) {
    this.samples = samples;
    this.from = from;
    this.to = to;
  }

  /** Where a row of cell voltages begins, so that it is not taken for a header. */
  static int firstCellAt(List<Sample> samples, int to) {
    return new ColumnGuesses(samples, 0, to).cells().map(ColumnGuess::at).orElse(to);
  }

  /** What was found, in the order of the message. */
  static List<ColumnGuess> of(Structure structure, Kind kind) {
    ColumnGuesses made =
        new ColumnGuesses(
            kind.samples(), structure.dataAt(), kind.shortest() - structure.trailer());
    Optional<ColumnGuess> cells = made.cells();
    if (cells.isPresent() && made.isCounted(cells.get(), structure.trailer())) {
      return counted(cells.get());
    }
    cells.ifPresent(made.guesses::add);
    cells.flatMap(made::packVoltage).ifPresent(made.guesses::add);
    made.temperatures();
    made.counters();
    made.guesses.sort(Comparator.comparingInt(ColumnGuess::at));
    return List.copyOf(made.guesses);
  }

  private static int value(Sample sample, int at, int bytes, boolean isLowFirst) {
    long value = 0;
    for (int i = 0; i < bytes; i++) {
      value = value << 8 | sample.at(at + (isLowFirst ? bytes - 1 - i : i));
    }
    return (int) Math.min(Integer.MAX_VALUE, value);
  }

  // ---- cells -----------------------------------------------------------------------------------

  private Optional<ColumnGuess> cells() {
    ColumnGuess best = new ColumnGuess(0, 2, 0, false, "", Optional.empty());
    for (int tenths = 1; tenths <= 10; tenths += 9) {
      for (int order = 0; order < 2; order++) {
        for (int at = from; at + 2 * FEWEST_CELLS <= to; at++) {
          int n = runFrom(at, order == 1, tenths);
          if (n >= Math.max(1, best.count())) {
            ColumnGuess guess = cellGuess(at, n, order == 1, tenths);
            boolean isCloser = n > best.count() || span(guess) * 2 < span(best);
            best = isCloser ? guess : best;
          }
        }
      }
    }
    return best.count() >= FEWEST_CELLS ? Optional.of(withoutPack(best)) : Optional.empty();
  }

  /**
   * How far apart the values of a run lie in the worst message: read across the bounds of bytes, a
   * row of cells looks like another, but for one end that holds something else.
   */
  private int span(ColumnGuess run) {
    int worst = 0;
    for (Sample sample : samples) {
      int low = Integer.MAX_VALUE;
      int high = 0;
      for (int i = 0; i < run.count(); i++) {
        int value = value(sample, run.at() + 2 * i, 2, run.isLowFirst());
        low = Math.min(low, value);
        high = Math.max(high, value);
      }
      worst = Math.max(worst, high - low);
    }
    return worst;
  }

  /** The voltage of ten cells in 10 mV looks like an eleventh cell, but is always their mean. */
  private ColumnGuess withoutPack(ColumnGuess run) {
    int n = run.count() - 1;
    int tenths = run.what().endsWith("0.1 mV") ? 10 : 1;
    if (n != 10) {
      return run;
    }
    for (Sample sample : samples) {
      long sum = 0;
      for (int i = 0; i < n; i++) {
        sum += value(sample, run.at() + 2 * i, 2, run.isLowFirst());
      }
      if (Math.abs(sum - 10L * value(sample, run.at() + 2 * n, 2, run.isLowFirst())) > 10) {
        return run;
      }
    }
    return cellGuess(run.at(), n, run.isLowFirst(), tenths);
  }

  private static ColumnGuess cellGuess(int at, int n, boolean isLowFirst, int tenths) {
    String unit = tenths == 1 ? "mV" : "0.1 mV";
    String scale = tenths == 1 ? "" : ", scale = 0.1";
    return new ColumnGuess(
        at,
        2,
        n,
        isLowFirst,
        n + " cell voltages in " + unit,
        Optional.of("as = \"cell\", type = \"u16\", repeat = " + n + scale + ", unit = \"mV\""));
  }

  /** True when the byte before the cells tells how many there are, and that differs. */
  private boolean isCounted(ColumnGuess cells, int trailer) {
    if (cells.at() == from || samples.stream().mapToInt(Sample::length).distinct().count() < 2) {
      return false;
    }
    for (Sample sample : samples) {
      int n = sample.at(cells.at() - 1);
      if (n < 1 || n > MOST_CELLS || cells.at() + 2 * n > sample.length() - trailer) {
        return false;
      }
    }
    return true;
  }

  private static List<ColumnGuess> counted(ColumnGuess cells) {
    String count = "name = \"cells\", type = \"u8\", min = 1, max = 64, show = false";
    String field =
        cells
            .field()
            .orElseThrow()
            .replaceFirst("repeat = [0-9]+", "repeat = \"cells\", most = 64");
    return List.of(
        new ColumnGuess(cells.at() - 1, 1, 1, false, "the number of cells", Optional.of(count)),
        new ColumnGuess(
            cells.at(),
            2,
            cells.count(),
            cells.isLowFirst(),
            "cell voltages, as many as told before them, here " + cells.what(),
            Optional.of(field)));
  }

  /** How many values from here on look like cells of one pack in every message. */
  private int runFrom(int at, boolean isLowFirst, int tenths) {
    int most = (to - at) / 2;
    for (Sample sample : samples) {
      int first = value(sample, at, 2, isLowFirst);
      int n = 0;
      while (n < most && isCell(value(sample, at + 2 * n, 2, isLowFirst), first, tenths)) {
        n++;
      }
      most = Math.min(most, n);
    }
    return most;
  }

  private static boolean isCell(int value, int first, int tenths) {
    return value >= LOWEST_CELL_MV * tenths
        && value <= HIGHEST_CELL_MV * tenths
        && Math.abs(value - first) <= CELL_SPAN_MV * tenths;
  }

  private Optional<ColumnGuess> packVoltage(ColumnGuess cells) {
    int tenths = cells.what().endsWith("0.1 mV") ? 10 : 1;
    for (int bytes = 2; bytes <= 4; bytes += 2) {
      for (int at = from; at + bytes <= to; at++) {
        for (int mv = 1; mv <= 100; mv *= 10) {
          String type = "as = \"pack_voltage\", type = \"u" + 8 * bytes + "\", scale = " + mv;
          ColumnGuess guess =
              new ColumnGuess(
                  at,
                  bytes,
                  1,
                  cells.isLowFirst(),
                  "the pack's voltage in " + mv + " mV: it follows the sum of the cells",
                  Optional.of(type + ", unit = \"mV\""));
          if (!guess.overlaps(cells) && followsSum(guess, cells, mv * tenths)) {
            return Optional.of(guess);
          }
        }
      }
    }
    return Optional.empty();
  }

  private boolean followsSum(ColumnGuess pack, ColumnGuess cells, int factor) {
    for (Sample sample : samples) {
      long sum = 0;
      for (int i = 0; i < cells.count(); i++) {
        sum += value(sample, cells.at() + 2 * i, 2, cells.isLowFirst());
      }
      long told = (long) value(sample, pack.at(), pack.bytes(), pack.isLowFirst()) * factor;
      if (Math.abs(told - sum) * 100 > sum) {
        return false;
      }
    }
    return true;
  }

  // ---- others ----------------------------------------------------------------------------------

  private void temperatures() {
    boolean isLowFirst = guesses.stream().anyMatch(ColumnGuess::isLowFirst);
    for (int at = from; at + 2 <= to; at++) {
      String field =
          "as = \"temperature\", type = \"u16\", scale = 0.1, offset = -273.1, unit = \"C\"";
      ColumnGuess guess =
          new ColumnGuess(
              at, 2, 1, isLowFirst, "perhaps a temperature in 0.1 K", Optional.of(field));
      if (isFree(guess) && all(guess, v -> v >= COLD_TENTH_K && v <= HOT_TENTH_K)) {
        guesses.add(guess);
        at++;
      }
    }
  }

  private boolean isFree(ColumnGuess guess) {
    return guesses.stream().noneMatch(guess::overlaps);
  }

  private boolean all(ColumnGuess guess, IntPredicate holds) {
    return Arrays.stream(values(guess)).allMatch(holds);
  }

  private int[] values(ColumnGuess guess) {
    return samples.stream()
        .mapToInt(s -> value(s, guess.at(), guess.bytes(), guess.isLowFirst()))
        .toArray();
  }

  /** A byte that mostly grows by one from message to message. */
  private void counters() {
    for (int at = from; at < to && samples.size() >= 4; at++) {
      ColumnGuess guess = new ColumnGuess(at, 1, 1, false, "a counter", Optional.empty());
      int[] values = values(guess);
      int steps = 0;
      for (int i = 1; i < values.length; i++) {
        steps += (values[i] - values[i - 1] & 0xFF) == 1 ? 1 : 0;
      }
      if (isFree(guess) && steps * 3 >= (values.length - 1) * 2) {
        guesses.add(guess);
      }
    }
  }
}
