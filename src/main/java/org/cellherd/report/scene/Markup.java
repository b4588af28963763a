package org.cellherd.report.scene;

import java.util.regex.Pattern;

/** Text made harmless in HTML and XML. */
public final class Markup {

  private static final Pattern FIGURE_AND_UNIT =
      Pattern.compile("(\\d) (?=(?:k?Wh|Ah|m?V|A|\u00b0C|h|min|s|%)(?![\\w\u00b5]))");

  private Markup() {}

  /** Between tags. */
  public static String text(String raw) {
    StringBuilder out = new StringBuilder(raw.length() + 16);
    raw.codePoints()
        .forEach(
            c -> {
              switch (c) {
                case '<' -> out.append("&lt;");
                case '>' -> out.append("&gt;");
                case '&' -> out.append("&amp;");
                case '"' -> out.append("&quot;");
                case '\'' -> out.append("&#39;");
                default -> out.appendCodePoint(isAllowed(c) ? c : 0xFFFD);
              }
            });
    return out.toString();
  }

  /** A figure stays with its unit when a line is broken. */
  public static String tied(String text) {
    return FIGURE_AND_UNIT.matcher(text).replaceAll("$1\u00a0");
  }

  /** Between the quotes of an attribute. */
  public static String attribute(String raw) {
    return text(raw);
  }

  /** XML 1.0 knows no control characters but these three, and no half pairs. */
  private static boolean isAllowed(int c) {
    return c == '\t'
        || c == '\n'
        || c == '\r'
        || (c >= 0x20 && c < 0xD800 && c != 0x7F)
        || (c >= 0xE000 && c < 0xFFFE)
        || c >= 0x10000;
  }
}
