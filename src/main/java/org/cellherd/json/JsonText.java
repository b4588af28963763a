package org.cellherd.json;

import java.math.BigDecimal;
import java.util.HexFormat;
import java.util.List;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/**
 * Facts as JSON text: names in their order, instants as ISO 8601 in UTC, null for what cannot be
 * known, numbers in plain digits (RFC 8259).
 */
public final class JsonText {

  private static final String INDENT = "  ";
  private static final double PLAIN_BELOW = 1e15;
  private static final double PLAIN_FROM = 1e-9;

  private final StringBuilder out = new StringBuilder(256);
  private final boolean pretty;

  private JsonText(boolean pretty) {
    this.pretty = pretty;
  }

  /** One line, no spaces. */
  public static String of(Facts facts) {
    return new JsonText(false).value(facts, 0).toString();
  }

  /** One line, no spaces: an array. */
  public static String of(List<?> values) {
    return new JsonText(false).value(values, 0).toString();
  }

  /** Indented, for people; ends without a line feed. */
  public static String pretty(Facts facts) {
    return new JsonText(true).value(facts, 0).toString();
  }

  /** Indented, for people: an array. */
  public static String pretty(List<?> values) {
    return new JsonText(true).value(values, 0).toString();
  }

  /**
   * Any value that a fact may hold, on one line.
   *
   * @throws IllegalArgumentException for any other value
   */
  public static String ofValue(@Nullable Object value) {
    return new JsonText(false).value(value, 0).toString();
  }

  public static String quoted(String text) {
    StringBuilder out = new StringBuilder(text.length() + 2);
    quote(out, text);
    return out.toString();
  }

  /** What stands between the quotes of a JSON string. */
  public static String escaped(String text) {
    String quoted = quoted(text);
    return quoted.substring(1, quoted.length() - 1);
  }

  private StringBuilder value(@Nullable Object value, int depth) {
    if (value == null || value instanceof Boolean) {
      return out.append(value);
    }
    if (value instanceof Facts facts) {
      return object(facts, depth);
    }
    if (value instanceof List<?> list) {
      return array(list, depth);
    }
    return scalar(value);
  }

  private StringBuilder scalar(Object value) {
    if (value instanceof String text) {
      quote(out, text);
      return out;
    }
    if (value instanceof Fact.Time time) {
      return out.append('"').append(IsoTime.of(time.ms())).append('"');
    }
    if (value instanceof Number number) {
      return out.append(number(number));
    }
    throw new IllegalArgumentException("no JSON for " + value.getClass());
  }

  private StringBuilder object(Facts facts, int depth) {
    out.append('{');
    boolean first = true;
    for (Fact fact : facts.list()) {
      separate(first, depth + 1);
      quote(out, fact.name());
      out.append(pretty ? ": " : ":");
      value(fact.value(), depth + 1);
      first = false;
    }
    return close('}', first, depth);
  }

  private StringBuilder array(List<?> list, int depth) {
    out.append('[');
    boolean first = true;
    for (Object item : list) {
      separate(first, depth + 1);
      value(item, depth + 1);
      first = false;
    }
    return close(']', first, depth);
  }

  private void separate(boolean first, int depth) {
    if (!first) {
      out.append(',');
    }
    lineFeed(depth);
  }

  private StringBuilder close(char bracket, boolean empty, int depth) {
    if (!empty) {
      lineFeed(depth);
    }
    return out.append(bracket);
  }

  private void lineFeed(int depth) {
    if (pretty) {
      out.append('\n').append(INDENT.repeat(depth));
    }
  }

  /** Appends a quoted string; half a surrogate pair becomes the replacement character. */
  private static void quote(StringBuilder out, String text) {
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
          out.append("\\u").append(HexFormat.of().toHexDigits(c));
        } else {
          out.append(c);
        }
      }
    }
  }

  /** Plain digits without trailing zeros; an exponent only for the very large and very small. */
  private static String number(Number number) {
    if (!(number instanceof Double)) {
      return number.toString();
    }
    double value = number.doubleValue();
    double size = Math.abs(value);
    if (size == 0) {
      return "0";
    }
    BigDecimal exact = BigDecimal.valueOf(value).stripTrailingZeros();
    return size >= PLAIN_FROM && size < PLAIN_BELOW ? exact.toPlainString() : exact.toString();
  }
}
