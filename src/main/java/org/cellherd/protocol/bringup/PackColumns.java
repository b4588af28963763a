package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.LongStream;
import org.cellherd.pack.Channel;
import org.cellherd.protocol.bringup.ColumnGuess.Role;
import org.cellherd.protocol.bringup.Known.Quantity;
import org.cellherd.protocol.bringup.Structure.Kind;

/** What the columns of all kinds of message may be, each seen beside the others. */
final class PackColumns {
  private static final int MOST_CELLS = 64;

  /** Highest and lowest. */
  private static final int EXTREMES = 2;

  /** Messages that one ms may hold. */
  private static final long ORDERED = 4096;

  private final int trailer;
  private int sensors;
  private final List<Stretch> stretches = new ArrayList<>();
  private final List<Taken> taken = new ArrayList<>();

  private PackColumns(List<Kind> kinds, List<Sample> all, int dataAt, int trailer) {
    this.trailer = trailer;
    IdentityHashMap<Sample, Long> places = new IdentityHashMap<>();
    for (int i = 0; i < all.size(); i++) {
      // By time, so that what was asked in one round stays together; within a ms by its order.
      places.put(all.get(i), all.get(i).atMs() * ORDERED + i % ORDERED);
    }
    for (Kind kind : kinds) {
      List<Long> own = kind.samples().stream().map(s -> places.getOrDefault(s, 0L)).toList();
      stretches.add(new Stretch(kind.samples(), own, dataAt, kind.shortest() - trailer));
      taken.add(new Taken());
    }
  }

  /** Where a row of cell voltages begins, so that it is not taken for a header. */
  static int firstCellAt(List<Sample> samples, int to, Meter meter) {
    List<Long> places = LongStream.range(0, samples.size()).boxed().toList();
    return CellChoice.find(List.of(new Stretch(samples, places, 0, to)), meter)
        .map(r -> r.rows().get(0).at())
        .orElse(to);
  }

  /** The guesses of each kind, in the order of its bytes. */
  static List<List<ColumnGuess>> of(
      List<Kind> kinds, List<Sample> all, int dataAt, int trailer, Meter meter) {
    PackColumns made = new PackColumns(kinds, all, dataAt, trailer);
    for (int i = 0; i < kinds.size(); i++) {
      made.counters(i);
    }
    Optional<CellRows> cells = CellChoice.find(made.stretches, meter);
    cells.ifPresent(c -> made.beside(c, meter));
    if (cells.isEmpty()) {
      made.packByMeter(meter);
    }
    made.temperatures(meter, cells.map(CellRows::code));
    return made.taken.stream().map(Taken::inOrder).toList();
  }

  /** Cells, the pack's voltage, and the current by its tie to them. */
  private void beside(CellRows cells, Meter meter) {
    boolean isCounted = false;
    for (CellRows.Row row : cells.rows()) {
      isCounted |= addCells(cells, row, meter);
    }
    if (isCounted) {
      packByMeter(meter);
      return;
    }
    for (int i = 0; i < stretches.size(); i++) {
      extremes(cells, i);
    }
    List<double[]> sums = stretches.stream().map(cells::sumsAt).toList();
    for (int i = 0; i < stretches.size(); i++) {
      new PackVoltage(stretches.get(i), sums.get(i), meter)
          .find(taken.get(i))
          .ifPresent(taken.get(i)::add);
    }
    current(cells, sums, meter);
  }

  /** The highest and the lowest cell, told beside the cells. */
  private void extremes(CellRows cells, int kind) {
    Stretch stretch = stretches.get(kind);
    CellExtremes extremes = new CellExtremes(cells, cells.rows(), stretch);
    int end = cells.code().span(EXTREMES);
    for (int at = stretch.from(); at + end <= stretch.to(); at++) {
      if (taken.get(kind).isFree(at, at + end) && extremes.are(at, EXTREMES)) {
        String what = "the highest and the lowest cell";
        taken
            .get(kind)
            .add(new ColumnGuess(at, at + end, EXTREMES, Role.OTHER, what, Optional.empty(), true));
      }
    }
  }

  /** Without cells to add up, the column that alone shows a meter's value. */
  private void packByMeter(Meter meter) {
    for (int i = 0; i < stretches.size(); i++) {
      new PackVoltage(stretches.get(i), new double[0], meter)
          .byMeter(taken.get(i))
          .ifPresent(taken.get(i)::add);
    }
  }

  private void current(CellRows cells, List<double[]> sums, Meter meter) {
    record Candidate(int kind, CurrentSearch.Found found) {}
    List<Candidate> candidates = new ArrayList<>();
    for (int i = 0; i < stretches.size(); i++) {
      int kind = i;
      double[] means = Arrays.stream(sums.get(i)).map(s -> s / cells.count()).toArray();
      new CurrentSearch(stretches.get(i), means, meter, cells.code())
          .find(taken.get(i))
          .ifPresent(f -> candidates.add(new Candidate(kind, f)));
    }
    candidates.stream()
        .max(Comparator.comparingDouble(c -> c.found.tie()))
        .ifPresent(c -> taken.get(c.kind).add(c.found.guess()));
  }

  /** Adds a row; true when the byte before it tells how many cells there are, and that differs. */
  private boolean addCells(CellRows cells, CellRows.Row row, Meter meter) {
    Stretch stretch = stretches.get(row.kind());
    ColumnGuess guess = cells.guess(row);
    boolean isCounted = !cells.code().isPacked() && isCounted(stretch, row, cells.code().span(1));
    if (!isCounted) {
      boolean isSettled = !meter.all(Quantity.CELL).isEmpty();
      taken.get(row.kind()).add(isSettled ? guess.settled() : guess);
      return false;
    }
    String count = "name = \"cells\", type = \"u8\", min = 1, max = 64, show = false";
    String field =
        guess
            .field()
            .orElseThrow()
            .replaceFirst("repeat = [0-9]+", "repeat = \"cells\", most = 64");
    taken
        .get(row.kind())
        .add(
            new ColumnGuess(
                row.at() - 1,
                row.at(),
                1,
                Role.OTHER,
                "the number of cells",
                Optional.of(count),
                true));
    taken
        .get(row.kind())
        .add(
            new ColumnGuess(
                row.at(),
                guess.end(),
                row.count(),
                Role.CELLS,
                "cell voltages, as many as the count before them, here " + guess.what(),
                Optional.of(field),
                !meter.all(Quantity.CELL).isEmpty()));
    return true;
  }

  private boolean isCounted(Stretch stretch, CellRows.Row row, int width) {
    List<Sample> samples = stretch.samples();
    boolean isOneLength = samples.stream().mapToInt(Sample::length).distinct().count() < 2;
    if (row.at() == stretch.from() || isOneLength) {
      return false;
    }
    for (Sample sample : samples) {
      int n = sample.at(row.at() - 1);
      if (n < 1 || n > MOST_CELLS || row.at() + width * n > sample.length() - trailer) {
        return false;
      }
    }
    return true;
  }

  private void temperatures(Meter meter, Optional<Code> cells) {
    Map<Integer, TemperatureRows.Found> rows = new TreeMap<>();
    for (int i = 0; i < stretches.size(); i++) {
      int kind = i;
      boolean isCounted =
          taken.get(i).inOrder().stream().anyMatch(g -> g.what().startsWith("the number"));
      if (!isCounted) {
        new TemperatureRows(stretches.get(i), taken.get(i), meter, cells)
            .find()
            .ifPresent(f -> rows.put(kind, f));
      }
    }
    Optional<TemperatureRows.Found> best = TemperatureRows.likeliest(rows.values());
    rows.forEach(
        (kind, found) -> {
          boolean isTold = found.isOfOneBoard(best.orElseThrow());
          if (isTold && sensors + found.count() <= Channel.MAX_NUMBER) {
            sensors += found.count();
            taken.get(kind).add(found.guess());
          }
        });
  }

  /**
   * A byte that mostly grows by one from message to message, and hardly ever by more than there was
   * time for messages that were lost: a temperature that rises stands still at times, or leaps.
   */
  private void counters(int kind) {
    Stretch stretch = stretches.get(kind);
    Code one = new Code("u8", 8, "big");
    long[] turns = stretch.turns();
    for (int at = stretch.from(); at < stretch.to() && stretch.samples().size() >= 4; at++) {
      double[] values = stretch.values(one, at, 0);
      int ones = 0;
      int grown = 0;
      for (int i = 1; i < values.length; i++) {
        int step = (int) values[i] - (int) values[i - 1] & 0xFF;
        ones += step == 1 ? 1 : 0;
        grown += step > 0 && step <= turns[i] ? 1 : 0;
      }
      boolean isCounter = ones * 3 >= (values.length - 1) * 2;
      boolean isSteady = Stretch.nearlyAll(grown, values.length - 1L);
      if (taken.get(kind).isFree(at, at + 1) && isCounter && isSteady) {
        taken
            .get(kind)
            .add(new ColumnGuess(at, at + 1, 1, Role.OTHER, "a counter", Optional.empty(), true));
      }
    }
  }
}
