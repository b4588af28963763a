package org.cellherd.report;

import java.util.ArrayList;
import java.util.List;
import java.util.regex.Pattern;

/**
 * Rows of a terminal or a mail whose columns stand below each other, however long a name is and
 * whatever script it has. Numbers stand at the right of their column, the last column is as long as
 * it is.
 */
public final class TextTable {

  private static final String APART = "  ";

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

  /** A number, an interval, a bound, or what is not known. */
  private static final Pattern NUMBER =
      Pattern.compile("(at least |at most )?[-+\u2212]?[0-9.]*( to .*| \\(.* to .*\\))?|[-\u2013]");

  private final List<List<String>> rows = new ArrayList<>();
  private final String indent;

  /** With so many spaces before each row. */
  public TextTable(int indent) {
    this.indent = " ".repeat(indent);
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

  /** True where all but the head are numbers, or none. */
  private boolean isNumeric(int column) {
    return rows.size() > 1
        && rows.stream().skip(1).allMatch(row -> NUMBER.matcher(row.get(column)).matches())
        && rows.stream().skip(1).anyMatch(row -> row.get(column).matches(".*[0-9].*"));
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
