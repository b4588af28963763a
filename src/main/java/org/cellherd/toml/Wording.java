package org.cellherd.toml;

import java.util.Arrays;
import java.util.Collection;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.tomlj.TomlArray;

/** The words of messages about a value: what it is, what would be right. */
final class Wording {

  private Wording() {}

  /** ", allowed: a, b" and the word that was perhaps meant. */
  static String allowed(String word, Collection<String> words) {
    String near = Suggestion.phrase(word, words);
    return ", allowed: " + String.join(", ", words) + near;
  }

  /** "1 to 400", or "1 or more" where there is no upper bound. */
  static String range(long least, long most) {
    if (most == Integer.MAX_VALUE || most == Long.MAX_VALUE) {
      return least + " or more";
    }
    return least + " to " + most;
  }

  /** As the whole numbers, with as few decimals as needed. */
  static String range(double least, double most) {
    if (Double.isInfinite(most)) {
      return plain(least) + " or more";
    }
    return plain(least) + " to " + plain(most);
  }

  private static String plain(double value) {
    return value == Math.rint(value) && Math.abs(value) < 1e15
        ? Long.toString((long) value)
        : Double.toString(value);
  }

  /**
   * ", did you mean 57600?" of 57.6, which is in volts where millivolts are asked for; or nothing.
   */
  static String inThousandths(double value, long least, long most) {
    double meant = Math.rint(value * 1000);
    boolean isIt = Math.abs(value * 1000 - meant) < 1e-6 && meant >= least && meant <= most;
    return isIt ? ", did you mean " + plain(meant) + "?" : "";
  }

  /** ", did you mean 280?" of 280000, in mAh where Ah are asked for; or nothing. */
  static String inThousands(double value, double most) {
    boolean isIt = value > most && value / 1000 <= most;
    return isIt ? ", did you mean " + plain(value / 1000) + "?" : "";
  }

  /** What was found instead of the right thing. */
  static String describe(@Nullable Object value) {
    if (value instanceof String text) {
      return "the text \"" + shown(text) + "\"";
    }
    if (value instanceof TomlArray) {
      return "a list";
    }
    if (value instanceof org.tomlj.TomlTable) {
      return "a table";
    }
    return shown(String.valueOf(value));
  }

  /** As in {@code pack.PlainText}, which lies beyond this package's wall. */
  private static final String OBEYED =
      "[\\p{Cc}\\u2028\\u2029\\u061C\\u200E\\u200F\\u202A-\\u202E\\u2066-\\u2069]";

  /** A user's text cut and freed of control characters, fit for one line of a message. */
  static String shown(String text) {
    String clean = text.replaceAll(OBEYED, "?");
    return clean.length() <= 60 ? clean : clean.substring(0, 57) + "...";
  }

  /** The constants of an enum as users write them: in lower case. */
  static <E extends Enum<E>> List<String> words(Class<E> type) {
    return Arrays.stream(type.getEnumConstants())
        .map(constant -> constant.name().toLowerCase(Locale.ROOT))
        .toList();
  }

  /** The constant of such a word. */
  static <E extends Enum<E>> E constant(Class<E> type, String word) {
    return Enum.valueOf(type, word.toUpperCase(Locale.ROOT));
  }
}
