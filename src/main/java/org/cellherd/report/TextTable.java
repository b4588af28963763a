package org.cellherd.report;

import java.util.ArrayList;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import org.cellherd.report.scene.Markup;

/**
 * Rows of a terminal or a mail whose columns stand below each other, however long a name is and
 * whatever script it has. Numbers stand at the right of their column, the last column is as long as
 * it is.
 */
public final class TextTable {

  /** As wide as the help of the verbs. */
  public static final int TERMINAL = 80;

  private static final String APART = "  ";
  private static final int HANG = 4;

  /** First and last letters of blocks that East Asian Width (Unicode Annex 11) calls wide. */
  private static final int[][] WIDE = {
    {0x1100, 0x115F},
    {0x2E80, 0x303E},
    {0x3041, 0xA4CF},
    {0xA960, 0xA97F},
    {0xAC00, 0xD7A3},
    {0xF900, 0xFAFF},
    {0xFE30, 0xFE6F},
    {0xFF01, 0xFF60},
    {0xFFE0, 0xFFE6},
    {0x1F300, 0x1F64F},
    {0x1F680, 0x1F6FF},
    {0x1F900, 0x1F9FF},
    {0x20000, 0x3FFFD}
  };

  /** A number, an interval, a bound, a date, or what is not known. */
  private static final Pattern NUMBER =
      Pattern.compile(
          "(at least |at most )?[-+\u2212]?[0-9.]*( to .*| \\(.* to .*\\))?|[-\u2013]"
              + "|\\d{1,2} [A-Z][a-z]{2} \\d{4}( [0-9:]+)?");

  private final List<List<String>> rows = new ArrayList<>();
  private final String indent;
  private final int heads;

  /** With so many spaces before each row. */
  public TextTable(int indent) {
    this(indent, 1);
  }

  /** With so many rows of column names above the others. */
  TextTable(int indent, int heads) {
    this.indent = " ".repeat(indent);
    this.heads = heads;
  }

  /**
   * A line broken between words, so that none is wider than a terminal but for a longer word; those
   * that continue it stand further in: those of a row below its last cell, where that leaves half
   * of the width. A figure stays with its unit.
   */
  public static List<String> folded(String line, int columns) {
    String own = line.substring(0, line.length() - line.stripLeading().length());
    int cells = width(line.substring(0, lastCell(line)));
    String hang = cells > 0 && cells <= columns / 2 ? " ".repeat(cells) : own + " ".repeat(HANG);
    List<String> lines = new ArrayList<>();
    String rest = Markup.tied(line);
    int least = own.length();
    while (width(rest) > columns) {
      int end = lineEnd(rest, least, columns);
      if (end < 0) {
        break;
      }
      lines.add(untied(rest.substring(0, end).stripTrailing()));
      rest = hang + rest.substring(end).stripLeading();
      least = hang.length();
    }
    lines.add(untied(rest));
    return lines;
  }

  /** Where the last cell of a row begins; 0 for a line that is no row. */
  private static int lastCell(String line) {
    int gap = line.stripTrailing().lastIndexOf(APART);
    return gap < 0 || line.substring(0, gap).isBlank() ? 0 : gap + APART.length();
  }

  private static String untied(String line) {
    return line.replace('\u00a0', ' ');
  }

  /** The last space before the margin, else the first one behind it; negative for none. */
  private static int lineEnd(String text, int least, int columns) {
    int best = -1;
    for (int at = text.indexOf(' ', least); at >= 0; at = text.indexOf(' ', at + 1)) {
      if (width(text.substring(0, at)) > columns) {
        return best < 0 ? at : best;
      }
      best = at;
    }
    return best;
  }

  /** A row; all rows have the same number of cells. */
  public TextTable row(String... cells) {
    if (!rows.isEmpty() && rows.get(0).size() != cells.length) {
      throw new IllegalArgumentException(cells.length + " cells beside " + rows.get(0).size());
    }
    rows.add(List.of(cells));
    return this;
  }

  /** The rows without line feeds. */
  public List<String> lines() {
    return rows.stream().map(this::line).toList();
  }

  /** The same; where they are too wide the names of the columns take as few lines as do. */
  List<String> linesWithin(int columns) {
    List<String> lines = lines();
    int most = rows.get(0).stream().mapToInt(name -> name.split(" ").length).max().orElse(1);
    for (int high = 2; high <= most && !fit(lines, columns); high++) {
      lines = named(high).lines();
    }
    return lines;
  }

  private static boolean fit(List<String> lines, int columns) {
    return lines.stream().allMatch(line -> width(line) <= columns);
  }

  /** With names of columns in so many lines, the last ones above the values. */
  private TextTable named(int high) {
    TextTable table = new TextTable(indent.length(), high);
    List<List<String>> names =
        IntStream.range(0, rows.get(0).size()).mapToObj(column -> name(column, high)).toList();
    for (int line = 0; line < high; line++) {
      int missing = high - line;
      table.row(
          names.stream()
              .map(name -> name.size() < missing ? "" : name.get(name.size() - missing))
              .toArray(String[]::new));
    }
    rows.stream().skip(1).forEach(row -> table.row(row.toArray(String[]::new)));
    return table;
  }

  /** A column's name in so many lines at most, no wider than it must be. */
  private List<String> name(int column, int high) {
    String[] words = rows.get(0).get(column).split(" ");
    int wide = rows.stream().skip(1).mapToInt(row -> width(row.get(column))).max().orElse(0);
    List<String> lines = packed(words, wide);
    while (lines.size() > high) {
      lines = packed(words, ++wide);
    }
    return lines;
  }

  private static List<String> packed(String[] words, int wide) {
    List<String> lines = new ArrayList<>();
    for (String word : words) {
      int last = lines.size() - 1;
      if (last >= 0 && width(lines.get(last)) + 1 + width(word) <= wide) {
        lines.set(last, lines.get(last) + " " + word);
      } else {
        lines.add(word);
      }
    }
    return lines;
  }

  private String line(List<String> row) {
    StringBuilder text = new StringBuilder(indent);
    for (int column = 0; column < row.size(); column++) {
      String cell = row.get(column);
      String room = " ".repeat(Math.max(0, width(column) - width(cell)));
      boolean isLast = column == row.size() - 1;
      if (isNumeric(column)) {
        text.append(room).append(cell);
      } else {
        text.append(cell).append(isLast ? "" : room);
      }
      text.append(isLast ? "" : APART);
    }
    return text.toString().stripTrailing();
  }

  private int width(int column) {
    return rows.stream().mapToInt(row -> width(row.get(column))).max().orElse(0);
  }

  /** True where all but the heads are numbers, or none. */
  private boolean isNumeric(int column) {
    return rows.size() > heads
        && rows.stream().skip(heads).allMatch(row -> NUMBER.matcher(row.get(column)).matches())
        && rows.stream().skip(heads).anyMatch(row -> row.get(column).matches(".*[0-9].*"));
  }

  /** Columns of a terminal that a text takes: two a wide letter, none a mark upon another. */
  static int width(String text) {
    return text.codePoints().map(TextTable::ofLetter).sum();
  }

  private static int ofLetter(int point) {
    int type = Character.getType(point);
    if (type == Character.NON_SPACING_MARK
        || type == Character.ENCLOSING_MARK
        || type == Character.FORMAT) {
      return 0;
    }
    return isWide(point) ? 2 : 1;
  }

  private static boolean isWide(int point) {
    for (int[] block : WIDE) {
      if (block[0] <= point && point <= block[1]) {
        return true;
      }
    }
    return false;
  }
}
