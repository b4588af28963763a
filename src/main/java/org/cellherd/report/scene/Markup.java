package org.cellherd.report.scene;

/** Text made harmless in HTML and XML. */
public final class Markup {

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
