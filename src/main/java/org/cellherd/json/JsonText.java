package org.cellherd.json;

import java.util.List;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/**
 * Facts as JSON text: names in their order, instants as ISO 8601 in UTC, null for what cannot be
 * known, numbers in plain digits.
 */
public final class JsonText {

  private static final String INDENT = "  ";

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

  /** A JSON string with its quotes. */
  public static String quoted(String text) {
    StringBuilder out = new StringBuilder(text.length() + 2);
    JsonEscapes.quote(out, text);
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
      JsonEscapes.quote(out, text);
      return out;
    }
    if (value instanceof Fact.Time time) {
      return out.append('"').append(IsoTime.of(time.ms())).append('"');
    }
    if (value instanceof Number number) {
      return out.append(JsonNumber.text(number));
    }
    throw new IllegalArgumentException("no JSON for " + value.getClass());
  }

  private StringBuilder object(Facts facts, int depth) {
    out.append('{');
    boolean first = true;
    for (Fact fact : facts.list()) {
      separate(first, depth + 1);
      JsonEscapes.quote(out, fact.name());
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
}
