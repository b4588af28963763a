package org.cellherd.toml;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.tomlj.Toml;
import org.tomlj.TomlParseError;
import org.tomlj.TomlParseResult;
import org.tomlj.TomlVersion;

/** Reads the text of a TOML 1.0 file. Any text gives a table or problems, never an exception. */
public final class TomlDocument {

  /** Longest file read, characters: a hundred times the longest that people write. */
  public static final int MOST_CHARACTERS = 1 << 20;

  /** Deepest nesting of brackets and of dots in a key. */
  private static final int DEEPEST = 64;

  /** One wrong mark makes the lines behind it wrong, too; in a file of another kind all are. */
  private static final int MOST_ERRORS = 3;

  private TomlDocument() {}

  /**
   * The top table of a file, or empty when it is no TOML; then the problems say where. Call {@link
   * TomlTable#finish} after reading to have unknown keys reported.
   */
  public static Optional<TomlTable> parse(String fileName, String text, Problems problems) {
    if (text.length() > MOST_CHARACTERS) {
      problems.add(fileName, 0, "", "the file is too long, at most 1 MiB is read");
      return Optional.empty();
    }
    int deep = lineTooDeep(text);
    if (deep > 0) {
      problems.add(fileName, deep, "", "nested too deeply, at most " + DEEPEST + " levels");
      return Optional.empty();
    }
    // A byte order mark is no TOML, but editors write it and nobody sees it.
    String plain = text.startsWith("\uFEFF") ? text.substring(1) : text;
    TomlParseResult result = parsed(plain).orElse(null);
    if (result == null) {
      String message =
          "no valid TOML: a comment is where none may be, or holds a control character";
      problems.add(fileName, firstUnreadable(plain), "", message);
      return Optional.empty();
    }
    List<TomlParseError> errors = result.errors();
    for (TomlParseError error : errors.subList(0, Math.min(MOST_ERRORS, errors.size()))) {
      String message = error.getMessage() == null ? "is not TOML" : error.getMessage();
      problems.add(fileName, error.position().line(), "", "no valid TOML: " + oneLine(message));
    }
    if (errors.size() > MOST_ERRORS) {
      problems.add(
          fileName,
          errors.get(MOST_ERRORS).position().line(),
          "",
          "no valid TOML here and below: is it a file of another kind?");
    }
    if (result.hasErrors()) {
      return Optional.empty();
    }
    return Optional.of(new TomlTable(fileName, "", 1, result, problems));
  }

  /**
   * What the parser makes of a text; empty where it fails itself, as tomlj 2.2.0 does at a note
   * with a control character in an inline table, or, where assertions are on, behind a header that
   * it could not read.
   */
  private static Optional<TomlParseResult> parsed(String text) {
    try {
      return Optional.of(Toml.parse(text, TomlVersion.V1_0_0));
    } catch (NullPointerException | AssertionError e) {
      return Optional.empty();
    }
  }

  /** The line with which the parser begins to fail. */
  private static int firstUnreadable(String text) {
    String[] lines = text.split("\n", -1);
    int read = 0;
    int failed = lines.length;
    while (failed - read > 1) {
      int middle = (read + failed) / 2;
      boolean isRead = parsed(String.join("\n", Arrays.copyOf(lines, middle))).isPresent();
      read = isRead ? middle : read;
      failed = isRead ? failed : middle;
    }
    return failed;
  }

  private static String oneLine(String message) {
    return message.replaceAll("\\s+", " ");
  }

  /** First line where brackets outside quotes, or dots in a row of words, nest too deeply, or 0. */
  private static int lineTooDeep(String text) {
    int line = 1;
    int depth = 0;
    int dots = 0;
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      switch (c) {
        case '\n' -> {
          line++;
          dots = 0;
        }
        case '[', '{' -> depth++;
        case ']', '}' -> depth = Math.max(0, depth - 1);
        case '.' -> dots++;
        case '=' -> dots = 0;
        default -> {}
      }
      if (depth > DEEPEST || dots > 4 * DEEPEST) {
        return line;
      }
    }
    return 0;
  }
}
