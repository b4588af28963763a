package org.cellherd.mqtt;

import java.util.Optional;
import org.cellherd.json.JsonLimits;
import org.cellherd.json.JsonProblem;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;

/**
 * An acknowledgement that came in: {@code {"id":"...","by":"..."}}.
 *
 * @param id the alert's id
 * @param by who, printable, at most 80 characters
 */
record AckText(String id, String by) {

  private static final JsonReader READER = new JsonReader(new JsonLimits(2_048, 3, 1_024, 16));
  private static final int LONGEST_ID = 200;
  private static final int LONGEST_BY = 80;

  /** Empty for anything that is not an acknowledgement. */
  static Optional<AckText> of(String text) {
    try {
      JsonValue value = READER.read(text);
      Optional<String> id = value.text("id").filter(AckText::isId);
      String by = printable(value.text("by").orElse("mqtt"));
      return id.map(known -> new AckText(known, by.isEmpty() ? "mqtt" : by));
    } catch (JsonProblem e) {
      return Optional.empty();
    }
  }

  private static boolean isId(String id) {
    return !id.isEmpty() && id.length() <= LONGEST_ID;
  }

  private static String printable(String by) {
    StringBuilder kept = new StringBuilder();
    by.replaceAll("\\p{C}", "")
        .strip()
        .codePoints()
        .limit(LONGEST_BY)
        .forEach(kept::appendCodePoint);
    return kept.toString();
  }
}
