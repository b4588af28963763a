package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.bringup.ColumnGuess.Role;

/** Rows of numbers that behave like the cell voltages of one pack, over all kinds of message. */
final class CellRows {
  static final int FEWEST_CELLS = 3;

  /** Cells of one pack lie closer together than this, mV. */
  private static final int CELL_SPAN_MV = 250;

  private static final int LOWEST_CELL_MV = 2000;
  private static final int HIGHEST_CELL_MV = 4400;

  /** Messages of a kind in which rows are sought. */
  private static final int MOST_LOOKED_AT = 200;

  private static final int MOST_COMPARED = 600;

  /** A hand-held meter errs by so much, and so does a board (common practice, no source). */
  private static final double METER_PART = 0.005;

  private static final double METER_MV = 2;

  /** Of rows that are too short alone so many cells must move together. */
  private static final int FEWEST_IN_SHORT_ROWS = 4;

  /**
   * A row of cells.
   *
   * @param kind rank of the kind of message
   */
  record Row(int kind, int at, int count) {}

  private final List<Stretch> kinds;

  /** The same, no more of each than is compared. */
  private final List<Stretch> few;

  private final CellForm form;
  private final Code code;
  private final double unitMv;
  private final List<Row> rows = new ArrayList<>();

  private int explained;

  CellRows(List<Stretch> kinds, CellForm form) {
    this.kinds = kinds;
    this.few = kinds.stream().map(k -> k.rows(MOST_COMPARED)).toList();
    this.form = form;
    this.code = form.code();
    this.unitMv = form.unitMv();
    for (int kind = 0; kind < kinds.size(); kind++) {
      Row row = withoutIdle(longest(kind));
      if (row.count >= FEWEST_CELLS && row.count <= Channel.MAX_NUMBER) {
        explained += row.count;
        rows.add(new CellSummaries(this, some(kinds.get(kind))).without(row));
      }
    }
    withoutStrangers();
    List.copyOf(rows).stream()
        .sorted(Comparator.comparingInt(Row::count))
        .filter(this::isOfExtremes)
        .forEach(rows::remove);
    boolean isLong = count() >= (FEWEST_CELLS - 1) * kinds.size();
    List<Row> together = isLong ? List.of() : shortRows();
    shortPages();
    if (!together.isEmpty()) {
      insteadOf(together);
    }
    while (count() > Channel.MAX_NUMBER) {
      rows.remove(rows.size() - 1);
    }
  }

  /** Short rows and their last page, where these are more than the longer ones with theirs. */
  private void insteadOf(List<Row> together) {
    List<Row> longer = List.copyOf(rows);
    rows.clear();
    rows.addAll(together);
    shortPages();
    if (count() > longer.stream().mapToInt(Row::count).sum()) {
      explained = together.stream().mapToInt(Row::count).sum();
    } else {
      rows.clear();
      rows.addAll(longer);
    }
  }

  /**
   * Without what does not move with the others at an end: what stands beside cells may lie near.
   */
  private Row withoutIdle(Row row) {
    int width = code.isPacked() ? 0 : code.span(1);
    Row front = new Row(row.kind, row.at, row.count - 1);
    Row back = new Row(row.kind, row.at + width, row.count - 1);
    if (row.count > FEWEST_CELLS) {
      double own = together(row);
      if (CellMotion.isIdleBeside(own, together(front))) {
        return withoutIdle(front);
      }
      if (width > 0 && CellMotion.isIdleBeside(own, together(back))) {
        return withoutIdle(back);
      }
    }
    return row;
  }

  /** Temperatures in 0.1 K look like cells in mV, but not like those of the longest row. */
  private void withoutStrangers() {
    if (rows.isEmpty()) {
      return;
    }
    Row longest = rows.stream().max(Comparator.comparingInt(Row::count)).orElseThrow();
    double mean = Arrays.stream(means(longest)).average().orElse(0);
    rows.removeIf(r -> Math.abs(Arrays.stream(means(r)).average().orElse(0) - mean) > CELL_SPAN_MV);
  }

  /** True when each cell shows what the meter did. */
  boolean agrees(List<Known> told, Meter meter) {
    return told.stream().allMatch(known -> agrees(known, meter));
  }

  private boolean agrees(Known known, Meter meter) {
    int before = 0;
    for (Row row : rows) {
      int rank = known.number() - before - 1;
      if (rank >= 0 && rank < row.count) {
        Stretch kind = kinds.get(row.kind);
        double[] column = column(kind.samples(), row, rank);
        double right = known.value() * 1000;
        return Arrays.stream(meter.near(known, kind, column))
            .anyMatch(mv -> Math.abs(mv - right) <= METER_MV + right * METER_PART);
      }
      before += row.count;
    }
    return false;
  }

  /** The worst of {@link CellMotion#together}, 0 to 1. */
  double together() {
    return together(rows);
  }

  private double together(List<Row> some) {
    return some.stream().filter(r -> r.count > 1).mapToDouble(this::together).min().orElse(0);
  }

  private double together(Row row) {
    List<Sample> samples = kinds.get(row.kind).samples();
    List<Sample> some = samples.subList(0, Math.min(samples.size(), MOST_COMPARED));
    double[][] columns = new double[row.count][];
    Arrays.setAll(columns, cell -> column(some, row, cell));
    return CellMotion.together(columns);
  }

  int count() {
    return rows.stream().mapToInt(Row::count).sum();
  }

  /** How far apart the values of a row lie at most, mV. */
  double span() {
    return span(rows);
  }

  private double span(List<Row> some) {
    return some.stream().mapToDouble(this::span).max().orElse(0);
  }

  /** Values that lie as cells do, those that only sum them up among them. */
  int explained() {
    return explained;
  }

  /** All rows, in the order of the kinds. */
  List<Row> rows() {
    return rows;
  }

  Stretch kind(Row row) {
    return kinds.get(row.kind);
  }

  Code code() {
    return code;
  }

  double unitMv() {
    return unitMv;
  }

  /** A number of a message as a cell, mV. */
  double mv(Sample sample, int at, int rank) {
    return code.read(sample, at, rank) * unitMv + form.offsetMv();
  }

  private static List<Sample> some(Stretch kind) {
    int step = 1 + kind.samples().size() / MOST_LOOKED_AT;
    List<Sample> some = new ArrayList<>();
    for (int i = 0; i < kind.samples().size(); i += step) {
      some.add(kind.samples().get(i));
    }
    return some;
  }

  private Row longest(int kind) {
    Stretch stretch = kinds.get(kind);
    List<Sample> some = some(stretch);
    Row best = new Row(kind, 0, 0);
    for (int at = stretch.from(); at + code.span(FEWEST_CELLS) <= stretch.to(); at++) {
      Row row = new Row(kind, at, runFrom(some, at, stretch.to()));
      if (row.count >= Math.max(1, best.count)) {
        best = row.count > best.count || isClearer(row, best) ? row : best;
      }
    }
    return best;
  }

  private boolean isClearer(Row row, Row best) {
    return isClearer(List.of(row), List.of(best));
  }

  private boolean isClearer(List<Row> some, List<Row> best) {
    double own = together(some);
    double others = together(best);
    return CellMotion.isSurer(own, others)
        || (!CellMotion.isSurer(others, own) && span(some) * 2 < span(best));
  }

  /** How many values from a place on look like cells of one pack in nearly every message. */
  private int runFrom(List<Sample> samples, int at, int to) {
    int most = code.fitting(to - at);
    int[] counts = new int[samples.size()];
    int bad = 0;
    for (int i = 0; i < counts.length; i++) {
      double first = mv(samples.get(i), at, 0);
      int n = 0;
      while (n < most && isCell(mv(samples.get(i), at, n), first)) {
        n++;
      }
      counts[i] = n;
      bad += n < FEWEST_CELLS ? 1 : 0;
      if (bad > 2 + counts.length / 20) {
        return 0;
      }
    }
    return Stretch.nearlyAll(counts);
  }

  private static boolean isCell(double mv, double first) {
    return mv >= LOWEST_CELL_MV && mv <= HIGHEST_CELL_MV && Math.abs(mv - first) <= CELL_SPAN_MV;
  }

  /**
   * How far apart the values of a row lie in the usual message: read across the bounds of bytes, a
   * row of cells looks like another, but for one end that holds something else.
   */
  private double span(Row row) {
    double sum = 0;
    List<Sample> some = some(kinds.get(row.kind));
    for (Sample sample : some) {
      double low = Double.POSITIVE_INFINITY;
      double high = 0;
      for (int i = 0; i < row.count; i++) {
        double mv = mv(sample, row.at, i);
        low = Math.min(low, mv);
        high = Math.max(high, mv);
      }
      sum += high - low;
    }
    return sum / Math.max(1, some.size());
  }

  /**
   * Pages or frames of one or two cells each, a row at one place of several in turn: three
   * temperatures in 0.1 K are a longer row, but hold less.
   */
  private List<Row> shortRows() {
    int from = kinds.stream().mapToInt(Stretch::from).min().orElse(0);
    int to = kinds.stream().mapToInt(Stretch::to).max().orElse(0);
    List<Row> best = List.of();
    for (int count = FEWEST_CELLS - 1; count > 0 && best.isEmpty(); count--) {
      for (int at = from; at + code.span(count) <= to; at++) {
        List<Row> together = together(at, count);
        boolean isMore = together.size() > best.size();
        if (isMore || (together.size() == best.size() && isClearer(together, best))) {
          best = together;
        }
      }
    }
    return best;
  }

  /** The longest run of kinds that have a row at a place, each of which follows the first. */
  private List<Row> together(int at, int count) {
    List<Row> best = new ArrayList<>();
    List<Row> run = new ArrayList<>();
    for (int kind = 0; kind < kinds.size(); kind++) {
      Row row = new Row(kind, at, count);
      if (!isShortRow(row)) {
        run = new ArrayList<>();
      } else {
        run = run.isEmpty() || areClose(run.get(0), row) ? run : new ArrayList<>();
        run.add(row);
      }
      best = run.size() > best.size() ? run : best;
    }
    return best.size() * count >= FEWEST_IN_SHORT_ROWS ? best : List.of();
  }

  private boolean isShortRow(Row row) {
    Stretch kind = kinds.get(row.kind);
    List<Sample> some = some(kind);
    return row.at >= kind.from()
        && row.at + code.span(row.count) <= kind.to()
        && Stretch.nearlyAll(some.stream().filter(s -> isRow(s, row)).count(), some.size());
  }

  private boolean isRow(Sample sample, Row row) {
    double first = mv(sample, row.at, 0);
    for (int rank = 0; rank < row.count; rank++) {
      if (!isCell(mv(sample, row.at, rank), first)) {
        return false;
      }
    }
    return true;
  }

  private boolean areClose(Row first, Row row) {
    double apart = Arrays.stream(means(few, first)).average().orElse(0);
    apart -= Arrays.stream(means(few, row)).average().orElse(0);
    return Math.abs(apart) <= CELL_SPAN_MV && follows(row, first);
  }

  /** A last page may hold one or two cells: at the same place, and close to the others. */
  private void shortPages() {
    if (rows.isEmpty()) {
      return;
    }
    Row first = rows.get(0);
    double[] all = means();
    List<Row> others = new ArrayList<>();
    for (int kind = 0; kind < kinds.size(); kind++) {
      int number = kind;
      if (rows.stream().noneMatch(r -> r.kind == number)) {
        Row page = new Row(kind, first.at, shortRow(kinds.get(kind), first, all));
        boolean isTold =
            rows.size() > 1 ? !isStranger(page) : kind == first.kind + 1 && follows(page, first);
        if (page.count > 0 && isTold && !isOfExtremes(page)) {
          others.add(page);
        }
      }
    }
    rows.addAll(others);
    rows.sort(Comparator.comparingInt(Row::kind));
  }

  /**
   * True when a page follows the first one worse than the second does, by more than chance, and not
   * by half either: the mean of two coarse cells follows less well than that of four.
   */
  private boolean isStranger(Row page) {
    if (page.count == 0) {
      return true;
    }
    Row first = rows.get(0);
    double usual = CellMotion.tie(steps(rows.get(1), first));
    return usual - CellMotion.tie(steps(page, first)) > CellMotion.SURE_BETTER
        && !follows(page, first);
  }

  /** True when a page moves with another by half at least, as a load moves all cells of a pack. */
  private boolean follows(Row page, Row first) {
    return page.count > 0 && CellMotion.follows(steps(page, first));
  }

  /** The steps of a page's mean, and those of another's that came with them. */
  private List<double[]> steps(Row page, Row first) {
    double[] values = means(few, page);
    double[] others = means(few, first);
    int[] partners = few.get(first.kind).partnersOf(few.get(page.kind));
    List<double[]> steps = new ArrayList<>();
    for (int i = 1; i < values.length; i++) {
      if (partners[i] >= 0 && partners[i - 1] >= 0) {
        double other = others[partners[i]] - others[partners[i - 1]];
        steps.add(new double[] {values[i] - values[i - 1], other});
      }
    }
    return steps;
  }

  /** True when a row only sums up the cells of other messages. */
  private boolean isOfExtremes(Row page) {
    List<Row> others = rows.stream().filter(r -> r.kind != page.kind).toList();
    return page.count > 1
        && !others.isEmpty()
        && new CellExtremes(this, others, kinds.get(page.kind)).are(page.at, page.count);
  }

  /** How many cells stand where the first row has more: what is behind them is 0, or nothing. */
  private int shortRow(Stretch stretch, Row first, double[] range) {
    List<Sample> samples = stretch.samples();
    int places = Math.min(first.count, code.fitting(stretch.to() - first.at));
    int count = places;
    while (count > 0 && isNothing(samples, first.at, count - 1)) {
      count--;
    }
    int there = count;
    long close = samples.stream().filter(s -> isLike(s, first.at, there, range)).count();
    boolean isShort = there < first.count && Stretch.nearlyAll(close, samples.size());
    return isShort ? there : 0;
  }

  private boolean isNothing(List<Sample> samples, int at, int rank) {
    long nothing = samples.stream().filter(s -> code.read(s, at, rank) == 0).count();
    return Stretch.nearlyAll(nothing, samples.size());
  }

  private boolean isLike(Sample sample, int at, int count, double[] range) {
    for (int i = 0; i < count; i++) {
      double mv = mv(sample, at, i);
      if (!(mv >= range[0] - CELL_SPAN_MV && mv <= range[1] + CELL_SPAN_MV)) {
        return false;
      }
    }
    return true;
  }

  /** Lowest and highest mean of a row, mV. */
  private double[] means() {
    double low = Double.POSITIVE_INFINITY;
    double high = 0;
    for (Row row : rows) {
      for (double mean : means(row)) {
        low = Math.min(low, mean);
        high = Math.max(high, mean);
      }
    }
    return new double[] {low, high};
  }

  private double[] means(Row row) {
    return means(kinds, row);
  }

  private double[] means(List<Stretch> of, Row row) {
    return Arrays.stream(sums(of.get(row.kind), row)).map(sum -> sum / row.count).toArray();
  }

  /** The sum of a row in each message, without damage that leaps in a cell: it hides in the sum. */
  private double[] sums(Stretch kind, Row row) {
    double[] sums = new double[kind.samples().size()];
    for (int cell = 0; cell < row.count; cell++) {
      double[] calm = Stretch.withoutLoneLeaps(column(kind.samples(), row, cell));
      for (int i = 0; i < sums.length; i++) {
        sums[i] += calm[i];
      }
    }
    return sums;
  }

  private double[] column(List<Sample> samples, Row row, int cell) {
    return samples.stream().mapToDouble(s -> mv(s, row.at, cell)).toArray();
  }

  /**
   * The sum of all cells, mV, as it was nearest to each message of a kind; NaN where a message of
   * cells was lost, since what came nearest then belongs to another instant.
   */
  double[] sumsAt(Stretch kind) {
    double[] sums = new double[kind.samples().size()];
    for (Row row : rows) {
      Stretch cells = kinds.get(row.kind);
      int[] partners = cells.partnersOf(kind);
      double[] own = sums(cells, row);
      for (int i = 0; i < sums.length; i++) {
        sums[i] += partners[i] < 0 ? Double.NaN : own[partners[i]];
      }
    }
    return sums;
  }

  ColumnGuess guess(Row row) {
    String what = Spoken.counted(row.count, "cell voltage") + " in " + form.words();
    return ColumnGuess.of(row.at, code, row.count, Role.CELLS, what, form.keys());
  }
}
