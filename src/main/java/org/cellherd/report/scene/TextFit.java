package org.cellherd.report.scene;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.PlainText;

/** Whether text fits, measured as if all of it were bold. */
public final class TextFit {

  /** Widths of letters do not scale evenly with their size. */
  public static final double SPARE = 0.97;

  private TextFit() {}

  /** How wide text is. */
  public static double width(String text, double size) {
    return Fonts.width(text, size, true);
  }

  /** The size at which text fits, between the wanted and the smallest one. */
  public static double sizeFor(String text, double size, double smallest, double room) {
    double width = width(text, size);
    return width <= room ? size : Math.max(smallest, size * SPARE * room / width);
  }

  /** The text, or as much of it as fits with an ellipsis. */
  public static String cut(String text, double size, double room) {
    String kept = PlainText.spaced(text);
    if (width(kept, size) <= room) {
      return kept;
    }
    while (!kept.isEmpty() && width(kept + "\u2026", size) > room) {
      kept = kept.substring(0, kept.offsetByCodePoints(kept.length(), -1));
    }
    return kept + "\u2026";
  }

  /** Lines broken between words, and within words that are longer than a line; at most so many. */
  public static List<String> wrap(String text, double size, double room, int most) {
    List<String> lines = new ArrayList<>();
    String rest = PlainText.spaced(text).strip().replaceAll("\\s+", " ");
    while (lines.size() < most - 1 && width(rest, size) > room) {
      int end = lineEnd(rest, size, room);
      lines.add(rest.substring(0, end).strip());
      rest = rest.substring(end).strip();
    }
    lines.add(cut(rest, size, room));
    return lines;
  }

  /**
   * Where a line ends: after the last word that fits, or within the first one; one letter stays.
   */
  private static int lineEnd(String text, double size, double room) {
    int end = text.offsetByCodePoints(0, 1);
    int afterWord = 0;
    while (end < text.length() && width(text.substring(0, end), size) <= room) {
      afterWord = text.charAt(end) == ' ' ? end : afterWord;
      end = text.offsetByCodePoints(end, 1);
    }
    int inWord = Math.max(text.offsetByCodePoints(0, 1), text.offsetByCodePoints(end, -1));
    return afterWord > 0 ? afterWord : inWord;
  }
}
