package org.cellherd.toml;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.tomlj.Toml;
import org.tomlj.TomlArray;
import org.tomlj.TomlPosition;

/**
 * A table of a user's file. Every getter checks type and range and records a problem instead of
 * throwing; what it then returns is harmless (the default, the smallest value, an empty text), so
 * read the whole file and ask {@link Problems#isEmpty} at the end. Getters come as
 * <em>required</em> {@code x(key)}, <em>with default</em> {@code x(key, ..., value)} and
 * <em>optional</em> {@code xIfAny(key)}. Belongs to one thread.
 */
public final class TomlTable {

  private final String file;
  private final String path;
  private final int line;
  private final org.tomlj.@Nullable TomlTable table;
  private final Problems problems;
  private final Set<String> asked = new LinkedHashSet<>();
  private final Map<String, List<TomlTable>> children = new LinkedHashMap<>();

  TomlTable(
      String file, String path, int line, org.tomlj.@Nullable TomlTable table, Problems problems) {
    this.file = file;
    this.path = path;
    this.line = line;
    this.table = table;
    this.problems = problems;
  }

  /** Line where the table begins. */
  public int line() {
    return line;
  }

  /** Line of a key, or of the table when the key is absent. */
  public int line(String key) {
    TomlPosition position = table == null ? null : table.inputPositionOf(List.of(key));
    return position == null ? line : position.line();
  }

  /** Where problems go. */
  public Problems problems() {
    return problems;
  }

  /** All keys as written, in no promised order. */
  public Set<String> keys() {
    return table == null ? Set.of() : table.keySet();
  }

  /** True when the key is there; counts as asking for it. */
  public boolean has(String key) {
    return value(key) != null;
  }

  /** True when the key holds a text. */
  public boolean isText(String key) {
    return value(key) instanceof String;
  }

  /** True when the key holds a list. */
  public boolean isList(String key) {
    return value(key) instanceof TomlArray;
  }

  /** Says that a key may be there although nobody reads it, so that it is not called unknown. */
  public void allow(String... keys) {
    asked.addAll(List.of(keys));
  }

  /** Records a problem of the caller's own at a key. */
  public void problem(String key, String message) {
    problems.add(file, line(key), name(key), message);
  }

  /** Records a problem of the caller's own with the table as a whole. */
  public void problem(String message) {
    problems.add(file, line, path, message);
  }

  /** Reports every key that nobody asked for, here and in all tables handed out. */
  public void finish() {
    for (String key : keys()) {
      if (!asked.contains(key)) {
        String near = Suggestion.phrase(key, asked);
        problem(key, "unknown key" + (near.isEmpty() ? allowedKeys() : near));
      }
    }
    children.values().forEach(list -> list.forEach(TomlTable::finish));
  }

  private String allowedKeys() {
    return asked.isEmpty() ? "" : ", allowed: " + String.join(", ", asked);
  }

  /** A required text, "" after a problem. */
  public String text(String key) {
    return required(key, textIfAny(key), "a text in quotes", "");
  }

  /** A text or its default. */
  public String text(String key, String value) {
    return textIfAny(key).orElse(value);
  }

  /** A text if the key is there. */
  public Optional<String> textIfAny(String key) {
    Optional<String> text = typed(key, String.class, "a text in quotes");
    if (text.isPresent() && text.get().indexOf('\0') >= 0) {
      problem(key, "holds the character \\u0000, allowed: text without it");
      return Optional.empty();
    }
    return text;
  }

  /** A required text that fits a pattern; the description says what is allowed. */
  public String textLike(String key, String pattern, String description) {
    String text = required(key, textIfAny(key), description, "");
    if (has(key) && isText(key) && !text.matches(pattern)) {
      problem(key, "is \"" + Wording.shown(text) + "\", allowed: " + description);
      return "";
    }
    return text;
  }

  /** A required word of a list, the first word after a problem. */
  public String oneOf(String key, List<String> words) {
    Optional<String> word = oneOfIfAny(key, words);
    if (!has(key)) {
      problem(key, "is missing, allowed: " + String.join(", ", words));
    }
    return word.orElse(words.get(0));
  }

  /** A word of a list or its default. */
  public String oneOf(String key, List<String> words, String value) {
    return oneOfIfAny(key, words).orElse(value);
  }

  /** A word of a list if the key is there. */
  public Optional<String> oneOfIfAny(String key, List<String> words) {
    Optional<String> word = textIfAny(key);
    if (word.isPresent() && !words.contains(word.get())) {
      problem(key, "is \"" + Wording.shown(word.get()) + "\"" + Wording.allowed(word.get(), words));
      return Optional.empty();
    }
    return word;
  }

  /** A required constant by its lower-case name, {@code _} left as it is. */
  public <E extends Enum<E>> E oneOf(String key, Class<E> type) {
    return Wording.constant(type, oneOf(key, Wording.words(type)));
  }

  /** A constant by its lower-case name, or the default. */
  public <E extends Enum<E>> E oneOf(String key, Class<E> type, E value) {
    return oneOfIfAny(key, type).orElse(value);
  }

  /** A constant by its lower-case name if the key is there. */
  public <E extends Enum<E>> Optional<E> oneOfIfAny(String key, Class<E> type) {
    return oneOfIfAny(key, Wording.words(type)).map(word -> Wording.constant(type, word));
  }

  /** A required whole number, the least allowed one after a problem. */
  public int integer(String key, int least, int most) {
    return (int) longInteger(key, least, most);
  }

  /** A whole number or its default. */
  public int integer(String key, int least, int most, int value) {
    return (int) longIntegerIfAny(key, least, most).orElse(value);
  }

  /** A whole number if the key is there. */
  public OptionalInt integerIfAny(String key, int least, int most) {
    OptionalLong number = longIntegerIfAny(key, least, most);
    return number.isPresent() ? OptionalInt.of((int) number.getAsLong()) : OptionalInt.empty();
  }

  /** A required whole number of 64 bits, the least allowed one after a problem. */
  public long longInteger(String key, long least, long most) {
    if (!has(key)) {
      problem(key, "is missing, allowed: a whole number " + Wording.range(least, most));
    }
    return longIntegerIfAny(key, least, most).orElse(least);
  }

  /** A whole number of 64 bits or its default. */
  public long longInteger(String key, long least, long most, long value) {
    return longIntegerIfAny(key, least, most).orElse(value);
  }

  /** A whole number of 64 bits if the key is there. */
  public OptionalLong longIntegerIfAny(String key, long least, long most) {
    String wanted = "a whole number " + Wording.range(least, most);
    String meant = value(key) instanceof Double d ? Wording.inThousandths(d, least, most) : "";
    Optional<Long> number = typed(key, Long.class, wanted + meant);
    if (number.isEmpty()) {
      return OptionalLong.empty();
    }
    if (number.get() < least || number.get() > most) {
      problem(key, "is " + number.get() + ", allowed: " + Wording.range(least, most));
      return OptionalLong.empty();
    }
    return OptionalLong.of(number.get());
  }

  /** A required number, the least allowed one after a problem. */
  public double decimal(String key, double least, double most) {
    if (!has(key)) {
      problem(key, "is missing, allowed: a number " + Wording.range(least, most));
    }
    return decimalIfAny(key, least, most).orElse(least);
  }

  /** A number or its default. */
  public double decimal(String key, double least, double most, double value) {
    return decimalIfAny(key, least, most).orElse(value);
  }

  /** A number, whole or with decimals, if the key is there. */
  public OptionalDouble decimalIfAny(String key, double least, double most) {
    Object value = value(key);
    if (value instanceof Number number) {
      if (number.doubleValue() >= least && number.doubleValue() <= most) {
        return OptionalDouble.of(number.doubleValue());
      }
      String meant = key.endsWith("_ah") ? Wording.inThousands(number.doubleValue(), most) : "";
      problem(key, "is " + number + ", allowed: " + Wording.range(least, most) + meant);
    } else if (value != null) {
      wrongType(key, value, "a number " + Wording.range(least, most));
    }
    return OptionalDouble.empty();
  }

  /** A required truth value, false after a problem. */
  public boolean bool(String key) {
    return required(key, boolIfAny(key), "true or false", false);
  }

  /** A truth value or its default. */
  public boolean bool(String key, boolean value) {
    return boolIfAny(key).orElse(value);
  }

  /** A truth value if the key is there. */
  public Optional<Boolean> boolIfAny(String key) {
    return typed(key, Boolean.class, "true or false");
  }

  /** An instant in ms UTC from a date and time with offset, if the key is there. */
  public OptionalLong timeMsIfAny(String key) {
    Optional<OffsetDateTime> time =
        typed(key, OffsetDateTime.class, "a time with offset such as 2026-01-31T18:00:00Z");
    return time.isPresent()
        ? OptionalLong.of(time.get().toInstant().toEpochMilli())
        : OptionalLong.empty();
  }

  /** A required instant in ms UTC, 0 after a problem. */
  public long timeMs(String key) {
    OptionalLong time = timeMsIfAny(key);
    if (!has(key)) {
      problem(key, "is missing, allowed: a time with offset such as 2026-01-31T18:00:00Z");
    }
    return time.orElse(0);
  }

  /** A list of texts, empty when the key is absent. */
  public List<String> texts(String key) {
    return list(key, "a list of texts", v -> v instanceof String s ? s : null);
  }

  /** A list of words, each one of the allowed; empty when the key is absent. */
  public List<String> listOf(String key, List<String> words) {
    List<String> found = texts(key);
    for (String word : found) {
      if (!words.contains(word)) {
        problem(key, "holds \"" + Wording.shown(word) + "\"" + Wording.allowed(word, words));
      }
    }
    return found.stream().filter(words::contains).toList();
  }

  /** A list of constants by their lower-case names; empty when the key is absent. */
  public <E extends Enum<E>> List<E> listOf(String key, Class<E> type) {
    return listOf(key, Wording.words(type)).stream()
        .map(word -> Wording.constant(type, word))
        .toList();
  }

  /**
   * A list of raw numbers of up to 64 bits, empty when the key is absent. What TOML's own numbers
   * cannot hold is written as a text, such as {@code "0xFFFFFFFFFFFFFFFF"}.
   */
  public List<Long> rawNumbers(String key) {
    return list(
        key,
        "a list of whole numbers, those above 2^63 as texts such as \"0xFFFFFFFFFFFFFFFF\"",
        v -> v instanceof Long n ? n : v instanceof String text ? rawNumber(text) : null);
  }

  private static @Nullable Long rawNumber(String text) {
    return text.matches("0x[0-9A-Fa-f]{1,16}")
        ? (Long) Long.parseUnsignedLong(text.substring(2), 16)
        : null;
  }

  /** A list of numbers, empty when the key is absent. */
  public List<Double> decimals(String key, double least, double most) {
    return list(
        key,
        "a list of numbers " + Wording.range(least, most),
        v -> {
          double d = v instanceof Number n ? n.doubleValue() : Double.NaN;
          return d >= least && d <= most ? d : null;
        });
  }

  /** A list of lists of numbers such as {@code [[0, 27.3], [25, 10.0]]}, empty when absent. */
  public List<List<Double>> decimalRows(String key, int columns, double least, double most) {
    return list(
        key,
        "a list of lists of " + columns + " numbers " + Wording.range(least, most),
        v -> v instanceof TomlArray row ? row(row, columns, least, most) : null);
  }

  /** A list of lists of texts, empty when the key is absent. */
  public List<List<String>> textLists(String key) {
    return list(key, "a list of lists of texts", v -> v instanceof TomlArray a ? texts(a) : null);
  }

  private static @Nullable List<String> texts(TomlArray row) {
    List<String> texts =
        row.toList().stream().filter(String.class::isInstance).map(String.class::cast).toList();
    return texts.size() == row.size() ? texts : null;
  }

  private static @Nullable List<Double> row(TomlArray row, int columns, double least, double most) {
    List<Double> numbers = new ArrayList<>();
    for (int i = 0; i < row.size(); i++) {
      double d = row.get(i) instanceof Number n ? n.doubleValue() : Double.NaN;
      if (!(d >= least && d <= most)) {
        return null;
      }
      numbers.add(d);
    }
    return numbers.size() == columns ? numbers : null;
  }

  private <T> List<T> list(String key, String wanted, Function<Object, @Nullable T> element) {
    Object value = value(key);
    if (value == null) {
      return List.of();
    }
    if (!(value instanceof TomlArray array)) {
      wrongType(key, value, wanted);
      return List.of();
    }
    List<T> result = new ArrayList<>();
    for (int i = 0; i < array.size(); i++) {
      T good = element.apply(array.get(i));
      if (good == null) {
        TomlPosition position = array.inputPositionOf(i);
        int at = position == null ? line(key) : position.line();
        String found = Wording.describe(array.get(i));
        problems.add(
            file, at, name(key) + "[" + (i + 1) + "]", "is " + found + ", allowed: " + wanted);
      } else {
        result.add(good);
      }
    }
    return List.copyOf(result);
  }

  /** A required table; an empty one after a problem. */
  public TomlTable table(String key) {
    Optional<TomlTable> found = tableIfAny(key);
    if (!has(key)) {
      problem(key, "the table [" + name(key) + "] is missing");
    }
    return found.orElseGet(() -> new TomlTable(file, name(key), line(key), null, new Problems()));
  }

  /** A table, or one without keys when it is absent, so that all defaults hold. */
  public TomlTable tableOrEmpty(String key) {
    return tableIfAny(key)
        .orElseGet(() -> new TomlTable(file, name(key), line(key), null, problems));
  }

  /** A table if the key is there. */
  public Optional<TomlTable> tableIfAny(String key) {
    Object value = value(key);
    if (value instanceof org.tomlj.TomlTable inner) {
      return Optional.of(children.computeIfAbsent(key, k -> List.of(child(k, inner))).get(0));
    }
    if (value != null) {
      wrongType(key, value, "a table [" + name(key) + "]");
    }
    return Optional.empty();
  }

  private TomlTable child(String key, org.tomlj.TomlTable inner) {
    return new TomlTable(file, name(key), line(key), inner, problems);
  }

  /** An array of tables {@code [[key]]}, empty when absent. */
  public List<TomlTable> tables(String key) {
    Object value = value(key);
    if (value == null) {
      return List.of();
    }
    if (!(value instanceof TomlArray array)) {
      wrongType(key, value, "tables [[" + name(key) + "]]");
      return List.of();
    }
    return children.computeIfAbsent(key, k -> elements(k, array));
  }

  private List<TomlTable> elements(String key, TomlArray array) {
    List<TomlTable> result = new ArrayList<>();
    for (int i = 0; i < array.size(); i++) {
      TomlPosition position = array.inputPositionOf(i);
      int at = position == null ? line(key) : position.line();
      String called = name(key) + "[" + (i + 1) + "]";
      if (array.get(i) instanceof org.tomlj.TomlTable inner) {
        result.add(new TomlTable(file, called, at, inner, problems));
      } else {
        problems.add(
            file, at, called, "is " + Wording.describe(array.get(i)) + ", allowed: a table");
      }
    }
    return List.copyOf(result);
  }

  private @Nullable Object value(String key) {
    asked.add(key);
    return table == null ? null : table.get(List.of(key));
  }

  private <T> Optional<T> typed(String key, Class<T> type, String wanted) {
    Object value = value(key);
    if (value == null) {
      return Optional.empty();
    }
    if (type.isInstance(value)) {
      return Optional.of(type.cast(value));
    }
    wrongType(key, value, wanted);
    return Optional.empty();
  }

  private <T> T required(String key, Optional<T> value, String wanted, T otherwise) {
    if (!has(key)) {
      problem(key, "is missing, allowed: " + wanted);
    }
    return value.orElse(otherwise);
  }

  private void wrongType(String key, Object value, String wanted) {
    problem(key, "is " + Wording.describe(value) + ", allowed: " + wanted);
  }

  private String name(String key) {
    String quoted = key.matches("[A-Za-z0-9_-]+") ? key : "\"" + Toml.tomlEscape(key) + "\"";
    return path.isEmpty() ? Wording.shown(quoted) : path + "." + Wording.shown(quoted);
  }
}
