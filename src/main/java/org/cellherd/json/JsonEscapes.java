package org.cellherd.json;

/** Strings of JSON (RFC 8259, section 7). */
final class JsonEscapes {

  private static final String HEX = "0123456789abcdef";

  private JsonEscapes() {}

  /** Appends a quoted string; half a surrogate pair becomes the replacement character. */
  static void quote(StringBuilder out, String text) {
    out.append('"');
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (!Character.isSurrogate(c)) {
        one(out, c);
      } else if (Character.isHighSurrogate(c)
          && i + 1 < text.length()
          && Character.isLowSurrogate(text.charAt(i + 1))) {
        out.append(c).append(text.charAt(++i));
      } else {
        out.append('\uFFFD');
      }
    }
    out.append('"');
  }

  private static void one(StringBuilder out, char c) {
    switch (c) {
      case '"' -> out.append("\\\"");
      case '\\' -> out.append("\\\\");
      case '\n' -> out.append("\\n");
      case '\r' -> out.append("\\r");
      case '\t' -> out.append("\\t");
      default -> {
        if (c < 0x20 || c == 0x7F || c == 0x2028 || c == 0x2029) {
          hex(out, c);
        } else {
          out.append(c);
        }
      }
    }
  }

  private static void hex(StringBuilder out, char c) {
    out.append("\\u");
    for (int shift = 12; shift >= 0; shift -= 4) {
      out.append(HEX.charAt((c >> shift) & 0xF));
    }
  }
}
