package org.cellherd.app.verb;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.app.Stop;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.CsvLines;
import org.jspecify.annotations.Nullable;

/**
 * Reads the discharges of a tester's file, in memory that does not grow with it. A discharge begins
 * with the first draw and ends where a charge begins; of one file those count that come near its
 * largest. Whether they began full and ended empty, the file alone does not say. One use.
 */
final class TesterCsv {

  /** Less than this share of the file's largest discharge is no test. */
  private static final double TEST_SHARE = 0.5;

  private static final int MOST_RUNS = 200;

  /** No cell or pack that is meant here has more, V, A and s. */
  private static final double MOST = 1e7;

  private final String file;
  private final TesterPack pack;
  private final List<TesterRun> runs = new ArrayList<>();
  private @Nullable TesterRun open;
  private double lastS = Double.NEGATIVE_INFINITY;
  private boolean isDated;
  private int line = 1;

  private TesterCsv(String file, TesterPack pack) {
    this.file = file;
    this.pack = pack;
  }

  /**
   * The tests of a file.
   *
   * @param named columns by {@link TesterColumns#NAMES}, as the file calls them
   * @throws Stop with exit code 2 for what cannot be right, with its line
   */
  public static List<TestedDischarge> read(
      String file, CsvLines lines, Map<String, String> named, TesterPack pack) throws IOException {
    String header = lines.next().orElseThrow(() -> Stop.usage(file + ": is empty"));
    TesterColumns columns = TesterColumns.of(file, header, named);
    TesterPack counted =
        columns.volts().size() > 1
            ? new TesterPack(
                pack.name(), columns.volts().size(), pack.ratedAh(), pack.isDischargePositive())
            : pack;
    TesterCsv csv = new TesterCsv(file, counted);
    for (Optional<String> text = lines.next(); text.isPresent(); text = lines.next()) {
      csv.line++;
      csv.row(TesterColumns.fields(text.get(), columns.separator()), columns);
    }
    return csv.tests();
  }

  private void row(List<String> fields, TesterColumns columns) {
    if (fields.size() == 1 && fields.get(0).isEmpty()) {
      return;
    }
    double at = time(field(fields, columns.time()), columns);
    double volts = 0;
    for (int index : columns.volts()) {
      volts += number(fields, index, "a voltage");
    }
    double amps = number(fields, columns.amps(), "a current");
    take(at, volts, pack.isDischargePositive() ? amps : -amps);
  }

  private void take(double at, double volts, double drawn) {
    boolean isCharging = drawn < -TesterRun.FLOWS_A;
    TesterRun run = open;
    if (run == null && drawn > TesterRun.FLOWS_A) {
      run = new TesterRun(pack, at);
      open = run;
      runs.add(run);
      if (runs.size() > MOST_RUNS) {
        throw stop("holds more than " + MOST_RUNS + " discharges");
      }
    }
    if (run != null && isCharging) {
      open = null;
    } else if (run != null) {
      run.row(at, volts, drawn);
    }
  }

  private double time(String text, TesterColumns columns) {
    OptionalDouble seconds = TesterTime.seconds(text, columns.unit());
    if (seconds.isEmpty()) {
      throw stop("\"" + shown(text) + "\" is no time; allowed: seconds, 1:02:03 or a date");
    }
    if (seconds.getAsDouble() < lastS) {
      throw stop("the time goes back; put the rows in order");
    }
    isDated = TesterTime.isDate(text);
    lastS = seconds.getAsDouble();
    return lastS;
  }

  private double number(List<String> fields, int index, String what) {
    String text = field(fields, index);
    OptionalDouble number = number(text);
    if (number.isEmpty()) {
      throw stop("\"" + shown(text) + "\" is not " + what);
    }
    return number.getAsDouble();
  }

  private String field(List<String> fields, int index) {
    if (index >= fields.size()) {
      throw stop("has " + Spoken.counted(fields.size(), "column") + ", the header names more");
    }
    return fields.get(index);
  }

  /** A decimal number with point or comma; empty for else. */
  static OptionalDouble number(String text) {
    if (text.length() > 30 || !text.matches("[+-]?[0-9]+([.,][0-9]*)?([eE][+-]?[0-9]{1,3})?")) {
      return OptionalDouble.empty();
    }
    double value = Double.parseDouble(text.replace(',', '.'));
    return Math.abs(value) <= MOST ? OptionalDouble.of(value) : OptionalDouble.empty();
  }

  private Stop stop(String what) {
    return Stop.usage(file + ":" + line + ": " + what);
  }

  private static String shown(String text) {
    return text.substring(0, Math.min(40, text.length())).replaceAll("[^ -~]", "?");
  }

  private List<TestedDischarge> tests() {
    double most = runs.stream().mapToDouble(TesterRun::ah).max().orElse(0);
    List<TestedDischarge> tests =
        runs.stream()
            .filter(run -> run.ah() >= TEST_SHARE * most)
            .flatMap(run -> run.test(isDated).stream())
            .toList();
    if (tests.isEmpty()) {
      throw Stop.usage(
          file
              + ": no discharge is in it; discharge is taken to be "
              + (pack.isDischargePositive()
                  ? "positive, without --discharge-positive negative"
                  : "negative; where the tester prints it positive, say --discharge-positive"));
    }
    return tests;
  }
}
