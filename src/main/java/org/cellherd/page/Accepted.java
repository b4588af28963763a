package org.cellherd.page;

import java.util.Locale;

/** Which form an Accept header asks for (RFC 9110, section 12.5.1). */
final class Accepted {

  private static final String OPEN = "application/openmetrics-text";

  private Accepted() {}

  /** The form to answer with; the older one unless the other is asked for at least as much. */
  public static Exposition of(String accept) {
    double open = 0;
    double plain = 0;
    for (String range : accept.toLowerCase(Locale.ROOT).split(",", 50)) {
      String[] parts = range.split(";", 10);
      String type = parts[0].strip();
      double wanted = wanted(parts);
      if (type.equals(OPEN) && isKnownVersion(parts)) {
        open = Math.max(open, wanted);
      } else if (type.equals("text/plain")) {
        plain = Math.max(plain, wanted);
      }
    }
    return open > 0 && open >= plain ? Exposition.OPEN_METRICS : Exposition.PLAIN;
  }

  private static double wanted(String[] parts) {
    for (String part : parts) {
      if (part.strip().startsWith("q=")) {
        try {
          return Math.min(1, Math.max(0, Double.parseDouble(part.strip().substring(2))));
        } catch (NumberFormatException noNumber) {
          return 0;
        }
      }
    }
    return 1;
  }

  private static boolean isKnownVersion(String[] parts) {
    for (String part : parts) {
      String text = part.strip();
      if (text.startsWith("version=")) {
        String version = text.substring("version=".length()).replace("\"", "");
        return version.equals("1.0.0") || version.equals("0.0.1");
      }
    }
    return true;
  }
}
