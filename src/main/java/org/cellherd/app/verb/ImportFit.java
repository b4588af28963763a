package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;

/**
 * Whether the rows of a file can be of the planned pack, in the units of its columns, and of the
 * past. Half of the rows so far must contradict, or more than not from some row on: a single false
 * value is no reason to refuse. Takes every row, keeps none.
 */
final class ImportFit {

  /** No cell of any chemistry comes near 10 V; in mV the emptiest reads 1000 and more. */
  static final double HIGHEST_CELL_V = 10;

  /** The strongest cells bear some 50 C for seconds; the smallest current in mA is worth 1000. */
  private static final double GREATEST_C = 100;

  /** Cells burn before; a room in kelvin reads 290, in tenths of a degree 200. */
  static final double HOTTEST_C = 150;

  /** Full is 100 %; in tenths of a percent a fifth of a charge reads 200. */
  private static final double MOST_PCT = 150;

  /** A board that starts sends false rows for a minute; more of them are another unit. */
  private static final int MOST_FALSE = 100;

  private final PackPlan plan;
  private final long nowMs;
  private final List<Column> columns;
  private final Share tooMany = new Share();
  private int mostCells;
  private long later;
  private long latestMs = Long.MIN_VALUE;

  ImportFit(PackPlan plan, long nowMs) {
    this.plan = plan;
    this.nowMs = nowMs;
    String kelvin = "kelvin, or tenths of a degree";
    this.columns =
        List.of(
            new Column("cell_1_v", HIGHEST_CELL_V, "V", "millivolts", ImportFit::cell),
            new Column(
                "pack_v", HIGHEST_CELL_V * plan.series(), "V", "millivolts", ImportFit::pack),
            new Column("current_a", mostA(plan), "A", "milliamperes", ImportFit::current),
            new Column("temp_1_c", HOTTEST_C, "degrees Celsius", kelvin, ImportFit::temperature),
            new Column("soc_pct", MOST_PCT, "%", "tenths of a percent", ImportFit::charge));
  }

  void add(int line, Reading row) {
    columns.forEach(column -> column.add(line, row));
    int cells = row.cells().count();
    mostCells = Math.max(mostCells, cells);
    if (cells > 0) {
      tooMany.add(line, cells, plan.series());
    }
    later += row.timeMs() > nowMs ? 1 : 0;
    latestMs = Math.max(latestMs, row.timeMs());
  }

  /** Rows that are later than now. */
  long later() {
    return later;
  }

  /** Time of the latest row, ms UTC. */
  long latestMs() {
    return latestMs;
  }

  /** The line from which on more rows contradict than not; beyond every line where none does. */
  int doubtedFrom() {
    int from = tooMany.doubtedFrom();
    for (Column column : columns) {
      from = Math.min(from, column.share.doubtedFrom());
    }
    return from;
  }

  /**
   * What contradicts, each with what would be right; empty when nothing does.
   *
   * @param isDecided true where no later row can show that those in doubt were false ones
   */
  List<String> problems(boolean isDecided) {
    List<String> problems = new ArrayList<>();
    columns.forEach(column -> column.problem(isDecided).ifPresent(problems::add));
    if (tooMany.contradicts(isDecided)) {
      problems.add(tooMany());
    }
    return problems;
  }

  private String tooMany() {
    return tooMany.where()
        + "most rows hold "
        + Spoken.counted((int) tooMany.first, "cell")
        + ", pack "
        + plan.id()
        + " has "
        + plan.series()
        + " in series: is it the right pack?";
  }

  /** In words, when the rows of a file hold fewer cells than planned. */
  Optional<String> fewer() {
    return mostCells > 0 && mostCells < plan.series()
        ? Optional.of(
            "the rows hold %s of the %s in series; rules for single cells need all of them"
                .formatted(mostCells, Spoken.counted(plan.series(), "cell")))
        : Optional.empty();
  }

  /** The greatest current that can be of a pack, A. */
  static double mostA(PackPlan plan) {
    return GREATEST_C * plan.ratedMah() / 1000.0;
  }

  private static double cell(Reading r) {
    return r.cells().medianTenthMv().orElse(0) / 10_000.0;
  }

  private static double pack(Reading r) {
    return r.packMv().orElse(0) / 1000.0;
  }

  private static double current(Reading r) {
    return r.currentMa().orElse(0) / 1000.0;
  }

  private static double temperature(Reading r) {
    return r.temperatures().has(1) ? r.temperatures().tenthC(1) / 10.0 : 0;
  }

  private static double charge(Reading r) {
    return r.socTenthPct().orElse(0) / 10.0;
  }

  /** The sizes that one column states, beyond what its unit can be or not. */
  private static final class Column {
    private final String name;
    private final double most;
    private final String unit;
    private final String likely;
    private final ToDoubleFunction<Reading> value;
    private final Share share = new Share();

    Column(String name, double most, String unit, String likely, ToDoubleFunction<Reading> value) {
      this.name = name;
      this.most = most;
      this.unit = unit;
      this.likely = likely;
      this.value = value;
    }

    void add(int line, Reading row) {
      double size = Math.abs(value.applyAsDouble(row));
      if (size > 0) {
        share.add(line, size, most);
      }
    }

    Optional<String> problem(boolean isDecided) {
      return share.contradicts(isDecided)
          ? Optional.of(
              String.format(
                  Locale.ROOT,
                  "%s%s reads %s %s, and in most rows more than %s: are these %s?",
                  share.where(),
                  name,
                  Spoken.digits(share.first, 4),
                  unit,
                  Spoken.digits(most, 4),
                  likely))
          : Optional.empty();
    }
  }

  /** How many values are beyond what can be, in all rows and in those that came last. */
  private static final class Share {
    private long stated;
    private long beyond;
    private int excess;
    private int sinceLine;
    private double first;

    void add(int line, double value, double most) {
      boolean isBeyond = value > most;
      stated++;
      beyond += isBeyond ? 1 : 0;
      if (excess > MOST_FALSE) {
        return;
      }
      if (excess == 0 && isBeyond) {
        sinceLine = line;
        first = value;
      }
      excess = Math.max(0, excess + (isBeyond ? 1 : -1));
    }

    int doubtedFrom() {
      return excess == 0 ? Integer.MAX_VALUE : sinceLine;
    }

    boolean contradicts(boolean isDecided) {
      return isMost() || excess > (isDecided ? 1 : MOST_FALSE);
    }

    private boolean isMost() {
      return beyond > 0 && beyond * 2 >= stated;
    }

    /** Where in the file, unless most of all rows contradict. */
    String where() {
      return isMost() ? "" : "from line " + sinceLine + ": ";
    }
  }
}
