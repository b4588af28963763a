package org.cellherd.protocol;

import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.Temperatures;
import org.cellherd.toml.Problems;
import org.jspecify.annotations.Nullable;

/**
 * Reads lines of readings. A line is taken whole or refused with its number; what was rounded,
 * doubled or out of order is counted. Any text gives a reading or a problem. Belongs to one thread.
 */
public final class ReadingCsvReader {

  /**
   * What was met so far.
   *
   * @param rows lines taken
   * @param refused lines with a problem
   * @param beyondResolution values with more digits than are stored, rounded to the nearest
   * @param outOfOrder rows older than one before them
   * @param doubled rows with the time of the one before them
   * @param ambiguous rows in an hour that the zone's clocks show twice
   */
  public record Counts(
      long rows,
      long refused,
      long beyondResolution,
      long outOfOrder,
      long doubled,
      long ambiguous) {}

  private final String file;
  private final ReadingCsv columns;
  private final Problems problems;
  private final Channel.Kind[] kinds;
  private final long[] values;
  private final boolean[] present;
  private final NumberedColumns cells;
  private final NumberedColumns temperatures;
  private final CsvNumber number = new CsvNumber();
  private final CsvTime time;
  private final char[] row = new char[ReadingCsv.LONGEST_LINE];
  private char mark;

  private long rows;
  private long refused;
  private long beyond;
  private long outOfOrder;
  private long doubled;
  private long newest = Long.MIN_VALUE;
  private long previous = Long.MIN_VALUE;

  public ReadingCsvReader(String file, ReadingCsv columns, Problems problems) {
    this(file, columns, Optional.empty(), problems);
  }

  /**
   * A reader of lines with these columns.
   *
   * @param zone by whose clock times without an offset are meant; without it they are refused
   */
  public ReadingCsvReader(
      String file, ReadingCsv columns, Optional<ZoneId> zone, Problems problems) {
    this.file = file;
    this.time = new CsvTime(zone);
    this.mark = columns.separator() == ',' ? '.' : 0;
    this.columns = columns;
    this.problems = problems;
    List<Channel> channels = columns.channels();
    this.kinds = channels.stream().map(Channel::kind).toArray(Channel.Kind[]::new);
    this.values = new long[kinds.length];
    this.present = new boolean[kinds.length];
    this.cells = new NumberedColumns(Channel.Kind.CELL, channels, values, present);
    this.temperatures = new NumberedColumns(Channel.Kind.TEMPERATURE, channels, values, present);
  }

  public Counts counts() {
    return new Counts(rows, refused, beyond, outOfOrder, doubled, time.ambiguous());
  }

  /**
   * The reading of a line; empty for an empty line, and after a problem.
   *
   * @param lineNumber number of the line in the file, the header being 1
   */
  public Optional<Reading> read(int lineNumber, String text) {
    String line = ReadingCsv.strip(text);
    if (line.isBlank()) {
      return Optional.empty();
    }
    String problem = line.length() > ReadingCsv.LONGEST_LINE ? "the line is too long" : parse(line);
    if (problem != null && separatorOf(line) != columns.separator()) {
      column = "";
      problem =
          "separates its columns by %s, the header by %s"
              .formatted(word(separatorOf(line)), word(columns.separator()));
    }
    if (problem != null) {
      refused++;
      boolean lacksZone = column.equals("time") && time.lacksZone();
      // One cause that all rows share: said once, or it hides all others.
      if (!lacksZone || !hasToldZone) {
        problems.add(file, lineNumber, column, problem);
      }
      hasToldZone |= lacksZone;
      return Optional.empty();
    }
    rows++;
    beyond += beyondInRow;
    long timeMs = time.millis();
    outOfOrder += timeMs < newest ? 1 : 0;
    doubled += timeMs == previous ? 1 : 0;
    newest = Math.max(newest, timeMs);
    previous = timeMs;
    return Optional.of(reading(timeMs));
  }

  private String column = "";
  private long beyondInRow;
  private boolean hasToldZone;

  /** Fills the values of a row; null when all is well, else what is wrong. */
  private @Nullable String parse(String line) {
    column = "";
    beyondInRow = 0;
    boolean timed = false;
    int length = line.length();
    line.getChars(0, length, row, 0);
    int from = 0;
    for (int i = 0; i < columns.columnCount(); i++) {
      if (from > length) {
        column = "";
        return "has " + Spoken.counted(i, "column") + ", the header has " + columns.columnCount();
      }
      int to = from;
      while (to < length && row[to] != columns.separator()) {
        to++;
      }
      String wrong = field(from, to, columns.columnAt(i));
      if (wrong != null) {
        return wrong;
      }
      timed |= columns.columnAt(i) == ReadingCsv.TIME_COLUMN;
      from = to + 1;
    }
    column = "";
    if (from <= length) {
      return "has more columns than the header's " + columns.columnCount();
    }
    return timed ? null : "has no time";
  }

  /** Another one than the header's where that gives just as many columns. */
  private char separatorOf(String line) {
    for (char other : new char[] {';', ',', '\t'}) {
      long seen = line.chars().filter(c -> c == other).count();
      if (other != columns.separator() && seen > 0 && seen == columns.columnCount() - 1) {
        return other;
      }
    }
    return columns.separator();
  }

  private static String word(char separator) {
    return separator == '\t' ? "tabs" : separator == ',' ? "commas" : "semicolons";
  }

  private @Nullable String field(int from, int to, int column) {
    int first = from;
    int last = to;
    while (first < last && isPadding(row[first])) {
      first++;
    }
    while (last > first && isPadding(row[last - 1])) {
      last--;
    }
    if (column == ReadingCsv.TIME_COLUMN) {
      this.column = ReadingCsv.TIME;
      return timeField(first, last);
    }
    if (column == ReadingCsv.IGNORED) {
      return null;
    }
    present[column] = first < last;
    return first < last ? value(first, last, column) : null;
  }

  private static boolean isPadding(char c) {
    return c == ' ' || c == '\t' || c == '"';
  }

  private @Nullable String timeField(int from, int to) {
    if (!time.parse(row, from, to)) {
      return "is \"" + shown(from, to) + "\", " + time.problem();
    }
    beyondInRow += time.isRounded() ? 1 : 0;
    return null;
  }

  private @Nullable String value(int from, int to, int index) {
    Channel.Kind kind = kinds[index];
    if (!number.parse(row, from, to, kind.decimals(), markOf(from, to))) {
      column = columns.channels().get(index).columnName();
      return "is \"" + shown(from, to) + "\", allowed: a number such as " + example(kind);
    }
    long value = number.value();
    boolean isSigned = row[from] == '-';
    if (kind.isMask() ? isSigned : !fits(kind, value)) {
      column = columns.channels().get(index).columnName();
      return "is " + shown(from, to) + ", which is out of range";
    }
    beyondInRow += number.isRounded() ? 1 : 0;
    values[index] = value;
    return null;
  }

  /**
   * The file's decimal mark. Between semicolons the first that comes decides for all: with another
   * one later, a number may be a thousand times what it seems.
   */
  private char markOf(int from, int to) {
    for (int i = from; mark == 0 && i < to; i++) {
      mark = row[i] == ',' || row[i] == '.' ? row[i] : 0;
    }
    return mark == 0 ? '.' : mark;
  }

  private String example(Channel.Kind kind) {
    String example = mark == ',' ? "-12,5" : "-12.5";
    return kind.decimals() == 0 ? "1" : example + ", or nothing";
  }

  private static boolean fits(Channel.Kind kind, long value) {
    return switch (kind) {
      case CHARGE_SWITCH, DISCHARGE_SWITCH -> value == 0 || value == 1;
      default -> Math.abs(value) <= Integer.MAX_VALUE;
    };
  }

  private String shown(int from, int to) {
    String text = new String(row, from, Math.min(to - from, 40));
    return text.replaceAll("[^ -~]", "?");
  }

  private Reading reading(long timeMs) {
    Reading.Builder b = Reading.at(timeMs);
    int cellCount = cells.count();
    if (cellCount > 0) {
      b.cells(
          cells.isFull(cellCount)
              ? CellVoltages.ofTenthMv(cells.numbers(cellCount))
              : CellVoltages.ofOptional(cells.optionals(cellCount)));
    }
    int sensors = temperatures.count();
    if (sensors > 0) {
      b.temperatures(
          temperatures.isFull(sensors)
              ? Temperatures.ofTenthC(temperatures.numbers(sensors))
              : Temperatures.ofOptional(temperatures.optionals(sensors)));
    }
    for (int i = 0; i < values.length; i++) {
      Channel.Kind kind = kinds[i];
      if (present[i] && !kind.isNumbered()) {
        b.value(kind, values[i]);
      }
    }
    return b.build();
  }
}
