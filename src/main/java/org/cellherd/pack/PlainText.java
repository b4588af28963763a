package org.cellherd.pack;

import java.util.regex.Pattern;
import java.util.stream.Collectors;

/**
 * Text from elsewhere, fit for one line of a terminal, a message or a report: control characters of
 * both sets, line ends and marks that turn the direction of writing are obeyed by a terminal or
 * hide what stands there.
 */
public final class PlainText {

  private static final Pattern OBEYED =
      Pattern.compile("[\\p{Cc}\\u2028\\u2029\\u061C\\u200E\\u200F\\u202A-\\u202E\\u2066-\\u2069]");

  private PlainText() {}

  /** With a question mark for each of them: for complaints, which show that something was there. */
  public static String marked(String text) {
    return OBEYED.matcher(text).replaceAll("?");
  }

  /** The same, of at most so many characters and an ellipsis. */
  public static String marked(String text, int most) {
    String clean = marked(text);
    return clean.length() > most ? clean.substring(0, most) + "..." : clean;
  }

  /** With a space for each of them: for names. */
  public static String spaced(String text) {
    return OBEYED.matcher(text).replaceAll(" ");
  }

  /** The same of each line, and the lines still lines: for notes. */
  public static String spacedLines(String text) {
    return text.lines().map(PlainText::spaced).collect(Collectors.joining("\n"));
  }
}
