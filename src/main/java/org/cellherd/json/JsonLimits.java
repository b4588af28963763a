package org.cellherd.json;

/**
 * How much of a stranger's JSON is read before it is refused.
 *
 * @param bytes whole text
 * @param depth nested brackets, at most 200
 * @param string characters of one string or name
 * @param values values in all
 */
public record JsonLimits(int bytes, int depth, int string, int values) {

  /** A small message, such as an acknowledgement or one line of a capture. */
  public static final JsonLimits MESSAGE = new JsonLimits(16_384, 8, 16_384, 256);

  /** Refuses limits that do not limit. */
  public JsonLimits {
    if (bytes < 1 || depth < 1 || depth > 200 || string < 1 || values < 1) {
      throw new IllegalArgumentException(
          "limits " + bytes + " bytes, depth " + depth + ", " + string + ", " + values);
    }
  }
}
