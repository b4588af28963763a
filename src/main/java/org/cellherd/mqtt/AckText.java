package org.cellherd.mqtt;

import java.util.Optional;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.mqtt.link.Received;
import org.cellherd.mqtt.link.Received.Payload;

/**
 * An acknowledgement that came in: {@code {"id":"...","by":"..."}}, of 2,048 bytes at most. {@code
 * by} may be left out.
 *
 * @param id the alert's id; "" when the text was not understood
 * @param by who, printable, at most 80 characters
 * @param problem what is wrong with the text and what would be right; "" when it was understood
 */
record AckText(String id, String by, String problem) {

  private static final int LONGEST = 2_048;
  private static final JsonReader READER =
      new JsonReader(new JsonReader.Limits(LONGEST, 3, 1_024, 16));
  private static final int LONGEST_ID = 200;
  private static final int LONGEST_BY = 80;
  private static final String RIGHT = "; expected {\"id\": \"ALERT-ID\", \"by\": \"NAME\"}";

  static AckText of(Received message) {
    if (message.payload() == Payload.TOO_LONG) {
      return wrong("longer than " + LONGEST + " bytes");
    }
    if (message.payload() == Payload.NO_TEXT) {
      return wrong("not UTF-8 text");
    }
    try {
      JsonValue value = READER.read(message.text());
      if (!(value instanceof JsonValue.JsonObject)) {
        return wrong("not a JSON object");
      }
      Optional<String> id = value.text("id").filter(AckText::isId);
      if (id.isEmpty()) {
        return wrong("\"id\" must be a text of 1 to " + LONGEST_ID + " characters");
      }
      if (value.get("by").isPresent() && value.text("by").isEmpty()) {
        return wrong("\"by\" must be a text");
      }
      String by = printable(value.text("by").orElse("mqtt"));
      return new AckText(id.get(), by.isEmpty() ? "mqtt" : by, "");
    } catch (JsonReader.Problem e) {
      return wrong(String.valueOf(e.getMessage()));
    }
  }

  private static AckText wrong(String why) {
    return new AckText("", "", why + RIGHT);
  }

  private static boolean isId(String id) {
    return !id.isEmpty() && id.codePointCount(0, id.length()) <= LONGEST_ID;
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
