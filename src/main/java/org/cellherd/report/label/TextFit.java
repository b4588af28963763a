package org.cellherd.report.label;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.report.scene.Fonts;

/** Whether text fits, measured as if all of it were bold. */
final class TextFit {

  /** Widths of letters do not scale evenly with their size. */
  static final double SPARE = 0.97;

  /** How much smaller than wanted text may become. */
  static final double SMALLEST = 0.6;

  private TextFit() {}

  /** How wide text is. */
  static double width(String text, double size) {
    return Fonts.width(text, size, true);
  }

  /** The size at which text fits, down to a good two thirds of the wanted one. */
  static double sizeFor(String text, double size, double room) {
    double width = width(text, size);
    return width <= room ? size : Math.max(size * SMALLEST, size * SPARE * room / width);
  }

  /** The text, or as much of it as fits with an ellipsis. */
  static String cut(String text, double size, double room) {
    String kept = text.replaceAll("\\p{Cntrl}", " ");
    if (width(kept, size) <= room) {
      return kept;
    }
    while (!kept.isEmpty() && width(kept + "\u2026", size) > room) {
      kept = kept.substring(0, kept.offsetByCodePoints(kept.length(), -1));
    }
    return kept + "\u2026";
  }

  /** Lines broken between words, at most so many. */
  static List<String> wrap(String text, double size, double room, int most) {
    List<String> lines = new ArrayList<>();
    StringBuilder line = new StringBuilder();
    for (String word : text.replaceAll("\\p{Cntrl}", " ").strip().split("\\s+")) {
      if (!line.isEmpty() && width(line + " " + word, size) > room) {
        lines.add(line.toString());
        line.setLength(0);
      }
      line.append(line.isEmpty() ? "" : " ").append(word);
    }
    lines.add(line.toString());
    if (lines.size() <= most) {
      return lines.stream().map(each -> cut(each, size, room)).toList();
    }
    List<String> kept = new ArrayList<>(lines.subList(0, most - 1));
    kept.add(cut(String.join(" ", lines.subList(most - 1, lines.size())), size, room));
    return kept;
  }
}
