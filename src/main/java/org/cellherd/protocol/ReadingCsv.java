package org.cellherd.protocol;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.cellherd.pack.Channel;
import org.cellherd.pack.PlainText;
import org.cellherd.toml.Problems;
import org.cellherd.toml.Suggestion;

/**
 * The columns of a file of readings: {@code time}, then any channels by their column names.
 * Immutable; lines are read by a {@link ReadingCsvReader} and written by a {@link
 * ReadingCsvWriter}.
 */
public final class ReadingCsv {

  /** Name of the one column that must be there: ISO 8601 with offset or Z. */
  public static final String TIME = "time";

  /** Longest line read, characters: all 138 columns take a sixteenth of it. */
  static final int LONGEST_LINE = 1 << 14;

  /** Every channel that a reading can have. */
  static final List<Channel> ALL = of(Channel.MAX_NUMBER, Channel.MAX_NUMBER).channels();

  static final List<Channel> NONE = List.of();

  static final int IGNORED = -1;
  static final int TIME_COLUMN = -2;

  private final List<Channel> channels;
  private final int[] columns;
  private final char separator;

  private ReadingCsv(List<Channel> channels, int[] columns, char separator) {
    this.channels = List.copyOf(channels);
    this.columns = columns;
    this.separator = separator;
  }

  /** The same columns between semicolons, so that numbers may have a decimal comma. */
  public ReadingCsv withDecimalComma() {
    return new ReadingCsv(channels, columns, ';');
  }

  /** Comma, or semicolon where numbers have a decimal comma. */
  char separator() {
    return separator;
  }

  /** Columns for some channels, time first, in the order of channels. */
  public static ReadingCsv of(List<Channel> channels) {
    List<Channel> sorted = channels.stream().sorted().distinct().toList();
    int[] columns = new int[sorted.size() + 1];
    columns[0] = TIME_COLUMN;
    for (int i = 0; i < sorted.size(); i++) {
      columns[i + 1] = i;
    }
    return new ReadingCsv(sorted, columns, ',');
  }

  /** All columns that a pack with so many cells and sensors can have. */
  public static ReadingCsv of(int cells, int sensors) {
    List<Channel> channels = new ArrayList<>();
    for (Channel.Kind kind : Channel.Kind.values()) {
      int count = kind == Channel.Kind.CELL ? cells : sensors;
      for (int n = 1; kind.isNumbered() && n <= count; n++) {
        channels.add(new Channel(kind, n));
      }
      if (!kind.isNumbered()) {
        channels.add(Channel.of(kind));
      }
    }
    return of(channels);
  }

  /**
   * Columns from a header line. Where it has semicolons and no comma, they separate the columns of
   * all lines, and numbers may have a decimal comma.
   *
   * @param ignoreUnknown true to skip columns that are none of ours
   * @return empty when there are problems
   */
  public static Optional<ReadingCsv> ofHeader(
      String file, String header, boolean ignoreUnknown, Problems problems) {
    int before = problems.count();
    char separator = header.indexOf(';') >= 0 && header.indexOf(',') < 0 ? ';' : ',';
    if (header.length() > LONGEST_LINE) {
      problems.add(file, 1, "", "the header is longer than " + LONGEST_LINE + " characters");
      return Optional.empty();
    }
    if (header.indexOf('\t') >= 0 && header.indexOf(separator) < 0) {
      problems.add(file, 1, "", "tabs separate the columns; separate them by commas or semicolons");
      return Optional.empty();
    }
    String[] names = strip(header).split(String.valueOf(separator), -1);
    if (Arrays.stream(names).noneMatch(name -> isKnown(unquoted(name)))) {
      problems.add(
          file,
          1,
          "",
          "only unknown columns; the first line must name the columns, such as"
              + " time,current_a,cell_1_v");
      return Optional.empty();
    }
    int[] columns = new int[names.length];
    List<Channel> channels = new ArrayList<>();
    boolean time = false;
    for (int i = 0; i < names.length; i++) {
      String name = unquoted(names[i]);
      Optional<Channel> channel = Channel.ofColumn(name);
      if (name.equals(TIME) && !time) {
        time = true;
        columns[i] = TIME_COLUMN;
      } else if (channel.isPresent() && !channels.contains(channel.get())) {
        columns[i] = channels.size();
        channels.add(channel.get());
      } else if (channel.isPresent() || name.equals(TIME)) {
        problems.add(file, 1, name, "this column is there twice");
      } else {
        columns[i] = IGNORED;
        unknown(file, i + 1, name, ignoreUnknown, problems);
      }
    }
    if (!time) {
      problems.add(file, 1, "", "the column time is missing; the first line must name the columns");
    }
    return problems.count() == before
        ? Optional.of(new ReadingCsv(channels, columns, separator))
        : Optional.empty();
  }

  private static boolean isKnown(String name) {
    return name.equals(TIME) || Channel.ofColumn(name).isPresent();
  }

  private static void unknown(
      String file, int column, String name, boolean ignore, Problems problems) {
    if (!ignore) {
      String cut = PlainText.marked(name, 40);
      String near = Suggestion.phrase(name, knownNames());
      problems.add(
          file,
          1,
          cut.isEmpty() ? "column " + column : cut,
          "unknown column" + near + allowed(near));
    }
  }

  private static String allowed(String near) {
    return near.isEmpty() ? ", allowed: " + String.join(", ", patterns()) : "";
  }

  private static List<String> knownNames() {
    List<String> names = new ArrayList<>(List.of(TIME));
    of(16, 8).channels().forEach(c -> names.add(c.columnName()));
    return names;
  }

  private static List<String> patterns() {
    Map<Channel.Kind, String> names = new EnumMap<>(Channel.Kind.class);
    of(1, 1).channels().forEach(c -> names.put(c.kind(), c.columnName().replace("_1_", "_N_")));
    return List.copyOf(names.values());
  }

  static String strip(String line) {
    int from = line.startsWith("\uFEFF") ? 1 : 0;
    int to = line.length();
    while (to > from && (line.charAt(to - 1) == '\r' || line.charAt(to - 1) == '\n')) {
      to--;
    }
    return line.substring(from, to);
  }

  static String unquoted(String field) {
    String text = field.strip();
    boolean quoted = text.length() >= 2 && text.startsWith("\"") && text.endsWith("\"");
    return quoted ? text.substring(1, text.length() - 1) : text;
  }

  public List<Channel> channels() {
    return channels;
  }

  public int columnCount() {
    return columns.length;
  }

  /** For a column from 0: index of its channel, {@link #TIME_COLUMN} or {@link #IGNORED}. */
  int columnAt(int column) {
    return columns[column];
  }

  /**
   * The header line, without line end. Only {@code "time"} is in quotes, as in no other program's
   * file: it tells what the program wrote, and may write anew, from what somebody else did.
   */
  public String headerLine() {
    StringBuilder line = new StringBuilder();
    for (int column : columns) {
      String name =
          column == TIME_COLUMN
              ? '"' + TIME + '"'
              : column < 0 ? "" : channels.get(column).columnName();
      line.append(line.isEmpty() ? "" : String.valueOf(separator)).append(name);
    }
    return line.toString();
  }
}
